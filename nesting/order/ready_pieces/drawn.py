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


def gathering_of(table: DrawingTable, path: Path, unit: Unit) -> Gathering:
    """What reads the drawing of a table and gathers what is found in it."""
    grain_deg = None
    if table.grain is not None:
        (x0, y0), (x1, y1) = table.grain
        grain_deg = math.degrees(math.atan2(y1 - y0, x1 - x0))
    told = None if table.unit is None else Unit(table.unit)
    return Gathering(Path(table.file), told, grain_deg, Marks(table.marks, unit), path)


def as_drawn(
    raw: Mapping[str, Any], unit: Unit, drawing: Callable[[str], Path]
) -> tuple[Gathering, Sequence[str]]:
    """The drawing of a table as it is drawn, with its marks, and the faults of these.

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
    gathering = gathering_of(table, drawing(table.file), unit)
    try:
        read_with(gathering, table.asked())
    except OrderFault as error:
        wrong = [fault.message for fault in error.faults if fault.key == MARKS]
        if len(wrong) < len(error.faults):
            raise
        gathering = gathering_of(table, gathering.source, unit)
        gathering.marks = Marks((), unit)
        read_with(gathering, table.asked())
        return gathering, wrong
    return gathering, ()
