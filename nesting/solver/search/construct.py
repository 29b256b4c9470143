"""A first layout: items one after another, each as far to the strip's beginning as it can lie.

Lines along the strip are drawn at the levels of the no-fit polygons' corners, where pieces nestle
into each other, and at the ends of the bands; on each the first free place is found at once
(`free_places`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np

from nesting.solver.instance import Instance, IntArray, IsLate, Layout, NoRoom, Orientation, never
from nesting.solver.overlap import columns as at
from nesting.solver.overlap.bundles import NO_PHASES, Floats
from nesting.solver.overlap.places import next_place
from nesting.solver.phases import lines
from nesting.solver.search.free_places import Around, first_along, levels_among
from nesting.solver.search.prepared import Prepared

Find = Callable[[Around, int, float], tuple[float, float]]
"""From what lies around, a shape and a length: the place that lets it end first, if before that."""


class Placing:
    """A first layout in the making: items are placed one after another.

    Groups take the direction that suits their first item. `phase` is where phases lie, nan where
    the first item tied to one sets it; ties are left out of account without it.
    """

    def __init__(self, prepared: Prepared, phase: Floats = NO_PHASES) -> None:
        self.prepared = prepared
        self.phase = phase
        self.end = 0.0
        self._places, self._chosen = prepared.arrays(_empty(prepared.instance))
        self._placed = list(range(len(prepared.first), len(self._places)))
        self._directions: dict[int, int] = {}

    def shapes_of(self, item: int) -> IntArray:
        """The shapes that an item may take."""
        shapes = self.prepared.all_options(item)
        direction = self._directions.get(int(self.prepared.group[item]))
        return shapes if direction is None else shapes[self.prepared.direction[shapes] == direction]

    def put(self, item: int, shapes: IntArray, find: Find) -> bool:
        """Place an item in that of some shapes which ends first; whether there is room for any."""
        own, best, end = self.prepared, None, np.inf
        beside = np.array(self._placed, dtype=np.int64)
        places, chosen = self._places[beside], self._chosen[beside]
        for shape in shapes.tolist():
            rows = chosen * len(own.shapes) + shape
            own.build(np.unique(rows[own.pairs[rows, at.CROSSINGS] < 0]))
            x, y = find(Around(places, own.edges, own.pairs[rows]), shape, end)
            if x + own.shapes[shape, at.X_REACH] < end:
                end, best = x + own.shapes[shape, at.X_REACH], (shape, x, y)
        if best is None:
            return False
        self._chosen[item], self._places[item] = best[0], best[1:]
        self._placed.append(item)
        self.end = max(self.end, end)
        if own.group[item] >= 0:
            self._directions[int(own.group[item])] = int(own.direction[best[0]])
        if own.ties is not None and len(self.phase):
            tie, offset = own.ties.tie[best[0]], own.ties.offset[best[0]]
            for axis in np.flatnonzero(tie >= 0):
                if np.isnan(self.phase[tie[axis]]):
                    self.phase[tie[axis]] = best[1 + axis] + offset[axis]
        return True

    def layout(self) -> Layout:
        """Where all lies."""
        return self.prepared.layout(self._places, self._chosen)

    def behind(self, rest: list[int]) -> Layout:
        """The layout with the rest of its items in columns past all that lies there."""
        own, chosen = self.prepared, self._chosen
        for item in rest:
            if int(own.group[item]) in self._directions:
                chosen[item] = self.shapes_of(item)[0]
        reach = self._places[self._placed, 0] + own.shapes[chosen[self._placed], at.RIGHT]
        layout = self.layout()
        end = int(np.rint(reach).max()) if len(reach) else None
        _in_columns(own.instance, layout, rest, end, self.phase)
        return layout


def layout_in_order(
    prepared: Prepared,
    order: IntArray,
    most_lines: int,
    is_late: IsLate = never,
) -> Layout:
    """Place the items in an order.

    Those that have to lie at the strip's beginning come first; a row if they find no room so.
    Once it is late, those that are left lie in columns behind the others.
    """

    def find(around: Around, shape: int, end: float) -> tuple[float, float]:
        own = prepared.shapes[shape]
        levels = np.unique(np.rint(levels_among(around, own)))
        if len(levels) > most_lines:
            levels = levels[np.linspace(0, len(levels) - 1, most_lines).astype(np.int64)]
        return first_along(around, own, levels, end, 0.0, 0.0)

    placing = Placing(prepared)
    queue = prepared.held_first(order).tolist()
    for number, item in enumerate(queue):
        if is_late():
            is_held = prepared.held[queue[number:]].any()
            return row_layout(prepared) if is_held else placing.behind(queue[number:])
        if not placing.put(item, placing.shapes_of(item), find):
            return row_layout(prepared)
    return placing.layout()


def orders(prepared: Prepared) -> list[IntArray]:
    """Orders worth trying: the largest first, the longest first, the highest first."""
    shapes = prepared.shapes[prepared.first]
    length, height = (shapes[:, at.HIGH_CORNER] - shapes[:, at.LOW_CORNER]).T
    keys = (prepared.area, length, height, length * height, np.maximum(length, height))
    return [np.argsort(-key, kind="stable") for key in keys]


def row_layout(prepared: Prepared) -> Layout:
    """All items one behind another, past the obstacles: legal whatever their outlines.

    Those that have to lie at the strip's beginning lie there one beside another.
    """
    layout = _empty(prepared.instance)
    end = _side_by_side(prepared.instance, layout)
    for item in range(len(layout.xy)):
        if not prepared.held[item]:
            end = _in_columns(prepared.instance, layout, [item], end)
    return layout


def columns(instance: Instance, phase: Floats = NO_PHASES) -> Layout:
    """Items side by side across the strip, column behind column, the longest first.

    Legal whatever their outlines, and had at once; next fit by decreasing height (Coffman, Garey,
    Johnson, Tarjan 1980, SIAM Journal on Computing 9:808-826), here along the strip. Given where
    phases lie, nan for those that the first item sets, items lie on them.

    Raises
    ------
    NoRoom : an item finds no level on its phase
    """
    layout = _empty(instance)
    end = _side_by_side(instance, layout)
    loose = [number for number, item in enumerate(instance.items) if not item.held]
    _in_columns(instance, layout, loose, end, phase)
    return layout


def _in_columns(
    instance: Instance,
    layout: Layout,
    items: Iterable[int],
    end: int | None,
    phase: Floats = NO_PHASES,
) -> int | None:
    """Put items of a layout into columns past its end, in the ways they have; the new end."""
    spans = sorted((int(o[:, 0].min()), int(o[:, 0].max())) for o in instance.obstacles)
    begin, top = end, None
    boxes = {item: _box(instance, layout, item) for item in items}
    for item in sorted(boxes, key=lambda item: boxes[item][2] - boxes[item][0], reverse=True):
        own, (left, bottom, right, high) = _way(instance, layout, item), boxes[item]
        along, across = _on_phases(instance, own, phase)
        x = _next(own, None if begin is None else begin - left, along)
        y = None if top is None else _level(own, top - bottom, across)
        if y is None or any(x + left < stop and x + right > start for start, stop in spans):
            x = _next(own, None if end is None else end - left, along)
            for start, stop in spans:
                if x + left < stop and x + right > start:
                    x = _next(own, stop - left, along)
            begin, y = x + left, _level(own, own.y_ranges[0][0], across)
        if y is None:
            raise NoRoom("an item finds no level on its phase")
        layout.xy[item] = x, y
        for number, offset in own.ties if len(phase) else ():
            if np.isnan(phase[number]):
                phase[number] = (x, y)[instance.phases[number].axis] + offset
        end, top = max(x + right, x + right if end is None else end), y + high
    return end


_Line = tuple[float, float] | None
"""A place of a phase and its period; None for none."""


def _on_phases(instance: Instance, own: Orientation, phase: Floats) -> tuple[_Line, _Line]:
    """The places of a way's reference point along the strip and across it."""
    found: list[_Line] = [None, None]
    for number, offset in own.ties if len(phase) else ():
        if not np.isnan(phase[number]):
            period = instance.phases[number].period
            found[instance.phases[number].axis] = float(phase[number] - offset), period
    return found[0], found[1]


