"""A set-in or puff sleeve, cut as a pair, and its band.

The cap is raised, or spread, until it is as long as the armhole asks.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

from pieces.curves import bezier, cut_at, length
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.points import BACK_NOTCH, FRONT_NOTCH
from pieces.drafting.setting import Armhole, Made, Needs, Setting, lined, pieces_of
from pieces.drafting.skirts import lower_role, shell_allowances
from pieces.drafting.strips import Strips, strip_pattern
from pieces.fields import Length, LengthOrZero, Ratio
from pieces.piece import GrainRule, Line, Piece, SeamCheck
from pieces.seams import compare, seam_length

_SHORT_UNDERARM_MM = 50.0
"""Underarm seam of a short sleeve; common practice."""
_HAND_MM = 50.0
"""What a wrist must gain for the hand to pass; common practice."""
_LEAST_CAP_MM = 20.0
"""A flatter cap is no set-in sleeve; common practice."""
_PUFF = 1.5
"""Slashed and spread 1.5 to 2 times; from memory."""
_PUFF_LIFT_MM = 20.0
"""What the cap of a puff gains in height: 1/2 to 1 in., from memory."""
_BAND_EASE_MM = 30.0
"""Of a sleeve band over the upper arm; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SleeveOptions:
    """Options of a sleeve; each may be left out.

    Attributes
    ----------
    style : short; long to the wrist; or puff, which is short and full
    length : from the shoulder's point to the hem; the arm's length for a long sleeve, for the
        others whatever gives an underarm seam of 5 cm (common practice)
    ease : over the upper arm, before any spreading; 5 cm (2 in., from a secondary copy; children
        1 1/2 to 2 in. from memory)
    cap_ease : the cap's length over the armhole's, before any gathers; 1.5 cm (children 1.2 to
        2 cm, from memory)
    cap_height : from the underarm to the crown; whatever makes the cap as long as the armhole
        asks. If it is told, the cap is bowed out or flattened instead
    cap_fullness : the cap over what it is gathered to; 1, for a puff 1.5 (1.5 to 2, from memory)
    hem_fullness : the hem over what it is gathered to; 1, for a puff as full as the cap
    hem_width : finished; for a long sleeve wrist + 5 cm, for a short one 2 cm less than at the
        upper arm, for a puff upper arm + 3 cm (common practice)
    """

    style: Literal["short", "long", "puff"] = "short"
    length: Length | None = None
    ease: LengthOrZero = 50.0
    cap_ease: LengthOrZero = 15.0
    cap_height: Length | None = None
    cap_fullness: Ratio | None = None
    hem_fullness: Ratio | None = None
    hem_width: Length | None = None

    @property
    def spread(self) -> tuple[float, float]:
        """Fullness of cap and hem, the trade's where it is not told."""
        cap = self.cap_fullness or (_PUFF if self.style == "puff" else 1.0)
        return cap, self.hem_fullness or (cap if self.style == "puff" else 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class SleeveBandOptions:
    """Options of the bands at the hems of the sleeves before them; each may be left out.

    Attributes
    ----------
    depth : finished; 2 cm (common practice). Bands are folded, right side out, so they are cut
        twice as deep with a seam allowance on both edges (Clothing for Women, 1916)
    """

    depth: Length = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Lines:
    """What the sleeve is drawn from; y is 0 at the underarm and runs up."""

    armhole: Armhole
    wanted: float
    width: float
    cap_height: float
    bow: float
    underarm: float
    hem: float

    @property
    def front_wanted(self) -> float:
        """Length of the cap in front: ease and fullness are shared as the armhole is."""
        whole = self.armhole.front_mm + self.armhole.back_mm
        return self.wanted * self.armhole.front_mm / whole


def draft_sleeve(setting: Setting, options: SleeveOptions) -> Made:
    """Draft a pair of sleeves for the armhole of the bodice before them.

    Steps
    -----
    1. Draw the width at the underarm: upper arm and ease of 5 cm (2 in., from a secondary copy).
    2. Reckon the cap's length: the armhole, front and back, and 1.5 cm of ease (from memory), times
       the cap's fullness.
    3. Draw the cap from underarm over the crown, level at all three, both halves alike, and raise
       it until it is as long as a plain one must be; at a height that is told, widen it by the
       fullness and bow it out or flatten it instead (common practice).
    4. Where a fuller cap goes with a fuller hem, raise it by 2 cm (1/2 to 1 in., from memory) and
       spread it until it is long enough. Over a plain hem spread it by half of what the fullness
       adds and raise it for the rest (common practice).
    5. Draw the hem 5 cm below the underarm, or where the length from the crown ends: the arm's for
       a long sleeve. It is wrist + 5 cm for a long sleeve, but no more than the width of step 1;
       that width less 2 cm, or less a tenth if that is less, for a short one; upper arm + 3 cm for
       a puff; times its fullness (common practice).
    6. Cut the cap in two as the armhole is shared between front and back, and notch the crown
       there; lay the other notches as far from the underarm as in the armhole, so that what is
       eased or gathered lies above them (common practice). Draw the underarm seams straight.

    Raises
    ------
    OrderFault : measures or the bodice are missing, or no sleeve can be drawn from them
    """
    lines = _lines(Needs(setting), options)
    part = setting.part
    pattern = _pattern(setting, lines)
    pieces = pieces_of(setting, (pattern,), part.fabric, shell_allowances(setting))
    if part.lining is not None:
        pieces += pieces_of(setting, (pattern,), part.lining, shell_allowances(setting), " lining")
    return Made(
        pieces=pieces,
        seam_checks=_checks(setting, pieces, lines, options),
        hem_mm=seam_length(pieces[0], "hem") / options.spread[1],
    )


def _lines(needs: Needs, options: SleeveOptions) -> _Lines:
    width = needs.measure("upper_arm", "The sleeve") + options.ease
    armhole = _armhole(needs)
    hem_width = _hem_width(needs, options, width)
    cap_spread = needs.gathers("cap_fullness", options.spread[0])
    hem = hem_width * needs.gathers("hem_fullness", options.spread[1])
    arm = options.length
    if arm is None and options.style == "long":
        arm = needs.measure("arm", "A long sleeve")
    needs.settle()
    plain = armhole.front_mm + armhole.back_mm + options.cap_ease
    wanted = plain * cap_spread
    if options.cap_height is None:
        width, height = _raised(needs, width, plain, cap_spread, options.spread[1] > 1)
        bow = 0.5
    else:
        width, height = width * cap_spread, options.cap_height
        bow = _bow(needs, width, height, wanted)
    needs.settle()
    underarm = _SHORT_UNDERARM_MM if arm is None else arm - height
    if underarm < 10:
        needs.refuse(
            "length",
            f"A sleeve of {needs.told(underarm + height)} ends above the underarm; "
            f"the cap alone is {needs.told(height)} high.",
            "Give a longer length.",
        )
    needs.settle()
    return _Lines(
        armhole=armhole,
        wanted=wanted,
        width=width,
        cap_height=height,
        bow=bow,
        underarm=underarm,
        hem=hem,
    )


def _armhole(needs: Needs) -> Armhole:
    bodice = needs.bodice("A sleeve is drawn for the armhole of a bodice")
    if bodice.sleeveless:
        message = "The bodice before it is sleeveless: its armhole is too high for a sleeve."
        needs.refuse("draft", message, "Take out sleeveless at the bodice, or take out the sleeve.")
    return bodice.armhole


def _hem_width(needs: Needs, options: SleeveOptions, width: float) -> float:
    if options.hem_width is not None:
        return needs.enough("hem_width", options.hem_width)
    if options.style == "long":
        return min(width, needs.measure("wrist", "A long sleeve") + _HAND_MM)
    if options.style == "puff":
        return needs.measure("upper_arm", "The sleeve") + _BAND_EASE_MM
    return width - min(20.0, 0.1 * width)


def _cap(width: float, height: float, bow: float = 0.5) -> Line:
    """From the front underarm over the crown to the back one; level at all three.

    The greater the bow, the further it swings out from the straight line; 0 is straight.
    """
    half = width / 2
    front = bezier((half, 0.0), ((1 - 0.6 * bow) * half, 0.0), (bow * half, height), (0.0, height))
    back = tuple((-x, y) for x, y in reversed(front))
    return front + back[1:]


def _cap_height(needs: Needs, width: float, wanted: float) -> float:
    """The height at which a plain cap is as long as wanted, to far less than a tenth of a mm."""
    if length(_cap(width, _LEAST_CAP_MM)) > wanted:
        needs.refuse(
            "ease",
            f"A sleeve {needs.told(width)} wide is too wide for an armhole of "
            f"{needs.told(wanted)}, ease included.",
            "Give the sleeve less ease, or the bodice a larger scye_depth.",
        )
        return _LEAST_CAP_MM
    return _solved(lambda height: length(_cap(width, height)), wanted, _LEAST_CAP_MM, wanted / 2)


def _raised(
    needs: Needs, width: float, plain: float, spread: float, hem_too: bool
) -> tuple[float, float]:
    """Width and height of a cap that is so many times as long as a plain one."""
    height = _cap_height(needs, width, plain)
    wanted = plain * spread
    if spread > 1 and hem_too:
        height += _PUFF_LIFT_MM
        width = _solved(lambda value: length(_cap(value, height)), wanted, width, wanted)
    elif spread > 1:
        width *= (1 + spread) / 2
        height = _solved(lambda value: length(_cap(width, value)), wanted, height, wanted)
    return width, height


def _bow(needs: Needs, width: float, height: float, wanted: float) -> float:
    """The bow that makes a cap of that height as long as wanted."""
    shortest, longest = (length(_cap(width, height, bow)) for bow in (0.1, 1.0))
    if not shortest <= wanted <= longest:
        needs.refuse(
            "cap_height",
            f"A cap {needs.told(height)} high can be from "
            f"{needs.told(shortest)} to {needs.told(longest)} long, and "
            f"the armhole with its ease asks for {needs.told(wanted)}.",
            "Give another cap_height or ease, or leave cap_height out.",
        )
    return _solved(lambda bow: length(_cap(width, height, bow)), wanted, 0.1, 1.0)


def _solved(measure: Callable[[float], float], wanted: float, low: float, high: float) -> float:
    """Where between two values a measure that grows is as wanted."""
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if measure(middle) < wanted else (low, middle)
    return (low + high) / 2


def _pattern(setting: Setting, lines: _Lines) -> Pattern:
    armhole, half, hem = lines.armhole, lines.width / 2, lines.hem / 2
    front, back = cut_at(_cap(lines.width, lines.cap_height, lines.bow), lines.front_wanted)
    low, whole_back = -lines.underarm, length(back)
    return Pattern(
        name=setting.named("sleeve"),
        edges=(
            Edge("hem", ((-hem, low), (hem, low)), lower_role(setting)),
            Edge("underarm front", ((hem, low), (half, 0.0))),
            Edge("cap front", front, marks_mm=armhole.front_marks_mm, points=(FRONT_NOTCH,)),
            Edge(
                "cap back",
                back,
                # The first marks the crown, which meets the shoulder seam.
                marks_mm=(0.0, *(whole_back - mark for mark in reversed(armhole.back_marks_mm))),
                points=("crown", "", BACK_NOTCH),
            ),
            Edge("underarm back", ((-half, 0.0), (-hem, low))),
        ),
        grain=((0.0, low), (0.0, lines.cap_height)),
        pair=True,
    )


def _checks(
    setting: Setting, pieces: tuple[Piece, ...], lines: _Lines, options: SleeveOptions
) -> tuple[SeamCheck, ...]:
    fullness = options.spread[0]
    whole = lines.armhole.front_mm + lines.armhole.back_mm
    found = []
    for piece in pieces:
        for side, armhole_mm in (
            ("front", lines.armhole.front_mm),
            ("back", lines.armhole.back_mm),
        ):
            ease = options.cap_ease * armhole_mm / whole
            gathered = ", gathered," if fullness > 1 else ""
            what = (
                f"cap of {piece.name}, {side}{gathered} to armhole with {setting.told(ease)} ease"
            )
            cap_mm = seam_length(piece, f"cap {side}") / fullness
            found.append(compare(what, setting.garment, cap_mm, armhole_mm + ease))
        front, back = (seam_length(piece, f"underarm {side}") for side in ("front", "back"))
        found.append(compare(f"underarm seam of {piece.name}", setting.garment, front, back))
    return tuple(found)


def draft_sleeve_band(setting: Setting, options: SleeveBandOptions) -> Made:
    """Draft the bands of the pair of sleeves before them, one for each.

    Steps
    -----
    1. Take the finished hem of the sleeve, its fullness gathered in, as the length (common
       practice).
    2. Draw a strip of that length and twice the depth of 2 cm, with the fold along its middle, so
       that seam allowances come on both edges (*Clothing for Women*, 1916; the depth common
       practice).
    3. Notch the middle of its top and cut two (common practice).

    Raises
    ------
    OrderFault : there is no sleeve before them
    """
    needs = Needs(setting)
    if setting.edge_mm is None:
        needs.refuse(
            "draft",
            "A sleeve band is sewn to the hem of a sleeve, and there is none before it.",
            "Put the sleeve's part before it.",
        )
    hem = setting.edge_mm or 0.0
    depth = needs.enough("depth", options.depth)
    needs.settle()
    strip = strip_pattern(
        setting.named("sleeve band"),
        Strips(1, hem),
        depth,
        GrainRule.ANY,
        Role.SEAM,
        top="top",
        folded=True,
    )
    pattern = replace(strip, cut=2)
    pieces = lined(setting, (pattern,), shell_allowances(setting))
    checks = tuple(
        compare(
            f"top of {piece.name} to {setting.edge}",
            setting.garment,
            seam_length(piece, "top"),
            hem,
        )
        for piece in pieces
    )
    return Made(pieces=pieces, seam_checks=checks)
