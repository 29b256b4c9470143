"""Collars for a round neck, flat or standing, walked to the bodice's neck line."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pieces.curves import arc, bezier, cut_at, length, onward
from pieces.drafting.context import Bodice, DraftContext, DraftResult, Needs, lined
from pieces.drafting.kind import DraftKind, finishing
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.skirts.skirts import shell_allowances
from pieces.fields import Length, LengthOrZero
from pieces.geometry import reflected, rotated, translated
from pieces.joins import opened
from pieces.piece import Line, Point, Stage, Step
from pieces.seams import compare, seam_length, walk
from pieces.wording import choose

_FLAT_MM, _STAND_MM = 50.0, 25.0
"""Depths; common practice."""
_SMOOTHED_MM = 15.0
"""On both sides of the shoulder; common practice."""
_STAND_RISE_MM = 10.0
"""By how much a stand's ends lie above its middle, so that it leans to the neck; common
practice."""
_NOTCH_DEEP, _NOTCH_WIDE = 0.5, 0.6
"""Of the V in a notched collar, over its depth; common practice."""
_ROLL = 4.0
"""What the shoulders overlap over what the collar then stands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CollarOptions:
    """Options of a collar for the bodice before it; each may be left out.

    Attributes
    ----------
    style : flat, or stand
    depth : finished; 5 cm for a flat collar, 2.5 cm for a stand (common practice)
    overlap : of front and back at the shoulder's point while a flat collar is drawn, so that its
        outer edge does not stand off; 2 cm (common practice)
    roll : how high a flat collar stands behind before it turns over; 0. The shoulders overlap by
        four times as much, 4 in. for 1 in. (a sewing blog, 2012)
    ends : round, square, or notched, which is round with a V cut into the outer edge of a flat
        collar at each shoulder; round for a flat collar, square for a stand (common practice)
    """

    style: Literal["flat", "stand"] = "flat"
    depth: Length | None = None
    overlap: LengthOrZero = 20.0
    roll: LengthOrZero = 0.0
    ends: Literal["round", "square", "notched"] | None = None


def draft_collar(context: DraftContext, options: CollarOptions) -> DraftResult:
    """Draft a collar for the round neck of the bodice before it: upper collar and under collar.

    Both styles are as long at the neck as the bodice's half neck.

    Steps
    -----
    1. For a flat collar lay the back to the front at the side of the neck, the shoulders
       overlapping by 2 cm at their points (common practice); for one that rolls by 4 times what it
       is to stand (a sewing blog, 2012).
    2. Draw the neck through, smooth its corner over 1.5 cm to each side of the shoulder, or a third
       of the back or front neck if that is less, and add what that saves straight on at the centre
       front (common practice).
    3. Draw the outer edge 5 cm away from it and round its front corner, unless it is to be square,
       half the depth off either side, or a third of the outer edge if that is less; cut a notch
       into it at the shoulder, half as deep as the collar and 0.6 as wide (common practice).
    4. For a stand draw an arc as long as the half neck whose end lies about 1 cm above its middle,
       and a second one 2.5 cm above it about the same centre (common practice).
    5. Notch the shoulder at the length of the back neck, and lay the grain along the centre back: a
       fold, or a seam between two halves where the bodice opens behind (common practice).
    6. Cut it twice, upper and under collar, or once of each where it is lined (common practice).

    Raises
    ------
    OrderFault : there is no bodice with a round neck before it, or the collar can't be drawn
    """
    needs = Needs(context)
    bodice = needs.bodice("A collar is drawn for the neck of a bodice")
    if not bodice.round_neck:
        needs.refuse(
            "draft",
            "A collar is drawn for a round neck, and the bodice before it has another.",
            choose("neck", "round")
            + " at the bodice, or finish its neck with a facing or a binding.",
        )
    flat = options.style == "flat"
    if options.ends == "notched" and not flat:
        needs.refuse(
            "ends",
            "A notch is cut into the outer edge of a flat collar; a stand has none.",
            choose("style", "flat") + ", or " + choose("ends", "round") + ".",
        )
    depth = needs.enough("depth", options.depth or (_FLAT_MM if flat else _STAND_MM))
    needs.settle()
    middle = Role.SEAM if bodice.back.opens else Role.FOLD
    if flat:
        edges = _flat(needs, bodice, depth, options, middle)
    else:
        edges = _stand(needs, bodice, depth, middle, rounded=options.ends == "round")
    return made_up(context, bodice, "collar", edges)


