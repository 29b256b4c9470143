"""A batch of orders in words and as data."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from nesting.batch.outcome import Batch, Bought, Outcome
from nesting.batch.run import BATCH_CSV, BATCH_JSON
from nesting.output import words
from nesting.output.place import Place
from nesting.output.report.text import heading, paragraph, section, table
from nesting.output.write import json_bytes
from nesting.output.written import write_files
from pieces.units import Unit, format_in_both, format_needed

_COLUMNS = (
    "file", "order", "state", "cloth", "length_mm", "buy", "cost", "currency", "waste_percent",
    "fault",
)  # fmt: skip


def batch_report(batch: Batch) -> str:
    """A line for each order, what is bought in all, and what is to be put right."""
    lines = [heading(f"Batch: {batch.name}", "="), ""]
    lines += table(["Order", "to buy", "cost", ""], [_row(one) for one in batch.orders])
    lines += section("In all", _totals(batch))
    lines += section("To put right", (paragraph(text) for text in _faults(batch)))
    return "\n".join(lines)


def batch_data(batch: Batch) -> dict[str, Any]:
    """The batch as JSON can hold it. Costs are numbers, null where a cloth has no price."""
    return {
        "batch": batch.name,
        "seed": batch.seed,
        "seconds": round(batch.seconds, 3),
        "interrupted": batch.interrupted,
        "workers_lost": batch.broken,
        "totals": {currency: float(cost) for currency, cost in batch.totals.items()},
        "cloths_mm": {name: round(length, 3) for name, length in batch.cloths_mm.items()},
        "orders": [_order(one) for one in batch.orders],
    }


def batch_csv(batch: Batch) -> bytes:
    """A line for each cloth of each order, lengths in mm; an order without any has one too."""
    text = io.StringIO()
    writer = csv.DictWriter(text, _COLUMNS, lineterminator="\r\n")
    writer.writeheader()
    for one in batch.orders:
        told = {"file": one.file, "order": one.order, "state": one.state.value}
        cloths = _order(one)["bought"] or [{"fault": " ".join(one.faults)}]
        writer.writerows(told | cloth for cloth in cloths)
    # The mark makes spreadsheet programs read it as UTF-8.
    return text.getvalue().encode("utf-8-sig")


def write_batch(batch: Batch, out: Path | Place) -> tuple[Path, ...]:
    """Write batch.json and batch.csv beside the orders' folders; give their paths.

    Raises
    ------
    OutputFault : if a file can't be written
    """
    return write_files(
        out, {BATCH_JSON: json_bytes(batch_data(batch)), BATCH_CSV: batch_csv(batch)}
    )


def _order(one: Outcome) -> dict[str, Any]:
    return {
        "file": one.file,
        "order": one.order,
        "state": one.state.value,
        "folder": one.folder if one.is_finished else None,
        "seconds": round(one.seconds, 3),
        "totals": {currency: float(cost) for currency, cost in one.totals.items()},
        "bought": [
            {
                "cloth": cloth.cloth,
                "length_mm": round(cloth.length_mm, 3),
                "buy": cloth.text,
                "cost": None if cloth.cost is None else float(cloth.cost),
                "currency": cloth.currency,
                "waste_percent": round(cloth.waste_percent, 3),
            }
            for cloth in one.bought
        ],
        "faults": list(one.faults),
    }


def _row(one: Outcome) -> list[str]:
    cost = " + ".join(words.money(amount, currency) for currency, amount in one.totals.items())
    bought = _asked(one.bought) if one.is_finished else ""
    return [one.folder, bought, cost, one.state.value]


def _asked(bought: Sequence[Bought]) -> str:
    """One purchase as its plan has it; of several the sum, rounded up, in their counter's unit."""
    if len(bought) == 1:
        return bought[0].text
    by_yards = bought and all(one.counter is Unit.YD for one in bought)
    unit = Unit.YD if by_yards else Unit.M
    return format_in_both(sum(one.length_mm for one in bought), unit, format_needed)


def _totals(batch: Batch) -> Iterator[str]:
    every = [cloth for one in batch.orders for cloth in one.bought]
    for name in batch.cloths_mm:
        yield paragraph(f"{name}: {_asked([one for one in every if one.cloth == name])}")
    costs = [words.money(cost, currency) for currency, cost in batch.totals.items()]
    if any(cloth.cost is None for one in batch.orders for cloth in one.bought):
        costs.append("what has no price")
    yield paragraph(f"Cost of cloth: {' and '.join(costs) or 'nothing'}.", "")
    finished = sum(one.is_finished for one in batch.orders)
    yield paragraph(f"Finished: {finished} of {len(batch.orders)} orders.", "")


def _faults(batch: Batch) -> Iterator[str]:
    for one in batch.orders:
        yield from one.faults
