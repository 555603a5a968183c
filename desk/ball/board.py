"""Motion on the board face: flight, bounces, rolling, rails, holes. One kernel for one ball and for many.

A ball is a solid sphere in space. Each step looks how far it is from everything it could touch, lets it spring
back from what it runs into, and then moves it as far as nothing can be met before: gravity for the time of the
step, with the push and the friction of whatever it lies against taken out as impulses. Speed and place are exact
for any length of step as long as it lies on a plane or flies; only against round things (rims, corners of rails)
steps are kept short.

Coordinates of ``ground``: x across, y up the slope, h the middle's height above the floor; mm, s. Spin is angular
velocity times radius, by components.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from desk.ball.contact import Contact
from desk.ball.edges import GRAVITY, Reals, Whole
from desk.ball.ground import STEP_TOP, Ground
from desk.ball.numbers import Many, Number, Numbers, One

PLAYS, IN_HOLE, OFF_FOOT, OVER, RESTING = 0, 1, 2, 3, 4
"""Where a ball is: on the face, down a hole, off the lower end, over a wall or the header, at rest."""
TOUCH = 0.01
"""A ball this near to something touches it, mm."""
TURN = 0.05
"""Along round things a step covers at most this share of the radius."""
RIM = 0.1
"""A step that comes to a rim goes beyond it by at most this share of one along round things."""
LONGEST, SHORTEST = 0.02, 2e-5
"""Steps, s."""
PAST = 1e-7
"""A step that ends at the face's lower end goes on so much longer, s, to be past it."""
SUNK = 0.25
"""A ball whose middle is this share of its radius below the floor, in a hole, does not come out again."""
NUDGE, STILL = 0.3, 0.5
"""A ball that stays within so much (mm) for so long (s) is at rest: at the turn of a free run it would take 0.03 s."""
MOST_STEPS = 6000
FEW = 10
"""So many balls are done one by one: arrays this short cost more."""

State = tuple[Number, ...]
"""x, y, h, vx, vy, vh, sx, sy, sn; then where the ball was when it last had moved (x, y, h), for how long it has not,
and its speed along the face when its middle was last over the floor."""
PHYSICAL = 9
"""So many of these say how the ball moves; the others only watch it."""


@dataclass(frozen=True)
class Step:
    """How finely the face is stepped; tests make it finer to see what that changes."""

    turn: float = TURN
    longest: float = LONGEST


