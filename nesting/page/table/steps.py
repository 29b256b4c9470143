"""A plan step by step: how each cloth is laid, then where each piece goes."""

from __future__ import annotations

from collections.abc import Iterator

from nesting.fabric.fabric import LayName
from nesting.fabric.lay import End, Lay, lay_under
from nesting.fabric.marker import OPENED_OUT
from nesting.fabric.plans import FabricPlan, Plan
from nesting.output import words
from nesting.output.drawing.joins import joins_told
from nesting.output.report.report import step
from nesting.page.table.shapes import Record, shape_data
from pieces.units import Unit, format_length, format_needed


def cutting_of(made: Plan) -> Record:
    """Every cloth of a plan: how to fold it, then where each piece goes, in order."""
    unit = words.tape(made.unit)
    return {
        "order": made.order,
        "garments": list(dict.fromkeys(piece.garment for piece in made.pieces)),
        "cloths": [_cloth(entry, unit) for entry in made.fabrics],
        "cautions": list(made.cautions),
    }


def _cloth(entry: FabricPlan, unit: Unit) -> Record:
    lay = lay_under(entry.marker, entry.fabric)
    placements = words.in_laying_order(entry.marker.placements)
    copies = words.copies(placements)
    opening = words.opening(entry.marker, entry.fabric, unit)
    first_opened = next((one for one in placements if one.section == OPENED_OUT), None)
    return {
        "title": entry.title,
        "name": entry.fabric.name,
        "lay": entry.marker.lay.value,
        "near_end": words.near_end(lay),
        "shape": shape_data(entry.marker, entry.fabric),
        "table_length_mm": entry.table_length_mm,
        "fold": list(folding(entry, lay, unit)),
        "joins": joins_told(entry, unit),
        "steps": [
            {
                "number": number,
                "garment": one.garment,
                "section": one.section,
                "before": opening if one is first_opened else None,
                "words": step(
                    one,
                    copies[one.garment, one.piece],
                    words.lay_there(one, lay, entry.fabric),
                    words.near_end(lay),
                    entry.fabric,
                    unit,
                ),
                "outline_mm": [[round(x, 2), round(y, 2)] for x, y in one.outline_mm],
            }
            for number, one in enumerate(placements, start=1)
        ],
    }


_FOLDING = {
    LayName.OPEN: "Spread the cloth in one layer, right side up.",
    LayName.LENGTHWISE_FOLD: (
        "Fold it lengthwise, right sides together, so that the selvedges meet. The fold lies "
        "towards you."
    ),
    LayName.CROSSWISE_FOLD: (
        "Fold it across, right sides together, so that the cut ends meet. The cut ends lie to "
        "your left, the fold to your right."
    ),
    LayName.DOUBLE_FOLD: (
        "Fold both selvedges in, right sides together, so that they meet along the middle. One "
        "fold lies towards you, the other away from you."
    ),
    LayName.PARTIAL_FOLD: (
        "Fold one selvedge in, right sides together, as deep as is said below. The fold lies "
        "towards you; the rest stays single."
    ),
    LayName.QUARTER_FOLD: (
        "Fold it lengthwise, then across, so that four layers lie on each other. The long fold "
        "lies towards you, the short one to your right."
    ),
}


def folding(entry: FabricPlan, lay: Lay, unit: Unit) -> Iterator[str]:
    """What to do with the cloth before the first piece is laid on it."""
    fabric = entry.fabric
    if fabric.shrinkage_length or fabric.shrinkage_width:
        yield "Wash the cloth as it will be washed later, let it dry, and press it."
    if fabric.end_allowance_mm:
        yield "Square the cut end."
    if lay.turned:
        yield _turned(entry, unit)
    else:
        yield _from_fold(entry, lay, unit) if lay.near is End.FOLD else _FOLDING[lay.name]
    if lay.fold_depth_mm:
        depth = format_length(lay.fold_depth_mm, unit)
        yield f"From the fold to the edge that is folded in: {depth}, the same all along."
    used = format_needed(entry.table_length_mm, unit)
    yield f"The pieces take {used} of the table's length. {words.NAP[fabric.nap].capitalize()}."
    yield f"Places are measured {words.measuring(lay, fabric)}."


def _turned(entry: FabricPlan, unit: Unit) -> str:
    """How to lay a cloth with a nap whose upper layer is cut off and turned."""
    if entry.marker.opened_from_mm is None:
        return (
            "Fold it across so that the cut ends meet, cut it apart along that fold, and turn the "
            "upper layer end for end, right sides together, so that the nap of both runs one way."
        )
    cut = format_needed(entry.marker.table_length_mm, unit)
    reach = format_length(entry.marker.opened_from_mm, unit)
    return (
        f"Cut it across {cut} from its squared cut end. Lay what is past the cut on the first "
        f"{reach}, right sides together and turned end for end, so that the nap of both runs one "
        "way. The cut end lies to your left."
    )


def _from_fold(entry: FabricPlan, lay: Lay, unit: Unit) -> str:
    """How to fold a cloth whose fold across is at the left; where, if its cut ends don't meet."""
    where = "so that the cut ends meet"
    if entry.marker.opened_from_mm is not None or lay.moves_flaws(entry.fabric):
        where = f"{format_length(lay.begins_mm, unit)} from its cut end"
        where += ", so that no flaw lies under a piece" if entry.fabric.flaws else ""
    if lay.name is LayName.QUARTER_FOLD:
        return (
            f"Fold it lengthwise, right sides together; then across, {where}. The long fold lies "
            "towards you, the short one to your left."
        )
    return f"Fold it across, right sides together, {where}. The fold lies to your left."
