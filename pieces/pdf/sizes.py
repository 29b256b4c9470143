"""Sizes drawn in one another, told apart by their layer or by how their lines are drawn."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from statistics import median

from pieces.geometry import area, is_simple
from pieces.importers.gathering import Gathering
from pieces.importers.strokes import Stroke
from pieces.pdf.paths import Style
from pieces.piece import Line
from pieces.wording import either

_LEAST_MM2 = 400.0
"""Of closed lines that may be pieces."""
_EVEN_MM = 0.6
_EVENLY = 0.75
_FIRST = 0.3
_USUAL_MM = (5.0, 6.0, 6.35, 7.0, 8.0, 9.525, 10.0, 12.0, 12.7, 15.0, 15.875, 20.0, 25.0, 25.4)
"""Seam allowances of patterns, in mm, quarters and eighths of an inch; common practice."""
_USUAL_WITHIN_MM = 0.15
_MOST_ALLOWANCES = 4
"""Seam, hem and two more: along each a sewing line lies evenly inside the cut line."""
_ALLOWANCES_MM = (2.0, 60.0)


def named_styles(styles: Sequence[Style]) -> dict[Style, str]:
    """The name by which each style is asked for: its layer, and how it looks where that differs.

    >>> thin, thick = (Style("", (0, 0, 0), (), width) for width in (0.5, 2.0))
    >>> list(named_styles([thin, thick, Style("", (250, 0, 0), ())]).values())
    ['black 0.5 pt', 'black 2 pt', 'red']
    """
    names: dict[Style, str] = {}
    for style in styles:
        same = [one for one in styles if one.layer == style.layer]
        looks = style.looks
        alike = [one for one in same if one.looks == looks]
        if len({one.colour for one in alike}) > 1:
            looks = f"#{style.colour[0]:02x}{style.colour[1]:02x}{style.colour[2]:02x}" + (
                looks.partition(" ")[1] + looks.partition(" ")[2]
            )
        if len({one.width for one in alike if one.colour == style.colour}) > 1:
            looks = f"{looks} {style.width:g} pt"
        if not style.layer:
            names[style] = looks
        else:
            names[style] = style.layer if len(same) == 1 else f"{style.layer}, {looks}"
    return names


def wanted(
    strokes: Sequence[Stroke], styles: Mapping[str, Style], asked: Sequence[str], path: Gathering
) -> tuple[list[Stroke], list[Stroke]]:
    """The strokes of the outlines that are asked for, and all others that may lie in them.

    Lines on a layer, or of a kind, that has no closed line as large as a piece are of every size.

    Raises
    ------
    OrderFault : no such layer, or several sizes lie in one another and none is asked for
    """
    by_style: dict[Style, list[Stroke]] = defaultdict(list)
    for stroke in strokes:
        by_style[styles[stroke.group]].append(stroke)
    outlines = {
        style: found
        for style, all_of_it in by_style.items()
        if (found := [one for one in all_of_it if _may_be_piece(one)])
    }
    names = named_styles(sorted(by_style))
    if asked:
        chosen = _asked_for(asked, names, outlines, path)
    else:
        chosen = _not_nested(outlines, names, path)
    own = [one for style in outlines if style in chosen for one in by_style[style]]
    others = [one for style in by_style if style not in outlines for one in by_style[style]]
    return own, others


def _may_be_piece(stroke: Stroke) -> bool:
    return stroke.closed and area(stroke.line) >= _LEAST_MM2


def _asked_for(
    asked: Sequence[str],
    names: Mapping[Style, str],
    outlines: Mapping[Style, Sequence[Stroke]],
    path: Gathering,
) -> set[Style]:
    chosen: set[Style] = set()
    for name in asked:
        plain = name.strip().casefold()
        found = {
            style
            for style, called in names.items()
            if plain in (called.casefold(), style.layer.casefold(), style.looks.casefold())
        }
        if not found & outlines.keys():
            raise path.refused(
                f"It has no outlines on a layer or in lines called '{name}'.",
                f"Those that it has: {_listed(outlines, names)}.",
            )
        chosen |= found
    return chosen


def _listed(outlines: Mapping[Style, Sequence[Stroke]], names: Mapping[Style, str]) -> str:
    if not outlines:
        return "none"
    return ", ".join(sorted(f"'{names[style]}' ({len(outlines[style])})" for style in outlines))


def _not_nested(
    outlines: Mapping[Style, Sequence[Stroke]], names: Mapping[Style, str], path: Gathering
) -> set[Style]:
    """All styles, but those of sewing lines; refused where they are several sizes."""
    if len(outlines) < 2:
        return set(outlines)
    rings = [(style, one.line) for style, found in outlines.items() for one in found]
    pairs = [(a, b) for a, b in nested([line for _, line in rings]) if rings[a][0] != rings[b][0]]
    deep = {inner for _, inner in pairs} & {outer for outer, _ in pairs}
    if not deep and all(evenly_inside(rings[b][1], rings[a][1]) for a, b in pairs):
        return set(outlines)
    raise path.refused(
        "Outlines of several sizes lie in one another here.",
        either(
            'Say which is wanted with layer = "…" beside the file: ', "Say which size is wanted: "
        )
        + f"{_listed(outlines, names)}.",
    )


def nested(lines: Sequence[Line]) -> list[tuple[int, int]]:
    """Pairs (outer, inner) of closed lines of which one lies for the most part in the other."""
    from shapely import STRtree  # takes a while to load
    from shapely.geometry import Polygon

    if len(lines) < 2:
        return []
    regions = [Polygon(line).buffer(0) for line in lines]
    tree = STRtree(regions)
    found = []
    for inner, outer in zip(*tree.query(regions, predicate="intersects"), strict=True):
        small, large = regions[inner], regions[outer]
        if inner == outer or small.area > large.area or small.area < 0.3 * large.area:
            continue
        if small.area == large.area and inner < outer:
            continue
        if small.intersection(large).area > 0.7 * small.area:
            found.append((int(outer), int(inner)))
    return found


def evenly_inside(inner: Line, outer: Line) -> bool:
    """Whether a line lies inside an outline by a few allowances, the first a usual one for seams.

    That is a sewing line, and no smaller size. On a fold both may be one.
    """
    from shapely import distance, points  # takes a while to load
    from shapely.geometry import LinearRing, Polygon

    if not (is_simple(inner) and is_simple(outer)):
        return False
    if not Polygon(outer).buffer(0.5).covers(Polygon(inner)):
        return False
    ring = LinearRing(inner)
    count = max(40, min(400, int(ring.length / 5)))
    spots = [ring.interpolate(i / count, normalized=True) for i in range(count)]
    away = distance(points([(spot.x, spot.y) for spot in spots]), LinearRing(outer))
    off = [float(value) for value in away if value > 0.5]
    least, most = _ALLOWANCES_MM
    if len(off) < 0.4 * count or max(off) > most * 1.5:
        return False
    even, left = 0, off
    for turn in range(_MOST_ALLOWANCES):
        if not left:
            break
        near = {at: sum(abs(value - at) <= _EVEN_MM for value in left) for at in left}
        best = max(near, key=lambda at: near[at])
        middle = median(value for value in left if abs(value - best) <= _EVEN_MM)
        if turn == 0 and (near[best] < _FIRST * len(off) or not _usual(middle)):
            return False
        if least <= best <= most:
            even += near[best]
        left = [value for value in left if abs(value - best) > _EVEN_MM]
    return even >= _EVENLY * len(off)


def _usual(allowance_mm: float) -> bool:
    return any(abs(allowance_mm - usual) <= _USUAL_WITHIN_MM for usual in _USUAL_MM)
