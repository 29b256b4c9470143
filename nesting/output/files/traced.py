"""What photographs gave: pieces drawn over them as SVG, to plan from or edit, and as a picture."""

from __future__ import annotations

import base64
from collections.abc import Mapping, Sequence
from typing import Any
from xml.sax.saxutils import quoteattr

import numpy as np

from pieces.geometry import bounds
from pieces.importers.interchange import GRAIN_RULE, MATERIAL, QUANTITY, SIZE
from pieces.importers.named import middle_of
from pieces.importers.svg import DATA, PHOTOGRAPH
from pieces.piece import GrainRule, Line, Outline, Piece, Point
from pieces.trace.board import opencv
from pieces.trace.marking import numbered
from pieces.trace.smooth import Shape
from pieces.trace.straight import Straightened
from pieces.trace.tracing import Tracing

_MARGIN_MM = 10.0
_NOTCH_MM = 8.0
_NEAR_MM = 10.0
_QUALITY = 80
_RED, _BLUE, _WHITE = (40, 40, 220), (220, 90, 20), (255, 255, 255)

NamedLines = Mapping[int, Sequence[tuple[str, Line]]]
"""By the place of a piece: what is drawn by it, and what each line is called."""


def traced_svg(
    tracing: Tracing, names: Sequence[str], lines: NamedLines, size: str = "", cloth: str = ""
) -> bytes:
    """The pieces over the photograph, seen from above and true to size: as `file` of an order."""
    straight = tracing.straight
    tall, wide = (side / straight.per_mm for side in straight.picture.shape[:2])

    def place(point: Point) -> Point:
        return point[0] - straight.left_mm, straight.top_mm - point[1]

    groups = []
    for number, (piece, name) in enumerate(zip(tracing.pieces, names, strict=True)):
        path = _path(piece.shape.moved(place))
        drawn = [(kind, tuple(map(place, line))) for kind, line in lines.get(number, ())]
        groups.append(_group(name, {MATERIAL: cloth, SIZE: size}, path, drawn))
    cv2: Any = opencv()
    _, jpeg = cv2.imencode(".jpg", straight.picture, [cv2.IMWRITE_JPEG_QUALITY, _QUALITY])
    photograph = (
        f'<image id="{PHOTOGRAPH}" x="0" y="0" width="{wide:.4f}" height="{tall:.4f}" '
        f'preserveAspectRatio="none" '
        f'href="data:image/jpeg;base64,{base64.b64encode(bytes(jpeg)).decode()}"/>'
    )
    return _svg(wide, tall, [photograph, *groups])


def kept_svg(piece: Piece, size: str = "", *, grain: bool = True) -> bytes:
    """One piece by itself, true to size, with all that orders read of it again.

    Without `grain` none is drawn, so that it is told, each time, that it was only assumed.
    """
    left, low, right, high = bounds(piece.outline)
    wide, tall = right - left + 2 * _MARGIN_MM, high - low + 2 * _MARGIN_MM

    def place(point: Point) -> Point:
        return point[0] - left + _MARGIN_MM, high - point[1] + _MARGIN_MM

    quantity = f"{piece.cut},{piece.cut}" if piece.pair else f"{piece.cut}"
    says = {MATERIAL: piece.fabric, QUANTITY: quantity, SIZE: size}
    if piece.grain_rule is not GrainRule.LENGTHWISE:
        says[GRAIN_RULE] = piece.grain_rule
    lines: list[tuple[str, Line]] = [("grain", piece.grain)] if grain else []
    if piece.on_fold is not None:
        lines.append(("fold", piece.on_fold))
    for notch in piece.notches:
        turn = np.radians(notch.inward_deg)
        end = notch.at[0] + _NOTCH_MM * np.cos(turn), notch.at[1] + _NOTCH_MM * np.sin(turn)
        lines.append(("notch", (notch.at, end)))
    lines += [(f"seam {seam.name}", seam.line) for seam in piece.seams]
    lines += [("", line) for line in piece.drawn_lines]
    drawn = [(kind, tuple(map(place, line))) for kind, line in lines]
    return _svg(wide, tall, [_group(piece.name, says, _points(map(place, piece.outline)), drawn)])


def _group(name: str, says: Mapping[str, str], path: str, lines: Sequence[tuple[str, Line]]) -> str:
    told = "".join(f" {DATA[word]}={quoteattr(text)}" for word, text in says.items() if text)
    rows = [f"<g aria-label={quoteattr(name)}{told}>", f'<path d="{path} Z"/>']
    for kind, line in lines:
        called = f"aria-label={quoteattr(kind)} " if kind else ""
        rows.append(f'<path {called}stroke="{_colour(kind)}" d="{_points(line)}"/>')
    return "\n".join([*rows, "</g>"])


def _colour(kind: str) -> str:
    return "blue" if kind else "black"


