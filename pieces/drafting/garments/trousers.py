"""Trousers: front and back of each leg, for elastic or a waistband, with or without a fly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from pieces.curves import bezier, length
from pieces.drafting.context import DraftContext, DraftResult, Needs, lined_apart, pieces_of
from pieces.drafting.garments.legs import Leg, chair_rise, even
from pieces.drafting.kind import DraftKind
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.skirts.skirts import shell_allowances
from pieces.fields import Flag, Length, LengthOrZero
from pieces.joins import opened
from pieces.notions import Notion, Sold
from pieces.piece import GrainRule, Join, Piece, Side, Stage
from pieces.seams import seam_length, whole_length
from pieces.wording import choose, write

_EASE_MM = {"elastic": 80.0, "band": 60.0}
_FRONT_FORK, _BACK_FORK = 1 / 16, 1 / 8
_BACK_WIDER_MM, _TAPERS_MORE, _TILT = 20.0, 0.15, 0.08
_SEAT_LEANS = {"elastic": 0.1, "band": 0.16}
_WAIST_EASE_MM, _OVER_HIP_MM = 10.0, 20.0
_SIDE_TAKES, _MIDDLE_TAKES, _DARTS, _LEAST_DART_MM = 0.25, 0.1, (0.15, 0.25), 6.0
_TO_FLOOR, _KNEE, _OFF_FLOOR_MM, _SHORT = 0.61, 0.27, 30.0, 0.35
_LEAST_FOOT = 0.22
_SNUG_MM, _LAP_MM = 25.0, 20.0
_FLY_MM, _ZIP = 40.0, 0.6
"""Common practice, as all proportions of this draft; heights over the height from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrousersOptions:
    """Options of trousers; each may be left out.

    Attributes
    ----------
    waist : elastic, in a casing turned down, or band, for a waistband after it, with a fly;
        elastic
    style : long to the ankle, knee, or short, a third of the way there
    ease : over the whole hip; 8 cm for elastic, 6 for a band (common practice)
    rise : from the waist down to the chair on which the wearer sits; the body's, or hip / 5 +
        7.5 cm (from memory of European tables)
    inseam : from the fork to the hem, instead of a style
    hem_width : of a leg's hem, all round; 0.27 of the height for long ones, others by the thigh
    fly : whether trousers for a band have a fly, with facing and guard; true. Without one they
        close by a zip in the middle
    """

    waist: Literal["elastic", "band"] = "elastic"
    style: Literal["long", "knee", "short"] = "long"
    ease: LengthOrZero | None = None
    rise: Length | None = None
    inseam: Length | None = None
    hem_width: Length | None = None
    fly: Flag = True


def draft_trousers(context: DraftContext, options: TrousersOptions) -> DraftResult:
    """Draft front and back of a pair of trousers, and the pieces of a fly.

    Steps
    -----
    1. Take a quarter of the hip and of its ease, 8 cm for elastic, 6 for a band, as the width from
       side to middle, and go out to the fork by 1/16 of the hip in front and 1/8 behind (common
       practice; 1/12 in front of wide bloomers: *The Practical Designer for Women's and Misses'
       Underwear*, 1918, lesson 411).
    2. Set the waist above the fork by hip / 5 + 7.5 cm (from memory of European tables), the hip a
       third of the way up; let the seam behind lean in by 0.16 from there, 0.1 for elastic,
       and the waist rise towards it from the side and fall to the front (common practice).
    3. Set the hem below the fork, which is 0.61 of the height less the rise above the floor: 3 cm
       off the floor, at the knee at 0.27 of the height (from memory), or 0.35 of the way down
       (common practice).
    4. For a band take in what the waist and 1 cm are less: beside the lean behind a quarter at each
       side, a tenth in the middle in front, the rest in a dart in front and one behind, 6 mm at
       least; draw the waist square to middle and darts (common practice).
    5. Draw the hem 2 cm wider behind, more on short legs, the side seam alike in front and behind,
       the inseam upright where it ends, and lower the fork of the back until both inseams are
       equally long (common practice).
    6. Draw the middle square to the inseam at the fork, so that it runs on over it (*A Complete
       Course in Dressmaking*, vol. 9, 1921, trues joined edges alike), and lay the grain along the
       crease (common practice).
    7. For a fly draw a facing 4 cm wide along the straight part of the front, its lower corner
       rounded, and a guard twice as wide to fold (common practice).

    Raises
    ------
    OrderFault : measures are missing, or no trousers can be drawn from them
    """
    needs = Needs(context)
    front, back = _legs(needs, options)
    needs.settle()
    band, fly = options.waist == "band", options.waist == "band" and options.fly
    role = Role.SEAM if band else Role.HEM
    patterns = [
        Pattern(
            name=context.named(f"trousers {which}"),
            edges=leg.edges(which, role, fly and which == "front"),
            grain=(
                (leg.side_in + leg.hem / 2, -leg.inseam),
                (leg.side_in + leg.hem / 2, leg.rise),
            ),
            pair=True,
            drawn_lines=leg.dart_legs(),
        )
        for which, leg in (("front", front), ("back", back))
    ]
    allowances = shell_allowances(context)
    shell, lining = lined_apart(context, patterns, allowances)
    joins = [join for pair in filter(None, (shell, lining)) for join in _joins(pair)]
    around = whole_length(shell, "waist")
    flies: tuple[Piece, ...] = ()
    if fly:
        long = length(front.middle[1])
        flies = pieces_of(context, _fly(context, long), context.part.fabric, allowances)
        joins.append(
            Join(
                what=f"fly of {shell[0].name} to its facing",
                this=Side(shell[0].name, "fly"),
                that=Side(flies[0].name, "fly"),
                turned=True,
                smooth=(False, False),
                stage=Stage.CLOSURE,
            )
        )
    return DraftResult(
        pieces=shell + flies + lining,
        joins=tuple(joins),
        notions=_zip(context, shell) if band else (_elastic(context),),
        waist_mm=around if band else None,
        waist_edge="waist of the trousers",
    )


