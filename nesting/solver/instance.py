"""What the solver is given and what it gives back: whole numbers only.

A strip runs along x without end and is `width` across. Every item takes one of its
orientations; each orientation has a reference point at (0, 0) of its outline. Units are
the caller's; the solver only needs that the outlines are large in them (the planner uses
micrometres), because a layout is legal to within one unit.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

IntArray = NDArray[np.int64]
IsLate = Callable[[], bool]
"""Whether what takes long is to be broken off."""


def never() -> bool:
    """For what has all the time it takes."""
    return False


MOST_WAYS = 2000
"""Ways for all items together: a pair of them takes some 200 bytes, whatever comes of it."""


class NoRoom(ValueError):
    """The phases and what is not to be touched leave some item no room."""


@dataclass(frozen=True, slots=True)
class Phase:
    """Places along one axis that items share, a whole number of periods from each other.

    `axis` is 0 along the strip, 1 across it; `choices` are the places, modulo the period, where
    they may lie, None where any will do.
    """

    axis: int
    period: float
    choices: tuple[float, ...] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Orientation:
    """One way an item may lie.

    Attributes
    ----------
    outline : (n, 2) simple polygon, anticlockwise, about the reference point; half of any gap
        to be kept between items is already added to it
    x_low : least x of the reference point
    x_reach : the reference point's x plus this is what the item asks of the length
    y_ranges : where the reference point's y may be, low to high, one range for each band the
        item may lie in; low == high where it is fixed to a fold
    direction : 0 or 1, the sense of the nap, which all items of a group share
    x_most : greatest x of the reference point, None for any; equal to x_low where it is fixed to a
        fold at the strip's beginning. All that have one lie beside each other without trouble.
    ties : number of a phase and offset, at most one for each axis: the reference point's place
        plus the offset is one of the places of that phase
    core : (n, 2) an outline within the item's own, where `outline` is drawn larger than that to
        have fewer corners; what is proven is proven of it. None where the outline is exact
    """

    outline: IntArray
    x_low: int
    x_reach: int
    y_ranges: tuple[tuple[int, int], ...]
    direction: int = 0
    ties: tuple[tuple[int, float], ...] = ()
    x_most: int | None = None
    core: IntArray | None = None

    @property
    def least(self) -> IntArray:
        """What of the outline is no larger than the item."""
        return self.outline if self.core is None else self.core

    @property
    def held(self) -> bool:
        """Whether it has to lie at the strip's beginning."""
        return self.x_most is not None


@dataclass(frozen=True, slots=True, eq=False)
class Item:
    """One outline to be placed. Items of equal `kind` have equal orientations.

    `group` is -1, or the number of the group whose items all take one direction.
    """

    kind: int
    orientations: tuple[Orientation, ...]
    group: int = -1

    @property
    def held(self) -> bool:
        """Whether all its orientations have to lie at the strip's beginning."""
        return bool(self.orientations) and all(way.held for way in self.orientations)


@dataclass(frozen=True, slots=True, eq=False)
class Instance:
    """Items to place on a strip of `width`; `obstacles` are (n, 2) outlines not to be touched.

    `phases` are those that orientations are tied to.
    """

    width: int
    items: tuple[Item, ...]
    obstacles: tuple[IntArray, ...] = ()
    phases: tuple[Phase, ...] = ()

    def length(self, layout: Layout) -> int:
        """What a layout asks of the strip; 0 without items."""
        ways = zip(self.items, layout.orientation.tolist(), layout.xy[:, 0].tolist(), strict=True)
        return max((x + item.orientations[way].x_reach for item, way, x in ways), default=0)


def ways(instance: Instance) -> int:
    """In how many ways items may lie, those that are alike counted once."""
    return sum({item.kind: len(item.orientations) for item in instance.items}.values())


def is_searched(instance: Instance) -> bool:
    """Whether there are so few ways for items to lie that all pairs of them can be held."""
    return ways(instance) <= MOST_WAYS


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """Where each item lies: its orientation's index (n,), its reference point (n, 2)."""

    orientation: IntArray
    xy: IntArray


@dataclass(frozen=True, slots=True, eq=False)
class Result:
    """The best layout found, always legal, and how good it is known to be.

    `length` is the layout's, `bound` a proven lower bound on any layout's, `rounds` and
    `seconds` what was spent; `interrupted` tells that Ctrl-C ended the search. `untied` is the
    best layout of the same items without their ties, where they had any.
    """

    layout: Layout
    length: int
    bound: int
    rounds: int
    seconds: float
    interrupted: bool = False
    untied: Layout | None = None

    @property
    def proven(self) -> bool:
        """Whether no shorter layout exists."""
        return self.length <= self.bound
