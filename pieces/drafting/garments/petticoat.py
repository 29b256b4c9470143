"""A petticoat with channels: a flared skirt of panels that hoops or boning hold out."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from pieces.curves import arc
from pieces.drafting.context import DraftContext, DraftResult, Needs, pieces_of
from pieces.drafting.kind import DraftKind
from pieces.drafting.openings import opening_below
from pieces.drafting.pattern import Allowances, Edge, Pattern, Role
from pieces.drafting.skirts.rings import whole_ring
from pieces.drafting.skirts.skirts import (
    shell_allowances,
    skirt_length,
    waist,
    waist_checks,
    waist_step,
)
from pieces.drafting.strips import strips_or_fault
from pieces.drafting.trimmings.bias import bias_strips
from pieces.fields import Count, CountOrZero, Length, LengthOrZero, Ratio
from pieces.notions import Notion, Sold
from pieces.piece import Join, Piece, Side, Stage
from pieces.seams import whole_length
from pieces.wording import key

_HEM_OVER_LENGTH = 2.2
_END_MM, _LAP_MM = 20.0, 30.0
_STRIP_MM = 700.0
_MOST_HOOPS, _HOOPS, _ROOM_MM = 12, 3, 50.0
_LEAST_APART_MM = 20.0
"""Common practice, as all proportions of this draft."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PetticoatOptions:
    """Options of a petticoat; each may be left out.

    Attributes
    ----------
    length : from the seam it hangs at to its hem; that of the longest skirt before it less
        `shorter`, or from waist to knee, 0.28 of the height (from memory)
    shorter : by how much it ends above that skirt's hem; 1 in. (common practice)
    top_fullness : its top edge over the waist or the yoke that it is gathered to; 1.3 (common
        practice)
    hem_width : round the hem; its top edge and 2.2 times its length (common practice)
    panels : from how many it is sewn; 4
    hoops : how many, the lowest in the hem, the others in channels evenly above it; 3, or as many
        as have 5 cm each (common practice)
    channel : finished width of a channel; 2 cm (common practice)
    stiffening : hoops of steel or plastic, or horsehair braid
    """

    length: Length | None = None
    shorter: LengthOrZero = 25.4
    top_fullness: Ratio = 1.3
    hem_width: Length | None = None
    panels: Count = 4
    hoops: CountOrZero | None = None
    channel: Length = 20.0
    stiffening: Literal["hoops", "horsehair"] = "hoops"


