"""The pages of a PDF as lines and words in millimetres, at true size (ISO 32000-1 and 32000-2).

Read with pypdfium2: it is kept with the library in a browser, stands damaged files, and its
licence (BSD, Apache 2.0) is as free as ours.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from pieces.importers.gathering import Gathering, sane
from pieces.importers.svg_space import Matrix, moved, times
from pieces.importers.wording import shown
from pieces.pdf.paths import IDENTITY, PathReader, Style, matrix_of
from pieces.pdf.written_anew import WrittenAnew, text_of
from pieces.piece import Line, Point
from pieces.wording import either

MM_PER_POINT = 25.4 / 72
MOST_PAGES = 250
MOST_PATHS = 60_000
"""In a whole file; pieces of clothes are far fewer lines, patterned pictures far more."""
_MOST_OBJECTS = 200_000
_MOST_WORDS = 20_000
_DEEPEST = 8


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """A line on a page, with how it is drawn."""

    line: Line
    closed: bool
    style: Style


@dataclass(frozen=True, slots=True)
class Words:
    """A text on a page: its middle, its height of type and length, the way that it is read."""

    text: str
    at: Point
    high_mm: float
    long_mm: float
    way_deg: float
    layer: str = ""


@dataclass(frozen=True, slots=True)
class Page:
    """What is drawn and written on one page; (0, 0) is its lower left corner as it is seen."""

    number: int
    size_mm: tuple[float, float]
    lines: tuple[DrawnLine, ...]
    words: tuple[Words, ...]
    pictures: int = 0


def read_pages(data: bytes, gathering: Gathering, layers: Sequence[str] = ()) -> list[Page]:
    """All pages of a PDF, without what lies on layers that are off and not asked for.

    Raises
    ------
    OrderFault : it is none, is locked or damaged, or has far too much in it
    """
    import pypdfium2  # takes a while to load
    import pypdfium2.raw

    try:
        document = pypdfium2.PdfDocument(data)
    except pypdfium2.PdfiumError as error:
        raise _not_opened(str(error), gathering) from error
    try:
        if pypdfium2.raw.FPDF_GetSecurityHandlerRevision(document) >= 0:
            raise _locked(gathering)
        return list(_Reader(document, gathering, layers).pages())
    except pypdfium2.PdfiumError as error:
        raise _damaged(gathering) from error
    finally:
        document.close()


def _not_opened(reason: str, gathering: Gathering) -> Exception:
    if "password" in reason.lower() or "security" in reason.lower():
        return _locked(gathering)
    return _damaged(gathering)


def _locked(gathering: Gathering) -> Exception:
    return gathering.refused(
        "The PDF is encrypted: its maker asks for a password, or limits what may be done with it.",
        "Ask the maker for a copy that isn't, or print it as it may be and photograph the paper "
        "pieces" + either(" for metrage trace.", "."),
    )


def _damaged(gathering: Gathering) -> Exception:
    return gathering.refused(
        "This is no PDF, or it is damaged.", "Get the file anew, or print it to a new PDF."
    )


class _Reader:
    """Reads page after page, and counts what it reads."""

    def __init__(self, document: Any, gathering: Gathering, layers: Sequence[str]) -> None:
        import pypdfium2.raw

        self._raw = pypdfium2.raw
        self._document = document
        self._asked = {name.strip().casefold() for name in layers}
        self._off: set[str] = set()
        self._gathering = gathering
        self._paths = self._objects = self._texts = 0

    def pages(self) -> Iterator[Page]:
        """The pages, in their order."""
        count = len(self._document)
        if count > MOST_PAGES:
            raise self._gathering.refused(
                f"The PDF has {count} pages, more than the {MOST_PAGES} that are read.",
                "Save the pages of this pattern, of one size, as a PDF of their own.",
            )
        anew = WrittenAnew(self._document)
        scales = anew.user_units(count)
        self._off = {
            name for name in map(shown, anew.layers_off()) if name.casefold() not in self._asked
        }
        for number in range(count):
            page = self._document[number]
            try:
                yield self._page(page, number, scales[number])
            finally:
                page.close()

    def _page(self, page: Any, number: int, scale: float) -> Page:
        to_mm, size_mm = _seen(page, scale * MM_PER_POINT)
        if not sane(*size_mm) or min(size_mm) <= 0:
            raise _damaged(self._gathering)
        texts = page.get_textpage()
        reader = PathReader(self._raw, self._gathering)
        lines: list[DrawnLine] = []
        words: list[Words] = []
        pictures = 0
        count = self._raw.FPDFPage_CountObjects(page.raw)
        objects = (self._raw.FPDFPage_GetObject(page.raw, index) for index in range(count))
        for item, matrix, layer in self._flat(objects, IDENTITY, "", 0):
            kind = self._raw.FPDFPageObj_GetType(item)
            if kind == self._raw.FPDF_PAGEOBJ_PATH:
                self._paths += 1
                if self._paths > MOST_PATHS:
                    raise self._gathering.refused(
                        "The PDF has far too many lines for a pattern.",
                        "Save the pages with the outlines of the pieces alone, of one size.",
                    )
                style = reader.style(item, layer)
                if style is not None:
                    for line, closed in reader.lines(item, times(to_mm, matrix)):
                        lines.append(DrawnLine(line, closed, style))
            elif kind == self._raw.FPDF_PAGEOBJ_TEXT:
                words += self._words(item, texts, times(to_mm, matrix), layer)
            elif kind == self._raw.FPDF_PAGEOBJ_IMAGE:
                pictures += 1
        return Page(number + 1, size_mm, tuple(lines), tuple(words), pictures)

    def _flat(
        self, objects: Iterator[Any], matrix: Matrix, layer: str, depth: int
    ) -> Iterator[tuple[Any, Matrix, str]]:
        """Every object, those in forms too, with the matrix of its form and its layer."""
        for item in objects:
            self._objects += 1
            if self._objects > _MOST_OBJECTS:
                raise self._gathering.refused(
                    "The PDF has far too many parts.",
                    "Save the pages with the outlines of the pieces alone.",
                )
            own = self._layer(item) or layer
            if own in self._off:
                self._gathering.find(
                    "layer-off",
                    f"layer '{own}' is turned off in the file, so what is drawn on it was left "
                    "out. "
                    + either(f'layer = "{own}" takes it.', f"Give {own} as its size to take it."),
                )
                continue
            if self._raw.FPDFPageObj_GetType(item) != self._raw.FPDF_PAGEOBJ_FORM:
                yield item, matrix, own
            elif depth < _DEEPEST:
                inner = times(matrix, matrix_of(self._raw, item))
                count = self._raw.FPDFFormObj_CountObjects(item)
                parts = (self._raw.FPDFFormObj_GetObject(item, index) for index in range(count))
                yield from self._flat(parts, inner, own, depth + 1)

    def _layer(self, item: Any) -> str:
        """The name of the layer (optional content) that an object is marked to lie on."""
        for index in range(self._raw.FPDFPageObj_CountMarks(item)):
            mark = self._raw.FPDFPageObj_GetMark(item, index)
            if _wide(self._raw.FPDF_WCHAR, self._raw.FPDFPageObjMark_GetName, mark) == "OC":
                # As bytes, since the library takes its texts for UTF-8, which they are not.
                get = self._raw.FPDFPageObjMark_GetParamBlobValue
                return shown(text_of(_told(get, mark, b"Name")))
        return ""

    def _words(self, item: Any, texts: Any, matrix: Matrix, layer: str) -> list[Words]:
        import ctypes

        self._texts += 1
        if self._texts > _MOST_WORDS:
            return []
        size = self._raw.FPDFTextObj_GetText(item, texts.raw, None, 0)
        if not 2 < size < 4000:
            return []
        buffer = (self._raw.FPDF_WCHAR * (size // 2))()
        self._raw.FPDFTextObj_GetText(item, texts.raw, buffer, size)
        text = shown(bytes(buffer)[:-2].decode("utf-16-le", "replace"))
        corners = self._raw.FS_QUADPOINTSF()
        high = ctypes.c_float()
        self._raw.FPDFTextObj_GetFontSize(item, high)
        if not text or not self._raw.FPDFPageObj_GetRotatedBounds(item, corners):
            return []
        a, b, c, d = (
            moved(matrix, (getattr(corners, f"x{n}"), getattr(corners, f"y{n}")))
            for n in (1, 2, 3, 4)
        )
        own = matrix_of(self._raw, item)
        way = math.hypot(own[0], own[1]) and moved(matrix, (own[0], own[1]))
        zero = moved(matrix, (0.0, 0.0))
        way_deg = math.degrees(math.atan2(way[1] - zero[1], way[0] - zero[0])) if way else 0.0
        middle = (a[0] + b[0] + c[0] + d[0]) / 4, (a[1] + b[1] + c[1] + d[1]) / 4
        grown = math.hypot(own[2], own[3]) * math.dist(moved(matrix, (0.0, 1.0)), zero)
        high_mm = abs(high.value) * grown
        if not sane(*a, *b, *c, *d, high_mm):
            return []
        return [Words(text, middle, high_mm, math.dist(a, b), way_deg, layer)]


def _told(get: Any, *asked: Any) -> bytes:
    """Bytes of the library, which tells their number first."""
    import ctypes

    size = ctypes.c_ulong()
    if not get(*asked, None, 0, size) or not 0 < size.value < 2000:
        return b""
    buffer = (ctypes.c_ubyte * size.value)()
    get(*asked, buffer, size.value, size)
    return bytes(buffer)


def _wide(kind: Any, get: Any, *asked: Any) -> str:
    """A text of the library, which tells its length first."""
    import ctypes

    size = ctypes.c_ulong()
    if not get(*asked, None, 0, size) or not 2 <= size.value < 2000:
        return ""
    buffer = (kind * (size.value // 2))()
    get(*asked, buffer, size.value, size)
    return bytes(buffer)[:-2].decode("utf-16-le", "replace")


def _seen(page: Any, scale: float) -> tuple[Matrix, tuple[float, float]]:
    """The matrix from a page's own space to the page as it is seen, in mm, and its size."""
    left, low, right, high = page.get_bbox()
    wide, tall = (right - left) * scale, (high - low) * scale
    k = scale
    turned: dict[int, Matrix] = {
        0: (k, 0.0, 0.0, k, -left * k, -low * k),
        90: (0.0, -k, k, 0.0, -low * k, right * k),
        180: (-k, 0.0, 0.0, -k, right * k, high * k),
        270: (0.0, k, -k, 0.0, high * k, -left * k),
    }
    turn = page.get_rotation()
    return turned[turn], (wide, tall) if turn in (0, 180) else (tall, wide)
