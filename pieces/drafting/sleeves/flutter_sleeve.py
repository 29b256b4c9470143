"""A flutter sleeve: a flounce, part of a ring that narrows to its ends, over the shoulder."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pieces.curves import arc, cut_at, length
from pieces.drafting.context import DraftContext, DraftResult, Needs, lined
from pieces.drafting.kind import DraftKind
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.skirts.skirts import shell_allowances
from pieces.drafting.sleeves.sleeve_lines import Cap, upper_joins
from pieces.fields import Length, Ratio
from pieces.piece import Finding, Line

_DEEPEST_HEM_MM = 10.0
"""As for a full circle (a state extension's *It's Fun to Sew*)."""
_SWEEP_DEG = {"quarter": 90.0, "half": 180.0, "three-quarter": 270.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class FlutterSleeveOptions:
    """Options of a flutter sleeve; each may be left out.

    Attributes
    ----------
    length : from the shoulder's point to the hem; 7 cm (common practice)
    circle : how much of a circle it is: the more, the more it flutters; half (common practice)
    fullness : its inner edge over the armhole above the notches, gathered in; 1
    """

    length: Length = 70.0
    circle: Literal["quarter", "half", "three-quarter"] = "half"
    fullness: Ratio = 1.0


def draft_flutter_sleeve(context: DraftContext, options: FlutterSleeveOptions) -> DraftResult:
    """Draft a pair of flutter sleeves for the armhole of the bodice before them.

    Steps
    -----
    1. Take the armhole above the notches of front and back, and any fullness (common practice).
    2. Strike it as part of a circle, half of one as a rule, with that length over the angle as the
       radius (geometry).
    3. Strike the hem as another circle through both ends and a point 7 cm below the crown, so that
       it narrows to nothing at the notches; the armhole is bound or faced below them (common
       practice).
    4. Notch the crown where the shoulder seam meets it, and lay the grain down from it (common
       practice).

    Raises
    ------
    OrderFault : there is no bodice before it, or no room for it
    """
    needs = Needs(context)
    bodice = needs.bodice("A flutter sleeve is drawn for the armhole of a bodice")
    fullness = needs.gathers("fullness", options.fullness)
    long = needs.enough("length", options.length)
    needs.settle()
    cap = Cap(armhole=bodice.armhole, ease=0.0, fullness=fullness)
    sweep = _SWEEP_DEG[options.circle]
    inner_mm = cap.upper_front + cap.upper_back
    radius = inner_mm / math.radians(sweep)
    inner = arc((0.0, 0.0), radius, sweep / 2 - 90.0, -sweep / 2 - 90.0, sewn=True)
    front, back = cut_at(inner, length(inner) * cap.upper_front / inner_mm)
    pattern = Pattern(
        name=context.named("flutter sleeve"),
        edges=(
            Edge("hem", _outer(radius, long, inner), Role.HEM),
            Edge("cap front", front),
            Edge("cap back", back, marks_mm=(0.0,), points=("crown",)),
        ),
        grain=((0.0, -radius - long), (0.0, -radius)),
        pair=True,
    )
    pieces = lined(context, (pattern,), shell_allowances(context))
    return DraftResult(
        pieces=pieces,
        joins=upper_joins(context, pieces, cap),
        findings=_deep_hem(context),
    )


def _deep_hem(context: DraftContext) -> tuple[Finding, ...]:
    hem = context.part.hem_allowance_mm
    if hem <= _DEEPEST_HEM_MM:
        return ()
    message = (
        f"a hem of {context.told(hem)} on a flutter sleeve puckers when it is "
        f"turned up; {context.told(_DEEPEST_HEM_MM)} or less lies flat, or line it."
    )
    return (context.finding("deep-curved-hem", message, "hem_allowance"),)


def _outer(radius: float, long: float, inner: Line) -> Line:
    """From the back end of an inner arc round to its front end, so far below it in the middle."""
    (right_x, right_y), reach = inner[0], radius + long
    # The centre of the circle through both ends and the lowest point lies on the upright.
    down = (reach**2 - radius**2) / (2 * (reach + right_y))
    half_deg = math.degrees(math.atan2(right_x, -(right_y + down)))
    line = arc((0.0, -down), reach - down, -90.0 - half_deg, -90.0 + half_deg)
    return (inner[-1], *line[1:-1], inner[0])


KINDS = (
    DraftKind(
        name="flutter sleeve",
        options=FlutterSleeveOptions,
        draft=draft_flutter_sleeve,
        description="a pair of flounces over the shoulder",
        place=24,
        needs_bodice=True,
    ),
)
