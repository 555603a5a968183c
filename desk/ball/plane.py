"""Motion of any number of balls in the plane of a leg: flights, bounces, rolling, sliding.

A ball is its centre, kept on the region's edge or inside it. It flies on a parabola to the next edge, springs back
with restitution and friction (oblique bounce of a solid sphere, I = 2/5 m r²), rolls along chains of edges (see
``outline``) and slides where the slope is too steep or a bounce left it spinning. Every move ends at an event
whose time has a closed form, so there is no step size. Spin is given as the surface speed ``w``: along an edge,
with the region to the left, a ball rolls when its speed is ``w``. Lengths in mm, times in s.
"""

from __future__ import annotations

import numpy as np

from desk.ball.contact import Contact
from desk.ball.edges import Flags, Reals, Whole
from desk.ball.flock import DONE, FLY, ROLL, SLIDE, Flock, Log, flight, run_along
from desk.ball.outline import Outline

RESTING, ASTRAY = -1, -2
"""Ends of a run besides the outline's names: at rest; no edge ahead or too many events."""
SLOW = 10.0
"""A ball slower than this where the slopes hold it is at rest, mm/s: it would climb less than 0.01 mm."""
SAME_SPEED = 1e-3
"""Speeds closer than this, mm/s, are the same."""
CREEP = 1e-6
"""Speeds across an edge below this are rounding, mm/s."""
REACH = 1e-5
"""Slack of positions on edges, mm."""
ON_EDGE = 0.05
"""A ball handed over from another leg this near to an edge lies on it, mm: cuts of neighbouring legs differ by so
much."""
NEVER = 1e6
"""Longer than any flight, s."""
MOST_EVENTS = 3000


