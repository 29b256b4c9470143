"""What all skirts share: the waist they are sewn to, their length, and their lining's."""

from __future__ import annotations

from collections.abc import Sequence

from pieces.drafting.context import DraftContext, Needs
from pieces.drafting.pattern import Allowances, Role
from pieces.piece import Finding, Piece, SeamCheck
from pieces.seams import compare, seam_length, whole_length

_HORSEHAIR_LAP_MM = 25.0
"""1/2 to 1 in. where the braid's ends meet; from memory."""
_SHORT_LINING_MM = 50.0
"""A lining 2 in. shorter than its skirt was found too short: equal is right (common practice)."""
WAIST_TO_KNEE = 0.28
"""Share of the height; from memory."""


def waist(needs: Needs) -> float:
    """Length of the seam at the waist: the bodice's, or the body's where there is none."""
    if needs.context.waist_mm is not None:
        return needs.context.waist_mm
    return needs.measure("waist", "The skirt")


def skirt_length(needs: Needs, given: float | None, key: str = "length") -> float:
    """The length asked for, or from the seam it hangs at to the knee, by the height.

    `key` is that of the option by which the order may give it.
    """
    if given is not None:
        return needs.enough(key, given)
    if needs.context.body.height is None:
        needs.refuse(
            key,
            f"Without the wearer's height the skirt's {key} is not known.",
            f'Give it, such as {key} = "{needs.told(400.0)}", or the height.',
        )
        return 0.0
    to_knee = WAIST_TO_KNEE * needs.context.body.height
    return needs.enough(key, to_knee - needs.context.waist_drop_mm)


def lower_role(context: DraftContext) -> Role:
    """A seam where something is sewn on below, otherwise a hem."""
    return Role.SEAM if context.joined_below else Role.HEM


def shell_allowances(context: DraftContext, opening_mm: float | None = None) -> Allowances:
    """The part's allowances; a seam's at an opening unless told."""
    part = context.part
    opening = part.seam_allowance_mm if opening_mm is None else opening_mm
    return Allowances(part.seam_allowance_mm, part.hem_allowance_mm, opening)


def lining_allowances(
    context: DraftContext, hem_mm: float | None, opening_mm: float | None = None
) -> Allowances:
    """The lining's: its own hem if told."""
    shell = shell_allowances(context, opening_mm)
    own = shell.hem_mm if hem_mm is None else hem_mm
    return Allowances(shell.seam_mm, own, shell.opening_mm)


def lining_length(needs: Needs, shell_mm: float, shorter_mm: float) -> float:
    """As long as the shell with the band below it, less what it is to be shorter."""
    return needs.enough_left("lining_shorter", shell_mm + needs.context.below_mm - shorter_mm)


def waist_checks(
    context: DraftContext, pieces: Sequence[Piece], top: str, fullness: float, waist_mm: float
) -> SeamCheck:
    """The top edge of some pieces, gathered in, against the waist or whatever it is sewn to."""
    how = ", gathered," if fullness != 1 else ""
    return compare(
        f"{top} of {' and '.join(piece.name for piece in pieces)}{how} to {context.edge}",
        context.garment,
        whole_length(pieces, top) / fullness,
        waist_mm,
    )


def lining_checks(
    context: DraftContext,
    shell: Sequence[Piece],
    lining: Sequence[Piece],
    down: str | None,
    shorter_mm: float,
) -> list[SeamCheck]:
    """A lining's waist and hem level against its shell's; `down` is a seam between the two.

    Without such a seam the level isn't compared.
    """
    waists = compare(
        f"waist, {lining[0].name} to shell",
        context.garment,
        whole_length(lining, "waist"),
        whole_length(shell, "waist"),
    )
    if down is None:
        return [waists]
    what = "hem level" if shorter_mm == 0 else "hem level, less what it is shorter,"
    return [
        waists,
        compare(
            f"{what} of {lining[0].name} to shell",
            context.garment,
            seam_length(lining[0], down),
            seam_length(shell[0], down) + context.below_mm - shorter_mm,
        ),
    ]


def hem_notions(
    context: DraftContext, shell: Sequence[Piece], horsehair: bool, lining_shorter_mm: float = 0.0
) -> tuple[Finding, ...]:
    """What a skirt's hem wants besides cloth, and whether its lining hangs too high."""
    found = []
    if horsehair:
        braid = context.told(whole_length(shell, "hem") + _HORSEHAIR_LAP_MM)
        lap = context.told(_HORSEHAIR_LAP_MM)
        message = (
            f"{context.garment}: {braid} of horsehair braid for the hem of {shell[0].name}, "
            f"{lap} of it to overlap."
        )
        found.append(Finding("horsehair-to-buy", message))
    if context.part.lining is not None and lining_shorter_mm >= _SHORT_LINING_MM:
        message = (
            f"{context.garment}: a lining {context.told(lining_shorter_mm)} shorter than "
            "its skirt shows through as an edge; leave lining_shorter out to make them equal."
        )
        found.append(Finding("short-lining", message))
    return tuple(found)
