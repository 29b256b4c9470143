"""A plan for the client: what is made, of which cloths, and what these cost if that is wanted."""

from __future__ import annotations

import html
from collections.abc import Iterator, Sequence

from nesting.fabric.fabric import LayName
from nesting.fabric.marker import Placement
from nesting.fabric.plans import FabricPlan, Plan
from nesting.output import words
from nesting.page.table.bundle import styles
from nesting.page.table.digest import digest
from nesting.page.table.shapes import shape_data
from pieces.geometry import bounds
from pieces.piece import Outline, Piece, Point
from pieces.units import format_length

_WEAVES = 8
_GAP = 0.08
_PAGE = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<title>{title}</title>
<style>{style}</style>
</head>
<body class="client">
<main>
<h1>{title}</h1>
{body}
</main>
</body>
</html>
"""


def client_page(made: Plan, prices: bool) -> str:
    """Pictures of the pieces, the cloths and how they are cut, as one page without a script.

    No measure of a body, no doubt, no waste and no other lay is in it; what a cloth costs only
    with `prices`.
    """
    style = styles("tokens", "base", "client")
    policy = f"default-src 'none'; base-uri 'none'; form-action 'none'; style-src '{digest(style)}'"
    body = "\n".join([*_garments(made), *_cloths(made, prices)])
    return _PAGE.format(policy=policy, title=html.escape(made.order), style=style, body=body)


def _garments(made: Plan) -> Iterator[str]:
    for garment in dict.fromkeys(piece.garment for piece in made.pieces):
        own = [piece for piece in made.pieces if piece.garment == garment]
        head = f"<h2>{html.escape(garment)}</h2>" if garment else "<h2>Pieces</h2>"
        cloths = ", ".join(dict.fromkeys(html.escape(piece.fabric) for piece in own))
        figures = "".join(map(_piece, own))
        yield f"<section>{head}<p>in {cloths}</p><div class='pieces-row'>{figures}</div></section>"


def _piece(piece: Piece) -> str:
    left, low, right, high = bounds(piece.outline)
    size = max(right - left, high - low)
    gap = _GAP * size

    def place(point: Point) -> Point:
        return point[1] - low + gap, right - point[0] + gap  # its thread line upright

    folds = "".join(
        f'<path class="fold" d="{_path(map(place, edge))}"/>' for edge in piece.fold_edges
    )
    box = f"0 0 {high - low + 2 * gap:.0f} {right - left + 2 * gap:.0f}"
    return (
        f'<figure><svg viewBox="{box}" aria-hidden="true">'
        f'<path class="cut" d="{_path(map(place, piece.outline))}Z"/>{folds}</svg>'
        f"<figcaption>{html.escape(piece.name)}</figcaption></figure>"
    )


def _cloths(made: Plan, prices: bool) -> Iterator[str]:
    wearers = list(dict.fromkeys(piece.garment for piece in made.pieces))
    yield "<section><h2>Cloth</h2>"
    for entry in made.fabrics:
        width = format_length(entry.fabric.width_mm, words.tape(made.unit))
        facts = [f"{width} wide", html.escape(_needed(entry))]
        if prices and entry.purchase.cost is not None:
            facts.append(html.escape(words.cost(entry.fabric, entry.purchase)))
        yield (
            f"<article><h3>{html.escape(entry.title)}</h3><p>{'; '.join(facts)}</p>"
            f"{_layout(entry, wearers)}</article>"
        )
    if prices and made.cloth_totals:
        sums = " + ".join(
            words.money(cost, currency) for currency, cost in made.cloth_totals.items()
        )
        yield f"<p class='sum'>Cloth in all: <strong>{html.escape(sums)}</strong></p>"
    yield "</section>"


def _needed(entry: FabricPlan) -> str:
    return "in hand already" if entry.bolt is not None else f"{entry.purchase.text} needed"


def _layout(entry: FabricPlan, wearers: Sequence[str]) -> str:
    shape = shape_data(entry.marker, entry.fabric)
    section = shape["section"]
    below = section["below_mm"] if section else 0.0
    low = min(0.0, -below)
    high = max(shape["depth_mm"], section["depth_mm"] - below if section else 0.0)
    long = entry.table_length_mm
    numbers = {name: number % _WEAVES for number, name in enumerate(wearers)}
    pieces = "".join(
        f'<path class="piece w{numbers[one.garment]}" d="{_laid(one, below, high)}"/>'
        for one in entry.marker.placements
    )
    lies = "" if entry.marker.lay is LayName.OPEN else ", folded"
    return (
        f'<svg class="layout" viewBox="-4 -4 {long + 8:.0f} {high - low + 8:.0f}" role="img" '
        f'aria-label="How it is cut{lies}"><rect class="clear" width="{long:.0f}" '
        f'height="{high - low:.0f}"/>{pieces}</svg>'
    )


def _laid(one: Placement, below: float, high: float) -> str:
    off = below if one.section == "opened-out" else 0.0
    return _path((x, high - y + off) for x, y in one.outline_mm) + "Z"


def _path(points: Iterator[Point] | Outline | map[Point]) -> str:
    return "M" + "L".join(f"{x:.0f} {y:.0f}" for x, y in points)
