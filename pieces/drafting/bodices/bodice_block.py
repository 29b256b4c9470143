"""The lines of a bodice block, half of it; `bust` beside it shapes a front. Millimetres.

x is 0 in the middle and runs to the side; y is 0 at the nape and runs up. Wherever front and back
are sewn together, their lines meet the seam at angles that make 180 degrees together, so that
nothing points or hooks once it is sewn (*A Complete Course in Dressmaking*, vol. 9, 1921, p. 22:
armhole and neck are laid together at the shoulder and trued to one continuous curve).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from pieces.body.shoulders import SLOPE_DEG
from pieces.curves import bezier, length, rounded
from pieces.piece import Line, Point

NECK_RISE = 1 / 3
"""The side of the neck above the nape, of half the neck's width: 1.5 cm at 4.9 cm (a pattern
teaching site's block for a child, secondary copy)."""
ACROSS_BACK, ACROSS_FRONT = 0.92, 0.88
"""Middle to armhole where it comes in furthest, over middle to shoulder's point: 1 and 1.5 cm less
at 12.5 cm (common practice; 1/4 and 1/2 in. at 4 1/2 in.)."""
_UNDERARM_MM = 15.0
"""The least the armhole runs out again to the side seam; common practice."""
_BELOW_FRONT_MM, _BELOW_BACK_MM = 25.0, 5.0
"""How far below the underarm a dart ends; common practice."""
SHORT_MM = 20.0
"""How far from the bust point a dart towards it ends; common practice."""
_LOBE = 0.4
"""The corner of a sweetheart neck over its lowest point, of its depth; common practice."""
_QUARTER_ELLIPSE = 0.5523
"""Pull of a cubic that comes nearest to a quarter of an ellipse."""
_V_DEG = 1.5
"""A V starts no flatter than so many times the shoulder's slope; otherwise it bends a little below
the shoulder, so that the neck behind can meet it; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bust:
    """How a front is shaped over a bust.

    Attributes
    ----------
    span, height : half from bust point to bust point, and down to one from the side of the neck
    higher, longer : by how much the front's underarm lies higher than the back's, and its waist
        lower: what a dart from the bust point to the side takes in
    short : how far from the bust point darts end; 0 where a seam runs over it
    """

    span: float
    height: float
    higher: float
    longer: float
    short: float = SHORT_MM


class NeckShape(StrEnum):
    """The neck in front; behind it is always round."""

    ROUND = "round"
    V = "V"
    SQUARE = "square"
    BOAT = "boat"
    SWEETHEART = "sweetheart"


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """The lengths that the draft is drawn from.

    Attributes
    ----------
    quarter, waist_quarter : of the chest and of the waist seam, with their ease
    length, scye_depth : from the nape to the waist seam, and to the underarm
    neck : half the neck where it lies on the body; the shoulder begins there
    neck_width, neck_depth, back_neck_depth : as the garment has them
    slope_deg : of the shoulder, below the level
    across_back, across_front : half of each, where the armhole comes in furthest; None as usual
    belly : how much lower the waist seam lies in the middle of the front than behind
    dart : what a dart from the waist takes in of each of the four quarters, or 0
    bust : over which the front is shaped, None for a child's
    """

    quarter: float
    waist_quarter: float
    length: float
    neck: float
    neck_shape: NeckShape
    neck_width: float
    neck_depth: float
    back_neck_depth: float
    scye_depth: float
    shoulder: float
    slope_deg: float = SLOPE_DEG
    across_back: float | None = None
    across_front: float | None = None
    belly: float = 0.0
    dart: float = 0.0
    bust: Bust | None = None

    @property
    def rise(self) -> float:
        """The side of the body's neck above the nape."""
        return NECK_RISE * self.neck

    @property
    def slope(self) -> float:
        """How far the shoulder falls for each millimetre across."""
        return math.tan(math.radians(self.slope_deg))

    @property
    def neck_point(self) -> Point:
        """Where neck and shoulder meet."""
        return self.neck_width, self.rise - self.slope * (self.neck_width - self.neck)

    @property
    def tip(self) -> Point:
        """The shoulder's point."""
        turn = math.radians(self.slope_deg)
        return (
            self.neck + self.shoulder * math.cos(turn),
            self.rise - self.shoulder * math.sin(turn),
        )

    @property
    def underarm(self) -> Point:
        """Where armhole and side meet behind, and in front without a bust."""
        return self.quarter, -self.scye_depth

    def underarm_of(self, *, front: bool) -> Point:
        """Where armhole and side meet in front or behind."""
        x, y = self.underarm
        return (x, y + self.bust.higher) if front and self.bust else (x, y)

    def longer(self, *, front: bool) -> float:
        """By how much front or back is longer down to the waist at its side than the back is."""
        return self.bust.longer if front and self.bust else 0.0

    def waist_side_of(self, *, front: bool) -> Point:
        """Where side and waist meet in front or behind."""
        x, y = self.waist_side
        return x, y - self.longer(front=front)

    @property
    def bust_point(self) -> Point:
        """The bust point; where a dart would end without a bust."""
        if self.bust is None:
            return self.apex(front=True)
        across = self.bust.span - self.neck
        return self.bust.span, self.rise - math.sqrt(max(0.0, self.bust.height**2 - across**2))

    @property
    def waist_side(self) -> Point:
        """Where side and waist meet behind.

        The waist seam is curved in front where the belly asks for length, and longer for it; what
        it gains there is taken off both, so that front and back together are as long as asked.
        """
        x = self.waist_quarter + self.dart
        for _ in range(6):
            long = sum(
                length(line) for front in (True, False) for line in _waist_to(self, x, front)[::2]
            )
            x -= long / 2 - self.waist_quarter
        return x, -self.length

    def apex(self, *, front: bool) -> Point:
        """Where a dart from the waist ends: 2 cm below a bust point (common practice)."""
        if front and self.bust is not None:
            x, y = self.bust_point
            return x, y - self.bust.short
        below = _BELOW_FRONT_MM if front else _BELOW_BACK_MM
        return 0.5 * self.across(front=front), -self.scye_depth - below

    @property
    def lean(self) -> float:
        """How far the side comes in for each millimetre down, where it leaves the underarm."""
        return self.lean_of(front=False)

    def lean_of(self, *, front: bool) -> float:
        """The same in front or behind."""
        (x, y), (low_x, low_y) = self.underarm_of(front=front), self.waist_side_of(front=front)
        return (x - low_x) / (y - low_y)

    @property
    def front_low(self) -> float:
        """y of the neck at centre front."""
        return self.rise - self.neck_depth

    @property
    def front_lean_deg(self) -> float:
        """How far from the upright the front neck leaves the shoulder, towards the middle.

        Square to the shoulder as a rule, and steeper where the neck is deep.
        """
        x, y = self.neck_point
        drop = y - self.front_low
        match self.neck_shape:
            case NeckShape.SQUARE | NeckShape.SWEETHEART:
                return 0.0
            case NeckShape.V:
                return min(math.degrees(math.atan2(x, drop)), _V_DEG * self.slope_deg)
        return min(self.slope_deg, math.degrees(math.atan2(x / 2, drop)))

    @property
    def back_lean_deg(self) -> float:
        """The same behind: together the two make a straight line over the shoulder."""
        return 2 * self.slope_deg - self.front_lean_deg

    def across(self, *, front: bool) -> float:
        """x of the armhole where it comes in furthest."""
        measured = self.across_front if front else self.across_back
        usual = self.tip[0] * (ACROSS_FRONT if front else ACROSS_BACK)
        return min(usual if measured is None else measured, self.quarter - _UNDERARM_MM)


