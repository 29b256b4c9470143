"""Plans judged by plan.json alone, and damaged ones that must be caught."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from nesting.order.read import order_from_text, read_order
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds
from pieces.errors import CannotFit, OrderFault
from tests.examples import examples
from tests.nesting.order.any_orders import ANY_ORDERS, Table, orders, read
from tests.outside.plan_check import faults
from tests.outside.plans_of_every_kind import PRINTED_CLOTH, PRINTED_PIECES, Record, as_file
from tests.plan_schema import told

EXAMPLES = sorted((Path(__file__).parents[2] / "pieces" / "examples").glob("*.toml"))


@settings(
    max_examples=examples(max(5, ANY_ORDERS // 4)),
    deadline=None,
    suppress_health_check=list(HealthCheck),
)
@given(tables=orders(most_pieces=3))
def test_orders_at_random(tables: Table) -> None:
    try:
        made = plan(read(tables), Rounds(1), jobs=1)
    except (CannotFit, OrderFault):
        return
    data = as_file(made)
    assert told(data) == []
    assert faults(data) == []


@pytest.mark.long
@pytest.mark.long
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda one: one.stem)
def test_the_packaged_examples(path: Path) -> None:
    data = as_file(plan(read_order(path), Rounds(1), jobs=1))
    assert told(data) == []
    assert faults(data) == []


ORDER = """
units = "cm"
[fabric.satin]
width = 112
selvedge = 1
nap = "one-way"
gap = 0.5
edge_gap = 0.3
lays = ["{lay}"]
shrinkage = {{ length = 4, width = 2 }}
end_allowance = 2
sold_by = "10 cm"
price = 7.90
currency = "EUR"
per = "m"
repeat = {{ length = 9 }}
[[piece]]
name = "front"
fabric = "satin"
outline = [[0, 0], [40, 0], [30, 22], [0, 15]]
on_fold = [[0, 0], [40, 0]]
match = ["hem"]
[[piece]]
name = "sleeve"
fabric = "satin"
outline = [[0, 0], [30, 0], [24, 16], [0, 10]]
pair = true
match = ["hem"]
[[piece]]
name = "panel"
fabric = "satin"
outline = [[0, 0], [36, 0], [30, 12], [0, 16]]
cut = 2
grain_rule = "crosswise"
"""


@pytest.fixture(scope="module", params=["open", "lengthwise-fold"])
def sound(request: pytest.FixtureRequest) -> Record:
    order = order_from_text(ORDER.format(lay=request.param), "any.toml")
    found = as_file(plan(order, Rounds(3), jobs=1))
    assert faults(found) == []
    return found


def named(damaged: Record, piece: str) -> Record:
    own = damaged["fabrics"][0]["placements"]
    return next(one for one in own if one["piece"] == piece)


def moved(one: Record, dx: float, dy: float) -> None:
    one["x_mm"] += dx
    one["y_mm"] += dy
    one["outline_mm"] = [[x + dx, y + dy] for x, y in one["outline_mm"]]


def shifted_out(damaged: Record) -> None:
    moved(named(damaged, "sleeve"), -5000, 0)


def off_its_outline(damaged: Record) -> None:
    named(damaged, "sleeve")["x_mm"] += 1


def onto_another(damaged: Record) -> None:
    one, other = named(damaged, "sleeve"), named(damaged, "panel")
    ends = [[min(p[axis] for p in each["outline_mm"]) for axis in (0, 1)] for each in (one, other)]
    one["section"], one["band"] = other["section"], other["band"]
    moved(one, ends[1][0] - ends[0][0], ends[1][1] - ends[0][1])


def nearer_than_the_gap(damaged: Record) -> None:
    damaged["fabrics"][0]["gap_mm"] += 100


def off_the_print(damaged: Record) -> None:
    moved(named(damaged, "front"), 3, 0)


def mirrored(damaged: Record) -> None:
    one = named(damaged, "panel")
    one["mirrored"] = not one["mirrored"]
    low, high = (pick(y for _, y in one["outline_mm"]) for pick in (min, max))
    one["outline_mm"] = [[x, low + high - y] for x, y in one["outline_mm"]]


def turned(damaged: Record) -> None:
    one = named(damaged, "panel")
    one["turn_deg"] += 180
    one["grain_deg"] += 180
    one["outline_mm"] = [[2 * one["x_mm"] - x, 2 * one["y_mm"] - y] for x, y in one["outline_mm"]]


def grain_misstated(damaged: Record) -> None:
    named(damaged, "sleeve")["grain_deg"] += 90


def doubled(damaged: Record) -> None:
    damaged["fabrics"][0]["placements"].append(deepcopy(named(damaged, "sleeve")))


def removed(damaged: Record) -> None:
    damaged["fabrics"][0]["placements"].remove(named(damaged, "panel"))


def a_step_less(damaged: Record) -> None:
    damaged["fabrics"][0]["purchase"]["length_mm"] -= 100


def a_cent_less(damaged: Record) -> None:
    damaged["fabrics"][0]["purchase"]["cost"] -= 0.01


def marker_too_short(damaged: Record) -> None:
    damaged["fabrics"][0]["length_mm"] -= 1


def a_flaw_below(damaged: Record) -> None:
    one = named(damaged, "panel")
    flaw = {key: one[key] for key in ("section", "band", "outline_mm")}
    damaged["fabrics"][0]["flaws"].append(flaw | {"layer": 1})


def a_remnant_with_a_piece(damaged: Record) -> None:
    one = named(damaged, "panel")
    (x, y), size = one["outline_mm"][0], {"length_mm": 200.0, "width_mm": 200.0, "layers": 1}
    fabric = damaged["fabrics"][0]
    begins = fabric["opened_from_mm"] if one["section"] == "opened-out" else 0.0
    fabric["remnants"].append({"x_mm": max(begins, x - 100), "y_mm": y - 100, **size})


def more_than_it_gives(damaged: Record) -> None:
    one = named(damaged, "panel")
    one["yields"], one["spare"] = one["yields"] + 1, one["spare"] - 1


def nearer_to_the_fold_than_half_the_gap(damaged: Record) -> None:
    """Below a fold two sleeves are cut, which the fold lays beside each other."""
    one = named(damaged, "sleeve")
    maps = {each["section"]: each["layers"] for each in damaged["fabrics"][0]["layer_maps"]}
    if len(maps[one["section"]]) == 1:  # of open cloth, two copies of one piece
        nearer_than_the_gap(damaged)
        return
    low = min(y for _, y in one["outline_mm"])
    moved(one, 3000, 1 - low)
    damaged["fabrics"][0]["length_mm"] += 5000


def waste_misstated(damaged: Record) -> None:
    damaged["fabrics"][0]["waste_percent"] -= 0.01


def area_misstated(damaged: Record) -> None:
    damaged["pieces"][0]["area_mm2"] *= 1.01


DAMAGES = {
    waste_misstated: "figure", area_misstated: "figure",
    nearer_to_the_fold_than_half_the_gap: "gap",
    shifted_out: "room", off_its_outline: "shape", onto_another: "overlap",
    nearer_than_the_gap: "gap", mirrored: "hands", turned: "hands", grain_misstated: "grain",
    doubled: "overlap", removed: "count", a_step_less: "purchase", a_cent_less: "money",
    marker_too_short: "room", a_flaw_below: "flaw", a_remnant_with_a_piece: "remnant",
    more_than_it_gives: "hands", off_the_print: "print",
}  # fmt: skip


@pytest.mark.parametrize("damage", DAMAGES, ids=lambda damage: damage.__name__)
def test_damage_is_caught(sound: Record, damage: Callable[[Record], None]) -> None:
    damaged = deepcopy(sound)
    damage(damaged)
    kinds = {fault.partition(":")[0] for fault in faults(damaged)}
    assert DAMAGES[damage] in kinds, kinds


PRINTED = PRINTED_CLOTH + PRINTED_PIECES


@pytest.fixture(scope="module")
def printed() -> Record:
    found = as_file(plan(order_from_text(PRINTED, "any.toml"), Rounds(3), jobs=1))
    assert faults(found) == []
    return found


def off_its_motif(damaged: Record) -> None:
    moved(named(damaged, "front"), 0, 3)


def off_along_the_cloth(damaged: Record) -> None:
    moved(named(damaged, "front"), 3, 0)


def other_way_up(damaged: Record) -> None:
    one = named(damaged, "sleeve")
    one["turn_deg"] += 180
    one["outline_mm"] = [[2 * one["x_mm"] - x, 2 * one["y_mm"] - y] for x, y in one["outline_mm"]]


def off_the_selvedge(damaged: Record) -> None:
    moved(named(damaged, "panel"), 0, 1)


def past_the_border(damaged: Record) -> None:
    damaged["pieces"] = [one | {"hem_mm": 130.0} for one in damaged["pieces"]]


def on_the_other_selvedge(damaged: Record) -> None:
    damaged["fabrics"][0]["border"]["edge"] = "upper"


def a_flaw_on_the_flat_cloth(damaged: Record) -> None:
    """Bought cloth is longer and wider than washed."""
    (x, y), *_ = named(damaged, "panel")["outline_mm"]
    x, y = x / 0.96, (y + 9.8) / 0.98
    flaw = [[x - 3, y - 3], [x + 3, y - 3], [x + 3, y + 3], [x - 3, y + 3]]
    damaged["fabrics"][0]["flaws_bought_mm"].append(flaw)


OF_PRINTS = {
    off_its_motif: "motif", off_along_the_cloth: "motif", other_way_up: "upward",
    off_the_selvedge: "border", past_the_border: "border", on_the_other_selvedge: "border",
    a_flaw_on_the_flat_cloth: "flaw",
}  # fmt: skip


@pytest.mark.parametrize("damage", OF_PRINTS, ids=lambda damage: damage.__name__)
def test_damage_to_a_print_is_caught(printed: Record, damage: Callable[[Record], None]) -> None:
    damaged = deepcopy(printed)
    damage(damaged)
    kinds = {fault.partition(":")[0] for fault in faults(damaged)}
    assert OF_PRINTS[damage] in kinds, kinds
