"""What all skirts share: the waist they are sewn to, their length, and their lining's."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Protocol

from pieces.drafting.context import DraftContext, Layer, Needs, shell_and_lining
from pieces.drafting.growth import Growth, hem_growth
from pieces.drafting.pattern import Allowances, Pattern, Role
from pieces.notions import Notion, Sold
from pieces.piece import Finding, How, Piece, SeamCheck, Stage, Step
from pieces.seams import ALLOWED_MM, compare, seam_length, whole_length
from pieces.wording import key

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


def skirt_length(needs: Needs, given: float | None, option: str = "length") -> float:
    """The length asked for, or from the seam it hangs at to the knee, by the height.

    `option` is the one by which the order may give it.
    """
    if given is not None:
        return needs.enough(option, given)
    if needs.context.body.height is None:
        needs.refuse(
            option,
            "Without the wearer's height the skirt's " + key(option) + " is not known.",
            "Give it, " + needs.such_as(option, 400.0) + ", or the height.",
        )
        return 0.0
    to_knee = WAIST_TO_KNEE * needs.context.body.height
    return needs.enough(option, to_knee - needs.context.waist_drop_mm)


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


class StraightOptions(Protocol):
    """What the options of a straight skirt say of its hems."""

    @property
    def growth(self) -> Growth:
        """Whether the hem is deeper, to be let down."""

    @property
    def lining_hem_allowance(self) -> float | None:
        """The lining's own, mm."""


def straight_skirt(
    context: DraftContext,
    options: StraightOptions,
    patterns: Callable[[float, Role], Sequence[Pattern]],
    long: float,
    lining_long: float,
) -> tuple[tuple[Piece, ...], tuple[Piece, ...], float]:
    """The shell's pieces and the lining's, and by how much the shell's hem is deeper to grow into.

    `patterns` draws them so long, mm, with that role at their lower edge.
    """
    deeper = 0.0 if context.joined_below else hem_growth(context, options.growth, long)
    allowances = shell_allowances(context)
    allowances = replace(allowances, hem_mm=allowances.hem_mm + deeper)
    lining = lining_allowances(context, options.lining_hem_allowance)
    pieces = shell_and_lining(
        context,
        (patterns(long, lower_role(context)), allowances),
        (patterns(lining_long, Role.HEM), lining),
    )
    return *pieces, deeper


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


def layer_of(shell: Sequence[Piece], lining: Sequence[Piece], top: str, long_mm: float) -> Layer:
    """The inmost cloth of a skirt, so long."""
    inmost = lining or shell
    top_mm, hem_mm = (whole_length(inmost, name) for name in (top, "hem"))
    return Layer(inmost[0].name, top_mm, hem_mm, long_mm)


def waist_step(
    context: DraftContext,
    pieces: Sequence[Piece],
    top: str,
    waist_mm: float,
    how: How | None = None,
) -> Step:
    """The same as a thing to sew: gathered if it is longer, unless told otherwise."""
    whole_mm = whole_length(pieces, top)
    if how is None:
        how = How.GATHERED if whole_mm > waist_mm + ALLOWED_MM else How.PLAIN
    return Step(
        stage=Stage.WAIST,
        what=f"{top} of {' and '.join(piece.name for piece in pieces)}",
        to=context.edge,
        how=how,
        this_mm=whole_mm,
        that_mm=waist_mm,
        quarters=any(len(seam.marks_mm) == 3 for seam in pieces[0].seams if seam.name == top),
    )


def edge_step(
    context: DraftContext, what: str, whole_mm: float, edge_mm: float, stage: Stage
) -> Step:
    """A strip sewn to the edge that a part hangs at, gathered if it is longer."""
    gathered = whole_mm > edge_mm + ALLOWED_MM
    return Step(
        stage=stage,
        what=what,
        to=context.edge,
        how=How.GATHERED if gathered else How.PLAIN,
        this_mm=whole_mm,
        that_mm=edge_mm,
        quarters=True,
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


def horsehair_for(
    context: DraftContext, shell: Sequence[Piece], wanted: bool | None, *, full: bool = False
) -> tuple[Notion, ...]:
    """The braid that stiffens a skirt's hem, where the order wants it.

    Where the order leaves it open, a `full` circle has it, unless something is sewn to its hem.
    """
    if not (full and not context.joined_below if wanted is None else wanted):
        return ()
    return (
        Notion(
            name="horsehair braid",
            garment=context.garment,
            where=f"hem of {context.named('skirt')}" if full else f"hem of {shell[0].name}",
            sold=Sold.LENGTH,
            length_mm=whole_length(shell, "hem") + _HORSEHAIR_LAP_MM,
        ),
    )


def lining_told(context: DraftContext, lining_shorter_mm: float) -> tuple[Finding, ...]:
    """That a lining hangs too high: code ``short-lining``."""
    if context.part.lining is None or lining_shorter_mm < _SHORT_LINING_MM:
        return ()
    message = (
        f"a lining {context.told(lining_shorter_mm)} shorter than "
        "its skirt shows through as an edge; leave "
        + key("lining_shorter")
        + " out to make them equal."
    )
    return (context.finding("short-lining", message, "lining_shorter"),)
