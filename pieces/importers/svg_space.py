"""Where things lie in an SVG drawing: lengths, view boxes and transforms (W3C, SVG and CSS).

A matrix (a, b, c, d, e, f) takes (x, y) to (a x + c y + e, b x + d y + f).
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

from pieces.piece import Point

Matrix = tuple[float, float, float, float, float, float]
UNMOVED: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
PX_PER_INCH = 96.0
"""CSS Values and Units: one inch is 96 px."""
MM_PER_PX = 25.4 / PX_PER_INCH
_PX = {
    "": 1.0,
    "px": 1.0,
    "in": PX_PER_INCH,
    "mm": PX_PER_INCH / 25.4,
    "cm": PX_PER_INCH / 2.54,
    "q": PX_PER_INCH / 101.6,
    "pt": PX_PER_INCH / 72,
    "pc": PX_PER_INCH / 6,
}
_NUMBER = r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?"
_LENGTH = re.compile(rf"\s*({_NUMBER})\s*([a-zA-Z]*)\s*")
_NUMBERS = re.compile(_NUMBER)
_TRANSFORM = re.compile(r"[\s,]*([a-zA-Z]+)\s*\(([^()]*)\)")


def length(text: str) -> tuple[float, bool] | None:
    """A length in px, and whether it is in a unit of the tape; None if it is none.

    >>> length("25.4mm"), length("10"), length("50%")
    ((96.0, True), (10.0, False), None)
    """
    found = _LENGTH.fullmatch(text)
    unit = found[2].lower() if found else "?"
    if found is None or unit not in _PX:
        return None
    px = float(found[1]) * _PX[unit]
    return (px, unit not in ("", "px")) if math.isfinite(px) else None


def numbers(text: str) -> list[float]:
    """All the numbers in a text."""
    return [float(number) for number in _NUMBERS.findall(text)]


def times(outer: Matrix, inner: Matrix) -> Matrix:
    """The matrix that does the inner one first and then the outer one."""
    a, b, c, d, e, f = outer
    g, h, i, j, k, m = inner
    return (
        a * g + c * h,
        b * g + d * h,
        a * i + c * j,
        b * i + d * j,
        a * k + c * m + e,
        b * k + d * m + f,
    )


def moved(matrix: Matrix, point: Point) -> Point:
    """A point where the matrix takes it."""
    a, b, c, d, e, f = matrix
    x, y = point
    return a * x + c * y + e, b * x + d * y + f


def transform(text: str) -> Matrix | None:
    """The matrix of a transform attribute; None if it can't be read.

    >>> transform("translate(3) scale(2, 1)")
    (2.0, 0.0, 0.0, 1.0, 3.0, 0.0)
    """
    matrix, place = UNMOVED, 0
    while (found := _TRANSFORM.match(text, place)) is not None:
        one = _one_transform(found[1].lower(), numbers(found[2]))
        if one is None:
            return None
        matrix, place = times(matrix, one), found.end()
    return None if text[place:].strip(" \t\r\n,") else matrix


def _one_transform(kind: str, values: list[float]) -> Matrix | None:
    if not all(math.isfinite(value) for value in values):
        return None
    match kind, values:
        case "matrix", [a, b, c, d, e, f]:
            return (a, b, c, d, e, f)
        case "translate", [x, *rest] if len(rest) < 2:
            return (1.0, 0.0, 0.0, 1.0, x, sum(rest))
        case "scale", [x, *rest] if len(rest) < 2:
            return (x, 0.0, 0.0, rest[0] if rest else x, 0.0, 0.0)
        case "rotate", [degrees, *about] if len(about) in (0, 2):
            x, y = about or (0.0, 0.0)
            cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
            return (cos, sin, -sin, cos, x - cos * x + sin * y, y - sin * x - cos * y)
        case "skewx", [degrees]:
            return (1.0, 0.0, math.tan(math.radians(degrees)), 1.0, 0.0, 0.0)
        case "skewy", [degrees]:
            return (1.0, math.tan(math.radians(degrees)), 0.0, 1.0, 0.0, 0.0)
    return None


def view_box(attributes: Mapping[str, str]) -> tuple[float, float, float, float] | None:
    """Least x, least y, width and height of a view box; None if there is none that can be used."""
    values = numbers(attributes.get("viewBox", ""))
    if len(values) != 4 or not all(math.isfinite(v) for v in values) or min(values[2:]) <= 0:
        return None
    x, y, width, height = values
    return x, y, width, height


def viewport(attributes: Mapping[str, str]) -> tuple[Matrix, bool]:
    """From an svg element's own units to px, and whether it is drawn to a real size.

    A width alone gives the height its scale, and the other way round.
    """
    box = view_box(attributes)
    width, height = (length(attributes.get(side, "")) for side in ("width", "height"))
    real = any(side is not None and side[1] for side in (width, height))
    if box is None:
        return UNMOVED, real
    x, y, wide, high = box
    scales = [
        side[0] / own for side, own in ((width, wide), (height, high)) if side and side[0] > 0
    ]
    across, down = (scales[0], scales[-1]) if scales else (1.0, 1.0)
    fit = attributes.get("preserveAspectRatio", "").split()
    if not fit or fit[0] != "none":
        across = down = max(across, down) if "slice" in fit else min(across, down)
    return (across, 0.0, 0.0, down, -x * across, -y * down), real and bool(scales)
