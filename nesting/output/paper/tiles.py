"""Pieces or a marker at true size on pages of A4 or Letter, in one PDF.

The first page says how to print, with two squares to measure; the next show how the pages go
together. On every other page the solid line at the left or below is where the page is cut, the
dashed line at the right or above is where its neighbour's cut edge comes to lie.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from nesting.fabric.plans import FabricPlan
from nesting.output import words
from nesting.output.allowances import is_plain_strip, strip_told
from nesting.output.drawing import key
from nesting.output.drawing.cloth import drawn, stretches
from nesting.output.drawing.label import fitted
from nesting.output.drawing.naming import parts_of
from nesting.output.drawing.piece_lines import draw_shape, grain_arrow
from nesting.output.drawing.rows import Row
from nesting.output.drawing.shape import shape_of
from nesting.output.drawing.sheet import (
    DASHED,
    FAINT,
    INK,
    SMALLEST_POINT,
    Sheet,
    line_height_mm,
    pages_pdf,
    rectangle,
    shortened,
    size_to_fit,
    text_width_mm,
)
from nesting.output.paper.strips import heading, strips_laid, text_pages
from nesting.output.paper.tiling import (
    LAP_MM,
    MARGIN_MM,
    Board,
    Item,
    Paper,
    Tile,
    board_of_marker,
    boards_of,
    pages_needed,
)
from pieces.geometry import bounds
from pieces.piece import Line, Piece
from pieces.units import Unit, format_length

TEN_CM_MM, FOUR_IN_MM = 100.0, 101.6
_NOTCH_MM = 5.0
_CROSS_MM = 4.0
_CLEAR_MM = 1.5
"""Kept between the thread line and what is written on a piece."""
_LABEL_PT = 9.0
_FOLD_TEXT_MM, _LEAST_FOLD_MM = 5.0, 80.0
"""How far the words lie from the fold edge; with less of it on a page they are left out."""
_WATERMARK = "#dddddd"
_MOST_CELLS = 12
"""Boards on one page of the overview."""


def pieces_tiles(name: str, pieces: Sequence[Piece], unit: Unit, paper: Paper) -> bytes:
    """A PDF of the pieces at true size; a piece on the fold is drawn as its half.

    Pieces of one shape, such as a bodice and its lining, are drawn once.
    """
    tape = words.tape(unit)
    groups = [(group, _item(group, tape)) for group in _of_one_shape(pieces)]
    items = [item for _, item in groups if not item.plain or pages_needed(item, paper) == 1]
    told = [
        strip_told(piece, tape) for group, item in groups if item not in items for piece in group
    ]
    return _pdf(f"{name}: pieces at true size", boards_of(items, paper), paper, told)


def marker_tiles(name: str, entry: FabricPlan, paper: Paper, unit: Unit = Unit.CM) -> bytes:
    """A PDF of one cloth's layout at true size, to be laid on the cloth and cut through."""
    plain = {piece.key for piece in entry.pieces if is_plain_strip(piece)}
    told = strips_laid(entry, plain, words.tape(unit))
    entry = drawn(entry)
    items = [
        Item(
            part.shape,
            words.named(part.placement.piece, part.placement.garment),
            tuple(filter(None, (part.notes,))),
            (part.placement.garment, part.placement.piece) in plain,
        )
        for part in parts_of(entry)
    ]
    lines: list[Line] = []
    for stretch in stretches(entry.marker, entry.fabric, entry.table_length_mm):
        start, end, low, high = stretch.start_mm, stretch.end_mm, stretch.low_mm, stretch.high_mm
        lines += [((start, y), (end, y)) for y in (low, high, *stretch.lay.inner_edges_mm)]
        lines += [((x, low), (x, high)) for x in (start, end)]
    title = f"{entry.title}, {words.called(entry.marker)}"
    board = board_of_marker(title, items, lines, paper)
    title = f"{name}: layout of {entry.title} at true size"
    return _pdf(title, [board] if board.tiles else [], paper, told)


def _of_one_shape(pieces: Sequence[Piece]) -> list[list[Piece]]:
    """The pieces, those whose every line is the same together."""
    groups: dict[object, list[Piece]] = {}
    for piece in pieces:
        shape = replace(piece, name="", garment="", fabric="", cut=1, pair=False, seams=(), joins=0)
        groups.setdefault(shape, []).append(piece)
    return list(groups.values())


