"""Size tables: girls and boys of 2 to 14 years, and all other tables' sizes by their names.

Each row has the source of its numbers.

Charts differ by a whole size: a table stands in for a child who is not there to be measured,
and no more.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import fields, replace

from pieces.body.heights import HEIGHTS, LABELS
from pieces.body.infants import INFANT_BOYS, INFANT_GIRLS, MONTHS
from pieces.body.measurements import Body
from pieces.body.sources import Row, Source
from pieces.body.women import BUSTS, BY_BUST, MISSES, MISSES_SIZES, WOMEN, WOMEN_SIZES
from pieces.errors import BadValue
from pieces.units import shown

AGES = tuple(range(2, 15))
_NUMBER = re.compile(r"\d+(?:\.\d+)?")

# The two-year column of the survey rests on few children: 5 to 29 a measure. Across the shoulder
# bones it has 21.0, 21.9, 23.1, 24.4, 25.6, 27.1 and 27.5 cm for girls, 20.3, 22.5, 22.9, 24.3,
# 26.0, 27.2 and 28.3 for boys of 2 to 8 years.
_BACK_WAIST = Row(
    Source.YARN,
    (21.6, 22.9, 24.1, 25.4, 26.7, 29.2, 31.8, 33.3, 34.6, 36.0, 37.4, 38.6, 39.4),
)
_WRIST_CM = (11.3, 11.2, 11.4, 11.7, 12.2, 12.4, 13.0, 13.4, 13.8, 14.2, 14.6, 14.9, 15.1)

GIRLS = {
    "height": Row(
        Source.GROWTH,
        (87.7, 93.8, 101.6, 108.0, 114.2, 120.5, 125.9, 133.0, 138.5, 144.5, 151.5, 157.5, 160.5),
    ),
    "chest": Row(
        Source.SURVEY,
        (49.4, 50.0, 52.4, 54.6, 56.8, 59.8, 62.2, 64.8, 67.8, 71.2, 75.0, 78.6, 81.6),
    ),
    "waist": Row(
        Source.SURVEY,
        (47.2, 45.5, 48.6, 50.5, 51.4, 53.2, 55.9, 57.0, 58.4, 59.8, 61.2, 62.5, 63.6),
    ),
    "hip": Row(
        Source.SURVEY,
        (51.1, 51.3, 54.1, 56.7, 58.8, 62.5, 65.8, 68.6, 71.8, 75.8, 80.2, 84.4, 87.6),
    ),
    "back_waist": _BACK_WAIST,
    "shoulder": Row(
        Source.SURVEY_SHOULDER,
        (6.3, 6.8, 7.3, 7.9, 8.3, 9.0, 9.1, 9.6, 10.1, 10.6, 11.2, 11.7, 12.1),
    ),
    "upper_arm": Row(
        Source.SURVEY,
        (15.9, 15.7, 16.2, 16.9, 17.1, 18.1, 19.0, 19.9, 20.8, 21.8, 22.9, 23.9, 24.7),
    ),
    "arm": Row(
        Source.SURVEY,
        (27.8, 30.1, 32.8, 35.0, 36.2, 38.7, 40.0, 42.4, 44.6, 47.0, 49.5, 51.4, 52.6),
    ),
    "wrist": Row(Source.SURVEY, _WRIST_CM),
    "neck": Row(
        Source.SURVEY,
        (23.3, 23.5, 24.0, 24.5, 25.7, 26.0, 27.0, 27.7, 28.4, 29.2, 30.1, 30.8, 31.4),
    ),
}
BOYS = {
    "height": Row(
        Source.GROWTH,
        (89.0, 96.4, 101.3, 108.6, 115.1, 122.0, 127.8, 133.5, 138.5, 143.5, 149.0, 156.0, 164.0),
    ),
    "chest": Row(
        Source.SURVEY,
        (49.4, 52.0, 53.0, 55.4, 57.8, 60.6, 62.9, 65.4, 68.0, 70.7, 73.7, 77.6, 82.2),
    ),
    "waist": Row(
        Source.SURVEY,
        (46.0, 48.5, 48.3, 51.2, 51.7, 53.4, 56.8, 58.4, 60.0, 61.7, 63.5, 65.8, 68.4),
    ),
    "hip": Row(
        Source.SURVEY,
        (51.2, 52.5, 52.8, 55.6, 57.8, 61.2, 64.3, 67.0, 69.7, 72.6, 75.8, 79.6, 83.6),
    ),
    "back_waist": _BACK_WAIST,
    "shoulder": Row(
        Source.SURVEY_SHOULDER,
        (5.8, 7.0, 7.1, 7.7, 8.5, 9.0, 9.4, 9.9, 10.3, 10.8, 11.3, 12.0, 12.7),
    ),
    "upper_arm": Row(
        Source.SURVEY,
        (15.7, 16.0, 16.1, 16.6, 17.2, 18.0, 18.9, 19.8, 20.6, 21.4, 22.3, 23.3, 24.6),
    ),
    "arm": Row(
        Source.SURVEY,
        (29.4, 30.8, 32.3, 35.2, 38.5, 41.4, 43.2, 45.0, 46.8, 48.6, 50.6, 53.2, 56.0),
    ),
    "wrist": Row(Source.SURVEY_GIRLS, _WRIST_CM),
    "neck": Row(
        Source.SURVEY,
        (23.9, 24.3, 24.6, 25.3, 25.8, 26.2, 27.1, 27.9, 28.7, 29.5, 30.4, 31.6, 33.0),
    ),
}


def _bodies(table: Mapping[str, Row], names: Iterable[str]) -> dict[str, Body]:
    return {
        size: Body(**{name: round(row.cm[i] * 10, 1) for name, row in table.items()})
        for i, size in enumerate(names)
    }


def _by_age(
    ages: Iterable[int], unit: str, girls: Mapping[str, Row], boys: Mapping[str, Row]
) -> dict[str, Body]:
    plain = [f"{age} {unit}" if age else "newborn" for age in ages]
    return (
        _bodies(girls, plain)
        | _bodies(girls, [f"{name} girl" for name in plain])
        | _bodies(boys, [f"{name} boy" for name in plain])
    )


SIZES: dict[str, Body] = (
    _by_age(MONTHS, "months", INFANT_GIRLS, INFANT_BOYS)
    | _by_age(AGES, "years", GIRLS, BOYS)
    | _bodies(HEIGHTS, [f"{label} cm" for label in LABELS])
    | _bodies(MISSES, [f"misses {number}" for number in MISSES_SIZES])
    | _bodies(WOMEN, [f"women {number}" for number in WOMEN_SIZES])
    | _bodies(BY_BUST, [f"bust {bust} cm" for bust in BUSTS])
)
"""Every size by its name; "4 years" alone is a girl's, "98 cm" is a height and anyone's."""


def sources_of(measure: str, table: str) -> str:
    """Where the numbers of a measure by age come from; `table` is "girl" or "boy"."""
    row = (GIRLS if table == "girl" else BOYS).get(measure)
    return "" if row is None else str(row.source)


def fill(measured: Body, size: str | None) -> tuple[Body, tuple[str, ...]]:
    """The measured body with what is missing taken from a size, and the names of what was taken.

    Raises
    ------
    BadValue : no size of that name; the remedy has the names there are

    >>> body, taken = fill(Body(chest=540.0), "4 years")
    >>> body.chest, body.waist, "chest" in taken, "waist" in taken
    (540.0, 486.0, False, True)
    """
    if size is None:
        return measured, ()
    row = SIZES.get(" ".join(size.lower().split()))
    if row is None:
        raise BadValue(f"{shown(size)} is not a size known here.", _sizes_near(size))
    taken = {
        field.name: getattr(row, field.name)
        for field in fields(Body)
        if getattr(measured, field.name) is None and getattr(row, field.name) is not None
    }
    if measured.across_shoulders is not None:  # which says what the shoulder is
        taken.pop("shoulder", None)
    return replace(measured, **taken), tuple(taken)


def _nearest(size: str) -> str:
    """The size that was meant, empty if none is like it: the next of its own table first."""
    words, wanted = _parted(" ".join(size.lower().split()))
    own = [(abs(_parted(one)[1] - wanted), one) for one in SIZES if _parted(one)[0] == words]
    if own:
        return min(own)[1]
    near = difflib.get_close_matches(size.lower(), SIZES, n=1, cutoff=0.5)
    return near[0] if near else ""


def _parted(size: str) -> tuple[str, float]:
    """The words of a size, and its number."""
    number = _NUMBER.search(size)
    return _NUMBER.sub("#", size), float(number[0]) if number else 0.0


def _sizes_near(size: str) -> str:
    near = _nearest(size)
    hint = f"Did you mean '{near}'? " if near else ""
    return (
        f"{hint}Sizes run from 'newborn' and '3 months' to '24 months' and '2 years' to "
        "'14 years', a girl's unless you write '4 years boy', and by height from '56 cm' to "
        "'176 cm' in steps of 6 cm. Women's are 'misses 6' to 'misses 20', 'women 38' to "
        "'women 50', and by the bust from 'bust 76 cm' to 'bust 122 cm'."
    )
