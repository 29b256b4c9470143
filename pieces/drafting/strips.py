"""Strips joined end to end: how many, how long, and the straight pieces they are cut as."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from pieces.counts import at_least
from pieces.drafting.context import DraftContext, Needs
from pieces.drafting.pattern import Edge, Pattern, Role
from pieces.drafting.spec import Cutting
from pieces.geometry import SAME_MM
from pieces.piece import GrainRule, Line, Strip
from pieces.wording import key

_MOST_STRIPS = 200
_LEAST_BELOW_MM = 10.0
"""A join is left open all the way where less would be sewn; common practice."""
_LEAST_LAST_MM = 100.0
"""A shorter last strip is not worth its join; common practice."""


@dataclass(frozen=True, slots=True)
class Strips:
    """So many strips, which together make the whole length.

    `each_mm` is the length of each between its joins; `last_mm` that of the last, if it is
    shorter than the others, or 0. `ends_mm` is what joins take of each; `open_as` and
    `more_joins` as in `pieces.piece.Strip`.
    """

    count: int
    each_mm: float
    last_mm: float = 0.0
    ends_mm: float = 0.0
    open_as: str = ""
    more_joins: bool = False

    @property
    def lengths_mm(self) -> tuple[float, ...]:
        """Of each as it is cut, with its ends."""
        whole = self.count - bool(self.last_mm)
        each = (self.each_mm + self.ends_mm,) * whole
        return (*each, self.last_mm + self.ends_mm) if self.last_mm else each

    @property
    def whole_mm(self) -> float:
        """The length that they make, joined."""
        return sum(self.lengths_mm) - self.count * self.ends_mm


class StripOptions(Protocol):
    """What the options of a draft say of its strip."""

    @property
    def strip_length(self) -> float | None:
        """The longest strip it may be joined from, as cut, mm."""

    @property
    def joins(self) -> int | None:
        """How many joins it is to have."""

    @property
    def grain(self) -> str:
        """The grain rule of its pieces."""


def strips_for(whole_mm: float, strip_mm: float, joins_mm: float, evenly: bool = True) -> Strips:
    """Strips for a length, no longer than `strip_mm` as cut; the joins take `joins_mm` of each.

    The rule of *Dress Making* (NIMI, 2024): the length over what a strip yields, rounded up. They
    share the length evenly; or all but the last are as long as may be.

    Raises
    ------
    ValueError : the joins take the whole strip

    >>> strips_for(5400, 1100, 0).each_mm, strips_for(5500, 1100, 20).count
    (1080.0, 6)
    >>> strips_for(5400, 1100, 0, evenly=False).lengths_mm
    (1100, 1100, 1100, 1100, 1000)
    """
    if strip_mm <= joins_mm:
        raise ValueError("the joins take the whole strip")
    each = strip_mm - joins_mm
    count = max(1, at_least(whole_mm / each))
    last = whole_mm - (count - 1) * each
    if evenly or count == 1 or not _LEAST_LAST_MM - SAME_MM <= last < each - SAME_MM:
        return Strips(count, whole_mm / count, ends_mm=joins_mm)
    return Strips(count, each, last, joins_mm)


def strips_asked(
    needs: Needs,
    options: StripOptions,
    name: str,
    whole_mm: float,
    *,
    evenly: bool = False,
    more_joins: bool = False,
) -> Strips:
    """The strips for a length as the order asks; or else as the cloth's cutting has it for `name`.

    All alike if they must be shared out `evenly`; `more_joins` as in `pieces.piece.Strip`.
    """
    if options.joins is not None:
        return _joined(needs, options, whole_mm)
    if options.strip_length is not None:
        return strips_or_fault(needs, whole_mm, options.strip_length)
    cutting = needs.context.cutting.of(name, needs.context.garment)
    longest = longest_strip(needs.context, options, cutting)
    strips = strips_or_fault(needs, whole_mm, longest, evenly=evenly or cutting.evenly)
    return replace(strips, open_as=name, more_joins=more_joins)


def longest_strip(context: DraftContext, options: StripOptions, cutting: Cutting) -> float:
    """The longest strip of a part, as cut: by the order, or by which way it lies on its cloth.

    What lies on a border runs along the cloth; what meets a print otherwise, across it.
    """
    if options.strip_length is not None:
        return options.strip_length
    part = context.part
    if part.border and part.lining is None:
        return cutting.along_mm
    met = options.grain == "any" and (part.match or part.motif)
    if met or part.border or options.grain == "lengthwise":
        return cutting.across_mm
    return cutting.along_mm


def _joined(needs: Needs, options: StripOptions, whole_mm: float) -> Strips:
    """Equal strips with so many joins."""
    count = (options.joins or 0) + 1
    ends = 2 * needs.context.part.seam_allowance_mm
    if options.strip_length is not None:
        needs.refuse(
            "joins",
            "Both joins and " + key("strip_length") + " say in how many strips it is cut.",
            "Take one of the two out.",
        )
    elif count > _MOST_STRIPS or whole_mm / count < 10:
        needs.refuse(
            "joins",
            f"With {count - 1} joins the strips for {needs.told(whole_mm)} are too short to sew.",
            "Give fewer joins.",
        )
    return Strips(count, whole_mm / count, ends_mm=ends)


def strips_or_fault(
    needs: Needs, whole_mm: float, strip_mm: float, slant: float = 1.0, *, evenly: bool = True
) -> Strips:
    """The strips for a length with the part's seam allowance at both ends of each.

    Across slanting ends the allowance takes `slant` times as much of the length.
    """
    joins = _joins(needs, strip_mm, slant)
    if joins is None:
        return Strips(1, whole_mm)
    return _not_too_many(needs, strips_for(whole_mm, strip_mm, joins, evenly), whole_mm)


def whole_strips(
    needs: Needs, whole_mm: float, strip_mm: float, left_mm: float
) -> tuple[Strips, float]:
    """Strips as long as may be for what is left over from others doesn't make; what they leave.

    There may be none of them.
    """
    joins = _joins(needs, strip_mm)
    if joins is None:
        return Strips(1, whole_mm), 0.0
    each = strip_mm - joins
    count = max(0, at_least((whole_mm - left_mm) / each))
    strips = _not_too_many(needs, Strips(count, each, ends_mm=joins), whole_mm)
    return strips, max(0.0, left_mm + count * each - whole_mm)


def _joins(needs: Needs, strip_mm: float, slant: float = 1.0) -> float | None:
    """What joins take of each strip; None and a fault if that is all of it."""
    joins = 2 * slant * needs.context.part.seam_allowance_mm
    if strip_mm >= joins + 10:
        return joins
    needs.refuse(
        "strip_length",
        f"Strips of {needs.told(strip_mm)} are used up by their joins.",
        _longer(needs, "a smaller " + key("seam_allowance")),
    )
    return None


def _not_too_many(needs: Needs, strips: Strips, whole_mm: float) -> Strips:
    if strips.count > _MOST_STRIPS:
        needs.refuse(
            "strip_length",
            f"It would take {strips.count} strips to make {needs.told(whole_mm)}.",
            _longer(needs, "less fullness" if needs.gives("fullness") else ""),
        )
    return strips


def _longer(needs: Needs, other: str) -> str:
    """What lets strips be longer: the order's own length for them, or else the cloth."""
    if needs.gives("strip_length"):
        return "Give a longer " + key("strip_length") + (" or " + other if other else "") + "."
    return "Take a wider cloth" + (", or give " + other if other else "") + "."


