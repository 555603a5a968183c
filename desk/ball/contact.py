"""How a ball springs back from wood and rolls on it, from ``resources/contact.toml`` and the table of balls.

Every number there is a range; the motion is worked out with the middle of it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from desk.shop.loads import load
from desk.shop.materials import ball_material
from desk.shop.tables import SHIPPED, Row, Tables


@dataclass(frozen=True)
class Contact:
    """Coefficients of one ball on wood, plain numbers but for ``stick`` (mm/s).

    ``board`` and ``panel`` are restitutions; ``friction`` is that of sliding; ``rolling`` the lever arm of rolling
    resistance over the ball's radius; below ``stick`` no ball springs back.
    """

    board: float
    panel: float
    friction: float
    rolling: float
    stick: float


def contact_of(key: str, tables: Tables = SHIPPED) -> Contact:
    """The middle coefficients of a ball material; one that has no row here springs back as the row ``other`` tells.

    Raises UnknownMaterialError when the table of balls does not list it.
    """
    row, ball = _row(key, tables), ball_material(key, tables)
    return Contact(
        board=_middle(row.numbers("board")),
        panel=_middle(row.numbers("panel")),
        friction=_middle(ball.friction),
        rolling=_middle(ball.rolling),
        stick=load("stick", tables).value,
    )


def contact_ends(key: str, tables: Tables = SHIPPED) -> tuple[Contact, Contact]:
    """The same with the lowest and with the highest restitution, all else in the middle."""
    row, middle = _row(key, tables), contact_of(key, tables)
    boards, panels = row.numbers("board"), row.numbers("panel")
    low, high = (replace(middle, board=boards[k], panel=panels[k]) for k in (0, 1))
    return low, high


def _middle(ends: tuple[float, ...]) -> float:
    return (ends[0] + ends[1]) / 2


def _row(key: str, tables: Tables) -> Row:
    rows = tables.rows("restitution")
    return rows.get(key) or rows["other"]
