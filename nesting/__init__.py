"""Cloth: how it lies, what is cut from it, and the shortest length to buy."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from nesting.batch.run import plan_folder
    from nesting.order.read import example_order, read_order
    from nesting.output.write import write_plan
    from nesting.planning.comparer import compare
    from nesting.planning.planner import plan
    from nesting.solver.stop import FirstOf, NoImprovement, Rounds, Seconds

_HOMES = {
    "FirstOf": "nesting.solver.stop",
    "NoImprovement": "nesting.solver.stop",
    "Rounds": "nesting.solver.stop",
    "Seconds": "nesting.solver.stop",
    "compare": "nesting.planning.comparer",
    "example_order": "nesting.order.read",
    "plan": "nesting.planning.planner",
    "plan_folder": "nesting.batch.run",
    "read_order": "nesting.order.read",
    "write_plan": "nesting.output.write",
}

__all__ = [
    "FirstOf",
    "NoImprovement",
    "Rounds",
    "Seconds",
    "compare",
    "example_order",
    "plan",
    "plan_folder",
    "read_order",
    "write_plan",
]


def __getattr__(name: str) -> Any:
    """Import on first use, so that `metrage --help` needs none of the heavy packages."""
    if name in _HOMES:
        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module 'nesting' has no attribute {name!r}")