def _legs(needs: Needs, options: TrousersOptions) -> tuple[Leg, Leg]:
    hip, waist = needs.measure("hip", "Trousers"), needs.measure("waist", "The waist of trousers")
    ease = _EASE_MM[options.waist] if options.ease is None else options.ease
    quarter, forks = (hip + ease) / 4, (_FRONT_FORK * hip, _BACK_FORK * hip)
    rise = chair_rise(needs.context.body, options.rise, hip)
    inseam = options.inseam or _inseam(needs, options.style, rise)
    needs.settle()
    needs.enough("rise", rise, 1.5 * forks[1])
    needs.enough("inseam", inseam, 10.0)
    needs.settle()
    around = _hem_width(needs, options, 2 * quarter + sum(forks))
    # A short leg has no room for an inseam behind that tapers much more than in front.
    wider = max(_BACK_WIDER_MM, forks[1] - forks[0] - _TAPERS_MORE * inseam)
    wide = (around - wider) / 2
    needs.enough_left("hem_width", wide)
    side_in = (quarter + forks[0] - wide) / 2
    leg = Leg(
        quarter=quarter,
        fork=forks[0],
        rise=rise,
        higher=-_TILT / 2 * quarter,
        tilt=-_TILT,
        inseam=inseam,
        hem=wide,
        side_in=side_in,
    )
    leans = _SEAT_LEANS[options.waist]
    higher = (_TILT + leans) / 2 * quarter
    seat = leans * (rise * 2 / 3 + higher)
    back = replace(
        leg,
        fork=forks[1],
        higher=higher,
        tilt=_TILT,
        hem=wide + wider,
        middle_in=seat,
    )
    if options.waist == "elastic":
        _passes(needs, 4 * quarter - 2 * seat, hip)
        return leg, even(leg, back)
    return _taken_in(leg, back, 2 * quarter - (waist + _WAIST_EASE_MM) / 2)


def _taken_in(front: Leg, back: Leg, excess: float) -> tuple[Leg, Leg]:
    """Front and back that are together narrower at the waist by so much, or wider than the hip."""
    left = excess - back.middle_in
    if left <= 0:  # the seat's lean takes enough, and a belly may ask for more at the sides
        return replace(front, waist_in=left / 2), even(front, replace(back, waist_in=left / 2))
    middle, side = _MIDDLE_TAKES * left, _SIDE_TAKES * left
    darts = [share * left if share * left >= _LEAST_DART_MM else 0.0 for share in _DARTS]
    side += (left - middle - 2 * side - sum(darts)) / 2
    front = replace(front, waist_in=side, middle_in=middle, dart=darts[0])
    return front, even(front, replace(back, waist_in=side, dart=darts[1]))


def _inseam(needs: Needs, style: str, rise: float) -> float:
    height = needs.context.body.height
    if height is None:
        needs.refuse(
            "inseam",
            "Without the wearer's height the length of a leg is not known.",
            "Give it, " + needs.such_as("inseam", 450.0) + ", or the height.",
        )
        return 0.0
    to_floor = _TO_FLOOR * height - rise
    return {
        "long": to_floor - _OFF_FLOOR_MM,
        "knee": to_floor - _KNEE * height,
        "short": _SHORT * to_floor,
    }[style]


