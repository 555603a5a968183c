"""Plays by itself, in a process beside the window: which speed comes to what, and thousands of throws.

The window keeps its frame rate because nothing of this runs in it. Started as ``python -m desk.playwork``; asks come in
on stdin, answers go out on stdout, each a length in four bytes (network order) and so many bytes of MessagePack. Of
several sweeps asked for only the latest is worked out; a run goes on between sweeps until it is done, cancelled or
replaced by another. The end of stdin ends the process.
"""

from __future__ import annotations

import math
import os
import queue
import struct
import sys
import threading
from collections.abc import Callable, Iterator
from functools import lru_cache
from io import BufferedReader
from typing import TYPE_CHECKING, cast

import msgspec

if TYPE_CHECKING:  # what takes long to import is imported when there is something to do
    from desk.ball.course import Course
    from desk.ball.play import PlayStatistics
    from desk.cabinet.model import Cabinet
    from desk.checks.finding import Finding

HEAD = struct.Struct("!I")
COARSE, FINE = 81, 401
"""Speeds tried at first, for a quick picture, and then for the edges."""
LISTED = 24
"""So many of the balls that did not come back are told one by one."""
GENTLE = 5
"""How much the process gives way to others where the system lets it."""


class AskSweep(msgspec.Struct, frozen=True, tag="sweep"):
    """What do speeds come to? ``design`` is the text of a design file."""

    id: int
    design: bytes
    low: float
    high: float
    aim: float


class AskRun(msgspec.Struct, frozen=True, tag="run"):
    """How does a design play? Throws with the spread of its people, the same ones for the same seed."""

    id: int
    design: bytes
    throws: int
    seed: int


class Cancel(msgspec.Struct, frozen=True, tag="cancel"):
    """Give up the run."""


class Span(msgspec.Struct, frozen=True):
    """See desk.playing.Window."""

    low: float
    high: float
    result: int
    score: float


class Swept(msgspec.Struct, frozen=True, tag="swept"):
    """What speeds come to; ``done`` is False for the quick picture that comes first."""

    id: int
    low: float
    high: float
    aim: float
    step: float
    windows: list[Span]
    done: bool


class End(msgspec.Struct, frozen=True):
    """How often balls came to one end: share and its standard error; ``result`` as in desk.ball.throw."""

    result: int
    score: float
    share: float
    error: float


class Stray(msgspec.Struct, frozen=True):
    """See desk.ball.play.Stray."""

    number: int
    speed: float
    aim: float
    result: int
    leg: str
    at: tuple[float, float]


class Counted(msgspec.Struct, frozen=True, tag="counted"):
    """How a design plays, after ``done`` of ``total`` throws."""

    id: int
    done: int
    total: int
    ends: list[End]
    round: float
    """Expected score of a round of all balls."""
    round_error: float
    """Standard error of it."""
    back: float
    """Share of the balls that come back to the hand."""
    lost: float
    """Share that does not, whether it stops or leaves the cabinet."""
    time: float | None
    """Mean time of those that come back, s; None when none does."""
    strays: list[Stray]
    """Some of those, stops first; ``strayed`` is how many there are and ``stopped`` how many of them stopped."""
    strayed: int
    stopped: int
    side: float
    """Side of the squares that landings are counted in, mm."""
    landings: list[tuple[int, int, int]]
    """Squares of the face (see desk.views.playing) and how many balls first touched it there."""

    @property
    def finished(self) -> bool:
        """Whether all throws are counted."""
        return self.done >= self.total


class Failed(msgspec.Struct, frozen=True, tag="failed"):
    """Why there is no answer to an ask for a sweep or, with ``run``, for a run."""

    id: int
    text: str
    run: bool = False


Ask = AskSweep | AskRun | Cancel
Answer = Swept | Counted | Failed


def framed(message: Ask | Answer) -> bytes:
    """A message as it goes through a pipe."""
    body = msgspec.msgpack.encode(message)
    return HEAD.pack(len(body)) + body


class Frames:
    """Puts messages together from what comes through a pipe in pieces."""

    def __init__(self) -> None:
        self._waiting = bytearray()

    def feed(self, data: bytes) -> Iterator[bytes]:
        """The bodies that are whole now."""
        self._waiting += data
        while len(self._waiting) >= HEAD.size:
            (size,) = HEAD.unpack_from(self._waiting)
            if len(self._waiting) < HEAD.size + size:
                return
            body = bytes(self._waiting[HEAD.size : HEAD.size + size])
            del self._waiting[: HEAD.size + size]
            yield body


