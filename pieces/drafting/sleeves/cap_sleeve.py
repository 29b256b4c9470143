"""A cap sleeve: the top of a sleeve alone, from the armhole's front notch to its back one."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.curves import bezier, cut_at, length
from pieces.drafting.context import DraftContext, DraftResult, Needs, lined
from pieces.drafting.kind import DraftKind
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.skirts.skirts import shell_allowances
from pieces.drafting.sleeves.sleeve_lines import LEAST_CAP_MM, Cap, SleeveLines, upper_joins
from pieces.fields import Length, LengthOrZero
from pieces.piece import Line
from pieces.wording import key


@dataclass(frozen=True, slots=True, kw_only=True)
class CapSleeveOptions:
    """Options of a cap sleeve; each may be left out.

    Attributes
    ----------
    length : from the shoulder's point to the hem; 5 cm (common practice)
    cap_ease : its length over that of the armhole above the notches; 5 mm (common practice)
    """

    length: Length = 50.0
    cap_ease: LengthOrZero = 5.0


def draft_cap_sleeve(context: DraftContext, options: CapSleeveOptions) -> DraftResult:
    """Draft a pair of cap sleeves for the armhole of the bodice before them.

    Steps
    -----
    1. Draw the cap of a plain sleeve, upper arm and 5 cm wide (2 in., from a secondary copy), as
       high as makes it as long as the armhole and 5 mm of ease (common practice).
    2. Cut it off at the notches of front and back, as far from the underarm as in the armhole,
       which is bound or faced below them (common practice).
    3. Draw the hem from notch to notch, 5 cm below the crown; notch the crown where the shoulder
       seam meets it, and lay the grain down from it (common practice).

    Raises
    ------
    OrderFault : measures or the bodice are missing, or there is no room for it
    """
    needs = Needs(context)
    width = needs.measure("upper_arm", "A cap sleeve") + 50.0
    bodice = needs.bodice("A cap sleeve is drawn for the armhole of a bodice")
    needs.enough("length", options.length)
    needs.settle()
    cap = Cap(armhole=bodice.armhole, ease=options.cap_ease, fullness=1.0)
    plain = SleeveLines(
        cap=cap,
        width=width,
        cap_height=LEAST_CAP_MM,
        taper=0.0,
        flat_hem=None,
        arm=None,
        underarm=50.0,
    )
    if plain.is_too_long:
        needs.refuse(
            "draft",
            f"The armhole of {needs.told(cap.whole)} is too small for an arm so wide.",
            "Give the bodice a larger " + key("scye_depth") + ", or measure the upper arm again.",
        )
    needs.settle()
    front, back = plain.raised().halves
    _, front = cut_at(front, cap.plain_front)
    back, _ = cut_at(back, length(back) - cap.plain_back)
    pattern = Pattern(
        name=context.named("cap sleeve"),
        edges=(
            Edge("hem", _hem(front, back, options.length), Role.HEM),
            Edge("cap front", front),
            Edge("cap back", back, marks_mm=(0.0,), points=("crown",)),
        ),
        grain=((0.0, front[-1][1] - options.length), (0.0, front[-1][1])),
        pair=True,
    )
    pieces = lined(context, (pattern,), shell_allowances(context))
    return DraftResult(pieces=pieces, joins=upper_joins(context, pieces, cap))


def _hem(front: Line, back: Line, down: float) -> Line:
    """From the back notch to the front one, so far below the crown in the middle."""
    (right_x, right_y), (left_x, left_y) = front[0], back[-1]
    middle = front[-1][1] - down
    pull = (4 * middle - (left_y + right_y) / 2) / 3
    return bezier((left_x, left_y), (left_x / 2, pull), (right_x / 2, pull), (right_x, right_y))


KINDS = (
    DraftKind(
        name="cap sleeve",
        options=CapSleeveOptions,
        draft=draft_cap_sleeve,
        description="a pair of caps over the shoulder",
        place=22,
        needs_bodice=True,
    ),
)