def _item(group: Sequence[Piece], unit: Unit) -> Item:
    first = group[0]
    what = [f"{words.to_cut(piece)}, {piece.fabric}" for piece in group]
    if len(group) > 1:
        names = (words.named(piece.name, piece.garment) for piece in group)
        what = [f"{name}: {text}" for name, text in zip(names, what, strict=True)]
    facts = (*what, _size(first, unit), *words.slit(first, unit))
    plain = is_plain_strip(first)
    return Item(shape_of(first), words.named(first.name, first.garment), facts, plain)


def _size(piece: Piece, unit: Unit) -> str:
    left, low, right, high = bounds(piece.outline)
    along, across = format_length(right - left, unit), format_length(high - low, unit)
    return f"{along} along the grain by {across} across it"


def _pdf(title: str, boards: Sequence[Board], paper: Paper, told: Sequence[str]) -> bytes:
    return pages_pdf(_pages(title, boards, paper, told), title)


def _pages(
    title: str, boards: Sequence[Board], paper: Paper, told: Sequence[str]
) -> Iterator[Sheet]:
    """The pages one after another, so that no more than one is held at a time.

    `told` are pieces that measures alone tell, which have no pages.
    """
    views = math.ceil(len(boards) / _MOST_CELLS)
    strips = list(text_pages("Plain strips: mark these with tape and ruler", told, paper))
    count = sum(len(board.tiles) for board in boards) + len(strips)
    yield _first_page(title, paper, count + views + 1)
    yield from strips
    firsts: list[int] = []
    page = views + len(strips) + 2
    for board in boards:
        firsts.append(page)
        page += len(board.tiles)
    for view in range(views):
        some = slice(view * _MOST_CELLS, (view + 1) * _MOST_CELLS)
        yield _overview(title, boards[some], firsts[some], paper)
    for board in boards:
        for tile in board.tiles:
            yield _tile_page(title, board, tile)


def _sheet(title: str, paper: Paper) -> Sheet:
    return Sheet(*paper.size_mm, title)


def _first_page(title: str, paper: Paper, count: int) -> Sheet:
    """How to print, and two squares that tell whether it came out at true size."""
    sheet = _sheet(title, paper)
    top = heading(sheet, title)
    lap = f"{format_length(LAP_MM, Unit.CM)} (about {format_length(LAP_MM, Unit.IN, finest=8)})"
    left = MARGIN_MM + FOUR_IN_MM + 8
    steps = (
        f"{count} pages of {paper.written}.",
        "1. Print this page alone, at 100 %, without fitting it to the page.",
        "2. Measure both squares. If either is off, change the printer's scale to 100 % and "
        "print again; cut nothing before they measure right.",
        "3. Print the rest. The pages that follow this one show how they go together.",
        "4. Cut each page along its solid line at the left and below.",
        f"5. Stick the cut edge on the dashed line of its neighbour. Pages share {lap}; the "
        "crosses come to lie on each other.",
        "6. Cut the piece along its heavy line. Don't cut an edge that is marked to lie on the "
        "fold.",
        "Grey thin lines are the sewing lines, the long arrow is the thread line, short strokes "
        "across the edge are notches.",
    )
    y = top
    for step in steps:
        for line in key.wrapped(step, 9.0, sheet.width_mm - MARGIN_MM - left):
            sheet.text((left, y), line, 9.0)
            y -= 4.6
        y -= 2.6
    low = top - FOUR_IN_MM
    for side, text in ((FOUR_IN_MM, "4 in"), (TEN_CM_MM, "10 cm")):
        square = rectangle(MARGIN_MM, low, side, side)
        sheet.area(square, "none", edge=INK, width_pt=0.5, layer=3)
        middle = (MARGIN_MM + side / 2, low + side / 2)
        sheet.text(middle, f"{text} each way", 11.0, bold=True, align="center")
        low -= TEN_CM_MM + 10
    return sheet


def _overview(title: str, boards: Sequence[Board], firsts: Sequence[int], paper: Paper) -> Sheet:
    """Each board small, with the names of its pages."""
    sheet = _sheet(title, paper)
    top = heading(sheet, "How the pages go together")
    columns = 1 if len(boards) == 1 else 2 if len(boards) <= 6 else 3
    rows = math.ceil(len(boards) / columns)
    wide = (sheet.width_mm - 2 * MARGIN_MM) / columns
    high = (top - MARGIN_MM) / rows
    for index, (board, first) in enumerate(zip(boards, firsts, strict=True)):
        row, column = divmod(index, columns)
        left, upper = MARGIN_MM + column * wide, top - row * high
        last = first + len(board.tiles) - 1
        pages = f"page {first}" if first == last else f"pages {first} to {last}"
        name = shortened(f"{board.letter}  {board.title}", 9.0, wide - 4, bold=True)
        sheet.text((left, upper - 2), name, 9.0, bold=True)
        sheet.text((left, upper - 6.5), pages, 8.0, colour=FAINT)
        _small_board(sheet, board, (left, upper - high + 6), (wide - 6, high - 18))
    return sheet


