"""An instance as the arrays that the kernels work on, built once for each process."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import cached_property

import numpy as np

from nesting.solver.instance import Instance, IntArray, IsLate, Item, Layout, Orientation, never
from nesting.solver.nofit.nofits import Nofits
from nesting.solver.nofit.simplify import simplified
from nesting.solver.nofit.turns import FloatArray
from nesting.solver.outline_cache import cached_by_outline
from nesting.solver.overlap import columns as at
from nesting.solver.overlap.bundles import Fields, Ties
from nesting.solver.overlap.fields import FieldStore, sides_of
from nesting.solver.phases import is_tied, levels

_KEPT = 1000
"""Outlines whose simple forms are kept for the next instance."""
_simple = cached_by_outline(simplified, _KEPT)
_BUILD_AHEAD = 3000
"""Pairs of shapes; with more, no-fit polygons and fields are built as they come to be needed."""
_BUILD_AT_ONCE = 100
"""Fields that are built between two looks at the clock."""
_ANYWHERE = 1e15
"""A greatest x that no strip comes to."""


class Prepared:
    """Shapes, their pairs and each item's choice among them.

    A shape is an orientation of a kind; kinds' shapes follow one another, then come the
    obstacles, one shape each. Outlines of many corners are simplified outward, so what doesn't
    overlap here does not overlap in truth.

    Attributes
    ----------
    nofits : of the exact outlines
    edges, pairs, shapes : as `columns` describes them
    first : (n,) the first shape of each item's kind
    direction : (shapes,) the sense of the nap
    group : (n,) each item's group, or -1
    area : (n,) of each item's outline
    held : (n,) whether it has to lie at the strip's beginning
    ties : of the shapes to phases; None where there are none
    """

    def __init__(self, instance: Instance) -> None:
        self.instance = instance
        self.nofits = Nofits(instance)
        kinds = {item.kind: item for item in instance.items}
        base: dict[int, int] = {}
        self._ways: list[tuple[int, int]] = []
        for kind, item in kinds.items():
            base[kind] = len(self._ways)
            self._ways += [(kind, index) for index in range(len(item.orientations))]
        own = [kinds[kind].orientations[index] for kind, index in self._ways]
        self._simple = [_simple(o.outline) for o in own]
        self._simple_nofits = Nofits(self._simplified(kinds))
        outlines = [o.outline for o in own] + list(instance.obstacles)
        self.first = np.array([base[item.kind] for item in instance.items], dtype=np.int64)
        self.group = np.array([item.group for item in instance.items], dtype=np.int64)
        self.held = np.array([item.held for item in instance.items], dtype=np.bool_)
        self.direction = np.array([o.direction for o in own], dtype=np.int64)
        self._options = _padded(
            [base[i.kind] + np.arange(len(i.orientations)) for i in instance.items]
        )
        simple = [*self._simple, *instance.obstacles]
        self.shapes = _shape_table(own, simple)
        areas = np.array([_area(outline) for outline in outlines])
        self.area = areas[self.first]
        self.edges = np.zeros((8, 1024))
        self._used = 0
        self._built: dict[int, tuple[int, int, int, int]] = {}
        low = np.array([o.min(axis=0) for o in simple]).reshape(-1, 2)
        high = np.array([o.max(axis=0) for o in simple]).reshape(-1, 2)
        self.pairs = _pair_table(low, high)
        self._boxes = low, high
        self.ties = self._tied() if is_tied(instance) else None
        self._is_ready = len(self.shapes) ** 2 > _BUILD_AHEAD

    @cached_property
    def fields(self) -> FieldStore:
        """How badly any two shapes overlap; first layouts do without."""
        return FieldStore(*self._boxes)

    @cached_property
    def levels(self) -> list[tuple[float, ...]]:
        """For each phase the places worth trying."""
        return levels(self.instance)

    def _tied(self) -> Ties:
        instance, size = self.instance, (len(self.shapes), 2)
        ties = Ties(
            np.full(size, -1, dtype=np.int64),
            np.zeros(size),
            np.array([phase.period for phase in instance.phases]),
            np.array([phase.axis for phase in instance.phases], dtype=np.int64),
            np.array([phase.choices is None for phase in instance.phases], dtype=np.int64),
        )
        for first, item in zip(self.first, instance.items, strict=True):
            for shape, way in enumerate(item.orientations, first):
                for number, away in way.ties:
                    at_axis = shape, instance.phases[number].axis
                    ties.tie[at_axis], ties.offset[at_axis] = number, away
        return ties

    def _simplified(self, kinds: dict[int, Item]) -> Instance:
        """One kind for each kind, with the simple outlines in place of the exact ones."""
        simple = iter(self._simple)
        items = []
        for kind, item in kinds.items():
            ways = tuple(
                Orientation(next(simple), o.x_low, o.x_reach, o.y_ranges, o.direction)
                for o in item.orientations
            )
            items.append(Item(kind, ways))
        return Instance(self.instance.width, tuple(items), self.instance.obstacles)

    # --- no-fit polygons ---

    def build(self, rows: Iterable[int]) -> None:
        """Enter the no-fit polygons of some rows of `pairs`."""
        for row in rows:
            fixed, moved = divmod(int(row), len(self.shapes))
            if moved >= len(self._ways):
                # Nothing is ever moved to lie beside an obstacle but the items.
                self.pairs[row, at.FIRST_CROSSING :] = 0
                continue
            way = self._ways[moved]
            if fixed < len(self._ways):
                edges = self._simple_nofits.edges(*self._ways[fixed], *way)
            else:
                edges = self._simple_nofits.obstacle_edges(fixed - len(self._ways), *way)
            if id(edges) not in self._built:
                self._built[id(edges)] = self._enter(edges)
            self.pairs[row, at.FIRST_CROSSING :] = self._built[id(edges)]

    def build_ahead(self) -> None:
        """Build all that a walker needs, unless that is too much to be had before it begins."""
        if not self._is_ready:
            self.build_all()

    def build_all(self) -> None:
        """Build the no-fit polygons and fields of all pairs."""
        self.build(np.flatnonzero(self.pairs[:, at.CROSSINGS] < 0))
        # Obstacles are not moved.
        unbuilt = self.fields.tables.sites[:, : len(self._ways), at.TABLE] < 0
        self._add_fields(np.argwhere(unbuilt))
        self._is_ready = True

    def build_missing(self, tables: Fields, is_late: IsLate = never) -> None:
        """Build the fields that kernels which read these tables came to need, or some of them."""
        missing = np.argwhere(tables.sites[:, :, at.TABLE] == -2)
        for some in np.array_split(missing, max(1, math.ceil(len(missing) / _BUILD_AT_ONCE))):
            self._add_fields(some)
            if is_late():
                return

    def _add_fields(self, pairs: IntArray) -> None:
        nofits = self._simple_nofits
        self.fields.add(
            (fixed, moved, *nofits.shared(self._name(fixed), self._name(moved)))
            for fixed, moved in pairs.tolist()
        )

    def _name(self, shape: int) -> tuple[bytes, int]:
        ways = len(self._ways)
        if shape < ways:
            return self._simple_nofits.name(*self._ways[shape])
        return self._simple_nofits.obstacle_name(shape - ways)

    def _enter(self, edges: FloatArray) -> tuple[int, int, int, int]:
        """Append edges, those for the crossing test in the first four rows."""
        sides = sides_of(edges).T
        is_sloped = edges[:, 1] != edges[:, 3]
        begin, count, crossing = self._used, len(edges), int(is_sloped.sum())
        while begin + count > self.edges.shape[1]:
            self.edges = np.hstack([self.edges, np.zeros_like(self.edges)])
        self.edges[: at.X0, begin : begin + crossing] = sides[: at.X0, is_sloped]
        self.edges[at.X0 :, begin : begin + count] = sides[at.X0 :]
        self._used += count
        return begin, crossing, begin, count

    # --- layouts ---

    def held_first(self, order: IntArray) -> IntArray:
        """An order with those first that have to lie at the strip's beginning."""
        held = self.held[order]
        return np.concatenate([order[held], order[~held]])

    def all_options(self, item: int) -> IntArray:
        """The shapes open to an item, whatever its group's direction."""
        row: IntArray = self._options[item]
        return row[row >= 0]

    def options(self, directions: IntArray) -> IntArray:
        """The shapes (n, most) open to each item under the groups' directions, -1 for none."""
        grouped = self.group >= 0
        wanted = np.where(grouped, directions[self.group], -1)
        sense = self.direction[np.maximum(self._options, 0)]
        fits = (self._options >= 0) & ((wanted < 0)[:, None] | (sense == wanted[:, None]))
        return _padded([row[keep] for row, keep in zip(self._options, fits, strict=True)])

    def arrays(self, layout: Layout) -> tuple[FloatArray, IntArray]:
        """Places (n + obstacles, 2) and shapes of a layout and the obstacles after it."""
        obstacles = len(self.instance.obstacles)
        places = np.vstack([layout.xy.astype(np.float64), np.zeros((obstacles, 2))])
        fixed = len(self._ways) + np.arange(obstacles)
        return places, np.concatenate([self.first + layout.orientation, fixed])

    def layout(self, places: FloatArray, chosen: IntArray) -> Layout:
        """The layout at whole units that places and shapes stand for."""
        n = len(self.first)
        return Layout(chosen[:n] - self.first, np.rint(places[:n]).astype(np.int64))

    def middles(self, chosen: IntArray) -> FloatArray:
        """The middles (..., 2) of the boxes of shapes, seen from their reference points."""
        own = self.shapes[chosen]
        middles: FloatArray = (own[..., at.LOW_CORNER] + own[..., at.HIGH_CORNER]) / 2
        return middles

    def directions(self, chosen: IntArray) -> IntArray:
        """The direction of each group in a layout."""
        found = np.zeros(max(0, int(self.group.max(initial=-1))) + 1, dtype=np.int64)
        grouped = self.group >= 0
        found[self.group[grouped]] = self.direction[chosen[: len(self.group)][grouped]]
        return found

    def _ties_in(self, layout: Layout) -> Iterator[tuple[int, int, int, float]]:
        """The ties of a layout: item, axis, phase and offset."""
        if self.ties is not None:
            for item, shape in enumerate(self.first + layout.orientation):
                for axis in np.flatnonzero(self.ties.tie[shape] >= 0).tolist():
                    yield item, axis, int(self.ties.tie[shape, axis]), self.ties.offset[shape, axis]

    def phases_of(self, layout: Layout) -> FloatArray:
        """Where phases lie in a layout; nan for those that nothing is tied to."""
        phase = np.full(len(self.instance.phases), np.nan)
        for item, axis, number, away in self._ties_in(layout):
            phase[number] = layout.xy[item, axis] + away
        return phase

    def phases_moved(self, phase: FloatArray, before: Layout, after: Layout) -> FloatArray:
        """Where phases lie once all that is tied to them was moved."""
        found = phase.copy()
        for item, axis, number, _ in self._ties_in(after):
            found[number] = phase[number] + (after.xy[item, axis] - before.xy[item, axis])
        return found

    def length(self, layout: Layout) -> int:
        """What a layout asks of the strip."""
        reach = self.shapes[self.first + layout.orientation, at.X_REACH].astype(np.int64)
        return int((layout.xy[:, 0] + reach).max(initial=0))


