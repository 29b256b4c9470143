"""Everything into a folder: each file whole or not at all."""

from __future__ import annotations

import errno
import json
import os
import re
import tempfile
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from nesting.output.data import plan_data
from nesting.output.report import draft_report, report
from nesting.output.shopping import shopping_list
from nesting.output.tiling import Paper
from nesting.plans import Comparison, Plan
from pieces.errors import Fault, OutputFault
from pieces.piece import Draft, Piece
from pieces.units import Unit

if TYPE_CHECKING:
    from nesting.fullness import Fullness
    from nesting.sharing import Sharing
    from nesting.yields import Yields

KINDS = ("png", "dxf", "svg", "pdf")
_TAKEN = ("plan", "report", "shopping", "bolts", "pieces-a4", "pieces-letter")
"""Names of other files of a plan, which no cloth's drawing may have."""
_ENDINGS = ("", *(f"-{paper}" for paper in Paper))
"""Of a cloth's drawings, and of its layouts at true size."""
_LONGEST = 60
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
    safe = re.sub(r"[^\w]+", "-", kept).strip("-_")[:_LONGEST].rstrip("-_") or "unnamed"
    return f"{safe}-cloth" if safe in _RESERVED else safe


def distinct_names(
    names: Iterable[str], taken: Iterable[str] = (), endings: Sequence[str] = ("",)
) -> dict[str, str]:
    """A file name for each name, no two the same, with whichever of the `endings`.

    >>> distinct_names(["red satin", "Red Satin!", "tulle"])
    {'red satin': 'red-satin', 'Red Satin!': 'red-satin-2', 'tulle': 'tulle'}
    """
    used = set(taken)
    found: dict[str, str] = {}
    for name in names:
        base = file_name(name)
        choice, number = base, 2
        while not used.isdisjoint(choice + ending for ending in endings):
            choice, number = f"{base}-{number}", number + 1
        used.update(choice + ending for ending in endings)
        found[name] = choice
    return found


