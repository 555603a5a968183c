"""Motion of any number of balls in the plane of a leg: flights, bounces, rolling, sliding.

A ball is its centre, kept on the region's edge or inside it. It flies on a parabola to the next edge, springs back
with restitution and friction (oblique bounce of a solid sphere, I = 2/5 m r²), rolls along chains of edges (see
``outline``) and slides where the slope is too steep or a bounce left it spinning. Every move ends at an event
whose time has a closed form, so there is no step size. Spin is given as the surface speed ``w``: along an edge,
with the region to the left, a ball rolls when its speed is ``w``. Lengths in mm, times in s.

The moves are written once (``numbers``): for many balls they work on columns, for one on plain numbers.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from desk.ball.contact import Contact
from desk.ball.edges import Reals
from desk.ball.flock import DONE, FLY, ROLL, SLIDE, Flock, Log, flight, run_along
from desk.ball.numbers import Many, Number, Numbers, One
from desk.ball.outline import REACH, Outline

RESTING, ASTRAY = -1, -2
"""Ends of a run besides the outline's names: at rest; no edge ahead or too many events."""
SLOW = 10.0
"""A ball slower than this where the slopes hold it is at rest, mm/s: it would climb less than 0.01 mm."""
SAME_SPEED = 1e-3
"""Speeds closer than this, mm/s, are the same."""
CREEP = 1e-6
"""Speeds across an edge below this are rounding, mm/s."""
ON_EDGE = 0.05
"""A ball handed over from another leg this near to an edge lies on it, mm: cuts of neighbouring legs differ by so
much."""
NEVER = 1e6
"""Longer than any flight, s."""
MOST_EVENTS = 3000
FEW = 8
"""So many balls are done one by one: arrays this short cost more."""
NOTHING = np.zeros(0)


class Motion:
    """Lets balls run on one outline until each has come to rest or left the leg.

    ``log`` is told of the moves of a ball that is alone.
    """

    def __init__(self, edges: Outline, contact: Contact, restitution: float, log: Log | None = None) -> None:
        self._one = Moves(edges, contact, restitution, One(), log)
        self._many = Moves(edges, contact, restitution, Many())

    def enter(self, balls: Flock) -> None:
        """Take balls over from another leg: those that lie on a bearing edge and do not leave it go on along it."""
        if len(balls.x) <= FEW:
            for k in range(len(balls.x)):
                b = balls.one(k)
                self._one.enter(b)
                balls.put(k, b)
            return
        every = np.arange(len(balls.x))
        b = balls.take(every)
        self._many.enter(b)
        balls.put(every, b)

    def run(self, balls: Flock, most: int = MOST_EVENTS, finish: bool = True) -> Flock:
        """Move all balls to their ends, in place; ``end`` is then an index into the outline's names or one of ours.

        After ``most`` events a ball counts as astray, unless ``finish`` is false: it can then be run on.
        """
        events = 0
        live = np.flatnonzero(balls.mode < DONE)
        while live.size > FEW and events < most:
            mode = balls.mode[live]
            for kind, move in enumerate(self._many.kinds):
                some = live[mode == kind]
                if some.size:
                    b = balls.take(some)
                    move(b)
                    balls.put(some, b)
            events += 1
            live = live[balls.mode[live] < DONE]
        for k in live.tolist():
            b = balls.one(k)
            self._one.run(b, most - events, finish)
            balls.put(k, b)
        return balls

    def locate(self, balls: Flock) -> None:
        """Write centres and speeds of balls on cells that are not yet at their end."""
        for k in np.flatnonzero((balls.mode == ROLL) | (balls.mode == SLIDE)).tolist():
            b = balls.one(k)
            self._one.locate(b)
            balls.put(k, b)


