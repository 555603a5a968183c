"""One step of motion on the board face: flight, bounces, rolling, rails, holes. One kernel for one ball and for many.

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
from dataclasses import dataclass
from typing import Any

import numpy as np

from desk.ball.contact import Contact
from desk.ball.edges import GRAVITY
from desk.ball.ground import STEP_TOP, Grid, Ground
from desk.ball.numbers import Number, Numbers

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
FREE = 1e9
"""Faster into a contact than any ball comes, mm/s: what takes that up is not held by it."""
PAST = 1e-7
"""A step that ends at the face's lower end goes on so much longer, s, to be past it."""
SUNK = 0.25
"""A ball whose middle is this share of its radius below the floor, in a hole, does not come out again."""
NUDGE, STILL = 0.3, 0.5
"""A ball that stays within so much (mm) for so long (s) is at rest: at the turn of a free run it would take 0.03 s."""
State = tuple[Number, ...]
"""x, y, h, vx, vy, vh, sx, sy, sn; then where the ball was when it last had moved (x, y, h), for how long it has not,
and its speed along the face and up it when its middle was last over the floor."""
PHYSICAL = 9
"""So many of these say how the ball moves; the others only watch it."""


@dataclass(frozen=True)
class Step:
    """How finely the face is stepped; tests make it finer to see what that changes."""

    turn: float = TURN
    longest: float = LONGEST


USUAL = Step()


@dataclass(slots=True)
class Look:
    """Gaps towards floor, rails, wall and header, the floor's normal, how far the middle is outside any hole."""

    floor: Number
    normal: State
    away: Number
    rails: Number
    wall: Number
    header: Number

    @property
    def touches(self) -> Number:
        """Whether the ball touches the floor or a rail."""
        return (self.floor <= TOUCH) | (self.rails <= TOUCH)


@dataclass(slots=True)
class Touch:
    """What some balls touch: which, with their gaps and normals, restitution, and whether they can roll on it."""

    k: Any
    gap: Number
    n: State
    e: float
    rolls: bool


