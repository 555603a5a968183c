"""How a ball springs back from wood and rolls on it, from ``resources/contact.toml`` and the table of balls.

Every number there is a range; the motion is worked out with the middle of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from desk.resources import table
from desk.shop.materials import ball_material
from desk.shop.sourced import Source
from desk.shop.tables import SHIPPED, Tables


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
    row, ball = _row(key), ball_material(key, tables)
    return Contact(
        board=_middle(row["board"]),
        panel=_middle(row["panel"]),
        friction=_middle(ball.friction),
        rolling=_middle(ball.rolling),
        stick=float(table("contact.toml")["stick"]["value"]),
    )


def restitution_source(key: str) -> Source:
    """Where the restitution of a ball material comes from."""
    row = _row(key)
    return Source(row["source"], row["flag"])


def _middle(ends: list[float] | tuple[float, float]) -> float:
    return (float(ends[0]) + float(ends[1])) / 2


@cache
def _rows() -> dict[str, dict[str, Any]]:
    return {row["ball"]: row for row in table("contact.toml")["restitution"]}


def _row(key: str) -> dict[str, Any]:
    return _rows().get(key) or _rows()["other"]
