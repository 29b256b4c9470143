"""Trade words for what the plan holds, shared by the report and the drawings."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from nesting.fabric.fabric import Bolt, Fabric, Faces, LayName, Nap
from nesting.fabric.lay import Band, End, Lay, lay_under, section_lay
from nesting.fabric.marker import OPENED_OUT, Marker, Placement
from nesting.fabric.plans import ComparedLay, FabricPlan, Purchase
from pieces.curves import length
from pieces.piece import Finding, Piece
from pieces.units import Unit, format_kept, format_length, format_needed

LAY = {
    LayName.OPEN: "laid open, one layer, right side up",
    LayName.LENGTHWISE_FOLD: "folded lengthwise, selvedges together",
    LayName.CROSSWISE_FOLD: "folded crosswise, cut ends together",
    LayName.DOUBLE_FOLD: "folded twice lengthwise, both selvedges to the middle",
    LayName.PARTIAL_FOLD: "folded in at one selvedge, the rest single",
    LayName.QUARTER_FOLD: "folded lengthwise and crosswise, four layers",
}
NAP = {
    Nap.NONE: "no nap: pieces may lie either way",
    Nap.ONE_WAY: "one-way: arrows of one grain all point one way",
    Nap.PER_GARMENT: "one way within each garment, along and across",
}
FACES = {
    Faces.DIFFERENT: "right and wrong side differ",
    Faces.ALIKE: "both sides alike",
}


_STRAIGHT_DEG = 1e-6


def tape(unit: Unit) -> Unit:
    """The unit to measure with on the table; metres and yards are for the counter.

    >>> tape(Unit.YD), tape(Unit.MM)
    (<Unit.IN: 'in'>, <Unit.MM: 'mm'>)
    """
    return {Unit.M: Unit.CM, Unit.YD: Unit.IN}.get(unit, unit)


def lay(cloth: Lay, unit: Unit) -> str:
    """How to lay the cloth, with the measure that it needs.

    >>> from nesting.fabric.fabric import Fabric
    >>> from nesting.fabric.lay import lay_of
    >>> lay(lay_of(Fabric("lawn", 1120, selvedge_mm=10), LayName.PARTIAL_FOLD, 310), Unit.CM)
    'folded in at one selvedge, the rest single; fold 31 cm in'
    """
    how = LAY[cloth.name]
    if cloth.fold_depth_mm:
        how += f"; fold {format_length(cloth.fold_depth_mm, unit)} in"
    if cloth.turned:
        how += "; cut at the fold, the upper layer turned end for end"
    return how


def near_end(cloth: Lay) -> str:
    """What lengths along the cloth are measured from; of two folds it says which."""
    if cloth.near is not End.FOLD:
        return "cut end"
    return "crosswise fold" if cloth.name is LayName.QUARTER_FOLD else "fold"


def laid(marker: Marker, fabric: Fabric, unit: Unit) -> str:
    """How to lay the cloth of a marker, and where to open it out if it ends so."""
    cloth, opened_mm = lay_under(marker, fabric), marker.opened_from_mm
    if opened_mm is None:
        return _folded_there(cloth, unit) if cloth.moves_flaws(fabric) else lay(cloth, unit)
    if cloth.turned:
        start = format_length(opened_mm, unit)
        cut = format_needed(marker.table_length_mm, unit)
        return (
            f"cut across {cut} from the cut end, what is past it laid on top, turned end for end; "
            f"one layer from {start} past the cut end"
        )
    if cloth.near is not End.FOLD:
        start = format_length(opened_mm, unit)
        return f"{lay(cloth, unit)}; opened out from {start} past the cut end"
    how = _folded_there(cloth, unit)
    return f"{how}; past its end the cloth lies open, one layer"


def _folded_there(cloth: Lay, unit: Unit) -> str:
    """A fold across whose place counts, as the cut ends don't meet or flaws lie between."""
    lengthwise = "lengthwise, then " if cloth.name is LayName.QUARTER_FOLD else ""
    place = format_length(cloth.begins_mm, unit)
    return f"folded {lengthwise}crosswise, the first {place} from the cut end laid over the rest"


def saves(entry: FabricPlan, unit: Unit) -> Iterator[str]:
    """What a fold saves the cutter beside open cloth, and what it takes of cloth."""
    lays = entry.lays_compared
    plain = next((one for one in lays if one.lay is LayName.OPEN), None)
    if plain is None or entry.marker.lay is LayName.OPEN or entry.bolt is not None:
        return
    fewer = plain.cut_outlines - entry.cut_outlines
    if fewer > 0:
        less = cutting_line(max(0.0, plain.cut_metres - entry.cut_metres), unit)
        more = entry.purchase.length_mm - plain.purchase_mm
        cloth = f", and takes {format_needed(more, unit)} more cloth" if more > 0 else ""
        yield f"saves {outlines(fewer)} and {less} of cutting line beside open cloth{cloth}"


