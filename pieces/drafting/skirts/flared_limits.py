"""What can't be drawn of a flared skirt, and what is worth knowing of one. Millimetres."""

from __future__ import annotations

from pieces.drafting.context import DraftContext, Needs
from pieces.drafting.growth import hem_growth
from pieces.drafting.skirts.flared_options import FlaredSkirtOptions, opening_of
from pieces.piece import Finding
from pieces.wording import either, key, write

_DEEPEST_HEM_MM = {"full": 10.0, "three-quarter": 10.0, "half": 40.0, "quarter": 40.0}
"""Circles 1/4 to 3/8 in. or rolled, flared skirts 1 1/2 in. (a state extension's *It's Fun to
Sew*; a sewing guild's table, secondary copy)."""


def told(context: DraftContext, options: FlaredSkirtOptions, name: str) -> tuple[Finding, ...]:
    """That a hem is too deep to lie flat, and where a whole circle is slit."""
    return (*_deep_hem(context, options), *_slit_told(context, options, name))


def _slit_told(
    context: DraftContext, options: FlaredSkirtOptions, name: str
) -> tuple[Finding, ...]:
    if not options.seamless or opening_of(context, options) == "none":
        return ()
    message = (
        f"{name} is a whole circle and has no seam to open. Slit it "
        f"{context.told(options.slit)} down from the waist seam at the "
        f"{opening_of(context, options)}, in one layer, once it lies opened out; face or bind the "
        "slit, as it has no allowance."
    )
    return (context.finding("slit-to-open", message, "slit"),)


def _deep_hem(context: DraftContext, options: FlaredSkirtOptions) -> tuple[Finding, ...]:
    deepest = _DEEPEST_HEM_MM[options.circle]
    part, own = context.part, options.lining_hem_allowance
    hems = [] if context.joined_below else [part.hem_allowance_mm]
    if part.lining is not None:
        hems.append(part.hem_allowance_mm if own is None else own)
    if max(hems, default=0.0) <= deepest:
        return ()
    message = (
        f"a hem of {context.told(max(hems))} on a {options.circle} "
        f"circle puckers when it is turned up; {context.told(deepest)} or less lies flat."
    )
    return (context.finding("deep-curved-hem", message, "hem_allowance"),)


def hem_grown(needs: Needs, options: FlaredSkirtOptions, long: float) -> float:
    """How much deeper the hem is, to be let down; a fault where that would not lie flat."""
    deeper = hem_growth(needs.context, options.growth, long)
    told, part, deepest = needs.told, needs.context.part, _DEEPEST_HEM_MM[options.circle]
    if not deeper or needs.faults:
        return deeper
    instead = "Take growth out, or draw a gathered or a pleated skirt, whose hem is straight."
    if needs.context.joined_below:
        needs.refuse("growth", "Something is sewn to its hem, which can't be let down.", instead)
    elif part.hem_allowance_mm + deeper > deepest:
        needs.refuse(
            "growth",
            f"To grow into, the hem is {told(deeper)} deeper than {told(part.hem_allowance_mm)}, "
            f"but on a {options.circle} circle only {told(deepest)} lies flat: a curved hem is "
            "longer at its edge than where it is sewn.",
            instead,
        )
    return deeper


def check_seamless(needs: Needs, options: FlaredSkirtOptions, long: float) -> None:
    """Whether a whole circle in one panel can be drawn, and opened."""
    if not options.seamless:
        return
    if options.on_fold is False:
        needs.refuse(
            "on_fold",
            "A whole circle in one panel is drawn as a quarter of it, for two folds.",
            "Take " + key("on_fold") + " out, or " + write("panels", 2, " or more") + ".",
        )
    if options.slit >= long and opening_of(needs.context, options) != "none":
        needs.refuse(
            "slit",
            f"A slit of {needs.told(options.slit)} would cut the skirt apart, which is "
            f"{needs.told(long)} long.",
            "Give less, or sew it from two panels: " + either("panels = 2.", "2 for panels."),
        )


def check_drop(needs: Needs, options: FlaredSkirtOptions) -> None:
    """Whether a hem can fall from front to back."""
    in_middle = opening_of(needs.context, options) in ("centre back", "centre front")
    if options.back_longer and (options.panel_count != 2 or not in_middle):
        needs.refuse(
            "back_longer",
            "A hem falls from the front panel to the back one, and there are no such two.",
            write("panels", 2)
            + ", and leave opening out or put it in the middle; or take "
            + key("back_longer")
            + " out.",
        )
    elif options.back_longer and options.on_fold is False:
        panels = "A hem that falls is drawn on panels on the fold."
        remedy = "Take " + key("on_fold") + " out, or " + key("back_longer") + "."
        needs.refuse("back_longer", panels, remedy)
