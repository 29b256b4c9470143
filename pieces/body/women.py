"""Size tables for women by bust, waist and hip: US misses' and women's sizes, and by the bust.

Everything else in a row is read off by its bust on straight lines, to 6 mm through a British
textbook's chart of women from 76 to 122 cm (secondary copy); a bust's height and span are from
memory of US and German charts, which differ by 1 cm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from pieces.body.sources import Row, Source

_AT_CM = 88.0
_LINES: Mapping[str, tuple[Source, float, float]] = {
    # Centimetres at a bust of 88 cm, and more for each one of bust.
    "shoulder": (Source.WOMEN_LINES, 12.25, 1 / 16),
    "upper_arm": (Source.WOMEN_LINES, 28.4, 0.3),
    "arm": (Source.WOMEN_LINES, 58.5, 0.09),
    "wrist": (Source.WOMEN_LINES, 16.0, 1 / 8),
    "neck": (Source.WOMEN_LINES, 37.0, 0.25),
    "across_back": (Source.WOMEN_LINES, 34.4, 0.25),
    "across_front": (Source.WOMEN_LINES, 32.4, 0.3),
    "rise": (Source.WOMEN_LINES, 28.0, 0.17),
    "bust_height": (Source.WOMEN_MEMORY, 26.5, 0.2),
    "bust_span": (Source.WOMEN_MEMORY, 18.8, 0.17),
}


def _by_bust(source: Source, bust: Sequence[float], **rows: Row) -> dict[str, Row]:
    """A table of these busts, the rest of it by the lines; centimetres."""
    lines = {
        name: Row(own, tuple(round(at + (cm - _AT_CM) * more, 1) for cm in bust))
        for name, (own, at, more) in _LINES.items()
    }
    return {"chest": Row(source, tuple(bust))} | rows | lines


def _inches(*inches: float) -> tuple[float, ...]:
    return tuple(round(2.54 * one, 1) for one in inches)


MISSES_SIZES = (6, 8, 10, 12, 14, 16, 18, 20)
MISSES = _by_bust(
    Source.MISSES,
    _inches(30.5, 31.5, 32.5, 34, 36, 38, 40, 42),
    height=Row(Source.MISSES_HEIGHT, (166.0,) * 8),
    waist=Row(Source.MISSES, _inches(23, 24, 25, 26.5, 28, 30, 32, 34)),
    hip=Row(Source.MISSES, _inches(32.5, 33.5, 34.5, 36, 38, 40, 42, 44)),
    back_waist=Row(Source.MISSES, _inches(15.5, 15.75, 16, 16.25, 16.5, 16.75, 17, 17.25)),
)
WOMEN_SIZES = (38, 40, 42, 44, 46, 48, 50)
WOMEN = _by_bust(
    Source.MISSES,
    _inches(42, 44, 46, 48, 50, 52, 54),
    height=Row(Source.MISSES_HEIGHT, (166.0,) * 7),
    waist=Row(Source.MISSES, _inches(35, 37, 39, 41.5, 44, 46.5, 49)),
    hip=Row(Source.MISSES, _inches(44, 46, 48, 50, 52, 54, 56)),
    back_waist=Row(Source.MISSES, _inches(17.25, 17.375, 17.5, 17.625, 17.75, 17.875, 18)),
)
BUSTS = (76, 80, 84, 88, 92, 96, 100, 104, 110, 116, 122)
BY_BUST = _by_bust(
    Source.BUSTS,
    [float(bust) for bust in BUSTS],
    height=Row(Source.BUSTS_HEIGHT, (168.0,) * 11),
    waist=Row(Source.BUSTS, (60, 64, 68, 72, 76, 80, 84, 88, 94, 100, 106)),
    hip=Row(Source.BUSTS, (84, 88, 92, 96, 100, 104, 108, 112, 117, 122, 127)),
    back_waist=Row(
        Source.WOMEN_LINES,
        (39.8, 40.2, 40.6, 41.0, 41.4, 41.8, 42.2, 42.6, 43.0, 43.4, 43.8),
    ),
)
"""The waist is 16 cm less than the bust and the hip 8 more, from 110 cm on 7 to 5."""
