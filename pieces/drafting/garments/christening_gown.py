"""A christening gown: long, gathered to a short yoke, or in one piece from the shoulder."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from pieces.curves import cut_at, length
from pieces.drafting.bodices.bodice_block import armhole_line
from pieces.drafting.bodices.bodice_limits import require_drawable
from pieces.drafting.bodices.bust import bust_told
from pieces.drafting.bodices.dress import Flared, flared, notched
from pieces.drafting.bodices.upper import (
    UpperOptions,
    neck_told,
    opening_mm,
    upper_block,
    upper_given,
    upper_halves,
    upper_joins,
    upper_pattern,
)
from pieces.drafting.context import DraftContext, DraftResult, Half, Needs, lined_apart
from pieces.drafting.kind import DraftKind
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.skirts.skirts import lower_role, shell_allowances
from pieces.fields import Length, LengthOrZero, Ratio
from pieces.geometry import translated
from pieces.joins import opened
from pieces.piece import How, Join, Piece, Side, Stage
from pieces.seams import whole_length
from pieces.wording import choose, key

_LONG_MM = 914.4
_FLARE, _YOKE = 0.1, 0.62
_BELOW_NECK_MM, _ABOVE_UNDERARM_MM = 20.0, 12.0
_OPENS_MM = 200.0
"""Common practice, but for the length."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChristeningGownOptions(UpperOptions):
    """Options of a christening gown; each may be left out.

    Attributes
    ----------
    style : yoke, to which a long skirt is gathered, or one-piece; yoke
    length : from nape to hem; 1 yard (*Scientific Sewing and Garment Cutting*, The Dress)
    yoke : from nape to the seam below the yoke; 0.62 of the way to the underarm, and 2 cm below the
        neck in front (common practice)
    fullness : the skirt over the yoke that it is gathered to; 2 (common practice)
    flare : what each quarter is wider at the hem than at the chest; a tenth of the way from
        underarm to hem (common practice)
    """

    style: Literal["yoke", "one-piece"] = "yoke"
    length: Length = _LONG_MM
    yoke: Length | None = None
    fullness: Ratio = 2.0
    flare: LengthOrZero | None = None
    closing: Literal["zip", "buttons", "front opening", "none"] = "buttons"


def draft_christening_gown(context: DraftContext, options: ChristeningGownOptions) -> DraftResult:
    """Draft a christening gown, and its lining if one is asked for.

    Steps
    -----
    1. Draw neck, shoulder and armhole as for a bodice (a pattern teaching site; Indian teaching
       notes; a British flat block as quoted by a sewing blog).
    2. Set the hem 1 yard below the nape, whatever the wearer's size (*Scientific Sewing and Garment
       Cutting*, The Dress: from the neck to the lower edge of the hem).
    3. Draw the sides straight out from the underarm by a tenth of their length, the hem square to
       them and to the middle (common practice).
    4. For a yoke part front and back on a level 0.62 of the way from nape to underarm, 2 cm below
       the neck at least (common practice; in that book, too, a yoke is the waist of a dress cut
       off at the width wanted).
    5. Move the skirt out from the middle until its top is 2 times as long as the yoke's edge
       (common practice), and notch both half-way.
    6. The back of the skirt has a seam where the yoke opens, notched 20 cm down, to where it stays
       open for a placket (common practice). A gown in one piece opens as a bodice does.

    Raises
    ------
    OrderFault : measures are missing, or no gown can be drawn from them
    """
    needs = Needs(context)
    upper = upper_block(needs, options, "The gown")
    long = needs.enough("length", options.length)
    fullness = needs.gathers("fullness", options.fullness)
    needs.settle()
    down = long - upper.scye_depth
    flare = _FLARE if options.flare is None else options.flare / max(1.0, down)
    block = flared(upper, long, flare)
    yoked = options.style == "yoke"
    if yoked and options.neck_depth is None:
        block = _with_room(block)
    require_drawable(needs, block)
    if flare > 1.0 and not needs.faults:
        needs.refuse("flare", "The sides would lie more across than down.", "Give less flare.")
    yoke = _yoke(needs, options, block) if yoked else 0.0
    needs.settle()
    drawn = upper_halves(
        context,
        block,
        options.closing,
        "gown yoke" if yoked else "gown",
        lambda front: (
            Edge("hem", block.hem(front=False), lower_role(context)),
            Edge("side", (block.hem_side, block.underarm)),
        ),
    )
    if not yoked:
        front, back = (notched(context, half, _below_waist(context, long)) for half in drawn)
        drawn = front, back
    halves, patterns = list(drawn), [upper_pattern(half, opening_mm(options)) for half in drawn]
    if yoked:
        patterns = []
        for place, (half, which) in enumerate(zip(drawn, ("front", "back"), strict=True)):
            name = context.named(f"gown skirt {which}")
            top, skirt = _parted(half, block, yoke, fullness, front=which == "front")
            patterns += [
                replace(upper_pattern(replace(half, edges=top), opening_mm(options))),
                _skirt(name, skirt, half),
            ]
            panels = ((half.name, _named(top)), (name, _named(skirt)))
            # It opens down to the end of the placket, and not to the hem.
            high = half.middle.line[0]
            opens = replace(half.middle, line=(high, (high[0], -yoke - _OPENS_MM)))
            halves[place] = replace(half, edges=(*half.edges[:-1], opens), panels=panels)
    return _made(context, options, block, (halves[0], halves[1]), patterns)