def opening(marker: Marker, fabric: Fabric, unit: Unit) -> str | None:
    """What to do with a fold where it ends opened out, if it does."""
    if marker.opened_from_mm is None:
        return None
    start = format_length(marker.opened_from_mm, unit)
    end = near_end(lay_under(marker, fabric))
    return f"From here on, {start} from the {end}: open the cloth out, one layer."


def lay_there(placement: Placement, cloth: Lay, fabric: Fabric) -> Lay:
    """How the cloth lies where a piece does."""
    return section_lay(fabric, cloth) if placement.section == OPENED_OUT else cloth


def called(one: ComparedLay | Marker) -> str:
    """What a lay is called beside others.

    >>> called(Marker("lawn", LayName.LENGTHWISE_FOLD, 900, (), opened_from_mm=400.0))
    'lengthwise fold, end open'
    """
    name = one.lay.words
    return name if one.opened_from_mm is None else f"{name}, end open"


def measured_from(band: Band, cloth: Lay) -> str:
    """The edge from which a cutter measures across a band."""
    if band.fold_mm is not None:
        folds = [one for one in cloth.bands if one.fold_mm is not None]
        which = "" if cloth.name is not LayName.QUARTER_FOLD else "lengthwise "
        if len(folds) > 1:
            which = "upper " if band.fold_high else "lower "
        return f"{which}fold"
    return "edge folded in" if band.low_mm > 0 else "lower edge"


def outside_mm(band: Band, fabric: Fabric) -> float:
    """What lies outside a band where it is measured from the cloth's edge: the selvedge.

    A tape is held to the edge of the cloth, as for the flaws of an order. Where an edge is folded
    in, the band begins at it.
    """
    return 0.0 if band.fold_mm is not None or band.low_mm > 0 else fabric.washed_selvedge_mm


def measuring(cloth: Lay, fabric: Fabric) -> str:
    """How the places of pieces are told.

    >>> from nesting.fabric.lay import lay_of
    >>> cloth = Fabric("lawn", 1120, selvedge_mm=10)
    >>> measuring(lay_of(cloth, LayName.OPEN), cloth)
    'from the cut end, and across from the lower edge, selvedge and all'
    """
    edges = []
    for band in cloth.bands:
        whole = ", selvedge and all" if outside_mm(band, fabric) else ""
        edges.append(f"the {measured_from(band, cloth)}{whole}")
    return f"from the {near_end(cloth)}, and across from {' or '.join(edges)}"


def layers(count: int) -> str:
    """How many layers, in words.

    >>> layers(1), layers(2)
    ('one layer', 'two layers')
    """
    names = {1: "one", 2: "two", 3: "three", 4: "four"}
    return f"{names.get(count, str(count))} layer{'s' if count > 1 else ''}"


def outlines(count: int) -> str:
    """How many outlines there are to cut.

    >>> outlines(1), outlines(2)
    ('1 outline', '2 outlines')
    """
    return f"{count} outline{'' if count == 1 else 's'}"


def cutting_line(metres: float, unit: Unit) -> str:
    """How long all outlines are together, as the dresser counts cloth: to the next mark.

    >>> cutting_line(8.23, Unit.CM), cutting_line(8.23, Unit.IN)
    ('8.3 m', '9 1/8 yd')
    """
    if tape(unit) is Unit.IN:
        return format_needed(metres * 1000, Unit.YD)
    return f"{math.ceil(round(10 * metres, 3)) / 10:.1f} m"


def width(fabric: Fabric, unit: Unit) -> str:
    """How wide a cloth is, and how much of that can be used.

    >>> width(Fabric("lawn", 1120, selvedge_mm=10), Unit.CM), width(Fabric("net", 1120), Unit.CM)
    ('112 cm, of which 110 cm can be used', '112 cm, all of which can be used')
    """
    whole = format_length(fabric.width_mm, unit)
    if fabric.usable_width_mm == fabric.width_mm:
        return f"{whole}, all of which can be used"
    return f"{whole}, of which {format_kept(fabric.usable_width_mm, unit)} can be used"


def messages(findings: Iterable[Finding]) -> list[str]:
    """What is worth knowing, each thing once: two bodices of a garment may lack the same.

    >>> messages([Finding("odd", "The neck is wide."), Finding("odd", "The neck is wide.")])
    ['The neck is wide.']
    """
    return list(dict.fromkeys(finding.message for finding in findings))


def money(cost: Decimal, currency: str) -> str:
    """An amount with its currency.

    >>> money(Decimal("7.9"), "EUR")
    '7.90 EUR'
    """
    return f"{cost:.2f} {currency}"


def percent(value: float) -> str:
    """A share in percent, to a tenth.

    >>> percent(17.25)
    '17.2 %'
    """
    return f"{value:.1f} %"


def named(piece: str, garment: str) -> str:
    """A piece with its garment, where it has one.

    >>> named("skirt front", "Dora"), named("pocket", "")
    ('skirt front (Dora)', 'pocket')
    """
    return f"{piece} ({garment})" if garment else piece