def _pair_table(low: FloatArray, high: FloatArray) -> FloatArray:
    size = len(low)
    pairs = np.zeros((size, size, 8))
    pairs[:, :, at.PAIR_X0 : at.PAIR_X1] = low[:, None] - high[None]
    pairs[:, :, at.PAIR_X1 : at.FIRST_CROSSING] = high[:, None] - low[None]
    pairs[:, :, at.CROSSINGS] = -1.0
    return pairs.reshape(-1, 8)


def _padded(rows: list[IntArray]) -> IntArray:
    table = np.full((len(rows), max((len(row) for row in rows), default=0)), -1, dtype=np.int64)
    for line, row in zip(table, rows, strict=True):
        line[: len(row)] = row
    return table


def _shape_table(own: list[Orientation], outlines: list[IntArray]) -> FloatArray:
    ranges = max((len(o.y_ranges) for o in own), default=1)
    table = np.zeros((len(outlines), at.RANGES + 2 * ranges))
    for row, outline in zip(table, outlines, strict=True):
        row[at.SIDE] = np.ptp(outline, axis=0).min()
        row[at.LOW_CORNER], row[at.HIGH_CORNER] = outline.min(axis=0), outline.max(axis=0)
    for row, o in zip(table, own, strict=False):
        row[at.X_LOW], row[at.X_REACH], row[at.RANGE_COUNT] = o.x_low, o.x_reach, len(o.y_ranges)
        row[at.MOST_X] = _ANYWHERE if o.x_most is None else o.x_most
        row[at.RANGES : at.RANGES + 2 * len(o.y_ranges)] = np.ravel(o.y_ranges)
    return table


def _area(outline: IntArray) -> float:
    x, y = outline.astype(np.float64).T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2
