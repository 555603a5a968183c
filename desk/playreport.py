"""What the command line says of how a cabinet plays, as text for people and as plain values for other programs.

Plain values are ready for JSON: mm, degrees, seconds, m/s, rounded to a millionth; shares are of 1; None where there is
no number.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from desk.ball.course import CannotPlayError, course
from desk.ball.play import LARGEST, End, PlayStatistics, Stray, play
from desk.ball.throw import BACK, GUTTER, LOST, STOPPED
from desk.cabinet.build import build
from desk.cabinet.model import Cabinet
from desk.checks.ends import ended, verdict
from desk.checks.finding import Finding
from desk.checks.run import with_mutes
from desk.commands import UnusableError
from desk.design.model import Design
from desk.playing import ENDS, Sweep, Window, named, reach_of, sweep
from desk.shapes.loop import ShapeError
from desk.views.played import share_words
from desk.views.playing import counted

PLACES = 6
SPEEDS = 401
"""Speeds tried straight ahead to tell which scores what."""
MOST = 1_000_000
NARROW = 0.02
"""Windows of speed narrower than this, m/s, are counted in the text and not listed."""
LISTED = 12
"""So many of the balls that do not come back are told one by one in the text."""
NAMES = {GUTTER: "gutter", BACK: "back", LOST: "lost", STOPPED: "stopped"}
"""Ends that are no target: through the gutter gap, back to the front stop, out of the cabinet, stopped on the way."""


@dataclass(frozen=True)
class Played:
    """A run of throws with a design."""

    design: Design
    cabinet: Cabinet
    seed: int
    known: PlayStatistics
    speeds: Sweep
    side: float
    """Side of the squares landings are counted in, mm."""

    @property
    def ends(self) -> tuple[End, ...]:
        """Every end, those that no ball came to as well."""
        known = {end.result: end for end in self.known.ends}
        targets = [t.number for t in self.cabinet.targets]
        return tuple(known.get(r, End(r, 0.0, 0, 0.0, 0.0)) for r in (*targets, *NAMES))

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """What the check of balls' ends finds wrong or tight in this run, conflicts first and what is muted last."""
        found = verdict(self.cabinet, ended(self.known.strays, self.known.done))
        return with_mutes(tuple(f for f in found if f.status != "clear"), self.design.mutes)

    @property
    def fails(self) -> bool:
        """Whether a ball stops on the way, or more leave the cabinet than the limit allows, and that is not muted."""
        return any(f.status == "conflict" and not f.muted for f in self.findings)


def played(design: Design, throws: int, seed: int) -> Played:
    """Run throws with a design. Raises UnusableError when it cannot be played."""
    if not 1 <= throws <= MOST:
        raise UnusableError(f"--throws {throws}: 1 to {MOST} throws can be run")
    if seed < 0:
        raise UnusableError(f"--seed {seed}: the seed is a whole number from 0 on")
    try:
        cabinet = build(design)
        of = course(cabinet)
        known = None
        for known in play(of, cabinet.people, cabinet.balls.count, throws, seed, LARGEST):  # noqa: B007 - the last
            pass
        low, high = reach_of(cabinet)
        speeds = sweep(of, low, high, 0.0, SPEEDS)
    except (CannotPlayError, ShapeError) as error:
        raise UnusableError(
            f"{design.name} cannot be played: {error}. 'lanewright check' tells more"
        ) from None
    assert known is not None  # there is one throw at least
    return Played(design, cabinet, seed, known, speeds, cabinet.balls.diameter / 2)


# --- plain values


def plain(run: Played) -> dict[str, Any]:
    """Everything a run tells."""
    known, people = run.known, run.cabinet.people
    return {
        "design": run.design.name,
        "throws": known.total,
        "seed": run.seed,
        "people": people
        and {
            "slow": _number(people.slow),
            "fast": _number(people.fast),
            "speed_spread": _number(people.speed_spread),
            "aim_spread": _number(people.aim_spread),
        },
        "balls": run.cabinet.balls.count,
        "ends": [_end_plain(end) for end in run.ends],
        "ball": _number(known.ball),
        "round": {"score": _number(known.round), "error": _number(known.round_error)},
        "back": _number(known.back),
        "lost": _number(known.lost),
        "time": _number(known.time),
        "strays": [_stray_plain(stray) for stray in known.strays],
        "findings": [
            {"status": f.status, "title": f.title, "because": f.because, "muted": f.muted}
            for f in run.findings
        ],
        "landings": {"side": _number(run.side), "squares": _squares(run)},
        "speeds": [_window_plain(window) for window in run.speeds.windows],
    }


