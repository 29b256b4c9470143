"""A cape with a seam over the shoulders, and a hood if wanted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from pieces.curves import bezier, length
from pieces.drafting.bodices.bodice_block import Block, neck_line
from pieces.drafting.bodices.bodice_limits import require_drawable
from pieces.drafting.bodices.laps import buttons_down, lap_lines
from pieces.drafting.bodices.upper import UpperOptions, upper_block
from pieces.drafting.context import DraftContext, DraftResult, Needs, lined
from pieces.drafting.kind import DraftKind
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.skirts.skirts import shell_allowances
from pieces.fields import Flag, Length, LengthOrZero
from pieces.joins import opened
from pieces.notions import Notion, Sold
from pieces.piece import Finding, Join, Line, Piece, Side, Stage, Step
from pieces.seams import compare, seam_length
from pieces.wording import key

_SWEEP_DEG = {"half": 45.0, "three-quarter": 67.5}
_LONGER_FRONT_MM = 19.0
_OVER_SHOULDER_MM = 10.0
_LENGTH, _LONGER_SIDE = 0.36, 0.5
_HEADS_MM = ((600.0, 405.0), (1016.0, 500.0), (1300.0, 525.0), (1760.0, 570.0))
"""Round the head by height: 484 to 526 mm at 2 to 8 years (UM-HSRI-77-17), others from memory."""
_LEAST_HEAD_MM, _MOST_HEAD_MM = 300.0, 700.0
_HOOD_HIGH, _HOOD_WIDE, _HOOD_FALLS = 0.62, 0.43, 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class CapeOptions:
    """Options of a cape; each may be left out.

    Attributes
    ----------
    circle : half of a circle, or three-quarter of one, with the shoulders shaped
    length : from nape to hem; 0.36 of the height, below the hip (common practice)
    hood : whether it has one, sewn to the neck
    head : round the head, for the hood; by the height (from memory; 484 to 526 mm at 2 to 8 years:
        UM-HSRI-77-17, 1977)
    neck_width : half of it; 5 mm more than a bodice's (common practice)
    neck_depth : in front, below the side of the neck; chest / 8 and 5 mm (as a bodice, and common
        practice)
    opening_allowance : in front, where it laps for buttons; 4 cm, half of which is folded back
    on_fold : whether the back is cut on the fold; true. Otherwise it has a seam
    """

    circle: Literal["half", "three-quarter"] = "half"
    length: Length | None = None
    hood: Flag = False
    head: Length | None = None
    neck_width: Length | None = None
    neck_depth: Length | None = None
    opening_allowance: LengthOrZero = 40.0
    on_fold: Flag = True


def draft_cape(context: DraftContext, options: CapeOptions) -> DraftResult:
    """Draft front and back of a cape, its hood, and their lining if one is asked for.

    Steps
    -----
    1. Draw neck and shoulder as for a bodice (a pattern teaching site; Indian teaching notes), the
       neck 5 mm wider and deeper, the shoulder 1 cm longer, for what is worn below (common
       practice).
    2. Run the shoulder on to the hem in a line that leaves the middle by 45 degrees, so that front
       and back with their shoulders touching make half a circle, or by 67.5 for three-quarters
       (*Vincent's Systems of Cutting all Kinds of Tailor-made Garments*, capes: the middles at
       right angles with shoulder points touching); round it over the shoulder.
    3. Set the hem 0.36 of the height below the nape (common practice), in front 3/4 in. lower (*The
       Cutters' Practical Guide*, part 1, 1898, p. 22), and along the seam longer than behind by
       half the shoulder (2 1/2 to 3 in. on a grown-up: Vincent).
    4. Draw it level in the middle and square to the seam, front and back alike there (geometry).
    5. Put the back on the fold, or give it a seam, and lap the front for buttons, 4 cm (common
       practice).
    6. For a hood draw a line as long as half the neck, falling behind; go up 0.62 of the head and
       back 0.43 of it, and draw crown and back as one curve, square to neck and front edge
       (common practice).

    Raises
    ------
    OrderFault : measures are missing, or no cape can be drawn from them
    """
    needs = Needs(context)
    block, long = _block(needs, options)
    needs.settle()
    require_drawable(needs, block)
    needs.settle()
    seam = _shoulder_seam(needs, block, long, _SWEEP_DEG[options.circle])
    needs.settle()
    neck = sum(length(neck_line(block, front=front)) for front in (True, False))
    patterns = [_half(context, block, long, seam, options, front=front) for front in (True, False)]
    if options.hood:
        patterns.append(_hood(needs, options, neck))
        needs.settle()
    pieces = lined(context, patterns, shell_allowances(context, options.opening_allowance))
    count = len(patterns)
    sets = [pieces[i : i + count] for i in range(0, len(pieces), count)]
    hoods = [one for pair in sets for one in pair[2:]]
    return DraftResult(
        pieces=pieces,
        joins=tuple(join for pair in sets for join in _joins(pair)),
        seam_checks=tuple(
            compare(
                f"neck of {one.name} to the cape, half of it",
                context.garment,
                seam_length(one, "neck"),
                neck,
            )
            for one in hoods
        ),
        findings=_told(context),
        notions=_buttons(context, pieces[0]),
        steps=tuple(_sewn_on(one, neck) for one in hoods[:1]),
    )


def _block(needs: Needs, options: CapeOptions) -> tuple[Block, float]:
    body = needs.context.body
    upper = UpperOptions(
        neck_width=options.neck_width,
        neck_depth=options.neck_depth,
        shoulder=None if body.shoulder is None else body.shoulder + _OVER_SHOULDER_MM,
    )
    block = upper_block(needs, upper, "A cape")
    if options.length is None and body.height is None:
        needs.refuse(
            "length",
            "Without the wearer's height the length of a cape is not known.",
            "Give it, " + needs.such_as("length", 450.0) + ", or the height.",
        )
    long = needs.enough("length", options.length or _LENGTH * (body.height or 0.0))
    wider = {
        "neck_width": options.neck_width or block.neck_width + 5.0,
        "neck_depth": options.neck_depth or block.neck_depth + 5.0,
    }
    own = {name: getattr(block, name) for name in Block.__dataclass_fields__}
    return Block(**{**own, **wider, "quarter": max(block.quarter, block.tip[0])}), long


def _shoulder_seam(needs: Needs, block: Block, long: float, sweep_deg: float) -> Line:
    """From the side of the neck over the shoulder's point, which is rounded, down to the hem."""
    neck, tip = block.neck_point, block.tip
    turn = math.radians(sweep_deg)
    way = math.sin(turn), -math.cos(turn)
    across = math.dist(neck, tip)
    down = long + _LONGER_SIDE * across - across
    if down < 1.5 * across:
        needs.refuse(
            "length",
            f"A cape of {needs.told(long)} ends at the shoulders.",
            "Give a greater length.",
        )
    reach = 0.6 * across
    before = (tip[0] + (neck[0] - tip[0]) * 0.6, tip[1] + (neck[1] - tip[1]) * 0.6)
    after = tip[0] + reach * way[0], tip[1] + reach * way[1]
    end = tip[0] + down * way[0], tip[1] + down * way[1]
    inner = 2 / 3
    over = bezier(
        before,
        (before[0] + (tip[0] - before[0]) * inner, before[1] + (tip[1] - before[1]) * inner),
        (after[0] + (tip[0] - after[0]) * inner, after[1] + (tip[1] - after[1]) * inner),
        after,
    )
    return (neck, *over, end)


def _half(
    context: DraftContext,
    block: Block,
    long: float,
    seam: Line,
    options: CapeOptions,
    *,
    front: bool,
) -> Pattern:
    which = "front" if front else "back"
    neck = neck_line(block, front=front)
    low = -long - (_LONGER_FRONT_MM if front else 0.0)
    middle = (neck[-1], (0.0, low))
    end = seam[-1]
    away = math.dist(seam[-2], end)
    way = (end[0] - seam[-2][0]) / away, (end[1] - seam[-2][1]) / away
    # Square to the seam, towards the middle.
    square = way[1], -way[0]
    third = math.dist((0.0, low), end) / 3
    hem = bezier(
        (0.0, low),
        (third, low),
        (end[0] + third * square[0], end[1] + third * square[1]),
        end,
        sewn=True,
    )
    down = length(seam) - math.dist(seam[0], block.tip)
    name = f"centre {which}"
    behind = Role.FOLD if options.on_fold else Role.SEAM
    return Pattern(
        name=context.named(f"cape {which}"),
        edges=(
            Edge("hem", hem, Role.HEM),
            Edge("shoulder", seam[::-1], marks_mm=(down,)),
            Edge("neck", neck),
            Edge(name, middle, Role.LAP if front else behind),
        ),
        grain=(middle[1], middle[0]),
        pair=front or not options.on_fold,
        drawn_lines=lap_lines(middle, options.opening_allowance) if front else (),
    )


def _hood(needs: Needs, options: CapeOptions, neck: float) -> Pattern:
    """x runs from its front edge back, y up from the neck in front."""
    head = options.head or _head_mm(needs.context.body.height or 1016.0)
    high, wide = _HOOD_HIGH * head, max(_HOOD_WIDE * head, 1.05 * neck)
    if not _LEAST_HEAD_MM <= head <= _MOST_HEAD_MM:
        needs.refuse(
            "head",
            f"{needs.told(head)} is not round any head.",
            "Measure round the head, above the ears, and look whether the unit is right.",
        )
        needs.settle()
    edge = _hood_neck(neck)
    back = edge[-1]
    lean = math.hypot(1.0, _HOOD_FALLS)
    up = 0.25 * high
    middle = (wide, 0.55 * high)
    lower = bezier(
        back,
        (back[0] + up * _HOOD_FALLS / lean, back[1] + up / lean),
        (wide, 0.3 * high),
        middle,
        sewn=True,
    )
    crown = bezier(middle, (wide, 0.86 * high), (0.6 * wide, high), (0.0, high), sewn=True)
    if back[0] > 0.98 * wide:
        needs.refuse(
            "head",
            f"A hood for a head of {needs.told(head)} is no wider than half the neck of "
            f"{needs.told(neck)}.",
            "Measure round the head, or give a smaller " + key("neck_width") + ".",
        )
    return Pattern(
        name=needs.context.named("cape hood"),
        edges=(
            Edge("neck", edge, marks_mm=(neck / 2,)),
            Edge("crown", lower + crown[1:]),
            Edge("front edge", ((0.0, high), (0.0, 0.0)), Role.HEM),
        ),
        grain=((wide / 2, 0.1 * high), (wide / 2, 0.9 * high)),
        pair=True,
    )


def _hood_neck(neck: float) -> Line:
    """As long as half the neck, level in front, falling behind so that the back seam leans out."""
    across = neck
    edge: Line = ()
    for _ in range(8):
        back = (across, -0.2 * across)
        third = across / 3
        push = back[0] - third, back[1] + third * _HOOD_FALLS
        edge = bezier((0.0, 0.0), (third, 0.0), push, back, sewn=True)
        across += neck - length(edge)
    return edge


def _head_mm(height: float) -> float:
    """Round the head by height, straight from one of the known to the next."""
    known = _HEADS_MM
    if height <= known[0][0]:
        return known[0][1]
    for (low, small), (high, large) in pairwise(known):
        if height <= high:
            return small + (large - small) * (height - low) / (high - low)
    return known[-1][1]


def _joins(pair: tuple[Piece, ...]) -> list[Join]:
    front, back, *hood = pair
    shoulders = Join(
        what=f"shoulder seam, {front.name} to {back.name}",
        this=Side(front.name, "shoulder"),
        that=Side(back.name, "shoulder"),
        stage=Stage.SHOULDERS,
    )
    behind = [] if back.on_fold else [opened(back, "centre back", stage=Stage.SIDES)]
    return [
        shoulders,
        *behind,
        opened(front, "centre front"),
        *(opened(one, "crown", stage=Stage.SHAPE) for one in hood),
    ]


def _buttons(context: DraftContext, front: Piece) -> tuple[Notion, ...]:
    count = len(buttons_down(seam_length(front, "centre front")))
    return (
        Notion(
            name="button",
            garment=context.garment,
            where=f"front of the {context.named('cape')}",
            sold=Sold.PIECE,
            count=count,
        ),
    )


def _sewn_on(hood: Piece, neck: float) -> Step:
    return Step(
        stage=Stage.NECK,
        what=f"neck of {hood.name}",
        to="neck of the cape",
        this_mm=2 * neck,
        that_mm=2 * neck,
    )


def _told(context: DraftContext) -> tuple[Finding, ...]:
    """What to fasten it with: code ``no-cord-at-neck``."""
    message = (
        "fasten the cape with a button or a snap that gives way when it is "
        "pulled. No cord, ribbon or drawstring at the neck or in the hood of a child's cape: it "
        "can catch and strangle. Local rules and qualified people decide."
    )
    return (context.finding("no-cord-at-neck", message),)


KINDS = (
    DraftKind(
        name="cape",
        options=CapeOptions,
        draft=draft_cape,
        description="a cape with shaped shoulders, with or without a hood",
        place=138,
    ),
)
