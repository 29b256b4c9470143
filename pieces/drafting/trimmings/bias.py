"""Bias binding: strips joined, or one continuous strip from a square. Millimetres.

The sums hold in any unit, as long as all that goes in is in the same one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pieces.counts import at_least
from pieces.curves import length
from pieces.drafting.context import DraftContext, DraftResult, Needs, lined
from pieces.drafting.kind import DraftKind
from pieces.drafting.pattern import Allowances, Edge, Pattern, Role
from pieces.drafting.strips import Strips, strips_or_fault
from pieces.fields import Length
from pieces.notions import Notion, Sold
from pieces.piece import Finding, Stage, Step
from pieces.seams import compare, whole_length

_END_MM = 20.0
"""Turned under, or joined, at each end; common practice."""
_STEP_MM = 10.0
"""A square's side is rounded up to the next centimetre."""
_CUT_WIDTHS = {"double": 4, "French": 6}
"""Cut width over finished width; from memory."""
_WIDTH_MM, _CORD_MM, _LEAST_CORD_MM = 10.0, 3.0, 1.0
"""Of a binding as finished; of a piping's cord, and the thinnest; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BiasBindingOptions:
    """Options of a bias binding; each may be left out.

    Attributes
    ----------
    edge : what it binds: neck, or armhole for both, of the bodice before it, or the hem of the
        skirt, tier or band before it; neck
    length : of what is bound, where that is none of these
    width : finished, or how thick the cord of piping is; 1 cm, or 3 mm for piping (common practice)
    fold : double, cut 4 times as wide, or French, cut 6 times as wide (from memory), or piping, cut
        as wide as its cord is round and two seam allowances; double
    method : strips joined on the thread, or a square sewn to a tube and cut round and round
    strip_length : the longest strip it may be joined from, measured along it; 70 cm
    """

    edge: Literal["neck", "armhole", "hem"] = "neck"
    length: Length | None = None
    width: Length | None = None
    fold: Literal["double", "French", "piping"] = "double"
    method: Literal["strips", "square"] = "strips"
    strip_length: Length = 700.0


def square_side(whole: float, width: float, seam: float = 0.0) -> float:
    """Side of the square that gives so long a strip of that width, before it is rounded up.

    Its area is that of the strip (several publications), and of what its two seams take on both
    sides of each, which the publications leave out.

    >>> square_side(200, 2), math.ceil(square_side(250, 2))
    (20.0, 23)
    """
    return 2 * seam + math.sqrt(4 * seam * seam + whole * width)


def cloth_for_joined_bias(whole: float, width: float, shortest: float, cloth_width: float) -> float:
    """How long a piece of cloth gives strips of so much together, none shorter than `shortest`.

    Two corners of the cloth go to waste: *Dress Making* (NIMI, 2024), p. 220, with the true
    square root of two for the book's 1.4.

    >>> round(cloth_for_joined_bias(500, 2.5, 10, 86), 1)
    15.1
    """
    return (whole * width + shortest**2 / 2) / cloth_width


def joined_bias_from(
    cloth_width: float, cloth_length: float, width: float, shortest: float
) -> float:
    """How much strip comes out of a cloth, none of it shorter than `shortest` (same source).

    >>> round(joined_bias_from(96, 20, 2, 10))
    935
    """
    return (cloth_width * cloth_length - shortest**2 / 2) / width


def draft_bias_binding(context: DraftContext, options: BiasBindingOptions) -> DraftResult:
    """Draft the binding of an edge: so long as the edge, and 2 cm more at each end.

    Steps
    -----
    1. Measure what is bound: the whole neck with the laps of a buttoned opening, both armholes, or
       the hem; add 2 cm at each end of each (common practice).
    2. Cut 4 times the finished width for a double fold, 6 times for a French one, with nothing
       added (from memory); for piping the girth of its cord and two seam allowances (a sewing
       blog, secondary copy).
    3. For strips divide the length by 70 cm (common practice) less 1.41 of a seam allowance at both
       ends, which slant (geometry), and round up (*Dress Making*, NIMI, 2024). Draw them as they
       are cut: with the thread at 45 degrees, their ends along it and a seam allowance on the ends
       alone (common practice).
    4. For a square draw a side of 2 s + sqrt(4 s^2 + length x cut width), s the seam allowance,
       rounded up to the centimetre: the strip's area (several publications) and that of the two
       seams (geometry). Draw the diagonal along which it is cut in two.

    Raises
    ------
    OrderFault : what it binds is missing, or its strips can't be cut
    """
    needs = Needs(context)
    count, edge_mm = _bound(needs, options)
    piping = options.fold == "piping"
    thick = options.width or (_CORD_MM if piping else _WIDTH_MM)
    cut_mm = _cut_width(needs, options, thick)
    whole = count * (edge_mm + 2 * _END_MM)
    part = context.part
    allowances = Allowances(part.seam_allowance_mm, 0.0, part.seam_allowance_mm)
    what = "" if options.length else f"{options.edge} "
    name = context.named(f"{what}{'piping' if piping else 'binding'}")
    if options.method == "square":
        needs.settle()
        pattern = _square(name, square_side(whole, cut_mm, part.seam_allowance_mm))
    else:
        strips = strips_or_fault(needs, whole, options.strip_length, math.sqrt(2))
        needs.settle()
        pattern = bias_strips(name, strips, cut_mm)
    pieces = lined(context, (pattern,), allowances)
    to_edge = f"what it binds, {count} x {_edge_told(context, options)}"
    checks = tuple(
        compare(
            f"{piece.name} less its ends to {to_edge}",
            context.garment,
            whole_length((piece,), "edge") - count * 2 * _END_MM,
            count * edge_mm,
        )
        for piece in pieces
        if options.method == "strips"
    )
    stage = {"neck": Stage.NECK, "armhole": Stage.SIDES}.get(options.edge, Stage.HEMS)
    size = context.told(thick)
    told = f"its cord {size} thick" if piping else f"{size} wide finished"
    bound = Step(
        stage=Stage.HEMS if options.length else stage,
        what=f"{name}, {told},",
        to=_edge_told(context, options) if options.length is None else "what it binds",
        this_mm=edge_mm,
        that_mm=edge_mm,
    )
    return DraftResult(
        pieces=pieces,
        seam_checks=checks,
        steps=(bound,),
        findings=(
            *_in_two(context, name, count, edge_mm),
            *_square_told(context, options, name, whole, cut_mm),
        ),
        notions=_cord(context, options, thick, count, edge_mm) if piping else (),
    )


def piping_width(thick_mm: float, seam_mm: float) -> float:
    """How wide the cover of a cord is cut: its girth, and a seam allowance on both sides.

    So a sewing blog (secondary copy): a cord half an inch round and seams of half an inch take
    1 1/2 in.
    """
    return math.pi * thick_mm + 2 * seam_mm


def _cut_width(needs: Needs, options: BiasBindingOptions, thick_mm: float) -> float:
    if options.fold == "piping":
        needs.enough("width", thick_mm, _LEAST_CORD_MM)
        return piping_width(thick_mm, needs.context.part.seam_allowance_mm)
    return _CUT_WIDTHS[options.fold] * needs.enough("width", thick_mm)


def _cord(
    context: DraftContext, options: BiasBindingOptions, thick_mm: float, count: int, edge_mm: float
) -> tuple[Notion, ...]:
    """The cord of a piping, as long as its cover."""
    return (
        Notion(
            name="piping cord",
            garment=context.garment,
            where="what it edges" if options.length else options.edge,
            sold=Sold.LENGTH,
            count=count,
            length_mm=edge_mm + 2 * _END_MM,
            width_mm=thick_mm,
        ),
    )


def _edge_told(context: DraftContext, options: BiasBindingOptions) -> str:
    if options.edge == "hem":
        return context.edge
    laps = context.bodice is not None and context.bodice.lap_mm > 0 and not options.length
    return f"{options.edge} with its laps" if options.edge == "neck" and laps else options.edge


def _in_two(context: DraftContext, name: str, count: int, edge_mm: float) -> tuple[Finding, ...]:
    """That what is joined in one for two edges is cut apart."""
    if count == 1:
        return ()
    each, end = context.told(edge_mm + 2 * _END_MM), context.told(_END_MM)
    message = (
        f"the {name} is for two armholes. Join it, then cut it into {count} of "
        f"{each}, which is the armhole and {end} at each end."
    )
    return (context.finding("binding-for-two", message),)


def _square_told(
    context: DraftContext, options: BiasBindingOptions, name: str, whole_mm: float, cut_mm: float
) -> tuple[Finding, ...]:
    """How wide the strip is that a square is cut round into, which no line on it shows."""
    if options.method != "square":
        return ()
    finished = ""
    if options.fold != "piping":
        finished = f", for {context.told(options.width or _WIDTH_MM)} finished"
    message = (
        f"cut the {name} square in two along its diagonal, sew it to a tube and "
        f"cut that round and round {context.told(cut_mm)} wide{finished}; it gives the "
        f"{context.told(whole_mm)} that are wanted, or a little more."
    )
    return (context.finding("square-to-cut", message, "method"),)


def _bound(needs: Needs, options: BiasBindingOptions) -> tuple[int, float]:
    """How many edges are bound, and how long each is."""
    if options.length is not None:
        return 1, needs.enough("length", options.length)
    context = needs.context
    if options.edge == "hem":
        if context.edge_mm is None:
            needs.refuse(
                "edge",
                "There is no skirt, tier or band before it with a hem to bind.",
                "Put that part before it, or give the length of what is bound.",
            )
        return 1, context.edge_mm or 0.0
    bodice = needs.bodice("This binding is cut for a bodice")
    half = sum(length(part.edge(options.edge).line) for part in (bodice.front, bodice.back))
    # What laps for buttons is bound with the neck: the binding runs to the edge of the lap.
    return (1, 2 * (half + bodice.lap_mm)) if options.edge == "neck" else (2, half)


def _square(name: str, side: float) -> Pattern:
    """The square, with the diagonal along which it is cut in two."""
    s = at_least(side / _STEP_MM) * _STEP_MM
    corners = ((0.0, 0.0), (s, 0.0), (s, s), (0.0, s), (0.0, 0.0))
    return Pattern(
        name=f"{name} square",
        edges=(Edge("edge", corners, Role.HEM),),
        grain=((0.0, s / 2), (s, s / 2)),
        drawn_lines=(((0.0, 0.0), (s, s)),),
    )


def bias_strips(name: str, strips: Strips, cut_mm: float) -> Pattern:
    """Strips as they are cut: the thread at 45 degrees, their ends along it."""
    along, up = strips.each_mm, cut_mm
    return Pattern(
        name=name,
        edges=(
            Edge("edge", ((0.0, 0.0), (along, 0.0)), Role.HEM),
            Edge("join", ((along, 0.0), (along + up, up))),
            Edge("other edge", ((along + up, up), (up, up)), Role.HEM),
            Edge("other join", ((up, up), (0.0, 0.0))),
        ),
        grain=((0.0, 0.0), (up, up)),
        cut=strips.count,
        joins=strips.count - 1,
    )


def _hangs_at(options: BiasBindingOptions) -> str:
    return "skirt" if options.edge == "hem" and options.length is None else ""


def _finishes(options: BiasBindingOptions) -> tuple[str, ...]:
    """By the length it is for whatever edge is meant."""
    return (options.edge,) if options.length is None else ("neck", "armhole", "waist")


KINDS = (
    DraftKind(
        name="bias binding",
        options=BiasBindingOptions,
        draft=draft_bias_binding,
        description="a bias binding, in strips or from a square",
        place=140,
        covers_edge=True,
        hangs_at=_hangs_at,
        finishes=_finishes,
    ),
)
