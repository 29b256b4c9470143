"""The plan in words, for the terminal and report.txt: plain text, at most 88 columns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from nesting.fabric.fabric import Fabric
from nesting.fabric.flaws import LaidFlaw
from nesting.fabric.lay import Band, Lay, lay_under, section_lay
from nesting.fabric.marker import OPENED_OUT, Placement
from nesting.fabric.plans import ComparedLay, FabricPlan, Plan, Remnant
from nesting.fabric.purchase import asked_for_marker
from nesting.output import notion_words, words
from nesting.output.allowances import allowances_told
from nesting.output.drawing.cloth import flaws_in
from nesting.output.drawing.joins import joins_told
from nesting.output.drawing.printed import print_words
from nesting.output.report.text import heading, paragraph, section, table
from nesting.output.search_words import may_save, searched
from pieces.geometry import bounds
from pieces.piece import Draft, Finding, Piece, SeamCheck
from pieces.units import Unit, format_kept, format_length, format_needed

SEAM_HEADS = ("Seam", "this", "to that", "apart", "allowed", "so it")
_NEAR = 0.95
"""A bound is worth telling from this share of a layout's length on."""
_FINEST = 64
"""Parts of an inch in which it is told how far seams are apart."""


def report(plan: Plan) -> str:
    """Everything a cutter must know of a plan, ready to read aloud."""
    unit = words.tape(plan.unit)
    lines = [heading(f"Cutting plan: {plan.order}", "=")]
    lines += section("To buy", to_buy_lines(plan, unit))
    lines += section("In hand", in_hand_lines(plan, unit))
    for entry in plan.fabrics:
        lines += _fabric(entry, unit)
    lines += _checked(plan.seam_checks, plan.findings, unit)
    lines += section("Take care", (paragraph(text) for text in plan.cautions))
    lines += ["", searched(plan.seconds, plan.seed, plan.ended)]
    return "\n".join(lines)


def draft_report(name: str, draft: Draft, unit: Unit) -> str:
    """The pieces of an order with their measures, and the seams that must meet."""
    unit = words.tape(unit)
    lines = [heading(f"Pieces: {name}", "=")]
    for garment in dict.fromkeys(piece.garment for piece in draft.pieces):
        pieces = [piece for piece in draft.pieces if piece.garment == garment]
        lines += section(garment or "No garment", (paragraph(_piece(p, unit)) for p in pieces))
    needed = (paragraph(notion_words.needed(one, unit)) for one in draft.notions)
    lines += section("Besides cloth", needed)
    lines += _checked(draft.seam_checks, draft.findings, unit)
    return "\n".join(lines)


def _fact(name: str, text: str) -> str:
    return paragraph(text, f"{name:<16}")


def to_buy_lines(plan: Plan, unit: Unit) -> list[str]:
    """What to ask for of each cloth, and what all of it costs."""
    lines = []
    for name, entry in _to_buy(plan).items():
        if entry is None:
            lines.append(paragraph(f"{name}: nothing; what is in hand is enough"))
            continue
        width = format_length(entry.fabric.width_mm, unit)
        lines.append(paragraph(f"{name}, {width} wide: {words.buy(entry)}"))
    lines += [paragraph(f"{one.name}: {notion_words.buy_notion(one)}") for one in plan.notions]
    totals = [words.money(cost, currency) for currency, cost in plan.totals.items()]
    if totals:
        unpriced = notion_words.unpriced(plan)
        has = "have" if len(unpriced) > 1 else "has"
        left_out = f"; without {', '.join(unpriced)}, which {has} no price" if unpriced else ""
        lines.append(paragraph(f"In all: {' and '.join(totals)}{left_out}.", ""))
    return lines


def _to_buy(plan: Plan) -> dict[str, FabricPlan | None]:
    """For each fabric what is bought of it; None if nothing is."""
    found: dict[str, FabricPlan | None] = {}
    for entry in plan.fabrics:
        bought = entry if entry.bolt is None else None
        found[entry.fabric.name] = found.get(entry.fabric.name) or bought
    return found


