"""An A-line dress: front and back in one from shoulder to hem, flared from the underarm."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pieces.curves import bezier, length
from pieces.drafting.bodices.bodice_block import Block
from pieces.drafting.bodices.bodice_limits import require_drawable
from pieces.drafting.bodices.bust import (
    BustOptions,
    bust_told,
    dart_at_side,
    over_bust,
    to_shoulder,
)
from pieces.drafting.bodices.upper import (
    neck_told,
    opening_mm,
    upper_block,
    upper_given,
    upper_halves,
    upper_joins,
    upper_pattern,
)
from pieces.drafting.context import DraftContext, DraftResult, Half, Needs, lined_apart
from pieces.drafting.kind import DraftKind
from pieces.drafting.openings import opens_down
from pieces.drafting.pattern import Edge, Role
from pieces.drafting.skirts.skirts import lower_role, shell_allowances, skirt_length
from pieces.fields import Length, LengthOrZero
from pieces.piece import Line
from pieces.seams import whole_length

_LEAST_BELOW_MM = 10.0
"""A middle is left open all the way where less would be sewn; common practice."""
_FLARE = 0.2
"""Each side comes out by so much of its length, 11 degrees; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DressOptions(BustOptions):
    """Options of an A-line dress; each may be left out.

    Attributes
    ----------
    length : from waist to hem; waist to knee, 0.28 of the height (from memory)
    flare : what each quarter is wider at the hem than at the chest; a fifth of the way from
        underarm to hem (common practice)
    """

    length: Length | None = None
    flare: LengthOrZero | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Flared(Block):
    """A block whose side goes straight out from the underarm, so far for each millimetre down."""

    flare: float = 0.0

    def lean_of(self, *, front: bool) -> float:
        """It goes out."""
        return -self.flare

    @property
    def hem_side(self) -> tuple[float, float]:
        """Where side and hem meet: the hem is level in the middle and square to the side."""
        down = self.length - self.scye_depth
        # On the side so high that a parabola from the middle, level there, meets it squarely.
        up = self.flare * (self.quarter + self.flare * down) / (2 + self.flare**2)
        return self.quarter + self.flare * (down - up), up - self.length

    def hem(self, *, front: bool) -> Line:
        """From the middle, in front lower for belly and bust, to the side."""
        x, y = self.hem_side
        y -= self.longer(front=front)
        low = -self.length - self.longer(front=front) - (self.belly if front else 0.0)
        run = x / 3
        return bezier(
            (0.0, low),
            (run, low),
            (x - run, y - run * self.flare),
            (x, y),
            sewn=True,
        )


def draft_dress(context: DraftContext, options: DressOptions) -> DraftResult:
    """Draft an A-line dress, and its lining if one is asked for.

    Steps
    -----
    1. Draw neck, shoulder and armhole as for a bodice (a pattern teaching site; Indian teaching
       notes; a British flat block as quoted by a sewing blog), the armhole square to the side seam
       (common practice).
    2. Set the hem below the waist by 0.28 of the height, at the knee (from memory).
    3. Draw the sides straight out from the underarm, by a fifth of their length (common practice).
    4. Draw the hem level in the middle and square to the sides, so that it runs on over them, in
       front lower by what the belly asks where that is told (common practice). Over a bust draw
       the front longer, with a dart from the side or the shoulder, as for a bodice.
    5. Put the middle on the fold, or open it as a bodice; notch it where a zip ends, a sixth of the
       chest and 5 cm below the waist (*The Practical Designer*, lesson 106).

    Raises
    ------
    OrderFault : measures are missing, or no dress can be drawn from them
    """
    needs = Needs(context)
    upper = over_bust(needs, upper_block(needs, options, "The dress"), options)
    back_waist = needs.measure("back_waist", "The dress")
    below = skirt_length(needs, options.length)
    needs.settle()
    down = back_waist + below - upper.scye_depth
    flare = _FLARE if options.flare is None else options.flare / max(1.0, down)
    block = flared(upper, back_waist + below, flare)
    require_drawable(needs, block)
    if flare > 1.0 and not needs.faults:
        needs.refuse(
            "flare",
            f"Out by {needs.told(options.flare or 0.0)} on the way down of {needs.told(down)}, the "
            "sides would lie more across than down.",
            "Give less flare, or take a flared skirt below a bodice.",
        )
    needs.settle()
    plain = (block.hem_side, block.underarm)
    dart = None
    if block.bust is not None:
        low = block.hem_side[0], block.hem_side[1] - block.bust.longer
        short = options.bust_dart == "side"
        dart = dart_at_side(needs, block, low, block.flare, length(plain), short=short)
    front, back = upper_halves(
        context,
        block,
        options.closing,
        "dress",
        lambda front: (
            Edge("hem", block.hem(front=front), lower_role(context)),
            *(dart.edges() if front and dart else (Edge("side", plain),)),
        ),
    )
    legs = dart.legs if dart else ()
    if dart and options.bust_dart == "shoulder":
        front, legs = to_shoulder(front, dart)
    halves = (notched(context, front, below), notched(context, back, below))
    opening = opening_mm(options)
    patterns = [upper_pattern(half, opening, legs if half is halves[0] else ()) for half in halves]
    shell, lining = lined_apart(context, patterns, shell_allowances(context, opening))
    return DraftResult(
        pieces=shell + lining,
        joins=upper_joins(shell, halves),
        findings=(
            *neck_told(context, options, whole_length(shell, "neck")),
            *bust_told(context, "the dress", block, options.bust_dart),
        ),
        bodice=upper_given(block, options, halves),
        hem_mm=whole_length(shell, "hem"),
        name=context.named("dress"),
        long_mm=below,
    )


def notched(context: DraftContext, half: Half, below: float) -> Half:
    """The half with a notch where its zip ends, as far below the waist as a skirt opens."""
    middle = half.middle
    down = length(middle.line) - below + opens_down(context.body)
    if middle.role is not Role.OPENING or down > length(middle.line) - _LEAST_BELOW_MM:
        return half
    return replace(half, edges=(*half.edges[:-1], replace(middle, marks_mm=(down,))))


def flared(upper: Block, length: float, flare: float) -> Flared:
    """A block that goes out from the underarm, by so much for each millimetre down."""
    own = {name: getattr(upper, name) for name in Block.__dataclass_fields__}
    return replace(Flared(**own), length=length, flare=flare)


KINDS = (
    DraftKind(
        name="A-line dress",
        options=DressOptions,
        draft=draft_dress,
        description="a dress in one from shoulder to hem, flared from the underarm",
        place=15,
        gives_bodice=True,
        carries="skirt",
        curved_hem=True,
        wider_hem="flare",
    ),
)
