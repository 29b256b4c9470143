"""An order with its drafts written out as ready pieces, so that no change of a draft moves them.

    python -m benchmarks.frozen ORDER.toml > benchmarks/whole_orders/NAME.toml

Strips keep the number and length that their cloth's width asks for.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import click
import tomlkit

from nesting.order.read import order_from_text
from nesting.rules.parts import draft_order
from pieces.piece import Mark, Piece, Point
from pieces.units import mm_per

_DIGITS = 2
"""Of a millimetre, to which points are rounded: finer than any scissors."""
_KEPT = ("name", "units", "fabric")


def frozen(text: str, source: str) -> str:
    """The text of an order with ready pieces in place of its drafts.

    Raises
    ------
    OrderFault : the order is at fault
    """
    order = order_from_text(text, source)
    given = tomllib.loads(text)
    kept = {key: given[key] for key in _KEPT if key in given}
    unit_mm = float(mm_per(order.unit))
    pieces = [_table(piece, unit_mm) for piece in draft_order(order).pieces]
    return tomlkit.dumps(kept | {"piece": pieces})


def _table(piece: Piece, unit_mm: float) -> dict[str, Any]:
    def told(value_mm: float) -> float:
        return round(round(value_mm, _DIGITS) / unit_mm, 6) + 0.0

    def point(at: Point) -> list[float]:
        return [told(value_mm) for value_mm in at]

    def place(mark: Mark) -> dict[str, float]:
        along, across = point(mark.at)
        places = {"along": along} if mark.along else {}
        return places | ({"across": across} if mark.across else {})

    ends = [x for x, _ in piece.outline]
    table: dict[str, Any] = {
        "name": piece.name,
        "fabric": piece.fabric,
        "garment": piece.garment,
        "outline": [point(at) for at in piece.outline],
        "grain": [point((0.0, 0.0)), point((max(ends), 0.0))],
        "grain_rule": piece.grain_rule.value,
        "cut": piece.cut,
    }
    if piece.pair:
        table["pair"] = True
    for name, edge in (("on_fold", piece.on_fold), ("second_fold", piece.second_fold)):
        if edge is not None:
            table[name] = [point(at) for at in edge]
    wanted = {*piece.match, *piece.motif}
    if wanted:
        table["points"] = {mark.name: place(mark) for mark in piece.marks if mark.name in wanted}
        table["match"], table["motif"] = list(piece.match), list(piece.motif)
    return table


@click.command(context_settings={"help_option_names": ["-h", "--help"]})
@click.argument("order", type=click.Path(exists=True, dir_okay=False, path_type=Path))
def main(order: Path) -> None:
    """Write ORDER with ready pieces to standard output."""
    click.echo(frozen(order.read_text(encoding="utf-8"), order.name), nl=False)


if __name__ == "__main__":
    main(prog_name="python -m benchmarks.frozen")