class Motion:
    """Lets balls run on one outline until each has come to rest or left the leg."""

    def __init__(self, edges: Outline, contact: Contact, restitution: float, log: Log | None = None) -> None:
        self.o, self.c, self.e = edges, contact, restitution
        self.log = log
        self._start, self._along, self._inward = (
            np.ascontiguousarray(v.T) for v in (edges.start, edges.along, edges.inward)
        )
        self._pull = edges.inward @ edges.gravity
        self._haul = edges.along @ edges.gravity / 2
        self._far = edges.length + REACH

    def run(self, balls: Flock, most: int = MOST_EVENTS, finish: bool = True) -> Flock:
        """Move all balls to their ends, in place; ``end`` is then an index into the outline's names or one of ours.

        After ``most`` events a ball counts as astray, unless ``finish`` is false: it can then be run on.
        """
        for _ in range(most):
            live = np.nonzero(balls.mode < DONE)[0]
            if not live.size:
                return balls
            mode = balls.mode[live]
            for kind, move in ((FLY, self._fly), (ROLL, self._roll), (SLIDE, self._slide)):
                some = live[mode == kind]
                if some.size:
                    move(balls, some)
        if finish:
            rest = balls.mode < DONE
            balls.mode[rest], balls.end[rest] = DONE, ASTRAY
        return balls

    def enter(self, balls: Flock) -> None:
        """Take balls over from another leg: those that lie on a bearing edge and do not leave it go on along it."""
        o = self.o
        dx, dy = balls.x[:, None] - o.start[: o.count, 0], balls.y[:, None] - o.start[: o.count, 1]
        tx, ty = o.along[: o.count, 0], o.along[: o.count, 1]
        u = np.clip(dx * tx + dy * ty, 0.0, o.length[: o.count])
        gap = np.hypot(dx - u * tx, dy - u * ty)
        k = gap.argmin(axis=1)
        row = np.arange(len(k))
        nx, ny = o.inward[k, 0], o.inward[k, 1]
        deep = np.minimum(dx[row, k] * nx + dy[row, k] * ny, 0.0)
        deep = np.where(gap[row, k] < ON_EDGE, deep, 0.0)  # a cut that differs may leave the ball in the wood
        balls.x, balls.y = balls.x - deep * nx, balls.y - deep * ny
        away = np.abs(balls.vx * nx + balls.vy * ny)
        on = (gap[row, k] < ON_EDGE) & (o.cells.at[0, k] >= 0) & (away < self.c.stick)
        if on.any():
            i, k = row[on], k[on]
            speed = balls.vx[i] * o.along[k, 0] + balls.vy[i] * o.along[k, 1]
            self._on(balls, i, k, u[i, k], speed, balls.w[i])

    # ---- flight

    def _fly(self, b: Flock, i: Whole) -> None:
        o = self.o
        x, y, vx, vy = b.x[i], b.y[i], b.vx[i], b.vy[i]
        dx, dy = x[:, None] - self._start[0], y[:, None] - self._start[1]
        (nx, ny), (tx, ty) = self._inward, self._along
        sx, sy = vx[:, None], vy[:, None]
        t = self._meet(dx * nx + dy * ny, sx * nx + sy * ny)
        row = np.arange(len(i))
        over = b.over[i]
        t[row[over >= 0], over[over >= 0]] = NEVER
        u = dx * tx + dy * ty + t * (sx * tx + sy * ty + t * self._haul)
        t[(u < -REACH) | (u > self._far)] = NEVER
        k = t.argmin(axis=1)
        dt = t[row, k]
        lost = dt >= NEVER
        dt = np.where(lost, 0.0, dt)
        if self.log is not None:
            self.log(flight(o, b, int(i[0]), float(dt[0])))
        g = o.gravity
        b.x[i], b.y[i] = x + dt * (vx + g[0] / 2 * dt), y + dt * (vy + g[1] / 2 * dt)
        b.vx[i], b.vy[i] = vx + g[0] * dt, vy + g[1] * dt
        b.time[i] += dt
        self._finish(b, i[lost], ASTRAY)
        met, k, at = i[~lost], k[~lost], u[row, k][~lost]
        out = o.ends[k] >= 0
        self._finish(b, met[out], o.ends[k[out]])
        if not out.all():
            self._strike(b, met[~out], k[~out], at[~out])

    def _meet(self, gap: Reals, vn: Reals) -> Reals:
        """Time until each ball (row) crosses the line of each edge (column) towards the wood; ``NEVER`` if not."""
        a = self._pull
        vn = np.where(np.abs(vn) < CREEP, 0.0, vn)
        gap = np.where(np.abs(gap) < REACH, np.maximum(gap, 0.0), gap)
        with np.errstate(invalid="ignore", divide="ignore"):
            root = np.sqrt(vn * vn - 2 * a * gap)
            t = np.where(vn < 0, 2 * gap / (root - vn), -(vn + root) / a)
            return np.where((t >= 0) & (t < NEVER) & ((vn < 0) | (a < 0)), t, NEVER)

    def _strike(self, b: Flock, i: Whole, k: Whole, u: Reals) -> None:
        """Balls at edges they run into: spring back, or stay on when too slow to."""
        o = self.o
        tx, ty, nx, ny = o.along[k, 0], o.along[k, 1], o.inward[k, 0], o.inward[k, 1]
        vn = b.vx[i] * nx + b.vy[i] * ny
        vt = b.vx[i] * tx + b.vy[i] * ty
        b.wall[i] = np.maximum(b.wall[i], -vn)
        e = np.where(-vn * self.e > self.c.stick, self.e, 0.0)
        most = self.c.friction * (1 + e) * np.maximum(-vn, 0.0)
        push = np.minimum(np.maximum(-2 / 7 * (vt - b.w[i]), -most), most)
        vt, up = vt + push, -e * np.minimum(vn, 0.0)
        b.w[i] -= 2.5 * push
        b.vx[i], b.vy[i] = vt * tx + up * nx, vt * ty + up * ny
        b.mode[i], b.over[i] = FLY, -1
        stay = (up == 0.0) & (o.cells.at[0, k] >= 0)
        if stay.any():
            self._on(b, i[stay], k[stay], u[stay], vt[stay], b.w[i[stay]])

    # ---- on an edge

    def _on(self, b: Flock, i: Whole, k: Whole, u: Reals, vt: Reals, w: Reals) -> None:
        """Balls onto edges ``k`` at ``u`` with speeds along the ring; they travel the way they move or are pulled."""
        o, cells = self.o, self.o.cells
        still = np.abs(vt) < SAME_SPEED
        way = np.where(still, np.where(o.drive[k] >= 0, 1.0, -1.0), np.sign(vt))
        c = cells.at[(way < 0).astype(np.intp), k]
        b.cell[i], b.left[i] = (
            c,
            np.minimum(np.maximum(np.where(way > 0, o.length[k] - u, u), 0.0), o.length[k]),
        )
        b.speed[i], b.spin[i] = np.where(still, 0.0, np.abs(vt)), way * w
        self._choose(b, i)
        held = still & (np.abs(o.drive[k]) <= self.c.rolling * o.press[k]) & (np.abs(w) < SLOW)
        self._finish(b, i[held], RESTING)

    def _choose(self, b: Flock, i: Whole) -> None:
        """Roll or slide."""
        c, v = b.cell[i], b.speed[i]
        rolls = (np.abs(v - b.spin[i]) < SAME_SPEED) & (v * v >= self.o.cells.grip[c])
        b.mode[i] = np.where(rolls, ROLL, SLIDE)
        b.spin[i] = np.where(rolls, v, b.spin[i])

    def _roll(self, b: Flock, i: Whole) -> None:
        """Along the chain to the first cell where the ball stops, slips, or may leave."""
        cells = self.o.cells
        c0 = b.cell[i]
        many = int((cells.last[c0] - c0).max()) + 1
        idx = np.minimum(c0[:, None] + np.arange(many), cells.last[c0][:, None])
        y0, left, length, drop = b.speed[i] ** 2, b.left[i], cells.length[c0], cells.drop[c0]
        full = y0 + drop * (1 - left / length)
        energy = (full / cells.m[c0] + cells.b_start[c0])[:, None]
        first = cells.m[idx] * (energy - cells.b_start[idx])
        last = cells.m[idx] * (energy - cells.b_end[idx])
        first[:, 0] = y0
        slip = first < cells.grip[idx]
        slip[:, 0] = False
        stop = (last <= 0) & (cells.drop[idx] > 0)
        hit = slip | stop | (last >= cells.leave[idx]) | (idx == cells.last[idx])
        j = hit.argmax(axis=1)
        row = np.arange(len(i))
        go = cells.length[idx]
        go[:, 0] = left
        stop_j, slip_j = stop[row, j] & ~slip[row, j], slip[row, j]
        fall = cells.drop[idx[row, j]]
        short = np.where(
            stop_j, first[row, j] * cells.length[idx[row, j]] / np.where(fall > 0, fall, 1.0), 0.0
        )
        go[row, j] = np.where(stop_j, np.minimum(short, go[row, j]), np.where(slip_j, 0.0, go[row, j]))
        v0, v1 = np.sqrt(np.maximum(first, 0.0)), np.sqrt(np.maximum(last, 0.0))
        v1[row, j] = np.where(stop_j, 0.0, np.where(slip_j, v0[row, j], v1[row, j]))
        spent = np.where(np.arange(many) <= j[:, None], 2 * go / np.maximum(v0 + v1, SAME_SPEED), 0.0)
        if self.log is not None:
            self._log_cells(b, int(i[0]), idx[0, : j[0] + 1], spent[0, : j[0] + 1], go[0, : j[0] + 1])
        b.time[i] += spent.sum(axis=1)
        b.cell[i], b.speed[i] = idx[row, j], v1[row, j]
        b.spin[i] = b.speed[i]
        whole = np.where(j > 0, cells.length[b.cell[i]], left)
        b.left[i] = np.where(stop_j | slip_j, whole - go[row, j], 0.0)
        b.mode[i[slip_j]] = SLIDE
        self._turn(b, i[stop_j])
        self._corner(b, i[~stop_j & ~slip_j])

    def _turn(self, b: Flock, i: Whole) -> None:
        """Balls that stopped on a cell: held there, or off the other way."""
        if not i.size:
            return
        cells, o = self.o.cells, self.o
        c = b.cell[i]
        k = cells.edge[c]
        flat = np.abs(o.drive[k]) <= self.c.rolling * o.press[k]
        held = (flat | self._cradled(b, i)) & (np.abs(b.spin[i]) < SLOW)
        self.locate(b, i)
        b.cell[i], b.left[i] = cells.back[c], cells.length[c] - b.left[i]
        b.speed[i], b.spin[i] = 0.0, -b.spin[i]
        self._choose(b, i)
        self._finish(b, i[held], RESTING)

    def _cradled(self, b: Flock, i: Whole) -> Flags:
        """Balls that stopped a hair's breadth up from a corner whose other side holds them as well."""
        cells, o = self.o.cells, self.o
        c = b.cell[i]
        k, way = cells.edge[c], cells.way[c]
        up = -way * o.drive[k] * (cells.length[c] - b.left[i])
        other = np.where(way > 0, o.before[k], o.after[k])
        opposed = (way * o.drive[other] >= -self.c.rolling * o.press[other]) | (cells.at[0, other] < 0)
        corner = np.where(way > 0, o.before[k], k)
        climbs = way * o.drive[k] <= self.c.rolling * o.press[k]
        held: Flags = climbs & (up < 0.7 * SLOW**2) & (o.turn[corner] > 0) & opposed
        return held

    def locate(self, b: Flock, i: Whole) -> None:
        """Write centres and speeds of balls on cells."""
        o, cells = self.o, self.o.cells
        c = b.cell[i]
        k, way = cells.edge[c], cells.way[c]
        u = np.where(way > 0, cells.length[c] - b.left[i], b.left[i])
        b.x[i], b.y[i] = o.start[k, 0] + u * o.along[k, 0], o.start[k, 1] + u * o.along[k, 1]
        b.vx[i], b.vy[i] = way * b.speed[i] * o.along[k, 0], way * b.speed[i] * o.along[k, 1]
        b.w[i] = way * b.spin[i]

    def _corner(self, b: Flock, i: Whole) -> None:
        """Balls at the end of a cell: over a crest, on along a curve, into a kink, or out of the leg."""
        if not i.size:
            return
        o, cells = self.o, self.o.cells
        c = b.cell[i]
        k, way = cells.edge[c], cells.way[c]
        b.left[i] = 0.0
        self.locate(b, i)
        forth = way > 0
        follow = np.where(forth, o.after[k], o.before[k])
        corner = np.where(forth, k, o.before[k])
        out = o.ends[follow] >= 0
        self._finish(b, i[out], o.ends[follow[out]])
        crest = o.turn[corner] <= 0
        bears = cells.at[0, follow] >= 0
        flies = ~out & crest & (~bears | (b.speed[i] ** 2 >= o.radius * o.press[follow]))
        b.mode[i[flies]], b.over[i[flies]] = FLY, k[flies]
        kink = ~out & ~crest & (o.kink[corner] | ~bears)
        goes = ~out & ~flies & ~kink
        if goes.any():
            keep = np.sqrt(np.where(crest[goes], 1.0, cells.keep[c[goes]]))
            self._step_on(b, i[goes], follow[goes], forth[goes], keep)
        if kink.any():
            self._valley(b, i[kink], k[kink], follow[kink], forth[kink])

    def _step_on(self, b: Flock, i: Whole, edge: Whole, forth: Flags, keep: Reals) -> None:
        cells = self.o.cells
        b.cell[i] = cells.at[(~forth).astype(np.intp), edge]
        b.left[i] = cells.length[b.cell[i]]
        b.speed[i] *= keep
        b.spin[i] *= keep
        self._choose(b, i)

    def _valley(self, b: Flock, i: Whole, edge: Whole, follow: Whole, forth: Flags) -> None:
        """Into a kink: at rest when slow and pushed in from both sides, else against the next edge."""
        o = self.o
        sign = np.where(forth, 1.0, -1.0)
        hold = self.c.rolling
        pushed = sign * o.drive[edge] >= -hold * o.press[edge]
        back = (sign * o.drive[follow] <= hold * np.maximum(o.press[follow], 0.0)) | (
            o.cells.at[0, follow] < 0
        )
        slow = b.speed[i] < SLOW
        rest = slow & pushed & back
        self._finish(b, i[rest], RESTING)
        b.w[i[slow]] = 0.0  # pressed into the kink, the spin rubs off at once
        on = ~rest
        u = np.where(forth, 0.0, o.length[follow])
        if on.any():
            self._strike(b, i[on], follow[on], u[on])

    def _slide(self, b: Flock, i: Whole) -> None:
        """One cell at most, with friction at its limit, until the slip ends, the ball stops or the cell does."""
        o, cells = self.o, self.o.cells
        c = b.cell[i]
        k, way = cells.edge[c], cells.way[c]
        v, w, left = b.speed[i], b.spin[i], b.left[i]
        pull, slip = way * o.drive[k], v - w
        sign = np.where(np.abs(slip) < SAME_SPEED, np.sign(pull), np.sign(slip))
        rub = -sign * self.c.friction * o.press[k]
        a, rate = pull + rub, pull + 3.5 * rub
        with np.errstate(divide="ignore", invalid="ignore"):
            even = np.where((np.abs(slip) >= SAME_SPEED) & (slip * rate < 0), -slip / rate, np.inf)
            halt = np.where(a < 0, v / -a, np.inf)
            root = v * v + 2 * a * left
            through = np.where(root > 0, 2 * left / (v + np.sqrt(np.maximum(root, 0.0))), np.inf)
        through = np.where(left <= REACH, 0.0, through)
        dt = np.minimum(np.minimum(even, halt), through)
        stuck = ~np.isfinite(dt)
        dt = np.where(stuck, 0.0, dt)
        go = np.minimum(dt * (v + a * dt / 2), left)
        if self.log is not None:
            self._log_cells(b, int(i[0]), c[:1], dt[:1], go[:1])
        b.time[i] += dt
        b.left[i], b.speed[i], b.spin[i] = left - go, np.maximum(v + a * dt, 0.0), w - 2.5 * rub * dt
        self.locate(b, i)
        self._finish(b, i[stuck], RESTING)
        ends, evens = ~stuck & (dt == through), ~stuck & (dt == even) & (dt < through)
        b.spin[i[evens]] = b.speed[i[evens]]
        self._choose(b, i[evens])
        self._turn(b, i[~stuck & ~ends & ~evens])
        self._corner(b, i[ends])

    def _finish(self, b: Flock, i: Whole, end: int | Whole) -> None:
        b.mode[i], b.end[i] = DONE, end

    def _log_cells(self, b: Flock, k: int, idx: Whole, spent: Reals, go: Reals) -> None:
        """Tell of a run along cells; only the first ball of a run is told of."""
        if self.log is not None:
            cells = self.o.cells
            self.log(run_along(self.o, b, k, (cells.edge[idx], cells.way[idx], cells.length[idx]), spent, go))


def end_name(edges: Outline, end: int) -> str:
    """What a ball's end is called: "rest", "astray" or the outline's name for it."""
    return {RESTING: "rest", ASTRAY: "astray"}.get(end) or edges.names[end]
