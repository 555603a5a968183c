"""Work that is not done again while all that it read last time still reads the same.

Most of a cabinet stays as it is from one drag step to the next. ``Memory.recall`` gives a piece of work its values wrapped
in ``Noted``, which keeps what is read from them; the next time the same piece of work is asked for, its reads are made
on the new values first, and when all of them come out equal the old result is handed back.

The work must be a pure function of what it is given, and must give finished values: an iterator read later, or a
result that holds one of the wrapped values, would read what is no longer noted. Equality is Python's, which takes the
same object as equal to itself: frozen parts and legs that are handed from step to step compare at no cost.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping
from typing import Any, TypeVar

T = TypeVar("T")
MISSING = object()
"""Stands for a key that a mapping did not have."""


class Noted:
    """A value whose attributes are noted as they are read; callable when the value is."""

    def __init__(self, of: object, opened: frozenset[type]) -> None:
        self._of = of
        self._opened = opened
        self._reads: dict[str, object] = {}
        self._calls: dict[tuple[str, tuple[Any, ...]], object] = {}
        self._inner: dict[str, Noted | NotedMapping] = {}

    def __getattr__(self, name: str) -> Any:
        value = getattr(self._of, name)
        if isinstance(value, dict):
            value = self._inner[name] = NotedMapping(value)
        elif type(value) in self._opened:
            value = self._inner[name] = Noted(value, self._opened)
        elif callable(value):
            value = self._calling(name, value)
        else:
            self._reads[name] = value
        self.__dict__[name] = value
        return value

    def __call__(self, *args: Any) -> Any:
        return self._calling("", self._of)(*args)  # type: ignore[arg-type]

    def _calling(self, name: str, function: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any) -> Any:
            made = self._calls[name, args] = function(*args)
            return made

        return call

    def same(self, other: Any) -> bool:
        """Whether all that was read reads the same on ``other``."""
        for name, value in self._reads.items():
            now = getattr(other, name)
            if now is not value and now != value:
                return False
        for (name, args), value in self._calls.items():
            now = (getattr(other, name) if name else other)(*args)
            if now is not value and now != value:
                return False
        return all(inner.same(getattr(other, name)) for name, inner in self._inner.items())

    def close(self) -> None:
        """Let go of the value; only what was read of it is kept."""
        self._of = None
        for name in (*self._reads, *self._inner, *(name for name, _ in self._calls)):
            self.__dict__.pop(name, None)
        for inner in self._inner.values():
            inner.close()


class NotedMapping(Mapping[Any, Any]):
    """A dict whose items are noted as they are asked for; going through it notes all of it."""

    def __init__(self, of: dict[Any, Any]) -> None:
        self._of = of
        self._reads: dict[Any, Any] = {}
        self._whole: dict[Any, Any] | None = None

    def __getitem__(self, key: Any) -> Any:
        value = self._reads[key] = self._of.get(key, MISSING)
        if value is MISSING:
            raise KeyError(key)
        return value

    def __iter__(self) -> Iterator[Any]:
        self._whole = self._of
        return iter(self._of)

    def __len__(self) -> int:
        self._whole = self._of
        return len(self._of)

    def same(self, other: dict[Any, Any]) -> bool:
        """Whether all that was read reads the same on ``other``."""
        if self._whole is not None and self._whole != other:
            return False
        for key, value in self._reads.items():
            now = other.get(key, MISSING)
            if now is not value and now != value:
                return False
        return True

    def close(self) -> None:
        """Let go of the dict, unless all of it was read."""
        self._of = {}


class Memory:
    """The last result of each piece of work, with what it read."""

    def __init__(self, *opened: type) -> None:
        """Attributes that are of the types ``opened``, or dicts, are noted read by read; all others as a whole."""
        self._opened = frozenset(opened)
        self._last: dict[Hashable, tuple[tuple[Noted, ...], Any]] = {}

    def recall(self, key: Hashable, work: Callable[..., T], *given: Any) -> T:
        """``work(*given)``, done only when something that it read is not as it was the last time under this key.

        The values given are of any type; what is raised by the work passes through and nothing is kept.
        """
        last = self._last.get(key)
        if last is not None and _same(last[0], given):
            done: T = last[1]
            return done
        noted = tuple(Noted(value, self._opened) for value in given)
        made = work(*noted)
        for each in noted:
            each.close()
        self._last[key] = (noted, made)
        return made


def _same(noted: tuple[Noted, ...], given: tuple[object, ...]) -> bool:
    """Whether all reads come out as before; one that cannot be made any more (an item that is gone) does not."""
    try:
        return all(each.same(now) for each, now in zip(noted, given, strict=True))
    except LookupError:
        return False