def in_hand_lines(plan: Plan, unit: Unit) -> list[str]:
    """Which garments come out of which bolt."""
    lines = []
    for entry in plan.fabrics:
        if entry.bolt is not None:
            owners = dict.fromkeys(piece.garment or piece.name for piece in entry.pieces)
            size = words.bolt(entry.bolt, unit)
            lines.append(paragraph(f"{entry.title}, {size}: {', '.join(owners)}"))
    return lines


def _fabric(entry: FabricPlan, unit: Unit) -> list[str]:
    fabric, lay = entry.fabric, lay_under(entry.marker, entry.fabric)
    used = format_needed(entry.marker.length_mm, unit)
    table = f", {format_needed(entry.table_length_mm, unit)} on the table" * (lay.lengths > 1)
    outlines = words.outlines(entry.cut_outlines)
    metres = words.cutting_line(entry.cut_metres, unit)
    lines = [
        _fact("Buy", words.buy(entry))
        if entry.bolt is None
        else _fact("Cut from", words.source(entry, unit)),
        _fact("Lay", words.laid(entry.marker, fabric, unit)),
        *(_fact("Folding", text) for text in words.saves(entry, unit)),
        _fact("Width", words.width(fabric, unit)),
        _fact("Nap and sides", f"{words.NAP[fabric.nap]}; {words.FACES[fabric.faces]}"),
        _fact("Cloth used", f"{used}{_washed(entry)}{table}{_proof(entry, unit)}"),
        _fact("Waste", _waste(entry)),
        _fact("Cutting", f"{outlines}, {metres} of cutting line"),
        *(_fact("Allowances", text) for text in allowances_told(entry.pieces, unit)),
        *_longer(entry, unit),
        *(_fact("Joins", text) for text in joins_told(entry, unit)),
        *(_fact("Left over", _remnant(remnant, lay, unit)) for remnant in entry.remnants),
        *(_fact("Print", text) for text in print_words(entry, unit)),
        *(_fact("Flaw", _flaw(flaw, entry, unit)) for flaw in flaws_in(entry)),
    ]
    if entry.bolt is None:
        lines += ["", "How the purchase is reckoned:"]
        lines += [paragraph(step) for step in entry.purchase.steps]
    lines += ["", *_steps(entry, lay, unit)]
    lines += _compared(entry, unit)
    return section(entry.title, lines)


def _longer(entry: FabricPlan, unit: Unit) -> list[str]:
    if entry.may_save is None:
        return []
    price = entry.fabric.price
    currency = "" if price is None else price.currency
    return [_fact("More time", may_save(entry.may_save, currency, unit))]


def _washed(entry: FabricPlan) -> str:
    shrinks = entry.fabric.shrinkage_length or entry.fabric.shrinkage_width
    return " of washed cloth" if shrinks else ""


def _proof(entry: FabricPlan, unit: Unit) -> str:
    """What is known of shorter layouts; a bound far below this one would only puzzle."""
    if entry.proven_least and entry.bolt is None:
        return "; no shorter purchase can hold these pieces"
    if entry.least_possible_mm < _NEAR * entry.marker.length_mm:
        return ""
    return f"; no layout can be shorter than {format_kept(entry.least_possible_mm, unit)}"


def _waste(entry: FabricPlan) -> str:
    used, bought = entry.waste_percent, entry.unused_percent_of_purchase
    whole = "purchase" if entry.bolt is None else "bolt"
    return f"{words.percent(used)} of the cloth used, {words.percent(bought)} of the {whole}"


def _remnant(remnant: Remnant, lay: Lay, unit: Unit) -> str:
    size = f"{format_kept(remnant.length_mm, unit)} by {format_kept(remnant.width_mm, unit)}"
    layers, start = words.layers(remnant.layers), _along(remnant.x_mm, words.near_end(lay), unit)
    return f"{size}, {layers}, beginning {start}"


