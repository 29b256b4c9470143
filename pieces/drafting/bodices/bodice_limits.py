"""Measures from which no bodice can be drawn."""

from __future__ import annotations

from pieces.body.measurements import in_words
from pieces.drafting.bodices.bodice_block import Block
from pieces.drafting.context import Needs
from pieces.errors import Fault
from pieces.wording import key

_LEAST_SHOULDER_MM = 20.0
_LEAST_BACK_NECK_MM = 8.0
"""A back neck that comes down less turns too tightly for its seam; common practice."""


def require_drawable(needs: Needs, block: Block) -> None:
    """Note as faults all measures from which the lines would cross."""
    _require_length(needs, block)
    _require_neck(needs, block)
    _require_shoulder(needs, block)
    _require_across(needs, block)


def _refuse(needs: Needs, at: tuple[str, str], message: str, remedy: str) -> None:
    """A fault at an option, or at the measure it hangs on where the draft has no such option."""
    option, measure = at
    if needs.knows(option):
        needs.refuse(option, message, remedy)
        return
    place = f"{needs.context.garment_key}.body.{measure}"
    needs.faults.append(Fault("", place, message, f"Measure the {in_words(measure)} again."))


def _require_length(needs: Needs, block: Block) -> None:
    cm = needs.told

    if block.length < block.scye_depth + 20:
        needs.refuse(
            "length",
            f"From nape to waist seam it is {cm(block.length)}, but the armhole alone reaches "
            f"{cm(block.scye_depth)} down.",
            "Measure the back waist length again, or give a longer length"
            + (" or a smaller " + key("scye_depth") if needs.knows("scye_depth") else "")
            + ".",
        )
    if block.scye_depth < 40:
        _refuse(
            needs,
            ("scye_depth", "chest"),
            f"An armhole {cm(block.scye_depth)} deep can't be drawn.",
            "Give a larger " + key("scye_depth") + ", or leave it out.",
        )


def _require_neck(needs: Needs, block: Block) -> None:
    cm = needs.told
    if block.neck_depth > block.length - 20:
        _refuse(
            needs,
            ("neck_depth", "neck"),
            f"The neck is {cm(block.neck_depth)} deep, down to the waist seam.",
            "Give a smaller " + key("neck_depth") + ".",
        )
    if not needs.faults and block.front_low > block.neck_point[1] - 2:
        _refuse(
            needs,
            ("neck_depth", "neck"),
            f"A neck {cm(block.neck_depth)} deep is no lower in front than at the shoulder.",
            "Give a larger " + key("neck_depth") + ", or leave it out.",
        )
    if block.back_neck_depth > block.length - 20:
        _refuse(
            needs,
            ("back_neck_depth", "shoulder"),
            f"At the back the neck is {cm(block.back_neck_depth)} deep, down to the waist seam.",
            "Give a smaller " + key("back_neck_depth") + ".",
        )
    if not needs.faults and block.neck_point[1] + block.back_neck_depth < _LEAST_BACK_NECK_MM:
        _refuse(
            needs,
            ("back_neck_depth", "shoulder"),
            f"The back neck would come down by only "
            f"{cm(max(0.0, block.neck_point[1] + block.back_neck_depth))} from the shoulder, which "
            "turns too tightly to be sewn.",
            "Give a larger " + key("back_neck_depth") + ", or leave it out.",
        )


def _require_shoulder(needs: Needs, block: Block) -> None:
    cm = needs.told
    if block.shoulder <= _LEAST_SHOULDER_MM:
        needs.refuse(
            "shoulder",
            f"A shoulder of {cm(block.shoulder)} leaves nothing between neck and armhole.",
            "Measure it from the side of the neck to the shoulder's point.",
        )
    elif block.tip[0] > block.quarter + 15:
        needs.refuse(
            "shoulder",
            f"Neck and shoulder reach {cm(block.tip[0])} from the middle, but a quarter of the "
            f"chest with its ease is only {cm(block.quarter)}.",
            "Measure shoulder and chest again; the shoulder is that of one side.",
        )
    elif block.across(front=True) < block.neck_width + 5:
        needs.refuse(
            "neck_width",
            f"Half the neck is {cm(block.neck_width)} wide and leaves no shoulder.",
            "Give a smaller " + key("neck_width") + ", or measure the neck again.",
        )


def _require_across(needs: Needs, block: Block) -> None:
    for name, half in (("across_back", block.across_back), ("across_front", block.across_front)):
        if half is None or needs.faults or block.neck_width + 5 <= half <= block.quarter - 10:
            continue
        place = f"{needs.context.garment_key}.body.{name}"
        cm = needs.told
        message = (
            f"{cm(2 * half)} {in_words(name)} does not go with a neck {cm(2 * block.neck_width)} "
            f"wide and {cm(4 * block.quarter)} round the chest, ease included."
        )
        needs.faults.append(Fault("", place, message, "Measure from armhole to armhole again."))
