"""What a pair is: three cabinets for a check, in conflict, tight and clear."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from msgspec.structs import replace

from desk.cabinet.build import build
from desk.cabinet.model import Balls, Cabinet
from desk.checks.needs import Need
from tests.checks.helpers import changed

Given = Callable[[], tuple[Cabinet, dict[str, Need] | None]]


@dataclass(frozen=True)
class Starting:
    """The starting design with numbers changed."""

    values: tuple[tuple[str, float], ...]

    def __call__(self) -> tuple[Cabinet, None]:
        return built(self.values), None


def starting(**values: float) -> Starting:
    """The starting design with numbers changed."""
    return Starting(tuple(sorted(values.items())))


@cache
def built(values: tuple[tuple[str, float], ...]) -> Cabinet:
    return build(changed(**dict(values)))


def with_balls(diameter: float) -> Given:
    """The starting cabinet with other balls in its box."""
    return lambda: (replace(built(()), balls=Balls(diameter, 0.1, 5, "glass", 2500.0)), None)


@dataclass(frozen=True)
class Pair:
    """Cabinets for each status of a check, and what the conflict is about."""

    conflict: Given
    clear: Given
    tight: Given | None = None
    """Every check that can be tight has one."""
    parts: tuple[str, ...] = ()
    """Parts that must be among those of the conflicts."""


START = starting()
