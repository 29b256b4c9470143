"""Measures that are unlikely together: a slip of the tape or the pen, more often than a body."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from pieces.body.measurements import Body, in_words
from pieces.piece import Finding
from pieces.units import Unit, format_length

_PAIRS = (
    # code, greater, smaller, share of the smaller, allowance in mm: smaller * share <= greater +
    # allowance. Bounds are the trade's; the first two hold in every chart compared (hip >= chest
    # - 1 cm, waist <= chest + 1 cm), with 2 cm more for the body that is like no chart.
    ("waist-over-chest", "chest", "waist", 1.0, 30.0),
    ("hip-under-chest", "hip", "chest", 1.0, 30.0),
    ("chest-over-height", "height", "chest", 1.2, 0.0),
    ("arm-over-height", "height", "arm", 2.4, 0.0),
    ("back-waist-over-height", "height", "back_waist", 3.0, 0.0),
    ("shoulder-over-chest", "chest", "shoulder", 4.5, 0.0),
    ("upper-arm-over-chest", "chest", "upper_arm", 2.2, 0.0),
    ("neck-over-chest", "chest", "neck", 1.6, 0.0),
    ("wrist-over-upper-arm", "upper_arm", "wrist", 1.0, 0.0),
    # The other way round; a tenth and more beyond every row of the tables and beyond a slim
    # grown-up.
    ("height-over-chest", "chest", "height", 1 / 2.6, 0.0),
    ("height-over-arm", "arm", "height", 1 / 4.0, 0.0),
    ("height-over-back-waist", "back_waist", "height", 1 / 5.2, 0.0),
    ("chest-over-waist", "waist", "chest", 1 / 1.7, 0.0),
    ("hip-over-chest", "chest", "hip", 1 / 1.6, 0.0),
    ("chest-over-shoulder", "shoulder", "chest", 1 / 10.0, 0.0),
    ("chest-over-upper-arm", "upper_arm", "chest", 1 / 4.8, 0.0),
    ("chest-over-neck", "neck", "chest", 1 / 3.5, 0.0),
    ("upper-arm-over-wrist", "wrist", "upper_arm", 1 / 2.5, 0.0),
    # A bust, and how deep one sits: a fifth beyond every row of the women's tables.
    ("bust-span-over-chest", "chest", "bust_span", 3.4, 0.0),
    ("bust-height-over-back-waist", "back_waist", "bust_height", 1.05, 0.0),
    ("front-waist-over-back-waist", "back_waist", "front_waist", 1 / 1.4, 0.0),
    ("back-waist-over-front-waist", "front_waist", "back_waist", 1 / 1.1, 0.0),
    ("rise-over-hip", "hip", "rise", 2.1, 0.0),
    ("hip-over-rise", "rise", "hip", 1 / 5.2, 0.0),
)
_INFANT_MM = 900.0
_INFANT_WAIST_MM = 60.0
"""Up to two years a waist is measured over the belly: up to 5 cm over the chest in the yarn
standard's table for 3 to 24 months (from memory)."""


def doubts(body: Body, unit: Unit = Unit.CM, filled: Collection[str] = ()) -> tuple[Finding, ...]:
    """Findings on measures that hardly belong to one body, told in the dresser's `unit`.

    What the size table `filled` is never in doubt: two measures from there belong to one body, and
    beside one from there only the other was measured. Their keys begin at the body's garment.

    >>> [finding.code for finding in doubts(Body(chest=520.0, waist=600.0))]
    ['waist-over-chest']
    """
    return tuple(_doubts(body, unit, filled))


def _doubts(body: Body, unit: Unit, filled: Collection[str]) -> Iterator[Finding]:
    for code, greater, smaller, share, allowance_mm in _PAIRS:
        most, least = getattr(body, greater), getattr(body, smaller)
        if code == "waist-over-chest" and (body.height or _INFANT_MM) < _INFANT_MM:
            allowance_mm = _INFANT_WAIST_MM
        if most is None or least is None or least * share <= most + allowance_mm:
            continue
        from_table = [name for name in (smaller, greater) if name in filled]
        if len(from_table) == 2:
            continue
        this, that = (_article(in_words(name)) for name in (smaller, greater))
        remedy = "measure both again."
        if from_table:
            table = in_words(from_table[0])
            remedy = (
                f"the {table} is the size table's and not measured. Measure it too, or name "
                "another size."
            )
        message = (
            f"{this} of {format_length(least, unit)} is much for "
            f"{that} of {format_length(most, unit)}: {remedy}"
        )
        # Which of two is wrong nobody knows; one of a table alone is the one to measure.
        yield Finding(code, message, f"body.{(*from_table, smaller)[0]}")


def _article(words: str) -> str:
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"