class Board:
    """The kernel for one face, one kind of contact and one kind of number."""

    def __init__(self, of: Ground, contact: Contact, m: Numbers, step: Step = USUAL) -> None:
        self.of, self.contact, self.m, self.fine = of, contact, m, step
        self.g = (-GRAVITY * math.sin(of.tilt), -GRAVITY * math.cos(of.tilt))
        self.cos, self.sin = math.cos(of.tilt), math.sin(of.tilt)
        self.tops = (np.array(of.wall_top), list(of.wall_top))

    # ---- distances

    def look(self, s: State) -> Look:
        """How far the ball is from all it could touch."""
        m, of = self.m, self.of
        x, y, h = s[0], s[1], s[2]
        gap, *normal, away = self.floor(x, y, h)
        wall = of.half - m.where(x < 0, -x, x)
        header = of.top - (y * self.cos - h * self.sin)
        return Look(gap, tuple(normal), away, self.rail_gap(x, y, h), wall, header)

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

    def rail_gap(self, x: Number, y: Number, h: Number) -> Number:
        """Gap towards the rails, their tops and top edges."""
        m = self.m
        if self.of.grid is None:
            return 0.0 * x + 1e6
        i, j, v00, v10, v01, v11 = self._nodes(self.of.grid, x, y)
        low = v00 + (v10 - v00) * i
        d = low + (v01 + (v11 - v01) * i - low) * j
        above, beside = m.high(h - self.of.rail, 0.0), m.high(d, 0.0)
        gap = m.sqrt(beside * beside + above * above)
        return m.where(gap <= 1e-9, d, gap) - self.of.radius

    def rail_normal(self, x: Number, y: Number, h: Number) -> State:
        """The normal away from the rails, where there are any."""
        m, grid = self.m, self.of.grid
        if grid is None:
            return 0.0 * x, 0.0 * x, 0.0 * x + 1.0
        i, j, v00, v10, v01, v11 = self._nodes(grid, x, y)
        low, high = v00 + (v10 - v00) * i, v01 + (v11 - v01) * i
        d = low + (high - low) * j
        gx, gy = (v10 - v00) * (1 - j) + (v11 - v01) * j, high - low
        size = m.high(m.sqrt(gx * gx + gy * gy), 1e-9)
        above, beside = m.high(h - self.of.rail, 0.0), m.high(d, 0.0)
        gap = m.sqrt(beside * beside + above * above)
        some, sunk = m.high(gap, 1e-9), gap <= 1e-9
        flat = m.where(sunk, 1.0, beside / some)
        return gx / size * flat, gy / size * flat, m.where(sunk, 0.0, above / some)

    def _nodes(self, grid: Grid, x: Number, y: Number) -> State:
        """Where in its square of the grid a place lies, and the distances on the square's corners."""
        m, wide = self.m, grid.columns
        i = m.low(m.high((x - grid.x0) / grid.pitch, 0.0), wide - 1.001)
        j = m.low(m.high((y - grid.y0) / grid.pitch, 0.0), grid.rows - 1.001)
        a, b = m.floor(i), m.floor(j)
        k, values, listed = b * wide + a, grid.values, grid.listed
        near, far = k + wide, k + wide + 1
        v00, v10 = m.pick(values, listed, k), m.pick(values, listed, k + 1)
        return i - a, j - b, v00, v10, m.pick(values, listed, near), m.pick(values, listed, far)

    def _contacts(self, s: State, look: Look) -> list[Touch]:
        """What balls lie against or run into."""
        m, c = self.m, self.contact
        found = []
        near = look.floor <= TOUCH
        if m.any(near):
            k = m.which(near)
            found.append(Touch(k, m.part(k, (look.floor,))[0], m.part(k, look.normal), c.board, rolls=True))
        for gap, e, normal in (
            (look.rails, c.board, self.rail_normal),
            (look.wall, c.panel, self._wall_normal),
            (look.header, c.panel, self._header_normal),
        ):
            near = gap <= TOUCH
            if m.any(near):
                k = m.which(near)
                found.append(Touch(k, m.part(k, (gap,))[0], normal(*m.part(k, s[:3])), e, rolls=False))
        if len(found) > 1:
            near = (look.rails <= TOUCH) & (m.low(look.wall, look.header) <= TOUCH)
            if m.any(near):
                k = m.which(near)
                found.append(Touch(k, 0.0, self._wedge(*m.part(k, (*s[:3], look.wall))), 0.0, rolls=False))
        return found

    def _wedge(self, x: Number, y: Number, h: Number, wall: Number) -> State:
        """The way out from between a rail and the wall or header it leans to: what presses a ball on both at once
        cannot be taken out of its speed one by one."""
        m = self.m
        beside = zip(self._wall_normal(x, y, h), self._header_normal(), strict=True)
        both = [
            n + m.where(wall <= TOUCH, *o) for n, o in zip(self.rail_normal(x, y, h), beside, strict=True)
        ]
        size = m.high(m.sqrt(sum(n * n for n in both)), 1e-9)
        return tuple(n / size for n in both)

    def _wall_normal(self, x: Number, y: Number, h: Number) -> State:  # noqa: ARG002 - walls stand upright
        return self.m.where(x < 0, 1.0, -1.0), 0.0, 0.0

    def _header_normal(self, *_: Number) -> State:
        return 0.0, -self.cos, self.sin

    # ---- one step

    def move(self, whole: State, look: Look) -> tuple[State, Number, Number]:
        """One step of a ball that has been looked at: the new state, how long it took, and where the ball is then."""
        m, s, watch = self.m, whole[:PHYSICAL], whole[PHYSICAL:]
        touches = self._contacts(s, look)
        speeds = s[3:]
        for touch in touches:
            speeds = m.merge(touch.k, speeds, self._push(m.part(touch.k, speeds), touch.n, touch.e)[0])
        hops = self._hops(speeds, look)
        dt = self._how_long(s, speeds, look, hops)
        vx, vy, vh = speeds[:3]
        after = (vx, vy + self.g[0] * dt, vh + self.g[1] * dt, *speeds[3:])
        place = s[:3]
        for touch in touches:
            k, n = touch.k, touch.n
            some, bend = m.part(k, after), 0.0
            if touch.rolls:
                away, lasts, off, *now = m.part(k, (look.away, dt, hops, vx, vy, vh))
                bend = m.where(off, FREE, self._bend(tuple(now), away, n) * lasts)
            some, push = self._push(some, n, 0.0, bend)
            after = m.merge(k, after, self._resist(some, push) if touch.rolls else some)
            place = m.merge(k, place, self._out(m.part(k, place), touch))
        x, y, h = place
        ax, ay, ah = after[:3]
        done = (x + (vx + ax) / 2 * dt, y + (vy + ay) / 2 * dt, h + (vh + ah) / 2 * dt, *after)
        watch = self._watch(done, watch, dt, s, look.away)
        return (*done, *watch), dt, self._where(done, look, watch[3])

    def _watch(self, s: State, watch: State, dt: Number, before: State, away: Number) -> State:
        """Where the ball lay, for how long it has not moved from there, and its speed and that up the board when it
        was last over the floor."""
        m = self.m
        ax, ay, ah, still, rim, up = watch
        dx, dy, dh = s[0] - ax, s[1] - ay, s[2] - ah
        moved = dx * dx + dy * dy + dh * dh > NUDGE * NUDGE
        speed = m.sqrt(before[3] * before[3] + before[4] * before[4])
        return (
            m.where(moved, s[0], ax),
            m.where(moved, s[1], ay),
            m.where(moved, s[2], ah),
            m.where(moved, 0.0, still + dt),
            m.where(away >= 0.0, speed, rim),
            m.where(away >= 0.0, before[4], up),
        )

    def _bend(self, v: State, away: Number, n: State) -> Number:
        """How fast a ball's way may bend towards a rim it runs over, mm/s²: v²/r of its speed across the rim."""
        if not self.m.any(away < 0.0):
            return 0.0
        flat = self.m.sqrt(n[0] * n[0] + n[1] * n[1])
        across = v[2] * flat * -1.0 + (v[0] * n[0] + v[1] * n[1]) / self.m.high(flat, 1e-9) * n[2]
        return self.m.where(away < 0.0, across * across / self.of.radius, 0.0)

    def _push(self, s: State, n: State, e: float, slack: Number = 0.0) -> tuple[State, Number]:
        """The impulse of one contact: no speed into it, or back with restitution; friction up to its limit.

        ``s``: speeds and spin. ``slack``: speed into it that the contact's turning away makes up for.
        """
        m, c = self.m, self.contact
        vx, vy, vh, sx, sy, sn = s
        nx, ny, nh = n
        vn = vx * nx + vy * ny + vh * nh
        into = m.low(vn + slack, 0.0)
        push = -into if e == 0.0 else -into * (1 + m.where(-into * e > c.stick, e, 0.0))
        # slip of the touching point: v - spin x n, without its part along n
        tx = vx - vn * nx - (sy * nh - sn * ny)
        ty = vy - vn * ny - (sn * nx - sx * nh)
        th = vh - vn * nh - (sx * ny - sy * nx)
        slip = m.high(m.sqrt(tx * tx + ty * ty + th * th), 1e-9)
        rub = -m.low(2 / 7, c.friction * push / slip)
        tx, ty, th = tx * rub, ty * rub, th * rub
        return (
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
        vx, vy, vh, sx, sy, sn = s
        speed = m.high(m.sqrt(vx * vx + vy * vy), 1e-9)
        keep = m.high(1 - 5 / 7 * self.contact.rolling * push / speed, 0.0)
        return vx * keep, vy * keep, vh, sx * keep, sy * keep, sn

    def _hops(self, v: State, look: Look) -> Number:
        """Whether a ball on the floor has sprung off it, higher than what still touches."""
        return (look.floor <= TOUCH) & (look.away >= 0.0) & (v[2] > math.sqrt(-2 * self.g[1] * TOUCH))

    def _how_long(self, s: State, v: State, look: Look, hops: Number) -> Number:
        """As long as nothing new can be met."""
        m, r = self.m, self.of.radius
        vx, vy, vh = v[:3]
        speed = m.high(m.sqrt(vx * vx + vy * vy + vh * vh), 1e-6)
        around = m.low(self.fine.turn * r / speed, self.fine.longest / 10)
        foot = (vy + m.sqrt(vy * vy - 2 * self.g[0] * m.high(s[1], 0.0))) / max(-self.g[0], 1e-9)
        dt = m.low(m.high(foot + PAST, SHORTEST), self.fine.longest)
        nx, ny, nh = look.normal
        lies = (look.floor <= TOUCH) & (look.away >= 0.0)
        fall = (vh + m.sqrt(vh * vh - 2 * self.g[1] * m.high(s[2] - r, 0.0))) / -self.g[1]
        meets = vx * nx + vy * ny + vh * nh < -self.contact.stick
        free = self._within(m.where(lies, look.away, look.floor), speed)
        rim = m.where(lies, free + around * RIM, m.high(free, m.where(meets, around * RIM, around)))
        dt = m.low(dt, m.where((s[2] > r + TOUCH) | hops, m.high(fall, SHORTEST), rim))
        beside = m.low(m.low(look.rails, look.wall), look.header)
        return m.low(dt, m.high(self._within(beside, speed), around))

    def _within(self, gap: Number, speed: Number) -> Number:
        """Time in which a ball of this speed cannot go farther than ``gap``."""
        gap = self.m.high(gap, 0.0)
        return 2 * gap / (speed + self.m.sqrt(speed * speed + 2 * GRAVITY * gap))

    def _out(self, place: State, touch: Touch) -> State:
        """Out of what a step along something round left the ball in."""
        deep = self.m.high(-touch.gap, 0.0)
        (x, y, h), (nx, ny, nh) = place, touch.n
        return x + deep * nx, y + deep * ny, h + deep * nh

    def _where(self, s: State, look: Look, still: Number) -> Number:
        m, of = self.m, self.of
        y, h = s[1], s[2]
        place = m.where(still > STILL, RESTING, PLAYS)
        if m.any(m.low(look.wall, look.header) <= TOUCH):
            along, up = y * self.cos - h * self.sin, y * self.sin + h * self.cos
            k = m.low(m.high((along - of.wall_x0) / STEP_TOP, 0.0), len(of.wall_top) - 1.0)
            top = m.pick(*self.tops, m.floor(k))
            over = ((look.wall <= TOUCH) & (up > top)) | ((look.header <= TOUCH) & (up > of.over))
            place = m.where(over, OVER, place)
        place = m.where(y < 0.0, OFF_FOOT, place)
        return m.where((look.away < 0.0) & (h < -SUNK * of.radius), IN_HOLE, place)