def _flaw(flaw: LaidFlaw, entry: FabricPlan, unit: Unit) -> str:
    left, low, right, high = bounds(flaw.outline_mm)
    folded = lay = lay_under(entry.marker, entry.fabric)
    if flaw.section == OPENED_OUT:
        lay = section_lay(entry.fabric, folded)
    band = lay.bands[flaw.band]
    off_mm = band.high_mm - high if band.fold_high else low - band.low_mm
    size = f"{format_length(right - left, unit)} along by {format_length(high - low, unit)} across"
    begin = _along(left, words.near_end(folded), unit)
    off_mm += words.outside_mm(band, entry.fabric)
    across = _off(off_mm, words.measured_from(band, lay), unit)
    layer = f", in the {'lower' if flaw.layer == 1 else 'upper'} layer" * (band.layers > 1)
    layer += ", where the cloth lies open" * (flaw.section == OPENED_OUT)
    if entry.fabric.before_motif_mm:
        layer += (
            "; it lies somewhere in that stretch, as the cloth may begin anywhere in its repeat"
        )
    return f"{size}, {begin}, {across}{layer}"


def _steps(entry: FabricPlan, lay: Lay, unit: Unit) -> Iterator[str]:
    """Where each piece goes, along the cloth; numbers are those of the drawing."""
    end = words.near_end(lay)
    where = words.measuring(lay, entry.fabric)
    yield paragraph(f"To lay out, in order from the {end}. Places are measured {where}.", "")
    placements = words.in_laying_order(entry.marker.placements)
    copies = words.copies(placements)
    figures = len(str(len(placements)))
    opening = words.opening(entry.marker, entry.fabric, unit)
    for number, placement in enumerate(placements, start=1):
        many = copies[placement.garment, placement.piece]
        here = words.lay_there(placement, lay, entry.fabric)
        if here is not lay and opening is not None:
            yield opening
            opening = None
        told = step(placement, many, here, end, entry.fabric, unit)
        yield paragraph(told, f"{number:>{figures}}. ")


def step(
    placement: Placement, copies: int, lay: Lay, end: str, fabric: Fabric, unit: Unit
) -> str:  # fmt: skip
    """Where one placement goes, and how; `copies` are those of its piece, `end` the near end."""
    band = lay.bands[placement.band]
    edge = words.measured_from(band, lay)
    left, low, right, high = bounds(placement.outline_mm)
    along, across = format_length(right - left, unit), format_length(high - low, unit)
    arrow = words.arrow(placement, end, edge, from_high=band.fold_high)
    said = [words.named(placement.piece, placement.garment), *words.notes(placement, copies), arrow]
    off_mm = band.high_mm - high if band.fold_high else low - band.low_mm
    where = _across(off_mm + words.outside_mm(band, fabric), placement, band, edge, unit)
    return (
        f"{', '.join(said)}: {_along(left, end, unit)}, {where}; "
        f"takes {along} along and {across} across."
    )


def _along(place_mm: float, end: str, unit: Unit) -> str:
    """How far along the cloth something begins, from the end that the cutter measures from."""
    return (
        f"{format_length(place_mm, unit)} from the {end}"
        if _shows(place_mm, unit)
        else f"at the {end}"
    )


def _shows(length_mm: float, unit: Unit) -> bool:
    """Whether a length is more than nothing when written."""
    return format_length(length_mm, unit).lstrip("-") != format_length(0.0, unit)


def _across(off_mm: float, placement: Placement, band: Band, edge: str, unit: Unit) -> str:
    """Where a piece lies across the cloth, from the edge that the cutter measures from."""
    if placement.in_corner:
        return "its fold edges on both folds"
    if placement.on_fold and band.fold_mm is not None:
        return f"its fold edge on the {edge}"
    return _off(off_mm, edge, unit)


def _off(off_mm: float, edge: str, unit: Unit) -> str:
    """How far something lies from an edge across the cloth."""
    if not _shows(off_mm, unit):
        return f"against the {edge}"
    return f"{format_length(off_mm, unit)} from the {edge}"


def _compared(entry: FabricPlan, unit: Unit) -> list[str]:
    """The lays tried, side by side; of cloth in hand nothing is bought."""
    lays, bought = entry.lays_compared, entry.bolt is None
    if len(lays) < 2:
        return []
    lines = compared_table(lays, entry.fabric, unit, bought=bought)
    return ["", "Lays compared:", *lines, *compared_notes(lays)]


def compared_notes(lays: Sequence[ComparedLay]) -> list[str]:
    """What the marks in a table of lays mean."""
    opened = any(lay.opened_from_mm is not None for lay in lays)
    meant = ["end open: the last part lies opened out, in one layer"] if opened else []
    return ["* the best of its column", *meant]


