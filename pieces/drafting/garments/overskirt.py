"""An overskirt that is open in front, and a train to button on: flared, falling to the back."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from pieces.curves import arc, bezier, cut_at, length
from pieces.drafting.context import DraftContext, DraftResult, Needs, lined
from pieces.drafting.kind import DraftKind, wanting
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.skirts.skirts import shell_allowances, skirt_length, waist, waist_checks
from pieces.fields import Flag, Length, LengthOrZero, Ratio
from pieces.joins import opened
from pieces.piece import Line, Stage

_TO_FLOOR, _OFF_FLOOR_MM = 0.61, 20.0
"""Height of the waist over the height, from memory; a hem clears the floor by so much, common
practice."""
_STEPS = 60
_ROUNDING_MM = 80.0
"""Common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OverskirtOptions:
    """Options of an overskirt; each may be left out.

    Attributes
    ----------
    covers : its share of the waist: 1 meets in front, 0.5 lies behind from side to side
    sweep : its angle at the waist, degrees; 180, half a circle
    length : along its front edges; from waist to knee, 0.28 of the height (from memory)
    back_longer : by how much it is longer in the middle of the back; 0
    rounding : radius of its corners in front, or 0 for none; 8 cm, or a quarter of the length
        (common practice)
    on_fold : whether it is drawn as a half on the fold; otherwise it has a seam behind
    """

    covers: Ratio = 1.0
    sweep: Ratio = 180.0
    length: Length | None = None
    back_longer: LengthOrZero = 0.0
    rounding: LengthOrZero | None = None
    on_fold: Flag = True


@dataclass(frozen=True, slots=True, kw_only=True)
class TrainOptions(OverskirtOptions):
    """Options of a train; each may be left out.

    Attributes
    ----------
    covers : its share of the waist; 0.5, behind from side to side (common practice)
    sweep : its angle at the waist, degrees; 100 (common practice)
    length : along its front edges; from waist to floor less 2 cm, 0.61 of the height (from memory)
    back_longer : by how much it is longer in the middle of the back; 40 cm (common practice)
    rounding : radius of its corners in front, or 0 for none; 8 cm, or a quarter of the length
        (common practice)
    on_fold : as of an overskirt
    """

    covers: Ratio = 0.5
    sweep: Ratio = 100.0
    back_longer: LengthOrZero = 400.0


def draft_overskirt(context: DraftContext, options: OverskirtOptions) -> DraftResult:
    """Draft half of an overskirt or a train; it is sewn to a waistband of its own.

    Steps
    -----
    1. Take its share of the waist, and strike half of that as an arc with the radius of its angle:
       a quarter of a circle for each half of an overskirt, 50 degrees for a train's (geometry).
    2. Set the hem below it: along the front edge at the knee, or 2 cm above the floor for a train
       (from memory), and in the middle of the back so much lower, falling there as half a wave, so
       that it is level behind and square to the front edge (geometry).
    3. Round the corners in front with a radius of 8 cm (common practice).
    4. Lay the middle of the back on the fold, with the grain along it (common practice). Notch the
       waist half-way.

    Raises
    ------
    OrderFault : measures are missing, or it can't be drawn
    """
    return _draft(context, options, "overskirt")


def draft_train(context: DraftContext, options: TrainOptions) -> DraftResult:
    """Draft half of a train; it is sewn to a waistband of its own, and worn over a skirt.

    Steps
    -----
    1. Take the back half of the waist, and strike each half of that as an arc of 50 degrees (common
       practice).
    2. Set the hem as an overskirt's, from waist to floor less 2 cm along the side (from memory),
       and 40 cm longer behind (common practice).
    3. Round the corners, notch the waist and lay the grain as for an overskirt (common practice).

    Raises
    ------
    OrderFault : measures are missing, or it can't be drawn
    """
    height = context.body.height
    if options.length is None and height is not None:
        to_floor = _TO_FLOOR * height - context.waist_drop_mm - _OFF_FLOOR_MM
        options = replace(options, length=to_floor)
    return _draft(context, options, "train")


