"""The shopping list: what to ask for at the counter, cloth by cloth. Plain text to take along."""

from __future__ import annotations

from collections.abc import Iterator

from nesting.fabric.fabric import Nap
from nesting.fabric.notions import NotionPurchase
from nesting.fabric.plans import FabricPlan, Plan
from nesting.output import notion_words, words
from nesting.output.report.text import heading, paragraph
from pieces.units import Unit, format_in_both, format_needed


def shopping_list(plan: Plan) -> str:
    """Every cloth with its width, the length to ask for and what it costs; notions; the sum."""
    unit = words.tape(plan.unit)
    lines = [heading(f"To buy for {plan.order}", "=")]
    for entry in plan.bought:
        lines += ["", *_cloth(entry, unit)]
    for one in plan.notions:
        lines += ["", *_notion(one)]
    lines += ["", *_sum(plan)]
    return "\n".join(lines)


def in_one_line(plan: Plan) -> str:
    """What to buy in one line: every cloth, then the sum."""
    each = [f"{entry.fabric.name} {_asked(entry)}" for entry in plan.bought]
    sums = [words.money(cost, currency) for currency, cost in plan.totals.items()]
    each += [f"{one.name}: {one.text}" for one in plan.notions]
    told = "; ".join(each) or "nothing, what is in hand is enough"
    return f"To buy: {told}" + (f"; in all {' and '.join(sums)}" if sums else "") + "."


def _asked(entry: FabricPlan) -> str:
    """The length; its cost too where that is of another length than is asked for."""
    fabric, bought = entry.fabric, entry.purchase
    if not words.costs_exactly(fabric):
        return bought.text
    return f"{bought.text} ({words.cost(fabric, bought)})"


def _cloth(entry: FabricPlan, unit: Unit) -> Iterator[str]:
    fabric, bought = entry.fabric, entry.purchase
    yield paragraph(f"{fabric.name}: ask for {bought.text}", "[ ] ")
    width = format_needed(fabric.width_mm, unit)
    if not (fabric.by_yards and fabric.price is not None and fabric.price.by_yards):
        width = format_in_both(fabric.width_mm, unit, format_needed)
    facts = [f"{width} wide; for a narrower cloth plan anew"]
    if fabric.price is not None:
        per = "yd" if fabric.price.by_yards else "m"
        price = words.money(fabric.price.amount, fabric.price.currency)
        facts.append(f"{words.cost(fabric, bought)}, at {price} a {per}")
    if fabric.nap is not Nap.NONE:
        facts.append(words.NAP[fabric.nap])
    if fabric.shrinkage_length or fabric.shrinkage_width:
        facts.append("wash it before cutting; the length allows for that")
    for fact in facts:
        yield paragraph(fact, "    ")


def _notion(one: NotionPurchase) -> Iterator[str]:
    """What to ask for, where it goes, and how its amount came about."""
    yield paragraph(f"{one.name}: {one.text}", "[ ] ")
    if one.cost is not None:
        yield paragraph(words.money(one.cost, one.currency), "    ")
    for place in notion_words.places(one.notions):
        yield paragraph(place, "    ")
    if len(one.steps) > 1:
        yield paragraph(" ".join(one.steps), "    ")


def _sum(plan: Plan) -> Iterator[str]:
    sums = [words.money(cost, currency) for currency, cost in plan.totals.items()]
    unpriced = notion_words.unpriced(plan)
    if sums:
        yield paragraph(f"In all: {' and '.join(sums)}.", "")
    if unpriced:
        yield paragraph(f"Without a price: {', '.join(unpriced)}.", "")
    more = "thread comes" if plan.notions else "thread, fastenings and elastic come"
    yield paragraph(f"{more.capitalize()} on top.", "")