def _number(value: float) -> float | None:
    return round(value, PLACES) + 0.0 if math.isfinite(value) else None


def _end(result: int) -> dict[str, Any]:
    return {"end": NAMES.get(result, "target"), "target": result if result > 0 else None}


def _end_plain(end: End) -> dict[str, Any]:
    share = {"count": end.count, "share": _number(end.share), "error": _number(end.error)}
    return {**_end(end.result), "score": _number(end.score), **share}


def _stray_plain(stray: Stray) -> dict[str, Any]:
    return {
        "throw": stray.number,
        "speed": stray.speed,
        "aim": stray.aim,
        "end": NAMES[stray.result],
        "leg": stray.leg,
        "at": [_number(c) for c in stray.at],
    }


def _squares(run: Played) -> list[dict[str, Any]]:
    """Squares of the face, by their middles, and how many balls first touched it there."""
    cells = sorted(counted(run.known.landings.tolist(), run.side).items())
    return [
        {"at": [_number((i + 0.5) * run.side), _number((j + 0.5) * run.side)], "count": n}
        for (i, j), n in cells
    ]


def _window_plain(window: Window) -> dict[str, Any]:
    return {
        "low": _number(window.low),
        "high": _number(window.high),
        **_end(window.result),
        "score": _number(window.score),
    }


# --- text


def text(run: Played, width: int) -> Iterator[str]:
    """The lines of a report for the one who plays."""
    known, people = run.known, run.cabinet.people
    yield f"{run.design.name}: {known.total} throws, seed {run.seed}"
    if people is not None:
        low, high = sorted((people.slow, people.fast))
        yield (
            f"     meant at {low:g} to {high:g} m/s straight ahead; spread of speed {100 * people.speed_spread:g} %, "
            f"of aim {people.aim_spread:g}°"
        )
    yield ""
    for end in run.ends:
        name = named(end.result, end.score)
        error = f" ± {100 * end.error:.1f}" if end.count else ""
        yield f"     {name:<24}{share_words(end.share):>6} %{error}"
    yield ""
    yield f"     A round of {run.cabinet.balls.count}: {known.round:.1f} ± {known.round_error:.1f} points"
    mean = f", {known.time:.1f} s after the throw on average" if math.isfinite(known.time) else ""
    yield f"     {share_words(known.back)} % of the balls come back{mean}; {share_words(known.lost)} % do not"
    yield from _speeds_text(run, width)
    yield from _strays_text(run)
    for found in run.findings:
        yield ""
        yield from textwrap.wrap(
            f"{found.status.capitalize()}: {found.title[:1].lower()}{found.title[1:]}. {found.because}"
            + (f". Muted: {found.muted}" if found.muted else ""),
            width,
            initial_indent=" " * 5,
            subsequent_indent=" " * 7,
        )


def _speeds_text(run: Played, width: int) -> Iterator[str]:
    """The speeds that score straight ahead, and the least that gets over the kicker."""
    windows = [w for w in run.speeds.windows if w.score > 0]
    wide = [w for w in windows if w.high - w.low >= NARROW]
    said = [f"{w.score:g} from {w.low:.2f} to {w.high:.2f} m/s" for w in wide]
    if len(windows) > len(wide):
        said.append(f"{len(windows) - len(wide)} windows narrower than {NARROW:g} m/s")
    line = f"Straight ahead, points by speed: {'; '.join(said) if said else 'no speed scores'}"
    yield from textwrap.wrap(line, width, initial_indent=" " * 5, subsequent_indent=" " * 7)
    least = run.speeds.least
    if least is not None and least > run.speeds.low:
        yield f"     Below {least:.2f} m/s a ball rolls back to the front stop"


def _strays_text(run: Played) -> Iterator[str]:
    strays = run.known.strays
    if strays:
        yield ""
    for s in strays[:LISTED]:
        leg = run.cabinet.leg_by_id[s.leg].label
        yield f"⚑    throw {s.number}, {s.speed:.3f} m/s, aim {s.aim:.2f}°: {ENDS[s.result]}, {leg}"
    if len(strays) > LISTED:
        yield f"     and {len(strays) - LISTED} more"