def made_up(
    context: DraftContext, bodice: Bodice, name: str, edges: tuple[Edge, ...]
) -> DraftResult:
    """A collar of these edges, the last along the centre back, compared with the bodice's neck.

    Cut twice, or once of each cloth where it is lined; in halves where the bodice opens behind.
    """
    halved = bodice.back.opens
    pattern = Pattern(
        name=context.named(name),
        edges=edges,
        grain=(edges[-1].line[0], edges[-1].line[1]),
        cut=2 if context.part.lining is None else 1,
        pair=halved,
    )
    pieces = lined(context, (pattern,), shell_allowances(context))
    checks = tuple(
        compare(
            f"neck of {piece.name} to bodice, half of it",
            context.garment,
            seam_length(piece, "neck"),
            half_neck_of(bodice),
        )
        for piece in pieces
    )
    joins = (opened(pieces[0], "centre back", stage=Stage.NECK),) if halved else ()
    sewn = Step(
        stage=Stage.NECK,
        what=f"{pieces[0].name}, its shoulder notches to the shoulder seams,",
        to="neck of the bodice",
        this_mm=2 * seam_length(pieces[0], "neck"),
        that_mm=2 * half_neck_of(bodice),
    )
    return DraftResult(pieces=pieces, joins=joins, seam_checks=checks, steps=(sewn,))


def half_neck_of(bodice: Bodice) -> float:
    """Length of half a bodice's neck."""
    return sum(length(half.edge("neck").line) for half in (bodice.front, bodice.back))


def _flat(
    needs: Needs, bodice: Bodice, depth: float, options: CollarOptions, middle: Role
) -> tuple[Edge, ...]:
    overlap = max(options.overlap, _ROLL * options.roll)
    neck, down = laid_neck(bodice, depth, overlap)
    if options.roll:
        neck = _in_one_sweep(neck)
    centre, low = neck[0], neck[-1]
    outer = _beside(neck, depth)
    if outer is None or overlap > length(bodice.back.edge("shoulder").line):
        needs.refuse(
            "depth",
            f"A flat collar {needs.told(depth)} deep can't be drawn round this neck.",
            "Give a smaller depth, overlap or roll.",
        )
        needs.settle()
        return ()
    outer = (down, *outer[1:-1], (low[0], low[1] - depth))
    front_end: Line = (low, outer[-1])
    rest = outer[::-1]
    if options.ends != "square":
        front_end, rest = _rounded(low, rest, depth / 2)
    if options.ends == "notched":
        shoulder, _ = walk(neck, length(bodice.back.edge("neck").line))
        rest = _notched(rest, shoulder, depth)
    return (
        Edge("neck", neck, marks_mm=(length(bodice.back.edge("neck").line),)),
        Edge("front end", front_end),
        Edge("outer edge", rest),
        Edge("centre back", (down, centre), middle),
    )


def laid_neck(bodice: Bodice, depth: float, overlap: float) -> tuple[Line, Point]:
    """A neck from centre back to centre front, and the point so far down the middle of the back.

    The front is as drawn, the back turned over its shoulder and swung round the side of the neck,
    so that the shoulders overlap by so much at their points.
    """
    front, back = (half.edge("neck").line for half in (bodice.front, bodice.back))
    tip, side = bodice.back.edge("shoulder").line
    swing_deg = -math.degrees(overlap / length((tip, side)))

    def over(line: Line) -> Line:
        about_side = translated(reflected(line, (side, tip)), -side[0], -side[1])
        return translated(rotated(about_side, swing_deg), *side)

    # The last two are a step down the middles, which the collar's ends lie on.
    x, y = back[-1]
    *back_neck, centre, down = over((*back, (x, y - depth)))
    return _walked((centre, *reversed(back_neck), *front[1:]), length(back)), down


def _in_one_sweep(neck: Line) -> Line:
    """A neck as one curve as long, from one end to the other: what rolls leaves the shoulder."""
    whole = length(neck)
    first, last = math.dist(*neck[:2]), math.dist(*neck[-2:])

    def curve(reach: float) -> Line:
        pull = onward(neck[1], neck[0], -first - reach)
        push = onward(neck[-2], neck[-1], -last - reach)
        return bezier(neck[0], pull, push, neck[-1], sewn=True)

    least, most = 0.0, whole
    for _ in range(50):  # the further its ends reach, the longer it is
        reach = (least + most) / 2
        least, most = (reach, most) if length(curve(reach)) < whole else (least, reach)
    return curve(least)


