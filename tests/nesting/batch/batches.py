"""Folders of small orders for the tests of batches."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from nesting.batch.outcome import Batch, State
from nesting.order.read import read_order
from nesting.output.files.data import plan_data
from nesting.output.write import plan_files
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds

ORDER = """
name = "{name}"
units = "cm"
[fabric.lawn]
width = {width}
sold_by = "10 cm"
lays = ["open"]
price = 6.50
currency = "EUR"
per = "m"
[[piece]]
name = "kite"
fabric = "lawn"
outline = [[0, 0], [40, 5], [{length}, 40], [3, 28]]
cut = 3
"""
DRAWING = """
[[piece]]
file = "leaf.svg"
fabric = "lawn"
unit = "cm"
"""
LEAF = '<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0 L{width} 0 L5 12 Z"/></svg>'
FOUR = {"ada": 36, "bea": 41, "cleo": 45, "dot": 50}


def four_orders(tmp_path: Path) -> Path:
    """A folder of four small orders."""
    folder = tmp_path / "orders"
    folder.mkdir()
    for name, length in FOUR.items():
        text = ORDER.format(name=f"order of {name}", width=110, length=length)
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    return folder


def keep(orders: Path, *names: str) -> None:
    for path in orders.glob("*.toml"):
        if path.stem not in names:
            path.unlink()


def states(made: Batch) -> list[State]:
    return [one.state for one in made.orders]


def planned(folder: Path) -> dict[str, Any]:
    """A plan as written, but for the time it took."""
    return json.loads((folder / "plan.json").read_text(encoding="utf-8")) | {"seconds": 0}


def alone(path: Path, rounds: int, seed: int = 1) -> dict[str, Any]:
    made = plan(read_order(path), Rounds(rounds), seed=seed, jobs=2)
    return json.loads(json.dumps(plan_data(made, plan_files(made)))) | {"seconds": 0}
