"""How the strips of a cloth are cut: the few ways worth a trial, by sums alone.

Strips that must lie across the cloth go from selvedge to selvedge or share their length evenly;
those that may run along it may be longer, with fewer joins. No strip that finds room across the
cloth is joined at all, unless shorter ones beside each other save cloth. Which way takes the
least, only layouts tell.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.in_hand import cloth_of
from nesting.fabric.lay import allowed_lays
from nesting.strips.open_strips import OpenStrip, Sums
from nesting.strips.own import one_join_more, own_cutting
from pieces.drafting.spec import Cutting
from pieces.geometry import SAME_MM
from pieces.piece import GrainRule, Piece

_MOST = 3
"""Ways worth a trial for one cloth, the usual one among them; two more with more joins."""
_MOST_LENGTHS = 8
_LEAST_MM = 10.0
"""What is less between its joins is no strip."""
_HOPE = 1.02
"""A way that seems to take so much more than the usual one may still take less."""
_STEP_MM = 100.0
"""Where the counter sells any length, more joins must save what metres are asked for in."""


def usual_cutting(fabric: Fabric) -> Cutting:
    """Equal strips, no longer than goes across the cloth, so that they may lie either way."""
    room_mm = fabric.usable_width_mm - 2 * fabric.edge_gap_mm
    return Cutting(room_mm, room_mm)


def usual_cuttings(fabrics: Mapping[str, Fabric]) -> dict[str, Cutting]:
    """That of each cloth, by its name."""
    return {name: usual_cutting(fabric) for name, fabric in fabrics.items()}


def _narrower_cuttings(fabric: Fabric) -> list[Cutting]:
    """Strips that go across where there is less room: on a fold along the cloth, if the order
    has it lie so, and on the narrowest bolt in hand."""
    usual_mm, rooms_mm = usual_cutting(fabric).across_mm, []
    if not {LayName.OPEN, LayName.CROSSWISE_FOLD} & set(allowed_lays(fabric)):
        rooms_mm.append(fabric.usable_width_mm / 2 - fabric.edge_gap_mm - fabric.gap_mm / 2)
    bolts = [usual_cutting(cloth_of(fabric, bolt)).across_mm for bolt in fabric.in_hand]
    rooms_mm += [room_mm for room_mm in sorted(bolts)[:1] if room_mm < usual_mm]
    return [Cutting(room_mm, usual_mm) for room_mm in rooms_mm]


def cuttings_for(fabric: Fabric, pieces: Sequence[Piece]) -> tuple[Cutting, ...]:
    """The ways to cut the strips among a cloth's pieces that are worth a trial, the usual first.

    The others seem to take no more cloth than that one, or hardly more; in one of them each strip
    may be cut in its own way. The last two may have more joins than the width asks for, one of them
    a single one, if that seems to save a step of the counter.
    """
    return _cuttings_for(fabric, tuple(pieces))


@lru_cache(maxsize=256)  # asked again for a stricter nap, and for one of several garments
def _cuttings_for(fabric: Fabric, pieces: tuple[Piece, ...]) -> tuple[Cutting, ...]:
    usual = usual_cutting(fabric)
    sums = Sums(fabric, pieces, usual.across_mm)
    ends_mm = max((strip.ends_mm for strip in sums.strips), default=math.inf)
    if usual.across_mm <= ends_mm + _LEAST_MM:
        return (usual,)
    narrower = [one for one in _narrower_cuttings(fabric) if one.across_mm > ends_mm + _LEAST_MM]
    common = (usual, *narrower, *_others_than(usual, sums.strips))
    begun = min(common, key=sums.worth)
    found: dict[tuple[float, ...], Cutting] = {}
    for cutting in (*common, own_cutting(sums, begun, usual)):
        found.setdefault(sums.lengths(cutting), cutting)
    _, *others = found.values()
    most_mm = _HOPE * sums.worth(usual)[0]
    hopeful = [one for one in others if sums.worth(one)[0] <= most_mm or one in narrower]
    hopeful.sort(key=lambda one: (one not in narrower, sums.worth(one)))
    chosen = [usual, *hopeful[: _MOST - 1]]
    least_mm = min(sums.worth(one)[0] for one in chosen) - (fabric.sold_by_mm or _STEP_MM)
    joined = (
        one_join_more(sums, begun, usual),
        own_cutting(sums, begun, usual, more_joins=True),
    )
    more = {sums.lengths(one): one for one in joined if sums.worth(one)[0] <= least_mm}
    return (*chosen, *more.values())


def _others_than(usual: Cutting, strips: Sequence[OpenStrip]) -> Iterator[Cutting]:
    """Whole widths and a rest; and lengths along the cloth that some strip is shared out in."""
    across_mm = usual.across_mm
    yield Cutting(across_mm, across_mm, evenly=False)
    for along_mm in _lengths(across_mm, strips):
        yield Cutting(across_mm, along_mm)
        yield Cutting(across_mm, along_mm, evenly=False)


def _lengths(across_mm: float, strips: Sequence[OpenStrip]) -> list[float]:
    """Longer than goes across; or, of strips that only run along, down to half of that."""
    found: set[float] = set()
    for strip in strips:
        if strip.rule is GrainRule.LENGTHWISE:
            continue
        shorter = strip.rule is GrainRule.CROSSWISE and strip.more_joins
        least_mm = across_mm / 2 if shorter else across_mm
        count = 1
        while strip.whole_mm / count + strip.ends_mm > least_mm + SAME_MM:
            found.add(strip.as_cut_mm(count))
            count += 1
    every = sorted(found)
    step = max(1.0, (len(every) - 1) / (_MOST_LENGTHS - 1))
    return list(
        dict.fromkeys(every[round(n * step)] for n in range(min(len(every), _MOST_LENGTHS)))
    )