class Board:
    """The kernel for one face, one kind of contact and one kind of number."""

    def __init__(self, of: Ground, contact: Contact, m: Numbers, step: Step = Step()) -> None:
        self.of, self.contact, self.m, self.fine = of, contact, m, step
        self.g = (-GRAVITY * math.sin(of.tilt), -GRAVITY * math.cos(of.tilt))
        self.cos, self.sin = math.cos(of.tilt), math.sin(of.tilt)
        self.tops = (np.array(of.wall_top), list(of.wall_top))

    # ---- distances: each gives (gap, nx, ny, nh)

    def floor(self, x: Number, y: Number, h: Number) -> tuple[Number, Number, Number, Number, Number]:
        """Gap and normal towards the floor or, over a hole, its rim; last how far the middle is outside any hole."""
        m, r, near = self.m, self.of.radius, self.of.near
        i = m.low(m.high((x - near.x0) / near.pitch, 0.0), near.columns - 0.5)
        j = m.low(m.high((y - near.y0) / near.pitch, 0.0), near.rows - 0.5)
        k = m.floor(j) * near.columns + m.floor(i)
        dx, dy = x - m.pick(near.x, near.listed_x, k), y - m.pick(near.y, near.listed_y, k)
        rho = m.high(m.sqrt(dx * dx + dy * dy), 1e-9)
        away = rho - m.pick(near.r, near.listed_r, k)
        over = away >= 0.0
        if not m.any(away < 0.0):
            return h - r, 0.0, 0.0, 1.0, away
        level = m.high(h, 0.0)
        inside = m.low(away, 0.0)
        gap = m.high(m.sqrt(inside * inside + level * level), 1e-9)
        share = m.where(over, 0.0, inside / (gap * rho))
        return m.where(over, h, gap) - r, dx * share, dy * share, m.where(over, 1.0, level / gap), away

    def rails(self, x: Number, y: Number, h: Number) -> tuple[Number, Number, Number, Number]:
        """Gap and normal towards the rails, their tops and top edges."""
        m, grid, r = self.m, self.of.grid, self.of.radius
        if grid is None:
            return 0.0 * x + 1e6, 0.0 * x, 0.0 * x, 0.0 * x + 1.0
        i = (x - grid.x0) / grid.pitch
        j = (y - grid.y0) / grid.pitch
        i, j = m.low(m.high(i, 0.0), grid.columns - 1.001), m.low(m.high(j, 0.0), grid.rows - 1.001)
        a, b = m.floor(i), m.floor(j)
        i, j, k = i - a, j - b, b * grid.columns + a
        v00, v10 = m.pick(grid.values, grid.listed, k), m.pick(grid.values, grid.listed, k + 1)
        v01 = m.pick(grid.values, grid.listed, k + grid.columns)
        v11 = m.pick(grid.values, grid.listed, k + grid.columns + 1)
        low, high = v00 + (v10 - v00) * i, v01 + (v11 - v01) * i
        d = low + (high - low) * j
        gx, gy = (v10 - v00) * (1 - j) + (v11 - v01) * j, high - low
        size = m.high(m.sqrt(gx * gx + gy * gy), 1e-9)
        above = m.high(h - self.of.rail, 0.0)
        beside = m.high(d, 0.0)
        gap = m.sqrt(beside * beside + above * above)
        some = m.high(gap, 1e-9)
        sunk = gap <= 1e-9
        nx, ny = gx / size, gy / size
        flat = m.where(sunk, 1.0, beside / some)
        return m.where(sunk, d, gap) - r, nx * flat, ny * flat, m.where(sunk, 0.0, above / some)

    def step(self, whole: State) -> tuple[State, Number, Number]:
        """One step: the new state, how long it took, and where the ball is then."""
        m, of = self.m, self.of
        s, watch = whole[:PHYSICAL], whole[PHYSICAL:]
        x, y, h = s[0], s[1], s[2]
        gf, fx, fy, fh, away = self.floor(x, y, h)
        gr, rx, ry, rh = self.rails(x, y, h)
        gw = of.half - m.where(x < 0, -x, x)
        side = m.where(x < 0, 1.0, -1.0)
        gt = of.top - (y * self.cos - h * self.sin)
        zero = 0.0 * x
        touches = (
            (gf, fx, fy, fh, self.contact.board, True),
            (gr, rx, ry, rh, self.contact.board, False),
            (gw, side, zero, zero, self.contact.panel, False),
            (gt, zero, zero - self.cos, zero + self.sin, self.contact.panel, False),
        )
        out = s
        for gap, nx, ny, nh, e, _ in touches:
            near = gap <= TOUCH
            if m.any(near):
                out, _ = self._push(out, near, (nx, ny, nh), e)
        dt = self._how_long(out, touches, away)
        vx, vy, vh = out[3], out[4], out[5]
        after = (*out[:4], vy + self.g[0] * dt, vh + self.g[1] * dt, *out[6:])
        for gap, nx, ny, nh, _, rolls in touches:
            near = gap <= TOUCH
            if m.any(near):
                bend = self._bend(out, away, (nx, ny, nh)) * dt if rolls else 0.0
                after, push = self._push(after, near, (nx, ny, nh), 0.0, bend)
                if rolls:
                    after = self._resist(after, push)
        x, y, h = self._out(x, y, h, touches)
        done = (
            x + (vx + after[3]) / 2 * dt,
            y + (vy + after[4]) / 2 * dt,
            h + (vh + after[5]) / 2 * dt,
            *after[3:],
        )
        watch = self._watch(done, watch, dt, s, away)
        return (*done, *watch), dt, self._where(done, away, gw, gt, watch[3])

    def _watch(self, s: State, watch: State, dt: Number, before: State, away: Number) -> State:
        """Where the ball lay, for how long it has not moved from there, and its speed when it was last over the
        floor."""
        m = self.m
        ax, ay, ah, still, rim = watch
        dx, dy, dh = s[0] - ax, s[1] - ay, s[2] - ah
        moved = dx * dx + dy * dy + dh * dh > NUDGE * NUDGE
        speed = m.sqrt(before[3] * before[3] + before[4] * before[4])
        return (
            m.where(moved, s[0], ax),
            m.where(moved, s[1], ay),
            m.where(moved, s[2], ah),
            m.where(moved, 0.0, still + dt),
            m.where(away >= 0.0, speed, rim),
        )

    def _bend(self, s: State, away: Number, n: State) -> Number:
        """How fast a ball's way may bend towards a rim it runs over, mm/s²: v²/r of its speed across the rim."""
        across = s[5] * self.m.sqrt(n[0] * n[0] + n[1] * n[1]) * -1.0
        level = self.m.high(self.m.sqrt(n[0] * n[0] + n[1] * n[1]), 1e-9)
        across = across + (s[3] * n[0] + s[4] * n[1]) / level * n[2]
        return self.m.where(away < 0.0, across * across / self.of.radius, 0.0)

    def _push(self, s: State, near: Number, n: State, e: float, slack: Number = 0.0) -> tuple[State, Number]:
        """The impulse of one contact: no speed into it, or back with restitution; friction up to its limit.

        ``slack``: speed into it that the contact's turning away makes up for.
        """
        m, c = self.m, self.contact
        x, y, h, vx, vy, vh, sx, sy, sn = s
        nx, ny, nh = n
        vn = vx * nx + vy * ny + vh * nh
        into = m.where(near, m.low(vn + slack, 0.0), 0.0)
        push = -into if e == 0.0 else -into * (1 + m.where(-into * e > c.stick, e, 0.0))
        # slip of the touching point: v - spin x n, without its part along n
        tx = vx - vn * nx - (sy * nh - sn * ny)
        ty = vy - vn * ny - (sn * nx - sx * nh)
        th = vh - vn * nh - (sx * ny - sy * nx)
        slip = m.high(m.sqrt(tx * tx + ty * ty + th * th), 1e-9)
        rub = -m.low(2 / 7, c.friction * push / slip)
        tx, ty, th = tx * rub, ty * rub, th * rub
        return (
            x,
            y,
            h,
            vx + push * nx + tx,
            vy + push * ny + ty,
            vh + push * nh + th,
            sx - 2.5 * (ny * th - nh * ty),
            sy - 2.5 * (nh * tx - nx * th),
            sn - 2.5 * (nx * ty - ny * tx),
        ), push

    def _resist(self, s: State, push: Number) -> State:
        """Rolling resistance on the floor, from the push it gave."""
        m = self.m
        x, y, h, vx, vy, vh, sx, sy, sn = s
        speed = m.high(m.sqrt(vx * vx + vy * vy), 1e-9)
        keep = m.high(1 - 5 / 7 * self.contact.rolling * push / speed, 0.0)
        return x, y, h, vx * keep, vy * keep, vh, sx * keep, sy * keep, sn

    def _how_long(self, s: State, touches: tuple[tuple[Number, ...], ...], away: Number) -> Number:
        """As long as nothing new can be met."""
        m, r = self.m, self.of.radius
        vx, vy, vh = s[3], s[4], s[5]
        speed = m.high(m.sqrt(vx * vx + vy * vy + vh * vh), 1e-6)
        around = m.low(self.fine.turn * r / speed, self.fine.longest / 10)
        foot = (vy + m.sqrt(vy * vy - 2 * self.g[0] * m.high(s[1], 0.0))) / max(-self.g[0], 1e-9)
        dt = m.low(m.high(foot + PAST, SHORTEST), self.fine.longest)
        gf, nx, ny, nh = touches[0][:4]
        lies = (gf <= TOUCH) & (away >= 0.0)
        fall = (vh + m.sqrt(vh * vh - 2 * self.g[1] * m.high(s[2] - r, 0.0))) / -self.g[1]
        meets = vx * nx + vy * ny + vh * nh < -self.contact.stick
        least = m.where(meets, around * RIM, around)
        rim = m.where(lies, self._within(away, speed) + around * RIM, m.high(self._within(gf, speed), least))
        dt = m.low(dt, m.where(s[2] > r + TOUCH, m.high(fall, SHORTEST), rim))
        for gap, *_ in touches[1:]:
            dt = m.low(dt, m.high(self._within(gap, speed), around))
        return dt

    def _within(self, gap: Number, speed: Number) -> Number:
        """Time in which a ball of this speed cannot go farther than ``gap``."""
        gap = self.m.high(gap, 0.0)
        return 2 * gap / (speed + self.m.sqrt(speed * speed + 2 * GRAVITY * gap))

    def _out(
        self, x: Number, y: Number, h: Number, touches: tuple[tuple[Number, ...], ...]
    ) -> tuple[Number, Number, Number]:
        """Out of whatever a step along something round left the ball in."""
        m = self.m
        for gap, nx, ny, nh, *_ in touches:
            deep = m.high(-gap, 0.0)
            x, y, h = x + deep * nx, y + deep * ny, h + deep * nh
        return x, y, h

    def _where(self, s: State, away: Number, gw: Number, gt: Number, still: Number) -> Number:
        m, of = self.m, self.of
        y, h = s[1], s[2]
        along, up = y * self.cos - h * self.sin, y * self.sin + h * self.cos
        k = m.low(m.high((along - of.wall_x0) / STEP_TOP, 0.0), len(of.wall_top) - 1.0)
        top = m.pick(*self.tops, m.floor(k))
        over = ((gw <= TOUCH) & (up > top)) | ((gt <= TOUCH) & (up > of.over))
        place = m.where(still > STILL, RESTING, PLAYS)
        place = m.where(over, OVER, place)
        place = m.where(y < 0.0, OFF_FOOT, place)
        return m.where((away < 0.0) & (h < -SUNK * of.radius), IN_HOLE, place)


