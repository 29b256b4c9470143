"""An order: garments and the cloths they are cut from, read and checked."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from nesting.fabric.costing import Costing
from nesting.fabric.fabric import Fabric
from nesting.order.said import AS_WRITTEN, Said
from nesting.order.wearers import NamedWearers
from pieces.drafting.spec import GarmentSpec
from pieces.piece import Finding, Piece, SeamCheck
from pieces.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """How a shop sells a notion.

    Attributes
    ----------
    price, currency : of `per_mm` of length, or of one; of a package or a card where it is sold so.
        None and nothing where it is not known
    per_mm : a metre or a yard
    step_mm, least_mm : step of the counter and least it sells; 0 for exact lengths
    package : how many are in one; 1 where they are sold singly
    card_mm : how long a card or roll is that is only sold whole; 0 where any length is cut
    sizes_mm : lengths that are sold of what is bought by size, in rising order
    """

    price: Decimal | None = None
    currency: str = ""
    per_mm: float = 1000.0
    step_mm: float = 0.0
    least_mm: float = 0.0
    package: int = 1
    card_mm: float = 0.0
    sizes_mm: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedNotion:
    """A table `[[notion]]`: a notion that the order adds, changes or refuses.

    Attributes
    ----------
    name : what it is; that of a notion which drafts propose changes or refuses that
    key : its path in the order file
    garments : the garments that it is for, by name; empty for all
    wanted : whether it is bought at all
    where : where it goes, in words
    edge, of : the edge that it goes along, and words in the names of the pieces that have it
    length_mm, count : or how long each is, and how many; None where the order leaves it open
    spacing_mm : one is set every so far along the edge
    fullness : its length over the edge's
    stretch_percent : by how much it is stretched on the edge
    ends_mm : what each run has more, for its join or its turned-in ends
    shorter_mm : by how much each run ends before the edge, at each end
    waste_percent : what is bought more
    width_mm : how wide it is to be, 0 where that is open
    cloth : the cloth of the order from which the pieces named by `of` are cut again
    shop : how it is sold; None where the table says nothing of that
    """

    name: str
    key: str
    garments: tuple[str, ...] = ()
    wanted: bool = True
    where: str = ""
    edge: str = ""
    of: str = ""
    length_mm: float | None = None
    count: int | None = None
    spacing_mm: float | None = None
    fullness: float = 1.0
    stretch_percent: float = 0.0
    ends_mm: float = 0.0
    shorter_mm: float = 0.0
    waste_percent: float = 0.0
    width_mm: float = 0.0
    cloth: str = ""
    shop: Shop | None = None

    @property
    def measures(self) -> bool:
        """Whether it says by itself how much is needed, whatever a draft proposes."""
        return bool(self.edge or self.length_mm is not None or self.count is not None)


@dataclass(frozen=True, slots=True)
class Order:
    """What `read_order` gives.

    `garments` are one wearer's copy each: a quantity of two has become two garments.
    `pieces` are those the order gives as points or in drawing files, in their laid form;
    `ready_keys` are, one for each of them, the keys of the tables that give them. `findings` are
    what reading the files found, `seam_checks` the seams of theirs that the order compares; `said`
    tells what a person calls a key. `notions` are the tables of what is bought besides cloth,
    `costing` is what it says of work and prices, `wearers` the book that it names and its wearers
    there.
    """

    name: str
    source: str
    unit: Unit
    fabrics: dict[str, Fabric]
    garments: tuple[GarmentSpec, ...]
    pieces: tuple[Piece, ...]
    findings: tuple[Finding, ...] = ()
    ready_keys: tuple[str, ...] = ()
    seam_checks: tuple[SeamCheck, ...] = ()
    said: Said = AS_WRITTEN
    notions: tuple[AskedNotion, ...] = ()
    costing: Costing | None = None
    wearers: NamedWearers | None = None
