"""Flared skirts: parts of a circle with a hole for the waist."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from pieces.curves import length
from pieces.drafting.context import DraftContext, DraftResult, Needs, shell_and_lining
from pieces.drafting.kind import DraftKind
from pieces.drafting.openings import opens_down
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.rings import half_ring, quarter_ring, whole_ring
from pieces.drafting.skirts import (
    hem_notions,
    lining_allowances,
    lining_checks,
    lining_length,
    lower_role,
    shell_allowances,
    skirt_length,
    waist,
    waist_checks,
)
from pieces.fields import Count, Flag, Length, LengthOrZero, Ratio
from pieces.joins import opened
from pieces.piece import Finding, Join, Piece, Side
from pieces.seams import whole_length

CIRCLES = {"full": 1.0, "three-quarter": 0.75, "half": 0.5, "quarter": 0.25}


_POCKET_DOWN_MM = 40.0
"""From the waist to a pocket in a side seam; common practice."""
_LEAST_BELOW_MM = 10.0
_DEEPEST_HEM_MM = {"full": 10.0, "three-quarter": 10.0, "half": 40.0, "quarter": 40.0}
"""Circles 1/4 to 3/8 in. or rolled, flared skirts 1 1/2 in. (a state extension's *It's Fun to
Sew*; a sewing guild's table, secondary copy)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlaredSkirtOptions:
    """Options of a flared skirt; each may be left out.

    Attributes
    ----------
    circle : full, three-quarter, half or quarter: how much of a circle it is
    length : from waist to hem, without a band; waist to knee, 0.28 of the height (from memory)
    waist_fullness : the top edge over the waist it is gathered to; 1
    panels : from how many it is sewn; 2, or 1 for a quarter circle (common practice). A full circle
        in 1 has no seam: it is drawn as a quarter, for the corner of two folds
    opening : centre back or centre front (one panel has its only seam there, of two that one is
        cut apart), side or none; centre back, or below a bodice's front opening
    slit : how far down from the waist a full circle in one panel is slit to open; 15 cm (common
        practice)
    opening_allowance : where the opening is; 2 cm for a zip (common practice)
    on_fold : whether a panel is drawn as a half on the fold; so for one or two panels
    back_longer : by how much the hem is lower behind than in front, falling from there round the
        sides; 0
    horsehair : whether the hem is stiffened with horsehair braid; its length is told
    lining_shorter : by how much the lining ends above the hem; 0
    lining_hem_allowance : the shell's
    """

    circle: Literal["full", "three-quarter", "half", "quarter"] = "half"
    length: Length | None = None
    waist_fullness: Ratio = 1.0
    panels: Count | None = None
    opening: Literal["centre back", "centre front", "side", "none"] | None = None
    opening_allowance: LengthOrZero = 20.0
    slit: Length = 150.0
    back_longer: LengthOrZero = 0.0
    on_fold: Flag | None = None
    horsehair: Flag = False
    lining_shorter: LengthOrZero = 0.0
    lining_hem_allowance: LengthOrZero | None = None

    @property
    def panel_count(self) -> int:
        """How many panels, the trade's choice where none is told."""
        return self.panels or (1 if self.circle == "quarter" else 2)

    @property
    def seamless(self) -> bool:
        """Whether it is a whole circle in one panel."""
        return self.circle == "full" and self.panel_count == 1

    @property
    def panel_deg(self) -> float:
        """Angle of one panel, opened out."""
        return 360.0 * CIRCLES[self.circle] / self.panel_count


def waist_radius(waist_mm: float, circle: float) -> float:
    """Radius of the waist's sewing line, W / (2 pi f) for the part f of a circle.

    >>> round(waist_radius(520, 1), 2)
    82.76
    """
    return waist_mm / (2 * math.pi * circle)


def draft_flared_skirt(context: DraftContext, options: FlaredSkirtOptions) -> DraftResult:
    """Draft a flared skirt for the bodice or yoke before it, or for the body's waist.

    Steps
    -----
    1. Take the waist seam, with any fullness that is gathered in (common practice).
    2. Strike the waist with the radius W / (2 pi f) for the part f of a circle (geometry; so stated
       by a teaching blog, secondary copy).
    3. Strike the hem further out by the length: 0.28 of the height (from memory), less what the
       waist seam lies below the natural waist, plus what it lies above it.
    4. Part the ring into equal panels of 360 f degrees in all: two, or one for a quarter circle,
       drawn as halves on the fold; a larger number is drawn whole (common practice). A full circle
       in one panel is drawn as a quarter, for two folds (common practice).
    5. Of two panels cut one apart down its middle where it opens, at the back, or in front below a
       bodice's front opening, and add 2 cm there for a zip. Otherwise add them at every seam
       between panels, so that it may open in any (common practice). A circle without a seam is slit
       15 cm down from the waist on the straight grain (common practice).
    6. Notch an opening seam where a zip ends, a sixth of the chest and 5 cm down (*The Practical
       Designer*, lesson 106), and side seams where a pocket in the garment is set in, from 4 cm
       below the waist (common practice).
    7. Lay the grain down the middle of each panel, or along that cut (common practice).

    Raises
    ------
    OrderFault : measures are missing, or no such skirt can be drawn
    """
    return ring_skirt(context, options, "skirt")


def ring_skirt(context: DraftContext, options: FlaredSkirtOptions, what: str) -> DraftResult:
    """A skirt that is part of a ring, whatever it is called."""
    needs = Needs(context)
    seam_mm = waist(needs)
    long = skirt_length(needs, options.length)
    lining_long = lining_length(needs, long, options.lining_shorter)
    whole = seam_mm * needs.gathers("waist_fullness", options.waist_fullness)
    _check_seamless(needs, options, min(long, lining_long))
    _check_drop(needs, options)
    needs.settle()
    radius = waist_radius(whole, CIRCLES[options.circle])
    opening = options.opening_allowance
    shell, lining = shell_and_lining(
        context,
        (
            _patterns(context, options, what, radius, long, lower_role(context)),
            shell_allowances(context, opening),
        ),
        (
            _patterns(context, options, what, radius, lining_long, Role.HEM),
            lining_allowances(context, options.lining_hem_allowance, opening),
        ),
    )
    checks = [
        waist_checks(context, shell, "waist", options.waist_fullness, seam_mm),
    ]
    if lining:
        # The edge between waist and hem, where there is a seam.
        down = None if options.seamless else shell[0].seams[-2].name
        checks += lining_checks(context, shell, lining, down, options.lining_shorter)
    return DraftResult(
        pieces=shell + lining,
        joins=_joins(shell),
        seam_checks=tuple(checks),
        findings=_findings(context, options, shell[0].name)
        + hem_notions(context, shell, options.horsehair, options.lining_shorter),
        hem_mm=whole_length(shell, "hem"),
        long_mm=long,
    )


def _findings(context: DraftContext, options: FlaredSkirtOptions, name: str) -> tuple[Finding, ...]:
    return (*_deep_hem(context, options), *_slit_told(context, options, name))


def _slit_told(
    context: DraftContext, options: FlaredSkirtOptions, name: str
) -> tuple[Finding, ...]:
    if not options.seamless or _opening(context, options) == "none":
        return ()
    message = (
        f"{context.garment}: {name} is a whole circle and has no seam to open. Slit it "
        f"{context.told(options.slit)} down from the waist seam at the "
        f"{_opening(context, options)}, in one layer, once it lies opened out; face or bind the "
        "slit, as it has no allowance."
    )
    return (Finding("slit-to-open", message),)


def _deep_hem(context: DraftContext, options: FlaredSkirtOptions) -> tuple[Finding, ...]:
    deepest = _DEEPEST_HEM_MM[options.circle]
    part, own = context.part, options.lining_hem_allowance
    hems = [] if context.joined_below else [part.hem_allowance_mm]
    if part.lining is not None:
        hems.append(part.hem_allowance_mm if own is None else own)
    if max(hems, default=0.0) <= deepest:
        return ()
    message = (
        f"{context.garment}: a hem of {context.told(max(hems))} on a {options.circle} "
        f"circle puckers when it is turned up; {context.told(deepest)} or less lies flat."
    )
    return (Finding("deep-curved-hem", message),)


def _check_seamless(needs: Needs, options: FlaredSkirtOptions, long: float) -> None:
    """Whether a whole circle in one panel can be drawn, and opened."""
    if not options.seamless:
        return
    if options.on_fold is False:
        needs.refuse(
            "on_fold",
            "A whole circle in one panel is drawn as a quarter of it, for two folds.",
            "Take on_fold out, or write panels = 2 or more.",
        )
    if options.slit >= long and _opening(needs.context, options) != "none":
        needs.refuse(
            "slit",
            f"A slit of {needs.told(options.slit)} would cut the skirt apart, which is "
            f"{needs.told(long)} long.",
            "Give less, or sew it from two panels: panels = 2.",
        )


def _check_drop(needs: Needs, options: FlaredSkirtOptions) -> None:
    """Whether a hem can fall from front to back."""
    in_middle = _opening(needs.context, options) in ("centre back", "centre front")
    if options.back_longer and (options.panel_count != 2 or not in_middle):
        needs.refuse(
            "back_longer",
            "A hem falls from the front panel to the back one, and there are no such two.",
            "Write panels = 2, and leave opening out or put it in the middle; or take back_longer "
            "out.",
        )
    elif options.back_longer and options.on_fold is False:
        panels = "A hem that falls is drawn on panels on the fold."
        needs.refuse("back_longer", panels, "Take on_fold out, or back_longer.")


def _patterns(
    context: DraftContext,
    options: FlaredSkirtOptions,
    what: str,
    radius: float,
    long: float,
    lower: Role,
) -> tuple[Pattern, ...]:
    """Front and back, or panels that are all alike; a whole circle as a quarter."""
    if options.seamless:
        return (_quarter(context, options, what, radius, long, lower),)
    count, angle = options.panel_count, options.panel_deg
    opening = _opening(context, options)
    in_middle = opening in ("centre back", "centre front")
    seam = Role.OPENING if opening == "side" else Role.SEAM
    fold = count <= 2 if options.on_fold is None else options.on_fold
    opened, closed = ("front", "back") if opening == "centre front" else ("back", "front")
    if count == 2 and in_middle:
        side = options.back_longer / 2
        drops = {"front": (0.0, side), "back": (options.back_longer, side)}
        whole = half_ring(
            radius,
            long,
            angle / 2,
            f"centre {closed}",
            Role.FOLD,
            "side",
            seam,
            lower,
            drops[closed],
        )
        if not fold:
            whole = whole_ring(radius, long, angle, ("side left", "side right"), seam, lower)
        half = half_ring(
            radius,
            long,
            angle / 2,
            f"centre {opened}",
            Role.OPENING,
            "side",
            seam,
            lower,
            drops[opened],
        )
        made = {
            closed: _pattern(context, f"{what} {closed}", whole, radius, long),
            opened: _pattern(context, f"{what} {opened}", half, radius, long, pair=True),
        }
        return made["front"], made["back"]
    if in_middle:
        seam = Role.OPENING
    if fold:
        name = f"centre {opened}" if count == 1 else "side"
        edges = half_ring(radius, long, angle / 2, f"centre {closed}", Role.FOLD, name, seam, lower)
    else:
        edges = whole_ring(radius, long, angle, ("side left", "side right"), seam, lower)
    name = what if count == 1 else f"{what} panel"
    return (_pattern(context, name, edges, radius, long, cut=count),)


def _quarter(
    context: DraftContext,
    options: FlaredSkirtOptions,
    what: str,
    radius: float,
    long: float,
    lower: Role,
) -> Pattern:
    """A quarter of a whole circle, slit along its grain."""
    opening = _opening(context, options)
    slit = ((radius, 0.0), (radius + options.slit, 0.0)) if opening != "none" else ()
    return Pattern(
        name=context.named(what),
        edges=quarter_ring(radius, long, "centre front", lower),
        grain=((radius, 0.0), (radius + long, 0.0)),
        slit=slit,
    )


def _opening(context: DraftContext, options: FlaredSkirtOptions) -> str:
    """Where it opens: below the bodice's opening unless told."""
    if options.opening is not None:
        return options.opening
    bodice = context.bodice
    in_front = bodice is not None and bodice.front.opens
    return "centre front" if in_front else "centre back"


def _pattern(
    context: DraftContext,
    name: str,
    edges: tuple[Edge, ...],
    radius: float,
    long: float,
    *,
    cut: int = 1,
    pair: bool = False,
) -> Pattern:
    grain = (edges[0].line[0], (-radius, 0.0))
    if not edges[0].name.startswith("centre"):
        grain = ((-radius - long, 0.0), (-radius, 0.0))
    return Pattern(
        name=context.named(name),
        edges=tuple(_marked(context, edge) for edge in edges),
        grain=grain,
        cut=cut,
        pair=pair,
    )


def _marked(context: DraftContext, edge: Edge) -> Edge:
    """A seam down from the waist, notched where a zip ends and between which a pocket is set in."""
    long = length(edge.line)
    at: tuple[float, ...] = ()
    if edge.role is Role.OPENING:
        at = (opens_down(context.body),)
    elif edge.name.startswith("side") and context.pocket_mm and edge.role is Role.SEAM:
        at = (_POCKET_DOWN_MM, _POCKET_DOWN_MM + context.pocket_mm)
    at = tuple(mark for mark in at if mark < long - _LEAST_BELOW_MM)
    # Middles and left sides run up from the hem.
    if edge.name.startswith("centre") or edge.name.endswith("left"):
        at = tuple(long - mark for mark in reversed(at))
    return replace(edge, marks_mm=at) if at else edge


def _joins(shell: tuple[Piece, ...]) -> tuple[Join, ...]:
    """The two side seams that meet, and a seam in the middle.

    Those of one panel with itself are its first and last.
    """
    seams = [(piece, seam.name) for piece in shell for seam in piece.seams]
    ends = [(piece, name) for piece, name in seams if name.startswith("side")]
    middles = [opened(piece, name) for piece, name in seams if name.startswith("centre")]
    if not ends:
        return tuple(middles)
    (piece, name), (other, other_name) = ends[0], ends[-1]
    side = Join(
        what=f"side seam, {piece.name} to {other.name}",
        this=Side(piece.name, name),
        that=Side(other.name, other_name),
        # Left ones run up from the hem, the others down to it.
        turned=name.endswith("left") != other_name.endswith("left"),
    )
    return (side, *middles)


KINDS = (
    DraftKind(
        name="flared skirt",
        options=FlaredSkirtOptions,
        draft=draft_flared_skirt,
        description="a skirt that is part of a circle",
        place=60,
        carries="skirt",
        at_waist=True,
        curved_hem=True,
        longer_top="waist_fullness",
        wider_hem="circle",
    ),
)
