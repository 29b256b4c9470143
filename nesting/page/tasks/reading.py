"""Reading an order that comes as text, with its drawings as content: no path is ever opened."""

from __future__ import annotations

import base64
import binascii
import json
import tempfile
import tomllib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib import resources
from pathlib import Path

from nesting.order.model import Order
from nesting.order.read import EXAMPLE, order_from_text
from nesting.output import notion_words, words
from nesting.output.report.report import seam_rows
from nesting.page.tasks.books import book_named
from nesting.page.tasks.channel import Record, TaskChannel
from nesting.page.tasks.edits import edited
from nesting.page.tasks.pictures import drawn
from nesting.page.tasks.wording import fault_data, on_the_page, path_of
from nesting.rules.parts import draft_order
from nesting.search.problem_builder import problems_for
from nesting.strips.cuttings import usual_cuttings
from pieces.drafting.garment import pieces_by_part
from pieces.errors import Fault, Faults, OrderFault
from pieces.piece import Draft

ORDER_FILE = "order.toml"
_BESIDE_ITS_FIELD = "filled-from-table"


@contextmanager
def order_of(request: Record) -> Iterator[Order]:
    """The order of a request: its text under `order`, drawings in base64 under `drawings`.

    Raises
    ------
    OrderFault : with everything that is wrong in it
    """
    with drawings_of(request) as drawing:
        yield order_from_text(request["order"], ORDER_FILE, drawing, book_named)


@contextmanager
def drawings_of(request: Record) -> Iterator[Callable[[str], Path]]:
    """Where the drawings of a request lie, by name.

    They are written to a folder of their own, under numbers; an order finds them by the names they
    were given, and nothing else.

    Raises
    ------
    OrderFault : one did not arrive whole, or there is none of a name
    """
    with tempfile.TemporaryDirectory(prefix="metrage-") as home:
        known: dict[str, Path] = {}
        for number, (name, content) in enumerate(request.get("drawings", {}).items()):
            path = Path(home) / f"{number}{_suffix(name)}"
            path.write_bytes(decoded(name, content))
            known[name] = path

        def drawing(name: str) -> Path:
            if name in known:
                return known[name]
            message = "The page has no drawing of this name."
            remedy = "Add the file here; the page opens no file by itself."
            raise OrderFault([Fault("", "", message, remedy)])

        yield drawing


def _suffix(name: str) -> str:
    suffix = Path(name).suffix.lower()
    return suffix if suffix in (".dxf", ".svg", ".pdf") else ".none"


def decoded(name: str, content: str) -> bytes:
    """The content of a file, which comes in base64."""
    try:
        return base64.b64decode(content, validate=True)
    except (binascii.Error, ValueError):
        message = f"{name} did not arrive whole."
        raise OrderFault([Fault("", "", message, "Add the file again.")]) from None


def example(_: Record, __: TaskChannel) -> Record:
    """The text of the packaged example."""
    text = resources.files("pieces.examples").joinpath(EXAMPLE).read_text(encoding="utf-8")
    return {"order": text}


def look(request: Record, _: TaskChannel) -> Record:
    """An order with the edits done that are asked for, and all that the form shows of it.

    `order` is its text, `table` its values by key, None where the text is no TOML; `faults` has
    the path of each; `drawn` has the pieces of every part and ready piece, by its path; `pieces`
    counts what there is to cut, `seams` tell how those meet that the order compares, `notions` what
    is needed besides cloth; `findings` are worth knowing but stop nothing, each with the path of
    what it speaks of, if it does.
    """
    text, faults = request["order"], []
    try:
        text = edited(text, request.get("edits", []))
    except OrderFault as error:
        faults = list(error.faults)
    except ValueError:
        pass  # it is no TOML, which reading it tells
    seen: Record = {"order": text, "table": _table(text), "drawn": [], "pieces": 0, "findings": []}
    seen["seams"] = []
    try:
        with order_of(request | {"order": text}) as order:
            seen["name"], seen["unit"] = order.name, order.unit.value
            seen["drawn"] = _drawn(order)
            seen["seams"] = _seams(order)
            draft = draft_order(order)
            seen["findings"] = _findings(draft)
            seen["pieces"] = sum(piece.parts for piece in draft.pieces)
            tape = words.tape(order.unit)
            seen["notions"] = [notion_words.needed(notion, tape) for notion in draft.notions]
            problems_for(order, draft.pieces, None)
    except Faults as error:
        faults += error.faults
    return seen | {"faults": [fault_data(fault) for fault in faults]}


def _seams(order: Order) -> list[Record]:
    """How the seams of ready pieces that the order compares meet, by what each is called."""
    rows = seam_rows(order.seam_checks, words.tape(order.unit))
    return [
        {
            "what": check.what,
            "told": f"{this} to {that}: {apart} apart, {'which' if check.ok else 'and'} {verdict}.",
        }
        for check, (_, this, that, apart, _, verdict) in zip(order.seam_checks, rows, strict=True)
    ]


def _findings(draft: Draft) -> list[Record]:
    """What is worth knowing before the search; what a table filled stands beside its fields."""
    return [
        {"path": path_of(one.key), "message": on_the_page(one.message)}
        for one in dict.fromkeys(draft.findings)
        if one.code != _BESIDE_ITS_FIELD
    ]


def _table(text: str) -> Record | None:
    try:
        # Dates and what is no number, which no key of an order has, become text.
        written = json.dumps(tomllib.loads(text), default=str)
        plain: Record = json.loads(written, parse_constant=str)
    except (ValueError, RecursionError):
        return None
    return plain


def _drawn(order: Order) -> list[Record]:
    """The pieces of each part of the file, whatever its garment's quantity, and of ready ones."""
    cuttings = usual_cuttings(order.fabrics)
    first = {garment.key: garment for garment in reversed(order.garments)}
    found = {
        part.key: list(pieces)
        for garment in reversed(first.values())
        for part, pieces in zip(garment.parts, pieces_by_part(garment, cuttings), strict=True)
    }
    for key, piece in zip(order.ready_keys, order.pieces, strict=True):
        own = found.setdefault(key, [])
        if piece.name not in [one.name for one in own]:
            own.append(piece)
    return [
        {"path": path_of(key), "pieces": [drawn(piece) for piece in pieces]}
        for key, pieces in found.items()
    ]
