"""Kernels for a print are compiled before the budget begins, and for no other order."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable

import pytest

from nesting.order.model import Order
from nesting.order.read import order_from_text
from nesting.planning.comparer import compare
from nesting.planning.planner import plan
from nesting.solver.phased import line as lattice_line
from nesting.solver.stop import Rounds
from nesting.studies.fullness import how_full
from nesting.studies.sharing import share
from nesting.studies.yields import how_many

ORDER = """
units = "cm"
[fabric.lawn]
width = 100
{repeat}
in_hand = [100]
lays = ["open"]
[[garment]]
name = "Ada"
size = "4 years"
[[garment.part]]
draft = "gathered skirt"
fabric = "lawn"
{match}
"""
REPEAT, MATCH = "repeat = { length = 8 }", 'match = ["waist"]'
ONE = Rounds(1)
DOORS = [
    pytest.param(lambda order: plan(order, ONE, jobs=1), id="plan"),
    pytest.param(lambda order: compare(order, ONE, jobs=1), id="compare"),
    pytest.param(lambda order: share(order, ONE, jobs=1), id="share"),
    pytest.param(lambda order: how_many(order, ["Ada"], ONE, jobs=1), id="how many"),
    pytest.param(lambda order: how_full(order, "gathered skirt", stop=ONE, jobs=1), id="how full"),
]


class Compiled(Exception):
    pass


@pytest.fixture(autouse=True)
def told(monkeypatch: pytest.MonkeyPatch) -> None:
    def tell() -> None:
        raise Compiled

    monkeypatch.setattr(lattice_line, "warm_up", tell)


@pytest.mark.parametrize("door", DOORS)
def test_every_door_has_them_ready_for_a_print(door: Callable[[Order], object]) -> None:
    with pytest.raises(Compiled):
        door(order_from_text(ORDER.format(repeat=REPEAT, match=MATCH), "o.toml"))


@pytest.mark.parametrize(("repeat", "match"), [("", ""), (REPEAT, "")])
def test_no_order_waits_for_them_that_needs_none(repeat: str, match: str) -> None:
    plan(order_from_text(ORDER.format(repeat=repeat, match=match), "o.toml"), ONE, jobs=1)


COMPILED = """
import numpy as np
from nesting.solver import solve
from nesting.solver.overlap import candidates, kernels, places, severity, tied
from nesting.solver.phased import line
from nesting.solver.search import free_places
from nesting.solver.instance import Instance, Item, Orientation, Phase
from nesting.solver.stop import Rounds

solve.warm_up()
line.warm_up()

def known():
    modules = candidates, free_places, kernels, places, severity, tied
    found = {f"{m.__name__}.{n}": v for m in modules for n, v in vars(m).items()}
    return {n: len(v.signatures) for n, v in found.items() if hasattr(v, "signatures")}

before = known()
assert before["nesting.solver.overlap.kernels.separate"] == 2, before
ring = np.array([[0, 0], [300, 0], [300, 500], [200, 500], [0, 200]]) * 100
ways = tuple(
    Orientation(turned, 0, 30_000, ((0, 50_000), (60_000, 70_000)), way, ((0, 7.0), (1, 9.0)))
    for way, turned in enumerate((ring, [30_000, 50_000] - ring))
)
items = (Item(0, ways, 0),) * 5 + (Item(1, (Orientation(ring, 0, 30_000, ((0, 70_000),)),)),)
phases = Phase(0, 10_000.0), Phase(1, 20_000.0, (3_000.0, 5_000.0))
solve.solve(Instance(120_000, items, (), phases), Rounds(60), seed=1)
assert known() == before, (before, known())
"""


def test_nothing_is_left_to_compile_after_it() -> None:
    """In a process of its own: here other tests have compiled before."""
    done = subprocess.run([sys.executable, "-c", COMPILED], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
