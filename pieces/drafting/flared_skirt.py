"""Flared skirts: parts of a circle with a hole for the waist."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pieces.curves import arc
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.setting import Made, Needs, Setting, pieces_of
from pieces.drafting.skirts import (
    lining_allowances,
    lining_checks,
    lining_length,
    lower_role,
    shell_allowances,
    skirt_length,
    waist,
    waist_checks,
)
from pieces.fields import Count, Flag, Length, LengthOrZero, Ratio
from pieces.piece import Finding, Piece, SeamCheck
from pieces.seams import compare, seam_length, whole_length
from pieces.units import Unit, format_length

CIRCLES = {"full": 1.0, "three-quarter": 0.75, "half": 0.5, "quarter": 0.25}


_DEEPEST_HEM_MM = {"full": 10.0, "three-quarter": 10.0, "half": 40.0, "quarter": 40.0}
"""Circles 1/4 to 3/8 in. or rolled, flared skirts 1 1/2 in. (a state extension's *It's Fun to
Sew*; a sewing guild's table, secondary copy)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlaredSkirtOptions:
    """Options of a flared skirt; each may be left out.

    Attributes
    ----------
    circle : full, three-quarter, half or quarter: how much of a circle it is
    length : from waist to hem, without a band; waist to knee, 0.28 of the height (from memory)
    waist_fullness : the top edge over the waist it is gathered to; 1
    panels : from how many it is sewn; 2, or 1 for a quarter circle (common practice)
    opening : centre back (one panel has its only seam there, of two the back is cut apart), side
        or none
    opening_allowance : where the opening is; 2 cm for a zip (common practice)
    on_fold : whether a panel is drawn as a half on the fold; so for one or two panels
    lining_shorter : by how much the lining ends above the hem; 0
    lining_hem_allowance : the shell's
    """

    circle: Literal["full", "three-quarter", "half", "quarter"] = "half"
    length: Length | None = None
    waist_fullness: Ratio = 1.0
    panels: Count | None = None
    opening: Literal["centre back", "side", "none"] = "centre back"
    opening_allowance: LengthOrZero = 20.0
    on_fold: Flag | None = None
    lining_shorter: LengthOrZero = 0.0
    lining_hem_allowance: LengthOrZero | None = None

    @property
    def panel_count(self) -> int:
        """How many panels, the trade's choice where none is told."""
        return self.panels or (1 if self.circle == "quarter" else 2)

    @property
    def panel_deg(self) -> float:
        """Angle of one panel, opened out."""
        return 360.0 * CIRCLES[self.circle] / self.panel_count


def waist_radius(waist_mm: float, circle: float) -> float:
    """Radius of the waist's sewing line, W / (2 pi f) for the part f of a circle.

    >>> round(waist_radius(520, 1), 2)
    82.76
    """
    return waist_mm / (2 * math.pi * circle)


def draft_flared_skirt(setting: Setting, options: FlaredSkirtOptions) -> Made:
    """Draft a flared skirt for the waist of the bodice before it, or the body's.

    Raises
    ------
    OrderFault : measures are missing, or no such skirt can be drawn
    """
    needs = Needs(setting)
    seam_mm = waist(needs)
    long = skirt_length(needs, options.length)
    lining_long = lining_length(needs, long, options.lining_shorter)
    whole = seam_mm * needs.gathers("waist_fullness", options.waist_fullness)
    _refuse_closed_circle(needs, options)
    needs.settle()
    radius = waist_radius(whole, CIRCLES[options.circle])
    part, opening = setting.part, options.opening_allowance
    shell = pieces_of(
        setting,
        _patterns(setting, options, radius, long, lower_role(setting)),
        part.fabric,
        shell_allowances(setting, opening),
    )
    checks = [
        waist_checks(setting, shell, "waist", options.waist_fullness, seam_mm),
        *_side_checks(setting, shell),
    ]
    lining: tuple[Piece, ...] = ()
    if part.lining is not None:
        lining = pieces_of(
            setting,
            _patterns(setting, options, radius, lining_long, Role.HEM),
            part.lining,
            lining_allowances(setting, options.lining_hem_allowance, opening),
            " lining",
        )
        down = shell[0].seams[-2].name  # the edge between waist and hem
        checks += lining_checks(setting, shell, lining, down, options.lining_shorter)
    return Made(
        pieces=shell + lining,
        seam_checks=tuple(checks),
        findings=_findings(setting, options),
        hem_mm=whole_length(shell, "hem"),
    )


def _findings(setting: Setting, options: FlaredSkirtOptions) -> tuple[Finding, ...]:
    deepest = _DEEPEST_HEM_MM[options.circle]
    part, own = setting.part, options.lining_hem_allowance
    hems = [] if setting.joined_below else [part.hem_allowance_mm]
    if part.lining is not None:
        hems.append(part.hem_allowance_mm if own is None else own)
    if max(hems, default=0.0) <= deepest:
        return ()
    message = (
        f"{setting.garment}: a hem of {format_length(max(hems), Unit.CM)} on a {options.circle} "
        f"circle puckers when it is turned up; {format_length(deepest, Unit.CM)} or less lies flat."
    )
    return (Finding("deep-curved-hem", message),)


def _refuse_closed_circle(needs: Needs, options: FlaredSkirtOptions) -> None:
    if options.panel_deg > 300:
        needs.refuse(
            "panels",
            "A whole circle in one panel leaves no cloth for its seam.",
            "Write panels = 2 or more.",
        )


def _patterns(
    setting: Setting, options: FlaredSkirtOptions, radius: float, long: float, lower: Role
) -> tuple[Pattern, ...]:
    """Front and back, or panels that are all alike."""
    count, angle = options.panel_count, options.panel_deg
    at_back = options.opening == "centre back"
    seam = Role.OPENING if options.opening == "side" else Role.SEAM
    fold = count <= 2 if options.on_fold is None else options.on_fold
    if count == 2 and at_back:
        front = _half(radius, long, angle / 2, Role.FOLD, "side", seam, lower)
        if not fold:
            front = _whole(radius, long, angle, ("side left", "side right"), seam, lower)
        back = _half(radius, long, angle / 2, Role.OPENING, "side", seam, lower)
        return (
            _pattern(setting.named("skirt front"), front, radius, long),
            _pattern(setting.named("skirt back"), back, radius, long, pair=True),
        )
    if at_back:
        seam = Role.OPENING
    if fold:
        name = "centre back" if count == 1 else "side"
        edges = _half(radius, long, angle / 2, Role.FOLD, name, seam, lower)
    else:
        edges = _whole(radius, long, angle, ("side left", "side right"), seam, lower)
    name = "skirt" if count == 1 else "skirt panel"
    return (_pattern(setting.named(name), edges, radius, long, cut=count),)


def _pattern(
    name: str,
    edges: tuple[Edge, ...],
    radius: float,
    long: float,
    *,
    cut: int = 1,
    pair: bool = False,
) -> Pattern:
    grain = ((-radius - long, 0.0), (-radius, 0.0))
    return Pattern(name=name, edges=edges, grain=grain, cut=cut, pair=pair)


def _half(
    radius: float,
    long: float,
    half_deg: float,
    middle: Role,
    side: str,
    side_role: Role,
    lower: Role,
) -> tuple[Edge, ...]:
    """Half a panel above its middle, which lies along the x axis with the waist to the right."""
    waist_line = arc((0.0, 0.0), radius, 180.0, 180.0 - half_deg)
    hem = arc((0.0, 0.0), radius + long, 180.0 - half_deg, 180.0)
    name = "centre front" if middle is Role.FOLD else "centre back"
    return (
        Edge(name, (hem[-1], waist_line[0]), middle),
        Edge("waist", waist_line),
        Edge(side, (waist_line[-1], hem[0]), side_role),
        Edge("hem", hem, lower),
    )


def _whole(
    radius: float,
    long: float,
    angle_deg: float,
    names: tuple[str, str],
    side_role: Role,
    lower: Role,
) -> tuple[Edge, ...]:
    """A panel with its middle along the x axis and the waist to the right."""
    low, high = 180.0 + angle_deg / 2, 180.0 - angle_deg / 2
    waist_line = arc((0.0, 0.0), radius, low, high)
    hem = arc((0.0, 0.0), radius + long, high, low)
    return (
        Edge(names[0], (hem[-1], waist_line[0]), side_role),
        Edge("waist", waist_line),
        Edge(names[1], (waist_line[-1], hem[0]), side_role),
        Edge("hem", hem, lower),
    )


def _side_checks(setting: Setting, shell: tuple[Piece, ...]) -> list[SeamCheck]:
    """The two side seams that meet; those of one panel with itself are its first and last."""
    ends = [
        (piece.name, seam.name)
        for piece in shell
        for seam in piece.seams
        if seam.name.startswith("side")
    ]
    if not ends:
        return []
    (piece_name, seam_name), (other_name, other_seam) = ends[0], ends[-1]
    by_name = {piece.name: piece for piece in shell}
    return [
        compare(
            f"side seam, {piece_name} to {other_name}",
            setting.garment,
            seam_length(by_name[piece_name], seam_name),
            seam_length(by_name[other_name], other_seam),
        )
    ]
