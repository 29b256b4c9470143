"""A bell sleeve: its seams go straight out from the underarm to a wide, curved hem."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pieces.curves import bezier, length
from pieces.drafting.context import DraftContext, DraftResult, Needs
from pieces.drafting.kind import DraftKind, finishing
from pieces.drafting.sleeves.sleeve import cap_of, made_of, raised_for
from pieces.drafting.sleeves.sleeve_lines import LEAST_CAP_MM, LEAST_UNDERARM_MM, Cap, SleeveLines
from pieces.fields import Length, LengthOrZero
from pieces.piece import Line
from pieces.wording import key

_BELOW = 0.3
"""Of the arm, from underarm to hem, which is near the elbow; common practice."""
_FLARE, _MOST_FLARE = 0.4, 1.0
"""What each seam goes out for each millimetre down, as a rule and at most; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BellSleeveOptions:
    """Options of a bell sleeve; each may be left out.

    Attributes
    ----------
    length : from the shoulder's point to the hem; whatever makes the underarm seam 0.3 of the arm
        long (common practice)
    hem_width : of the hem; the width at the upper arm, and 0.4 of each seam (common practice)
    ease : over the upper arm; 5 cm (2 in., from a secondary copy)
    cap_ease : the cap's length over the armhole's; 1.5 cm (children 1.2 to 2 cm, from memory)
    """

    length: Length | None = None
    hem_width: Length | None = None
    ease: LengthOrZero = 50.0
    cap_ease: LengthOrZero = 15.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bell(SleeveLines):
    """Lines whose seams go out so far for each millimetre down."""

    flare: float

    @property
    def lean(self) -> float:
        return -self.flare

    @property
    def _end(self) -> tuple[float, float]:
        """Where the front seam and the hem meet squarely; the hem is lowest in the middle."""
        half, down = self.width / 2, self.down
        up = self.flare * (half + self.flare * down) / (2 + self.flare**2)
        return half + self.flare * (down - up), up - down

    @property
    def seams(self) -> tuple[Line, Line]:
        """Straight ones, in front from the hem up, behind down to it."""
        (x, y), half = self._end, self.width / 2
        return ((x, y), (half, 0.0)), ((-half, 0.0), (-x, y))

    @property
    def hem_line(self) -> Line:
        """From the back seam to the front one, square to both."""
        x, y = self._end
        third = 2 / 3 * x
        low = y - third * self.flare
        return bezier((-x, y), (third - x, low), (x - third, low), (x, y), sewn=True)


def draft_bell_sleeve(context: DraftContext, options: BellSleeveOptions) -> DraftResult:
    """Draft a pair of bell sleeves for the armhole of the bodice before them.

    Steps
    -----
    1. Draw the width at the underarm: upper arm and ease of 5 cm (2 in., from a secondary copy).
    2. Draw the cap square to the underarm seams and raise it until it is as long as the armhole and
       1.5 cm (from memory).
    3. Draw the seams straight out by 0.4 of the way down, to 0.3 of the arm's length below the
       underarm (common practice).
    4. Draw the hem square to the seams and lowest in the middle, so that it runs on over them, and
       notch it in quarters (common practice).

    Raises
    ------
    OrderFault : measures or the bodice are missing, or no sleeve can be drawn from them
    """
    needs = Needs(context)
    width = needs.measure("upper_arm", "A bell sleeve") + options.ease
    below = _BELOW * needs.measure("arm", "A bell sleeve") if options.length is None else 0.0
    cap = cap_of(needs, options.cap_ease, 1.0)
    needs.settle()
    if options.hem_width is not None and options.hem_width < width:
        needs.refuse(
            "hem_width",
            f"A hem of {needs.told(options.hem_width)} is narrower than the {needs.told(width)} "
            "above it.",
            "Give more " + key("hem_width") + ", or take a sleeve instead.",
        )
    lines = _raised(needs, options, width, below, _FLARE, cap)
    if options.hem_width is not None:
        for _ in range(4):  # the lower its cap, the longer its seams, with which the cap leans
            flare = (options.hem_width - width) / 2 / lines.down
            lines = _raised(needs, options, width, below, min(_MOST_FLARE, flare), cap)
    if options.length is not None and options.length - lines.cap_height < LEAST_UNDERARM_MM:
        needs.refuse(
            "length",
            f"A sleeve of {needs.told(options.length)} ends above the underarm; "
            f"the cap alone is {needs.told(lines.cap_height)} high.",
            "Give a longer length.",
        )
    needs.settle()
    return made_of(context, lines, length(lines.hem_line))


def _raised(
    needs: Needs, options: BellSleeveOptions, width: float, below: float, flare: float, cap: Cap
) -> _Bell:
    """Its lines for a flare, the cap as high as the armhole asks."""
    plain = _Bell(
        cap=cap,
        width=width,
        cap_height=LEAST_CAP_MM,
        taper=0.0,
        flat_hem=None,
        arm=options.length,
        underarm=below,
        flare=flare,
    )
    raised = raised_for(needs, plain, cap, hem_too=False)
    return replace(plain, cap_height=raised.cap_height)


KINDS = (
    DraftKind(
        name="bell sleeve",
        options=BellSleeveOptions,
        draft=draft_bell_sleeve,
        description="a pair of sleeves that widen to the hem",
        place=27,
        needs_bodice=True,
        finishes=finishing("armhole"),
    ),
)
