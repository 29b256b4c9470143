"""What an order asks of a print, handed on to the pieces of a part that are cut from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pieces.drafting.spec import PartSpec
from pieces.errors import Fault, OrderFault
from pieces.piece import GrainRule, Piece

HEM = "hem"


def printed(pieces: Sequence[Piece], part: PartSpec) -> tuple[Piece, ...]:
    """The pieces of a part, those of its own cloth with the points that it names.

    A piece is matched at those of the points that it has; one with a hem lies on the border.

    Raises
    ------
    OrderFault : none of the pieces has a point, or none has a hem
    """
    own = [piece for piece in pieces if piece.fabric == part.fabric]
    known = list(dict.fromkeys(mark.name for piece in own for mark in piece.marks))
    faults = unknown_points(known, part.match, f"{part.key}.match")
    faults += unknown_points(known, part.motif, f"{part.key}.motif")
    if part.border and not any(_hem_line(piece) for piece in own):
        faults.append(
            Fault(
                "",
                f"{part.key}.border",
                f"The {part.draft} has no hem to lay on the border.",
                "Take border out here; it is for skirts, tiers and bands.",
            )
        )
    if faults:
        raise OrderFault(faults)
    return tuple(_asked(piece, part) if piece.fabric == part.fabric else piece for piece in pieces)


def unknown_points(known: Sequence[str], wanted: Sequence[str], key: str) -> list[Fault]:
    """A fault for each point that no piece has, with those there are."""
    listed = ", ".join(f'"{name}"' for name in known) or "none"
    return [
        Fault("", key, f'There is no point called "{name}" here.', f"There are: {listed}.")
        for name in wanted
        if name not in known
    ]


def _asked(piece: Piece, part: PartSpec) -> Piece:
    names = {mark.name for mark in piece.marks}
    match = tuple(name for name in part.match if name in names)
    motif = tuple(name for name in part.motif if name in names)
    asked = matched(piece, match, motif)
    return bordered(asked) if part.border and _hem_line(piece) else asked


def matched(piece: Piece, match: tuple[str, ...], motif: tuple[str, ...]) -> Piece:
    """The piece as it meets a print: one that may lie along or across the cloth lies along it."""
    loose = piece.grain_rule is GrainRule.ANY and (match or motif)
    rule = GrainRule.LENGTHWISE if loose else piece.grain_rule
    return replace(piece, match=match, motif=motif, grain_rule=rule)


def bordered(piece: Piece) -> Piece:
    """The piece as it lies on a border: across the cloth, its hem on the selvedge."""
    hem_mm = max((x for x, _ in _hem_line(piece)), default=0.0)
    return replace(piece, border=True, grain_rule=GrainRule.CROSSWISE, hem_mm=hem_mm)


def _hem_line(piece: Piece) -> tuple[tuple[float, float], ...]:
    return next((seam.line for seam in piece.seams if seam.name == HEM), ())
