"""The quote: what each garment costs and what to ask for it, as plain text and as offers."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from nesting.costing.offers import CUTTING, Offer, offers_of
from nesting.costing.quote import GarmentQuote, Price, Quote, quote_of
from nesting.fabric.costing import Costing
from nesting.fabric.plans import Comparison, Plan
from nesting.output import words
from nesting.output.report.text import heading, paragraph, table

_WHAT = 48
"""Columns for what a line is for."""
NO_ADVICE = (
    "Reckoned from what the order says. Whether tax is due, and how a bill must look, local rules "
    "and qualified people decide."
)


@dataclass(frozen=True, slots=True)
class Row:
    """A line of a quote: what for, and how much; `strong` where it is a sum."""

    what: str
    amount: str
    strong: bool = False


def rows_of(one: GarmentQuote, quote: Quote) -> list[Row]:
    """The lines of one garment, from its cloth to what the client pays."""
    money = quote.costing.money
    rows = [Row(name, money(cost)) for name, cost in (*one.cloth, *one.notions)]
    for stage in one.stages:
        learned = ", as before" if stage.learned else ""
        rows.append(Row(f"{stage.name}, {_minutes(stage.minutes)}{learned}", money(stage.cost)))
    return [*rows, *_sums(one.price, one.without, quote)]


def together(quote: Quote) -> list[Row]:
    """The sums over all garments, which are those of their lines."""
    prices = [_added([one.price for one in quote.garments])]
    prices.append(_added([one.without for one in quote.garments]))
    money = quote.costing.money
    rows = [Row("materials", money(prices[0].materials)), Row("work", money(prices[0].work))]
    return [*rows, *_sums(prices[0], prices[1], quote)]


def _sums(price: Price, without: Price, quote: Quote) -> Iterator[Row]:
    costing = quote.costing
    money = costing.money
    if costing.overhead:
        yield Row(f"overhead, {_percent(costing.overhead)} of these", money(price.overhead))
    if costing.margin:
        yield Row(f"margin, {_percent(costing.margin)} of the price", money(price.margin))
    if costing.tax:
        yield Row("price before tax", money(price.net), True)
        yield Row(f"tax, {_percent(costing.tax)}", money(price.tax))
    yield Row("price", money(price.total), True)
    if price.materials != without.materials:
        yield Row(f"if you bring {', '.join(quote.brought)}", money(without.total), True)


def _added(prices: Sequence[Price]) -> Price:
    def total(name: str) -> Decimal:
        return sum((getattr(one, name) for one in prices), Decimal("0.00"))

    return Price(*map(total, ("materials", "work", "overhead", "margin", "tax")))


def remarks(quote: Quote) -> Iterator[str]:
    """How the quote was reckoned, and what it leaves out."""
    yield (
        "Each garment bears of a cloth what the area of its parts is to that of all; ends and "
        "waste are shared the same way."
    )
    if quote.in_hand:
        yield f"Not charged, as it is in hand: {', '.join(quote.in_hand)}."
    if quote.left_out:
        yield f"Without a price in {quote.costing.currency}: {', '.join(quote.left_out)}."
    if any(stage.learned for one in quote.garments for stage in one.stages):
        yield "As before: as many minutes for each part as in the works that the order tells of."
    yield NO_ADVICE


def _minutes(minutes: Decimal) -> str:
    plain = f"{minutes.normalize():f}"
    return f"{plain} minute{'' if minutes == 1 else 's'}"


def _percent(percent: Decimal) -> str:
    return f"{percent.normalize():f} %"


def quote_text(plan: Plan, costing: Costing) -> str:
    """The quote of a plan, at most 88 columns."""
    quote = quote_of(plan, costing)
    lines = [heading(f"Quote: {quote.order}", "=")]
    for one in quote.garments:
        lines += ["", heading(one.garment, "-"), *_written(rows_of(one, quote))]
    if len(quote.garments) > 1:
        lines += ["", heading("Together", "-"), *_written(together(quote))]
    return "\n".join([*lines, "", *(paragraph(text) for text in remarks(quote))])


def _written(rows: Sequence[Row]) -> Iterator[str]:
    wide = max(len(row.amount) for row in rows)
    for row in rows:
        first, *more = textwrap.wrap(row.what, _WHAT)
        yield f"{first:<{_WHAT}}  {row.amount:>{wide}}".rstrip()
        yield from (f"  {line}" for line in more)


def offers_lines(comparison: Comparison, against: Comparison | None = None) -> list[str]:
    """The offers of one or two orders side by side; nothing without a costing."""
    if comparison.costing is None:
        return []
    costing = comparison.costing
    offers = list(offers_of(comparison, costing))
    if against is not None:
        offers = [offers[0], offers_of(against, against.costing or costing)[0]]
        names = [comparison.order, against.order]
    else:
        names = [offer.name for offer in offers]
    head = ["", *names]
    money = costing.money
    rows = [
        ["cloth", *(money(one.cloth) for one in offers)],
        ["minutes to cut", *(_minutes(one.cutting_minutes) for one in offers)],
        ["work", *(money(one.price.work) for one in offers)],
        ["price before tax", *(money(one.price.net) for one in offers)],
        ["price", *(money(one.price.total) for one in offers)],
    ]
    lines = ["", heading("Offers", "-"), *table(head, rows)]
    for name, one in zip(names, offers, strict=True):
        lines.append(paragraph(f"{name}: {_lays(one)}."))
    told = (
        f"Minutes to cut are reckoned from folds, outlines, metres and joins; they stand in the "
        f"place of the stage {CUTTING}. Notions are not in it."
    )
    return [*lines, paragraph(told), paragraph(NO_ADVICE)]


def _lays(offer: Offer) -> str:
    return "; ".join(f"{name} on the {words.called(lay)}" for name, lay in offer.lays)
