"""What is written on pages, and how single words are put together again."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import replace

from pieces.pdf.pages import Words

_BACK = 6
"""So many texts back one may go on."""
_NUMBER = re.compile(r"[0-9]+|\b[A-Z]{1,2}\b")
_LABEL = re.compile(r"[A-Z]{1,2}[-. ]?[0-9]{1,3}|[0-9]{1,3}[-./ ]?[A-Z]|[0-9]{1,3}[-./][0-9]{1,3}")
_IN_TEXT = re.compile(rf"(?<![\w/.-])(?:{_LABEL.pattern})(?![\w/-])")


def without_numbers(text: str) -> str:
    """A text with every number and every letter that counts taken for the same.

    >>> without_numbers("sheet 12 of 30"), without_numbers("B3")
    ('sheet # of #', 'B#')
    """
    return _NUMBER.sub("#", text)


def label_of(text: str) -> str:
    """The name of a sheet, such as "B3", if a text is just that; else nothing.

    >>> label_of("B 3"), label_of("bodice front"), label_of("2/4")
    ('B3', '', '2/4')
    """
    found = _LABEL.fullmatch(text.strip())
    return _plain(found[0]) if found else ""


def labels_in(text: str) -> list[str]:
    """The names of sheets in a text.

    >>> labels_in("cut here, stick on A1")
    ['A1']
    """
    return [_plain(found) for found in _IN_TEXT.findall(text)]


def _plain(label: str) -> str:
    return re.sub(r"(?<=[A-Z])[-. ](?=[0-9])|(?<=[0-9])[-. ](?=[A-Z])", "", label)


def lines_of(words: Sequence[Words]) -> list[Words]:
    """Words on one line of writing put together, in the order of the page."""
    found: list[Words] = []
    for said in words:
        for place in range(len(found) - 1, max(-1, len(found) - _BACK), -1):
            whole = _joined(found[place], said)
            if whole is not None:
                found[place] = whole
                break
        else:
            found.append(said)
    return found


def _joined(before: Words, said: Words) -> Words | None:
    """Two texts as one, where the second goes on on the line of the first."""
    high = before.high_mm
    if abs(high - said.high_mm) > 0.1 * high or abs(before.way_deg - said.way_deg) > 1:
        return None
    (along, up), (there, off) = _turned(before), _turned(said)
    gap = there - said.long_mm / 2 - (along + before.long_mm / 2)
    if abs(off - up) > 0.5 * high or not -0.3 * high <= gap <= 0.9 * high:
        return None
    text = f"{before.text}{' ' if gap > 0.28 * high else ''}{said.text}"
    long = before.long_mm + gap + said.long_mm
    shift = (long - before.long_mm) / 2
    turn = math.radians(before.way_deg)
    x, y = before.at
    at = (x + shift * math.cos(turn), y + shift * math.sin(turn))
    return replace(before, text=text, at=at, long_mm=long)


def _turned(said: Words) -> tuple[float, float]:
    """How far a text lies along the way that it is read, and off it."""
    cos, sin = math.cos(math.radians(said.way_deg)), math.sin(math.radians(said.way_deg))
    x, y = said.at
    return x * cos + y * sin, y * cos - x * sin
