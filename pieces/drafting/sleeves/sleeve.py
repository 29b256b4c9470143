"""A set-in or puff sleeve, cut as a pair, for the armhole of the bodice before it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from pieces.curves import length
from pieces.drafting.context import DraftContext, DraftResult, Needs, lined
from pieces.drafting.kind import DraftKind, finishing
from pieces.drafting.pattern import BACK_NOTCH, FRONT_NOTCH, Edge, Pattern
from pieces.drafting.skirts.skirts import lower_role, shell_allowances
from pieces.drafting.sleeves.sleeve_lines import LEAST_CAP_MM, LEAST_UNDERARM_MM, Cap, SleeveLines
from pieces.fields import Length, LengthOrZero, Ratio
from pieces.piece import Finding, How, Join, Piece, Side, Stage
from pieces.wording import key

_SHORT_UNDERARM_MM = 50.0
"""Underarm seam of a short sleeve; common practice."""
_HAND_MM = 50.0
"""What a wrist must gain for the hand to pass; common practice."""
_LEAST_BOW, _MOST_BOW = 0.1, 1.0
_WIDEST = 1.5
"""A sleeve so many times as wide as it was asked to be is another sleeve; common practice."""
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
    style : short, long to the wrist, or puff, which is short and full; short
    length : from the shoulder's point to the hem; the arm's length for a long sleeve, for the
        others whatever gives an underarm seam of 5 cm (common practice)
    ease : over the upper arm, before any spreading; 5 cm (2 in., from a secondary copy; children
        1 1/2 to 2 in. from memory)
    cap_ease : the cap's length over the armhole's, before any gathers; 1.5 cm (children 1.2 to
        2 cm, from memory)
    cap_height : from the underarm to the crown; whatever makes the cap as long as the armhole
        asks. If it is told, the cap is bowed out or flattened instead, and where that is not
        enough the sleeve is widened
    cap_fullness : the cap over what it is gathered to, between the notches of front and back; 1,
        for a puff 1.5 (1.5 to 2, from memory)
    hem_fullness : the hem over what it is gathered to; 1. A puff's is spread as much as its width
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


def draft_sleeve(context: DraftContext, options: SleeveOptions) -> DraftResult:
    """Draft a pair of sleeves for the armhole of the bodice before them.

    Steps
    -----
    1. Draw the width at the underarm: upper arm and ease of 5 cm (2 in., from a secondary copy).
    2. Reckon the cap's length: the armhole, front and back, and 1.5 cm of ease (from memory), what
       lies above the notches times the cap's fullness; below them nothing is gathered (common
       practice).
    3. Draw the cap from underarm over the crown, square to the underarm seams and level at the
       crown, both halves alike, and raise it until it is as long as a plain one must be; at a
       height that is told bow it out or flatten it instead, and where that is not enough widen the
       sleeve (common practice).
    4. Spread a fuller cap and raise it by 2 cm (1/2 to 1 in., from memory) until it is long enough;
       a puff's hem is spread by as much as the width (slashed and spread 1.5 to 2 times: from
       memory). Over a plain hem spread it by half of what the fullness adds and raise it for the
       rest (common practice).
    5. Draw the hem 5 cm below the underarm, or where the length from the crown ends: the arm's for
       a long sleeve. It is wrist + 5 cm for a long sleeve, but no more than the width of step 1;
       that width less 2 cm, or less a tenth if that is less, for a short one and, before it is
       spread, for a puff, which is gathered to upper arm + 3 cm (common practice).
    6. Cut the cap in two as the armhole is shared between front and back, and notch the crown
       there; lay the other notches as far from the underarm as in the armhole, so that what is
       eased or gathered lies above them. Notch the hem in quarters. Draw the underarm seams from
       the cap straight on and upright into the hem, so that it runs on over the seam and lies flat
       when it is turned up (common practice).

    Raises
    ------
    OrderFault : measures or the bodice are missing, or no sleeve can be drawn from them
    """
    needs = Needs(context)
    finished, lines = _lines(needs, options)
    return made_of(context, lines, finished, _findings(context, options, lines))


def made_of(
    context: DraftContext,
    lines: SleeveLines,
    finished_mm: float,
    findings: tuple[Finding, ...] = (),
) -> DraftResult:
    """A pair of sleeves of these lines, lined if asked for, with its hem as it is finished."""
    pieces = lined(context, (_pattern(context, lines),), shell_allowances(context))
    return DraftResult(
        pieces=pieces,
        joins=tuple(join for piece in pieces for join in _joins(context, piece, lines)),
        findings=findings,
        hem_mm=finished_mm,
    )


def _lines(needs: Needs, options: SleeveOptions) -> tuple[float, SleeveLines]:
    """The hem as it is finished, and the sleeve's lines."""
    width = needs.measure("upper_arm", "The sleeve") + options.ease
    fullness = options.cap_fullness or (_PUFF if options.style == "puff" else 1.0)
    cap = cap_of(needs, options.cap_ease, needs.gathers("cap_fullness", fullness))
    finished = _hem_width(needs, options, width)
    follows = options.hem_fullness is None and cap.fullness > 1 and options.style == "puff"
    flat = finished * needs.gathers("hem_fullness", options.hem_fullness or 1.0)
    arm = options.length
    if arm is None and options.style == "long":
        arm = needs.measure("arm", "A long sleeve")
    needs.settle()
    plain = SleeveLines(
        cap=replace(cap, fullness=1.0),
        width=width,
        cap_height=options.cap_height or LEAST_CAP_MM,
        taper=_short_taper(width),
        flat_hem=None if follows else flat,
        arm=arm,
        underarm=_SHORT_UNDERARM_MM,
    )
    if options.cap_height is not None:
        lines = _of_height(needs, plain, cap)
    else:
        lines = raised_for(needs, plain, cap, hem_too=follows or flat > finished)
    if arm is not None and arm - lines.cap_height < LEAST_UNDERARM_MM:
        needs.refuse(
            "length",
            f"A sleeve of {needs.told(arm)} ends above the underarm; "
            f"the cap alone is {needs.told(lines.cap_height)} high.",
            "Give a longer length.",
        )
    needs.settle()
    return finished, lines


