"""A first layout: items one after another, each as far to the strip's beginning as it can lie.

For one shape and one line along the strip, the places where it would overlap what lies already
are the stretches of the line inside no-fit polygons; the first place outside all of them is
found at once. Lines are drawn at the levels of the no-fit polygons' corners, where pieces nestle
into each other, and at the ends of the bands.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

import numpy as np

from nesting.solver.instance import Instance, IntArray, IsLate, Layout, NoRoom, Orientation, never
from nesting.solver.overlap.severity import MOST_X, RANGES, Floats, Ints, owning
from nesting.solver.search.prepared import Prepared

_HALF = 0.5
"""Units: places are rounded to whole ones, so contact is sought to within half of one."""


def layout_in_order(
    prepared: Prepared,
    order: IntArray,
    most_lines: int,
    is_late: IsLate = never,
) -> Layout:
    """Place the items in an order; groups take the direction that suits their first item.

    Those that have to lie at the strip's beginning come first; a row if they find no room so.
    Once it is late, those that are left lie in columns behind the others.
    """
    places, chosen = prepared.arrays(_empty(prepared.instance))
    items = len(prepared.first)
    placed = list(range(items, len(places)))
    directions: dict[int, int] = {}
    queue = prepared.held_first(order).tolist()
    for number, item in enumerate(queue):
        if is_late():
            return _behind(prepared, places, chosen, queue[number:], directions)
        group = int(prepared.group[item])
        shape, x, y = _best(
            prepared, item, directions.get(group), places, chosen, placed, most_lines
        )
        if not math.isfinite(x):
            return row_layout(prepared)
        places[item], chosen[item] = (x, y), shape
        if group >= 0:
            directions[group] = int(prepared.direction[shape])
        placed.append(item)
    return prepared.layout(places, chosen)


def orders(prepared: Prepared) -> list[IntArray]:
    """Orders worth trying: the largest first, the longest first, the highest first."""
    shapes = prepared.shapes[prepared.first]
    length, height = shapes[:, 5] - shapes[:, 3], shapes[:, 6] - shapes[:, 4]
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


def columns(instance: Instance) -> Layout:
    """Items side by side across the strip, column behind column, the longest first.

    Legal whatever their outlines, and had at once; next fit by decreasing height (Coffman, Garey,
    Johnson, Tarjan 1980, SIAM Journal on Computing 9:808-826), here along the strip.
    """
    layout = _empty(instance)
    end = _side_by_side(instance, layout)
    loose = [number for number, item in enumerate(instance.items) if not item.held]
    _in_columns(instance, layout, loose, end)
    return layout


def _in_columns(
    instance: Instance, layout: Layout, items: Iterable[int], end: int | None
) -> int | None:
    """Put items of a layout into columns past its end, in the ways they have; the new end."""
    spans = sorted((int(o[:, 0].min()), int(o[:, 0].max())) for o in instance.obstacles)
    begin, top = end, None
    boxes = {item: _box(instance, layout, item) for item in items}
    for item in sorted(boxes, key=lambda item: boxes[item][2] - boxes[item][0], reverse=True):
        own, (left, bottom, right, high) = _way(instance, layout, item), boxes[item]
        x = own.x_low if begin is None else max(own.x_low, begin - left)
        y = None if top is None else _level(own, top - bottom)
        if y is None or any(x + left < stop and x + right > start for start, stop in spans):
            x = own.x_low if end is None else max(own.x_low, end - left)
            for start, stop in spans:
                if x + left < stop and x + right > start:
                    x = stop - left
            begin, y = x + left, own.y_ranges[0][0]
        layout.xy[item] = x, y
        end, top = max(x + right, x + right if end is None else end), y + high
    return end


def _way(instance: Instance, layout: Layout, item: int) -> Orientation:
    return instance.items[item].orientations[int(layout.orientation[item])]


def _box(instance: Instance, layout: Layout, item: int) -> tuple[int, ...]:
    """Least and greatest x and y of an item's outline as it is turned in a layout."""
    outline = _way(instance, layout, item).outline
    return (*outline.min(axis=0).tolist(), *outline.max(axis=0).tolist())


def _level(own: Orientation, least: int) -> int | None:
    """The lowest place across the strip that is no lower than this; None if there is none."""
    fits = [max(low, least) for low, high in own.y_ranges if least <= high]
    return min(fits, default=None)


def _behind(
    prepared: Prepared,
    places: Floats,
    chosen: Ints,
    rest: list[int],
    directions: Mapping[int, int],
) -> Layout:
    """The layout with the rest of its items in columns past all that lies there."""
    if prepared.held[rest].any():
        return row_layout(prepared)
    done = np.ones(len(chosen), dtype=np.bool_)
    done[rest] = False
    reach = np.rint(places[done, 0] + prepared.shapes[chosen[done], 5])
    for item in rest:
        direction = directions.get(int(prepared.group[item]))
        if direction is not None:
            own = prepared.all_options(item)
            chosen[item] = own[prepared.direction[own] == direction][0]
    layout = prepared.layout(places, chosen)
    _in_columns(prepared.instance, layout, rest, int(reach.max()) if len(reach) else None)
    return layout


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


