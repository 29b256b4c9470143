"""Searches that are more than one line: done in one go, in whatever process, and sent back.

A lay that ends opened out is two strips, the second on the cloth that the first leaves; a fold
across flawed cloth has its place to find beside its layout.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from nesting.fabric.fabric import Fabric
from nesting.packing.convert import Packing
from nesting.packing.fold_place import searched
from nesting.packing.opening import Sized, way_to_open
from nesting.packing.section_search import InTwo, laid_in_two
from nesting.packing.sections import Opened, open_packing
from nesting.prints.prints import ALONG
from nesting.search.problem import FabricProblem, LayOption
from nesting.solver.instance import Layout, Result
from nesting.solver.stop import Stop
from pieces.piece import Piece

Starts = tuple[Layout | None, Layout | None]


@dataclass(frozen=True, slots=True)
class Means:
    """What an attempt may spend, and the random numbers of its walkers."""

    stop: Stop
    seed: int
    walkers: int

    def solve(self, strip: Packing, start: Layout | None, share: float) -> Result:
        """A strip searched in this process, within a share of the whole."""
        from nesting.solver.solve import solve

        return solve(
            strip.instance,
            self.stop.portion(share),
            seed=self.seed,
            start=start,
            walkers=self.walkers,
        )


@dataclass(frozen=True, slots=True)
class Placed:
    """A lay with its fold where a layout is clear of flaws; no bound counts the flaws."""

    packing: Packing
    layout: Layout
    bound: int


def place(packing: Packing, start: Layout | None, means: Means) -> Placed:
    """A fold across flawed cloth, searched with its place."""
    there, found = searched(packing, start, means.solve)
    return Placed(there, found.layout, found.bound)


@dataclass(frozen=True, slots=True)
class OpenedOut:
    """The best way found to open a lay out: what is cut there, and where all lies.

    `found` is None where the print leaves no way, or no way promises much; `refused` tells the
    first from the second.
    """

    way: Opened | None
    found: InTwo | None
    refused: bool = False


def open_out(
    problem: FabricProblem, lay: LayOption, senses: Mapping[str, int], means: Means
) -> OpenedOut:
    """A lay searched with the section that promises most, if any promises much or it needs one.

    Garments with pieces in both parts lie the way that `senses` tell. Where a print runs on along
    the cloth, they are turned about as well: either may fall in with its repeat.
    """
    way = way_to_open(
        lay.packing, _singly(problem.pieces, problem.fabric), problem.pieces, lay.opened
    )
    choices = [dict(senses)]
    if ALONG in lay.packing.prints.axes:
        both = {piece.garment: 0 for piece in problem.pieces} | dict(senses)
        choices.append({group: 1 - sense for group, sense in both.items()})
    found: list[InTwo] = []
    refused = False
    each = replace(means, stop=means.stop.portion(1 / len(choices)))
    for choice in choices:
        strips = problem.strips(lay, [way or lay.opened, lay.opened], choice)
        if strips is not None:
            laid = laid_in_two(strips, (None, None), each.solve)
            refused = refused or laid is None
            found += [] if laid is None else [laid]
    return OpenedOut(way, min(found, key=_length_mm, default=None), refused and not found)


def lay_on(
    strips: tuple[Packing, Packing], starts: Starts, means: Means, straighten: bool = False
) -> InTwo | None:
    """Both parts of a lay searched on from layouts of them."""
    return laid_in_two(strips, starts, means.solve, straighten=straighten)


def _length_mm(found: InTwo) -> float:
    from nesting.packing.sections import marker_of

    return marker_of(found.folded, found.layout, found.section).length_mm


@lru_cache(maxsize=8)
def _singly(pieces: tuple[Piece, ...], fabric: Fabric) -> Sized:
    """First layouts of a problem's pieces on open cloth."""
    return Sized(open_packing(pieces, replace(fabric, flaws=())))