@dataclass
class Played:
    """What became of balls on the face, one row each: last states (rows of nine), times, places, targets.

    ``first`` is where they first touched the floor or a rail (x, y; NaN for never); ``rim`` how fast they ran along the
    face when they were last over its floor, mm/s; ``track`` the way of one ball.
    """

    state: Reals
    time: Reals
    place: Whole
    target: Whole
    first: Reals
    rim: Reals
    track: list[tuple[float, ...]] = field(default_factory=list)


def play(of: Ground, contact: Contact, state: Reals, time: Reals, fine: Step = Step()) -> Played:
    """Let balls play on the face from their states (n, 9) and times (n,) until each has left it or lies still."""
    n = len(state)
    none = np.zeros(n, dtype=np.intp)
    watch = np.column_stack((state[:, :3], np.zeros((n, 2))))
    done = Played(
        np.column_stack((state, watch)),
        np.array(time, dtype=float),
        none,
        none.copy(),
        np.full((n, 2), np.nan),
        np.zeros(n),
    )
    live = np.arange(n) if n <= FEW else _many(of, contact, done, fine)
    _one(of, contact, done, fine, live)
    done.state, done.rim = done.state[:, :PHYSICAL], done.state[:, -1]
    sunk = done.place == IN_HOLE
    if sunk.any():
        at = done.state[sunk][:, :2]
        gap = np.stack([np.hypot(at[:, 0] - q.x, at[:, 1] - q.y) - q.radius for q in of.holes])
        done.target[sunk] = np.array([q.target for q in of.holes])[gap.argmin(axis=0)]
    return done


