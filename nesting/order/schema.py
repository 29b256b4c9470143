"""The tables of an order file as they are written: their keys, their types, what stands absent.

One dataclass a table. Lengths come out in mm, all else as it was written.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Annotated, Any, ClassVar, Literal

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo

from nesting.fabric.fabric import MOST_TILT_DEG, Edge, Faces, LayName, Nap
from nesting.order.faults import in_text, joined, nearest
from nesting.order.sheets import SheetKeys, Some
from nesting.order.traced import MarkTexts, TracedKeys
from pieces.check import FEWER_CORNERS, MOST_CORNERS, too_many_corners
from pieces.errors import BadValue
from pieces.fields import (
    Coordinate,
    Count,
    Degrees,
    Flag,
    Length,
    LengthOrZero,
    Money,
    Percent,
    Text,
)
from pieces.piece import GrainRule
from pieces.wording import either

SEAM_ALLOWANCE_MM = 10.0
HEM_ALLOWANCE_MM = 25.0
"""Allowances where the order names none: 1 cm and 2.5 cm (common practice)."""
_MOST_COPIES = 500
_MOST_FLAWS = 50
_CORNERS = either("Write outline = [[0, 0], [40, 0], [40, 30]].", "Give three corners or more.")
_MOST_SHRINKAGE = 50


def _defined(name: str, info: ValidationInfo) -> str:
    fabrics = info.context["fabrics"]  # type: ignore[index]
    if fabrics is not None and name not in fabrics:
        table = joined("fabric", name)
        hint = nearest(name, fabrics) or either(
            f"Add a table [{table}], or name a cloth it has.",
            "Choose one of the cloths, or add one.",
        )
        raise BadValue(f"The order has no cloth called '{name}'.", hint)
    return name


def _shaped(
    fits: Callable[[Any], bool], message: str, remedy: str, *on_form: str
) -> BeforeValidator:
    """Let pass what has the shape of a key; of anything else say how it is written."""

    def check(value: object) -> object:
        if not fits(value):
            raise BadValue(message, in_text(remedy, *on_form))
        return value

    return BeforeValidator(check)


def _is_table(value: Any) -> bool:
    return isinstance(value, dict)


def _is_list(value: Any) -> bool:
    return isinstance(value, list)


def _is_pair(value: Any) -> bool:
    return isinstance(value, list) and len(value) == 2


def _lists_tables(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(one, dict) for one in value)


def _names_tables(value: Any) -> bool:
    return isinstance(value, dict) and all(isinstance(one, dict) for one in value.values())


_BODY = _shaped(
    _is_table,
    "Body measures are given each by its name.",
    "Write body = { chest = 56, waist = 52 }.",
)
_TABLES = _shaped(
    _lists_tables,
    "Each one needs a table of its own.",
    "Head every table in double brackets: [[garment]], [[garment.part]], [[piece]] or [[seam]].",
)
_CLOTHS = _shaped(_names_tables, "Every cloth needs a table of its own.", "Head it [fabric.satin].")
_COSTING = _shaped(_is_table, "Work and prices need a table of their own.", "Head it [costing].")
_SHRINKAGE = _shaped(
    _is_table,
    "Shrinkage is given along and across, in percent.",
    "Write shrinkage = { length = 3, width = 1 }.",
)
_REPEAT = _shaped(
    _is_table,
    "A repeat is given along and across the cloth.",
    "Write repeat = { length = 32, width = 16 }, or one of the two.",
)
_BORDER = _shaped(
    _is_table,
    "A border is given by its selvedge and its depth.",
    'Write border = { edge = "lower", depth = 12 }.',
)
_NAMES = _shaped(
    _is_list, "Points are a list of names.", 'Write match = ["centre front", "waist"].'
)
_POINTS = _shaped(
    _names_tables,
    "Points are given each by its name and its place on the piece.",
    "Write points = { waist = { along = 30 }, notch = { along = 12, across = 8 } }.",
)
_LAYS = _shaped(
    lambda value: isinstance(value, list) and bool(value),
    "Lays are a list of at least one.",
    'Write lays = ["open"], or take the line out to allow all.',
    "Tick one, or none to allow all.",
)
_IN_HAND = _shaped(
    _is_list,
    "Cloth at hand is a list of lengths.",
    'Write in_hand = ["2.25 m", { length = "60 cm", width = "80 cm" }].',
)
_POINT = _shaped(_is_pair, "A point is two lengths, along and across.", "Write [12.5, 0].")
_SEGMENT = _shaped(
    _is_pair, "A line is two points, its beginning and end.", "Write [[0, 0], [40, 0]]."
)
_SPAN = _shaped(_is_pair, "Give both its edges, the lower one first.", "Write across = [20, 25].")


def _one_or_more(value: object) -> object:
    return value if isinstance(value, list) else [value]


def _outline(value: object) -> object:
    if not isinstance(value, list) or len(value) < 3:
        raise BadValue("An outline is at least three points.", _CORNERS)
    if len(value) > MOST_CORNERS:
        raise BadValue(too_many_corners(len(value)), FEWER_CORNERS)
    return value


def _flaws(value: object) -> object:
    if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
        remedy = in_text("Write flaws = [{ from = 40, to = 45, across = [20, 25] }].")
        raise BadValue("Flaws are a list, each with its place.", remedy)
    if len(value) > _MOST_FLAWS:
        raise BadValue(
            f"{len(value)} flaws are more than can be cut round.",
            f"Join those that lie close together to {_MOST_FLAWS} at most.",
        )
    return value


def _copies(value: int) -> int:
    if value > _MOST_COPIES:
        raise BadValue(
            f"{value} is more than one order can lay out.", f"Ask for {_MOST_COPIES} at most."
        )
    return value


def _shrinks(percent: float) -> float:
    if percent >= _MOST_SHRINKAGE:
        raise BadValue(
            f"No cloth for clothes shrinks by {percent:g} %.",
            "Give the percent lost in the first wash, such as 3 where 100 cm become 97 cm.",
        )
    return percent


def _tilts(degrees: float) -> float:
    if degrees > MOST_TILT_DEG:
        raise BadValue(
            f"A piece turned {degrees:g} degrees would hang askew.",
            f"Allow {MOST_TILT_DEG:g} degrees at most.",
        )
    return degrees


FabricName = Annotated[Text, AfterValidator(_defined)]
"""The name of a cloth that the order defines."""
Copies = Annotated[Count, AfterValidator(_copies)]
Shrinkage = Annotated[Percent, AfterValidator(_shrinks)]
Names = Annotated[list[Text], _NAMES]
Motif = Annotated[list[Text], BeforeValidator(_one_or_more)]
Points = Annotated[dict[Text, dict[str, Any]], _POINTS]
Tables = Annotated[list[dict[str, Any]], _TABLES]
Point = Annotated[tuple[Coordinate, Coordinate], _POINT]
Segment = Annotated[tuple[Point, Point], _SEGMENT]


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderTable:
    """The whole file."""

    name: Text | None = None
    units: Literal["mm", "cm", "in"]
    seam_allowance: LengthOrZero = SEAM_ALLOWANCE_MM
    hem_allowance: LengthOrZero = HEM_ALLOWANCE_MM
    fabric: Annotated[dict[str, dict[str, Any]], _CLOTHS] = field(default_factory=dict)
    garment: Tables = field(default_factory=list)
    piece: Tables = field(default_factory=list)
    seam: Tables = field(default_factory=list)
    notion: Tables = field(default_factory=list)
    wearers: Text | None = None
    costing: Annotated[dict[str, Any], _COSTING] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamTable:
    """Seams of ready pieces that are sewn to each other, each as "piece: seam".

    `this` is `longer` than `that` by so much, to be eased in.
    """

    what: Text
    this: Some
    that: Some
    longer: LengthOrZero = 0.0
    garment: Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShrinkageTable:
    """Percent lost in the first wash."""

    length: Shrinkage = 0.0
    width: Shrinkage = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RepeatTable:
    """How far a print runs until it repeats; from_edge places its first motif across."""

    length: Length | None = None
    width: Length | None = None
    from_edge: LengthOrZero | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BorderTable:
    """A print along a selvedge."""

    edge: Edge
    depth: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class PointTable:
    """A point of a ready piece: from the tail of its grain, from its right edge or its fold."""

    along: LengthOrZero | None = None
    across: LengthOrZero | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricTable:
    """One cloth."""

    width: Length
    selvedge: LengthOrZero = 0.0
    nap: Nap = Nap.NONE
    faces: Faces = Faces.DIFFERENT
    shrinkage: Annotated[dict[str, Any], _SHRINKAGE] = field(default_factory=dict)
    gap: LengthOrZero = 0.0
    edge_gap: LengthOrZero = 0.0
    tilt: Annotated[Degrees, AfterValidator(_tilts)] = 0.0
    end_allowance: LengthOrZero = 0.0
    lays: Annotated[list[LayName] | None, _LAYS] = None
    price: Money | None = None
    currency: Text | None = None
    per: Literal["m", "yd"] | None = None
    sold_by: Length | None = None
    minimum: LengthOrZero = 0.0
    flaws: Annotated[list[dict[str, Any]], BeforeValidator(_flaws)] = field(default_factory=list)
    in_hand: Annotated[list[Any], _IN_HAND] = field(default_factory=list)
    repeat: Annotated[dict[str, Any], _REPEAT] = field(default_factory=dict)
    border: Annotated[dict[str, Any] | None, _BORDER] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltTable:
    """A length of a cloth that is there already."""

    length: Length
    width: Length | None = None
    selvedge: LengthOrZero | None = None
    name: Text | None = None
    washed: Flag = False
    flaws: Annotated[list[dict[str, Any]], BeforeValidator(_flaws)] = field(default_factory=list)


@dataclass(frozen=True, slots=True, kw_only=True)
class FlawTable:
    """A flaw of a cloth: a stretch of its length, all across or in part, or an outline.

    x is from the squared cut end, y from the lower edge, selvedge and all, on cloth as bought.
    """

    WRITTEN: ClassVar[dict[str, str]] = {"start": "from", "stop": "to"}

    start: Annotated[LengthOrZero | None, Field(alias="from")] = None
    stop: Annotated[Length | None, Field(alias="to")] = None
    across: Annotated[tuple[LengthOrZero, Length] | None, _SPAN] = None
    outline: Annotated[list[Point] | None, BeforeValidator(_outline)] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GarmentTable:
    """One garment, or several alike."""

    name: Text
    wearer: Text | None = None
    quantity: Copies = 1
    priority: Count | None = None
    size: Text | None = None
    body: Annotated[dict[str, Any], _BODY] = field(default_factory=dict)
    part: Tables = field(default_factory=list)


@dataclass(frozen=True, slots=True, kw_only=True)
class PartTable:
    """What every part of a garment has; the measures of its draft stand beside these keys."""

    draft: Text | None = None
    fabric: FabricName
    lining: FabricName | None = None
    seam_allowance: LengthOrZero | None = None
    hem_allowance: LengthOrZero | None = None
    match: Names = field(default_factory=list)
    motif: Motif = field(default_factory=list)
    border: Flag = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceTable(TracedKeys):
    """A piece given as points."""

    STAND_IN: ClassVar[dict[str, object]] = {"name": "nameless", "fabric": "none"}

    name: Text
    fabric: FabricName
    outline: Annotated[list[Point], BeforeValidator(_outline)]
    grain: Segment | None = None
    on_fold: Segment | None = None
    second_fold: Segment | None = None
    cut: Copies = 1
    pair: Flag = False
    grain_rule: GrainRule = GrainRule.LENGTHWISE
    garment: Text = ""
    allowance: LengthOrZero | None = None
    points: Points = field(default_factory=dict)
    match: Names = field(default_factory=list)
    motif: Motif = field(default_factory=list)
    border: Flag = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawingTable(SheetKeys):
    """Pieces in a drawing file, which a garment has for a part; what stands absent the file tells.

    `fabric` is for pieces whose material in the file is no cloth of the order. `grain` gives the
    way of the thread in the drawing, for pieces that show none; `marks` tell of folds, grain,
    notches and seams by the numbers of corners.
    """

    STAND_IN: ClassVar[dict[str, object]] = {"file": "none", "fabric": "none"}

    file: Text
    fabric: FabricName
    name: Text | None = None
    unit: Literal["mm", "cm", "in"] | None = None
    cut: Copies | None = None
    pair: Flag | None = None
    grain: Segment | None = None
    grain_rule: GrainRule | None = None
    marks: MarkTexts = field(default_factory=list)
    allowance: LengthOrZero | None = None
    points: Points = field(default_factory=dict)
    match: Names = field(default_factory=list)
    motif: Motif = field(default_factory=list)
    border: Flag = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyDrawingTable(DrawingTable):
    """Pieces in a drawing file that stand by themselves."""

    garment: Text = ""
