"""What is written on each piece of a cutting plan, and what its key must say instead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, partial
from typing import TYPE_CHECKING

from nesting.fabric.fabric import Nap
from nesting.fabric.lay import End, lay_under, section_lay
from nesting.fabric.marker import Placement
from nesting.fabric.plans import FabricPlan
from nesting.output import words
from nesting.output.drawing import key
from nesting.output.drawing.cloth import flaws_in
from nesting.output.drawing.label import Label, Words, disc, fitted
from nesting.output.drawing.piece_lines import fold_arrows, notch_lines
from nesting.output.drawing.printed import print_entries
from nesting.output.drawing.rows import Arrangement, Extent, Row, arrange
from nesting.output.drawing.shape import Shape, laid, opened_about, shape_of
from pieces.piece import Line

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

_LEAST_SEEN_MM2 = 0.5


@dataclass(frozen=True, slots=True)
class Part:
    """A placement with its number, its lines where it lies, and what is said of it."""

    number: int
    placement: Placement
    shape: Shape
    notes: str

    @property
    def span_mm(self) -> tuple[float, float]:
        """From where to where it reaches along the cloth."""
        xs = [x for x, _ in self.placement.outline_mm]
        return min(xs), max(xs)

    @property
    def in_full(self) -> str:
        """All of it on one line."""
        name = words.named(self.placement.piece, self.placement.garment)
        return f"{name}: {self.notes}" if self.notes else name

    @property
    def texts(self) -> list[list[list[Words]]]:
        """What to write on the piece, the fullest first; the first says all there is to say."""
        name: Words = (f"{self.number} {self.placement.piece}", True)
        owner = self.placement.garment
        garment: list[Words] = [(owner, False)] if owner else []
        notes: list[Words] = [(self.notes, False)] if self.notes else []
        one_line: list[Words] = [(f"{self.number} {self.in_full}", True)]
        number: list[Words] = [(str(self.number), True)]
        return [[[name, *garment, *notes], one_line], [[name, *garment]], [[name]], [number]]


@dataclass(frozen=True, slots=True)
class Named:
    """A part with a label, and whether the label says all or says it again."""

    part: Part
    label: Label
    whole: bool


def parts_of(entry: FabricPlan) -> list[Part]:
    """The placements of a cloth, numbered in laying order."""
    pieces = {piece.key: piece for piece in entry.pieces}
    placements = words.in_laying_order(entry.marker.placements)
    copies = words.copies(placements)
    parts = []
    for number, placement in enumerate(placements, start=1):
        of = (placement.garment, placement.piece)
        notes = ", ".join(words.notes(placement, copies[of]))
        about = opened_about(pieces[of], placement)
        lines = laid(shape_of(pieces[of], about), placement)
        parts.append(Part(number, placement, lines, notes))
    return parts


def settled(
    entry: FabricPlan, extent: Extent, parts: Sequence[Part], fills: Mapping[str, key.Fill]
) -> tuple[Arrangement, list[Named], list[key.Entry]]:
    """The page, its labels and its key; a label that moves to the key may shrink the page.

    `fills` are those of the garments.
    """
    numbered: dict[int, Part] = {}
    named: list[Named] = []
    rows: tuple[Row, ...] = ()
    while True:
        entries = _key_entries(entry, parts, fills, list(numbered.values()))
        page = arrange(extent, cache(partial(key.height_mm, entries)))
        if page.rows != rows:
            rows, named = page.rows, _all_labels(parts, extent, page)
        short = {one.part.number: one.part for one in named if not one.whole}
        if short.keys() <= numbered.keys():
            return page, named, entries
        numbered |= short


def _all_labels(parts: Sequence[Part], extent: Extent, page: Arrangement) -> list[Named]:
    named: list[Named] = []
    for part in parts:
        named += _labels(part, extent, page, [one.label for one in named])
    return named


def _key_entries(
    entry: FabricPlan,
    parts: Sequence[Part],
    fills: Mapping[str, key.Fill],
    numbered: Sequence[Part],
) -> list[key.Entry]:
    """Whose colour is whose, the lines that this plan has, and pieces that say too little."""
    here = {part.placement.garment for part in parts}
    entries = []
    if any(here):
        shown = ((name, fill) for name, fill in fills.items() if name in here)
        entries.append(key.Entry("Garments", heading=True))
        entries += [key.Entry(name or "no garment", garment=fill) for name, fill in shown]
    entries.append(key.Entry("Lines", heading=True))
    entries += _line_entries(entry, [part.shape for part in parts])
    if numbered:
        entries.append(key.Entry("Numbered pieces", heading=True))
        in_order = sorted(numbered, key=lambda part: part.number)
        entries += [key.Entry(part.in_full, number=str(part.number)) for part in in_order]
    return entries


def _line_entries(entry: FabricPlan, shapes: Sequence[Shape]) -> list[key.Entry]:
    lay = lay_under(entry.marker, entry.fabric)
    if entry.marker.opened_from_mm is not None:
        lay = section_lay(entry.fabric, lay)
    loose_end = lay.far is End.EDGE
    to_the_end = any(r.x_mm + r.length_mm > entry.table_length_mm for r in entry.remnants)
    lines = (
        (key.CUT_LINE, True),
        (key.SEWING_LINE, any(shape.sewing for shape in shapes)),
        (key.DRAWN_LINE, any(shape.drawn for shape in shapes)),
        (key.FOLD_EDGE, any(shape.folds for shape in shapes)),
        (key.OPENED_OUT, any(shape.centres for shape in shapes)),
        (key.EITHER_WAY, entry.fabric.nap is Nap.NONE),
        (key.ONE_WAY, entry.fabric.nap is not Nap.NONE),
        (key.SELVEDGES, True),
        (key.END_OF_FOLD, entry.marker.opened_from_mm is not None),
        (key.END_OF_CLOTH, loose_end and to_the_end),
        (key.END_OF_PIECES, loose_end and not to_the_end),
        (key.REMNANT, bool(entry.remnants)),
        (key.FLAW, bool(flaws_in(entry))),
    )
    return [line for line, present in lines if present] + print_entries(entry)


def _labels(part: Part, extent: Extent, page: Arrangement, others: Sequence[Label]) -> list[Named]:
    """The label of a part, and its number again in every other row that it reaches into."""
    seen = sorted(_seen(part, extent, page), key=lambda found: -float(found[1].area))
    named = []
    for index, (row, room) in enumerate(seen):
        goes_on: list[list[Words]] = [[(f"{part.number} goes on", True)]]
        texts = part.texts if index == 0 else [goes_on, part.texts[-1]]
        grain = part.placement.grain_deg
        label = fitted(_rooms(part.shape, row, room), texts, grain)
        whole = index > 0 or (label is not None and label.text == 0)
        label = label or fitted([room], texts[-1:], grain) or disc(room, str(part.number), others)
        named.append(Named(part, label, whole))
    return named


def _seen(part: Part, extent: Extent, page: Arrangement) -> Iterator[tuple[Row, BaseGeometry]]:
    """What is seen of a part in each row, on the page."""
    from shapely.geometry import Polygon, box

    for row in page.rows:
        window = box(row.left, row.y(extent.low_mm), row.right, row.y(extent.high_mm))
        outline = Polygon(row.on_page(part.placement.outline_mm)).buffer(0)
        seen = _largest(outline.intersection(window))
        if seen.area > _LEAST_SEEN_MM2:
            yield row, seen


def _rooms(shape: Shape, row: Row, seen: BaseGeometry) -> list[BaseGeometry]:
    """Where its text may stand: clear of all lines, or on stitching and middle."""
    from shapely.geometry import MultiLineString

    def without(*lines: Line) -> BaseGeometry:
        barrier = MultiLineString([line for line in lines if len(line) > 1])
        return _largest(seen.difference(barrier.buffer(0.2)))

    lines = (*shape.drawn, *shape.inside)
    drawn = [*(row.on_page(line) for line in lines), *fold_arrows(shape, row)]
    drawn += notch_lines(shape, row)
    light = [row.on_page(line) for line in (*shape.sewing, *shape.centres)]
    return [without(*drawn, *light), without(*drawn)]


def _largest(shape: BaseGeometry) -> BaseGeometry:
    parts = list(getattr(shape, "geoms", [shape]))
    return max(parts, key=lambda part: float(part.area), default=shape)
