"""Sheets of a pattern stuck together: from pages to what they show side by side.

Each page has a part of its own, its cell, between lines that all pages have, or what is left of
it without the overlap that the order tells. Cells are laid side by side by the names of their
neighbours at their edges, by their own names (B3), or in rows; which of these it is, and how many
stand in a row, the lines tell that run from one on to the next.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice, product

from pieces.geometry import translated
from pieces.importers.gathering import Gathering
from pieces.pdf.clip import Box, clipped
from pieces.pdf.frames import cells_of, without_furniture
from pieces.pdf.neighbours import by_labels, by_neighbours, in_rows, without_labels
from pieces.pdf.pages import DrawnLine, Page, Words
from pieces.pdf.seams import Places, Seams
from pieces.units import Unit, format_length
from pieces.wording import either

PAPERS_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4), "a3": (297.0, 420.0)}
"""ISO 216 and ANSI/ASME Y14.1."""
_LARGEST_SHEET_MM = 450.0
"""Pages no longer than this come from a home printer and may be sheets of one pattern."""
_SAME_MM = 2.0
_BETWEEN_MM = 100.0
_WELL_JOINED, _BEYOND_DOUBT = 0.9, 0.96
_LEAST_ENDS = 2
_MOST_TOLD = 8
_MOST_BEFORE = 4
_MOST_COLUMNS = 40
_MOST_CELLS = 81
_MOST_IN_ROWS = 4
"""Of so many parts of a page it is asked whether they lie in rows, which takes longer."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What an order tells of a PDF, beside its name.

    Attributes
    ----------
    pages : a size of paper, or numbers such as "3-20"; empty for all
    columns, overlap_mm : how many sheets make a row, and how much of the next each repeats
    layers : layers or kinds of line that hold the outlines wanted
    square_mm : what the test square is to measure, to which the drawing is then scaled
    fold : the side of each half piece that lies on the fold, as seen on the sheet
    words : for each meaning ("fold", "cut", "pair", "grain") words that stand for it too
    """

    pages: str = ""
    columns: int | None = None
    overlap_mm: float | None = None
    layers: tuple[str, ...] = ()
    square_mm: float | None = None
    fold: str = ""
    words: tuple[tuple[str, tuple[str, ...]], ...] = ()


@dataclass(frozen=True, slots=True)
class Drawing:
    """All that is drawn and written, on one plane."""

    lines: tuple[DrawnLine, ...]
    words: tuple[Words, ...]


def stuck_together(pages: Sequence[Page], asked: Asked, gathering: Gathering) -> Drawing:
    """The pages as one drawing; those that don't belong together lie apart in it.

    Raises
    ------
    OrderFault : no such page, or it can't be told how they go together
    """
    chosen = _chosen(pages, asked, gathering)
    size = Counter(_rounded(page) for page in chosen).most_common(1)[0][0]
    alike = [page for page in chosen if _rounded(page) == size]
    large = max(alike[0].size_mm) > _LARGEST_SHEET_MM
    if len(alike) < 2 or (large and asked.columns is None):
        return _apart(chosen)
    if asked.columns is not None or asked.overlap_mm is not None:
        _tell_left_out(chosen, alike, gathering)
        return _by_order(alike, asked, gathering)
    return _by_marks(alike, chosen, gathering)


def _chosen(pages: Sequence[Page], asked: Asked, gathering: Gathering) -> list[Page]:
    name = asked.pages.strip().lower()
    if not name:
        return list(pages)
    if name in PAPERS_MM:
        wanted = sorted(PAPERS_MM[name])
        found = [
            page
            for page in pages
            if all(
                abs(a - b) <= _SAME_MM for a, b in zip(sorted(page.size_mm), wanted, strict=True)
            )
        ]
    else:
        numbers = _numbers(name, gathering)
        found = [page for page in pages if page.number in numbers]
    if not found:
        sizes = {" by ".join(format_length(side, Unit.MM) for side in p.size_mm) for p in pages}
        raise gathering.refused(
            f"It has no such pages as '{asked.pages}': it has {len(pages)}, of "
            f"{', '.join(sorted(sizes)[:4])}.",
            either('Write pages = "A4", "letter"', "Write A4, letter")
            + ' or numbers such as "3-20", or leave it out.',
        )
    return found


def _numbers(text: str, gathering: Gathering) -> set[int]:
    found: set[int] = set()
    for part in text.split(","):
        ends = re.fullmatch(r"\s*([0-9]{1,4})\s*(?:[-–]\s*([0-9]{1,4}))?\s*", part)
        if ends is None:
            raise gathering.refused(
                f"'{text}' names no pages.",
                either('Write pages = "A4", "letter", "A3"', "Write A4, letter, A3")
                + ' or numbers such as "3-20" or "2,4-9".',
            )
        found.update(range(int(ends[1]), int(ends[2] or ends[1]) + 1))
    return found


def _rounded(page: Page) -> tuple[int, int]:
    return round(page.size_mm[0] / _SAME_MM), round(page.size_mm[1] / _SAME_MM)


def _whole(page: Page) -> Box:
    return (0.0, 0.0, *page.size_mm)


def _apart(pages: Sequence[Page]) -> Drawing:
    """Pages that have nothing to do with each other, one right of the other."""
    return _laid([(page, _whole(page)) for page in pages], _side_by_side(pages))


def _side_by_side(pages: Sequence[Page]) -> Iterator[tuple[float, float]]:
    x = 0.0
    for page in pages:
        yield x, 0.0
        x += page.size_mm[0] + _BETWEEN_MM


def _laid(cells: Sequence[tuple[Page, Box]], at: Iterator[tuple[float, float]]) -> Drawing:
    """What each page shows within its cell, the cell's corner laid where it is told."""
    lines: list[DrawnLine] = []
    words: list[Words] = []
    for (page, box), (x, y) in zip(cells, at, strict=True):
        dx, dy = x - box[0], y - box[1]
        for drawn in page.lines:
            lines += [replace(p, line=translated(p.line, dx, dy)) for p in clipped(drawn, box)]
        words += [
            replace(said, at=(said.at[0] + dx, said.at[1] + dy))
            for said in page.words
            if box[0] <= said.at[0] <= box[2] and box[1] <= said.at[1] <= box[3]
        ]
    return Drawing(tuple(lines), tuple(words))


