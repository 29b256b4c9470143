"""Path data and basic shapes of SVG as lines and cubic curves (W3C, Scalable Vector Graphics).

An arc becomes cubics of at most a twelfth of a turn, which stray from it by less than a
millionth of its radius.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field

from pieces.counts import at_least
from pieces.importers.gathering import sane
from pieces.piece import Point

_COMMAND = re.compile(r"[\s,]*([MmZzLlHhVvCcSsQqTtAa])")
_NUMBER = re.compile(r"[\s,]*([-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?)")
_FLAG = re.compile(r"[\s,]*([01])")
_REST = re.compile(r"[\s,]*")
_WANTED = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_FLAGS = (3, 4)
"""Places of the two flags among what an arc wants; they may stand without a space after."""
_STEP = math.radians(30)


class PathError(Exception):
    """Path data that stops making sense; what came before it stands."""


@dataclass(slots=True)
class Subpath:
    """From a start, parts of one point (a straight line there) or three (a cubic curve)."""

    start: Point
    parts: list[tuple[Point, ...]] = field(default_factory=list)
    closed: bool = False


@dataclass(slots=True)
class Pen:
    """Draws subpaths; all points are absolute."""

    subpaths: list[Subpath] = field(default_factory=list)
    at: Point = (0.0, 0.0)
    pull: Point | None = None
    """The last control point, of a cubic or a quadratic curve as `pull_kind` says."""
    pull_kind: str = ""

    def move(self, to: Point) -> None:
        """Begin a subpath."""
        self.subpaths.append(Subpath(to))
        self._arrive(to)

    def line(self, to: Point) -> None:
        """A straight line."""
        self._path().parts.append((to,))
        self._arrive(to)

    def cubic(self, pull: Point, push: Point, to: Point) -> None:
        """A cubic Bezier curve."""
        self._path().parts.append((pull, push, to))
        self._arrive(to, push, "C")

    def quadratic(self, pull: Point, to: Point) -> None:
        """A quadratic Bezier curve, as the cubic that it equals."""
        first, second = (_between(end, pull, 2 / 3) for end in (self.at, to))
        self._path().parts.append((first, second, to))
        self._arrive(to, pull, "Q")

    def reflected_pull(self, kind: str) -> Point:
        """Where a smooth curve is pulled to: away from the control point before, if it has one."""
        if self.pull is None or self.pull_kind != kind:
            return self.at
        return 2 * self.at[0] - self.pull[0], 2 * self.at[1] - self.pull[1]

    def close(self) -> None:
        """Close the subpath; what follows without a move begins where it began."""
        path = self._path()
        path.closed = True
        self._arrive(path.start)

    def arc(self, radii: Point, turn_deg: float, large: bool, sweep: bool, to: Point) -> None:
        """An elliptical arc by its ends (SVG 1.1, appendix F.6)."""
        start, turn = self.at, math.radians(turn_deg)
        rx, ry = abs(radii[0]), abs(radii[1])
        if start == to:
            return
        if not sane(rx, ry, turn, *start, *to) or min(rx, ry) < 1e-9:
            self.line(to)
            return
        cos, sin = math.cos(turn), math.sin(turn)
        dx, dy = (start[0] - to[0]) / 2, (start[1] - to[1]) / 2
        x, y = cos * dx + sin * dy, -sin * dx + cos * dy
        grow = math.sqrt(max(1.0, (x / rx) ** 2 + (y / ry) ** 2))
        rx, ry = rx * grow, ry * grow
        off = (rx * y) ** 2 + (ry * x) ** 2
        root = math.sqrt(max(0.0, ((rx * ry) ** 2 - off) / off)) * (-1 if large == sweep else 1)
        cx, cy = root * rx * y / ry, -root * ry * x / rx
        first = math.atan2((y - cy) / ry, (x - cx) / rx)
        span = math.atan2((-y - cy) / ry, (-x - cx) / rx) - first
        span = span % math.tau if sweep else span % math.tau - math.tau
        middle = (
            cos * cx - sin * cy + (start[0] + to[0]) / 2,
            sin * cx + cos * cy + (start[1] + to[1]) / 2,
        )
        self._turned_arc(middle, ((rx * cos, rx * sin), (-ry * sin, ry * cos)), first, span, to)

    def _turned_arc(
        self, middle: Point, axes: tuple[Point, Point], first: float, span: float, to: Point
    ) -> None:
        count = max(1, at_least(abs(span) / _STEP))
        step = span / count
        reach = 4 / 3 * math.tan(step / 4)
        for i in range(count):
            one, other = first + i * step, first + (i + 1) * step
            here, here_way = _on_ellipse(middle, axes, one)
            there, there_way = _on_ellipse(middle, axes, other)
            pull = (here[0] + reach * here_way[0], here[1] + reach * here_way[1])
            push = (there[0] - reach * there_way[0], there[1] - reach * there_way[1])
            self._path().parts.append((pull, push, to if i == count - 1 else there))
        self._arrive(to)

    def _path(self) -> Subpath:
        if not self.subpaths or self.subpaths[-1].closed:
            self.subpaths.append(Subpath(self.at))
        return self.subpaths[-1]

    def _arrive(self, at: Point, pull: Point | None = None, kind: str = "") -> None:
        self.at, self.pull, self.pull_kind = at, pull, kind


def _between(a: Point, b: Point, share: float) -> Point:
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def _on_ellipse(middle: Point, axes: tuple[Point, Point], angle: float) -> tuple[Point, Point]:
    """The point of an ellipse at an angle, and the direction there."""
    (ax, ay), (bx, by) = axes
    cos, sin = math.cos(angle), math.sin(angle)
    at = (middle[0] + cos * ax + sin * bx, middle[1] + cos * ay + sin * by)
    return at, (cos * bx - sin * ax, cos * by - sin * ay)


def read_path(data: str, pen: Pen) -> None:
    """Draw path data with a pen.

    Raises
    ------
    PathError : where it stops making sense; all before is drawn

    >>> pen = Pen()
    >>> read_path("M0 0h4v1z", pen)
    >>> pen.subpaths
    [Subpath(start=(0.0, 0.0), parts=[((4.0, 0.0),), ((4.0, 1.0),)], closed=True)]
    """
    place = 0
    while (found := _COMMAND.match(data, place)) is not None:
        command, place = found[1], found.end()
        if not pen.subpaths and command not in "Mm":
            raise PathError("a path begins with a move")
        if command in "Zz":
            pen.close()
            continue
        more = True
        while more:
            values, place = _values(data, place, command.upper())
            _draw(pen, command, values)
            # A move with more points goes on in straight lines.
            command = {"M": "L", "m": "l"}.get(command, command)
            more = _NUMBER.match(data, place) is not None
    if _REST.sub("", data[place:]):
        raise PathError("what follows is no command")


def _values(data: str, place: int, command: str) -> tuple[list[float], int]:
    values = []
    for index in range(_WANTED[command]):
        pattern = _FLAG if command == "A" and index in _FLAGS else _NUMBER
        found = pattern.match(data, place)
        if found is None:
            raise PathError("a number is missing")
        values.append(float(found[1]))
        place = found.end()
    return values, place


def _draw(pen: Pen, command: str, values: list[float]) -> None:
    kind = command.upper()
    ox, oy = pen.at if command.islower() else (0.0, 0.0)
    if kind == "A":
        rx, ry, turn, large, sweep, x, y = values
        pen.arc((rx, ry), turn, bool(large), bool(sweep), (x + ox, y + oy))
        return
    if kind in "HV":
        level = (values[0] + ox, pen.at[1])
        pen.line(level if kind == "H" else (pen.at[0], values[0] + oy))
        return
    points = [(x + ox, y + oy) for x, y in zip(values[::2], values[1::2], strict=True)]
    if kind in "ST":
        points.insert(0, pen.reflected_pull("C" if kind == "S" else "Q"))
    if kind in "ML":
        (pen.move if kind == "M" else pen.line)(points[0])
    elif kind in "CS":
        pull, push, to = points
        pen.cubic(pull, push, to)
    else:
        pull, to = points
        pen.quadratic(pull, to)


def draw_rect(pen: Pen, x: float, y: float, width: float, height: float, radii: Point) -> None:
    """A rectangle, its corners rounded by these radii."""
    rx, ry = min(radii[0], width / 2), min(radii[1], height / 2)
    right, low = x + width, y + height
    pen.move((x + rx, y))
    pen.line((right - rx, y))
    for end, start in (
        ((right, y + ry), (right, low - ry)),
        ((right - rx, low), (x + rx, low)),
        ((x, low - ry), (x, y + ry)),
    ):
        pen.arc((rx, ry), 0.0, False, True, end)
        pen.line(start)
    pen.arc((rx, ry), 0.0, False, True, (x + rx, y))
    pen.close()


def draw_ellipse(pen: Pen, x: float, y: float, rx: float, ry: float) -> None:
    """An ellipse about a point."""
    pen.move((x + rx, y))
    for end in ((x, y + ry), (x - rx, y), (x, y - ry), (x + rx, y)):
        pen.arc((rx, ry), 0.0, False, True, end)
    pen.close()


def draw_points(pen: Pen, text: str, *, closed: bool) -> None:
    """A polyline or polygon by its points.

    Raises
    ------
    PathError : a point has only one number
    """
    numbers = [float(number) for number in _NUMBER.findall(text)]
    for index, point in enumerate(zip(numbers[::2], numbers[1::2], strict=False)):
        (pen.line if index else pen.move)(point)
    if closed and pen.subpaths:
        pen.close()
    if len(numbers) % 2:
        raise PathError("a point has only one number")
