"""Saying in words that pieces can't lie on their cloth, and what would help."""

from __future__ import annotations

from collections.abc import Sequence

from nesting.convert import oriented, ways_that_fit
from nesting.fabric import Fabric, LayName
from nesting.lay import Lay
from nesting.parts import Cut
from pieces.errors import Fault
from pieces.geometry import bounds
from pieces.piece import Finding, GrainRule
from pieces.units import Unit, format_length


def misfits(cuts: Sequence[Cut], fabric: Fabric, lay: Lay) -> tuple[Cut, ...]:
    """The first cut of each piece that finds no room across the lay."""
    found = {cut.piece.key: cut for cut in reversed(cuts) if not ways_that_fit(cut, fabric, lay)}
    return tuple(reversed(found.values()))


def _least_width_mm(cut: Cut) -> float:
    """How wide across the lay a cut is at its narrowest."""
    widths = []
    for way in cut.orientations or ((0.0, False),):
        ys = [y for _, y in oriented(cut.outline_mm, *way)]
        widths.append(max(ys) - min(ys))
    return min(widths)


def fault(cut: Cut, fabric: Fabric, lay: Lay, unit: Unit, source: str) -> Fault:
    """Why a cut can't lie on a lay: both widths, and what would help."""
    owner = f" of {cut.piece.garment}" if cut.piece.garment else ""
    name = f"{cut.piece.name}{owner}" + (", opened out," if cut.unfolded else "")
    key = f"fabric.{fabric.name}"
    if not cut.orientations:
        return Fault(
            source,
            key,
            f"{name} can't lie on the {lay.name.value}: its fold edge does not run along the fold.",
            "Let the cloth lie open, or give the piece another grain rule.",
        )
    needs = format_length(_least_width_mm(cut), unit)
    room_mm = lay.depth_mm - _kept_free_mm(cut, fabric)
    has = format_length(room_mm, unit)
    across = (
        "between the selvedges" if lay.name is LayName.OPEN else "from the fold to the selvedge"
    )
    return Fault(
        source,
        key,
        f"{name} is {needs} wide where it is narrowest across the cloth; the cloth has {has} "
        f"{across}.",
        _remedy(cut, room_mm),
    )


def lay_refused(fabric: Fabric, lay: LayName, why: Fault) -> Finding:
    """That a lay was not tried, where others were."""
    way = lay.value.replace("-", " ")
    return Finding("lay-refused", f"{fabric.name} was not tried as {way}: {why.message}")


def _kept_free_mm(cut: Cut, fabric: Fabric) -> float:
    return fabric.edge_gap_mm * (1 if cut.layers == 2 else 2)


def _remedy(cut: Cut, room_mm: float) -> str:
    ways = ["take a wider cloth", "draft the piece in more panels or with a join"]
    if cut.layers == 2 and cut.piece.on_fold is None:
        ways.insert(0, "let the cloth lie open")
    left, _, right, _ = bounds(cut.outline_mm)
    if cut.piece.grain_rule is GrainRule.LENGTHWISE and right - left <= room_mm:
        ways.append("let its grain run crosswise, if the cloth allows")
    return "What would help: " + "; ".join(ways) + "."
