"""A figure from the front and from the back, with a numbered line for each measure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from nesting.output.drawing.sheet import DASHED, FAINT, INK, Sheet
from pieces.curves import bezier
from pieces.importers.svg_path import Pen, Subpath, read_path
from pieces.piece import Line, Point

WIDE, TALL = 200.0, 400.0
"""The box of one figure, in units of its own; y runs down, as in the paths."""
_BODY = (
    "M100 18C118 18 124 34 122 50C120 66 111 77 100 77C89 77 80 66 78 50C76 34 82 18 100 18Z",
    "M92 74V86Q90 91 82 94L66 101Q60 105 61 112L70 138Q75 160 73 182Q66 204 64 230H136Q134 204 127 "
    "182Q125 160 130 138L139 112Q140 105 134 101L118 94Q110 91 108 86V74",
    "M62 106Q54 118 50 140L40 166L28 206Q24 216 28 220Q33 222 36 214L52 172L68 142",
    "M138 106Q146 118 150 140L160 166L172 206Q176 216 172 220Q167 222 164 214L148 172L132 142",
    "M64 230L70 300L74 366Q66 376 70 381H92L94 366L98 258H102L106 366L108 381H130Q134 376 126 366"
    "L130 300L136 230",
)
_FRONT = {
    "height": ("M14 18V382M6 18H22M6 382H22", (14, 300)),
    "neck": ("M90 88Q100 95 110 88", (126, 76)),
    "shoulder": ("M110 92L133 102", (147, 92)),
    "chest": ("M70 136Q100 147 130 136", (84, 130)),
    "across_front": ("M64 122H136", (112, 115)),
    "bust_height": ("M92 88L86 138", (77, 106)),
    "bust_span": ("M86 138H114", (116, 148)),
    "front_waist": ("M109 88L114 138V186", (121, 166)),
    "waist": ("M73 182Q100 192 127 182", (86, 179)),
    "hip": ("M66 222Q100 233 134 222", (100, 218)),
    "arm": ("M139 108L160 164L169 214", (174, 164)),
    "upper_arm": ("M131 143L151 137", (161, 132)),
    "wrist": ("M158 212L175 207", (186, 212)),
    "rise": ("M60 182V232M56 182H64M56 232H64", (52, 243)),
}
_BACK = {
    "back_waist": ("M100 86V182", (100, 160)),
    "across_shoulders": ("M66 101Q100 91 134 101", (148, 92)),
    "across_back": ("M64 122H136", (116, 115)),
}
_RADIUS, _SIZE_PT = 7.0, 8.0


def draw_figures(sheet: Sheet, numbers: Mapping[str, int], corner: Point, wide_mm: float) -> float:
    """Both figures, side by side from the upper left corner; gives how deep they are, in mm.

    `numbers` are those of the measures asked for. The back is left out where none is taken there.
    """
    views = [("from the front", _FRONT)]
    if any(name in _BACK for name in numbers):
        views.append(("from the back", _BACK))
    scale = min(wide_mm / (2 * WIDE), 0.32)
    for index, (title, lines) in enumerate(views):
        left = corner[0] + index * (WIDE * scale + 8)
        for path in _BODY:
            for line in _lines(path, (left, corner[1]), scale):
                sheet.line(line, 0.8, colour=FAINT)
        for name, (path, at) in lines.items():
            if name in numbers:
                for line in _lines(path, (left, corner[1]), scale):
                    sheet.line(line, 1.2, colour=INK, dashes=DASHED)
                x, y = _placed(at, (left, corner[1]), scale)
                sheet.disc((x, y), _RADIUS * scale)
                number = str(numbers[name])
                sheet.text((x, y), number, _SIZE_PT, bold=True, align="center")
        middle = left + WIDE * scale / 2
        sheet.text((middle, corner[1] - TALL * scale - 2), title, _SIZE_PT, align="center")
    return TALL * scale + 6


def measured_on_a_figure() -> frozenset[str]:
    """The measures that have a line."""
    return frozenset(_FRONT) | frozenset(_BACK)


def _placed(at: Point, corner: Point, scale: float) -> Point:
    return corner[0] + at[0] * scale, corner[1] - at[1] * scale


def _lines(path: str, corner: Point, scale: float) -> list[Line]:
    pen = Pen()
    read_path(path, pen)
    return [tuple(_placed(point, corner, scale) for point in _points(one)) for one in pen.subpaths]


def _points(path: Subpath) -> Sequence[Point]:
    found = [path.start]
    for part in path.parts:
        if len(part) == 1:
            found.append(part[0])
        else:
            pull, push, to = part
            found += bezier(found[-1], pull, push, to)[1:]
    return [*found, path.start] if path.closed else found