def compared_table(
    lays: Sequence[ComparedLay], fabric: Fabric, unit: Unit, *, bought: bool = True
) -> list[str]:
    """Lays and widths of a cloth side by side; cost, joins and what is bought only where any are.

    The purchase stands in the counter's own unit, as the plan has it.
    """

    def column(values: Sequence[float | Decimal], texts: Sequence[str]) -> list[str]:
        if len(set(texts)) < 2:
            return list(texts)
        best = texts[values.index(min(values))]
        return [f"{text}*" if text == best else f"{text} " for text in texts]

    names = [words.called(lay) for lay in lays]
    wastes = [lay.waste_percent for lay in lays]
    outlines, metres = [lay.cut_outlines for lay in lays], [lay.cut_metres for lay in lays]
    currency = "" if fabric.price is None else fabric.price.currency
    costs = [lay.cost for lay in lays if lay.cost is not None]
    columns = {
        "Lay": names,
        "width": [format_length(lay.width_mm, unit) for lay in lays],
        "used": column(
            [lay.length_mm for lay in lays],
            [format_needed(lay.length_mm, unit) for lay in lays],
        ),
        "to buy": column(
            [lay.purchase_mm for lay in lays],
            [asked_for_marker(fabric, lay.length_mm) for lay in lays],
        ),
        "cost": column(costs, [words.money(cost, currency) for cost in costs]),
        "waste": column(wastes, [words.percent(waste) for waste in wastes]),
        "outlines": column(outlines, list(map(str, outlines))),
        "to cut": column(metres, [words.cutting_line(length, unit) for length in metres]),
        "joins": [str(lay.joins) for lay in lays],
    }
    if not bought:
        del columns["to buy"]
    if not bought or len(costs) < len(lays):
        del columns["cost"]
    if not any(lay.joins for lay in lays):
        del columns["joins"]
    return table(list(columns), list(zip(*columns.values(), strict=True)))


def _checked(
    seam_checks: Sequence[SeamCheck], findings: Sequence[Finding], unit: Unit
) -> list[str]:
    lines = section("Seams that must meet", _seams(seam_checks, unit))
    return lines + section("Worth knowing", map(paragraph, words.messages(findings)))


def _seams(checks: Sequence[SeamCheck], unit: Unit) -> list[str]:
    """Those that don't meet, each for itself; how many meet, in one line."""
    apart = [check for check in checks if not check.ok]
    meet = len(checks) - len(apart)
    lines = table(SEAM_HEADS, seam_rows(apart, unit)) if apart else []
    if meet:
        within = max(check.allowed_mm for check in checks if check.ok)
        which = f"All {meet} seams" if not apart else f"{meet} of {len(checks)} seams"
        which = "The one seam" if len(checks) == 1 else which
        told = format_length(within, unit, finest=_FINEST)
        meets = "meets" if meet == 1 else "meet"
        lines.append(paragraph(f"{which} {meets}, within {told} or less.", ""))
    return lines


def seam_rows(checks: Sequence[SeamCheck], unit: Unit) -> list[list[str]]:
    """Each check under `SEAM_HEADS`."""
    rows = []
    for check in checks:
        verdict = "meets" if check.ok else "DOES NOT MEET"
        lengths = (format_length(size, unit) for size in (check.this_mm, check.that_mm))
        # Half a millimetre is nothing to a sixteenth of an inch.
        little = (abs(check.difference_mm), check.allowed_mm)
        finer = (format_length(size, unit, finest=_FINEST) for size in little)
        rows.append([words.named(check.what, check.garment), *lengths, *finer, verdict])
    return rows


def _piece(piece: Piece, unit: Unit) -> str:
    left, low, right, high = bounds(piece.outline)
    along, across = format_length(right - left, unit), format_length(high - low, unit)
    part = words.part_drawn(piece)
    drawn = {"": "", "half": ", half of it drawn"}.get(part, f", a {part} of it drawn")
    size = f"{along} along the grain by {across} across it{drawn}"
    said = "; ".join([f"{words.to_cut(piece)} in {piece.fabric}", size, *words.slit(piece, unit)])
    return f"{piece.name}: {said}."
