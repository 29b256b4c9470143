"""Orders of our own, each with what its plan must show, so that no kind of plan goes unchecked."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from nesting.fabric.plans import Plan
from nesting.order.read import order_from_text
from nesting.output.files.data import plan_data
from nesting.output.paper.tiling import Paper
from nesting.output.write import plan_files
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds

Record = dict[str, Any]
Shown = Callable[[Record], bool]


def as_file(made: Plan, tiles: Paper | None = None) -> Record:
    """A plan as whoever reads plan.json has it."""
    data = plan_data(made, plan_files(made, tiles))
    found: Record = json.loads(json.dumps(data, allow_nan=False))
    return found


def placements(data: Record) -> Iterator[Record]:
    """All of them, of all cloths."""
    return (one for fabric in data["fabrics"] for one in fabric["placements"])


def places(**said: object) -> Shown:
    """Whether some placement has all these values."""
    return lambda data: any(said.items() <= one.items() for one in placements(data))


def cloths(**said: object) -> Shown:
    """Whether some cloth has all these values."""
    return lambda data: any(said.items() <= one.items() for one in data["fabrics"])


def has(*way: str) -> Shown:
    """Whether some cloth has something at the end of these keys, and not null or nothing."""

    def found(data: Record) -> bool:
        values = data["fabrics"]
        for key in way:
            values = [one[key] for one in values if one is not None]
        return any(values)

    return found


@dataclass(frozen=True)
class Kind:
    """An order, and what its plan shows."""

    text: str
    shows: tuple[Shown, ...]


_LAID = """
units = "cm"
[fabric.lawn]
width = 112
selvedge = 1
lays = ["{lay}"]
gap = 0.4
edge_gap = 0.2
[[piece]]
name = "front"
fabric = "lawn"
outline = [[0, 0], [40, 0], [34, 22], [0, 15]]
on_fold = [[0, 0], [40, 0]]
[[piece]]
name = "sleeve"
fabric = "lawn"
outline = [[0, 0], [30, 0], [24, 16], [0, 10]]
pair = true
[[piece]]
name = "flap"
fabric = "lawn"
outline = [[0, 0], [18, 0], [14, 9], [0, 12]]
cut = 3
"""
_ROUND = """
units = "cm"
[fabric.net]
width = 150
selvedge = 1
faces = "alike"
lays = ["{lay}"]
[[piece]]
name = "round"
fabric = "net"
outline = [[0, 0], [30, 0], [28, 11], [21, 21], [11, 28], [0, 30]]
on_fold = [[0, 0], [30, 0]]
second_fold = [[0, 0], [0, 30]]
[[piece]]
name = "panel"
fabric = "net"
outline = [[0, 0], [36, 0], [30, 25], [0, 25]]
cut = {cut}
[[piece]]
name = "yoke"
fabric = "net"
outline = [[0, 0], [20, 0], [20, 14], [0, 17]]
on_fold = [[0, 0], [0, 17]]
grain_rule = "any"
"""
PRINTED_CLOTH = """
units = "cm"
[fabric.cotton]
width = 112
selvedge = 1
lays = ["open"]
shrinkage = { length = 4, width = 2 }
repeat = { length = 16, width = 12 }
border = { edge = "lower", depth = 12 }
flaws = [{ from = 40, to = 44, across = [30, 36] }]
"""
PRINTED_PIECES = """[[piece]]
name = "front"
fabric = "cotton"
outline = [[0, 0], [40, 0], [30, 22], [0, 15]]
motif = ["middle", "hem"]
cut = 2
[[piece]]
name = "sleeve"
fabric = "cotton"
outline = [[0, 0], [30, 0], [24, 16], [0, 10]]
pair = true
match = ["hem"]
[[piece]]
name = "panel"
fabric = "cotton"
outline = [[0, 0], [36, 0], [36, 30], [0, 30]]
cut = 2
grain_rule = "crosswise"
border = true
"""
_SOLD = """end_allowance = 3
sold_by = "10 cm"
minimum = "50 cm"
price = 12.40
currency = "EUR"
"""
_PRINTED = PRINTED_CLOTH + _SOLD + PRINTED_PIECES
_IN_HAND = """
units = "cm"
[fabric.satin]
width = 140
selvedge = 1
nap = "per-garment"
tilt = 2
shrinkage = { length = 3, width = 1 }
price = 14
currency = "EUR"
per = "yd"
in_hand = [
    { length = "70 cm", name = "end", flaws = [{ from = 8, to = 12, across = [20, 26] }] },
    { length = "55 cm", width = "90 cm", selvedge = 0, washed = true, name = "left over" },
]
[[piece]]
name = "front"
garment = "Ines"
fabric = "satin"
outline = [[0, 0], [40, 0], [34, 22], [0, 25]]
on_fold = [[0, 0], [40, 0]]
[[piece]]
name = "back"
garment = "Ines"
fabric = "satin"
outline = [[0, 0], [40, 0], [34, 22], [0, 25]]
pair = true
[[piece]]
name = "front"
garment = "Noor"
fabric = "satin"
outline = [[0, 0], [36, 0], [30, 40], [0, 40]]
cut = 2
[[piece]]
name = "cape"
garment = "Mette"
fabric = "satin"
outline = [[0, 0], [60, 0], [50, 70], [0, 80]]
pair = true
"""
_STRIPS = """
units = "cm"
[fabric.tulle]
width = 150
faces = "alike"
[[garment]]
name = "Ines"
size = "4 years"
[[garment.part]]
draft = "gathered skirt"
fabric = "tulle"
length = 34
fullness = 4
"""

KINDS = {
    "open": Kind(_LAID.format(lay="open"), (
        cloths(lay="open"), places(unfolded=True), places(mirrored=True), places(turn_deg=180.0),
    )),
    "lengthwise fold": Kind(_LAID.format(lay="lengthwise-fold"), (
        cloths(lay="lengthwise-fold"), places(on_fold=True), places(layers=2),
    )),
    "crosswise fold": Kind(_LAID.format(lay="crosswise-fold"), (cloths(lay="crosswise-fold"),)),
    "double fold": Kind(_LAID.format(lay="double-fold"), (
        cloths(lay="double-fold"), places(band=1),
    )),
    "partial fold": Kind(_LAID.format(lay="partial-fold"), (
        cloths(lay="partial-fold"), has("fold_depth_mm"), places(band=1, layers=1),
    )),
    "quarter fold": Kind(_ROUND.format(lay="quarter-fold", cut=1), (
        cloths(lay="quarter-fold"), places(in_corner=True, layers=4), places(section="opened-out"),
    )),
    "on a crosswise fold": Kind(_ROUND.format(lay="crosswise-fold", cut=5), (
        cloths(measured_from="fold"), places(on_fold=True), places(section="opened-out"),
    )),
    "print": Kind(_PRINTED, (
        has("print", "border"), has("print", "points"), has("flaws"), has("price"),
        has("flaws_bought_mm"), has("before_motif_mm"), has("border"),
    )),
    "in hand": Kind(_IN_HAND, (
        has("in_hand"), cloths(in_hand=None), has("flaws"), has("remnants"),
        has("one_by_one_purchase_mm"), cloths(tilt_deg=2.0), cloths(width_mm=900.0),
    )),
    "strips": Kind(_STRIPS, (cloths(price=None), has("joins"))),
}  # fmt: skip


@cache
def plan_of(name: str) -> Record:
    """The plan of a kind, planned once."""
    return as_file(plan(order_from_text(KINDS[name].text, "any.toml"), Rounds(1), jobs=1))
