"""How many garments the bolts in hand give: in words and as data."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Any

from nesting.output import words
from nesting.output.files.data import bolt_data, plan_data
from nesting.output.report.text import heading, paragraph, section
from nesting.output.search_words import searched
from nesting.studies.yields import BoltYield, Yields
from pieces.units import Unit, format_needed


def yields_report(yields: Yields) -> str:
    """How many whole garments there are, bolt by bolt, and what the next would need."""
    plan, unit = yields.plan, words.tape(yields.plan.unit)
    lines = [heading(f"How many of {', '.join(yields.asked)}?", "=")]
    count = f"{yields.whole} whole garment{'' if yields.whole == 1 else 's'}"
    lines += ["", paragraph(f"What is in hand gives {count}.", "")]
    if len(yields.by_cloth) > 1:
        each = ", ".join(f"{name} {n}" for name, n in yields.by_cloth.items())
        lines.append(paragraph(f"Each cloth by itself: {each}.", ""))
    if yields.not_in_hand:
        names = ", ".join(yields.not_in_hand)
        lines.append(paragraph(f"Not in hand, and so to be bought besides: {names}.", ""))
    lines += section("Bolt by bolt", (paragraph(_bolt(one, unit)) for one in yields.bolts))
    lines += section("Take care", (paragraph(text) for text in plan.cautions))
    lines += ["", searched(plan.seconds, plan.seed)]
    return "\n".join(lines)


def _bolt(one: BoltYield, unit: Unit) -> str:
    cut = ", ".join(f"{n} of {name}" for name, n in Counter(one.garments).items())
    said = f"{one.fabric}, {one.bolt.name}, {words.bolt(one.bolt, unit)}: {cut or 'none'}. "
    if one.short_mm is None:
        return (
            f"{said}One more of {one.next_garment} finds no room on it, however long it is: it is "
            "too narrow, or its flaws lie in the way."
        )
    short = format_needed(max(1.0, one.short_mm), unit)
    return f"{said}One more of {one.next_garment} would need {short} more of it."


def yields_data(yields: Yields, files: Mapping[str, Mapping[str, str]]) -> dict[str, Any]:
    """What bolts.json holds: the keys of plan.json, and the count."""
    return plan_data(yields.plan, files) | {
        "how_many": {
            "asked": list(yields.asked),
            "whole_garments": yields.whole,
            "by_fabric": yields.by_cloth,
            "not_in_hand": list(yields.not_in_hand),
            "bolts": [
                bolt_data(one.bolt)
                | {
                    "fabric": one.fabric,
                    "garments": list(one.garments),
                    "next": one.next_garment,
                    "next_needs_mm": None if one.short_mm is None else round(one.short_mm, 6),
                }
                for one in yields.bolts
            ],
        }
    }
