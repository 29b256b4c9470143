"""Cloth: how it lies, what is cut from it, and the shortest length to buy."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from nesting.batch import plan_folder
    from nesting.comparer import compare
    from nesting.order_file import example_order, read_order
    from nesting.output.write import write_plan
    from nesting.planner import plan
    from nesting.stop import FirstOf, NoImprovement, Rounds, Seconds

_HOMES = {
    "FirstOf": "nesting.stop",
    "NoImprovement": "nesting.stop",
    "Rounds": "nesting.stop",
    "Seconds": "nesting.stop",
    "compare": "nesting.comparer",
    "example_order": "nesting.order_file",
    "plan": "nesting.planner",
    "plan_folder": "nesting.batch",
    "read_order": "nesting.order_file",
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
