"""How a search ended, and what a longer one may bring, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from nesting.fabric.plans import ComparedLay, Ended, Saving
from nesting.output import words
from pieces.units import Unit, format_length

_ENDED = {
    Ended.SETTLED: "until nothing was left to gain",
    Ended.UNLIKELY: "until more was unlikely to change what is bought",
    Ended.LIMIT: "as long as was asked",
    Ended.STOPPED: "until it was stopped",
    Ended.COLUMNS: "and no longer, as so many different outlines are only laid in columns",
}


def searched(seconds: float, seed: int, ended: Ended | None = None) -> str:
    """How long a search was, why it ended, and how to have it again.

    >>> searched(12.34, 1, Ended.STOPPED)
    'Searched 12.3 seconds, until it was stopped; seed number 1.'
    """
    why = "" if ended is None else f", {_ENDED[ended]}"
    return f"Searched {seconds:.1f} seconds{why}; seed number {seed}."


def may_save(saving: Saving, currency: str, unit: Unit) -> str:
    """What a longer search is likely to save."""
    step = format_length(saving.length_mm, unit)
    cost = "" if saving.cost is None else f", {words.money(saving.cost, currency)}"
    return f"a search as long again may save {step}{cost}"


def unsure(lays: Sequence[ComparedLay], unit: Unit) -> Iterator[str]:
    """Which lays of one width are nearer to the shortest than the search is sure of.

    Nothing where the search went by rounds, as nobody measured what they gain.
    """
    for width_mm in dict.fromkeys(one.width_mm for one in lays):
        own = sorted((one for one in lays if one.width_mm == width_mm), key=_length_mm)
        least = own[0]
        near = [
            one.lay.words
            for one in own[1:]
            if one.length_mm - one.may_lose_mm < least.length_mm and one.may_lose_mm > 0
        ]
        if near:
            about = format_length(max(one.may_lose_mm for one in own), unit, finest=2)
            width = format_length(width_mm, unit)
            first = least.lay.words
            yield (
                f"At {width} the search is sure of lengths to about {about} only: "
                f"{', '.join(near)} may be as short as {first}."
            )


def _length_mm(lay: ComparedLay) -> float:
    return lay.length_mm
