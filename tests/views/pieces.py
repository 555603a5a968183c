"""Hand-made pieces for tests of the page: a frame, a finding, and a drawing of a gap after a deck."""

from __future__ import annotations

from desk.checks.finding import Finding, Place, Remedy, Source
from desk.shapes.frame import Frame
from desk.views.drawing import Dimension, Disc, Drawing, Item, Marker, Path, Pull

LANE = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


def measure(text: str, _style: str) -> tuple[float, float]:
    """Seven px a letter, fourteen high."""
    return 7.0 * len(text), 14.0


def words(item: Dimension, pointed: bool) -> str:
    """The label when pointed at, the value otherwise."""
    return item.label if pointed else f"{item.value:g}"


def level(key: str, x0: float, x1: float, y: float = 20.0, primary: bool = True) -> Dimension:
    """A level dimension line with its handle at the right."""
    pull = (Pull(key, (1.0, 0.0), 1.0),)
    return Dimension(
        key, "line", (x0, y), (x1, y), 0.0, (x1, y), pull, f"The {key}", x1 - x0, "length", primary
    )


def upright(key: str, x: float, high: float) -> Dimension:
    """An upright dimension line from the table up, set off 24 mm to the left."""
    pull = (Pull(key, (0.0, 1.0), 1.0),)
    return Dimension(key, "line", (x, 0.0), (x, high), 24.0, (x - 24.0, high), pull, key, high, "length")


def gap_drawing(gap: float) -> Drawing:
    """A deck of 280 mm, a gap after it and what moves with the gap."""
    end = 348.0 + gap
    items: list[Item] = [
        Path((((0.0, 0.0), (end + 160, 0.0), (end + 160, 210.0), (0.0, 210.0)),), "stock-1-far"),
        Path((((68.0, 81.0), (348.0, 81.0), (348.0, 90.0), (68.0, 90.0)),), "stock-2"),
        Path((((end, 90.0), (end + 140, 180.0), (end + 132, 192.0), (end - 8, 102.0)),), "stock-3"),
        Disc((76.0, 98.0), 8.0, "ball-resting"),
        level("lane.length", 68.0, 348.0, -24.0),
        level("board.gap", 348.0, end, -24.0),
        upright("lane.deck_height", 68.0, 90.0),
        Marker((348.0 + gap / 2, 86.0), 1, "conflict", "f"),
    ]
    return Drawing("lane", "Lane", LANE, (-20.0, -12.0, end + 200, 210.0), tuple(items))


def finding(
    number: int, status: str, title: str, margin: float, place: Place, remedy: Remedy | None
) -> Finding:
    """A finding with the margin as its measure over a need of 10 mm."""
    return Finding(
        key=f"check-{number}",
        number=number,
        check=f"c{number:02d}",
        family="ball",
        status=status,  # type: ignore[arg-type]
        title=title,
        parts=("deck", "board"),
        measured=10.0 + margin,
        needed=10.0,
        margin=margin,
        unit="mm",
        because=f"gap − ball = {10 + margin:.2f} mm, 10 mm are needed",
        source=Source("worked out here from the ball's largest diameter", "derived"),
        places=(place,),
        remedies=() if remedy is None else (remedy,),
    )
