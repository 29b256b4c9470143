"""How a drawing that an order names is read; and as it is drawn, to be marked by hand."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from nesting.order.faults import FaultCollector
from nesting.order.schema import DrawingTable, ReadyDrawingTable
from pieces.errors import OrderFault
from pieces.importers.gathering import Gathering
from pieces.ready import read_with
from pieces.trace.marked import MARKS, Marks
from pieces.units import Unit


def gathering_of(table: DrawingTable, path: Path, marks: Marks) -> Gathering:
    """What reads the drawing of a table and gathers what is found in it."""
    grain_deg = None
    if table.grain is not None:
        (x0, y0), (x1, y1) = table.grain
        grain_deg = math.degrees(math.atan2(y1 - y0, x1 - x0))
    told = None if table.unit is None else Unit(table.unit)
    return Gathering(Path(table.file), told, grain_deg, marks, path)


def as_drawn(
    raw: Mapping[str, Any], unit: Unit, drawing: Callable[[str], Path]
) -> tuple[Gathering, Marks, Sequence[str]]:
    """The drawing of a table as it is drawn, its marks as they are done, and the faults of these.

    Whatever else is at fault in the table is left out; with marks at fault the drawing is read
    without them.

    Raises
    ------
    OrderFault : the drawing can't be read
    """
    collector = FaultCollector("", unit, (), drawing)
    table = collector.read(ReadyDrawingTable, raw, "")
    if table is None:
        collector.close()
        raise AssertionError("what can't be read has faults")
    path, marks = drawing(table.file), Marks(table.marks, unit)
    gathering = gathering_of(table, path, marks)
    try:
        read_with(gathering, table.asked())
    except OrderFault as error:
        wrong = [fault.message for fault in error.faults if fault.key == MARKS]
        if len(wrong) < len(error.faults):
            raise
        marks = Marks((), unit)
        gathering = gathering_of(table, path, marks)
        read_with(gathering, table.asked())
        return gathering, marks, wrong
    return gathering, marks, ()
