"""How the parts of a garment hang together: what is sewn to what, and what each is called."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from pieces.drafting.band import BandOptions
from pieces.drafting.bias import BiasBindingOptions
from pieces.drafting.spec import PartSpec
from pieces.drafting.tier import TierOptions

SKIRTS = ("flared skirt", "gathered skirt", "pleated skirt")
NEEDS_BODICE = ("sleeve", "facing", "collar")
_HANGS_AT = {"band": "skirt", "tier": "skirt", "sleeve band": "sleeve"}
_TIMES = ("", "second ", "third ", "fourth ", "fifth ", "sixth ")


def hosts(parts: Sequence[PartSpec]) -> tuple[int | None, ...]:
    """For each part the index of the part at whose lower edge it hangs, or None.

    A band hangs at the skirt, tier or band before it, a tier at the tier before it unless it
    begins at the waist or another skirt lies between, a sleeve band at the sleeve before it.
    """
    found: list[int | None] = []
    lowest: dict[str, int] = {}
    for index, part in enumerate(parts):
        at = _hangs_at(part)
        host = None if at is None else lowest.get(at)
        if part.draft == "tier" and not _continues(parts, host, part):
            host = None
        found.append(host)
        if part.draft == "sleeve":
            lowest["sleeve"] = index
        elif part.draft in (*SKIRTS, "tier", "band"):
            lowest["skirt"] = index
    return tuple(found)


def _hangs_at(part: PartSpec) -> str | None:
    """What kind of part a part is sewn to the lower edge of."""
    if isinstance(part.options, BiasBindingOptions):
        return "skirt" if part.options.edge == "hem" and part.options.length is None else None
    return _HANGS_AT.get(part.draft)


def _continues(parts: Sequence[PartSpec], host: int | None, part: PartSpec) -> bool:
    at_waist = isinstance(part.options, TierOptions) and part.options.at_waist
    return host is not None and parts[host].draft == "tier" and not at_waist


def place_in_tiers(parts: Sequence[PartSpec], index: int) -> tuple[int, int]:
    """The number of a tier in its skirt from 1, and how many tiers that skirt has."""
    above = hosts(parts)
    first, number = index, 1
    while (host := above[first]) is not None:
        first, number = host, number + 1
    last, count = index, number
    while (next_tier := _tier_at(parts, above, last)) is not None:
        last, count = next_tier, count + 1
    return number, count


def _tier_at(parts: Sequence[PartSpec], above: Sequence[int | None], index: int) -> int | None:
    hanging = (i for i, host in enumerate(above) if host == index and parts[i].draft == "tier")
    return next(hanging, None)


def bands_depth(parts: Sequence[PartSpec], index: int) -> float:
    """Depth in mm of all the bands that hang below a part."""
    above = hosts(parts)
    return sum(
        part.options.depth + bands_depth(parts, i)
        for i, part in enumerate(parts)
        if above[i] == index and isinstance(part.options, BandOptions)
    )


def labels(parts: Sequence[PartSpec]) -> tuple[str, ...]:
    """What each part's pieces are called by, so that no two pieces share a name.

    The fabric where a garment has several of a kind (tiers always), counted where that is not
    enough; nothing otherwise.
    """
    kinds = Counter(_kind(part) for part in parts)
    seen: Counter[tuple[str, str, int]] = Counter()
    found = []
    for index, part in enumerate(parts):
        kind = _kind(part)
        number = place_in_tiers(parts, index)[0] if kind == "tier" else 0
        times = seen[kind, part.fabric, number]
        seen[kind, part.fabric, number] += 1
        several = kinds[kind] > 1 or kind == "tier"
        found.append(f"{_time(times)}{part.fabric}" if several else "")
    return tuple(found)


def _time(times: int) -> str:
    return _TIMES[times] if times < len(_TIMES) else f"{times + 1}th "


def _kind(part: PartSpec) -> str:
    if part.draft in SKIRTS:
        return "skirt"
    # Pieces of these are called by the edge that they finish.
    edge = getattr(part.options, "edge", None)
    return f"{edge} {part.draft}" if isinstance(edge, str) else part.draft
