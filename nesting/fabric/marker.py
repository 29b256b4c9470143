"""A marker: the finished layout of pieces on one lay. Millimetres and degrees."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from nesting.fabric.fabric import LayName
from pieces.piece import Outline

Keyed = tuple[tuple[str, str], Outline]
"""An outline on the cloth, known by its piece's key."""

MAIN, OPENED_OUT = "main", "opened-out"
"""The sections of a marker along its length."""


@dataclass(frozen=True, slots=True)
class Placement:
    """One outline to cut, where it lies.

    `outline_mm` = translate(x, y) after rotate(turn, anticlockwise) after mirror (y to -y,
    if mirrored) of the piece's outline, doubled along its fold edge if the piece is unfolded;
    one with two fold edges is doubled along each that lies on no fold.
    x runs along the length from the cut end, y across from the fold or the lower selvedge.
    A crosswise or quarter fold that ends in an opened-out section begins at its fold instead,
    so that x always runs on from the folded part into the section; so does one across that a piece
    lies on.

    Attributes
    ----------
    copy : counts the placements of a piece from 1
    yields, spare : wanted parts this cut gives (a piece on the fold counts one), and others
    layers : of cloth cut through
    section : "main", or "opened-out" where the cloth lies single at the end of a folded lay
    band : index of the band across the width, from 0
    on_fold : whether its fold edge lies on a fold
    in_corner : whether both its fold edges lie on folds, in the corner where these meet
    unfolded : whether a piece drawn for the fold lies opened out; of one drawn for two folds,
        about one of its edges at least
    grain_deg : direction of the thread line on the cloth, 0 away from the cut end
    """

    garment: str
    piece: str
    copy: int
    yields: int
    spare: int
    layers: int
    section: str
    band: int
    on_fold: bool
    unfolded: bool
    turn_deg: float
    mirrored: bool
    x_mm: float
    y_mm: float
    grain_deg: float
    outline_mm: Outline
    in_corner: bool = False


@dataclass(frozen=True, slots=True)
class Marker:
    """Placements on one lay of one fabric; `length_mm` is flat, washed cloth.

    `fold_depth_mm` is how far a partial fold folds one selvedge in, its outer edge measured
    from the fold; 0 on other lays. `opened_from_mm` is where along the table the fold ends and
    the cloth lies open, one layer, to its end; None where it lies folded all along.
    """

    fabric: str
    lay: LayName
    length_mm: float
    placements: tuple[Placement, ...]
    fold_depth_mm: float = 0.0
    opened_from_mm: float | None = None

    @property
    def on_cross_fold(self) -> dict[tuple[str, str], int]:
        """How many of each piece, by key, lie with a fold edge on a fold across the cloth."""
        crosswise = self.lay is LayName.CROSSWISE_FOLD
        return Counter(
            (one.garment, one.piece)
            for one in self.placements
            if one.in_corner or (one.on_fold and crosswise)
        )

    @property
    def table_length_mm(self) -> float:
        """The length that lies on the table: half of what is folded with cut ends together."""
        if not self.lay.folds_across:
            return self.length_mm
        opened_from_mm = self.opened_from_mm
        return self.length_mm / 2 if opened_from_mm is None else self.length_mm - opened_from_mm