def _by_order(pages: Sequence[Page], asked: Asked, gathering: Gathering) -> Drawing:
    """Rows as long as the order says, each page the overlap less wide and high."""
    if asked.columns is None:
        raise gathering.refused(
            "The overlap is given, but not how many sheets make a row.",
            either("Give columns beside the file, the", "Give the") + " number of sheets in a row.",
        )
    if asked.overlap_mm is None:
        cell = next(cells_of(pages))
    else:
        half, (wide, tall) = asked.overlap_mm / 2, pages[0].size_mm
        cell = (half, half, wide - half, tall - half)
    if cell[2] - cell[0] < 10 or cell[3] - cell[1] < 10:
        raise gathering.refused(
            "An overlap so large leaves nothing of a sheet.", "Give a smaller overlap."
        )
    kept = without_furniture(pages, cell)
    seams = Seams(kept, cell)
    places = in_rows(len(kept), asked.columns)
    met, ends, _ = seams.score(places)
    if ends > _LEAST_ENDS and met < ends / 2:
        gathering.find(
            "sheets-do-not-meet",
            f"laid in rows of {asked.columns}, only {met} of {ends} lines go on where sheets meet; "
            "look at "
            + either("columns and overlap beside the file", "the sheets in a row, their overlap")
            + ", and at the first and last page.",
        )
    return _grid(kept, cell, [places])


def _by_marks(pages: Sequence[Page], chosen: Sequence[Page], gathering: Gathering) -> Drawing:
    """Sheets by what is drawn and written on them; pages by themselves where they are none."""
    best: _Way | None = None
    sheets = 0
    for place, cell in enumerate(islice(cells_of(pages), _MOST_CELLS)):
        plain = without_furniture(pages, cell)
        seams = Seams(plain, cell)
        running = [index for index in range(len(pages)) if seams.runs_out(index)]
        sheets = max(sheets, len(running))
        if len(running) > 1:
            ways = _ways(plain, cell, running if place < _MOST_IN_ROWS else [])
            scored = [_scored(plain, cell, seams, boards, how) for boards, how in ways]
            best = max([best, *scored], key=lambda way: way.share if way else -1.0)
            if best is not None and best.share >= _BEYOND_DOUBT:
                break
    if sheets < 2:
        return _apart(chosen)
    if best is None or best.share < _WELL_JOINED:
        raise gathering.refused(
            f"It has {sheets} sheets that go together, but nothing on them tells how.",
            either(
                "Give columns, the number of sheets in a row, and overlap, how much of the next "
                'each repeats, such as overlap = "1 cm", and pages = "A4" or "3-20" where others '
                "lie between.",
                "Give the number of sheets in a row, how much of the next each repeats, and which "
                "pages they are where others lie between.",
            ),
        )
    gathering.find(
        "sheets-joined",
        f"{sum(map(len, best.boards))} sheets were stuck together by {best.how}; {best.met} of "
        f"{best.ends} lines go on where they meet, within "
        f"{max(best.worst_mm, 0.1):.1f} mm.",
    )
    joined = [best.pages[index] for board in best.boards for index in board]
    _tell_left_out(chosen, joined, gathering)
    return _grid(without_labels(best.pages, best.cell), best.cell, best.boards)


