"""A page to draw on, in millimetres, saved as PNG, SVG or PDF."""

from __future__ import annotations

import io
import math
import warnings
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache
from typing import TYPE_CHECKING, Any, TypedDict, Unpack

from pieces.geometry import bounds, rotated, translated
from pieces.piece import Line, Outline, Point

if TYPE_CHECKING:
    from matplotlib.patches import Rectangle

MM_PER_POINT = 25.4 / 72
FONTS = ("DejaVu Sans", "sans-serif")
INK = "#222222"
FAINT = "#6b6b6b"
SMALLEST_POINT = 6.5
"""Still 6 point when a page is scaled from A4 to fit US Letter."""

DASH_DOT = (0, (8, 2, 1.5, 2))
DASHED = (0, (4, 2.5))
DOTTED = (0, (1, 1.6))
Dashes = tuple[int, tuple[float, ...]]
SOLID: Dashes = (0, ())

Box = tuple[float, float, float, float]
"""Left, lower, right and upper end of a rectangle on the page."""

_DPI = 200


@contextmanager
def _missing_glyphs_allowed() -> Iterator[None]:
    """A script that the font lacks comes out as boxes, and in the SVG as text all the same."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing from")
        yield


def text_width_mm(text: str, size_pt: float, bold: bool = False) -> float:
    """How wide a line of text comes out on the page."""
    return _width_per_point(text, bold) * size_pt * MM_PER_POINT


@lru_cache(maxsize=1 << 15)
def _width_per_point(text: str, bold: bool) -> float:
    """Width as a multiple of the size of type; letters are scaled, not drawn anew, for a size."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import TextToPath

    font = FontProperties(family=FONTS[:1], size=1.0, weight="bold" if bold else "normal")
    with _missing_glyphs_allowed():
        width, _, _ = TextToPath().get_text_width_height_descent(text, font, ismath=False)
    return float(width)


def line_height_mm(size_pt: float) -> float:
    """From one line of text to the next."""
    return size_pt * 1.25 * MM_PER_POINT


def shortened(text: str, size_pt: float, room_mm: float, bold: bool = False) -> str:
    """The text, its end left out if it doesn't fit the room."""
    if text_width_mm(text, size_pt, bold) <= room_mm:
        return text
    while len(text) > 1 and text_width_mm(text + "…", size_pt, bold) > room_mm:
        text = text[:-1]
    return text.rstrip() + "…"


def has_room(text: str, size_pt: float, room_mm: float) -> bool:
    """Whether a measure can stand in its dimension line, which shows on both sides of it."""
    return room_mm > text_width_mm(text, size_pt) + 3


def size_to_fit(text: str, largest_pt: float, room_mm: float, bold: bool = False) -> float:
    """The size at which a line fits the room, never below the smallest legible."""
    width = text_width_mm(text, largest_pt, bold)
    return max(SMALLEST_POINT, largest_pt * min(1.0, room_mm / max(width, 1e-9)))


def _around(at: Point, text: str, size_pt: float, bold: bool, align: str, turn_deg: float) -> Box:
    """The upright rectangle that a text of one line stands in."""
    wide, half = text_width_mm(text, size_pt, bold), line_height_mm(size_pt) / 2
    left = -wide * {"left": 0.0, "center": 0.5, "right": 1.0}[align]
    corners = rotated(rectangle(left, -half, wide, 2 * half), turn_deg)
    return bounds(translated(corners, *at))


class TextLook(TypedDict, total=False):
    """How a line of text looks; `backing` is the colour that hides what is behind it."""

    bold: bool
    colour: str
    backing: str
    layer: int


