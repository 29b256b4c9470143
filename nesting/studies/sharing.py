"""Cloth in hand shared out: which garment comes out of which bolt, and what is missing."""

from __future__ import annotations

import math
import time
from dataclasses import dataclass
from typing import Unpack

from nesting.allocation.item_types import shade_group_of
from nesting.fabric.fabric import Bolt
from nesting.fabric.plans import FabricPlan, Plan
from nesting.order.model import Order
from nesting.planning.planner import plan
from nesting.search.options import SearchOptions
from nesting.search.parallel.pool import worker_pool
from nesting.solver.stop import Seconds, Stop, at_most, rest_of
from nesting.studies.enough import WayOut, ways_out

_USUAL = Seconds(20)
_LONGEST_S = 30.0
"""Seconds for the whole answer where nothing limits it and cloth is short."""
_SHARING = 0.85
"""The share of the budget for sharing out; the rest is for ways out where cloth is short."""


@dataclass(frozen=True, slots=True)
class Source:
    """Where the pieces of a garment in one cloth come from; no bolt if they are bought."""

    garment: str
    fabric: str
    bolt: Bolt | None


@dataclass(frozen=True, slots=True)
class Enough:
    """Whether what is in hand of a cloth is enough; else what must be bought, and for whom."""

    fabric: str
    in_hand: tuple[Bolt, ...]
    unused: tuple[Bolt, ...]
    bought: FabricPlan | None
    missing: tuple[str, ...]
    ways_out: tuple[WayOut, ...] = ()


@dataclass(frozen=True, slots=True)
class Sharing:
    """The answer: the plan of every bolt and purchase, each garment's sources, what is short.

    `whole` are the garments for which no cloth must be bought, the first in priority first.
    """

    plan: Plan
    sources: tuple[Source, ...]
    whole: tuple[str, ...]
    enough: tuple[Enough, ...]


def share(
    order: Order,
    stop: Stop = _USUAL,
    **options: Unpack[SearchOptions],
) -> Sharing:
    """Share cloth in hand out over the garments of an order, and say whether it is enough.

    The fewest metres are bought; among answers that buy the same, garments of the lowest
    `priority` come out of what is in hand, and then the longest remnants are kept. Where cloth
    is short, ways out are looked for. Ctrl-C ends the search with the best so far.

    Raises
    ------
    As `plan`.
    """
    begun = time.monotonic()
    with worker_pool(order, **options) as own:
        made = plan(order, stop.portion(_SHARING), **own)
        rest = rest_of(at_most(stop, _LONGEST_S), time.monotonic() - begun)
        found = _all_enough(order, made, rest, own)
    sources = tuple(_sources(made))
    rank = {garment.name: garment.priority for garment in order.garments}
    bought = {source.garment for source in sources if source.bolt is None}
    names = dict.fromkeys(source.garment for source in sources if source.garment not in bought)
    whole = sorted(names, key=lambda name: rank.get(name, math.inf))
    return Sharing(made, sources, tuple(whole), found)


def _sources(made: Plan) -> list[Source]:
    return [
        Source(name, entry.fabric.name, entry.bolt)
        for entry in made.fabrics
        for name in dict.fromkeys(piece.garment or piece.name for piece in entry.pieces)
    ]


def _all_enough(order: Order, made: Plan, stop: Stop, options: SearchOptions) -> tuple[Enough, ...]:
    """The answer for each cloth that is in hand, all within one budget."""
    fabrics = dict.fromkeys(entry.fabric.name for entry in made.fabrics)
    in_hand = [name for name in fabrics if order.fabrics[name].in_hand]
    short = [entry for entry in made.bought if entry.fabric.name in in_hand]
    each = stop.portion(1 / max(1, len(short)))
    return tuple(_enough(order, name, made, each, options) for name in in_hand)


def _enough(order: Order, name: str, made: Plan, stop: Stop, options: SearchOptions) -> Enough:
    """The answer for one cloth; with ways out if it is short."""
    own = [entry for entry in made.fabrics if entry.fabric.name == name]
    bought = next((entry for entry in own if entry.bolt is None), None)
    used = [entry.bolt for entry in own]
    bolts = order.fabrics[name].in_hand
    unused = tuple(bolt for bolt in bolts if bolt not in used)
    if bought is None:
        return Enough(name, bolts, unused, None, ())
    missing = dict.fromkeys(
        shade_group[0] or shade_group[1]
        for shade_group in (shade_group_of(*p.key) for p in bought.pieces)
    )
    ways: tuple[WayOut, ...] = ()
    if not made.interrupted:
        ways = ways_out(order, name, bought.purchase.length_mm, stop, options)
    return Enough(name, bolts, unused, bought, tuple(missing), ways)
