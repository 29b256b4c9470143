"""A front over a bust: its dart from the side, or pivoted to the shoulder or a seam. Millimetres.

The front is longer over the bust than the back is, down to the waist and from the shoulder to the
underarm: its side seam is longer by both, and a dart takes that. Both edges of the dart are square
to the side seam, so that it runs on over them once they are sewn.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from pieces.body.measurements import Body
from pieces.curves import bezier, length
from pieces.drafting.bodices.bodice_block import SHORT_MM, Block, Bust
from pieces.drafting.bodices.upper import UpperOptions
from pieces.drafting.context import DraftContext, Half, Needs
from pieces.drafting.pattern import Edge
from pieces.errors import Fault
from pieces.geometry import rotated, translated
from pieces.piece import Finding, Line, Point
from pieces.wording import choose, either, key, such_as

_DART_MM, _AT_MM, _GROWS = 70.0, 880.0, 0.15
"""Of a dart at the shoulder: 7 cm at a bust of 88 cm and 6 mm for each 4 cm more or less (a British
textbook's chart, secondary copy)."""
_WIDEST_MM, _MOST_MM, _LEAST_MM = 50.0, 90.0, 10.0
"""Of a dart at the side: by the chart, by a measured front, and worth sewing; common practice."""
_LOWER_MM, _BELOW_UNDERARM_MM, _ABOVE_LOW_MM = 20.0, 50.0, 40.0
"""Where it begins: so far below the bust point, the underarm, and above the waist's side; common
practice."""
_ON_SHOULDER = 0.5
_STEEPEST = 1.0
"""The width of a dart over its length, at most; common practice."""
_BENDS = 0.0175
"""By how much, in radians, either half of a shoulder turns at its dart at most; common practice."""
_GROWN_MM, _TALL_MM = 900.0, 1500.0
"""The largest chest, and the height of 12 years, in the children's tables."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BustOptions(UpperOptions):
    """Options of what is shaped over a bust; each may be left out.

    Attributes
    ----------
    bust_dart : where a dart towards the bust point begins, at the side or the shoulder, or none;
        side, for whoever has a bust_height and a bust_span (common practice)
    """

    bust_dart: Literal["side", "shoulder", "none"] = "side"


@dataclass(frozen=True, slots=True)
class BustDart:
    """A dart in the side of a front: the side below and above it, its mouth, and where it ends."""

    lower: Line
    mouth: Line
    upper: Line
    tip: Point

    @property
    def legs(self) -> tuple[Line, ...]:
        """Its edges, from the side seam to its end."""
        return (self.mouth[0], self.tip), (self.mouth[-1], self.tip)

    def edges(self, more_mm: float = 0.0) -> tuple[Edge, ...]:
        """The side in two, and the mouth between, whose ends are notched."""
        return (
            Edge("side", self.lower, more_mm=more_mm),
            _mouth(self.mouth, more_mm),
            Edge("side", self.upper, more_mm=more_mm),
        )


def _mouth(line: Line, more_mm: float = 0.0) -> Edge:
    return Edge("bust dart", line, marks_mm=(0.0, length(line)), more_mm=more_mm)


def over_bust(needs: Needs, block: Block, options: BustOptions) -> Block:
    """The block with its front shaped over the wearer's bust, if she has one that is known.

    The dart at the side opens by the angle that the chart's dart has at the shoulder. Half of that
    makes the armhole less deep, and half the front longer (common practice). Where the front is
    measured, what it is longer than the back, both from the side of the neck to the waist, goes
    into the dart instead of that half (a sewing blog, 2012).
    """
    body = needs.context.body
    if body.bust_height is None or body.bust_span is None or options.bust_dart == "none":
        return block
    span, height = body.bust_span / 2, body.bust_height
    chart = max(30.0, _DART_MM + _GROWS * ((body.chest or _AT_MM) - _AT_MM))
    turn = math.asin(min(1.0, chart / 2 / height))
    wide = min(_WIDEST_MM, 2 * max(0.0, block.quarter - span) * math.sin(turn))
    longer = wide / 2
    if body.front_waist is not None and body.back_waist is not None:
        longer = body.front_waist - (body.back_waist + block.rise)
    higher = wide / 2
    if longer + higher < _LEAST_MM:
        return block
    shaped = replace(block, bust=Bust(span=span, height=height, higher=higher, longer=longer))
    _require_bust(needs, shaped, body)
    return shaped


def _require_bust(needs: Needs, block: Block, body: Body) -> None:
    """Faults where the bust point lies where none can."""
    if needs.faults or block.bust is None:
        return
    x, y = block.bust_point
    told, bust = needs.told, block.bust
    wrong = {
        "bust_span": (
            x > block.across(front=True) - 10,
            f"{told(2 * bust.span)} from one bust point to the other reaches into the armholes on "
            f"{told(body.chest or 0.0)} round the bust.",
        ),
        "bust_height": (
            y > -block.scye_depth + 20 or y < -(body.back_waist or math.inf) + 30,
            f"A bust point {told(bust.height)} from the side of the neck does not lie between "
            "underarm and waist.",
        ),
        "front_waist": (
            bust.longer + bust.higher > _MOST_MM,
            f"The front is {told(bust.longer)} longer than the back, both from the side of the "
            "neck to the waist: more than a dart can take.",
        ),
    }
    for name, (is_wrong, message) in wrong.items():
        if is_wrong:
            key = f"{needs.context.garment_key}.body.{name}"
            needs.faults.append(Fault("", key, message, "Measure again."))


def dart_at_side(
    needs: Needs,
    block: Block,
    bottom: Point,
    flare: float,
    back_side_mm: float,
    *,
    short: bool = True,
) -> BustDart:
    """The dart in the front's side, so wide that what is left is as long as the back's.

    The side leaves its lower end upright, or leaning inwards by `flare`. The dart ends short of
    the bust point where it is sewn as a dart.

    Raises
    ------
    OrderFault : no dart makes it so long
    """
    top, bust_point = block.underarm_of(front=True), block.bust_point
    lowest = bottom[1] + _ABOVE_LOW_MM
    y = max(lowest, min(top[1] - _BELOW_UNDERARM_MM, bust_point[1] - _LOWER_MM))
    x = top[0] + (bottom[0] - top[0]) * (top[1] - y) / (top[1] - bottom[1])
    away = math.dist(bust_point, (x, y))
    share = SHORT_MM / away if short else 0.0
    tip = bust_point[0] + (x - bust_point[0]) * share, bust_point[1] + (y - bust_point[1]) * share
    lean = block.lean_of(front=True)
    wide = math.dist(top, bottom) - back_side_mm
    for _ in range(12):
        dart = _drawn((top, lean), (bottom, flare), tip, (x, y), wide)
        off = length(dart.lower) + length(dart.upper) - back_side_mm
        if abs(off) < 0.005:
            break
        wide = min(wide + off, _STEEPEST * math.dist(tip, (x, y)))
    else:
        needs.refuse(
            "bust_dart",
            "No dart from the side to the bust point makes front and back equally long there.",
            "Measure "
            + key("bust_height")
            + " and "
            + key("front_waist")
            + " again, or "
            + choose("bust_dart", "none")
            + ".",
        )
        needs.settle()
    return dart


def _drawn(
    top: tuple[Point, float], bottom: tuple[Point, float], tip: Point, foot: Point, wide: float
) -> BustDart:
    """A dart so wide; the side leans at its ends as told, and is square to the dart's edges."""
    leg = math.dist(tip, foot)
    half = math.asin(max(-1.0, min(1.0, wide / 2 / leg)))
    along = math.atan2(foot[1] - tip[1], foot[0] - tip[0])

    def at(turn: float, out: float = leg) -> Point:
        return tip[0] + out * math.cos(turn), tip[1] + out * math.sin(turn)

    def beside(turn: float, by: float) -> Point:
        x, y = at(turn)
        return x - by * math.sin(turn), y + by * math.cos(turn)

    low, high = at(along - half), at(along + half)
    (start, flare), (end, lean) = bottom, top
    below, above = math.dist(start, low) / 3, math.dist(high, end) / 3
    lower = bezier(
        start,
        (start[0] - below * flare, start[1] + below),
        beside(along - half, -below),
        low,
        sewn=True,
    )
    upper = bezier(
        high, beside(along + half, above), (end[0] - above * lean, end[1] - above), end, sewn=True
    )
    return BustDart(lower, (low, at(along, leg / math.cos(half)), high), upper, tip)


@dataclass(frozen=True, slots=True)
class Pivot:
    """A turn about the bust point that closes a dart in the side."""

    centre: Point
    turn_deg: float

    @classmethod
    def closing(cls, dart: BustDart) -> Pivot:
        """The turn that lays the upper edge of a dart on its lower one."""
        (ax, ay), (bx, by), (x, y) = dart.mouth[-1], dart.mouth[0], dart.tip
        turn = math.degrees(math.atan2(by - y, bx - x) - math.atan2(ay - y, ax - x))
        return cls(dart.tip, turn)

    def of(self, line: Line) -> Line:
        """A line, turned."""
        x, y = self.centre
        return translated(rotated(translated(line, -x, -y), self.turn_deg), x, y)

    def edge(self, edge: Edge) -> Edge:
        """An edge, turned."""
        return replace(edge, line=self.of(edge.line))


def side_closed(dart: BustDart, pivot: Pivot) -> Line:
    """The front's side in one, its dart closed."""
    return dart.lower + pivot.of(dart.upper)[1:]


def to_shoulder(half: Half, dart: BustDart) -> tuple[Half, tuple[Line, ...]]:
    """The front with the dart pivoted to the middle of its shoulder, and the dart's edges.

    The dart given runs to the bust point itself; that at the shoulder ends short of it.
    """
    pivot = Pivot.closing(dart)
    tip, neck = half.edge("shoulder").line
    middle = tuple(a + _ON_SHOULDER * (b - a) for a, b in zip(tip, neck, strict=True))
    inner = (middle[0], middle[1])
    outer = pivot.of((tip, inner))
    away = math.dist(inner, pivot.centre)
    x, y = pivot.centre
    along = math.radians(pivot.turn_deg / 2) + math.atan2(inner[1] - y, inner[0] - x)
    # What it ends short bends the shoulder: less for a dart that is short and wide.
    wide = abs(math.sin(math.radians(pivot.turn_deg / 2)))
    short = min(SHORT_MM, away * _BENDS / (wide + _BENDS))
    at = x + short * math.cos(along), y + short * math.sin(along)
    out = away / math.cos(math.radians(pivot.turn_deg / 2))
    peak = x + out * math.cos(along), y + out * math.sin(along)
    side = half.edge("side")
    edges = [edge for edge in half.edges if edge.name not in ("side", "bust dart")]
    place = next(i for i, edge in enumerate(edges) if edge.name == "armhole")
    shaped = (
        *edges[:place],
        replace(side, line=side_closed(dart, pivot)),
        pivot.edge(edges[place]),
        Edge("shoulder", outer),
        _mouth((outer[-1], peak, inner)),
        Edge("shoulder", (inner, neck)),
        *edges[place + 2 :],
    )
    return replace(half, edges=shaped), ((outer[-1], at), (inner, at))


def bust_told(
    context: DraftContext, what: str, block: Block | None = None, bust_dart: str = "side"
) -> tuple[Finding, ...]:
    """Why nothing shapes a front over a grown-up's bust: code ``bust-not-shaped``."""
    body = context.body
    chest, height = body.chest or 0.0, body.height
    grown = chest > _GROWN_MM and (height is None or height >= _TALL_MM)
    known = [name for name in ("bust_height", "bust_span") if getattr(body, name) is not None]
    if (block is not None and block.bust is not None) or not (grown or known):
        return ()
    if block is None:
        why = "it has no bust darts: on a woman sew a trial before cutting dear cloth."
    elif bust_dart == "none":
        why = "it has no bust dart, as " + either('bust_dart = "none" asks.', "the order asks.")
    elif body.has_bust:
        why = (
            f"the front waist length of {context.told(body.front_waist or 0.0)} is no longer than "
            "the back's, so there is nothing for a bust dart to take. Measure it again, from the "
            "side of the neck over the bust point."
        )
    else:
        lacking = "neither " + key("bust_height") + " nor " + key("bust_span") + " is known"
        if known:
            other = "bust_span" if known == ["bust_height"] else "bust_height"
            lacking = key(known[0]) + " is known, but not " + key(other)
        why = (
            f"on a chest of {context.told(chest)} it has no bust darts, as "
            + lacking
            + ". For a woman measure both, or name her size, "
            + such_as("size", "misses 12")
            + "; a man needs none."
        )
    return (context.finding("bust-not-shaped", f"{what}: " + why),)