class Sheet:
    """One page; x to the right and y upwards from its lower left corner.

    `written` has a box around each text on it, in the order written; `signs` around each sign.
    """

    def __init__(self, width_mm: float, height_mm: float, title: str) -> None:
        from matplotlib.backends.backend_agg import FigureCanvasAgg
        from matplotlib.figure import Figure

        self.width_mm, self.height_mm, self.title = width_mm, height_mm, title
        self.written: list[Box] = []
        self.signs: list[Box] = []
        self.figure = Figure(figsize=(width_mm / 25.4, height_mm / 25.4), facecolor="white")
        FigureCanvasAgg(self.figure)
        self.axes = self.figure.add_axes((0.0, 0.0, 1.0, 1.0))
        self.axes.set_axis_off()
        self.axes.set_xlim(0, width_mm)
        self.axes.set_ylim(0, height_mm)

    def window(self, left: float, bottom: float, width: float, height: float) -> Rectangle:
        """A rectangle that drawing may be clipped to."""
        from matplotlib.patches import Rectangle

        return Rectangle((left, bottom), width, height, transform=self.axes.transData)

    def area(
        self,
        outline: Outline,
        fill: str,
        *,
        edge: str = "none",
        width_pt: float = 0.0,
        hatch: str = "",
        layer: int = 1,
        clip: Rectangle | None = None,
    ) -> None:
        """A filled shape."""
        from matplotlib.patches import Polygon

        style: dict[str, Any] = {"hatch": hatch} if hatch else {}
        patch = Polygon(
            outline,
            closed=True,
            facecolor=fill,
            edgecolor=edge,
            linewidth=width_pt,
            joinstyle="round",
            zorder=layer,
            **style,
        )
        self.axes.add_patch(patch)
        if clip is not None:
            patch.set_clip_path(clip)

    def line(
        self,
        points: Sequence[Point],
        width_pt: float,
        *,
        colour: str = INK,
        dashes: Dashes = SOLID,
        layer: int = 3,
        clip: Rectangle | None = None,
    ) -> None:
        """A line through points."""
        from matplotlib.lines import Line2D

        xs, ys = zip(*points, strict=True)
        drawn = Line2D(xs, ys, linewidth=width_pt, color=colour, zorder=layer)
        drawn.set_linestyle(dashes if dashes[1] else "-")
        drawn.set_solid_joinstyle("round")
        drawn.set_solid_capstyle("butt")
        drawn.set_dash_capstyle("butt")
        self.axes.add_line(drawn)
        if clip is not None:
            drawn.set_clip_path(clip)

    def disc(self, at: Point, radius_mm: float) -> None:
        """A white disc with a thin rim, for a number to stand on."""
        from matplotlib.patches import Circle

        rim = Circle(at, radius_mm, facecolor="white", edgecolor=INK, linewidth=0.5, zorder=5)
        self.axes.add_patch(rim)

    def arrow(
        self,
        tail: Point,
        head: Point,
        *,
        both: bool,
        width_pt: float = 0.9,
        colour: str = INK,
        head_size: float = 1.0,
        clip: Rectangle | None = None,
    ) -> None:
        """A line with a filled head at its end, or at both ends."""
        from matplotlib.patches import FancyArrowPatch

        ends = "<|-|>" if both else "-|>"
        style = f"{ends},head_length=3.2,head_width=1.6"
        patch = FancyArrowPatch(
            tail,
            head,
            arrowstyle=style,
            linewidth=width_pt,
            color=colour,
            shrinkA=0,
            shrinkB=0,
            mutation_scale=head_size,
            zorder=7,
        )
        self.axes.add_patch(patch)
        if clip is not None:
            patch.set_clip_path(clip)

    def text(
        self,
        at: Point,
        text: str,
        size_pt: float,
        *,
        align: str = "left",
        turn_deg: float = 0.0,
        **look: Unpack[TextLook],
    ) -> None:
        """One line of text, its middle height at the point."""
        bold, backing = look.get("bold", False), look.get("backing", "")
        self.written.append(_around(at, text, size_pt, bold, align, turn_deg))
        box = {"boxstyle": "square,pad=0.1", "facecolor": backing, "edgecolor": "none"}
        self.axes.text(
            *at,
            text,
            fontsize=size_pt,
            fontfamily=list(FONTS),
            fontweight="bold" if bold else "normal",
            color=look.get("colour", INK),
            ha=align,
            va="center_baseline" if turn_deg == 0 else "center",
            rotation=turn_deg,
            rotation_mode="anchor" if turn_deg % 90 else "default",
            parse_math=False,
            bbox=box if backing else None,
            zorder=look.get("layer", 6),
        )

    def dimension(
        self, start: Point, end: Point, text: str, size_pt: float = 7.5, *, before: bool = False
    ) -> None:
        """A measured length, level or upright: a line with ticks at its ends and its length.

        The length stands in the middle of the line; where it has no room, past its end, or
        `before` its start.
        """
        (x0, y0), (x1, y1) = start, end
        upright = x0 == x1
        tick = (1.2, 0.0) if upright else (0.0, 1.2)
        self.line([start, end], 0.6, colour=FAINT)
        for x, y in (start, end):
            self.line([(x - tick[0], y - tick[1]), (x + tick[0], y + tick[1])], 0.8)
        past = 0.0
        if not has_room(text, size_pt, math.dist(start, end)):
            past = (math.dist(start, end) + text_width_mm(text, size_pt)) / 2 + 2
            past = -past if before else past
        middle = ((x0 + x1) / 2, (y0 + y1) / 2)
        at = (middle[0], middle[1] + past) if upright else (middle[0] + past, middle[1])
        turn = 90.0 if upright else 0.0
        self.text(at, text, size_pt, align="center", turn_deg=turn, backing="white")

    def saved(self, kind: str) -> bytes:
        """The page as bytes of a "png", "svg" or "pdf" file; the same page gives the same bytes."""
        import matplotlib

        settings: Any = {
            "svg.fonttype": "none",
            "svg.hashsalt": "metrage",
            "hatch.linewidth": 0.5,
        }
        metadata: dict[str, dict[str, str | None]] = {
            "png": {"Title": self.title},
            "svg": {"Title": self.title, "Date": None},
            "pdf": {"Title": self.title, "CreationDate": None},
        }
        buffer = io.BytesIO()
        with matplotlib.rc_context(settings), _missing_glyphs_allowed():
            self.figure.savefig(buffer, format=kind, dpi=_DPI, metadata=metadata[kind])
        return buffer.getvalue()


def pages_pdf(pages: Iterable[Sheet], title: str) -> bytes:
    """The sheets as the pages of one PDF, in millimetres as drawn; the same bytes every time."""
    import matplotlib
    from matplotlib.backends.backend_pdf import PdfPages

    buffer = io.BytesIO()
    # Lines at true size keep every corner.
    exact: Any = {"path.simplify": False, "hatch.linewidth": 0.5}
    about = {"Title": title, "CreationDate": None}
    with (
        matplotlib.rc_context(exact),
        _missing_glyphs_allowed(),
        PdfPages(buffer, metadata=about) as pdf,
    ):
        for page in pages:
            pdf.savefig(page.figure)
    return buffer.getvalue()


def rectangle(left: float, bottom: float, width: float, height: float) -> Line:
    """The corners of a rectangle, anticlockwise."""
    right, top = left + width, bottom + height
    return ((left, bottom), (right, bottom), (right, top), (left, top))
