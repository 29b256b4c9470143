"""The lines of a child's bodice block, half of it, without darts. Millimetres.

x is 0 in the middle and runs to the side; y is 0 at the nape and runs up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from pieces.curves import bezier
from pieces.piece import Line, Point

NECK_RISE_MM = 15.0
"""The side of the neck above the nape: 1.5 cm (a pattern teaching site, secondary copy)."""
SHOULDER_DROP_MM = 16.0
"""Between 1/2 and 3/4 in. (a teaching blog, secondary copy)."""
ACROSS_BACK_MM, ACROSS_FRONT_MM = 10.0, 15.0
"""How far the armhole comes in from the shoulder's point; common practice."""
_UNDERARM_MM = 15.0
"""The least the armhole runs out again to the side seam; common practice."""
_QUARTER_ELLIPSE = 0.5523
"""Pull of a cubic that comes nearest to a quarter of an ellipse."""


class NeckShape(StrEnum):
    """The neck in front; behind it is always round."""

    ROUND = "round"
    V = "V"
    SQUARE = "square"
    BOAT = "boat"


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """The lengths that the draft is drawn from.

    Attributes
    ----------
    quarter, waist_quarter : of the chest and of the waist seam, with their ease
    length, scye_depth : from the nape to the waist seam, and to the underarm
    neck : half the neck where it lies on the body; the shoulder begins there
    neck_width, neck_depth, back_neck_depth : as the garment has them
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

    @property
    def slope(self) -> float:
        """How far the shoulder falls for each millimetre across."""
        run = self.shoulder**2 - SHOULDER_DROP_MM**2
        return SHOULDER_DROP_MM / math.sqrt(run) if run > 0 else 1.0

    @property
    def neck_point(self) -> Point:
        """Where neck and shoulder meet."""
        return self.neck_width, NECK_RISE_MM - self.slope * (self.neck_width - self.neck)

    @property
    def tip(self) -> Point:
        """The shoulder's point."""
        return self.neck + SHOULDER_DROP_MM / self.slope, NECK_RISE_MM - SHOULDER_DROP_MM

    @property
    def underarm(self) -> Point:
        """Where armhole and side meet."""
        return self.quarter, -self.scye_depth

    @property
    def front_low(self) -> float:
        """y of the neck at centre front."""
        return NECK_RISE_MM - self.neck_depth

    def across(self, inside_mm: float) -> float:
        """x of the armhole where it comes in furthest."""
        return min(self.tip[0] - inside_mm, self.quarter - _UNDERARM_MM)


def armhole_line(block: Block, inside_mm: float) -> Line:
    """From the underarm, level at first, up and square into the shoulder."""
    (tip_x, tip_y), (side_x, side_y) = block.tip, block.underarm
    across = block.across(inside_mm)
    turn_y = side_y + 0.45 * (tip_y - side_y)
    pull = _QUARTER_ELLIPSE
    lower = bezier(
        block.underarm,
        (side_x - pull * (side_x - across), side_y),
        (across, turn_y - pull * (turn_y - side_y)),
        (across, turn_y),
    )
    third = (tip_y - turn_y) / 3
    square = (tip_x - third * block.slope, tip_y - third)
    upper = bezier((across, turn_y), (across, turn_y + third), square, block.tip)
    return lower + upper[1:]


def neck_line(block: Block, shape: NeckShape, low_y: float) -> Line:
    """From the side of the neck down to the middle; a V alone does not meet it squarely."""
    x, y = block.neck_point
    if shape is NeckShape.V:
        return ((x, y), (0.0, low_y))
    if shape is NeckShape.SQUARE:
        return ((x, y), (x, low_y), (0.0, low_y))
    pull = _QUARTER_ELLIPSE
    return bezier((x, y), (x, y + pull * (low_y - y)), (pull * x, low_y), (0.0, low_y))