class Moves:
    """The moves on one outline for one kind of number. Each takes balls of one mode on to their next event."""

    def __init__(
        self, edges: Outline, contact: Contact, restitution: float, m: Numbers, log: Log | None = None
    ) -> None:
        self.o, self.c, self.e, self.m, self.log = edges, contact, restitution, m, log
        self.gx, self.gy = self.gravity = tuple(edges.gravity.tolist())
        self.side: Any
        self.cell: Any
        self.side, self.cell = edges.listed if isinstance(m, One) else (edges.sides, edges.cells)
        self.kinds = (self.fly, self.roll, self.slide)

    def run(self, b: Flock, most: int, finish: bool) -> None:
        """One ball to its end."""
        for _ in range(most):
            if b.mode == DONE:
                return
            self.kinds[b.mode](b)
        if finish and b.mode != DONE:
            self._end(b, ASTRAY)

    def enter(self, b: Flock) -> None:
        """See ``Motion``."""
        m, side = self.m, self.side
        k, gap, u, dx, dy = m.sheets(self._nearest, b.x, b.y)
        nx, ny = side.nx[k], side.ny[k]
        near, deep = gap < ON_EDGE, m.low(dx * nx + dy * ny, 0.0)
        deep = m.where(near, deep, 0.0)  # a cut that differs may leave the ball in the wood
        b.x, b.y = b.x - deep * nx, b.y - deep * ny
        away = abs(b.vx * nx + b.vy * ny)
        b.edge, b.at = k, u
        b.speed, b.spin = b.vx * side.tx[k] + b.vy * side.ty[k], b.w
        m.some(b, near & side.bears[k] & (away < self.c.stick), self._on)

    def _nearest(self, x: Number, y: Number) -> tuple[Number, ...]:
        """The edge nearest to each place, how far off it is, where along it, and the place seen from its start."""
        m, n, of = self.m, self.o.count, self.o.sides
        dx, dy = m.beside(x) - of.x[:n], m.beside(y) - of.y[:n]
        tx, ty = of.tx[:n], of.ty[:n]
        u = np.minimum(np.maximum(dx * tx + dy * ty, 0.0), of.length[:n])
        gap = np.hypot(dx - u * tx, dy - u * ty)
        k = m.least(gap)
        return k, *(m.entry(sheet, k) for sheet in (gap, u, dx, dy))

    # ---- flight

    def fly(self, b: Flock) -> None:
        """On a parabola to the next edge, and back from it."""
        m = self.m
        k, dt, at = m.sheets(self._next, b.x, b.y, b.vx, b.vy, b.over)
        met = dt < NEVER
        dt = m.where(met, dt, 0.0)
        if self.log is not None:
            self.log(flight(self.gravity, b, dt))
        b.x, b.y = b.x + dt * (b.vx + self.gx / 2 * dt), b.y + dt * (b.vy + self.gy / 2 * dt)
        b.vx, b.vy = b.vx + self.gx * dt, b.vy + self.gy * dt
        b.time = b.time + dt
        b.edge, b.at = k, at
        b.mode, b.end = m.full(b.mode, DONE), m.where(met, self.side.ends[k], ASTRAY)
        m.some(b, met & (b.end < 0), self._strike)

    def _next(self, x: Number, y: Number, vx: Number, vy: Number, over: Number) -> tuple[Number, ...]:
        """The edge a ball in flight meets first, the time until it does (``NEVER`` for none) and where along it."""
        m, of = self.m, self.o.sides
        dx, dy, vx, vy = m.beside(x) - of.x, m.beside(y) - of.y, m.beside(vx), m.beside(vy)
        gap, vn = dx * of.nx + dy * of.ny, vx * of.nx + vy * of.ny
        vn = np.where(np.abs(vn) < CREEP, 0.0, vn)
        gap = np.where(np.abs(gap) < REACH, np.maximum(gap, 0.0), gap)
        into, square = vn < 0, vn * vn - of.twice * gap
        root = np.sqrt(np.maximum(square, 0.0))
        t = np.where(into, 2 * gap, vn + root) / np.where(into, root - vn, of.lift)
        u = dx * of.tx + dy * of.ty + t * (vx * of.tx + vy * of.ty + t * of.haul)
        met = (t >= 0) & (square >= 0) & (into | of.below) & (u >= -REACH) & (u <= of.far)
        t = np.where(met & (of.number != m.beside(over)), t, NEVER)
        k = m.least(t)
        return k, m.entry(t, k), m.entry(u, k)

    def _strike(self, b: Flock) -> None:
        """Against the edge it is at: springs back, or stays on when too slow to."""
        m, c, side, k = self.m, self.c, self.side, b.edge
        tx, ty, nx, ny = side.tx[k], side.ty[k], side.nx[k], side.ny[k]
        vn = b.vx * nx + b.vy * ny
        vt = b.vx * tx + b.vy * ty
        e = m.where(-vn * self.e > c.stick, self.e, 0.0)
        most = c.friction * (1 + e) * m.high(-vn, 0.0)
        push = m.low(m.high(-2 / 7 * (vt - b.w), -most), most)
        vt, up = vt + push, -e * m.low(vn, 0.0)
        b.w = b.w - 2.5 * push
        b.vx, b.vy = vt * tx + up * nx, vt * ty + up * ny
        b.mode, b.over = m.full(b.mode, FLY), m.full(b.over, -1)
        b.speed, b.spin = vt, b.w
        m.some(b, (up == 0.0) & side.bears[k], self._on)

    # ---- on an edge

    def _on(self, b: Flock) -> None:
        """Onto the edge it is at, ``speed`` and ``spin`` still counted along the ring; from there it travels the way
        it moves or is pulled."""
        m, side, k = self.m, self.side, b.edge
        v, w, length = b.speed, b.spin, side.length[k]
        still = abs(v) < SAME_SPEED
        way = m.where(still, side.down[k], m.sign(v))
        b.cell = m.where(way < 0, side.back[k], side.cell[k])
        b.left = m.low(m.high(m.where(way > 0, length - b.at, b.at), 0.0), length)
        b.speed, b.spin = m.where(still, 0.0, abs(v)), way * w
        self._choose(b)
        m.some(b, still & self.cell.flat[b.cell] & (abs(w) < SLOW), self._rest)

    def _choose(self, b: Flock) -> None:
        """Rolls or slides."""
        v = b.speed
        rolls = (abs(v - b.spin) < SAME_SPEED) & (v * v >= self.cell.grip[b.cell])
        b.mode = self.m.where(rolls, ROLL, SLIDE)
        b.spin = self.m.where(rolls, v, b.spin)

    def roll(self, b: Flock) -> None:
        """Along the chain to the first cell where it stops, slips, or may leave."""
        m, cell, c0 = self.m, self.cell, b.cell
        y0 = b.speed * b.speed
        energy = (y0 + cell.drop[c0] * (1 - b.left / cell.length[c0])) / cell.m[c0] + cell.b_start[c0]
        (j,) = m.sheets(self._reach, c0, cell.last[c0] - c0 + 1, energy)
        c, onto = c0 + j, j > 0
        times, ways = self._through(b, energy, j) if m.any(onto) else (NOTHING, NOTHING)
        y0 = m.where(onto, cell.m[c] * (energy - cell.b_start[c]), y0)
        y1, fall = cell.m[c] * (energy - cell.b_end[c]), cell.drop[c]
        slip = onto & (y0 < cell.grip[c])
        stop = (y1 <= 0) & (fall > 0) & m.no(slip)
        left = m.where(onto, cell.length[c], b.left)
        short = m.low(y0 * cell.length[c] / m.where(fall > 0, fall, 1.0), left)
        go = m.where(stop, short, m.where(slip, 0.0, left))
        v0 = m.sqrt(y0)
        v1 = m.where(stop, 0.0, m.where(slip, v0, m.sqrt(y1)))
        dt = 2 * go / m.high(v0 + v1, SAME_SPEED)
        if self.log is not None:
            self.log(run_along(self.side, self.cell, b, [*times.tolist(), dt], [*ways.tolist(), go]))
        b.time = b.time + (m.total(times, j) + dt)
        b.cell, b.speed, b.spin = c, v1, v1
        b.left = m.where(stop | slip, left - go, 0.0)
        b.mode = m.where(slip, SLIDE, ROLL)
        m.some(b, stop, self._turn)
        m.some(b, m.no(stop | slip), self._corner)

    def _reach(self, c: Number, count: Number, energy: Number) -> tuple[Number]:
        """How many cells on a ball with so much E stops, slips, or may leave."""
        m, of, cell = self.m, self.o.cells, self.cell
        row, e = m.span(c, count), m.beside(energy)
        hit = (e <= of.holds[row]) | (e >= of.leaves[row])
        hit[..., 0] = (energy <= cell.stops[c]) | (energy >= cell.leaves[c])
        return (m.first(hit),)

    def _through(self, b: Flock, energy: Number, count: Number) -> tuple[Reals, Reals]:
        """Times and ways on so many cells that are rolled through to their ends."""
        m, of = self.m, self.o.cells
        row, e = m.span(b.cell, count), m.beside(energy)
        first, last = of.m[row] * (e - of.b_start[row]), of.m[row] * (e - of.b_end[row])
        go = of.length[row].copy()
        first[..., 0], go[..., 0] = b.speed * b.speed, b.left
        v = np.sqrt(np.maximum(first, 0.0)) + np.sqrt(np.maximum(last, 0.0))
        return 2 * go / np.maximum(v, SAME_SPEED), go

    def slide(self, b: Flock) -> None:
        """One cell at most, with friction at its limit, until the slip ends, the ball stops or the cell does."""
        m, cell, c = self.m, self.cell, b.cell
        v, w, left, pull = b.speed, b.spin, b.left, cell.pull[c]
        slip = v - w
        slips = abs(slip) >= SAME_SPEED
        rub = -m.where(slips, m.sign(slip), m.sign(pull)) * self.c.friction * cell.press[c]
        a, rate = pull + rub, pull + 3.5 * rub
        evens = slips & (slip * rate < 0)
        even = m.where(evens, -slip / m.where(evens, rate, 1.0), math.inf)
        halt = m.where(a < 0, v / m.where(a < 0, -a, 1.0), math.inf)
        square = v * v + 2 * a * left
        through = m.where(square > 0, 2 * left / m.where(square > 0, v + m.sqrt(square), 1.0), math.inf)
        through = m.where(left <= REACH, 0.0, through)
        dt = m.low(m.low(even, halt), through)
        moves = dt < math.inf
        dt = m.where(moves, dt, 0.0)
        go = m.low(dt * (v + a * dt / 2), left)
        if self.log is not None:
            self.log(run_along(self.side, self.cell, b, [dt], [go]))
        b.time = b.time + dt
        b.left, b.speed, b.spin = left - go, m.high(v + a * dt, 0.0), w - 2.5 * rub * dt
        self.locate(b)
        ends, rolls = moves & (dt == through), moves & (dt == even) & (dt < through)
        b.spin = m.where(rolls, b.speed, b.spin)
        m.some(b, m.no(moves), self._rest)
        m.some(b, rolls, self._choose)
        m.some(b, moves & m.no(ends | rolls), self._turn)
        m.some(b, ends, self._corner)

    def locate(self, b: Flock) -> None:
        """Write centre and speed of a ball on a cell."""
        m, side, cell, c = self.m, self.side, self.cell, b.cell
        k, way = cell.edge[c], cell.way[c]
        tx, ty, v = side.tx[k], side.ty[k], way * b.speed
        u = m.where(way > 0, cell.length[c] - b.left, b.left)
        b.x, b.y = side.x[k] + u * tx, side.y[k] + u * ty
        b.vx, b.vy, b.w = v * tx, v * ty, way * b.spin

    # ---- what comes next

    def _turn(self, b: Flock) -> None:
        """Stopped on a cell: held there, or a hair's breadth up from a corner whose other side holds it as well; or
        off the other way."""
        m, cell, c = self.m, self.cell, b.cell
        up = -cell.pull[c] * (cell.length[c] - b.left)
        held = (cell.flat[c] | (cell.cradle[c] & (up < 0.7 * SLOW**2))) & (abs(b.spin) < SLOW)
        self.locate(b)
        b.cell, b.left = cell.back[c], cell.length[c] - b.left
        b.speed, b.spin = m.full(b.speed, 0.0), -b.spin
        self._choose(b)
        m.some(b, held, self._rest)

    def _corner(self, b: Flock) -> None:
        """At the end of a cell: over a crest, on along a curve, into a kink, or out of the leg."""
        m, cell, c = self.m, self.cell, b.cell
        b.left = m.full(b.left, 0.0)
        self.locate(b)
        wood = cell.out[c] < 0
        flies = wood & cell.crest[c] & (b.speed * b.speed >= cell.lift[c])
        kink = wood & cell.kink[c]
        m.some(b, m.no(wood), self._leave)
        m.some(b, flies, self._fly_off)
        m.some(b, wood & m.no(flies | kink), self._step_on)
        m.some(b, kink, self._valley)

    def _fly_off(self, b: Flock) -> None:
        b.mode, b.over = self.m.full(b.mode, FLY), self.cell.edge[b.cell]

    def _step_on(self, b: Flock) -> None:
        keep = self.cell.onward[b.cell]
        b.cell = self.cell.next[b.cell]
        b.left = self.cell.length[b.cell]
        b.speed, b.spin = b.speed * keep, b.spin * keep
        self._choose(b)

    def _valley(self, b: Flock) -> None:
        """Into a kink: at rest when slow and pushed in from both sides, else against the next edge."""
        m, cell, c = self.m, self.cell, b.cell
        slow = b.speed < SLOW
        rest = slow & cell.pit[c]
        b.w = m.where(slow, 0.0, b.w)  # pressed into the kink, the spin rubs off at once
        b.edge = cell.follow[c]
        b.at = m.where(cell.way[c] > 0, 0.0, self.side.length[b.edge])
        m.some(b, rest, self._rest)
        m.some(b, m.no(rest), self._strike)

    def _leave(self, b: Flock) -> None:
        b.mode, b.end = self.m.full(b.mode, DONE), self.cell.out[b.cell]

    def _rest(self, b: Flock) -> None:
        self._end(b, RESTING)

    def _end(self, b: Flock, end: int) -> None:
        b.mode, b.end = self.m.full(b.mode, DONE), self.m.full(b.end, end)
