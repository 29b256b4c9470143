"""Outlines to cut, as a lay asks for them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from nesting.fabric.fabric import LayName
from pieces.corner import cloth_mm2
from pieces.geometry import doubled, mirrored, rotated
from pieces.piece import Outline, Piece, Point


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