def _hem_width(needs: Needs, options: TrousersOptions, thigh: float) -> float:
    height, long = needs.context.body.height, options.style == "long" and options.inseam is None
    if options.hem_width is None:
        shares = {"long": 0.6, "knee": 0.82, "short": 0.92}
        usual = shares[options.style] * thigh
        return usual if height is None or not long else min(usual, 0.27 * height)
    if height is not None and options.hem_width < _LEAST_FOOT * height:
        least_mm = _LEAST_FOOT * height
        needs.refuse(
            "hem_width",
            f"A foot has to pass the hem, which takes about {needs.told(least_mm)}.",
            write("hem_width", needs.told(least_mm), " or more", verb="give") + ".",
        )
    return options.hem_width


def _passes(needs: Needs, around: float, hip: float) -> None:
    """Nothing opens a waist on elastic, so it is as wide as the hip and a little more."""
    lacking = hip + _OVER_HIP_MM - around
    if lacking > 0 and not needs.faults:
        needs.refuse(
            "ease",
            f"The waist of {needs.told(around)} opens nowhere, and a hip of {needs.told(hip)} has "
            "to pass it.",
            "Give more ease, or " + choose("waist", "band") + ", for a waistband that opens.",
        )


def _fly(context: DraftContext, long: float) -> list[Pattern]:
    round_ = min(_FLY_MM, long / 2)
    corner = bezier((0.0, 0.0), (_FLY_MM / 2, 0.0), (_FLY_MM, round_ / 2), (_FLY_MM, round_))
    middle = _FLY_MM / 2
    facing = Pattern(
        name=context.named("fly facing"),
        edges=(
            Edge("outer edge", (*corner, (_FLY_MM, long))),
            Edge("waist end", ((_FLY_MM, long), (0.0, long))),
            Edge("fly", ((0.0, long), (0.0, 0.0))),
        ),
        grain=((middle, 0.0), (middle, long)),
    )
    guard = Pattern(
        name=context.named("fly guard"),
        edges=(
            Edge("lower end", ((0.0, 0.0), (2 * _FLY_MM, 0.0))),
            Edge("other edge", ((2 * _FLY_MM, 0.0), (2 * _FLY_MM, long))),
            Edge("waist end", ((2 * _FLY_MM, long), (0.0, long))),
            Edge("edge", ((0.0, long), (0.0, 0.0))),
        ),
        grain=((_FLY_MM, 0.0), (_FLY_MM, long)),
        grain_rule=GrainRule.LENGTHWISE,
        drawn_lines=(((_FLY_MM, 0.0), (_FLY_MM, long)),),
    )
    return [facing, guard]


def _joins(pair: tuple[Piece, ...]) -> list[Join]:
    front, back = pair
    across = [
        Join(
            what=f"{what} of {front.name.removesuffix(' front')}, front to back",
            this=Side(front.name, seam),
            that=Side(back.name, seam),
        )
        for what, seam in (("side seam", "side"), ("inseam", "inseam"))
    ]
    middles = []
    for piece, which in ((front, "front"), (back, "back")):
        seams = [f"centre {which}"]
        if which == "front" and any(seam.name == "fly" for seam in piece.seams):
            seams.append("fly")
        for seam in seams:
            # A fly begins where the rest of the middle ends, on one straight line.
            smooth = seam != "fly", seam == seams[-1]
            stage = Stage.CLOSURE if seam == "fly" else Stage.SIDES
            middles.append(replace(opened(piece, seam, stage=stage), smooth=smooth))
    return [*across, *middles]


def _elastic(context: DraftContext) -> Notion:
    return Notion(
        name="elastic",
        garment=context.garment,
        where=f"waist of the {context.named('trousers')}",
        sold=Sold.LENGTH,
        length_mm=(context.body.waist or 0.0) - _SNUG_MM + _LAP_MM,
    )


def _zip(context: DraftContext, shell: Sequence[Piece]) -> tuple[Notion, ...]:
    """A zip down the straight part of the front."""
    front = shell[0]
    fly = [seam for seam in front.seams if seam.name == "fly"]
    long = length(fly[0].line) if fly else _ZIP * seam_length(front, "centre front")
    return (
        Notion(
            name="zip",
            garment=context.garment,
            where=f"front of the {context.named('trousers')}",
            sold=Sold.SIZE,
            length_mm=long,
        ),
    )


def _finishes(options: TrousersOptions) -> tuple[str, ...]:
    return ("waist",) if options.waist == "elastic" else ()


KINDS = (
    DraftKind(
        name="trousers",
        options=TrousersOptions,
        draft=draft_trousers,
        description="trousers, long or short, for elastic or a waistband",
        place=136,
        finishes=_finishes,
        gives_waist=lambda options: "waist" if options.waist == "band" else "",
        waist_to_finish=lambda options: options.waist == "band",
    ),
)