def cap_of(needs: Needs, ease: float, fullness: float) -> Cap:
    """What the armhole of the bodice before it asks of its cap."""
    bodice = needs.bodice("A sleeve is drawn for the armhole of a bodice")
    if bodice.sleeveless:
        message = "The bodice before it is sleeveless: its armhole is too high for a sleeve."
        needs.refuse("draft", message, "Take out sleeveless at the bodice, or take out the sleeve.")
    return Cap(armhole=bodice.armhole, ease=ease, fullness=fullness)


def _hem_width(needs: Needs, options: SleeveOptions, width: float) -> float:
    if options.hem_width is not None:
        return needs.enough("hem_width", options.hem_width)
    if options.style == "long":
        return min(width, needs.measure("wrist", "A long sleeve") + _HAND_MM)
    if options.style == "puff":
        return needs.measure("upper_arm", "The sleeve") + _BAND_EASE_MM
    return width - _short_taper(width)


def _short_taper(width: float) -> float:
    """What the hem of a short sleeve is narrower than its width."""
    return min(20.0, 0.1 * width)


def raised_for(needs: Needs, plain: SleeveLines, cap: Cap, *, hem_too: bool) -> SleeveLines:
    """A plain sleeve as high as its armhole asks, then spread and raised for what is gathered."""
    if plain.is_too_long:
        needs.refuse(
            "ease",
            f"A sleeve {needs.told(plain.width)} wide is too wide for an armhole of "
            f"{needs.told(plain.cap.whole)}, ease included.",
            "Give the sleeve less ease, or the bodice a larger " + key("scye_depth") + ".",
        )
        return plain
    lines = replace(plain.raised(), cap=cap)
    if cap.fullness == 1:
        return lines
    if hem_too:
        return replace(lines, cap_height=lines.cap_height + _PUFF_LIFT_MM).spread()
    share = cap.whole / plain.cap.whole
    return replace(lines, width=lines.width * (1 + share) / 2).raised()


