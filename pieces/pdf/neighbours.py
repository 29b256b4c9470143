"""Where sheets lie to each other by what is written on them, or in rows."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from pieces.pdf.clip import Box
from pieces.pdf.pages import Page, Words
from pieces.pdf.seams import Places
from pieces.pdf.words import label_of, labels_in

_NEAR_MM = 20.0
"""A neighbour's name stands so near to the edge that they share."""
_STEPS = ((-1, 0), (0, -1), (1, 0), (0, 1))


def in_rows(count: int, columns: int, *, across: bool = True, down: bool = True) -> Places:
    """Pages in their order: row by row (or column by column), from above (or from below).

    >>> in_rows(3, 2)
    {0: (0, 0), 1: (1, 0), 2: (0, -1)}
    """
    places = {}
    for index in range(count):
        line, place = divmod(index, columns)
        column, row = (place, line) if across else (line, place)
        places[index] = (column, -row if down else row)
    return places


def own_labels(pages: Sequence[Page], sheets: Sequence[int]) -> dict[int, str]:
    """The name of each sheet, where one stands on it larger than any other and on no other."""
    found: dict[int, str] = {}
    for index in sheets:
        named = [(said.high_mm, label_of(said.text)) for said in pages[index].words]
        named = [one for one in named if one[1]]
        largest = max((high for high, _ in named), default=0.0)
        names = {name for high, name in named if high > 0.95 * largest}
        if len(names) == 1:
            found[index] = names.pop()
    names_of = list(found.values())
    return {index: name for index, name in found.items() if names_of.count(name) == 1}


def by_neighbours(pages: Sequence[Page], cell: Box, sheets: Sequence[int]) -> list[Places]:
    """Boards of sheets that name each other at their edges; pages without a name are none."""
    labels = own_labels(pages, sheets)
    by_label = {name: index for index, name in labels.items()}
    beside: dict[int, dict[tuple[int, int], int]] = {index: {} for index in labels}
    for index in labels:
        for said in pages[index].words:
            side = _side(said.at, cell)
            for name in labels_in(said.text) if side is not None else ():
                other = by_label.get(name)
                if side is not None and other is not None and other != index:
                    dx, dy = _STEPS[side]
                    beside[index][dx, dy] = other
                    beside[other][-dx, -dy] = index
    if not any(beside.values()):
        return []
    return list(_boards(beside))


def without_labels(pages: Sequence[Page], cell: Box) -> list[Page]:
    """The pages without their names, and without those of their neighbours at their edges."""
    known = set(own_labels(pages, range(len(pages))).values())

    def is_label(said: Words) -> bool:
        if label_of(said.text) in known:
            return True
        return _side(said.at, cell) is not None and bool(known.intersection(labels_in(said.text)))

    return [
        replace(page, words=tuple(said for said in page.words if not is_label(said)))
        for page in pages
    ]


def _side(at: tuple[float, float], cell: Box) -> int | None:
    """Which edge of its own part a text stands at."""
    (x, y), (left, low, right, high) = at, cell
    away = (abs(x - left), abs(y - low), abs(x - right), abs(y - high))
    nearest = min(range(4), key=away.__getitem__)
    return nearest if away[nearest] <= _NEAR_MM else None


def _boards(beside: dict[int, dict[tuple[int, int], int]]) -> Iterator[Places]:
    left = set(beside)
    while left:
        start = min(left)
        places = {start: (0, 0)}
        waiting = [start]
        while waiting:
            index = waiting.pop()
            column, row = places[index]
            for (dx, dy), other in beside[index].items():
                if other not in places:
                    places[other] = (column + dx, row + dy)
                    waiting.append(other)
        left -= places.keys()
        yield places


def by_labels(pages: Sequence[Page], sheets: Sequence[int]) -> Iterator[Places]:
    """Grids by names such as "B3": the letter or first number the row, or else the column."""
    labels = own_labels(pages, sheets)
    if len(labels) < len(sheets):
        return
    parts = {index: re.findall(r"[A-Z]+|[0-9]+", name) for index, name in labels.items()}
    if any(len(both) != 2 for both in parts.values()):
        return
    pairs = {index: (_number(one), _number(other)) for index, (one, other) in parts.items()}
    if len(set(pairs.values())) < len(pairs):
        return
    for sign in (-1, 1):
        yield {index: (second, sign * first) for index, (first, second) in pairs.items()}
        yield {index: (first, sign * second) for index, (first, second) in pairs.items()}


def _number(text: str) -> int:
    if text.isdigit():
        return int(text)
    number = 0
    for letter in text:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number