def _tell_left_out(chosen: Sequence[Page], joined: Sequence[Page], gathering: Gathering) -> None:
    """Tell which pages are none of the sheets."""
    used = {page.number for page in joined}
    left = [str(page.number) for page in chosen if page.number not in used]
    if left:
        more = " and more" if len(left) > _MOST_TOLD else ""
        some = f"number {', '.join(left[:_MOST_TOLD])}{more}"
        gathering.find(
            "pages-left-out",
            f"{len(left)} of {len(chosen)} pages, {some}, joined no other; what is on them was "
            "taken to be about the pattern and no part of it.",
        )


@dataclass(frozen=True, slots=True)
class _Way:
    """A way to lay sheets, and how many of the lines at their edges then go on."""

    pages: Sequence[Page]
    cell: Box
    boards: Sequence[Places]
    how: str
    met: int
    ends: int
    worst_mm: float

    @property
    def share(self) -> float:
        """The part of the lines at edges that go on."""
        return self.met / self.ends if self.ends >= _LEAST_ENDS else 0.0


def _scored(
    pages: Sequence[Page], cell: Box, seams: Seams, boards: Sequence[Places], how: str
) -> _Way:
    found = [seams.score(board) for board in boards]
    met, ends = sum(one[0] for one in found), sum(one[1] for one in found)
    return _Way(pages, cell, boards, how, met, ends, max(one[2] for one in found))


def _ways(
    pages: Sequence[Page], cell: Box, sheets: Sequence[int]
) -> Iterator[tuple[list[Places], str]]:
    """All ways that are thought of; the first pages may be about the pattern, and no sheets."""
    every = range(len(pages))
    told = by_neighbours(pages, cell, every)
    if told:
        yield told, "the names of neighbours at their edges"
        return
    for places in by_labels(pages, sheets):
        yield [places], "their own names"
    for before in range(min(_MOST_BEFORE, len(sheets) - 2) + 1):
        left = sheets[before:]
        for columns in range(1, min(len(left), _MOST_COLUMNS) + 1):
            for across, down in product((True, False), (True, False)):
                places = in_rows(len(left), columns, across=across, down=down)
                named = {left[index]: place for index, place in places.items()}
                yield [named], f"{'rows' if across else 'columns'} of {columns}"


def _grid(pages: Sequence[Page], cell: Box, boards: Sequence[Places]) -> Drawing:
    """Every board's pages in its grid, the boards one right of the other."""
    wide, tall = cell[2] - cell[0], cell[3] - cell[1]
    cells: list[tuple[Page, Box]] = []
    at: list[tuple[float, float]] = []
    start = 0.0
    for board in boards:
        columns = [column for column, _ in board.values()]
        first = min(columns)
        for index, (column, row) in board.items():
            x, y = start + (column - first) * wide, row * tall
            for box in (cell, *_beyond(cell, pages[index].size_mm, (column, row), board)):
                cells.append((pages[index], box))
                at.append((x + box[0] - cell[0], y + box[1] - cell[1]))
        start += (max(columns) - first + 1) * wide + _BETWEEN_MM
    return _laid(cells, iter(at))


def _beyond(
    cell: Box, size_mm: tuple[float, float], place: tuple[int, int], board: Places
) -> Iterator[Box]:
    """What a page shows past its own part where no page is: sheets with next to nothing are left
    out, as their neighbours show it. What two show above each other only the one beside does.
    """
    (left, low, right, high), (wide, tall) = cell, size_mm
    column, row = place
    there = set(board.values())
    if (column - 1, row) not in there:
        yield (0.0, low, left, high)
    if (column + 1, row) not in there:
        yield (right, low, wide, high)
    for step, start, end in ((-1, 0.0, low), (1, high, tall)):
        if (column, row + step) not in there:
            first = left + (wide - right if (column - 1, row + step) in there else 0.0)
            last = right - (left if (column + 1, row + step) in there else 0.0)
            yield (first, start, last, end)
