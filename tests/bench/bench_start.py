"""Cold start to a painted window against an empty QMainWindow, each in fresh processes of the same run.

Prints one JSON line: medians in ms, and their ratio (goal: 2 or less). "painted" is the first picture of the window,
empty sheets under their headings; "drawn" is the moment the first cabinet is on the screen, which has no goal.

Run: python -m tests.bench.bench_start
"""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import tempfile
import time

ROUNDS = 9

EMPTY = """
import time
begin = float(__import__("sys").argv[1])
from PySide6.QtWidgets import QApplication, QMainWindow
app = QApplication([])
window = QMainWindow()
window.resize(1280, 800)
window.show()
app.processEvents()
print(time.time() - begin)
"""

OURS = """
import sys, time
begin = float(sys.argv[1])
from desk.ui.app import make_app, open_front
app = make_app(["lanewright"])
front = open_front(None)
front.blank.painted.connect(lambda: print(time.time() - begin))
while front.guest is None:
    app.processEvents()
app.processEvents()
print(time.time() - begin)
front.guest.pace.stop()
"""


def run(program: str, folder: str) -> list[float]:
    """Seconds from the start of a fresh interpreter to each moment the program prints.

    Compiled modules are kept, as they are in an installed program.
    """
    own = {"QT_QPA_PLATFORM": "offscreen", "XDG_CONFIG_HOME": folder, "XDG_STATE_HOME": folder}
    env = {**os.environ, **own, "PYTHONPYCACHEPREFIX": os.path.join(folder, "compiled")}
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    begin = time.time()
    done = subprocess.run(
        [sys.executable, "-c", program, str(begin)], env=env, capture_output=True, text=True, check=True
    )
    return [float(word) for word in done.stdout.split()]


def main() -> None:
    """Run both in turn and print the result."""
    empty: list[float] = []
    ours: list[list[float]] = []
    with tempfile.TemporaryDirectory() as folder:
        run(EMPTY, folder)
        run(OURS, folder)
        for _ in range(ROUNDS):
            empty.extend(run(EMPTY, folder))
            ours.append(run(OURS, folder))
    base = statistics.median(empty)
    painted, drawn = (statistics.median(moment) for moment in zip(*ours, strict=True))
    result = {
        "bench": "start",
        "empty_ms": round(base * 1000, 1),
        "painted_ms": round(painted * 1000, 1),
        "drawn_ms": round(drawn * 1000, 1),
        "ratio": round(painted / base, 2),
        "goal": 2.0,
    }
    print(json.dumps(result))


if __name__ == "__main__":
    main()