def draft_petticoat(context: DraftContext, options: PetticoatOptions) -> DraftResult:
    """Draft the panels of a petticoat for the yoke before it or the waist, and its channels.

    Steps
    -----
    1. Multiply the seam that it hangs at by 1.3 for its top edge, and add 2.2 times its length for
       the hem (common practice).
    2. Strike both as parts of rings about one centre, top x length / (hem - top) away, and share
       the angle between 4 panels (geometry).
    3. Draw the hoops on circles about the same centre, evenly down the panels, the lowest at the
       hem, which is turned up for it (common practice). Each is as long as its circle there
       (geometry).
    4. Cut for each hoop above the hem a bias strip so long and 2 cm at each end more, as wide as
       the channel of 2 cm and a seam allowance at both edges, in strips of 70 cm or less; sew it
       along the line (common practice).
    5. Notch the top in quarters, and one join down to where it stays open (common practice).

    Raises
    ------
    OrderFault : measures are missing, or it can't be drawn
    """
    needs = Needs(context)
    long = _length(needs, options)
    top = waist(needs) * needs.gathers("top_fullness", options.top_fullness)
    hem = options.hem_width or top + _HEM_OVER_LENGTH * long
    needs.enough("channel", options.channel)
    needs.settle()
    if options.hoops is None:
        options = replace(options, hoops=max(1, min(_HOOPS, int(long // _ROOM_MM))))
    _look(needs, options, top, hem, long)
    needs.settle()
    radius = top * long / (hem - top)
    angle = top / radius / options.panels
    panel = _panel(context, options, radius, long, math.degrees(angle))
    allowances = shell_allowances(context)
    shell = pieces_of(context, [panel], context.part.fabric, allowances)
    channels = _channels(needs, options, shell)
    needs.settle()
    seam = allowances.seam_mm
    strips = pieces_of(context, channels, context.part.fabric, Allowances(seam, 0.0, seam))
    lining: tuple[Piece, ...] = ()
    if context.part.lining is not None:
        lining = pieces_of(context, [panel], context.part.lining, allowances, " lining")
    return DraftResult(
        pieces=shell + strips + lining,
        joins=(_round(shell[0]), *_along(shell[0], strips)),
        seam_checks=(waist_checks(context, shell, "waist", options.top_fullness, waist(needs)),),
        notions=_to_buy(context, options, shell),
        steps=(waist_step(context, shell, "waist", waist(needs)),),
        hem_mm=whole_length(shell, "hem"),
        long_mm=long,
        opens_mm=min(long, opening_below(context)),
    )


def _length(needs: Needs, options: PetticoatOptions) -> float:
    """As told, or the longest skirt's less so much, or to the knee."""
    skirt = needs.context.skirt_mm
    if options.length is None and skirt:
        return needs.enough_left("shorter", skirt - options.shorter)
    return skirt_length(needs, options.length)


def _look(needs: Needs, options: PetticoatOptions, top: float, hem: float, long: float) -> None:
    if hem <= 1.05 * top:
        needs.refuse(
            "hem_width",
            f"A hem {needs.told(hem)} round does not stand out below a top edge of "
            f"{needs.told(top)}.",
            "Give more " + key("hem_width") + ", or less " + key("top_fullness") + ".",
        )
    elif hem - top > 2 * math.pi * long:
        needs.refuse(
            "hem_width",
            f"A hem {needs.told(hem)} round is more than a whole circle {needs.told(long)} long.",
            "Give less " + key("hem_width") + ".",
        )
    hoops = options.hoops or 0
    room = long / max(1, hoops)
    if hoops > _MOST_HOOPS or room < options.channel + _LEAST_APART_MM:
        needs.refuse(
            "hoops",
            f"{hoops} hoops have no room above each other in {needs.told(long)}.",
            "Give fewer hoops.",
        )


def _panel(
    context: DraftContext, options: PetticoatOptions, radius: float, long: float, angle_deg: float
) -> Pattern:
    names = "join", "other join"
    join, top, other, hem = whole_ring(radius, long, angle_deg, names, Role.SEAM, Role.HEM)
    quarters = tuple(radius * math.radians(angle_deg) * i / 4 for i in (1, 2, 3))
    open_mm = opening_below(context)
    opens = 0.0 < open_mm < long - 10.0
    lines = [
        Edge(
            f"channel {number}",
            arc(
                (0.0, 0.0),
                radius + long * number / (options.hoops or 1),
                180.0 + angle_deg / 2,
                180.0 - angle_deg / 2,
            ),
        )
        for number in range(1, options.hoops or 0)
    ]
    return Pattern(
        name=context.named("petticoat panel"),
        edges=(
            Edge(join.name, join.line, marks_mm=(long - open_mm,) if opens else ()),
            Edge(top.name, top.line, marks_mm=quarters),
            Edge(other.name, other.line, marks_mm=(open_mm,) if opens else ()),
            hem,
        ),
        grain=((-radius - long, 0.0), (-radius, 0.0)),
        cut=options.panels,
        inner=tuple(lines),
    )


def _channels(needs: Needs, options: PetticoatOptions, shell: tuple[Piece, ...]) -> list[Pattern]:
    context = needs.context
    cut_mm = options.channel + 2 * context.part.seam_allowance_mm
    found = []
    for number in range(1, options.hoops or 0):
        whole = whole_length(shell, f"channel {number}") + 2 * _END_MM
        strips = strips_or_fault(needs, whole, _STRIP_MM, math.sqrt(2))
        if needs.faults:
            return []
        found.append(bias_strips(context.named(f"petticoat channel {number}"), strips, cut_mm))
    return found


def _round(panel: Piece) -> Join:
    return Join(
        what=f"joins of {panel.name}",
        this=Side(panel.name, "join"),
        that=Side(panel.name, "other join"),
        turned=True,
    )


def _along(panel: Piece, strips: tuple[Piece, ...]) -> list[Join]:
    return [
        Join(
            what=f"{strip.name} to its line on {panel.name}",
            this=Side(strip.name, "edge"),
            that=Side(panel.name, f"channel {number}"),
            longer_mm=2 * _END_MM,
            whole=True,
            stage=Stage.SHAPE,
        )
        for number, strip in enumerate(strips, start=1)
    ]


def _to_buy(
    context: DraftContext, options: PetticoatOptions, shell: tuple[Piece, ...]
) -> tuple[Notion, ...]:
    """One hoop for each channel and the hem, its ends overlapping."""
    if not options.hoops:
        return ()
    seams = [f"channel {number}" for number in range(1, options.hoops)] + ["hem"]
    return tuple(
        Notion(
            name="horsehair braid" if options.stiffening == "horsehair" else "hoop boning",
            garment=context.garment,
            where=f"{seam} of {shell[0].name}",
            sold=Sold.LENGTH,
            length_mm=whole_length(shell, seam) + _LAP_MM,
        )
        for seam in seams
    )


KINDS = (
    DraftKind(
        name="petticoat",
        options=PetticoatOptions,
        draft=draft_petticoat,
        description="a petticoat with channels for hoops",
        place=132,
        at_waist=True,
        longer_top="top_fullness",
        wider_hem="hem_width",
    ),
)
