"""The verifier's statement of strips: joined, what is cut of each makes the length asked for."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence

from nesting.verify.rules import thread_deg
from nesting.verify.shape import TOLERANCE_MM, Laid, named
from pieces.piece import Finding, Piece
from pieces.wording import exact


def strip_findings(pieces: Sequence[Piece], laid: Sequence[Laid]) -> Iterator[Finding]:
    """What each strip lacks of its whole length, as measured on the parts that lie there."""
    asked: dict[tuple[str, str], set[float]] = defaultdict(set)
    for piece in pieces:
        if piece.strip is not None:
            asked[piece.garment, piece.strip.name].add(piece.strip.whole_mm)
    given: dict[tuple[str, str], float] = defaultdict(float)
    parts: dict[tuple[str, str], int] = defaultdict(int)
    for one in laid:
        strip = one.piece.strip
        if strip is not None:
            key, wanted = (one.piece.garment, strip.name), one.placement.yields
            given[key] += wanted * (_across_the_thread(one) - strip.ends_mm)
            parts[key] += wanted
    for key, wholes in asked.items():
        whole_mm = max(wholes)
        allowed_mm = TOLERANCE_MM * max(1, parts[key])
        if len(wholes) > 1 or given[key] < whole_mm - allowed_mm:
            yield Finding(
                "strip",
                f"{named(*key)}: its strips, joined, are "
                + exact(given[key])
                + " long; "
                + exact(whole_mm)
                + " are asked for.",
            )


def _across_the_thread(laid: Laid) -> float:
    """How far a part reaches across its thread line, as it lies on the cloth."""
    way = math.radians(thread_deg(laid) + 90)
    reach = [x * math.cos(way) + y * math.sin(way) for x, y in laid.placement.outline_mm]
    return max(reach) - min(reach)
