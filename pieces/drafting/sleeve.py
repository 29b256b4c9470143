"""A set-in sleeve, cut as a pair; its cap is raised until it is as long as the armhole asks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pieces.curves import bezier, length
from pieces.drafting.pattern import Allowances, Edge, Pattern, Role
from pieces.drafting.setting import Armhole, Made, Needs, Setting, pieces_of
from pieces.fields import Length, LengthOrZero
from pieces.piece import Line, Piece, SeamCheck
from pieces.seams import compare, seam_length
from pieces.units import Unit, format_length

_SHORT_UNDERARM_MM = 50.0
"""Underarm seam of a short sleeve; common practice."""
_HAND_MM = 50.0
"""What a wrist must gain for the hand to pass; common practice."""
_LEAST_CAP_MM = 20.0
"""A flatter cap is no set-in sleeve; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SleeveOptions:
    """Options of a set-in sleeve; each may be left out.

    Attributes
    ----------
    style : short, or long to the wrist
    length : from the shoulder's point to the hem; the arm's length for a long sleeve, for a
        short one whatever gives an underarm seam of 5 cm (common practice)
    ease : over the upper arm; 5 cm (2 in., from a secondary copy; children 1 1/2 to 2 in. from
        memory)
    cap_ease : the cap's length over the armhole's; 1.5 cm (children 1.2 to 2 cm, from memory)
    hem_width : finished; for a long sleeve wrist + 5 cm, for a short one 2 cm less than at the
        upper arm (common practice)
    """

    style: Literal["short", "long"] = "short"
    length: Length | None = None
    ease: LengthOrZero = 50.0
    cap_ease: LengthOrZero = 15.0
    hem_width: Length | None = None


@dataclass(frozen=True, slots=True)
class _Lines:
    """What the sleeve is drawn from; y is 0 at the underarm and runs up."""

    armhole: Armhole
    cap_ease: float
    width: float
    cap_height: float
    underarm: float
    hem_width: float

    @property
    def wanted(self) -> float:
        """Length of the cap."""
        return self.armhole.front_mm + self.armhole.back_mm + self.cap_ease


def draft_sleeve(setting: Setting, options: SleeveOptions) -> Made:
    """Draft a pair of sleeves for the armhole of the bodice before them.

    Raises
    ------
    OrderFault : measures or the bodice are missing, or no sleeve can be drawn from them
    """
    lines = _lines(Needs(setting), options)
    part = setting.part
    allowances = Allowances(part.seam_allowance_mm, part.hem_allowance_mm, part.seam_allowance_mm)
    pattern = _pattern(setting, lines)
    pieces = pieces_of(setting, (pattern,), part.fabric, allowances)
    if part.lining is not None:
        pieces += pieces_of(setting, (pattern,), part.lining, allowances, " lining")
    return Made(pieces=pieces, seam_checks=_checks(setting, pieces, lines))


def _lines(needs: Needs, options: SleeveOptions) -> _Lines:
    armhole = needs.setting.armhole
    if armhole is None:
        remedy = 'Put a part with draft = "bodice" before it.'
        message = "A sleeve is drawn for the armhole of a bodice, and there is none before it."
        needs.refuse("draft", message, remedy)
        armhole = Armhole(0.0, 0.0)
    width = needs.measure("upper_arm", "The sleeve") + options.ease
    hem_width = _hem_width(needs, options, width)
    arm = options.length
    if arm is None and options.style == "long":
        arm = needs.measure("arm", "A long sleeve")
    needs.settle()
    height = _cap_height(needs, width, armhole.front_mm + armhole.back_mm + options.cap_ease)
    needs.settle()
    underarm = _SHORT_UNDERARM_MM if arm is None else arm - height
    if underarm < 10:
        needs.refuse(
            "length",
            f"A sleeve of {format_length(underarm + height, Unit.CM)} ends above the underarm; "
            f"the cap alone is {format_length(height, Unit.CM)} high.",
            "Give a longer length.",
        )
    needs.settle()
    return _Lines(armhole, options.cap_ease, width, height, underarm, hem_width)


def _hem_width(needs: Needs, options: SleeveOptions, width: float) -> float:
    if options.hem_width is not None:
        return options.hem_width
    if options.style == "long":
        return min(width, needs.measure("wrist", "A long sleeve") + _HAND_MM)
    return width - min(20.0, 0.1 * width)


def _cap(width: float, height: float) -> Line:
    """From the front underarm over the crown to the back one; level at all three."""
    half = width / 2
    front = bezier((half, 0.0), (0.7 * half, 0.0), (0.5 * half, height), (0.0, height))
    back = tuple((-x, y) for x, y in reversed(front))
    return front + back[1:]


def _cap_height(needs: Needs, width: float, wanted: float) -> float:
    """The height at which the cap is as long as wanted, to far less than a tenth of a mm."""
    low, high = _LEAST_CAP_MM, wanted / 2
    if length(_cap(width, low)) > wanted:
        needs.refuse(
            "ease",
            f"A sleeve {format_length(width, Unit.CM)} wide is too wide for an armhole of "
            f"{format_length(wanted, Unit.CM)}, ease included.",
            "Give the sleeve less ease, or the bodice a larger scye_depth.",
        )
        return low
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if length(_cap(width, middle)) < wanted else (low, middle)
    return (low + high) / 2


def _pattern(setting: Setting, lines: _Lines) -> Pattern:
    armhole, half, hem = lines.armhole, lines.width / 2, lines.hem_width / 2
    cap = _cap(lines.width, lines.cap_height)
    whole = length(cap)
    # The ease is shared out between front and back as the armhole is, above the notches.
    crown = whole * armhole.front_mm / (armhole.front_mm + armhole.back_mm)
    marks = (
        *armhole.front_marks_mm,
        crown,
        *(whole - mark for mark in reversed(armhole.back_marks_mm)),
    )
    low = -lines.underarm
    return Pattern(
        name=setting.named("sleeve"),
        edges=(
            Edge("hem", ((-hem, low), (hem, low)), Role.HEM),
            Edge("underarm front", ((hem, low), (half, 0.0))),
            Edge("cap", cap, marks_mm=marks),
            Edge("underarm back", ((-half, 0.0), (-hem, low))),
        ),
        grain=((0.0, low), (0.0, lines.cap_height)),
        pair=True,
    )


def _checks(setting: Setting, pieces: tuple[Piece, ...], lines: _Lines) -> tuple[SeamCheck, ...]:
    eased = f"armhole with {format_length(lines.cap_ease, Unit.CM)} ease"
    for_cap = tuple(
        compare(f"cap of {piece.name} to {eased}", setting.garment, found, lines.wanted)
        for piece in pieces
        for found in (seam_length(piece, "cap"),)
    )
    front, back = (seam_length(pieces[0], f"underarm {side}") for side in ("front", "back"))
    underarm = compare(f"underarm seam of {pieces[0].name}", setting.garment, front, back)
    return (*for_cap, underarm)
