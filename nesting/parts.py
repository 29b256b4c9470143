"""From an order to the pieces it asks for, and the outlines that must be cut for them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from nesting.cuttings import usual_cuttings
from nesting.fabric import LayName
from nesting.order import Order
from nesting.print_faults import print_faults
from nesting.verify_lengths import require_lengths
from pieces.check import check
from pieces.corner import cloth_mm2
from pieces.drafting.garment import Cuttings, draft_garment
from pieces.drafting.spec import Cutting, GarmentSpec
from pieces.drafting.worn import worn
from pieces.errors import Fault, OrderFault
from pieces.geometry import doubled, mirrored, rotated
from pieces.piece import Draft, Finding, Outline, Piece, Point, SeamCheck


@dataclass(frozen=True, slots=True)
class Cut:
    """One outline to cut on a given lay.

    Attributes
    ----------
    copy : counts the cuts of a piece from 1
    on_fold, unfolded : its fold edge lies on a fold; or the piece lies opened out
    in_corner : both its fold edges lie on folds, in the corner where these meet
    halved : `piece` is drawn for two folds, and stands here opened out about one of its edges
    layers : of cloth cut through; `yields` of the parts so cut are wanted, `spare` are not
    orientations : the (turn in degrees, mirrored) it may take
    nap_group : with what it shares its direction along a nap, or None: its garment, or all that
        lies across the cloth
    """

    piece: Piece
    copy: int
    on_fold: bool
    unfolded: bool
    layers: int
    yields: int
    spare: int
    orientations: tuple[tuple[float, bool], ...]
    nap_group: str | None = None
    in_corner: bool = False
    halved: bool = False

    def lies_across(self, lay: LayName) -> bool:
        """Whether a fold edge of it lies on a fold across the cloth."""
        return self.in_corner or (self.on_fold and lay is LayName.CROSSWISE_FOLD)

    def fold_edge_mm(self, way: tuple[float, bool]) -> Point:
        """Where the fold edge begins from the reference point, along the lay and across it.

        Where two lie on folds, that is their corner.
        """
        edge, (turn_deg, is_mirrored) = self.piece.fold_edges[0], way
        return rotated(mirrored(edge) if is_mirrored else edge, turn_deg)[0]

    @property
    def outline_mm(self) -> Outline:
        """The outline to cut, at turn 0 and not mirrored."""
        if self.unfolded and self.piece.on_fold is not None:
            return _doubled(self.piece.outline, self.piece.on_fold)
        return self.piece.outline


_doubled = lru_cache(maxsize=1024)(doubled)
"""Asked for again and again: an order has many cuts alike, each on several lays."""


def on_cross_fold(cuts: Iterable[Cut], lay: LayName) -> dict[tuple[str, str], int]:
    """How many of each piece, by key, are to lie with a fold edge on a fold across the cloth."""
    return Counter(cut.piece.key for cut in cuts if cut.lies_across(lay))


def wanted_area_mm2(piece: Piece) -> float:
    """Cloth in all the parts wanted of a piece; one on the fold counts both halves."""
    return cloth_mm2(piece) * piece.parts


def draft_order(order: Order, cuttings: Cuttings | None = None) -> Draft:
    """Draft every garment of the order and add the pieces it gives as points or in files.

    Strips are cut as `cuttings` say for their cloth, or else in the usual way. Whoever shows a
    marker has its pieces from here, so here they are checked against the order.

    Raises
    ------
    OrderFault : with the faults of all garments together, or if two pieces share a name
    OwnFailure : a strip is not as long as the order asks
    """
    cuttings = usual_cuttings(order.fabrics) | dict(cuttings or {})
    pieces: list[Piece] = list(order.pieces)
    seam_checks: list[SeamCheck] = []
    findings: list[Finding] = list(order.findings)
    faults: list[Fault] = []
    for garment in order.garments:
        try:
            draft = draft_garment(garment, cuttings)
        except OrderFault as fault:
            faults += [replace(one, where=order.source) for one in fault.faults]
            continue
        findings += _filled(garment)
        pieces += draft.pieces
        seam_checks += draft.seam_checks
        findings += draft.findings
        ready = any(piece.garment == garment.name for piece in order.pieces)
        findings += worn(garment, cuttings, ready=ready)
    faults += _shared_names(order, pieces)
    for fabric in order.fabrics.values():
        own = of_fabric(pieces, fabric.name)
        faults += print_faults(own, fabric, order.unit, order.source)
    if faults:
        # Copies of a garment share their faults; each is told once.
        raise OrderFault(tuple(dict.fromkeys(faults)))
    require_lengths(order.garments, pieces)
    findings += check(pieces, order.unit)
    return Draft(tuple(pieces), tuple(seam_checks), tuple(findings))


def draft_cloth(order: Order, name: str, cutting: Cutting) -> tuple[Piece, ...]:
    """The pieces of one cloth, its strips cut so.

    Raises
    ------
    OrderFault : some can't be cut so
    OwnFailure : a strip is not as long as the order asks
    """
    return of_fabric(draft_order(order, {name: cutting}).pieces, name)


def _filled(garment: GarmentSpec) -> list[Finding]:
    """A reminder of the measures that a size table gave."""
    if not garment.filled:
        return []
    measures = ", ".join(name.replace("_", " ") for name in garment.filled)
    return [
        Finding(
            "filled-from-table",
            f"{garment.name}: {measures} taken from the size table, not from the tape. "
            "Tables differ by a size; measure the wearer before you cut.",
        )
    ]


def _shared_names(order: Order, pieces: Sequence[Piece]) -> list[Fault]:
    """Pieces given ready that are called like a drafted piece of the same garment."""
    drafted = [piece.key for piece in pieces[len(order.pieces) :]]
    return [
        Fault(
            order.source,
            f"piece '{piece.name}'",
            f"{piece.garment} already has a drafted piece of this name.",
            "Give this one a name of its own.",
        )
        for piece in order.pieces
        if piece.key in drafted
    ]


def of_fabric(pieces: Sequence[Piece], fabric: str) -> tuple[Piece, ...]:
    """Those pieces that are cut from one fabric."""
    return tuple(piece for piece in pieces if piece.fabric == fabric)
