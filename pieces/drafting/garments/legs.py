"""The lines of a trouser leg, front or back: fork, seams and waist. Millimetres.

x is 0 at the side and runs to the middle; y is 0 at the fork and runs up. The side seam of front
and back is the same line, and their inseams are equally long. The middle meets the inseam squarely,
in front as behind, so that the seam through the fork runs on over the inseam without a kink.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from pieces.body.measurements import Body
from pieces.curves import bezier, length
from pieces.drafting.pattern import Edge, Role
from pieces.piece import Line, Point

_HIP = 1 / 3
"""Of the rise, from the fork up to the hip; common practice."""
_STEEPEST = 0.4
"""An inseam leaves the fork by no more for each millimetre down; common practice."""


def chair_rise(body: Body, given_mm: float | None, hip_mm: float) -> float:
    """From the waist down to the chair: as given, as measured, or hip / 5 + 7.5 cm.

    The last from memory of European tables.

    >>> chair_rise(Body(), None, 600.0), chair_rise(Body(rise=200.0), None, 600.0)
    (195.0, 200.0)
    """
    return given_mm or body.rise or hip_mm / 5 + 75.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """Half of the front or of the back, of which each leg has one.

    Attributes
    ----------
    quarter : from side to middle at the hip
    fork : from there out to the inseam, at the fork
    rise, higher : from the fork up to the waist at the side, and how much higher in the middle
    tilt : how far the waist rises for each millimetre from the side, or falls if it is below 0
    inseam : from the fork down to the hem, upright
    hem, side_in : width of the hem, and how far in from the side it begins
    waist_in, middle_in : what side and middle take in at the waist
    dart : what a dart takes there
    drop : by how much the fork lies lower than drawn, so that inseams are equally long
    """

    quarter: float
    fork: float
    rise: float
    higher: float
    tilt: float
    inseam: float
    hem: float
    side_in: float
    waist_in: float = 0.0
    middle_in: float = 0.0
    dart: float = 0.0
    drop: float = 0.0

    @property
    def hip(self) -> float:
        """The height of the hip."""
        return _HIP * self.rise

    @property
    def _middle(self) -> tuple[Point, Point]:
        """The straight part of the middle, from the hip up."""
        return (self.quarter, self.hip), (self.quarter - self.middle_in, self.rise + self.higher)

    @property
    def side(self) -> Line:
        """From the waist down to the hem, upright at both ends and at the hip."""
        high, low = self.rise, -self.inseam
        hip, third = (0.0, self.hip), (high - self.hip) / 3
        above: Line = ((0.0, high), hip)
        if self.waist_in:
            top = (self.waist_in, high)
            above = bezier(top, (top[0], high - third), (0.0, self.hip + third), hip, sewn=True)
        if not self.side_in:
            return (*above, (0.0, low))
        third = (self.hip - low) / 3
        foot = (self.side_in, low)
        return (
            above
            + bezier(hip, (0.0, self.hip - third), (foot[0], low + third), foot, sewn=True)[1:]
        )

    @property
    def _leaves(self) -> float:
        """How far the inseam comes in for each millimetre down, where it leaves the fork."""
        inwards = self.quarter + self.fork - self.side_in - self.hem
        return max(-_STEEPEST, min(_STEEPEST, 1.6 * inwards / (self.inseam - self.drop)))

    @property
    def inside(self) -> Line:
        """The inseam, from the hem, where it is upright, up to the fork."""
        point, foot = (
            (self.quarter + self.fork, -self.drop),
            (self.side_in + self.hem, -self.inseam),
        )
        third = (self.inseam - self.drop) / 3
        pull = point[0] - self._leaves * third, point[1] - third
        return bezier(point, pull, (foot[0], foot[1] + third), foot, sewn=True)[::-1]

    @property
    def middle(self) -> tuple[Line, Line]:
        """The curve from the fork up to the hip, and on straight to the waist."""
        start, (hip, top) = (self.quarter + self.fork, -self.drop), self._middle
        lean = math.hypot(1.0, self._leaves)
        out = 0.6 * self.fork
        pull = start[0] - out / lean, start[1] + out * self._leaves / lean
        reach = 0.6 * (hip[1] + self.drop) / math.dist(hip, top)
        push = hip[0] - reach * (top[0] - hip[0]), hip[1] - reach * (top[1] - hip[1])
        return bezier(start, pull, push, hip, sewn=True), (hip, top)

    def waist(self) -> tuple[Line, ...]:
        """From the middle, square to it, to the side; in three parts where a dart is."""
        (hip, top), end = self._middle, (self.waist_in, self.rise)
        up = math.dist(hip, top)
        # Square to the middle, towards the side.
        square = (-(top[1] - hip[1]) / up, (top[0] - hip[0]) / up)
        if not self.dart:
            third = math.dist(top, end) / 3
            pull = top[0] + third * square[0], top[1] + third * square[1]
            return (
                bezier(top, pull, (end[0] + third, end[1] + third * self.tilt), end, sewn=True),
            )
        return self._darted(top, square, end)

    def _darted(self, top: Point, square: Point, end: Point) -> tuple[Line, ...]:
        """The waist on both sides of a dart half-way, square to its legs, and its mouth between."""
        across = math.dist(top, end)
        ux, uy = (end[0] - top[0]) / across, (end[1] - top[1]) / across
        at = top[0] + ux * across / 2, top[1] + uy * across / 2
        lean = self.dart / 2 / self.dart_deep
        # Down into the piece, square to the line from middle to side.
        down = -uy, ux

        def placed(along: float, deep: float) -> Point:
            return at[0] + along * ux + deep * down[0], at[1] + along * uy + deep * down[1]

        low = -across / 8 * lean
        left, right = placed(-self.dart / 2, low), placed(self.dart / 2, low)
        third = across / 6
        to_dart = bezier(
            top,
            (top[0] + third * square[0], top[1] + third * square[1]),
            placed(-self.dart / 2 - third, low + third * lean),
            left,
            sewn=True,
        )
        mouth = (left, placed(0.0, low - self.dart / 2 * lean), right)
        on = bezier(
            right,
            placed(self.dart / 2 + third, low + third * lean),
            (end[0] + third, end[1] + third * self.tilt),
            end,
            sewn=True,
        )
        return to_dart, mouth, on

    @property
    def dart_deep(self) -> float:
        """How far a dart reaches down from the waist; two thirds of the way to the hip."""
        return (self.rise - self.hip) * 2 / 3

    def dart_legs(self) -> tuple[Line, ...]:
        """The lines along which a dart is sewn; none without one."""
        if not self.dart:
            return ()
        _, mouth, _ = self.waist()
        (ax, ay), (bx, by) = mouth[0], mouth[-1]
        wide = math.dist(mouth[0], mouth[-1])
        point = (
            (ax + bx) / 2 - (by - ay) / wide * self.dart_deep,
            (ay + by) / 2 + (bx - ax) / wide * self.dart_deep,
        )
        return (mouth[0], point), (mouth[-1], point)

    def edges(self, which: str, waist_role: Role, fly: bool = False) -> tuple[Edge, ...]:
        """Its edges, anticlockwise from the hem; the straight part of a front with a fly apart."""
        curve, straight = self.middle
        lines = self.waist()
        waist = [Edge("waist", line, waist_role) for line in lines]
        if len(lines) == 1:
            waist = [replace(waist[0], marks_mm=(length(lines[0]) / 2,))]
        else:
            waist[1] = Edge("waist dart", lines[1], waist_role, (0.0, length(lines[1])))
        name, side = f"centre {which}", self.side
        at_hip = (length(side) - self.hip - self.inseam,) if self.side_in == 0 else ()
        middle = [Edge(name, curve + straight[1:])]
        if fly:
            middle = [Edge(name, curve), Edge("fly", straight)]
        return (
            Edge("hem", (side[-1], self.inside[0]), Role.HEM),
            Edge("inseam", self.inside, marks_mm=(0.5 * length(self.inside),)),
            *middle,
            *waist,
            Edge("side", side, marks_mm=at_hip or (length(side) / 3,)),
        )


def even(front: Leg, back: Leg) -> Leg:
    """The back with its fork so low that its inseam is as long as the front's."""
    wanted = length(front.inside)
    for _ in range(12):
        back = replace(back, drop=back.drop + length(back.inside) - wanted)
    return back
