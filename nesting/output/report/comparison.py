"""A comparison of lays and widths: in words and as data."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from nesting.fabric.plans import ComparedCloth, Comparison
from nesting.fabric.purchase import asked_for_length
from nesting.output import words
from nesting.output.files.data import FORMAT, compared_data
from nesting.output.files.records import ComparisonRecord
from nesting.output.files.values import number
from nesting.output.report.quote import offers_lines
from nesting.output.report.report import compared_notes, compared_table
from nesting.output.report.text import heading, paragraph
from nesting.output.search_words import searched, unsure
from pieces.units import Unit, format_length, format_needed


def comparison_report(comparison: Comparison, against: Comparison | None = None) -> str:
    """The comparison as tables, ready for the terminal; then offers, if the order has a costing.

    `against` is another order, whose offer stands beside this one's.
    """
    unit = words.tape(comparison.unit)
    lines = [heading(f"Lays and widths compared: {comparison.order}", "=")]
    for cloth in comparison.cloths:
        lines += ["", heading(cloth.fabric.name, "-")]
        figures = [one.figures for one in cloth.alternatives]
        lines += compared_table(figures, cloth.fabric, unit)
        told = (*unsure(figures, unit), *_plain(cloth, unit), *_no_room(cloth, unit))
        lines += [paragraph(text) for text in told]
    figures = [one.figures for cloth in comparison.cloths for one in cloth.alternatives]
    lines += ["", *compared_notes(figures), "A wider cloth is priced like the order's own."]
    exact = [one.fabric.name for one in comparison.cloths if words.costs_exactly(one.fabric)]
    if exact:
        text = f"The order names no step of the shop for {', '.join(exact)}: there the cost is for "
        lines.append(paragraph(text + "the length that is needed, not for what is asked for."))
    if comparison.interrupted:
        lines.append("Stopped early: lays that are missing were not tried.")
    lines += offers_lines(comparison, against)
    lines.append(searched(comparison.seconds, comparison.seed, comparison.ended))
    return "\n".join(lines)


def _no_room(cloth: ComparedCloth, unit: Unit) -> Iterator[str]:
    for width_mm, group in groupby(cloth.refused, key=lambda entry: entry[0]):
        names = dict.fromkeys(name.words for _, name in group)
        yield f"No room at {format_length(width_mm, unit)}: {', '.join(names)}."


def _plain(cloth: ComparedCloth, unit: Unit) -> Iterator[str]:
    """At each width, what the print takes beside plain cloth."""
    for width_mm, plain_mm in cloth.plain_purchase_mm:
        figures = [one.figures for one in cloth.alternatives]
        least_mm = min(one.purchase_mm for one in figures if one.width_mm == width_mm)
        width = format_length(width_mm, unit)
        plain = asked_for_length(cloth.fabric, plain_mm)
        more_mm = least_mm - plain_mm
        more = f"takes {format_needed(more_mm, unit)} more" if more_mm > 0 else "takes no more"
        yield f"As plain cloth, {width} wide, buy {plain}; that the print meets {more}."


def comparison_data(comparison: Comparison) -> ComparisonRecord:
    """What compare.json holds; `lays_compared` is as in plan.json."""
    return {
        "format": FORMAT,
        "order": comparison.order,
        "seed": comparison.seed,
        "seconds": number(comparison.seconds),
        "complete": not comparison.interrupted,
        "fabrics": [
            {
                "name": cloth.fabric.name,
                "lays_compared": [compared_data(one.figures) for one in cloth.alternatives],
                "plain": [
                    {"width_mm": width_mm, "purchase_mm": plain_mm}
                    for width_mm, plain_mm in cloth.plain_purchase_mm
                ],
                "no_room": [
                    {"width_mm": width_mm, "lay": name} for width_mm, name in cloth.refused
                ],
            }
            for cloth in comparison.cloths
        ],
    }
