"""A cummerbund: pleated in front, narrowing to bands that close behind."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.drafting.context import DraftContext, DraftResult, Needs, pieces_of
from pieces.drafting.kind import DraftKind
from pieces.drafting.pattern import Edge, Pattern
from pieces.drafting.skirts.skirts import shell_allowances
from pieces.fields import Count, Length, LengthOrZero
from pieces.notions import Notion, Sold
from pieces.piece import GrainRule, How, Join, Side, Stage, Step
from pieces.seams import compare, whole_length
from pieces.wording import key

_DEPTH, _FRONT, _NARROW = 0.085, 0.6, 0.4
_EASE_MM, _LAP_MM = 10.0, 40.0
_PLEAT, _HOOKS = 0.6, 3
"""Common practice, as all proportions of this draft."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CummerbundOptions:
    """Options of a cummerbund; each may be left out.

    Attributes
    ----------
    depth : finished, in front; 0.085 of the height, 8.6 cm at 101 cm, 12 cm at most (common
        practice)
    pleats : how many lie along it, opening upwards; 4 (common practice)
    pleat_depth : of each fold; 0.6 of what shows of a pleat (common practice)
    front : length of the pleated part; 0.6 of the waist (common practice)
    ease : over the waist; 1 cm (common practice)
    """

    depth: Length | None = None
    pleats: Count = 4
    pleat_depth: Length | None = None
    front: Length | None = None
    ease: LengthOrZero = _EASE_MM


def draft_cummerbund(context: DraftContext, options: CummerbundOptions) -> DraftResult:
    """Draft the pleated front, its backing, and the bands behind.

    Steps
    -----
    1. Draw the front 0.6 of the waist long, as deep as finished and twice the depth of each of 4
       pleats more, with the lines at which they are folded (common practice).
    2. Draw its backing as long and as deep as it is finished (common practice); it is cut from the
       lining where there is one.
    3. Share what is left of the waist, 1 cm of ease and 4 cm to overlap between two bands, which
       narrow from the front's depth to 0.4 of it; cut each twice, band and facing (common
       practice).
    4. Pleat the ends of the front to the bands', and notch the pleats there (common practice).

    Raises
    ------
    OrderFault : measures are missing, or there is too little of it to sew
    """
    needs = Needs(context)
    around = needs.measure("waist", "A cummerbund") + options.ease + _LAP_MM
    depth = needs.enough("depth", options.depth or _depth(needs))
    front = needs.enough("front", options.front or _FRONT * (around - _LAP_MM))
    band = needs.enough_left("front", (around - front) / 2)
    shows = depth / (options.pleats + 1)
    fold = options.pleat_depth or _PLEAT * shows
    if fold > shows and not needs.faults:
        needs.refuse(
            "pleat_depth",
            f"Pleats {needs.told(fold)} deep lie over each other where {needs.told(shows)} shows.",
            "Give a smaller " + key("pleat_depth") + " or fewer pleats.",
        )
    needs.settle()
    part = context.part
    deep = depth + 2 * options.pleats * fold
    name = context.named("cummerbund")
    pleated = _front(name, front, deep, _folds(options.pleats, shows, fold))
    backing = _front(f"{name} backing", front, depth, ())
    bands = _band(f"{name} band", band, depth)
    allowances = shell_allowances(context)
    shell = pieces_of(context, [pleated, bands], part.fabric, allowances)
    behind = pieces_of(context, [backing], part.lining or part.fabric, allowances)
    joins = [
        Join(
            what=f"{end} of {name} to {bands.name}",
            this=Side(name, end),
            that=Side(bands.name, "front end"),
            fullness=deep / depth,
            smooth=(False, False),
            how=How.PLEATED,
            stage=Stage.SHAPE,
        )
        for end in ("end", "other end")
    ]
    backed = (
        f"Sew the {backing.name} to the {name} and the facings to its bands, right sides together, "
        "and turn it; the pleats open upwards."
    )
    joined = front + 2 * (whole_length(shell[1:], "edge") / shell[1].parts)
    what = f"{name} and its bands, less the overlap, to the waist and its ease"
    return DraftResult(
        pieces=shell + behind,
        joins=tuple(joins),
        steps=(Step(stage=Stage.HEMS, what=backed, how=None),),
        notions=(
            Notion(
                name="hook and eye",
                garment=context.garment,
                where=f"closing ends of {name}",
                sold=Sold.PIECE,
                count=_HOOKS,
            ),
        ),
        seam_checks=(compare(what, context.garment, joined - _LAP_MM, around - _LAP_MM),),
    )


def _depth(needs: Needs) -> float:
    height = needs.context.body.height
    if height is None:
        needs.refuse(
            "depth",
            "Without the wearer's height the depth of a cummerbund is not known.",
            "Give it, " + needs.such_as("depth", 90.0) + ", or the height.",
        )
        return 0.0
    return min(120.0, _DEPTH * height)


def _folds(pleats: int, shows: float, fold: float) -> tuple[float, ...]:
    """Where each pleat is folded and where its fold comes to lie, from the lower edge up."""
    step = shows + 2 * fold
    return tuple(y for i in range(pleats) for y in (shows + i * step, shows + i * step + 2 * fold))


def _front(name: str, long: float, deep: float, folds: tuple[float, ...]) -> Pattern:
    quarters = tuple(long * quarter / 4 for quarter in (1, 2, 3))
    return Pattern(
        name=name,
        edges=(
            Edge("lower edge", ((0.0, 0.0), (long, 0.0)), marks_mm=quarters),
            Edge("end", ((long, 0.0), (long, deep)), marks_mm=folds),
            Edge("upper edge", ((long, deep), (0.0, deep)), marks_mm=quarters),
            Edge(
                "other end",
                ((0.0, deep), (0.0, 0.0)),
                marks_mm=tuple(deep - y for y in reversed(folds)),
            ),
        ),
        grain=((0.0, deep / 2), (long, deep / 2)),
        grain_rule=GrainRule.ANY,
        drawn_lines=tuple(((0.0, y), (long, y)) for y in folds),
    )


def _band(name: str, long: float, depth: float) -> Pattern:
    """Straight below, narrowing from above, cut twice for each side: band and facing."""
    narrow = _NARROW * depth
    return Pattern(
        name=name,
        edges=(
            Edge("edge", ((0.0, 0.0), (long, 0.0))),
            Edge("closing end", ((long, 0.0), (long, narrow))),
            Edge("upper edge", ((long, narrow), (0.0, depth))),
            Edge("front end", ((0.0, depth), (0.0, 0.0))),
        ),
        grain=((0.0, narrow / 2), (long, narrow / 2)),
        cut=2,
        pair=True,
        grain_rule=GrainRule.ANY,
    )


KINDS = (
    DraftKind(
        name="cummerbund",
        options=CummerbundOptions,
        draft=draft_cummerbund,
        description="a pleated cummerbund that closes behind",
        place=174,
    ),
)