def _next(own: Orientation, least: int | None, along: _Line) -> int:
    """The first place along the strip from one on."""
    x = own.x_low if least is None else max(own.x_low, least)
    return x if along is None else int(next_place(float(x), *along))


def _way(instance: Instance, layout: Layout, item: int) -> Orientation:
    return instance.items[item].orientations[int(layout.orientation[item])]


def _box(instance: Instance, layout: Layout, item: int) -> tuple[int, ...]:
    """Least and greatest x and y of an item's outline as it is turned in a layout."""
    outline = _way(instance, layout, item).outline
    return (*outline.min(axis=0).tolist(), *outline.max(axis=0).tolist())


def _level(own: Orientation, least: int, across: _Line) -> int | None:
    """The lowest place across the strip that is no lower than this; None if there is none."""
    if across is None:
        return min((max(low, least) for low, high in own.y_ranges if least <= high), default=None)
    found = (y for low, high in own.y_ranges for y in lines(low, high, *across) if y >= least)
    return min(found, default=None)


def _side_by_side(instance: Instance, layout: Layout) -> int | None:
    """Put the held items where they belong; how far along they reach, None if there are none."""
    end: int | None = None
    top: int | None = None
    for i, item in enumerate(instance.items):
        if not item.held:
            continue
        own = item.orientations[int(layout.orientation[i])]
        (low, _), bottom = own.y_ranges[0], int(own.outline[:, 1].min())
        y = low if top is None else max(low, top - bottom)
        layout.xy[i] = own.x_low, y
        top = y + int(own.outline[:, 1].max())
        end = max(end or 0, own.x_low + int(own.outline[:, 0].max()))
    return end


def _empty(instance: Instance) -> Layout:
    """Everything at the reference point in a way that groups allow.

    Raises
    ------
    NoRoom : the items of some group have no direction in which all may lie
    """
    allowed: dict[int, set[int]] = {}
    for item in instance.items:
        senses = {way.direction for way in item.orientations}
        allowed[item.group] = allowed.get(item.group, senses) & senses
    if any(group >= 0 and not senses for group, senses in allowed.items()):
        raise NoRoom("a group has no direction in which all of it may lie")
    chosen = np.zeros(len(instance.items), dtype=np.int64)
    for number, item in enumerate(instance.items):
        if item.group >= 0:
            sense = max(allowed[item.group])
            chosen[number] = [way.direction for way in item.orientations].index(sense)
    return Layout(chosen, np.zeros((len(chosen), 2), dtype=np.int64))
