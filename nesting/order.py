"""An order: garments and the cloths they are cut from, read and checked."""

from __future__ import annotations

from dataclasses import dataclass

from nesting.fabric import Fabric
from pieces.drafting.spec import GarmentSpec
from pieces.piece import Piece
from pieces.units import Unit


@dataclass(frozen=True, slots=True)
class Order:
    """What `read_order` gives.

    `garments` are one wearer's copy each: a quantity of two has become two garments.
    `pieces` are those the order gives as points, in their laid form.
    """

    name: str
    source: str
    unit: Unit
    fabrics: dict[str, Fabric]
    garments: tuple[GarmentSpec, ...]
    pieces: tuple[Piece, ...]
