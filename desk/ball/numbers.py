"""Arithmetic that reads the same for one ball and for many: plain floats for one, arrays for many.

A kernel written with one of these is straight-line code; numpy would spend most of its time on the overhead of
arrays of length one, plain floats would be slow for thousands. Both round alike, so that a ball runs the same way
alone and among others.

Balls set against a table (``beside``) give *sheets*: one row for each ball, or for one ball the row alone.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, Protocol, TypeVar

import numpy as np

Number = Any
"""A float, or an array with one row for each ball; which one is the caller's choice and never mixed."""

TOGETHER = 256
"""Rows of a sheet that are worked on at once: more crowd the cache."""


class Balls(Protocol):
    """Balls of which some can be taken out and put back."""

    def take(self, k: Any) -> Any:
        """Some of the balls, as copies."""
        ...

    def columns(self) -> tuple[Any, ...]:
        """All that is known of them."""
        ...

    def change(self, k: Any, some: Any, before: tuple[Any, ...]) -> None:
        """What became of those taken out, given what was known of them before."""
        ...


SomeBalls = TypeVar("SomeBalls", bound=Balls)


class Numbers(Protocol):
    """What a kernel needs besides + - * / and comparisons."""

    def sqrt(self, a: Number) -> Number:
        """Square root; of negative numbers zero."""
        ...

    def where(self, test: Number, yes: Number, no: Number) -> Number:
        """``yes`` where the test holds, else ``no``."""
        ...

    def low(self, a: Number, b: Number) -> Number:
        """The smaller one."""
        ...

    def high(self, a: Number, b: Number) -> Number:
        """The larger one."""
        ...

    def floor(self, a: Number) -> Number:
        """The whole number below, as an index."""
        ...

    def sign(self, a: Number) -> Number:
        """-1, 0 or 1."""
        ...

    def any(self, test: Number) -> bool:
        """Whether the test holds for any ball."""
        ...

    def no(self, test: Number) -> Number:
        """Whether the test does not hold."""
        ...

    def full(self, like: Number, value: float) -> Number:
        """The value for every ball."""
        ...

    def some(self, balls: SomeBalls, test: Number, move: Callable[[SomeBalls], None]) -> None:
        """Make a move with those balls for which the test holds."""
        ...

    def which(self, test: Number) -> Any:
        """The balls for which the test holds, for ``part`` and ``merge``."""
        ...

    def part(self, k: Any, columns: tuple[Number, ...]) -> tuple[Number, ...]:
        """The columns of some balls; plain numbers that stand for all stay as they are."""
        ...

    def merge(self, k: Any, columns: tuple[Number, ...], some: tuple[Number, ...]) -> tuple[Number, ...]:
        """The columns with what became of some balls."""
        ...

    def sheets(self, work: Callable[..., tuple[Number, ...]], *columns: Number) -> tuple[Number, ...]:
        """Work that sets columns against a table: its results, done for so many balls at once as the cache holds."""
        ...

    def beside(self, a: Number) -> Number:
        """Made ready to be set against the rows of a table."""
        ...

    def span(self, first: Number, count: Number) -> Any:
        """So many rows of a table from the first on, as an index; for many balls as wide as the longest."""
        ...

    def first(self, sheet: Any) -> Number:
        """Index of the first entry of each row that holds."""
        ...

    def least(self, sheet: Any) -> Number:
        """Index of the smallest entry of each row."""
        ...

    def entry(self, sheet: Any, k: Number) -> Number:
        """Entry ``k`` of each row."""
        ...

    def total(self, sheet: Any, count: Number) -> Number:
        """Sum of the first so many entries of each row, one after the other."""
        ...

    def pick(self, rows: Any, listed: list[float], k: Number) -> Number:
        """Item ``k`` of a table that is at hand as an array and as a list."""
        ...