def _of_height(needs: Needs, plain: SleeveLines, cap: Cap) -> SleeveLines:
    """A cap of the height that is told: bowed as far as it will go, or else widened."""
    lines = replace(plain, cap=cap, width=plain.width * cap.whole / plain.cap.whole)
    bowed = lines.bowed(_LEAST_BOW, _MOST_BOW)
    if bowed is not None:
        return bowed
    lines = replace(lines, bow=0.5)
    wider = lines.spread()
    height = plain.cap_height
    if height < LEAST_CAP_MM or lines.is_too_long or wider.width > _WIDEST * lines.width:
        straight = needs.told(height), needs.told(plain.width), needs.told(cap.whole)
        needs.refuse(
            "cap_height",
            "A cap {} high on a sleeve {} wide can't be made as long as the {} that the armhole "
            "and its ease ask for.".format(*straight),
            "Give another "
            + key("cap_height")
            + " or ease, or leave "
            + key("cap_height")
            + " out.",
        )
    return wider


def _findings(
    context: DraftContext, options: SleeveOptions, lines: SleeveLines
) -> tuple[Finding, ...]:
    upper_arm = context.body.upper_arm
    if options.cap_height is None or lines.bow != 0.5 or upper_arm is None:
        return ()
    message = (
        f"with a cap {context.told(lines.cap_height)} high the sleeve must be "
        f"{context.told(lines.width)} wide for its armhole, "
        f"{context.told(lines.width - upper_arm)} over the arm; a higher cap makes it narrower."
    )
    return (context.finding("cap-widens-sleeve", message, "cap_height"),)


def _pattern(context: DraftContext, lines: SleeveLines) -> Pattern:
    armhole, hem = lines.cap.armhole, lines.hem_line
    (front, back), (up, down) = lines.halves, lines.seams
    whole_back = length(back)
    return Pattern(
        name=context.named(context.part.draft),
        edges=(
            Edge(
                "hem",
                hem,
                lower_role(context),
                marks_mm=tuple(length(hem) * quarter / 4 for quarter in (1, 2, 3)),
            ),
            Edge("underarm front", up),
            Edge("cap front", front, marks_mm=armhole.front_marks_mm, points=(FRONT_NOTCH,)),
            Edge(
                "cap back",
                back,
                # The first marks the crown, which meets the shoulder seam.
                marks_mm=(0.0, *(whole_back - mark for mark in reversed(armhole.back_marks_mm))),
                points=("crown", "", BACK_NOTCH),
            ),
            Edge("underarm back", down),
        ),
        grain=((0.0, -lines.down), (0.0, lines.cap_height)),
        pair=True,
    )


def _joins(context: DraftContext, piece: Piece, lines: SleeveLines) -> tuple[Join, ...]:
    cap, bodice = lines.cap, context.bodice
    gathered = cap.fullness > 1
    sides = []
    if bodice is not None:
        for side, half, plain_mm in (
            ("front", bodice.front, cap.plain_front),
            ("back", bodice.back, cap.plain_back),
        ):
            ease = cap.eased(length(half.edge("armhole").line))
            what = (
                f"cap of {piece.name}, {side}{', gathered,' if gathered else ''} to armhole with "
                f"{context.told(ease)} ease"
            )
            sides.append(
                Join(
                    what=what,
                    this=Side(piece.name, f"cap {side}"),
                    that=half.sides("armhole")[0],
                    and_that=half.sides("armhole")[1:],
                    longer_mm=ease,
                    fullness=cap.fullness,
                    plain_mm=plain_mm,
                    turned=side == "back",
                    smooth=(False, False),
                    how=How.GATHERED if gathered else How.EASED,
                    stage=Stage.SLEEVES,
                )
            )
    underarm = Join(
        what=f"underarm seam of {piece.name}",
        this=Side(piece.name, "underarm front"),
        that=Side(piece.name, "underarm back"),
        turned=True,
    )
    return (*sides, underarm)


KINDS = (
    DraftKind(
        name="sleeve",
        options=SleeveOptions,
        draft=draft_sleeve,
        description="a pair of set-in or puff sleeves",
        place=20,
        needs_bodice=True,
        carries="sleeve",
        finishes=finishing("armhole"),
    ),
)