def _made(
    context: DraftContext,
    options: ChristeningGownOptions,
    block: Flared,
    halves: tuple[Half, Half],
    patterns: list[Pattern],
) -> DraftResult:
    shell, lining = lined_apart(context, patterns, shell_allowances(context, opening_mm(options)))
    skirts = [opened(piece, f"centre {piece.name.split()[-1]}") for piece in shell if _opens(piece)]
    return DraftResult(
        pieces=shell + lining,
        joins=(*upper_joins(shell, halves), *_gathered(halves, options.fullness), *skirts),
        findings=(
            *neck_told(context, options, whole_length(shell, "neck")),
            *bust_told(context, "the gown"),
        ),
        bodice=upper_given(block, options, halves),
        hem_mm=whole_length(shell, "hem"),
        name=context.named("gown"),
        long_mm=_below_waist(context, block.length),
    )


def _below_waist(context: DraftContext, long: float) -> float:
    """From the waist to the hem, or all of it where the waist is not known."""
    return long - (context.body.back_waist or 0.0)


def _opens(piece: Piece) -> bool:
    """Whether it is half of a skirt with a seam in the middle."""
    return (
        piece.pair
        and any(seam.name == "yoke seam" for seam in piece.seams)
        and (any(seam.name == "hem" for seam in piece.seams))
    )


def _named(edges: tuple[Edge, ...]) -> tuple[str, ...]:
    return tuple(edge.name for edge in edges)


def _with_room(block: Flared) -> Flared:
    """The block with a neck no deeper than leaves a yoke its place above the underarm."""
    least, most = _BELOW_NECK_MM - block.front_low, block.scye_depth - _ABOVE_UNDERARM_MM
    return replace(block, neck_depth=block.neck_depth - max(0.0, least - most))


def _yoke(needs: Needs, options: ChristeningGownOptions, block: Flared) -> float:
    """From nape to yoke seam; a fault where that has no place between neck and underarm."""
    least, most = _BELOW_NECK_MM - block.front_low, block.scye_depth - _ABOVE_UNDERARM_MM
    yoke = options.yoke or min(most, max(least, _YOKE * block.scye_depth))
    if least > most and not needs.faults:
        needs.refuse(
            "neck_depth",
            f"Below a neck {needs.told(block.neck_depth)} deep there is no room for a yoke that "
            "ends above the underarm.",
            "Give a smaller " + key("neck_depth") + ", or " + choose("style", "one-piece") + ".",
        )
    if not least - 0.05 <= yoke <= most + 0.05 and not needs.faults:
        needs.refuse(
            "yoke",
            f"A yoke {needs.told(yoke)} deep does not end between neck and underarm, from "
            f"{needs.told(least)} to {needs.told(most)} below the nape.",
            "Give a yoke between these, or " + choose("style", "one-piece") + ".",
        )
    return yoke


def _parted(
    half: Half, block: Flared, yoke: float, fullness: float, *, front: bool
) -> tuple[tuple[Edge, ...], tuple[Edge, ...]]:
    """The edges of yoke and skirt, the skirt moved out from the middle to be gathered."""
    armhole = half.edge("armhole")
    whole = armhole_line(block, front=front)
    at = _at_height(whole, -yoke)
    low, high = cut_at(whole, at)
    across, out = high[0][0], (fullness - 1) * high[0][0]
    below = [mark for mark in armhole.marks_mm if mark < at]
    above = [mark - at for mark in armhole.marks_mm if mark >= at]
    low_mark, high_mark = (armhole.points, ()) if below else ((), armhole.points)
    middle = half.middle
    level = (0.0, -yoke)
    top = (
        Edge("yoke seam", (level, high[0]), marks_mm=(across / 2,)),
        Edge("armhole", high, marks_mm=tuple(above), points=high_mark if above else ()),
        half.edge("shoulder"),
        half.edge("neck"),
        replace(middle, line=(middle.line[0], level)),
    )
    hem = half.edges[0]
    moved = translated(hem.line, out, 0.0)
    straight = (middle.line[-1],) if out else ()
    role = Role.FOLD if middle.role is Role.FOLD else Role.OPENING
    opens = (_OPENS_MM,) if role is Role.OPENING else ()
    skirt = (
        replace(hem, line=(*straight, *moved)),
        replace(half.edges[1], line=translated(half.edges[1].line, out, 0.0)),
        Edge("armhole", translated(low, out, 0.0), marks_mm=tuple(below), points=low_mark),
        Edge(
            "yoke seam",
            ((across + out, -yoke), level),
            marks_mm=((across + out) / 2,),
        ),
        Edge(middle.name, (level, middle.line[-1]), role, opens),
    )
    return top, skirt


def _at_height(line: tuple[tuple[float, float], ...], y: float) -> float:
    """How far along a line that runs up it is so high."""
    gone = 0.0
    for a, b in pairwise(line):
        if a[1] <= y < b[1]:
            return gone + length((a, b)) * (y - a[1]) / (b[1] - a[1])
        gone += length((a, b))
    raise AssertionError("a yoke ends between underarm and shoulder")


def _skirt(name: str, edges: tuple[Edge, ...], half: Half) -> Pattern:
    high, low = edges[-1].line
    return Pattern(name=name, edges=edges, grain=(low, high), pair=half.opens)


def _gathered(halves: tuple[Half, Half], fullness: float) -> list[Join]:
    return [
        Join(
            what=f"yoke seam, {skirt} to {half.name}",
            this=Side(skirt, "yoke seam"),
            that=Side(half.name, "yoke seam"),
            fullness=fullness,
            turned=True,
            how=How.GATHERED if fullness > 1 else How.PLAIN,
            stage=Stage.SHAPE,
        )
        for half in halves
        for skirt in [name for name, _ in half.panels[1:]]
    ]


KINDS = (
    DraftKind(
        name="christening gown",
        options=ChristeningGownOptions,
        draft=draft_christening_gown,
        description="a long gown on a yoke, or in one piece",
        place=16,
        gives_bodice=True,
        carries="skirt",
        curved_hem=True,
        wider_hem="flare",
    ),
)
