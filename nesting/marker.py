"""A marker: the finished layout of pieces on one lay. Millimetres and degrees."""

from __future__ import annotations

from dataclasses import dataclass

from nesting.fabric import LayName
from pieces.piece import Outline


@dataclass(frozen=True, slots=True)
class Placement:
    """One outline to cut, where it lies.

    `outline_mm` = translate(x, y) after rotate(turn, anticlockwise) after mirror (y to -y,
    if mirrored) of the piece's outline, doubled along its fold edge if the piece is unfolded.
    x runs along the length from the cut end, y across from the fold or the lower selvedge.

    Attributes
    ----------
    copy : counts the placements of a piece from 1
    yields, spare : wanted parts this cut gives (a piece on the fold counts one), and others
    layers : of cloth cut through
    section, band : "main", and the index of the band across the width, from 0
    on_fold : whether its fold edge lies on a fold
    unfolded : whether a piece drawn for the fold lies opened out
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


@dataclass(frozen=True, slots=True)
class Marker:
    """Placements on one lay of one fabric; `length_mm` is flat, washed cloth.

    `fold_depth_mm` is how far a partial fold folds one selvedge in, its outer edge measured
    from the fold; 0 on other lays.
    """

    fabric: str
    lay: LayName
    length_mm: float
    placements: tuple[Placement, ...]
    fold_depth_mm: float = 0.0

    @property
    def table_length_mm(self) -> float:
        """The length that lies on the table: half where the cut ends come together."""
        return self.length_mm / 2 if self.lay.folds_across else self.length_mm
