"""How the parts of a garment hang together: what is sewn to what, and what each is called."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from pieces.drafting.kind import DraftKind
from pieces.drafting.registry import DRAFTS
from pieces.drafting.spec import PartSpec

_TIMES = ("", "second ", "third ", "fourth ", "fifth ", "sixth ")


def kind_of(part: PartSpec) -> DraftKind:
    """What kind of part it is."""
    return DRAFTS[part.draft]


def hosts(parts: Sequence[PartSpec]) -> tuple[int | None, ...]:
    """For each part the index of the part at whose lower edge it hangs, or None.

    A band hangs at the skirt, tier or band before it, a tier at the tier before it unless it
    begins at the waist or another skirt lies between, or if it says so at whatever skirt is before
    it; a sleeve band at the sleeve before it.
    """
    found: list[int | None] = []
    lowest: dict[str, int] = {}
    for index, part in enumerate(parts):
        kind = kind_of(part)
        at = kind.hangs_at(part.options)
        host = lowest.get(at) if at else None
        if kind.tiered and not _continues(parts, host, part):
            host = None
        found.append(host)
        if kind.carries:
            lowest[kind.carries] = index
    return tuple(found)


def _continues(parts: Sequence[PartSpec], host: int | None, part: PartSpec) -> bool:
    """Whether a tier is sewn to the one before it, or to the hem of whatever skirt is before it."""
    options: Any = part.options
    if host is None or options.at_waist or options.line is not None:
        return False
    return kind_of(parts[host]).tiered or bool(options.at_hem)


def place_in_tiers(parts: Sequence[PartSpec], index: int) -> tuple[int, int]:
    """The number of a tier in its skirt from 1, and how many tiers that skirt has."""
    above = hosts(parts)
    first, number = index, 1
    while (host := above[first]) is not None and kind_of(parts[host]).tiered:
        first, number = host, number + 1
    last, count = index, number
    while (next_tier := _tier_at(parts, above, last)) is not None:
        last, count = next_tier, count + 1
    return number, count


def _tier_at(parts: Sequence[PartSpec], above: Sequence[int | None], index: int) -> int | None:
    hanging = (i for i, host in enumerate(above) if host == index and kind_of(parts[i]).tiered)
    return next(hanging, None)


def bands_depth(parts: Sequence[PartSpec], index: int) -> float:
    """Depth in mm of all the bands that hang below a part."""
    above = hosts(parts)
    return sum(
        float(getattr(part.options, "depth", 0.0)) + bands_depth(parts, i)
        for i, part in enumerate(parts)
        if above[i] == index and kind_of(part).deepens
    )


def labels(parts: Sequence[PartSpec]) -> tuple[str, ...]:
    """What each part's pieces are called by, so that no two pieces share a name.

    The fabric where a garment has several of a kind (tiers always), counted where that is not
    enough; nothing otherwise. Tiers are told apart by their skirt.
    """
    kinds = Counter(_kind(part) for part in parts)
    seen: Counter[tuple[str, str, int]] = Counter()
    found = []
    for index, part in enumerate(parts):
        kind = _kind(part)
        tiered = kind_of(part).tiered
        number = place_in_tiers(parts, index)[0] if tiered else 0
        times = seen[kind, part.fabric, number]
        seen[kind, part.fabric, number] += 1
        several = kinds[kind] > 1 or tiered
        found.append(f"{_time(times)}{part.fabric}" if several else "")
    tiers = {index: place_in_tiers(parts, index)[0] for index in _tiers(parts)}
    if len({(parts[i].fabric, n) for i, n in tiers.items()}) < len(tiers):
        skirt = 0
        for index, number in tiers.items():
            skirt += number == 1
            found[index] = parts[index].fabric + (f" skirt {skirt}" if skirt > 1 else "")
    return tuple(found)


def _tiers(parts: Sequence[PartSpec]) -> list[int]:
    """The places of the tiers among the parts."""
    return [index for index, part in enumerate(parts) if kind_of(part).tiered]


def _time(times: int) -> str:
    return _TIMES[times] if times < len(_TIMES) else f"{times + 1}th "


def _kind(part: PartSpec) -> str:
    if kind_of(part).is_skirt:
        return "skirt"
    # Pieces of these are called by the edge that they finish.
    edge = getattr(part.options, "edge", None)
    return f"{edge} {part.draft}" if isinstance(edge, str) else part.draft
