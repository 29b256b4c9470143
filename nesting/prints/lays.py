"""Prints on the lays: where the phases of a cloth's pieces may lie, and what a print forbids."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from nesting.fabric.cut import Cut
from nesting.fabric.fabric import Edge, Fabric, LayName, Nap
from nesting.fabric.lay import Lay
from nesting.prints.prints import ACROSS, ALONG, Prints, Root, from_whole_mm

_SAME_MM = 0.05
"""How far two ways to reckon one place may differ: rounding and the edges of drawings."""


@dataclass(frozen=True, slots=True)
class Phase:
    """Where the lines of one phase lie: `choices_mm` and whole periods from there; None: anywhere.

    Places are on the lay: along it from the cut end, across it as y runs.
    """

    axis: int
    period_mm: float
    choices_mm: tuple[float, ...] | None = None


def phases_on(prints: Prints, cuts: Sequence[Cut], fabric: Fabric, lay: Lay) -> tuple[Phase, ...]:
    """The phases on one lay: one across the cloth must serve the layers below too."""
    phases = []
    for number, axis in enumerate(prints.axes):
        period_mm = prints.periods_mm[axis]
        choices = None if axis == ALONG else _choices(prints, number, cuts, fabric, lay)
        phases.append(Phase(axis, period_mm, choices))
    return tuple(phases)


def motif_across_mm(fabric: Fabric, lay: Lay) -> float:
    """Where a line of motifs lies across a lay."""
    edge_mm = fabric.washed_repeat.from_edge_mm
    from_edge_mm = fabric.washed_width_mm / 2 if edge_mm is None else edge_mm
    return from_edge_mm - fabric.washed_selvedge_mm - lay.origin_mm


def _choices(
    prints: Prints, phase: int, cuts: Sequence[Cut], fabric: Fabric, lay: Lay
) -> tuple[float, ...] | None:
    """The places across where a phase may lie, between 0 and its period; None for all."""
    period_mm = prints.periods_mm[ACROSS]
    choices: tuple[float, ...] | None = None
    if prints.motifs.get(ACROSS) == phase:
        choices = (motif_across_mm(fabric, lay) % period_mm,)
    for cut in cuts:
        root = prints.roots.get((cut.piece.key, ACROSS))
        if root is None or root.phase != phase:
            continue
        allowed = _serving_both(cut, root, period_mm, lay)
        if allowed is not None:
            choices = allowed if choices is None else _common(choices, allowed, period_mm)
    return choices


def _serving_both(cut: Cut, root: Root, period_mm: float, lay: Lay) -> tuple[float, ...] | None:
    """Where a phase serves the layer below a cut too: on the line about which it is mirrored.

    Or half a repeat from it. A piece on the fold lies there itself.
    """
    band = next((one for one in lay.bands if one.layers == cut.layers), lay.bands[0])
    if cut.on_fold and band.fold_mm is not None:
        return tuple((band.fold_mm + way * root.place_mm) % period_mm for way in (1, -1))
    line_mm = band.fold_mm
    if lay.turned:
        line_mm = lay.depth_mm / 2
    if cut.layers == 1 or line_mm is None:
        return None
    return line_mm % period_mm, (line_mm + period_mm / 2) % period_mm


def _common(one: Sequence[float], other: Sequence[float], period_mm: float) -> tuple[float, ...]:
    return tuple(a for a in one if any(from_whole_mm(a - b, period_mm) <= _SAME_MM for b in other))


NO_ROOM = "the points that are to meet across the cloth find no common place in its width"
_ENDS = "the layers meet at the ends, where their prints run against each other"
_TWO_FOLDS = "only one of its two folds can lie on a line of the print"
_FACING = "below a fold the print lies upside down for pieces that lie across the cloth"
_OFF_LINE = "below the fold the print does not meet; the fold would have to lie on a line of it"
ONE_SELVEDGE = "its layers do not both have the border along one edge"


def refusal(prints: Prints, cuts: Sequence[Cut], fabric: Fabric, lay: Lay) -> str | None:
    """Why the print of a cloth forbids a lay for these cuts; None if it does not.

    Along the cloth a fold lengthwise keeps the print; one crosswise turns it about. Across it a
    fold has to lie on a line of the print, or half a repeat from one (common practice).
    """
    tied = {axis for _, axis in prints.roots}
    if any(cut.piece.border for cut in cuts) and not border_turns(fabric, lay.name):
        return ONE_SELVEDGE
    if ALONG in tied and lay.name.folds_across:
        return _ENDS
    if ACROSS in tied and lay.name is LayName.DOUBLE_FOLD:
        return _TWO_FOLDS
    below = any(band.fold_mm is not None for band in lay.bands) or lay.turned
    upright = any(axis == ACROSS and root.number == 0 for (_, axis), root in prints.roots.items())
    if below and upright:
        return _FACING
    if any(phase.choices_mm == () for phase in phases_on(prints, cuts, fabric, lay)):
        return _OFF_LINE
    return None


def border_turns(fabric: Fabric, lay: LayName) -> tuple[float, ...]:
    """The turns in degrees that lay a hem on a border which all layers have at that edge."""
    if fabric.border is None:
        return ()
    edge, turned = fabric.border.edge, fabric.nap is not Nap.NONE
    if lay is LayName.OPEN or (lay is LayName.CROSSWISE_FOLD and not turned):
        return {Edge.LOWER: (90.0,), Edge.UPPER: (-90.0,), Edge.BOTH: (90.0, -90.0)}[edge]
    if edge is not Edge.BOTH:
        return ()
    if lay is LayName.CROSSWISE_FOLD:
        return (90.0, -90.0)
    return (-90.0,) if lay in (LayName.LENGTHWISE_FOLD, LayName.QUARTER_FOLD) else ()