def _path(shape: Shape) -> str:
    parts = (f"{'C' if len(part) > 1 else 'L'}{_numbers(part)}" for part in shape.parts)
    return f"M{_numbers((shape.start,))} " + " ".join(parts)


def _points(line: Any) -> str:
    return "M" + " L".join(_numbers((point,)) for point in line)


def _numbers(points: Sequence[Point]) -> str:
    return " ".join(f"{value:.6f}" for point in points for value in point)


def _svg(wide: float, tall: float, parts: Sequence[str]) -> bytes:
    drawn = "\n".join(parts)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.4f}mm" height="{tall:.4f}mm" '
        f'viewBox="0 0 {wide:.4f} {tall:.4f}">\n'
        f'<g fill="none" stroke="red" stroke-width="0.5">\n{drawn}\n</g>\n</svg>\n'
    ).encode()


def over_photograph(tracing: Tracing, names: Sequence[str], lines: NamedLines) -> bytes:
    """The photograph from above with each outline, its corners' numbers and its lines, as PNG."""
    cv2: Any = opencv()
    seen = tracing.straight.picture.copy()
    for number, (piece, name) in enumerate(zip(tracing.pieces, names, strict=True)):
        _draw(cv2, seen, _pixels(tracing.straight, piece.outline), _RED, closed=True)
        for kind, line in lines.get(number, ()):
            pixels = _pixels(tracing.straight, line)
            if kind == "grain":
                cv2.arrowedLine(seen, *map(_whole, pixels), _BLUE, 2, cv2.LINE_AA, tipLength=0.04)
            else:
                _draw(cv2, seen, pixels, _BLUE, closed=False)
            _write(cv2, seen, kind, _pixels(tracing.straight, [middle_of(line)])[0], _BLUE)
        middle = _pixels(tracing.straight, _inside(piece.outline))[0]
        corners = numbered(piece.outline, piece.shape.corners)
        for count, corner in enumerate(corners, 1):
            at = _beside(corner, piece.outline, 26 / tracing.straight.per_mm)
            spots = _pixels(tracing.straight, [corner, at])
            cv2.circle(seen, _whole(spots[0]), 6, _RED, -1, cv2.LINE_AA)
            _write(cv2, seen, str(count), spots[1], _RED)
        _write(cv2, seen, f"{name}: within {piece.within_mm:.1f} mm", middle, _RED)
    _, data = cv2.imencode(".png", seen)
    return bytes(data)


def _pixels(straight: Straightened, line: Sequence[Point]) -> Any:
    mm = np.array(line, dtype=float).reshape(-1, 2)
    return (mm - (straight.left_mm, straight.top_mm)) * (1.0, -1.0) * straight.per_mm - 0.5


def _beside(corner: Point, outline: Outline, off_mm: float) -> Point:
    """A place beside a corner, on the side where its two edges leave more room."""
    ring = np.array(outline)
    place = int(np.argmin(np.hypot(*(ring - corner).T)))
    ways = [_way(ring, place, step) for step in (1, -1)]
    away = -(ways[0] + ways[1])
    if np.hypot(*away) < 0.05:  # the edge runs straight on
        away = np.array([ways[0][1], -ways[0][0]])
    x, y = corner + off_mm * away / np.hypot(*away)
    return float(x), float(y)


def _way(ring: Any, place: int, step: int) -> Any:
    """From a point of a ring towards where it is 10 mm on, as the crow flies."""
    for count in range(1, len(ring)):
        way = ring[(place + step * count) % len(ring)] - ring[place]
        if np.hypot(*way) >= _NEAR_MM:
            return way / np.hypot(*way)
    return way / max(float(np.hypot(*way)), 1e-9)


def _inside(outline: Outline) -> list[Point]:
    """A place well inside an outline."""
    from shapely.geometry import Polygon  # takes a while to load

    place = Polygon(outline).representative_point()
    return [(place.x, place.y)]


def _whole(at: Any) -> tuple[int, int]:
    return round(float(at[0])), round(float(at[1]))


def _draw(cv2: Any, seen: Any, pixels: Any, colour: tuple[int, ...], *, closed: bool) -> None:
    drawn = np.round(pixels * 16).astype(np.int32)
    cv2.polylines(seen, [drawn], closed, colour, 2, cv2.LINE_AA, 4)


def _write(cv2: Any, seen: Any, text: str, middle: Any, colour: tuple[int, ...]) -> None:
    """A text about a place, with a white rim; signs that the library has not are left out."""
    plain = text.encode("ascii", "replace").decode()
    (wide, tall), _ = cv2.getTextSize(plain, cv2.FONT_HERSHEY_SIMPLEX, 0.9, 2)
    at = _whole((middle[0] - wide / 2, middle[1] + tall / 2))
    for paint, width in ((_WHITE, 7), (colour, 2)):
        cv2.putText(seen, plain, at, cv2.FONT_HERSHEY_SIMPLEX, 0.9, paint, width, cv2.LINE_AA)