def _walked(neck: Line, corner_mm: float) -> Line:
    """The neck without the corner that it has at the shoulder, and no shorter for it.

    What a curve across the corner saves is added at the centre front, straight on.
    """
    reach = min(_SMOOTHED_MM, corner_mm / 3, (length(neck) - corner_mm) / 3)
    before, _ = cut_at(neck, corner_mm - reach)
    _, after = cut_at(neck, corner_mm + reach)
    across = math.dist(before[-1], after[0]) / 3
    pull = onward(before[-2], before[-1], across)
    push = onward(after[1], after[0], across)
    smooth = (*before, *bezier(before[-1], pull, push, after[0])[1:-1], *after)
    return (*smooth[:-1], onward(smooth[-2], smooth[-1], length(neck) - length(smooth)))


def _beside(line: Line, depth: float) -> Line | None:
    """The line at a distance to the left of another, run the same way; None if it breaks up."""
    from shapely.geometry import LineString  # takes a while to load

    found = LineString(line).offset_curve(depth, quad_segs=32, join_style="round")
    if not isinstance(found, LineString) or found.is_empty:
        return None
    beside: Line = tuple((float(x), float(y)) for x, y in found.coords)
    if math.dist(beside[0], line[0]) > math.dist(beside[-1], line[0]):
        beside = beside[::-1]
    ends = (math.dist(beside[i], line[i]) for i in (0, -1))
    return beside if all(abs(end - depth) < 1 for end in ends) else None


def _rounded(start: Point, outer: Line, radius: float) -> tuple[Line, Line]:
    """From a start to where an outer line begins and along it, the corner between rounded."""
    corner = outer[0]
    radius = min(radius, length(outer) / 3)
    share = radius / math.dist(start, corner)
    before = (
        corner[0] + (start[0] - corner[0]) * share,
        corner[1] + (start[1] - corner[1]) * share,
    )
    _, rest = cut_at(outer, radius)
    return (start, before), bezier(before, corner, corner, rest[0]) + rest[1:]


def _notched(outer: Line, shoulder: Point, depth: float) -> Line:
    """An outer edge with a V in it, opposite the shoulder; none where there is no room for it."""
    wide = _NOTCH_WIDE / 2 * depth
    at = min(range(len(outer)), key=lambda i: math.dist(outer[i], shoulder))
    along = length(outer[: at + 1]) if at else 0.0
    if not 2 * wide < along < length(outer) - 2 * wide:
        return outer
    before, _ = cut_at(outer, along - wide)
    _, after = cut_at(outer, along + wide)
    (x, y), (to_x, to_y) = outer[at], shoulder
    return (*before, (x + _NOTCH_DEEP * (to_x - x), y + _NOTCH_DEEP * (to_y - y)), *after)


def _stand(
    needs: Needs, bodice: Bodice, depth: float, middle: Role, *, rounded: bool
) -> tuple[Edge, ...]:
    """A ring's sector: its lower edge half the neck, its end so much higher than its middle."""
    half_neck = half_neck_of(bodice)
    # The end of an arc of length s and angle a lies about s * a / 2 above its beginning.
    angle = 2 * _STAND_RISE_MM / half_neck
    radius = half_neck / angle
    if depth > radius / 2:
        needs.refuse(
            "depth",
            f"A stand {needs.told(depth)} deep closes above this neck.",
            "Give a smaller depth.",
        )
        needs.settle()
    end_deg = -90.0 + math.degrees(angle)
    neck = arc((0.0, radius), radius, -90.0, end_deg, sewn=True)
    top = arc((0.0, radius), radius - depth, end_deg, -90.0, sewn=True)
    back = length(bodice.back.edge("neck").line)
    front_end: Line = (neck[-1], top[0])
    if rounded:
        front_end, top = _rounded(neck[-1], top, depth / 2)
    return (
        Edge("neck", neck, marks_mm=(back,)),
        Edge("front end", front_end),
        Edge("top", top),
        Edge("centre back", (top[-1], neck[0]), middle),
    )


KINDS = (
    DraftKind(
        name="collar",
        options=CollarOptions,
        draft=draft_collar,
        description="a flat or a stand collar",
        place=50,
        needs_bodice=True,
        finishes=finishing("neck"),
    ),
)
