"""What plan.json and compare.json hold, key by key: types that the code is held to.

Their JSON Schemas are made of these, with the sentence below each key. Lengths (`_mm`) are in mm
and angles (`_deg`) in degrees anticlockwise, on washed cloth unless a key says "as bought". What
the axes are, and how a plan is checked, stands in the README of `output`.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypedDict

from nesting.fabric.fabric import LayName
from nesting.fabric.plans import Ended
from nesting.output.files.cloth_records import FabricRecord, LayRecord
from nesting.output.files.notion_data import NotionRecord
from nesting.output.files.values import (
    Cost,
    Count,
    FromOne,
    Length,
    Line,
    Name,
    Number,
    Outline,
    Point,
    Segment,
    closed,
)
from pieces.piece import GrainRule


@closed
class StripRecord(TypedDict):
    """The strip that a piece is a part of."""

    name: Name
    """Pieces of one garment and cloth with this name make it."""
    length_mm: Length
    """How long it is whole."""


@closed
class PiecePointRecord(TypedDict):
    """A named point of a piece."""

    name: Name
    """What it is called."""
    at_mm: Point
    """Where it is."""
    along: bool
    """Whether its place along the grain counts."""
    across: bool
    """Whether its place across the grain counts."""


@closed
class SeamRecord(TypedDict):
    """A line of a piece that is sewn."""

    name: Name
    """What it is called."""
    length_mm: Length
    """How long it is."""
    line_mm: Line
    """Where it is."""


@closed
class PieceRecord(TypedDict):
    """One piece, in axes of its own: the grain points along x."""

    garment: str
    """The garment that it is for; empty if it is for none."""
    piece: Name
    """What it is called; no other of the garment is called so."""
    fabric: Name
    """The cloth that it is cut from, by its name."""
    cut: FromOne
    """Parts that are wanted; pairs of them, if it is a pair."""
    pair: bool
    """Whether one as drawn and one mirrored are wanted each time."""
    joins: Count
    """Joins of the strip that it is a part of, told by one of its pieces."""
    strip: StripRecord | None
    """The strip that it is a part of; null if it is of none."""
    on_fold: bool
    """Whether it is drawn for a fold, and is half of what is cut."""
    second_fold: bool
    """Whether it is drawn for two folds, and is a quarter of what is cut."""
    hole_mm: list[Point]
    """The edge of a hole round the corner of two folds; empty without one."""
    slit_mm: list[Point]
    """A line that is cut once it lies opened out; empty without one."""
    grain_rule: GrainRule
    """How its thread line may lie to the length of the cloth."""
    grain_mm: Segment
    """Its thread line, from tail to head."""
    fold_edges_mm: Annotated[list[Segment], Field(max_length=2)]
    """The edges that may lie on a fold."""
    match: list[Name]
    """Points at which the print meets."""
    motif: list[Name]
    """Points at which a motif is centred."""
    border: bool
    """Whether its hem lies on a border along a selvedge."""
    hem_mm: Length
    """From its cut edge up to the finished hem, where it lies on a border; else 0."""
    points: list[PiecePointRecord]
    """All its points that have names."""
    area_mm2: Annotated[Number, Field(gt=0)]
    """The area in its outline, in square millimetres."""
    outline_mm: Outline
    """Its cut line, as drawn; the last point is not the first again."""
    seams: list[SeamRecord]
    """Its lines that are sewn."""


@closed
class SeamCheckRecord(TypedDict):
    """Two lengths that are sewn together."""

    what: Name
    """Which seam."""
    garment: str
    """Of which garment."""
    this_mm: Number
    """The one length."""
    that_mm: Number
    """The other."""
    difference_mm: Number
    """This less that."""
    allowed_mm: Length
    """By how much they may differ."""
    ok: bool
    """Whether they differ by no more."""


@closed
class FindingRecord(TypedDict):
    """Something worth knowing."""

    code: Name
    """What it is; a code never changes its meaning."""
    message: Name
    """The same in words."""
    key: str
    """The key of the order that it speaks of, as faults name it; empty for none or several."""


@closed
class PlanRecord(TypedDict):
    """A cutting plan. Lengths are in mm and angles in degrees anticlockwise, on washed cloth unless
    a key says "as bought". On the table x runs along the cloth and y across it, from the fold or
    the inside of the lower selvedge. The rest stands in the README of `nesting/output`."""

    format: Literal[1]
    """The format; raised only when a key changes its meaning."""
    order: Name
    """The name of the order."""
    seed: int
    """The seed of the search."""
    seconds: Length
    """How long it was searched, in seconds."""
    ended: Ended
    """Why the search ended."""
    totals: dict[str, Cost]
    """What all that is bought costs, by currency."""
    fabrics: list[FabricRecord]
    """The cloths: an entry for each length in hand that is cut from and one for what is bought."""
    pieces: list[PieceRecord]
    """The pieces."""
    seam_checks: list[SeamCheckRecord]
    """Lengths that are sewn together, compared."""
    notions: list[NotionRecord]
    """What is bought besides cloth."""
    findings: list[FindingRecord]
    """What is worth knowing."""
    cautions: list[Name]
    """What to take care of, a sentence each."""


@closed
class PlainRecord(TypedDict):
    """What a cloth with a print would take at one width if the print need not meet."""

    width_mm: Length
    """Full width of the cloth, as bought."""
    purchase_mm: Length
    """What would be bought, as bought."""


@closed
class NoRoomRecord(TypedDict):
    """A lay that has no room for the pieces at one width."""

    width_mm: Length
    """Full width of the cloth, as bought."""
    lay: LayName
    """How the cloth would be folded."""


@closed
class ComparedClothRecord(TypedDict):
    """One cloth on every lay and at every width asked."""

    name: Name
    """The cloth, as the order calls it."""
    lays_compared: list[LayRecord]
    """Every lay that was tried at each width, the narrowest first."""
    plain: list[PlainRecord]
    """For each width what plain cloth would take; empty where no piece asks for a print."""
    no_room: list[NoRoomRecord]
    """Lays without room for the pieces."""


@closed
class ComparisonRecord(TypedDict):
    """Lays and widths of an order side by side. Lengths are in mm, on washed cloth unless a key
    says "as bought"."""

    format: Literal[1]
    """The format; raised only when a key changes its meaning."""
    order: Name
    """The name of the order."""
    seed: int
    """The seed of the search."""
    seconds: Length
    """How long it was searched, in seconds."""
    complete: bool
    """Whether all was tried; false after Ctrl-C."""
    fabrics: list[ComparedClothRecord]
    """The cloths."""
