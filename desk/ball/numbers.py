"""Arithmetic that reads the same for one ball and for many: plain floats for one, arrays for many.

A kernel written with one of these is straight-line code; numpy would spend most of its time on the overhead of
arrays of length one, plain floats would be slow for thousands.
"""

from __future__ import annotations

import math
from typing import Any, Protocol

import numpy as np

Number = Any
"""A float, or an array with one row for each ball; which one is the caller's choice and never mixed."""


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

    def any(self, test: Number) -> bool:
        """Whether the test holds for any ball."""
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

    def any(self, test: bool) -> bool:
        """See ``Numbers``."""
        return test

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

    def any(self, test: Any) -> bool:
        """See ``Numbers``."""
        return bool(np.any(test))

    def pick(self, rows: Any, listed: list[float], k: Any) -> Any:  # noqa: ARG002 - the other form is for floats
        """See ``Numbers``."""
        return rows[k]
