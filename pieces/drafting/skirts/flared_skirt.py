"""Flared skirts: parts of a circle with a hole for the waist."""

from __future__ import annotations

import math
from dataclasses import replace

from pieces.curves import length
from pieces.drafting.context import DraftContext, DraftResult, Needs, shell_and_lining
from pieces.drafting.growth import hem_told
from pieces.drafting.kind import DraftKind
from pieces.drafting.openings import opens_down
from pieces.drafting.pattern import Allowances, Edge, Pattern, Role
from pieces.drafting.skirts.flared_limits import check_drop, check_seamless, hem_grown, told
from pieces.drafting.skirts.flared_options import CIRCLES, FlaredSkirtOptions, opening_of
from pieces.drafting.skirts.rings import half_ring, quarter_ring, whole_ring
from pieces.drafting.skirts.skirts import (
    horsehair_for,
    layer_of,
    lining_allowances,
    lining_checks,
    lining_length,
    lining_told,
    lower_role,
    shell_allowances,
    skirt_length,
    waist,
    waist_checks,
    waist_step,
)
from pieces.joins import opened
from pieces.piece import Join, Piece, Side, Stage, Step
from pieces.seams import whole_length
from pieces.wording import key

_POCKET_DOWN_MM = 40.0
"""From the waist to a pocket in a side seam; common practice."""
_LEAST_BELOW_MM = 10.0


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
       by a teaching blog, secondary copy); or outside a cut edge of the radius told by the seam
       allowance, and gather in what it is longer (common practice).
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
    whole = _whole(needs, options, seam_mm)
    check_seamless(needs, options, min(long, lining_long))
    check_drop(needs, options)
    deeper = hem_grown(needs, options, long)
    needs.settle()
    lowest = lining_long if context.part.lining else long
    radius = waist_radius(whole, CIRCLES[options.circle])
    opening = options.opening_allowance
    shell, lining = shell_and_lining(
        context,
        (
            _patterns(context, options, what, radius, long, lower_role(context)),
            _deeper(shell_allowances(context, opening), deeper),
        ),
        (
            _patterns(context, options, what, radius, lining_long, Role.HEM),
            lining_allowances(context, options.lining_hem_allowance, opening),
        ),
    )
    checks = [
        waist_checks(context, shell, "waist", whole / seam_mm, seam_mm),
    ]
    if lining:
        # The edge between waist and hem, where there is a seam.
        down = None if options.seamless else shell[0].seams[-2].name
        checks += lining_checks(context, shell, lining, down, options.lining_shorter)
    return DraftResult(
        pieces=shell + lining,
        joins=_joins(shell),
        seam_checks=tuple(checks),
        findings=told(context, options, shell[0].name)
        + hem_told(context, shell[0].name, deeper)
        + lining_told(context, options.lining_shorter),
        hem_mm=whole_length(shell, "hem"),
        name=" and ".join(piece.name for piece in shell),
        long_mm=long,
        steps=(waist_step(context, shell, "waist", seam_mm), _hangs(context.named(what))),
        layer=None if options.back_longer else layer_of(shell, lining, "waist", lowest),
        opens_mm=_opens(context, options, long),
        opens_at="side" if opening_of(context, options) == "side" else "",
        notions=horsehair_for(context, shell, options.horsehair, full=options.circle == "full"),
    )


def _whole(needs: Needs, options: FlaredSkirtOptions, seam_mm: float) -> float:
    """The waist's edge, by a fullness or by the radius at which it is cut."""
    if options.radius is None:
        return seam_mm * needs.gathers("waist_fullness", options.waist_fullness)
    share = CIRCLES[options.circle]
    whole = (options.radius + needs.context.part.seam_allowance_mm) * 2 * math.pi * share
    if options.waist_fullness != 1:
        needs.refuse(
            "radius",
            "Both radius and " + key("waist_fullness") + " say how long the waist's edge is.",
            "Take one of the two out.",
        )
    elif whole < seam_mm and not needs.faults:
        least = seam_mm / (2 * math.pi * share) - needs.context.part.seam_allowance_mm
        needs.refuse(
            "radius",
            f"Cut at {needs.told(options.radius)} the waist is {needs.told(whole)} round, less "
            f"than the {needs.told(seam_mm)} that it is sewn to.",
            f"Give {needs.told(least + 0.5)} or more, or a larger part of a circle.",
        )
    return whole


def _deeper(allowances: Allowances, by_mm: float) -> Allowances:
    return replace(allowances, hem_mm=allowances.hem_mm + by_mm)


def _hangs(name: str) -> Step:
    told = f"Let the {name} hang for a day before its hem is levelled"
    return Step(stage=Stage.HEMS, what=f"{told}: cut in a circle, it drops on the bias.", how=None)


def _opens(context: DraftContext, options: FlaredSkirtOptions, long: float) -> float:
    """How far down it opens: to the notch, in a slit, or all the way where it is short."""
    if opening_of(context, options) == "none":
        return 0.0
    down = options.slit if options.seamless else opens_down(context.body)
    return down if down < long - _LEAST_BELOW_MM else long


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
    opening = opening_of(context, options)
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
            (f"centre {closed}", Role.FOLD),
            ("side", seam),
            lower,
            drops[closed],
        )
        if not fold:
            whole = whole_ring(radius, long, angle, ("side left", "side right"), seam, lower)
        half = half_ring(
            radius,
            long,
            angle / 2,
            (f"centre {opened}", Role.OPENING),
            ("side", seam),
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
        edges = half_ring(
            radius, long, angle / 2, (f"centre {closed}", Role.FOLD), (name, seam), lower
        )
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
    opening = opening_of(context, options)
    slit = ((radius, 0.0), (radius + options.slit, 0.0)) if opening != "none" else ()
    return Pattern(
        name=context.named(what),
        edges=quarter_ring(radius, long, "centre front", lower),
        grain=((radius, 0.0), (radius + long, 0.0)),
        slit=slit,
    )


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
        level=True,
    ),
)