def to_cut(piece: Piece) -> str:
    """What the piece itself says: how many to cut.

    >>> to_cut(Piece("cuff", "satin", ((0, 0), (1, 0), (1, 1)), ((0, 0), (1, 0)), cut=2))
    'cut 2'
    """
    pairs = "1 pair" if piece.cut == 1 else f"{piece.cut} pairs"
    count = pairs if piece.pair else str(piece.cut)
    return f"cut {count}{('', ' on the fold', ' on two folds')[len(piece.fold_edges)]}"


def slit(piece: Piece, unit: Unit) -> list[str]:
    """Where to slit a piece that has no seam to open, if it is to be."""
    if not piece.slit:
        return []
    down = format_length(length(piece.slit), unit)
    return [f"once it lies opened out, slit {down} along the grain, in one layer, up to its notch"]


def part_drawn(piece: Piece) -> str:
    """How much of it is drawn, where that isn't all: half of it, or a quarter."""
    return ("", "half", "quarter")[len(piece.fold_edges)]


def in_laying_order(placements: Iterable[Placement]) -> list[Placement]:
    """Placements along the cloth from the cut end, those level from the lower edge up.

    Their places in this order number the steps of the report and the pieces of the drawing.
    """

    def corner(placement: Placement) -> tuple[float, float, str, str, int]:
        left = min(x for x, _ in placement.outline_mm)
        low = min(y for _, y in placement.outline_mm)
        return (round(left), low, placement.garment, placement.piece, placement.copy)

    return sorted(placements, key=corner)


def notes(placement: Placement, copies: int) -> list[str]:
    """What the cutter must know of one placement; `copies` are those of its piece."""
    said = [f"{placement.copy} of {copies}"] if copies > 1 else []
    if placement.in_corner:
        said.append("cut in the corner of both folds")
    elif placement.on_fold:
        said.append("cut on the fold")
    if placement.layers > (4 if placement.in_corner else 2 if placement.on_fold else 1):
        said.append(_through(placement))
    if placement.unfolded:
        said.append("opened out" if not placement.on_fold else "opened out to a half")
    if placement.mirrored:
        said.append("mirrored")
    return said


def _through(placement: Placement) -> str:
    spare = f" and {placement.spare} spare" if placement.spare else ""
    return f"{layers(placement.layers)} give {placement.yields}{spare}"


def arrow(placement: Placement, end: str, edge: str, *, from_high: bool = False) -> str:
    """Which way the piece's grain arrow points, from or to the ends that a cutter measures from.

    `edge` is that across the cloth; `from_high` tells that it lies at the far side of the table.
    """
    off = math.remainder(placement.turn_deg, 45.0)
    turn = math.radians(placement.turn_deg - off)
    up = -math.sin(turn) if from_high else math.sin(turn)
    ways = [
        f"{'away from' if much > 0 else 'towards'} the {limit}"
        for much, limit in ((math.cos(turn), end), (up, edge))
        if abs(much) > 0.5
    ]
    said = f"arrow {' and '.join(ways)}"
    if abs(off) > _STRAIGHT_DEG:
        side = "anticlockwise" if off > 0 else "clockwise"
        said += f", tilted {abs(off):g} degree{'' if abs(off) == 1 else 's'} {side} off the grain"
    return said


def copies(placements: Sequence[Placement]) -> dict[tuple[str, str], int]:
    """How many placements each piece has, by garment and piece."""
    count: dict[tuple[str, str], int] = {}
    for placement in placements:
        key = (placement.garment, placement.piece)
        count[key] = count.get(key, 0) + 1
    return count


def bolt(one: Bolt, unit: Unit) -> str:
    """How long and how wide a bolt is.

    >>> bolt(Bolt("remnant", 600, 800, washed=True), Unit.CM)
    '60 cm by 80 cm, washed'
    """
    told = size(one, unit)
    told += ", without selvedges" if one.selvedge_mm == 0 else ""
    return f"{told}, washed" if one.washed else told


def size(one: Bolt, unit: Unit) -> str:
    """How long and how wide a length of cloth is, and no more."""
    return f"{format_kept(one.length_mm, unit)} by {format_kept(one.width_mm, unit)}"


def source(entry: FabricPlan, unit: Unit) -> str:
    """What to buy; or the bolt in hand that is cut from."""
    return entry.purchase.text if entry.bolt is None else bolt(entry.bolt, unit)


def buy(entry: FabricPlan) -> str:
    """What to ask for, and its cost where there is a price."""
    price = cost(entry.fabric, entry.purchase)
    return f"{entry.purchase.text}, {price}" if price else entry.purchase.text


def costs_exactly(fabric: Fabric) -> bool:
    """Whether its cost is for the length that is needed, and not for what is asked for."""
    return fabric.price is not None and not fabric.sold_by_mm


def cost(fabric: Fabric, purchase: Purchase) -> str:
    """What a purchase costs; for which length, where no step of the shop tells what it would cut.

    Empty without a price.
    """
    if purchase.cost is None:
        return ""
    told = money(purchase.cost, purchase.currency)
    if not costs_exactly(fabric):
        return told
    exact = format_needed(purchase.length_mm, Unit.IN if fabric.by_yards else Unit.CM)
    return f"{told} for {exact}"
