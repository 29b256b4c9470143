"""An order: garments and the cloths they are cut from, read and checked."""

from __future__ import annotations

from dataclasses import dataclass

from nesting.fabric.fabric import Fabric
from pieces.drafting.spec import GarmentSpec
from pieces.piece import Finding, Piece, SeamCheck
from pieces.units import Unit


@dataclass(frozen=True, slots=True)
class Order:
    """What `read_order` gives.

    `garments` are one wearer's copy each: a quantity of two has become two garments.
    `pieces` are those the order gives as points or in drawing files, in their laid form;
    `ready_keys` are, one for each of them, the keys of the tables that give them. `findings` are
    what reading the files found, `seam_checks` the seams of theirs that the order compares.
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