class One:
    """One ball: floats."""

    def sqrt(self, a: float) -> float:
        """See ``Numbers``."""
        return math.sqrt(a) if a > 0.0 else 0.0

    def where(self, test: bool, yes: float, no: float) -> float:
        """See ``Numbers``."""
        return yes if test else no

    def low(self, a: float, b: float) -> float:
        """See ``Numbers``."""
        return a if a < b else b

    def high(self, a: float, b: float) -> float:
        """See ``Numbers``."""
        return a if a > b else b

    def floor(self, a: float) -> int:
        """See ``Numbers``."""
        return int(a // 1)

    def sign(self, a: float) -> float:
        """See ``Numbers``."""
        return 1.0 if a > 0.0 else -1.0 if a < 0.0 else 0.0

    def any(self, test: bool) -> bool:
        """See ``Numbers``."""
        return test

    def no(self, test: bool) -> bool:
        """See ``Numbers``."""
        return not test

    def full(self, like: float, value: float) -> float:  # noqa: ARG002 - the other form is for arrays
        """See ``Numbers``."""
        return value

    def some(self, balls: SomeBalls, test: bool, move: Callable[[SomeBalls], None]) -> None:
        """See ``Numbers``."""
        if test:
            move(balls)

    def which(self, test: bool) -> None:
        """See ``Numbers``."""

    def part(self, k: None, columns: tuple[float, ...]) -> tuple[float, ...]:  # noqa: ARG002 - as above
        """See ``Numbers``."""
        return columns

    def merge(self, k: None, columns: tuple[float, ...], some: tuple[float, ...]) -> tuple[float, ...]:  # noqa: ARG002
        """See ``Numbers``."""
        return some

    def sheets(self, work: Callable[..., tuple[Number, ...]], *columns: float) -> tuple[Number, ...]:
        """See ``Numbers``."""
        return work(*columns)

    def beside(self, a: float) -> float:
        """See ``Numbers``."""
        return a

    def span(self, first: int, count: int) -> slice:
        """See ``Numbers``."""
        return slice(first, first + count)

    def first(self, sheet: Any) -> int:
        """See ``Numbers``."""
        return int(sheet.argmax())

    def least(self, sheet: Any) -> int:
        """See ``Numbers``."""
        return int(sheet.argmin())

    def entry(self, sheet: Any, k: int) -> float:
        """See ``Numbers``."""
        return float(sheet[k])

    def total(self, sheet: Any, count: int) -> float:
        """See ``Numbers``."""
        return float(sheet[:count].cumsum()[-1]) if count else 0.0

    def pick(self, rows: Any, listed: list[float], k: int) -> float:  # noqa: ARG002 - the other form is for arrays
        """See ``Numbers``."""
        return listed[k]


class Many:
    """Many balls: arrays."""

    def sqrt(self, a: Any) -> Any:
        """See ``Numbers``."""
        return np.sqrt(np.maximum(a, 0.0))

    def where(self, test: Any, yes: Any, no: Any) -> Any:
        """See ``Numbers``."""
        return np.where(test, yes, no)

    def low(self, a: Any, b: Any) -> Any:
        """See ``Numbers``."""
        return np.minimum(a, b)

    def high(self, a: Any, b: Any) -> Any:
        """See ``Numbers``."""
        return np.maximum(a, b)

    def floor(self, a: Any) -> Any:
        """See ``Numbers``."""
        return np.floor(a).astype(np.intp)

    def sign(self, a: Any) -> Any:
        """See ``Numbers``."""
        return np.sign(a)

    def any(self, test: Any) -> bool:
        """See ``Numbers``."""
        return bool(np.any(test))

    def no(self, test: Any) -> Any:
        """See ``Numbers``."""
        return ~test

    def full(self, like: Any, value: float) -> Any:
        """See ``Numbers``."""
        return np.full(like.shape, value, dtype=like.dtype)

    def some(self, balls: SomeBalls, test: Any, move: Callable[[SomeBalls], None]) -> None:
        """See ``Numbers``."""
        k = np.flatnonzero(test)
        if k.size == test.size:
            move(balls)
        elif k.size:
            part = balls.take(k)
            before = part.columns()
            move(part)
            balls.change(k, part, before)

    def which(self, test: Any) -> Any:
        """See ``Numbers``."""
        k = np.flatnonzero(test)
        return None if k.size == test.size else k

    def part(self, k: Any, columns: tuple[Any, ...]) -> tuple[Any, ...]:
        """See ``Numbers``."""
        if k is None:
            return columns
        return tuple([c[k] if isinstance(c, np.ndarray) else c for c in columns])

    def merge(self, k: Any, columns: tuple[Any, ...], some: tuple[Any, ...]) -> tuple[Any, ...]:
        """See ``Numbers``."""
        if k is None:
            return some
        merged = tuple([c.copy() for c in columns])
        for column, values in zip(merged, some, strict=True):
            column[k] = values
        return merged

    def sheets(self, work: Callable[..., tuple[Number, ...]], *columns: Any) -> tuple[Number, ...]:
        """See ``Numbers``."""
        n = len(columns[0])
        if n <= TOGETHER:
            return work(*columns)
        parts = [work(*(c[k : k + TOGETHER] for c in columns)) for k in range(0, n, TOGETHER)]
        return tuple(np.concatenate(found) for found in zip(*parts, strict=True))

    def beside(self, a: Any) -> Any:
        """See ``Numbers``."""
        return a[:, None]

    def span(self, first: Any, count: Any) -> Any:
        """See ``Numbers``."""
        return first[:, None] + np.minimum(np.arange(count.max()), np.maximum(count - 1, 0)[:, None])

    def first(self, sheet: Any) -> Any:
        """See ``Numbers``."""
        return sheet.argmax(axis=1)

    def least(self, sheet: Any) -> Any:
        """See ``Numbers``."""
        return sheet.argmin(axis=1)

    def entry(self, sheet: Any, k: Any) -> Any:
        """See ``Numbers``."""
        return sheet[np.arange(len(sheet)), k]

    def total(self, sheet: Any, count: Any) -> Any:
        """See ``Numbers``."""
        if not sheet.size:
            return np.zeros(len(count))
        return np.where(np.arange(sheet.shape[1]) < count[:, None], sheet, 0.0).cumsum(axis=1)[:, -1]

    def pick(self, rows: Any, listed: list[float], k: Any) -> Any:  # noqa: ARG002 - the other form is for floats
        """See ``Numbers``."""
        return rows[k]
