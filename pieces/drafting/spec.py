"""What is asked of the drafts: a wearer, and the parts of the garment."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.body.measurements import Body
from pieces.units import Unit

STRIP_LENGTH_MM = 1400.0
"""A strip that goes across a cloth of 150 cm or along any; common practice."""


@dataclass(frozen=True, slots=True)
class Cutting:
    """How the strips of one cloth are cut where the order leaves it open.

    Attributes
    ----------
    across_mm : the longest strip that must lie across the cloth, as cut
    along_mm : the longest that may run along it
    evenly : whether strips share a length evenly; otherwise each is as long as may be, and the
        last takes the rest
    own : strips by their names (see `pieces.piece.Strip.open_as`) that are cut otherwise; one of a
        single garment by `of_garment`
    """

    across_mm: float = STRIP_LENGTH_MM
    along_mm: float = STRIP_LENGTH_MM
    evenly: bool = True
    own: tuple[tuple[str, Cutting], ...] = ()

    def of(self, name: str, garment: str = "") -> Cutting:
        """How the strip of that name is cut, of one garment or of all."""
        own = dict(self.own)
        return own.get(of_garment(name, garment)) or own.get(name, self)


def of_garment(name: str, garment: str) -> str:
    """The name in `Cutting.own` of a strip of one garment alone."""
    return f"{garment}\n{name}"


USUAL = Cutting()


@dataclass(frozen=True, slots=True)
class PartSpec:
    """One part of a garment as ordered.

    `draft` names an entry of `pieces.drafting.registry.DRAFTS`; `options` is an instance of that
    entry's options class; `fabric` and `lining` are names of cloths (labels here, no more);
    `key` is its path in the order file, for messages; `match`, `motif` and `border` are as in
    `pieces.piece.Piece`, for what is cut from `fabric`.
    """

    draft: str
    options: object
    fabric: str
    lining: str | None
    seam_allowance_mm: float
    hem_allowance_mm: float
    key: str
    match: tuple[str, ...] = ()
    motif: tuple[str, ...] = ()
    border: bool = False


@dataclass(frozen=True, slots=True)
class GarmentSpec:
    """A garment as ordered: whose it is, and its parts in the order given.

    `filled` names the measures of `body` that come from a size table and not from the tape.
    Those of the lowest `priority` come first where cloth is short. `unit` is the dresser's, for
    lengths in messages.
    """

    name: str
    body: Body
    parts: tuple[PartSpec, ...]
    key: str
    filled: tuple[str, ...] = ()
    priority: int = 1
    unit: Unit = Unit.CM
