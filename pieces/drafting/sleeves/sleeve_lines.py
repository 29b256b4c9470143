"""The lines of a sleeve: its cap, raised or spread until it is as long as the armhole asks.

y is 0 at the underarm and runs up, x is 0 below the crown and runs to the front. Millimetres.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from pieces.curves import bezier, cut_at, length
from pieces.drafting.bodices.bodice_block import led_in
from pieces.drafting.context import Armhole, DraftContext
from pieces.piece import How, Join, Line, Piece, Side, Stage

LEAST_CAP_MM = 20.0
"""A flatter cap is no set-in sleeve; common practice."""
LEAST_UNDERARM_MM = 10.0
_STEEPEST = math.tan(math.radians(25.0))
"""The most an underarm seam may slant where it meets the cap; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cap:
    """What the armhole asks of a cap.

    Attributes
    ----------
    ease : of the whole cap over the armhole, shared as the armhole is, above the notches
    fullness : of the cap over what it is gathered to between front and back notch; below them it
        is as long as the armhole
    """

    armhole: Armhole
    ease: float
    fullness: float

    @property
    def plain_front(self) -> float:
        """From the front underarm to the notch, where nothing is gathered."""
        return self.armhole.front_marks_mm[-1]

    @property
    def plain_back(self) -> float:
        """From the back underarm to the upper of its notches."""
        return self.armhole.back_marks_mm[-1]

    def eased(self, side_mm: float) -> float:
        """The share of the ease that a side of the armhole has."""
        return self.ease * side_mm / (self.armhole.front_mm + self.armhole.back_mm)

    @property
    def front(self) -> float:
        """Length of the cap in front."""
        return self._side(self.armhole.front_mm, self.plain_front)

    @property
    def back(self) -> float:
        """Length of the cap behind."""
        return self._side(self.armhole.back_mm, self.plain_back)

    @property
    def whole(self) -> float:
        """Length of the cap."""
        return self.front + self.back

    @property
    def upper_front(self) -> float:
        """Length of the cap in front above its notch."""
        return self.front - self.plain_front

    @property
    def upper_back(self) -> float:
        """Length of the cap behind above its notches."""
        return self.back - self.plain_back

    def _side(self, side_mm: float, plain_mm: float) -> float:
        return plain_mm + (side_mm + self.eased(side_mm) - plain_mm) * self.fullness


@dataclass(frozen=True, slots=True, kw_only=True)
class SleeveLines:
    """A sleeve as drawn.

    Attributes
    ----------
    width, cap_height : at the underarm, and from there to the crown
    taper : what the hem is narrower than the width, so that both are spread alike
    flat_hem : the hem before it is gathered, where it is not spread with the width
    arm : from crown to hem; None for `underarm`, which is the seam's height otherwise
    bow : the greater, the further the cap swings out from a straight line; 0 is straight
    """

    cap: Cap
    width: float
    cap_height: float
    taper: float
    flat_hem: float | None
    arm: float | None
    underarm: float
    bow: float = 0.5

    @property
    def hem(self) -> float:
        """Width at the hem, before it is gathered."""
        return self.width - self.taper if self.flat_hem is None else self.flat_hem

    @property
    def down(self) -> float:
        """From underarm to hem."""
        if self.arm is None:
            return self.underarm
        return max(LEAST_UNDERARM_MM, self.arm - self.cap_height)

    @property
    def lean(self) -> float:
        """How far the underarm seam slants at the cap, which is square to it there."""
        slant = (self.width - self.hem) / 2 / self.down
        return max(-_STEEPEST, min(_STEEPEST, slant))

    @property
    def cap_line(self) -> Line:
        """From the front underarm over the crown to the back one, level at the crown."""
        half, height, bow = self.width / 2, self.cap_height, self.bow
        run = 0.6 * bow * half / math.hypot(1.0, self.lean)
        front = bezier(
            (half, 0.0),
            (half - run, run * self.lean),
            (bow * half, height),
            (0.0, height),
            sewn=True,
        )
        back = tuple((-x, y) for x, y in reversed(front))
        return front + back[1:]

    @property
    def halves(self) -> tuple[Line, Line]:
        """The cap parted where it meets the shoulder seam."""
        return cut_at(self.cap_line, self.cap.front)

    @property
    def seams(self) -> tuple[Line, Line]:
        """The underarm seams: in front from the hem up, behind down to it, upright at the hem."""
        top, bottom = (self.width / 2, 0.0), (self.hem / 2, -self.down)
        down = led_in(top, bottom, self.lean)
        return down[::-1], tuple((-x, y) for x, y in down)

    @property
    def hem_line(self) -> Line:
        """From the back seam to the front one."""
        half = self.hem / 2
        return ((-half, -self.down), (half, -self.down))

    @property
    def is_too_long(self) -> bool:
        """Whether its cap is longer than the armhole asks."""
        return length(self.cap_line) > self.cap.whole

    def raised(self) -> SleeveLines:
        """As high as makes its cap as long as the armhole asks."""
        return self._until("cap_height", LEAST_CAP_MM, self.cap.whole / 2)

    def spread(self) -> SleeveLines:
        """As wide as makes its cap as long as the armhole asks; the hem is spread alike."""
        return self._until("width", self.width, self.cap.whole)

    def bowed(self, least: float, most: float) -> SleeveLines | None:
        """Bowed so that its cap is as long as the armhole asks; None if no bow is."""
        flat, round_ = (replace(self, bow=bow) for bow in (least, most))
        if flat.is_too_long or not round_.is_too_long:
            return None
        return self._until("bow", least, most)

    def _until(self, name: str, low: float, high: float) -> SleeveLines:
        def changed(value: float) -> SleeveLines:
            own: dict[str, Any] = {name: value}
            return replace(self, **own)

        def measured(value: float) -> float:
            return length(changed(value).cap_line)

        return changed(solved(measured, self.cap.whole, low, high))


def upper_joins(context: DraftContext, pieces: Sequence[Piece], cap: Cap) -> tuple[Join, ...]:
    """The joins of sleeves that are sewn to the armhole above its notches alone."""
    bodice = context.bodice
    if bodice is None:
        return ()
    gathered = cap.fullness > 1
    return tuple(
        Join(
            what=f"cap of {piece.name}, {side}{', gathered,' if gathered else ''} to armhole above "
            "its notch",
            this=Side(piece.name, f"cap {side}"),
            that=half.sides("armhole")[0],
            and_that=half.sides("armhole")[1:],
            longer_mm=cap.eased(length(half.edge("armhole").line)) - plain_mm,
            fullness=cap.fullness,
            turned=side == "back",
            smooth=(False, False),
            how=How.GATHERED if gathered else How.EASED,
            stage=Stage.SLEEVES,
        )
        for piece in pieces
        for side, half, plain_mm in (
            ("front", bodice.front, cap.plain_front),
            ("back", bodice.back, cap.plain_back),
        )
    )


def solved(measure: Callable[[float], float], wanted: float, low: float, high: float) -> float:
    """Where between two values a measure that grows is as wanted."""
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if measure(middle) < wanted else (low, middle)
    return (low + high) / 2
