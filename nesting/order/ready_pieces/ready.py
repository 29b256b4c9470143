"""Ready pieces of an order: given as points, or read from drawing files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from nesting.order.faults import FaultCollector, joined, nearest, refuse_taken
from nesting.order.garments import is_drawn, tables_in
from nesting.order.prints import pointed
from nesting.order.ready_pieces.drawn import gathering_of
from nesting.order.ready_pieces.pieces import allowed, given_piece
from nesting.order.schema import DrawingTable, PieceTable, ReadyDrawingTable
from nesting.order.traced import compared
from pieces.drafting.spec import GarmentSpec
from pieces.errors import OrderFault
from pieces.geometry import laid
from pieces.piece import Finding, Piece
from pieces.ready import read_with
from pieces.trace.marked import MARKS, Marks


class Ready:
    """The ready pieces of an order; one of a garment with copies comes once for each.

    `missing` tells whether there are some that couldn't be read, which is noted.
    """

    def __init__(
        self,
        collector: FaultCollector,
        raw: Mapping[str, Any],
        garments: Mapping[str, Sequence[GarmentSpec]],
    ) -> None:
        self.pieces: list[Piece] = []
        self.keys: list[str] = []
        self.findings: list[Finding] = []
        self.missing = False
        self._desk = collector
        self._garments = garments
        self._taken: dict[tuple[str, str], str] = {}
        for index, one in enumerate(tables_in(raw, "piece")):
            self._read(one, joined("piece", index))
        for index, garment in enumerate(tables_in(raw, "garment")):
            for place, part in enumerate(tables_in(garment, "part")):
                if is_drawn(part):
                    key = joined("garment", index, "part", place)
                    table = collector.read(DrawingTable, part, key)
                    self._draw(table, str(garment.get("name", "")).strip(), key)

    def _read(self, raw: Mapping[str, Any], key: str) -> None:
        """One table [[piece]]."""
        if "file" in raw and "outline" in raw:
            self._desk.fault(
                joined(key, "file"),
                "A piece is either given as points or read from a drawing file.",
                "Take out outline or file, or make two pieces of it.",
            )
        elif is_drawn(raw):
            drawn = self._desk.read(ReadyDrawingTable, raw, key)
            self._draw(drawn, drawn.garment if drawn else "", key)
        else:
            self._give(raw, key)

    def _give(self, raw: Mapping[str, Any], key: str) -> None:
        table = self._desk.read(PieceTable, raw, key)
        if table is None:
            self.missing = True
            return
        if "name" in raw:
            self._claim([table.name], table.garment, joined(key, "name"))
        piece = given_piece(self._desk, table, key)
        if piece is not None:
            corners = tuple(table.outline)
            self.findings += compared(self._desk, corners, table, key, table.name)
            self._keep([piece], table.garment, key)
        self.missing |= piece is None

    def _draw(self, table: DrawingTable | None, garment: str, key: str) -> None:
        """The pieces of one drawing file."""
        if table is None:
            self.missing = True
            return
        found = _drawn(self._desk, table, key, self.findings)
        self.missing |= not found
        self._claim([piece.name for piece in found], garment, joined(key, "name"))
        self._keep(found, garment, key)

    def _keep(self, found: Sequence[Piece], garment: str, key: str) -> None:
        for owner in self._owners(garment):
            self.pieces += [replace(piece, garment=owner) for piece in found]
            self.keys += [key] * len(found)

    def _claim(self, names: Sequence[str], garment: str, key: str) -> None:
        claimed = [(owner, name) for owner in self._owners(garment) for name in names]
        refuse_taken(self._desk, self._taken, claimed, key)

    def _owners(self, garment: str) -> list[str]:
        return [copy.name for copy in self._garments.get(garment, ())] or [garment]


def _drawn(
    collector: FaultCollector, table: DrawingTable, key: str, findings: list[Finding]
) -> list[Piece]:
    """The pieces of a file as the order wants them; none, with the faults noted, if it can't be."""
    marks = Marks(table.marks, collector.unit)
    try:
        gathering = gathering_of(table, collector.drawing(table.file), marks)
        draft = read_with(gathering, table.asked())
    except OrderFault as error:
        for fault in error.faults:
            if fault.key == MARKS:
                collector.fault(joined(key, MARKS), fault.message, fault.remedy)
                continue
            place = ", ".join(part for part in (table.file, fault.key) if part)
            collector.fault(joined(key, "file"), f"{place}: " + fault.message, fault.remedy)
        return []
    _refuse_unknown(collector, marks, key)
    findings += (replace(found, key=joined(key, "file")) for found in draft.findings)
    own = (_as_ordered(collector, table, piece, key, findings) for piece in draft.pieces)
    pieces = [piece for piece in own if piece is not None]
    if table.name is None:
        return pieces
    if len(pieces) == 1:
        return [replace(pieces[0], name=table.name)]
    return [replace(piece, name=f"{table.name} {piece.name}") for piece in pieces]


def _refuse_unknown(collector: FaultCollector, marks: Marks, key: str) -> None:
    """Note marks of pieces that a drawing has not."""
    names = [one.piece.name for one in marks.done]
    for name in dict.fromkeys(marks.unknown()):
        collector.fault(
            joined(key, MARKS),
            f"There is no piece called '{name}' in the drawing. There is {', '.join(names)}.",
            nearest(name, names),
        )


def _as_ordered(
    collector: FaultCollector, table: DrawingTable, piece: Piece, key: str, findings: list[Finding]
) -> Piece | None:
    pair = piece.pair if table.pair is None else table.pair
    if pair and piece.on_fold is not None:
        collector.fault(
            joined(key, "pair"),
            f"{piece.name} is cut on the fold and comes out whole, so it is never one of a left "
            "and a right.",
            "Take out pair, or the mirror line in the drawing.",
        )
        return None
    ordered = replace(
        piece,
        fabric=_cloth(collector, table, piece, key, findings),
        cut=table.cut or piece.cut,
        pair=pair,
        grain_rule=table.grain_rule or piece.grain_rule,
    )
    if table.allowance is not None and piece.sewing_line:
        collector.fault(
            joined(key, "allowance"),
            f"{piece.name} shows its sewing line inside its outline, which is the cut line.",
            "Take out allowance, or the sewing line in the drawing.",
        )
        return None
    wider = allowed(collector, ordered, table.allowance, joined(key, "allowance"))
    return None if wider is None else pointed(collector, table, laid(wider), key)


def _cloth(
    collector: FaultCollector, table: DrawingTable, piece: Piece, key: str, findings: list[Finding]
) -> str:
    """The cloth that the piece's material names; else the table's, which is told."""
    if piece.fabric in collector.fabrics or not piece.fabric:
        return piece.fabric or table.fabric
    findings.append(
        Finding(
            "material-unknown",
            f"{table.file}: the order has no cloth called '{piece.fabric}', the material of "
            f"{piece.name}; it is cut from {table.fabric}.",
            joined(key, "fabric"),
        )
    )
    return table.fabric
