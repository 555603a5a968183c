"""Work that is not done again while all that it read last time still reads the same.

Most of a cabinet stays as it is from one drag step to the next. ``Memory.recall`` gives a piece of work its values
wrapped in ``Noted``, which keeps what is read from them; the next time the same piece of work is asked for, its reads
are made on the new values first, and when all of them come out equal the old result is handed back.

The work must be a pure function of what it is given, and must give finished values: an iterator read later, or a
result that holds one of the wrapped values, would read what is no longer noted. Equality is Python's, which takes the
same object as equal to itself: frozen parts and legs that are handed from step to step compare at no cost.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping
from operator import attrgetter, itemgetter
from typing import Any, TypeVar

T = TypeVar("T")
MISSING = object()
"""Stands for a key that a mapping did not have."""


class Noted:
    """A value whose attributes, and what its methods gave, are noted as they are read."""

    def __init__(self, of: object, opened: frozenset[type]) -> None:
        self._of = of
        self._opened = opened
        self._reads: dict[str, object] = {}
        self._calls: dict[tuple[str, tuple[Any, ...]], object] = {}
        self._inner: dict[str, Noted | NotedMapping] = {}
        self._all: object = None
        self._get: Callable[[Any], Any] | None = None
        self._want: Any = None

    def whole(self) -> Any:
        """The value itself; all of it counts as read."""
        self._all = self._of
        return self._of

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

    def _calling(self, name: str, method: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any) -> Any:
            made = self._calls[name, args] = method(*args)
            return made

        return call

    def same(self, other: Any) -> bool:
        """Whether all that was read reads the same on ``other``."""
        if self._all is not None:
            return bool(self._all is other or self._all == other)
        if self._get is not None and self._get(other) != self._want:
            return False
        for (name, args), value in self._calls.items():
            if getattr(other, name)(*args) != value:
                return False
        return all(inner.same(getattr(other, name)) for name, inner in self._inner.items())

    def close(self) -> None:
        """Let go of the value; only what was read of it is kept."""
        self._of = None
        self._get, self._want = _all_at_once(attrgetter, self._reads)
        for name in (*self._reads, *self._inner, *(name for name, _ in self._calls)):
            self.__dict__.pop(name, None)
        for inner in self._inner.values():
            inner.close()


class NotedMapping(Mapping[Any, Any]):
    """A dict whose items are noted as they are asked for, and its keys when it is gone through."""

    def __init__(self, of: dict[Any, Any]) -> None:
        self._of = of
        self._reads: dict[Any, Any] = {}
        self._keys: tuple[Any, ...] | None = None
        self._gone: tuple[Any, ...] = ()
        self._get: Callable[[Any], Any] | None = None
        self._want: Any = None

    def __getitem__(self, key: Any) -> Any:
        value = self._reads[key] = self._of.get(key, MISSING)
        if value is MISSING:
            raise KeyError(key)
        return value

    def __iter__(self) -> Iterator[Any]:
        self._keys = tuple(self._of)
        return iter(self._keys)

    def __len__(self) -> int:
        self._keys = tuple(self._of)
        return len(self._of)

    def same(self, other: dict[Any, Any]) -> bool:
        """Whether all that was read reads the same on ``other``."""
        if self._keys is not None and self._keys != tuple(other):
            return False
        if self._get is not None and self._get(other) != self._want:
            return False
        return not any(key in other for key in self._gone)

    def close(self) -> None:
        """Let go of the dict; only what was read of it is kept."""
        self._of = {}
        there = {key: value for key, value in self._reads.items() if value is not MISSING}
        self._gone = tuple(key for key, value in self._reads.items() if value is MISSING)
        self._get, self._want = _all_at_once(itemgetter, there)


def _all_at_once(
    getter: Callable[..., Any], reads: dict[Any, Any]
) -> tuple[Callable[[Any], Any] | None, Any]:
    """A function that makes all reads in one go, and what it gave; None when there are no reads."""
    if not reads:
        return None, None
    values = tuple(reads.values())
    return getter(*reads), values if len(values) > 1 else values[0]


def whole(value: T) -> T:
    """The value behind one that may be noted, for work that needs it as it is (to cache on it, to replace a field).

    All of it counts as read, so that the work is done again on any change.
    """
    behind: Any = value
    return behind.whole() if type(behind) is Noted else value


class Memory:
    """The last result of each piece of work, with what it read."""

    def __init__(self, *opened: type) -> None:
        """Values of the types ``opened``, and dicts in them, are noted read by read; all others as a whole."""
        self._opened = frozenset(opened)
        self._last: dict[Hashable, tuple[tuple[object, ...], Any]] = {}

    def recall(self, key: Hashable, work: Callable[..., T], *given: object) -> T:
        """``work(*given)``, done only when something that it read is not as it was the last time under this key.

        What is raised by the work passes through, and nothing is kept.
        """
        last = self._last.get(key)
        if last is not None and _same(last[0], given):
            done: T = last[1]
            return done
        noted = tuple(Noted(v, self._opened) if type(v) in self._opened else v for v in given)
        made = work(*noted)
        for each in noted:
            if type(each) is Noted:
                each.close()
        self._last[key] = (noted, made)
        return made


def _same(noted: tuple[object, ...], given: tuple[object, ...]) -> bool:
    """Whether all reads come out as before; one that cannot be made any more (an item that is gone) does not."""
    try:
        for was, now in zip(noted, given, strict=True):
            alike = was.same(now) if type(was) is Noted else was is now or was == now
            if not alike:
                return False
    except LookupError:
        return False
    return True