def _small_board(
    sheet: Sheet, board: Board, corner: tuple[float, float], room: tuple[float, float]
) -> None:
    """One board in a room of the page, with its grid."""
    (step_x, step_y), last = board.paper.step_mm, LAP_MM
    columns = max(tile.column for tile in board.tiles) + 1
    rows = max(tile.row for tile in board.tiles) + 1
    across, up = columns * step_x + last, rows * step_y + last
    scale = min(room[0] / across, room[1] / up)
    row = Row(0.0, across, corner[0], corner[1] + room[1] - up * scale, scale)
    for item in board.items:
        sheet.area(row.on_page(item.shape.outline), "#efe9dc", edge=INK, width_pt=0.7, layer=2)
        for edge in item.shape.folds:
            sheet.line(row.on_page(edge), 1.8, layer=4)
    for line in board.edges:
        sheet.line(row.on_page(line), 0.7)
    width, height = step_x + LAP_MM, step_y + LAP_MM
    size, turn_deg = _label_type(board, step_x * scale, step_y * scale)
    for tile in board.tiles:
        x, y = board.origin_mm(tile)
        frame = rectangle(row.x(x), row.y(y), width * scale, height * scale)
        sheet.area(frame, "none", edge=FAINT, width_pt=0.4, layer=5)
        middle = (row.x(x + width / 2), row.y(y + height / 2))
        name = board.label(tile)
        sheet.text(
            middle, name, size, bold=True, align="center", turn_deg=turn_deg, backing="white"
        )


def _label_type(board: Board, wide_mm: float, high_mm: float) -> tuple[float, float]:
    """Size of type and turn for the names of pages that are so large in the overview.

    Many pages in a row are so narrow there that their names stand upright.
    """
    longest = max((board.label(tile) for tile in board.tiles), key=len)
    if text_width_mm(longest, _LABEL_PT, bold=True) + 1 <= wide_mm:
        return _LABEL_PT, 0.0
    size = size_to_fit(longest, _LABEL_PT, high_mm - 1, bold=True)
    return max(SMALLEST_POINT, min(size, wide_mm / line_height_mm(1.0))), 90.0


def _tile_page(title: str, board: Board, tile: Tile) -> Sheet:
    """One page at true size."""
    sheet = _sheet(title, board.paper)
    x, y = board.origin_mm(tile)
    width, height = (side - 2 * MARGIN_MM for side in board.paper.size_mm)
    row = Row(x, x + width, MARGIN_MM, MARGIN_MM - y, 1.0)
    clip = sheet.window(MARGIN_MM, MARGIN_MM, width, height)
    middle = (MARGIN_MM + width / 2, MARGIN_MM + height / 2)
    label = board.label(tile)
    sheet.text(middle, label, 90.0, bold=True, colour=_WATERMARK, align="center", layer=0)
    for item in board.items:
        left, low, right, high = bounds(item.shape.outline)
        if right < x or left > x + width or high < y or low > y + height:
            continue
        draw_shape(sheet, row, item.shape, key.NO_FILL, clip, notch_mm=_NOTCH_MM)
        sheet.arrow(
            *grain_arrow(item.shape, row), both=False, width_pt=1.2, head_size=2.5, clip=clip
        )
        _write(sheet, board, tile, item, row)
        for edge in item.shape.folds:
            _name_fold(sheet, edge, item, row, (y, y + height))
    for line in board.edges:
        sheet.line(row.on_page(line), 0.8, dashes=DASHED, clip=clip)
    _joins(sheet, board, tile)
    _footer(sheet, title, board, tile)
    return sheet


def _write(sheet: Sheet, board: Board, tile: Tile, item: Item, row: Row) -> None:
    """The item's name and facts, on that of its pages which shows most of it; and its fold."""
    from shapely.affinity import translate
    from shapely.geometry import LineString, Polygon, box

    region = Polygon(item.shape.outline).buffer(0)
    width, height = (side - 2 * MARGIN_MM for side in board.paper.size_mm)

    def seen(one: Tile) -> float:
        x, y = board.origin_mm(one)
        return float(region.intersection(box(x, y, x + width, y + height)).area)

    if max(board.tiles, key=seen) != tile:
        return
    x, y = board.origin_mm(tile)
    part = region.intersection(box(x, y, x + width, y + height))
    room = translate(part, row.x(0.0), row.y(0.0)).buffer(-3)
    clear = room.difference(LineString(grain_arrow(item.shape, row)).buffer(_CLEAR_MM))
    largest = max(getattr(clear, "geoms", [clear]), key=lambda one: float(one.area), default=clear)
    rooms = [largest, room]
    facts = [(fact, False) for fact in item.facts]
    label = fitted(rooms, [[[(item.name, True), *facts]], [[(item.name, True)]]], None)
    if label is not None:
        label.draw(sheet, 0.0, both_ways=False, backing="white")


