"""A plan: for each cloth the marker, what to buy and what it costs; all that writers need."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from nesting.fabric.costing import Costing
from nesting.fabric.fabric import Bolt, Fabric, LayName
from nesting.fabric.marker import Marker
from nesting.fabric.notions import NotionPurchase
from pieces.piece import Finding, Piece, SeamCheck, Sewing
from pieces.units import Unit


def title_of(fabric: Fabric, bolt: Bolt | None) -> str:
    """What a cloth is called in a plan: by its name, and by that of the length in hand it is of."""
    return fabric.name if bolt is None else f"{fabric.name}, {bolt.name}"


@dataclass(frozen=True, slots=True)
class Purchase:
    """What to ask for at the counter.

    `steps` are the sums from the marker's length to the purchase, in words;
    `text` names it in metres and in yards, each rounded up on its own step.
    """

    length_mm: float
    text: str
    cost: Decimal | None
    currency: str
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ComparedLay:
    """One lay that was tried, and what came of it; `least_possible_mm` is its own bound.

    `joins` are those of strips joined end to end, in all pieces together; `opened_from_mm` is as
    in `Marker`. `may_lose_mm` is how much shorter a search as long again may make it: what is told
    of two lays is no surer than that.
    """

    lay: LayName
    width_mm: float
    length_mm: float
    least_possible_mm: float
    purchase_mm: float
    cost: Decimal | None
    waste_percent: float
    cut_outlines: int
    cut_metres: float
    joins: int = 0
    opened_from_mm: float | None = None
    may_lose_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Remnant:
    """The whole rectangle left at the far end of the purchase, or between pieces.

    x from the cut end, y from the fold or lower selvedge, as the cloth lies; `layers` of it.
    """

    x_mm: float
    y_mm: float
    length_mm: float
    width_mm: float
    layers: int


@dataclass(frozen=True, slots=True)
class Saving:
    """What less may be bought, and what it costs; None without a price."""

    length_mm: float
    cost: Decimal | None


class Ended(StrEnum):
    """Why a search ended."""

    SETTLED = "settled"
    UNLIKELY = "unlikely"
    LIMIT = "limit"
    STOPPED = "stopped"
    COLUMNS = "columns"


@dataclass(frozen=True, slots=True)
class FewerJoins:
    """What would be bought with so many joins fewer: no more than the cloth's width asks for."""

    fewer: int
    purchase_mm: float


@dataclass(frozen=True, slots=True)
class Alternative:
    """One lay of a cloth at one width, its marker, and the pieces, strips cut for that width."""

    fabric: Fabric
    marker: Marker
    figures: ComparedLay
    pieces: tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class FabricPlan:
    """The plan of one cloth.

    `pieces` are those cut from it; `alternatives` the markers of `lays_compared`, in that order.
    `bolt` is what they come out of, if that is in hand: then there is nothing to buy.
    `plain_purchase_mm` is what would be bought if its print need not meet, None if it needn't;
    `one_by_one_mm` if every garment had a length of its own, None if nothing of it is in hand.
    `fewer_joins` is told where strips have more joins than the width asks for, to save cloth;
    `may_save` where a search as long again is likely to buy less.
    """

    fabric: Fabric
    marker: Marker
    table_length_mm: float
    least_possible_mm: float
    proven_least: bool
    purchase: Purchase
    waste_percent: float
    unused_percent_of_purchase: float
    cut_outlines: int
    cut_metres: float
    remnants: tuple[Remnant, ...]
    lays_compared: tuple[ComparedLay, ...]
    pieces: tuple[Piece, ...]
    alternatives: tuple[Alternative, ...] = ()
    bolt: Bolt | None = None
    plain_purchase_mm: float | None = None
    one_by_one_mm: float | None = None
    fewer_joins: FewerJoins | None = None
    may_save: Saving | None = None

    @property
    def title(self) -> str:
        """The cloth's name, with its bolt's; no two of a plan are the same."""
        return title_of(self.fabric, self.bolt)

    @property
    def joins(self) -> int:
        """How many joins the strips of its pieces have."""
        return sum(piece.joins for piece in self.pieces)


@dataclass(frozen=True, slots=True)
class Plan:
    """The answer to an order; `interrupted` by Ctrl-C. `costing` is what it says of prices."""

    order: str
    unit: Unit
    seed: int
    seconds: float
    fabrics: tuple[FabricPlan, ...]
    pieces: tuple[Piece, ...]
    seam_checks: tuple[SeamCheck, ...]
    findings: tuple[Finding, ...]
    cautions: tuple[str, ...]
    interrupted: bool = False
    ended: Ended = Ended.LIMIT
    notions: tuple[NotionPurchase, ...] = ()
    sewing: tuple[Sewing, ...] = ()
    costing: Costing | None = None

    @property
    def bought(self) -> tuple[FabricPlan, ...]:
        """The cloths that are not in hand."""
        return tuple(entry for entry in self.fabrics if entry.bolt is None)

    @property
    def totals(self) -> dict[str, Decimal]:
        """Cost of cloth and notions by currency."""
        notions = ((one.cost, one.currency) for one in self.notions)
        return _sums([*self._cloth_costs, *notions])

    @property
    def cloth_totals(self) -> dict[str, Decimal]:
        """Cost of cloth alone by currency."""
        return _sums(self._cloth_costs)

    @property
    def _cloth_costs(self) -> list[tuple[Decimal | None, str]]:
        return [(entry.purchase.cost, entry.purchase.currency) for entry in self.fabrics]


def _sums(costs: Iterable[tuple[Decimal | None, str]]) -> dict[str, Decimal]:
    """Amounts added up by currency, as far as they are known."""
    sums: dict[str, Decimal] = {}
    for cost, currency in costs:
        if cost is not None:
            sums[currency] = sums.get(currency, Decimal(0)) + cost
    return sums


@dataclass(frozen=True, slots=True)
class ComparedCloth:
    """One cloth as it may be bought and laid; `refused` are widths and lays without room.

    `pieces` are those of its narrowest width.

    `plain_purchase_mm` is for each width what would be bought if its print need not meet; none
    where it needn't.
    """

    fabric: Fabric
    pieces: tuple[Piece, ...]
    alternatives: tuple[Alternative, ...]
    refused: tuple[tuple[float, LayName], ...]
    plain_purchase_mm: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Comparison:
    """All cloths of an order, each on every lay and width; `interrupted` by Ctrl-C."""

    order: str
    unit: Unit
    seed: int
    seconds: float
    interrupted: bool
    cloths: tuple[ComparedCloth, ...]
    ended: Ended = Ended.LIMIT
    costing: Costing | None = None
