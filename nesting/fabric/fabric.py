"""A fabric: a cloth with its width, its rules and its price. Lengths in millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from nesting.fabric.costing import Handling
from pieces.piece import Outline
from pieces.units import Unit, mm_per

MOST_TILT_DEG = 5.0
"""No cloth lets a piece turn farther off the grain (from memory: 2 to 3 percent at most)."""


class Nap(StrEnum):
    """Whether pieces may be turned end for end."""

    NONE = "none"
    ONE_WAY = "one-way"
    PER_GARMENT = "per-garment"


class Faces(StrEnum):
    """Whether the cloth's two faces are alike."""

    DIFFERENT = "different"
    ALIKE = "alike"


class LayName(StrEnum):
    """The ways cloth can lie on the table."""

    OPEN = "open"
    LENGTHWISE_FOLD = "lengthwise-fold"
    CROSSWISE_FOLD = "crosswise-fold"
    DOUBLE_FOLD = "double-fold"
    PARTIAL_FOLD = "partial-fold"
    QUARTER_FOLD = "quarter-fold"

    @property
    def words(self) -> str:
        """As people call it.

        >>> LayName.DOUBLE_FOLD.words
        'double fold'
        """
        return self.value.replace("-", " ")

    @property
    def folds(self) -> int:
        """How often the cloth is folded."""
        twice = (LayName.DOUBLE_FOLD, LayName.QUARTER_FOLD)
        return 0 if self is LayName.OPEN else 2 if self in twice else 1

    @property
    def folds_across(self) -> bool:
        """Whether the cut ends come together, so that half the length lies on the table."""
        return self in (LayName.CROSSWISE_FOLD, LayName.QUARTER_FOLD)


class Edge(StrEnum):
    """Which selvedge a border print runs along."""

    LOWER = "lower"
    UPPER = "upper"
    BOTH = "both"


@dataclass(frozen=True, slots=True)
class Repeat:
    """How far a print, stripes or checks run until they repeat; 0 where they don't.

    `from_edge_mm` is from the lower edge of the cloth to the middle of its first motif; where it
    is None, a motif stands in the middle of the width. `centred` tells that pieces want a motif
    at a place along it.
    """

    length_mm: float = 0.0
    width_mm: float = 0.0
    from_edge_mm: float | None = None
    centred: bool = False


@dataclass(frozen=True, slots=True)
class Border:
    """A print along a selvedge, and how far it reaches in from there."""

    edge: Edge
    depth_mm: float


@dataclass(frozen=True, slots=True)
class Price:
    """What the shop asks for `per_mm` of length (a metre or a yard)."""

    amount: Decimal
    currency: str
    per_mm: float

    @property
    def by_yards(self) -> bool:
        """Whether it is for a yard."""
        return self.per_mm == float(mm_per(Unit.YD))


@dataclass(frozen=True, slots=True)
class Bolt:
    """A length of a fabric that is there already: a whole bolt, or a remnant of one.

    Measured as it is now, selvedges and all; `washed` if it has shrunk already; `flaws` as those
    of a `Fabric`. `selvedge_mm` is what each of its two edges loses: None what the fabric's do, 0
    if it was cut off or out between them.
    """

    name: str
    length_mm: float
    width_mm: float
    washed: bool = False
    flaws: tuple[Outline, ...] = ()
    selvedge_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Fabric:
    """A cloth as the shop sells it.

    Attributes
    ----------
    width_mm, selvedge_mm : full width; what is lost at each of its two edges
    shrinkage_length, shrinkage_width : fractions lost in the first wash, 0.03 for 3 percent
    gap_mm : kept between pieces
    edge_gap_mm : kept to the cloth's edges and cut ends, not to a fold
    end_allowance_mm : for squaring the cut ends, once a purchase
    sold_by_mm, minimum_mm : step of the shop's counter, least it sells; 0 for exact lengths
    by_yards : whether the order is in inches: so lengths are told, and yards are asked for where
        neither step nor price tells how the shop counts
    tilt_deg : how far a piece may turn off the grain, either way; none does on a fold
    lays : the lays that the order allows, None for all
    flaws : places that nothing is cut from, on the flat cloth as bought, right side up: x from
        the squared cut end, y from the lower edge, selvedge and all
    in_hand : lengths of it that are there already and are used first
    repeat, border : of its print, as bought; None where it is plain
    handling : what the cutter's work at it costs; None where the order does not tell
    """

    name: str
    width_mm: float
    selvedge_mm: float = 0.0
    nap: Nap = Nap.NONE
    faces: Faces = Faces.DIFFERENT
    shrinkage_length: float = 0.0
    shrinkage_width: float = 0.0
    gap_mm: float = 0.0
    edge_gap_mm: float = 0.0
    end_allowance_mm: float = 0.0
    lays: tuple[LayName, ...] | None = None
    price: Price | None = None
    sold_by_mm: float = 0.0
    minimum_mm: float = 0.0
    flaws: tuple[Outline, ...] = ()
    in_hand: tuple[Bolt, ...] = ()
    tilt_deg: float = 0.0
    repeat: Repeat | None = None
    border: Border | None = None
    by_yards: bool = False
    handling: Handling | None = None

    @property
    def usable_width_mm(self) -> float:
        """Width between the selvedges, after the wash."""
        return (self.width_mm - 2 * self.selvedge_mm) * (1 - self.shrinkage_width)

    @property
    def washed_width_mm(self) -> float:
        """Full width, selvedges and all, after the wash."""
        return self.width_mm * (1 - self.shrinkage_width)

    @property
    def washed_selvedge_mm(self) -> float:
        """Width of one selvedge after the wash."""
        return self.selvedge_mm * (1 - self.shrinkage_width)

    @property
    def washed_repeat(self) -> Repeat:
        """The repeat after the wash; none where the cloth is plain."""
        bought = self.repeat or Repeat()
        across = 1 - self.shrinkage_width
        edge_mm = bought.from_edge_mm
        return Repeat(
            bought.length_mm * (1 - self.shrinkage_length),
            bought.width_mm * across,
            None if edge_mm is None else edge_mm * across,
            bought.centred,
        )

    @property
    def before_motif_mm(self) -> float:
        """What may go before the first motif, as bought, where motifs are centred along the cloth.

        It may begin anywhere in its repeat.
        """
        return self.repeat.length_mm if self.repeat is not None and self.repeat.centred else 0.0

    @property
    def washed_border_mm(self) -> float:
        """How deep the border is after the wash; 0 without one."""
        return 0.0 if self.border is None else self.border.depth_mm * (1 - self.shrinkage_width)
