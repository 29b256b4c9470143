"""What the page says in words: made here, so that it says them as every other door does."""

from __future__ import annotations

from dataclasses import asdict

from nesting.costing.quote import quote_of
from nesting.fabric.costing import Costing
from nesting.fabric.fabric import Bolt
from nesting.fabric.plans import Alternative, FabricPlan, Plan
from nesting.fabric.purchase import purchase
from nesting.notes.notes import GarmentNotes, notes_of
from nesting.order.faults import joined
from nesting.output import notion_words, words
from nesting.output.report.quote import remarks, rows_of, together
from nesting.output.report.report import SEAM_HEADS, seam_rows
from nesting.page.tasks.channel import Record
from nesting.page.tasks.wording import on_the_page
from pieces.units import Unit, format_length, format_needed


def cloth_told(entry: FabricPlan, unit: Unit) -> Record:
    """What to ask for and its cost, what the pieces take of the cloth and how much of the table."""
    tape = words.tape(unit)
    return {
        "buy": entry.purchase.text,
        "cost": words.cost(entry.fabric, entry.purchase),
        "asks": entry.purchase.text if entry.bolt else f"buy {entry.purchase.text}",
        "used": format_needed(entry.marker.length_mm, tape),
        "table": format_needed(entry.table_length_mm, tape),
    }


def lay_told(one: Alternative, bolt: Bolt | None, unit: Unit) -> Record:
    """The same of a lay that was tried; of a bolt in hand nothing is bought."""
    tape = words.tape(unit)
    bought = purchase(one.fabric, one.marker.length_mm)
    return {
        "buy": bought.text if bolt is None else None,
        "cost": words.cost(one.fabric, bought) if bolt is None else "",
        "used": format_needed(one.marker.length_mm, tape),
        "width": format_length(one.fabric.width_mm, tape),
        "cutting": words.cutting_line(one.figures.cut_metres, unit),
    }


def notes(made: Plan) -> Record:
    """What is worth knowing of a plan: notions, how to sew, a quote, findings, seams and cautions.

    `refused` has for each cloth the lays that were not tried, each with its reason.
    """
    sewn = [_sewn(one) for one in notes_of(made)]
    rows = seam_rows(made.seam_checks, words.tape(made.unit))
    return {
        "findings": [on_the_page(message) for message in words.messages(made.findings)],
        "seam_heads": list(SEAM_HEADS),
        "seams": [
            {"row": row, "ok": check.ok} for row, check in zip(rows, made.seam_checks, strict=True)
        ],
        "cautions": list(made.cautions),
        "refused": {entry.fabric.name: _refused(made, entry.fabric.name) for entry in made.fabrics},
        "notions": [
            {
                "name": one.name,
                "buy": notion_words.buy_notion(one),
                "where": "; ".join(notion_words.places(one.notions)),
            }
            for one in made.notions
        ],
        "sewing": sewn,
        "quote": None if made.costing is None else _quote(made, made.costing),
        "total": " + ".join(words.money(cost, of) for of, cost in made.totals.items()),
    }


def _quote(made: Plan, costing: Costing) -> Record:
    """What each garment costs and what to ask for it, line by line."""
    quote = quote_of(made, costing)
    parts = [(one.garment, rows_of(one, quote)) for one in quote.garments]
    if len(parts) > 1:
        parts.append(("Together", together(quote)))
    return {
        "parts": [{"title": title, "rows": [asdict(row) for row in rows]} for title, rows in parts],
        "remarks": list(remarks(quote)),
    }


def _sewn(notes: GarmentNotes) -> Record:
    return {
        "garment": notes.garment,
        "sections": [
            {"title": one.title, "numbered": one.numbered, "lines": list(one.lines)}
            for one in notes.sections
        ],
    }


def _refused(made: Plan, name: str) -> list[str]:
    """The lays that a finding says a cloth was not tried on, apart."""
    key = joined("fabric", name, "lays")
    refused = (one for one in made.findings if (one.code, one.key) == ("lay-refused", key))
    return [on_the_page(why) for one in refused for why in one.each]
