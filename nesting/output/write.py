"""Everything into a folder: each file whole or not at all."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from nesting.fabric.costing import Costing
from nesting.fabric.plans import Comparison, Plan, title_of
from nesting.order.model import Order
from nesting.output.files.data import plan_data
from nesting.output.paper.tiling import Paper
from nesting.output.place import Place
from nesting.output.report.report import draft_report, report
from nesting.output.report.shopping import shopping_list
from nesting.output.written import write_files
from pieces.piece import Draft, Piece
from pieces.units import Unit

if TYPE_CHECKING:
    from nesting.studies.fullness import Fullness
    from nesting.studies.sharing import Sharing
    from nesting.studies.yields import Yields

KINDS = ("png", "dxf", "svg", "pdf")
NOTES_NAMES = ("notes.txt", "notes.pdf")
CARD_NAME = "measures.pdf"
QUOTE_NAMES = ("quote.txt", "quote.pdf")
BOLT_NAMES = ("bolts.json", "bolts.txt", "fullness.png")
COMPARISON_NAMES = ("compare.json", "compare.txt", "compare.png")
"""Of what is written of cloth in hand, beside drawings, and of a comparison."""
_TAKEN = (
    "plan",
    "report",
    "shopping",
    "notes",
    "quote",
    "measures",
    "bolts",
    "fullness",
    "compare",
    "pieces",
)
"""Names of other files that are written for an order, which no cloth's drawing may have."""
_ENDINGS = ("", *(f"-{paper}" for paper in Paper))
"""Of a cloth's drawings, and of its layouts at true size."""
_LONGEST, _MOST_BYTES = 60, 160
"""Of a name, in characters and on the disk, so that there is room for what goes with it."""
_RESERVED = frozenset(
    ["con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))]
)
"""Names that some systems keep for devices, whatever follows a dot."""


def file_name(name: str) -> str:
    """A name that any file system takes, still readable.

    >>> file_name("red satin"), file_name("Café / crème"), file_name("???")
    ('red-satin', 'cafe-creme', 'unnamed')
    """
    plain = unicodedata.normalize("NFKD", name).casefold()
    kept = "".join(char for char in plain if not unicodedata.combining(char))
    safe = re.sub(r"[^\w]+", "-", kept).strip("-_")[:_LONGEST]
    safe = safe.encode()[:_MOST_BYTES].decode(errors="ignore").rstrip("-_") or "unnamed"
    return f"{safe}-cloth" if safe in _RESERVED else safe


def distinct_names(
    names: Iterable[str], taken: Iterable[str] = (), endings: Sequence[str] = ("",)
) -> dict[str, str]:
    """A file name for each name, no two the same, with whichever of the `endings`.

    None is one of those `taken`, nor such a one with more behind a dash.

    >>> distinct_names(["red satin", "Red Satin!", "pieces 2"], ["pieces"])
    {'red satin': 'red-satin', 'Red Satin!': 'red-satin-2', 'pieces 2': 'cloth-pieces-2'}
    """
    kept = tuple(f"{one}-" for one in taken)
    used: set[str] = set()
    found: dict[str, str] = {}
    for name in names:
        base = file_name(name)
        if f"{base}-".startswith(kept):
            base = f"cloth-{base}"
        choice, number = base, 2
        while not used.isdisjoint(choice + ending for ending in endings):
            choice, number = f"{base}-{number}", number + 1
        used.update(choice + ending for ending in endings)
        found[name] = choice
    return found


def plan_files(plan: Plan, tiles: Paper | None = None) -> dict[str, dict[str, str]]:
    """The names of each cloth's drawings by kind, under its title.

    >>> from types import SimpleNamespace as Fake
    >>> plan_files(Fake(fabrics=[Fake(title="Ivory satin")]))["Ivory satin"]["pdf"]
    'ivory-satin.pdf'
    """
    return _drawing_files([entry.title for entry in plan.fabrics], tiles)


def plan_names(order: Order, tiles: Paper | None = None) -> list[str]:
    """All names that files of an order's plan may have, known before it is planned."""
    pages = [] if tiles is None else [f"pieces-{tiles}.pdf"]
    lists = ["plan.json", "report.txt", "shopping.txt", *NOTES_NAMES, *QUOTE_NAMES]
    return [*lists, *pages, *drawing_names(order, tiles)]


def drawing_names(order: Order, tiles: Paper | None = None) -> list[str]:
    """Those of the drawings of its cloths: which lengths in hand are cut from is open before."""
    cloths = order.fabrics.values()
    titles = [title_of(cloth, bolt) for cloth in cloths for bolt in (None, *cloth.in_hand)]
    return [name for own in _drawing_files(titles, tiles).values() for name in own.values()]


def _drawing_files(titles: Sequence[str], tiles: Paper | None) -> dict[str, dict[str, str]]:
    names = distinct_names(titles, _TAKEN, _ENDINGS)
    files = {title: {kind: f"{name}.{kind}" for kind in KINDS} for title, name in names.items()}
    if tiles is not None:
        for title, name in names.items():
            files[title]["tiles"] = f"{name}-{tiles}.pdf"
    return files


def write_plan(
    plan: Plan, folder: str | Path | Place, tiles: Paper | None = None
) -> tuple[Path, ...]:
    """Write plan.json, report, shopping list, sewing notes, quote and drawings; give their paths.

    With a costing, the order has a quote. With `tiles`, pieces and layouts at true size too, on
    pages of that paper. Nothing is written until all is drawn, and no file is left half-written.
    Files so called are replaced; in a `Place` only those that a `Place` may lose.

    Raises
    ------
    OutputFault : if the folder or a file can't be written
    """
    return write_files(folder, plan_contents(plan, tiles))


def plan_contents(plan: Plan, tiles: Paper | None = None) -> dict[str, bytes]:
    """All files of a plan by their names, as `write_plan` writes them."""
    files = plan_files(plan, tiles)
    contents = {
        "plan.json": json_bytes(plan_data(plan, files)),
        "report.txt": f"{report(plan)}\n".encode(),
        "shopping.txt": f"{shopping_list(plan)}\n".encode(),
    }
    if plan.sewing:
        contents |= _notes(plan, tiles)
    if plan.costing is not None:
        contents |= _quote(plan, plan.costing, tiles)
    if tiles is not None:
        contents |= _tiles_of_plan(plan, files, tiles)
    return contents | _drawings(plan, files)


def _notes(plan: Plan, paper: Paper | None) -> dict[str, bytes]:
    """Sewing notes, to read and to print: on the paper of the pages, or that of the tape's land."""
    from nesting.output.paper.notes import notes_pdf
    from nesting.output.report.notes import notes_text

    text, pages = NOTES_NAMES
    on = paper or _usual(plan.unit)
    return {text: f"{notes_text(plan)}\n".encode(), pages: notes_pdf(plan, on)}


def _quote(plan: Plan, costing: Costing, paper: Paper | None) -> dict[str, bytes]:
    """The quote, to read and to hand over, on the same paper as the notes."""
    from nesting.output.paper.quote import quote_pdf
    from nesting.output.report.quote import quote_text

    text, pages = QUOTE_NAMES
    on = paper or _usual(plan.unit)
    return {
        text: f"{quote_text(plan, costing)}\n".encode(),
        pages: quote_pdf(plan, costing, on),
    }


def _usual(unit: Unit) -> Paper:
    """The paper of the land in which the tape has that unit."""
    return Paper.LETTER if unit in (Unit.IN, Unit.YD) else Paper.A4


def write_sharing(sharing: Sharing, folder: str | Path | Place) -> tuple[Path, ...]:
    """Write bolts.json, bolts.txt and the drawings of every bolt and purchase; give their paths.

    Raises
    ------
    OutputFault : if the folder or a file can't be written
    """
    from nesting.output.report.bolts import sharing_data, sharing_report

    data = sharing_data(sharing, plan_files(sharing.plan))
    return _write_bolts(data, sharing_report(sharing), sharing.plan, folder)


def write_yields(yields: Yields, folder: str | Path | Place) -> tuple[Path, ...]:
    """Write bolts.json, bolts.txt and the drawings of every bolt cut from; give their paths.

    Raises
    ------
    OutputFault : if the folder or a file can't be written
    """
    from nesting.output.report.yields import yields_data, yields_report

    data = yields_data(yields, plan_files(yields.plan))
    return _write_bolts(data, yields_report(yields), yields.plan, folder)


def _write_bolts(
    data: object, text: str, plan: Plan, folder: str | Path | Place
) -> tuple[Path, ...]:
    contents = {"bolts.json": json_bytes(data), "bolts.txt": f"{text}\n".encode()}
    contents |= _drawings(plan, plan_files(plan))
    return write_files(folder, contents)


def write_fullness(fullness: Fullness, folder: str | Path | Place) -> tuple[Path, ...]:
    """Write bolts.json, bolts.txt and the curve as fullness.png; give their paths.

    Raises
    ------
    OutputFault : if the folder or a file can't be written
    """
    from nesting.output.report.fullness import draw_fullness, fullness_data, fullness_report

    contents = {
        "bolts.json": json_bytes(fullness_data(fullness)),
        "bolts.txt": f"{fullness_report(fullness)}\n".encode(),
        "fullness.png": draw_fullness(fullness),
    }
    return write_files(folder, contents)


def _drawings(plan: Plan, files: Mapping[str, Mapping[str, str]]) -> dict[str, bytes]:
    from nesting.output.drawing.drawing import draw_plan
    from nesting.output.files.dxf import marker_dxf

    contents: dict[str, bytes] = {}
    for entry in plan.fabrics:
        drawings = files[entry.title]
        sheet = draw_plan(plan, entry)
        contents |= {drawings[kind]: sheet.saved(kind) for kind in ("png", "svg", "pdf")}
        contents[drawings["dxf"]] = marker_dxf(entry)
    return contents


def _tiles_of_plan(
    plan: Plan, files: Mapping[str, Mapping[str, str]], paper: Paper
) -> dict[str, bytes]:
    from nesting.output.paper.tiles import marker_tiles, pieces_tiles

    contents = {
        f"pieces-{paper}.pdf": pieces_tiles(plan.order, plan.pieces, plan.unit, paper),
    }
    for entry in plan.fabrics:
        contents[files[entry.title]["tiles"]] = marker_tiles(plan.order, entry, paper, plan.unit)
    return contents


def write_comparison(
    comparison: Comparison, folder: str | Path | Place, against: Comparison | None = None
) -> tuple[Path, ...]:
    """Write compare.json, compare.txt and compare.png; give their paths.

    `against` is another order, whose offer stands beside this one's in compare.txt.

    Raises
    ------
    OutputFault : if the folder or a file can't be written
    """
    from nesting.output.report.comparison import comparison_data, comparison_report
    from nesting.output.report.comparison_sheet import draw_comparison

    contents = {
        "compare.json": json_bytes(comparison_data(comparison)),
        "compare.txt": f"{comparison_report(comparison, against)}\n".encode(),
        "compare.png": draw_comparison(comparison).saved("png"),
    }
    return write_files(folder, contents)


def write_card(
    order: Order, folder: str | Path | Place, paper: Paper | None = None, *, filled: bool = False
) -> tuple[Path, ...]:
    """Write the card by which an order's measures are taken; give its path.

    Raises
    ------
    OutputFault : if the folder or the file can't be written
    """
    from nesting.output.paper.card import measuring_card

    on = paper or _usual(order.unit)
    drawn = measuring_card(order.name, order.garments, order.unit, on, filled=filled)
    return write_files(folder, {CARD_NAME: drawn})


def write_draft(
    name: str, draft: Draft, unit: Unit, folder: str | Path | Place, tiles: Paper | None = None
) -> tuple[Path, ...]:
    """Write the pieces alone: a report, a DXF of all, interchange files, and sheets of pictures.

    An interchange file holds one style, so each garment has its own. With `tiles`, the pieces
    at true size too, on pages of that paper.

    Raises
    ------
    OutputFault : if the folder or a file can't be written
    """
    from nesting.output.drawing.piece_sheet import draw_pieces
    from nesting.output.files.dxf import pieces_dxf

    contents = {
        "pieces.txt": f"{draft_report(name, draft, unit)}\n".encode(),
        "pieces.dxf": pieces_dxf(draft),
    }
    contents |= _interchange_files(draft.pieces)
    sheets = draw_pieces(name, draft.pieces, unit)
    for number, sheet in enumerate(sheets, start=1):
        suffix = f"-{number}" if len(sheets) > 1 else ""
        contents[f"pieces{suffix}.png"] = sheet.saved("png")
    if tiles is not None:
        from nesting.output.paper.tiles import pieces_tiles

        contents[f"pieces-{tiles}.pdf"] = pieces_tiles(name, draft.pieces, unit, tiles)
    return write_files(folder, contents)


def _interchange_files(pieces: Sequence[Piece]) -> dict[str, bytes]:
    from nesting.output.files.interchange import interchange_dxf

    garments = list(dict.fromkeys(piece.garment for piece in pieces))
    named = distinct_names(garment for garment in garments if garment)
    several = len(garments) > 1
    return {
        f"pieces-interchange{f'-{named[garment]}' if garment and several else ''}.dxf": (
            interchange_dxf([piece for piece in pieces if piece.garment == garment], garment)
        )
        for garment in garments
    }


def json_bytes(data: object) -> bytes:
    """Data as a file of JSON."""
    return (json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode()