class Works:
    """Answers asks, the latest sweep first, then a piece of the run."""

    def __init__(self, send: Callable[[Answer], None]) -> None:
        self._send = send
        self._sweeps: list[Callable[[], None]] = []
        self._run: Iterator[Counted] | None = None
        self._swept = self._ran = 0
        """Ids of the latest asks."""

    @property
    def idle(self) -> bool:
        """Whether there is nothing to do."""
        return not self._sweeps and self._run is None

    def take(self, ask: Ask) -> None:
        """Take an ask on."""
        if isinstance(ask, AskSweep):
            self._swept = ask.id
            self._sweeps = [lambda: self._sweep(ask, COARSE), lambda: self._sweep(ask, FINE)]
        elif isinstance(ask, AskRun):
            self._ran, self._run = ask.id, _run(ask)
        else:
            self._run = None

    def step(self) -> None:
        """Do a piece of what there is to do; why it cannot be done is told."""
        from desk.ball.course import CannotPlayError
        from desk.design.file import DesignFileError
        from desk.shapes.loop import ShapeError

        sweeping = bool(self._sweeps)
        try:
            (self._sweeps.pop(0) if sweeping else self._piece)()
        except (CannotPlayError, ShapeError, DesignFileError) as error:
            if sweeping:
                self._sweeps = []
            else:
                self._run = None
            self._send(Failed(self._swept if sweeping else self._ran, str(error), run=not sweeping))

    def _sweep(self, ask: AskSweep, count: int) -> None:
        from desk.playing import sweep

        made = sweep(made_of(ask.design)[1], ask.low, ask.high, ask.aim, count)
        spans = [Span(w.low, w.high, w.result, w.score) for w in made.windows]
        self._send(Swept(ask.id, ask.low, ask.high, ask.aim, made.step, spans, count == FINE))

    def _piece(self) -> None:
        counted = next(self._run, None) if self._run is not None else None
        if counted is None:
            self._run = None
        else:
            self._send(counted)


def _run(ask: AskRun) -> Iterator[Counted]:
    """What is known after each piece of a run."""
    from desk.ball.play import play

    cabinet, of = made_of(ask.design)
    for known in play(of, cabinet.people, cabinet.balls.count, ask.throws, ask.seed):
        yield told(ask.id, known, cabinet)


def told(key: int, known: PlayStatistics, cabinet: Cabinet) -> Counted:
    """Statistics of a cabinet as a message; of the balls that do not come back those that stop are listed first."""
    from desk.ball.throw import STOPPED
    from desk.views.playing import counted

    side = cabinet.balls.diameter / 2
    strays = sorted(known.strays, key=lambda s: s.result != STOPPED)[:LISTED]
    return Counted(
        id=key,
        done=known.done,
        total=known.total,
        ends=[End(e.result, e.score, e.share, e.error) for e in known.ends],
        round=known.round,
        round_error=known.round_error,
        back=known.back,
        lost=known.lost,
        time=None if math.isnan(known.time) else known.time,
        strays=[Stray(s.number, s.speed, s.aim, s.result, s.leg, s.at) for s in strays],
        strayed=len(known.strays),
        stopped=sum(s.result == STOPPED for s in known.strays),
        side=side,
        landings=[(i, j, n) for (i, j), n in counted(known.landings.tolist(), side).items()],
    )


def judged(cabinet: Cabinet, run: Counted) -> tuple[Finding, ...]:
    """What the check of balls' ends finds in a run with this cabinet, worst first."""
    from desk.ball.play import Stray
    from desk.checks.ends import Ended, verdict

    strays = [Stray(s.number, s.speed, s.aim, s.result, s.leg, s.at) for s in run.strays]
    return verdict(cabinet, Ended(run.done, run.stopped, run.strayed - run.stopped, strays))


@lru_cache(maxsize=4)
def made_of(design: bytes) -> tuple[Cabinet, Course]:
    """The cabinet of a design given as the text of its file, and the way of a ball in it."""
    from desk.ball.course import course
    from desk.cabinet.build import build
    from desk.design.file import loads

    cabinet = build(loads(design))
    return cabinet, course(cabinet)


def serve(asks: queue.Queue[Ask | None], works: Works) -> None:
    """Work until None is asked."""
    while True:
        try:
            ask = asks.get(block=works.idle)
        except queue.Empty:
            works.step()
            continue
        if ask is None:
            return
        works.take(ask)


def listen(inward: BufferedReader, asks: queue.Queue[Ask | None]) -> None:
    """Put what comes in among the asks; None at its end."""
    frames = Frames()
    while data := inward.read1(65536):
        for body in frames.feed(data):
            asks.put(msgspec.msgpack.decode(body, type=Ask))
    asks.put(None)


def main() -> int:
    """Serve the process that started this one."""
    if hasattr(os, "nice"):
        os.nice(GENTLE)
    outward = sys.stdout.buffer

    def send(answer: Answer) -> None:
        outward.write(framed(answer))
        outward.flush()

    asks: queue.Queue[Ask | None] = queue.Queue()
    inward = cast(BufferedReader, sys.stdin.buffer)
    threading.Thread(target=listen, args=(inward, asks), daemon=True).start()
    try:
        serve(asks, Works(send))
    except BrokenPipeError:
        return 0  # nobody listens any more
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
