"""Gathered tiers: strips joined to a ring and gathered to the waist or to the tier above."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pieces.drafting.pattern import Pattern, Role
from pieces.drafting.setting import Made, Needs, Setting, pieces_of
from pieces.drafting.skirts import lower_role, shell_allowances, skirt_length, waist
from pieces.drafting.strips import STRIP_LENGTH_MM, strip_pattern, strips_or_fault
from pieces.fields import Flag, Length, Ratio
from pieces.piece import GrainRule, Piece
from pieces.seams import compare, whole_length


@dataclass(frozen=True, slots=True, kw_only=True)
class TierOptions:
    """Options of a tier; each may be left out.

    Attributes
    ----------
    depth : finished; the length from waist to knee (0.28 of the height, from memory) shared
        evenly between the tiers of the skirt
    fullness : its length over what it is gathered to; 1.5 (each tier 1.5 to 2 times the one
        above: Dress Making, NIMI, 2024)
    strip_length : the longest strip it may be joined from, as cut; 140 cm
    grain : any; lengthwise if the depth must run along the cloth, crosswise if across
    at_waist : whether it begins a new skirt at the waist; a tier that follows another is
        otherwise sewn to that one
    """

    depth: Length | None = None
    fullness: Ratio = 1.5
    strip_length: Length = STRIP_LENGTH_MM
    grain: Literal["any", "lengthwise", "crosswise"] = "any"
    at_waist: Flag = False


def draft_tier(setting: Setting, options: TierOptions) -> Made:
    """Draft a tier for the waist, or for the lower edge of the tier before it.

    Raises
    ------
    OrderFault : measures are missing, or its strips can't be cut
    """
    needs = Needs(setting)
    edge_mm = waist(needs) if setting.edge_mm is None else setting.edge_mm
    depth = needs.enough("depth", _share(needs) if options.depth is None else options.depth)
    whole = edge_mm * needs.gathers("fullness", options.fullness)
    strips = strips_or_fault(needs, whole, options.strip_length)
    needs.settle()
    name = setting.named(f"tier {setting.number}")
    rule = GrainRule(options.grain)

    def pattern(lower: Role) -> Pattern:
        return strip_pattern(name, strips, depth, rule, lower, top="top")

    part, allowances = setting.part, shell_allowances(setting)
    shell = pieces_of(setting, (pattern(lower_role(setting)),), part.fabric, allowances)
    lining: tuple[Piece, ...] = ()
    if part.lining is not None:
        lining = pieces_of(
            setting, (pattern(lower_role(setting)),), part.lining, allowances, " lining"
        )
    checks = [
        check
        for piece in shell + lining
        for check in (
            compare(
                f"top of {piece.name}, gathered, to {setting.edge}",
                setting.garment,
                whole_length((piece,), "top") / options.fullness,
                edge_mm,
            ),
            compare(
                f"strips of {piece.name} joined, to its length",
                setting.garment,
                whole_length((piece,), "hem"),
                whole,
            ),
        )
    ]
    return Made(pieces=shell + lining, seam_checks=tuple(checks), hem_mm=whole_length(shell, "hem"))


def _share(needs: Needs) -> float:
    return skirt_length(needs, None) / needs.setting.tiers
