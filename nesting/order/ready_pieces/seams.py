"""Seams of ready pieces that an order compares, as those of drafts are: front side, back side."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from nesting.order.faults import FaultCollector, joined, nearest
from nesting.order.garments import tables_in
from nesting.order.schema import SeamTable
from pieces.drafting.spec import GarmentSpec
from pieces.piece import Piece, SeamCheck
from pieces.seams import compare, seam_length, whole_length
from pieces.wording import either

_MAY_DIFFER_MM = 3.0
"""As much as a tape is read to: an eighth of an inch; common practice."""


def seam_checks(
    collector: FaultCollector,
    raw: Mapping[str, Any],
    pieces: Sequence[Piece],
    garments: Mapping[str, Sequence[GarmentSpec]],
    *,
    missing: bool = False,
) -> tuple[SeamCheck, ...]:
    """What the tables [[seam]] compare; faults are noted.

    With pieces `missing`, which couldn't be read, it is no fault to name one that isn't there.
    """
    found = []
    for index, one in enumerate(tables_in(raw, "seam")):
        key = joined("seam", index)
        table = collector.read(SeamTable, one, key)
        if table is None:
            continue
        owners = [copy.name for copy in garments.get(table.garment, ())] or [table.garment]
        own = [piece for piece in pieces if not table.garment or piece.garment in owners]
        sides = [
            _lengths(collector, names, own, joined(key, word), missing)
            for word, names in (("this", table.this), ("that", table.that))
        ]
        if not all(sides):
            continue
        single = all(len(side) == 1 for side in sides)
        this_mm, that_mm = (sum(mm[0 if single else 1] for mm in side) for side in sides)
        garment = own[0].garment if table.garment else ""
        longer_mm = that_mm + table.longer
        found.append(compare(table.what, garment, this_mm, longer_mm, _MAY_DIFFER_MM))
    return tuple(found)


def _lengths(
    collector: FaultCollector,
    names: Sequence[str],
    pieces: Sequence[Piece],
    key: str,
    missing: bool,
) -> list[tuple[float, float]]:
    """Of each seam its length as drawn, and over all parts that are cut; empty with a fault."""
    found = []
    for text in names:
        name, _, seam = (part.strip() for part in text.rpartition(":"))
        piece = next((piece for piece in pieces if piece.name == name), None)
        if piece is None and missing:
            return []
        if piece is None:
            collector.fault(
                key,
                f"'{text}' names no ready piece of this order.",
                nearest(name, [one.name for one in pieces])
                or 'Write the piece and its seam, such as "front: side".',
            )
            return []
        known = list(dict.fromkeys(one.name for one in piece.seams))
        if seam not in known:
            has = f"It has {', '.join(known)}." if known else "It has none."
            collector.fault(
                key,
                f"{name} has no seam called '{seam}'.",
                f"{has} Give a piece of points "
                + either('seams = "side: 2-3"', "its seams, as side: 2-3")
                + ', and draw a line called "seam side" along the edge of one in an SVG drawing.',
            )
            return []
        found.append((seam_length(piece, seam), whole_length([piece], seam)))
    return found
