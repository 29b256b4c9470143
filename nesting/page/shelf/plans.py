"""A plan as the shelf keeps it: what the page knows of its job, and its files, in one zip."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Mapping
from io import BytesIO
from pathlib import Path
from typing import Any

from nesting.books.file import UNREADABLE

_RECORD = "job.json"
_OF_A_PIECE = ("garment", "piece", "section")


def packed(record: Mapping[str, Any], folder: Path) -> bytes:
    """A job's record and all files of its folder."""
    content = BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(_RECORD, json.dumps(record))
        for path in sorted(folder.iterdir()):
            archive.write(path, path.name)
    return content.getvalue()


def unpacked(content: bytes, folder: Path) -> dict[str, Any]:
    """The record of a job, whose files are put into the folder.

    Raises
    ------
    ValueError : it is not as `packed` made it
    """
    try:
        with zipfile.ZipFile(BytesIO(content)) as archive:
            record: dict[str, Any] = json.loads(archive.read(_RECORD))
            for name in archive.namelist():
                if Path(name).name != name or name.startswith("."):
                    raise ValueError(name)
                if name != _RECORD:
                    (folder / name).write_bytes(archive.read(name))
    except (zipfile.BadZipFile, EOFError, *UNREADABLE) as error:
        raise ValueError(str(error)) from error
    return record


def card(plan: Mapping[str, Any]) -> str:
    """What the shelf shows of a plan, as JSON: its costs, what to buy, and its fullest layout.

    Places are rounded to a millimetre, which no picture of that size shows.
    """
    fabrics = plan["fabrics"]
    shown = max(fabrics, key=lambda one: len(one["placements"]), default=None)
    told = {
        "totals": plan["totals"],
        "for": "for cloth and notions" if plan["notions"] else "for the cloth",
        "buy": [[one["title"], one["told"]["buy"]] for one in fabrics],
        "garments": [one["garment"] for one in plan["pieces"]],
        "picture": None if shown is None else _picture(shown),
    }
    return json.dumps(told)


def _picture(fabric: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "title": fabric["title"],
        "shape": fabric["shape"],
        "table_length_mm": fabric["table_length_mm"],
        "placements": [
            {name: one[name] for name in _OF_A_PIECE}
            | {"outline_mm": [[round(x), round(y)] for x, y in one["outline_mm"]]}
            for one in fabric["placements"]
        ],
    }