def _name_fold(sheet: Sheet, edge: Line, item: Item, row: Row, reach: tuple[float, float]) -> None:
    """Say along a fold edge that it isn't cut, where enough of it is on the page."""
    (x0, y0), (x1, y1) = edge
    upright = abs(x1 - x0) < abs(y1 - y0)
    ends = sorted((y0, y1)) if upright else sorted((x0, x1))
    page = reach if upright else (row.start_mm, row.end_mm)
    start, end = max(ends[0], page[0]), min(ends[1], page[1])
    if end - start < _LEAST_FOLD_MM:
        return
    _, _, right, upper = bounds(item.shape.outline)
    inward = _FOLD_TEXT_MM
    if (right <= x0 + inward) if upright else (upper <= y0 + inward):
        inward = -inward
    middle = (start + end) / 2
    at = (row.x(x0 + inward), row.y(middle)) if upright else (row.x(middle), row.y(y0 + inward))
    text = "lay this edge on the fold, don't cut it"
    sheet.text(at, text, 9.0, bold=True, align="center", turn_deg=90.0 if upright else 0.0)


def _joins(sheet: Sheet, board: Board, tile: Tile) -> None:
    """Where the page is cut, where its neighbours come to lie, and crosses that must meet."""
    width, height = (side - 2 * MARGIN_MM for side in board.paper.size_mm)
    left, low = MARGIN_MM, MARGIN_MM
    right, high = left + width, low + height
    edge, top, aside, up = right - LAP_MM, high - LAP_MM, low + height / 4, left + width / 4
    sides = (
        ((-1, 0), ((left, low), (left, high)), (left + 3.0, aside), 90.0),
        ((0, -1), ((left, low), (right, low)), (up, low + 3.0), 0.0),
        ((1, 0), ((edge, low), (edge, high)), (edge + LAP_MM / 2, aside), 90.0),
        ((0, 1), ((left, top), (right, top)), (up, top + LAP_MM / 2), 0.0),
    )
    for (columns, rows), line, at, turn_deg in sides:
        other = board.beside(tile, columns, rows)
        if other is None:
            continue
        cut = columns + rows < 0
        if cut:
            sheet.line(line, 0.5, layer=5)
        else:
            sheet.line(line, 0.5, dashes=DASHED, layer=5)
        text = f"cut here, stick on {board.label(other)}" if cut else f"{board.label(other)} here"
        sheet.text(at, text, 7.5, align="center", turn_deg=turn_deg, backing="white")
        for mark in _marks(line, 0.0 if cut else _CROSS_MM):
            sheet.line(mark, 0.5, layer=5)


def _marks(line: Line, before_mm: float) -> Iterator[Line]:
    """Crosses on a shared line; they reach so far to its left or below it.

    Both pages reckon them from the same corner of the frame, so that they fall together. What
    lies before a cut line goes when the page is cut.
    """
    (x0, y0), (x1, y1) = line
    upright = x0 == x1
    step = (y1 - y0 if upright else x1 - x0) - LAP_MM
    for share in (1 / 8, 1 / 2, 7 / 8):
        x, y = (x0, y0 + share * step) if upright else (x0 + share * step, y0)
        left, low = (before_mm, _CROSS_MM) if upright else (_CROSS_MM, before_mm)
        yield ((x - left, y), (x + _CROSS_MM, y))
        yield ((x, y - low), (x, y + _CROSS_MM))


def _footer(sheet: Sheet, title: str, board: Board, tile: Tile) -> None:
    """What the page is, in the lower margin, which goes when the page is cut."""
    text = (
        f"{board.label(tile)}   {board.title}, page {tile.number} of {len(board.tiles)}, "
        f"column {tile.column + 1}, row {tile.row + 1}   {title}; print at 100 %"
    )
    room = sheet.width_mm - 2 * MARGIN_MM
    sheet.text((MARGIN_MM, MARGIN_MM - 3.2), shortened(text, 7.0, room), 7.0, colour=FAINT)