def _draft(context: DraftContext, options: OverskirtOptions, name: str) -> DraftResult:
    needs = Needs(context)
    seam = options.covers * waist(needs)
    long = skirt_length(needs, options.length)
    if options.rounding is None:
        options = replace(options, rounding=min(_ROUNDING_MM, long / 4))
    _look(needs, options, long)
    needs.settle()
    half = math.radians(options.sweep) / 2
    radius = seam / 2 / half
    role = Role.FOLD if options.on_fold else Role.SEAM
    pattern = Pattern(
        name=context.named(name),
        edges=_edges(options, radius, long, half, role),
        grain=((-radius - long - options.back_longer, 0.0), (-radius, 0.0)),
        pair=not options.on_fold,
    )
    pieces = lined(context, (pattern,), shell_allowances(context))
    return DraftResult(
        pieces=pieces,
        joins=()
        if options.on_fold
        else tuple(opened(one, "centre back", stage=Stage.SIDES) for one in pieces),
        seam_checks=tuple(
            replace(
                waist_checks(context, (one,), "waist", 1.0, seam),
                what=f"waist of {one.name} to its share of {context.edge}",
            )
            for one in pieces
        ),
    )


def _look(needs: Needs, options: OverskirtOptions, long: float) -> None:
    if not 0.1 <= options.covers <= 1.0:
        needs.refuse(
            "covers",
            f"{options.covers:g} is no share of the waist.",
            "Write 1 for an overskirt that meets in front, less for one that lies behind.",
        )
    if not 20.0 <= options.sweep <= 340.0:
        needs.refuse(
            "sweep",
            f"An angle of {options.sweep:g} degrees can't be drawn.",
            "Write between 20 and 340; 180 is half a circle.",
        )
    rounding = options.rounding or 0.0
    if rounding > long / 2 and not needs.faults:
        needs.refuse(
            "rounding",
            f"Corners rounded by {needs.told(rounding)} take more than half of the front "
            f"edge of {needs.told(long)}.",
            "Give less rounding, or more length.",
        )


def _edges(
    options: OverskirtOptions, radius: float, long: float, half: float, role: Role
) -> tuple[Edge, ...]:
    """Half of it above its middle, which lies along the x axis with the waist to the right."""
    top = arc((0.0, 0.0), radius, 180.0, 180.0 - math.degrees(half), sewn=True)
    hem = _hem(radius + long, half, options.back_longer)
    front: Line = (top[-1], hem[0])
    if options.rounding:
        front, hem = _rounded(front, hem, min(options.rounding, length(hem) / 2))
    return (
        Edge("centre back", (hem[-1], top[0]), role),
        Edge("waist", top, marks_mm=(length(top) / 2,)),
        Edge("front edge", front, Role.HEM),
        Edge("hem", hem, Role.HEM),
    )


def _hem(reach: float, half: float, drop: float) -> Line:
    """From the front edge to the middle of the back, where it is lower by the drop."""
    ends = (0.1 / _STEPS, 1 - 0.1 / _STEPS)
    shares = [0.0, ends[0], *(i / _STEPS for i in range(1, _STEPS)), ends[1], 1.0]
    line = []
    for share in shares:
        down = drop * (1 - math.cos(math.pi * share)) / 2
        turn = math.pi - half * (1 - share)
        line.append(((reach + down) * math.cos(turn), (reach + down) * math.sin(turn)))
    return (*line[:-1], (-reach - drop, 0.0))


def _rounded(front: Line, hem: Line, radius: float) -> tuple[Line, Line]:
    """The front edge and the hem with the corner between them rounded, on the hem's side."""
    edge, _ = cut_at(front, length(front) - radius)
    _, rest = cut_at(hem, radius)
    corner = hem[0]
    pull = 0.45
    first = tuple(a + (b - a) * pull for a, b in zip(corner, edge[-1], strict=True))
    second = tuple(a + (b - a) * pull for a, b in zip(corner, rest[0], strict=True))
    curve = bezier(edge[-1], (first[0], first[1]), (second[0], second[1]), rest[0])
    return edge, curve + rest[1:]


KINDS = (
    DraftKind(
        name="overskirt",
        options=OverskirtOptions,
        draft=draft_overskirt,
        description="an overskirt, open in front, to wear over a dress",
        place=133,
        waist_to_finish=wanting,
        curved_hem=True,
    ),
    DraftKind(
        name="train",
        options=TrainOptions,
        draft=draft_train,
        description="a train to button on behind",
        place=134,
        waist_to_finish=wanting,
        curved_hem=True,
    ),
)