def _one(of: Ground, contact: Contact, done: Played, fine: Step, live: Whole) -> None:
    """Balls one by one; the way of a ball that is alone is kept."""
    kernel = Board(of, contact, One(), fine)
    alone = len(done.time) == 1
    for k in live.tolist():
        s: State = tuple(done.state[k].tolist())
        t, place, first = float(done.time[k]), PLAYS, bool(np.isnan(done.first[k, 0]))
        track = [(t, *s[:PHYSICAL])]
        for _ in range(MOST_STEPS):
            if first and _touching(kernel, s):
                done.first[k], first = s[:2], False
            s, dt, place = kernel.step(s)
            t += dt
            if alone:
                track.append((t, *s[:PHYSICAL]))
            if place != PLAYS:
                break
        done.state[k], done.time[k], done.place[k] = s, t, place if place != PLAYS else RESTING
        done.track = track


def _touching(kernel: Board, s: State) -> Number:
    return (kernel.floor(*s[:3])[0] <= TOUCH) | (kernel.rails(*s[:3])[0] <= TOUCH)


def _many(of: Ground, contact: Contact, done: Played, fine: Step) -> Whole:
    """All balls together, until few are left: those are handed back."""
    kernel = Board(of, contact, Many(), fine)
    live = np.arange(len(done.time))
    s: State = tuple(done.state.T.copy())
    t, first = done.time.copy(), done.first
    for _ in range(MOST_STEPS):
        fresh = np.isnan(first[live, 0])
        if fresh.any():
            some = tuple(v[fresh] for v in s[:3])
            hit = _touching(kernel, some)
            first[live[fresh][hit]] = np.column_stack((some[0][hit], some[1][hit]))
        s, dt, place = kernel.step(s)
        t = t + dt
        over = place != PLAYS
        if over.any():
            gone, stay = live[over], ~over
            done.state[gone] = np.column_stack([v[over] for v in s])
            done.time[gone], done.place[gone] = t[over], place[over]
            live, s, t = live[stay], tuple(v[stay] for v in s), t[stay]
        if live.size <= FEW:
            break
    done.state[live], done.time[live] = np.column_stack(s), t
    return live
