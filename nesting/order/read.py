"""Reading an order file: the first step of the one path, from a file to an `Order`."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from importlib import resources
from os import PathLike
from pathlib import Path
from typing import Any

from nesting.fabric.fabric import Fabric
from nesting.fabric.plans import title_of
from nesting.order.cloths.fabrics import fabric_of
from nesting.order.costing import costing_of, handled
from nesting.order.faults import FaultCollector, joined, refuse_taken
from nesting.order.garments import Defaults, garments_of, tables_in
from nesting.order.model import Order
from nesting.order.notions import notions_asked
from nesting.order.prints import check_asked
from nesting.order.ready_pieces.ready import Ready
from nesting.order.ready_pieces.seams import seam_checks
from nesting.order.said import said_of
from nesting.order.schema import HEM_ALLOWANCE_MM, SEAM_ALLOWANCE_MM, OrderTable
from nesting.order.toml_slips import remedy
from nesting.order.wearers import NamedWearers, wearers_named
from pieces.drafting.spec import GarmentSpec
from pieces.errors import Fault, OrderFault
from pieces.files import contents
from pieces.units import Unit
from pieces.wording import either

EXAMPLE = "choir.toml"
IN_HAND_EXAMPLE = "in-hand.toml"
_LARGEST_BYTES = 5_000_000
_UNITS = {"mm": Unit.MM, "cm": Unit.CM, "in": Unit.IN}
_AT_LINE = re.compile(r"(?P<what>.*) \(at line (?P<line>\d+), column (?P<column>\d+)\)", re.DOTALL)
_PLAINER = {
    "Cannot overwrite a value": "a key is given twice",
    "Illegal character '\\n'": "the line ends before its quotes do",
}


def read_order(path: str | PathLike[str], drawing: Callable[[str], Path] | None = None) -> Order:
    """Read and check an order file; `drawing` as in `order_from_text`.

    Raises
    ------
    OrderFault : with everything that is wrong in it, each with the file and the key
    """
    source = str(path)
    return order_from_text(_text(Path(path), source), source, drawing)


def read_with_drawings(path: Path) -> tuple[Order, dict[str, Path]]:
    """An order as `read_order` reads it, and where the drawings lie that it names.

    Raises
    ------
    OrderFault : as `read_order`
    """
    drawings: dict[str, Path] = {}

    def drawing(name: str) -> Path:
        return drawings.setdefault(name, path.parent / name)

    return read_order(path, drawing), drawings


def example_order(name: str = EXAMPLE) -> Order:
    """An order that ships with the package: three sisters' dresses for a choir concert.

    Their summer frocks, for which there is cloth in hand, are another.
    """
    text = resources.files("pieces.examples").joinpath(name).read_text(encoding="utf-8")
    return order_from_text(text, name)


def order_from_text(
    text: str,
    source: str,
    drawing: Callable[[str], Path] | None = None,
    book: Callable[[str], Path] | None = None,
) -> Order:
    """The order that a text in TOML describes; `source` names it in messages.

    `drawing` finds the drawing file of a name, `book` the book of wearers, or raises OrderFault;
    by default it is looked for beside the order file.

    Raises
    ------
    OrderFault : with everything that is wrong in it
    """
    raw = _parsed(text, source)
    cloths = _cloths(raw)
    unit, said = _UNITS.get(str(raw.get("units")), Unit.CM), said_of(raw)
    collector = FaultCollector(source, unit, cloths, drawing, said)
    table = collector.read(OrderTable, raw, "")
    fabrics = [
        fabric_of(collector, name, one, joined("fabric", name)) for name, one in cloths.items()
    ]
    _refuse_alike(collector, [fabric for fabric in fabrics if fabric is not None])
    named = wearers_named(collector, raw, date.today(), book)
    garments = _garments(collector, raw, table, named)
    ready = Ready(collector, raw, garments)
    checks = seam_checks(collector, raw, ready.pieces, garments, missing=ready.missing)
    check_asked(collector, raw, {one.name: one for one in fabrics if one})
    costing = costing_of(
        collector,
        raw,
        [copy.name for copies in garments.values() for copy in copies],
        [fabric for fabric in fabrics if fabric is not None],
    )
    order = Order(
        name=Path(source).stem if table is None or table.name is None else table.name,
        source=source,
        unit=collector.unit,
        fabrics={fabric.name: handled(fabric, costing) for fabric in fabrics if fabric is not None},
        garments=tuple(garment for copies in garments.values() for garment in copies),
        pieces=tuple(ready.pieces),
        findings=tuple(dict.fromkeys([*ready.findings, *(named.findings if named else ())])),
        ready_keys=tuple(ready.keys),
        seam_checks=checks,
        said=said,
        costing=costing,
        wearers=named,
        notions=notions_asked(collector, raw, garments),
    )
    if not raw.get("garment") and not raw.get("piece"):
        collector.fault(
            "",
            "The order asks for nothing to be cut.",
            either(
                "Add a garment in a table [[garment]], or a ready piece in a table [[piece]].",
                "Add a cloth, then a wearer with a part, or a ready piece.",
            ),
        )
    collector.close()
    return order


def _refuse_alike(collector: FaultCollector, fabrics: Sequence[Fabric]) -> None:
    """No length in hand may be called, with its cloth, as another cloth is: see `title_of`."""
    names = {fabric.name for fabric in fabrics}
    for fabric in fabrics:
        for bolt in fabric.in_hand:
            if title_of(fabric, bolt) in names:
                collector.fault(
                    joined("fabric", fabric.name, "in_hand"),
                    f"'{bolt.name}' of {fabric.name} would be told as '{title_of(fabric, bolt)}', "
                    "which is the name of another cloth.",
                    "Give one of the two another name.",
                )


def _cloths(raw: Mapping[str, Any]) -> dict[str, Mapping[str, Any]]:
    """The tables of cloths, as far as they are tables at all."""
    found = raw.get("fabric")
    if not isinstance(found, dict):
        return {}
    return {name: one for name, one in found.items() if isinstance(one, dict)}


def _garments(
    collector: FaultCollector,
    raw: Mapping[str, Any],
    order: OrderTable | None,
    named: NamedWearers | None,
) -> dict[str, tuple[GarmentSpec, ...]]:
    """For each garment of the order its copies; keyed by its name in the order."""
    seam_mm = SEAM_ALLOWANCE_MM if order is None else order.seam_allowance
    hem_mm = HEM_ALLOWANCE_MM if order is None else order.hem_allowance
    bodies = {} if named is None else {name: one.body for name, one in named.known.items()}
    defaults = Defaults(seam_mm, hem_mm, bodies)
    ready = [piece["garment"] for piece in tables_in(raw, "piece") if "garment" in piece]
    found: dict[str, tuple[GarmentSpec, ...]] = {}
    taken: dict[str, str] = {}
    for index, one in enumerate(tables_in(raw, "garment")):
        key = joined("garment", index)
        copies = garments_of(collector, one, defaults, key, place=index + 1)
        if not one.get("part") and one.get("name") not in ready:
            collector.fault(
                joined(key, "part"),
                "This garment has no parts.",
                either(
                    "Add what is to be drafted for it in a table [[garment.part]] below it.",
                    "Add a part to it.",
                ),
            )
        refuse_taken(collector, taken, [copy.name for copy in copies], joined(key, "name"))
        if copies:
            found[one["name"].strip()] = copies
    return found


def _text(path: Path, source: str) -> str:
    """What stands in a file, with or without the mark that some editors put before it."""
    too_large = ("The file is far too large for an order.", "Name another file.")
    data = contents(path, "order", _LARGEST_BYTES, too_large)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise OrderFault(
            [
                Fault(
                    source,
                    f"line {line}",
                    "The file is not text in UTF-8.",
                    "Open it in an editor and save it anew with the encoding UTF-8.",
                )
            ]
        ) from None


def _parsed(text: str, source: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except RecursionError:
        place, what, line = "", "its brackets are nested too deep", ""
    except ValueError as error:
        place, what, line = _place(str(error), text)
    message = f"The file can't be understood from here on: {what}."
    raise OrderFault([Fault(source, place, message, remedy(line))])


def _place(error: str, text: str) -> tuple[str, str, str]:
    """Where a text stops being TOML, and why, from the reader's message; and that line."""
    *_, last = lines = text.rstrip("\n").split("\n")
    found = _AT_LINE.fullmatch(error)
    if found is not None:
        place = f"line {found['line']}, column {found['column']}"
        return place, _plainer(found["what"]), lines[min(int(found["line"]), len(lines)) - 1]
    what = error.removesuffix(" (at end of document)")
    return f"line {len(lines)}, column {len(last) + 1}", _plainer(what), last


def _plainer(what: str) -> str:
    """The reader's reason in words that need no knowledge of TOML."""
    named = re.sub(r"\(('[^']*',? ?)+\)", lambda m: ".".join(re.findall(r"'([^']*)'", m[0])), what)
    return _PLAINER.get(named) or named[:1].lower() + named[1:]
