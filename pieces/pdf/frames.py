"""Where sheets of a pattern are cut and stuck together: the lines that all of them have."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, pairwise, product

from pieces.geometry import bounds
from pieces.pdf.clip import Box
from pieces.pdf.pages import DrawnLine, Page
from pieces.pdf.words import without_numbers

_OF_A_SIDE = 0.6
"""A line so long beside a side of the page is one to cut or stick along."""
_FROM_EDGE = 0.25
_ON_LINE_MM = 0.15
_REPEATED = 0.6
_LEAST_PAGES = 3
_MOST_PLACES = 3
_CROSS_MM = 16.0


def cells_of(pages: Sequence[Page]) -> Iterator[Box]:
    """The part of a page that is its own: what it may be, the likeliest first.

    Neighbours begin where it ends. Sides that no line shows are those of the page.
    """
    wide, tall = pages[0].size_mm
    upright = Counter(at for page in pages for at in _long_lines(page, 0))
    level = Counter(at for page in pages for at in _long_lines(page, 1))
    sides = (
        _most({at: n for at, n in upright.items() if at < wide * _FROM_EDGE}, 0.0),
        _most({at: n for at, n in level.items() if at < tall * _FROM_EDGE}, 0.0),
        _most({at: n for at, n in upright.items() if at > wide * (1 - _FROM_EDGE)}, wide),
        _most({at: n for at, n in level.items() if at > tall * (1 - _FROM_EDGE)}, tall),
    )
    # Those that differ from the likeliest in fewer sides come first.
    places = product(*(range(len(side)) for side in sides))
    for place in sorted(places, key=lambda one: (sum(one), max(one))):
        left, low, right, high = (side[at] for side, at in zip(sides, place, strict=True))
        yield (left, low, right, high)


def _most(found: Mapping[float, int], edge: float) -> list[float]:
    """The few places that most pages have; the page's edge if none has any."""
    by_count = sorted(found, key=lambda at: (-found[at], at))
    return by_count[:_MOST_PLACES] or [edge]


def _long_lines(page: Page, axis: int) -> set[float]:
    """Where straight lines lie that run beside a side of the page, to a tenth of a millimetre."""
    side = page.size_mm[1 - axis]
    found: set[float] = set()
    for drawn in page.lines:
        way = (*drawn.line, drawn.line[0]) if drawn.closed else drawn.line
        for a, b in pairwise(way):
            if abs(a[axis] - b[axis]) > _ON_LINE_MM:
                continue
            if abs(a[1 - axis] - b[1 - axis]) >= _OF_A_SIDE * side:
                found.add(round(a[axis], 1))
    return found


def on_edge(drawn: DrawnLine, cell: Box) -> bool:
    """Whether a line lies along a side of a page's own part."""
    left, low, right, high = bounds(drawn.line)
    flat = (left, right, (cell[0], cell[2])), (low, high, (cell[1], cell[3]))
    return any(
        abs(start - at) <= _ON_LINE_MM and abs(end - at) <= _ON_LINE_MM
        for start, end, sides in flat
        for at in sides
    )


def without_furniture(pages: Sequence[Page], cell: Box) -> list[Page]:
    """The pages without what is alike on most of them: frames, marks, headings."""
    least = max(_LEAST_PAGES, _REPEATED * len(pages))
    lines = Counter(key for page in pages for key in {_key(drawn) for drawn in page.lines})
    words = Counter(key for page in pages for key in {_text_key(page, i) for i in _count(page)})
    kept = []
    for page in pages:
        crosses = _crosses(page, cell)
        own = tuple(
            drawn
            for index, drawn in enumerate(page.lines)
            if index not in crosses and not on_edge(drawn, cell) and not _is_frame(drawn, cell)
            if lines[_key(drawn)] < least or _reaches(drawn, cell)
        )
        said = tuple(page.words[i] for i in _count(page) if words[_text_key(page, i)] < least)
        kept.append(Page(page.number, page.size_mm, own, said, page.pictures))
    return kept


def _crosses(page: Page, cell: Box) -> set[int]:
    """The lines of crosses that lie on an edge of a page's own part, to lay sheets by."""
    short: list[tuple[int, Box]] = []
    for index, drawn in enumerate(page.lines):
        left, low, right, high = box = bounds(drawn.line)
        if (
            min(right - left, high - low)
            <= _ON_LINE_MM
            < max(right - left, high - low)
            <= _CROSS_MM
        ):
            short.append((index, box))
    found: set[int] = set()
    for (one, a), (other, b) in combinations(short, 2):
        apart = (max(a[0], b[0]), max(a[1], b[1])), (min(a[2], b[2]), min(a[3], b[3]))
        meet = all(low <= high + _ON_LINE_MM for low, high in zip(*apart, strict=True))
        square = (a[2] - a[0] > a[3] - a[1]) != (b[2] - b[0] > b[3] - b[1])
        x, y = apart[0]
        off = min(abs(x - cell[0]), abs(x - cell[2]), abs(y - cell[1]), abs(y - cell[3]))
        if meet and square and off <= _ON_LINE_MM:
            found |= {one, other}
    return found


def _count(page: Page) -> range:
    return range(len(page.words))


def _key(drawn: DrawnLine) -> object:
    box = tuple(round(value, 1) for value in bounds(drawn.line))
    return box, len(drawn.line), drawn.closed, drawn.style


def _text_key(page: Page, index: int) -> object:
    said = page.words[index]
    # What differs in a number alone, as a heading does, is alike; it may be longer by a digit.
    return without_numbers(said.text), round(said.at[1] / 3), round(said.at[0] / 8)


def _is_frame(drawn: DrawnLine, cell: Box) -> bool:
    box = bounds(drawn.line)
    return drawn.closed and all(abs(a - b) <= _ON_LINE_MM for a, b in zip(box, cell, strict=True))


def _reaches(drawn: DrawnLine, cell: Box) -> bool:
    """Whether a line runs to an edge of a page's own part, and so may go on beside it."""
    left, low, right, high = bounds(drawn.line)
    off = _ON_LINE_MM
    return (
        left <= cell[0] + off
        or low <= cell[1] + off
        or right >= cell[2] - off
        or (high >= cell[3] - off)
    )