def prepare_folder(folder: Path) -> Path:
    """Make the folder if need be and see that files can be written there.

    Raises
    ------
    OutputFault : if a file is in the way or the folder can't be written
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return folder
    except OSError as error:
        raise fault_of(folder, error) from error


def check_folder(folder: Path) -> Path:
    """See before the work that files can be written there; a new folder is not left behind.

    Raises
    ------
    OutputFault : if a file is in the way or the folder can't be written
    """
    new = [path for path in (folder, *folder.parents) if not path.exists()]
    try:
        return prepare_folder(folder)
    finally:
        for path in new:
            with suppress(OSError):
                path.rmdir()


def plan_files(plan: Plan, tiles: Paper | None = None) -> dict[str, dict[str, str]]:
    """The names of each cloth's drawings by kind, under its title.

    >>> from types import SimpleNamespace as Fake
    >>> plan_files(Fake(fabrics=[Fake(title="Ivory satin")]))["Ivory satin"]["pdf"]
    'ivory-satin.pdf'
    """
    names = distinct_names((entry.title for entry in plan.fabrics), _TAKEN, _ENDINGS)
    files = {title: {kind: f"{name}.{kind}" for kind in KINDS} for title, name in names.items()}
    if tiles is not None:
        for title, name in names.items():
            files[title]["tiles"] = f"{name}-{tiles}.pdf"
    return files


def write_plan(plan: Plan, folder: str | Path, tiles: Paper | None = None) -> tuple[Path, ...]:
    """Write plan.json, report.txt, shopping.txt and every fabric's drawings; give their paths.

    With `tiles`, pieces and layouts at true size too, on pages of that paper. Nothing is
    written until all is drawn, and no file is left half-written.

    Raises
    ------
    OutputFault : if the folder or a file can't be written
    """
    contents = plan_contents(plan, tiles)
    return write_files(prepare_folder(Path(folder)), contents)


def plan_contents(plan: Plan, tiles: Paper | None = None) -> dict[str, bytes]:
    """All files of a plan by their names, as `write_plan` writes them."""
    files = plan_files(plan, tiles)
    contents = {
        "plan.json": json_bytes(plan_data(plan, files)),
        "report.txt": f"{report(plan)}\n".encode(),
        "shopping.txt": f"{shopping_list(plan)}\n".encode(),
    }
    if tiles is not None:
        contents |= _tiles_of_plan(plan, files, tiles)
    return contents | _drawings(plan, files)


def write_sharing(sharing: Sharing, folder: Path) -> tuple[Path, ...]:
    """Write bolts.json, bolts.txt and the drawings of every bolt and purchase; give their paths.

    Raises
    ------
    OutputFault : if the folder or a file can't be written
    """
    from nesting.output.bolts import sharing_data, sharing_report

    data = sharing_data(sharing, plan_files(sharing.plan))
    return _write_bolts(data, sharing_report(sharing), sharing.plan, folder)


def write_yields(yields: Yields, folder: Path) -> tuple[Path, ...]:
    """Write bolts.json, bolts.txt and the drawings of every bolt cut from; give their paths.

    Raises
    ------
    OutputFault : if the folder or a file can't be written
    """
    from nesting.output.yields import yields_data, yields_report

    data = yields_data(yields, plan_files(yields.plan))
    return _write_bolts(data, yields_report(yields), yields.plan, folder)


def _write_bolts(data: object, text: str, plan: Plan, folder: Path) -> tuple[Path, ...]:
    contents = {"bolts.json": json_bytes(data), "bolts.txt": f"{text}\n".encode()}
    contents |= _drawings(plan, plan_files(plan))
    return write_files(prepare_folder(folder), contents)


def write_fullness(fullness: Fullness, folder: Path) -> tuple[Path, ...]:
    """Write bolts.json, bolts.txt and the curve as fullness.png; give their paths.

    Raises
    ------
    OutputFault : if the folder or a file can't be written
    """
    from nesting.output.fullness import draw_fullness, fullness_data, fullness_report

    contents = {
        "bolts.json": json_bytes(fullness_data(fullness)),
        "bolts.txt": f"{fullness_report(fullness)}\n".encode(),
        "fullness.png": draw_fullness(fullness),
    }
    return write_files(prepare_folder(folder), contents)


def _drawings(plan: Plan, files: Mapping[str, Mapping[str, str]]) -> dict[str, bytes]:
    from nesting.output.drawing import draw_plan
    from nesting.output.dxf import marker_dxf

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
    from nesting.output.tiles import marker_tiles, pieces_tiles

    contents = {
        f"pieces-{paper}.pdf": pieces_tiles(plan.order, plan.pieces, plan.unit, paper),
    }
    for entry in plan.fabrics:
        contents[files[entry.title]["tiles"]] = marker_tiles(plan.order, entry, paper)
    return contents


def write_comparison(comparison: Comparison, folder: Path) -> tuple[Path, ...]:
    """Write compare.json, compare.txt and compare.png; give their paths.

    Raises
    ------
    OutputFault : if the folder or a file can't be written
    """
    from nesting.output.comparison import comparison_data, comparison_report
    from nesting.output.comparison_sheet import draw_comparison

    contents = {
        "compare.json": json_bytes(comparison_data(comparison)),
        "compare.txt": f"{comparison_report(comparison)}\n".encode(),
        "compare.png": draw_comparison(comparison).saved("png"),
    }
    return write_files(prepare_folder(folder), contents)


def write_draft(
    name: str, draft: Draft, unit: Unit, folder: Path, tiles: Paper | None = None
) -> tuple[Path, ...]:
    """Write the pieces alone: a report, a DXF of all, interchange files, and sheets of pictures.

    An interchange file holds one style, so each garment has its own. With `tiles`, the pieces
    at true size too, on pages of that paper.

    Raises
    ------
    OutputFault : if the folder or a file can't be written
    """
    from nesting.output.dxf import pieces_dxf
    from nesting.output.piece_sheet import draw_pieces

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
        from nesting.output.tiles import pieces_tiles

        contents[f"pieces-{tiles}.pdf"] = pieces_tiles(name, draft.pieces, unit, tiles)
    return write_files(prepare_folder(folder), contents)


def _interchange_files(pieces: Sequence[Piece]) -> dict[str, bytes]:
    from nesting.output.interchange import interchange_dxf

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


def write_files(folder: Path, contents: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files into a folder that is there; give their paths.

    All are written under passing names first, so that a full disk leaves no file in place.

    Raises
    ------
    OutputFault : if one can't be written
    """
    waiting: dict[Path, Path] = {}
    target = folder
    try:
        for name, data in contents.items():
            target = folder / name
            if target.is_dir():
                raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
            waiting[target] = _set_aside(target, data)
        for target, passing in waiting.items():
            passing.replace(target)
    except OSError as error:
        raise fault_of(target, error) from error
    finally:
        for passing in waiting.values():
            passing.unlink(missing_ok=True)
    return tuple(waiting)


def _set_aside(target: Path, data: bytes) -> Path:
    """The data in a file beside its target, under a name of its own."""
    handle, name = tempfile.mkstemp(prefix=f".{target.stem}-", suffix=".part", dir=target.parent)
    passing = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        passing.chmod(0o666 & ~umask())
    except OSError:
        with suppress(OSError):
            passing.unlink()
        raise
    return passing


def umask() -> int:
    """The permissions that this process keeps from its new files."""
    mask = os.umask(0)
    os.umask(mask)
    return mask


def fault_of(path: Path, error: OSError) -> OutputFault:
    """Why a file or folder can't be written, in words."""
    reason = error.strerror or str(error)
    message = f"it can't be written: {reason[:1].lower()}{reason[1:]}."
    if isinstance(error, FileExistsError | NotADirectoryError):
        message = "a file is in the way of the folder."
    elif isinstance(error, IsADirectoryError):
        message = "a folder is in the way of the file."
    remedy = "Name another folder with --out, or make room for this one."
    return OutputFault([Fault(str(path), "", message, remedy)])
