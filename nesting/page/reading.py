"""Reading an order that comes as text, with its drawings as content: no path is ever opened."""

from __future__ import annotations

import base64
import binascii
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from nesting.order import Order
from nesting.order_file import order_from_text
from nesting.page.worker import Line, Record
from nesting.parts import draft_order
from pieces.errors import Fault, OrderFault

ORDER_FILE = "order.toml"


@contextmanager
def order_of(request: Record) -> Iterator[Order]:
    """The order of a request: its text under `order`, drawings in base64 under `drawings`.

    Drawings are written to a folder of their own, under numbers; an order finds them by the
    names they were given, and nothing else.

    Raises
    ------
    OrderFault : with everything that is wrong in it
    """
    with tempfile.TemporaryDirectory(prefix="metrage-") as home:
        known: dict[str, Path] = {}
        for number, (name, content) in enumerate(request.get("drawings", {}).items()):
            path = Path(home) / f"{number}{_suffix(name)}"
            path.write_bytes(_decoded(name, content))
            known[name] = path

        def drawing(name: str) -> Path:
            if name in known:
                return known[name]
            message = "The page has no drawing of this name."
            remedy = "Add the file here; the page opens no file by itself."
            raise OrderFault([Fault("", "", message, remedy)])

        yield order_from_text(request["order"], ORDER_FILE, drawing)


def _suffix(name: str) -> str:
    suffix = Path(name).suffix.lower()
    return suffix if suffix in (".dxf", ".svg") else ".none"


def _decoded(name: str, content: str) -> bytes:
    try:
        return base64.b64decode(content, validate=True)
    except (binascii.Error, ValueError):
        message = f"{name} did not arrive whole."
        raise OrderFault([Fault("", "", message, "Add the file again.")]) from None


def look(request: Record, _: Line) -> Record:
    """Whether an order can be read and drafted: the names of its pieces; else OrderFault."""
    with order_of(request) as order:
        draft = draft_order(order)
    return {"name": order.name, "pieces": [piece.name for piece in draft.pieces]}
