"""What is asked of the drafts: a wearer, and the parts of the garment."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.body.measurements import Body


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
    Those of the lowest `priority` come first where cloth is short.
    """

    name: str
    body: Body
    parts: tuple[PartSpec, ...]
    key: str
    filled: tuple[str, ...] = ()
    priority: int = 1