def _best(
    prepared: Prepared,
    item: int,
    direction: int | None,
    places: Floats,
    chosen: Ints,
    placed: list[int],
    most_lines: int,
) -> tuple[int, float, float]:
    """The shape and place of an item that ends first."""
    size = len(prepared.shapes)
    beside = np.array(placed, dtype=np.int64)
    best = (0, np.inf, 0.0)
    end = np.inf
    shapes = prepared.all_options(item)
    if direction is not None:
        shapes = shapes[prepared.direction[shapes] == direction]
    for shape in shapes.tolist():
        rows = np.unique(chosen[beside]) * size + shape
        prepared.build(rows[prepared.pairs[rows, 5] < 0])
        lines = _lines(
            prepared.edges,
            prepared.pairs,
            prepared.shapes[shape],
            places[beside],
            chosen[beside],
            size,
            shape,
        )
        lines = np.unique(np.rint(lines))
        if len(lines) > most_lines:
            lines = lines[np.linspace(0, len(lines) - 1, most_lines).astype(np.int64)]
        x, y = _first_place(
            prepared.edges,
            prepared.pairs,
            prepared.shapes[shape],
            places[beside],
            chosen[beside],
            size,
            shape,
            lines,
            end,
        )
        if x + prepared.shapes[shape, 1] < end:
            end = x + prepared.shapes[shape, 1]
            best = (shape, x, y)
    return best


@owning
def _in_range(own: Floats, y: float) -> bool:
    inside = False
    for r in range(int(own[7])):
        inside |= own[RANGES + 2 * r] <= y <= own[RANGES + 2 * r + 1]
    return inside


@owning
def _lines(
    edges: Floats, pairs: Floats, own: Floats, places: Floats, chosen: Ints, size: int, shape: int
) -> Floats:  # fmt: skip
    """Levels at which a shape may lie: ends of its ranges, corners of no-fit polygons."""
    total = 2 * int(own[7])
    for k in range(len(chosen)):
        total += int(pairs[chosen[k] * size + shape, 7])
    lines = np.empty(total)
    count = 2 * int(own[7])
    for end in range(count):
        lines[end] = own[RANGES + end]
    for k in range(len(chosen)):
        row = pairs[chosen[k] * size + shape]
        for e in range(int(row[6]), int(row[6]) + int(row[7])):
            y = places[k, 1] + edges[5, e]
            if _in_range(own, y):
                lines[count] = y
                count += 1
    return lines[:count]


@owning
def _crossings(edges: Floats, first: int, count: int, y: float, found: Floats) -> int:
    """Where a level line meets the edges, in order."""
    number = 0
    for e in range(first, first + count):
        if edges[0, e] <= y < edges[1, e]:
            x = edges[2, e] + y * edges[3, e]
            k = number
            while k > 0 and found[k - 1] > x:
                found[k] = found[k - 1]
                k -= 1
            found[k] = x
            number += 1
    return number


@owning
def _blocked(
    edges: Floats, first: int, number: int, y: float, above: Floats, below: Floats,
    low: Floats, high: Floats,
) -> int:  # fmt: skip
    """Stretches of a level line inside a no-fit polygon, less half a unit; how many.

    What is inside a little above and a little below is inside by more than rounding.
    """
    ups = _crossings(edges, first, number, y + _HALF, above)
    downs = _crossings(edges, first, number, y - _HALF, below)
    a, b, count = 0, 0, 0
    while a < ups and b < downs:
        low[count] = max(above[a], below[b]) + _HALF
        high[count] = min(above[a + 1], below[b + 1]) - _HALF
        if low[count] < high[count]:
            count += 1
        if above[a + 1] < below[b + 1]:
            a += 2
        else:
            b += 2
    return count


@owning
def _first_free(x: float, low: Floats, high: Floats) -> float:
    """The least whole number from x on outside all stretches."""
    moved = True
    while moved:
        moved = False
        for k in range(len(low)):
            if low[k] < x < high[k]:
                x, moved = math.ceil(high[k]), True
    return x


@owning
def _first_place(
    edges: Floats, pairs: Floats, own: Floats, places: Floats, chosen: Ints, size: int, shape: int,
    lines: Floats, end: float,
) -> tuple[float, float]:  # fmt: skip
    """The place on the lines that lets a shape end first, if before `end`; x is inf if none."""
    best_x, best_y = np.inf, 0.0
    total, longest = 0, 0
    for k in range(len(chosen)):
        number = int(pairs[chosen[k] * size + shape, 5])
        total, longest = total + number, max(longest, number)
    above, below = np.empty(longest + 1), np.empty(longest + 1)
    low, high = np.empty(total + 1), np.empty(total + 1)
    for y in lines:
        count = 0
        for k in range(len(chosen)):
            row = pairs[chosen[k] * size + shape]
            dy = y - places[k, 1]
            if row[1] < dy < row[3]:
                found = _blocked(
                    edges, int(row[4]), int(row[5]), dy, above, below, low[count:], high[count:]
                )
                for stretch in range(count, count + found):
                    low[stretch] += places[k, 0]
                    high[stretch] += places[k, 0]
                count += found
        x = _first_free(own[0], low[:count], high[:count])
        if x <= own[MOST_X] and x + own[1] < end:
            end = x + own[1]
            best_x, best_y = x, y
    return best_x, best_y