@dataclass(frozen=True, slots=True)
class StripForm:
    """How strips are drawn.

    Attributes
    ----------
    depth_mm : from the lower edge to the top
    grain_rule : how they lie on the cloth
    lower : what the lower edge is
    top : what the upper edge is called
    folded : drawn twice as deep, with the line at which they are folded
    opening_mm : below the top their joins are notched, where one of them is left open so far
    """

    depth_mm: float
    grain_rule: GrainRule
    lower: Role
    top: str
    folded: bool = False
    opening_mm: float = 0.0

    @property
    def deep_mm(self) -> float:
        """The depth as it is cut, but for allowances."""
        return 2 * self.depth_mm if self.folded else self.depth_mm


def strip_patterns(
    name: str,
    strips: Strips,
    form: StripForm,
    *,
    whole_mm: float | None = None,
    evenly: bool = False,
    last: str = "last strip",
) -> tuple[Pattern, ...]:
    """The strips of a length that they make together, the `last` one by itself if it is shorter.

    Less than they make, `whole_mm`, may be asked of them; `evenly` as in `pieces.piece.Strip`.
    """
    asked = strips.whole_mm if whole_mm is None else whole_mm
    strip = Strip(
        name, asked, strips.ends_mm, strips.open_as, evenly=evenly, more_joins=strips.more_joins
    )
    long = Strips(strips.count - bool(strips.last_mm), strips.each_mm)
    first = strip_pattern(name, long, form)
    found = [replace(first, strip=strip, joins=max(0, strips.count - 1))]
    if strips.last_mm:
        short = strip_pattern(f"{name} {last}", Strips(1, strips.last_mm), form)
        found.append(replace(short, strip=strip))
    return tuple(found)


def strip_pattern(
    name: str, strips: Strips, form: StripForm, *, pleats_mm: Sequence[float] = ()
) -> Pattern:
    """A strip with its grain across it, from its lower edge to its top, notched in quarters.

    `pleats_mm` are the places along its top to notch instead, with a line down from each.
    """
    deep, opening_mm = form.deep_mm, form.opening_mm
    end = strips.each_mm
    middle = end / 2
    quarters = tuple(end * quarter / 4 for quarter in (1, 2, 3))
    open_at = (deep - opening_mm,) if 0 < opening_mm < deep - _LEAST_BELOW_MM else ()
    creases: list[Line] = [((form.depth_mm, 0.0), (form.depth_mm, end))] if form.folded else []
    creases += [((0.0, place), (deep, place)) for place in pleats_mm]
    return Pattern(
        name=name,
        edges=(
            Edge("join", ((0.0, 0.0), (deep, 0.0)), marks_mm=open_at),
            Edge(form.top, ((deep, 0.0), (deep, end)), marks_mm=tuple(pleats_mm) or quarters),
            Edge(
                "other join", ((deep, end), (0.0, end)), marks_mm=tuple(deep - at for at in open_at)
            ),
            Edge("hem", ((0.0, end), (0.0, 0.0)), form.lower),
        ),
        grain=((0.0, middle), (deep, middle)),
        cut=strips.count,
        grain_rule=form.grain_rule,
        drawn_lines=tuple(creases),
        joins=max(0, strips.count - 1),
    )