def armhole_line(block: Block, *, front: bool) -> Line:
    """From the underarm, square to the side seam, up and square into the shoulder."""
    (tip_x, tip_y), (side_x, side_y) = block.tip, block.underarm_of(front=front)
    across = block.across(front=front)
    turn_y = side_y + 0.45 * (tip_y - side_y)
    pull = _QUARTER_ELLIPSE
    lean = block.lean_of(front=front)
    run = pull * (side_x - across)
    lower = bezier(
        (side_x, side_y),
        (side_x - run, side_y + run * lean),
        (across, turn_y - pull * (turn_y - side_y)),
        (across, turn_y),
        sewn=True,
    )
    third = (tip_y - turn_y) / 3
    square = (tip_x - third * block.slope, tip_y - third)
    upper = bezier((across, turn_y), (across, turn_y + third), square, block.tip, sewn=True)
    return lower + upper[1:]


def side_line(block: Block) -> Line:
    """From the waist seam, upright, and straight on to the underarm."""
    return led_in(block.underarm, block.waist_side)[::-1]


def led_in(top: Point, bottom: Point, lean: float | None = None) -> Line:
    """A seam that starts towards its lower end, or at another lean, and reaches it upright.

    So what is level there, a waist seam or a hem, runs on level over the seam. The lean is what it
    comes in for each millimetre down.
    """
    third = (top[1] - bottom[1]) / 3
    slant = (top[0] - bottom[0]) / (top[1] - bottom[1]) if lean is None else lean
    pull = top[0] - slant * third, top[1] - third
    if abs(top[0] - bottom[0]) < 1e-9:
        return (top, bottom)
    return bezier(top, pull, (bottom[0], bottom[1] + third), bottom, sewn=True)


def waist_lines(block: Block, *, front: bool) -> tuple[Line, ...]:
    """From the middle to the side, level at both ends; lower in the middle of the front.

    With a dart these are three: to the dart and on from it, square to its legs so that the seam
    runs on over it once it is sewn, and between them its mouth, which is folded to the middle.
    """
    return _waist_to(block, block.waist_side[0], front)


def dart_lines(block: Block, *, front: bool) -> tuple[Line, ...]:
    """The legs of the waist's dart, from the waist to its point; none without one."""
    lines = waist_lines(block, front=front)
    if len(lines) == 1:
        return ()
    apex = block.apex(front=front)
    return ((lines[1][0], apex), (lines[1][-1], apex))


def _waist_to(block: Block, x: float, front: bool) -> tuple[Line, ...]:
    """The waist to a side that lies so far out."""
    y = -block.length - block.longer(front=front)
    low = y - (block.belly if front else 0.0)
    if block.dart == 0:
        if low == y:
            return (((0.0, y), (x, y)),)
        return (bezier((0.0, low), (0.45 * x, low), (0.6 * x, y), (x, y), sewn=True),)
    apex_x, apex_y = block.apex(front=front)
    left, right = apex_x - block.dart / 2, apex_x + block.dart / 2
    # A leg's lean is the slope of the seam that is square to it, which lowers the leg's foot.
    foot = low
    for _ in range(4):
        lean = block.dart / 2 / (apex_y - foot)
        foot = low - left * lean / 2
    third, last = left / 3, (x - right) / 3
    to_dart = bezier(
        (0.0, low), (third, low), (left - third, foot + third * lean), (left, foot), sewn=True
    )
    mouth = ((left, foot), (apex_x, foot - block.dart / 2 * lean), (right, foot))
    on = bezier((right, foot), (right + last, foot + last * lean), (x - last, y), (x, y), sewn=True)
    return to_dart, mouth, on


def neck_line(block: Block, *, front: bool) -> Line:
    """From the side of the neck down to the middle; a V alone does not meet it squarely."""
    x, y = block.neck_point
    if not front:
        return _round_neck((x, y), -block.back_neck_depth, block.back_lean_deg)
    low_y, lean = block.front_low, block.front_lean_deg
    if block.neck_shape is NeckShape.SQUARE:
        return ((x, y), (x, low_y), (0.0, low_y))
    if block.neck_shape is NeckShape.SWEETHEART:
        # Down to a corner, and over the bust in an arc that comes down steeply in the middle.
        high = low_y + _LOBE * (y - low_y)
        rise = high - low_y
        top = bezier((x, high), (0.62 * x, high), (0.2 * x, low_y + 0.75 * rise), (0.0, low_y))
        return ((x, y), *top)
    if block.neck_shape is NeckShape.V:
        down = 0.25 * (y - low_y)
        bend = (x - down * math.tan(math.radians(lean)), y - down)
        return rounded((x, y), bend, (0.0, low_y))
    return _round_neck((x, y), low_y, lean)


def _round_neck(start: Point, low_y: float, lean_deg: float) -> Line:
    x, y = start
    corner = (x - (y - low_y) * math.tan(math.radians(lean_deg)), low_y)
    return rounded(start, corner, (0.0, low_y))
