"""Cloth: how it lies, what is cut from it, and the shortest length to buy.

What is listed here is public: orders, plans and what is in them, limits of a search, errors. All
of it is imported on first use, so that `metrage --help` needs none of the heavy packages.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from nesting.batch.outcome import Batch, Bought, Outcome
    from nesting.batch.run import plan_folder
    from nesting.fabric.costing import Costing, CutterMinutes, Done, Handling
    from nesting.fabric.fabric import Bolt, Border, Edge, Fabric, Faces, LayName, Nap, Price, Repeat
    from nesting.fabric.marker import Marker, Placement
    from nesting.fabric.notions import NotionPurchase
    from nesting.fabric.plans import (
        Alternative,
        ComparedCloth,
        ComparedLay,
        Comparison,
        Ended,
        FabricPlan,
        FewerJoins,
        Plan,
        Purchase,
        Remnant,
        Saving,
    )
    from nesting.order.model import Order
    from nesting.order.read import example_order, read_order
    from nesting.output.paper.tiling import Paper
    from nesting.output.place import Place
    from nesting.output.write import write_comparison, write_plan
    from nesting.planning.comparer import compare
    from nesting.planning.planner import plan
    from nesting.search.options import SearchOptions
    from nesting.search.state import PlanState, Watch
    from nesting.solver.stop import (
        FirstOf,
        NoImprovement,
        Rounds,
        Seconds,
        Stop,
        StopToken,
        UntilUnlikely,
    )
    from pieces.errors import (
        CannotFit,
        Fault,
        Faults,
        MetrageError,
        OrderFault,
        OutputFault,
        OwnFailure,
    )
    from pieces.notions import Notion, Sold
    from pieces.piece import Finding, GrainRule, How, Piece, SeamCheck, Sewing, Stage, Step
    from pieces.units import Unit

_HOMES = {
    name: module
    for module, names in {
        "nesting.batch.outcome": "Batch Bought Outcome",
        "nesting.batch.run": "plan_folder",
        "nesting.fabric.costing": "Costing CutterMinutes Done Handling",
        "nesting.fabric.fabric": "Bolt Border Edge Fabric Faces LayName Nap Price Repeat",
        "nesting.fabric.marker": "Marker Placement",
        "nesting.fabric.notions": "NotionPurchase",
        "nesting.fabric.plans": (
            "Alternative ComparedCloth ComparedLay Comparison Ended FabricPlan "
            "FewerJoins Plan Purchase Remnant Saving"
        ),
        "nesting.order.model": "Order",
        "nesting.order.read": "example_order read_order",
        "nesting.output.paper.tiling": "Paper",
        "nesting.output.place": "Place",
        "nesting.output.write": "write_comparison write_plan",
        "nesting.planning.comparer": "compare",
        "nesting.planning.planner": "plan",
        "nesting.search.options": "SearchOptions",
        "nesting.search.state": "PlanState Watch",
        "nesting.solver.stop": "FirstOf NoImprovement Rounds Seconds Stop StopToken UntilUnlikely",
        "pieces.errors": "CannotFit Fault Faults MetrageError OrderFault OutputFault OwnFailure",
        "pieces.notions": "Notion Sold",
        "pieces.piece": "Finding GrainRule How Piece SeamCheck Sewing Stage Step",
        "pieces.units": "Unit",
    }.items()
    for name in names.split()
}

__all__ = [
    "Alternative",
    "Batch",
    "Bolt",
    "Border",
    "Bought",
    "CannotFit",
    "ComparedCloth",
    "ComparedLay",
    "Comparison",
    "Costing",
    "CutterMinutes",
    "Done",
    "Edge",
    "Ended",
    "Fabric",
    "FabricPlan",
    "Faces",
    "Fault",
    "Faults",
    "FewerJoins",
    "Finding",
    "FirstOf",
    "GrainRule",
    "Handling",
    "How",
    "LayName",
    "Marker",
    "MetrageError",
    "Nap",
    "NoImprovement",
    "Notion",
    "NotionPurchase",
    "Order",
    "OrderFault",
    "Outcome",
    "OutputFault",
    "OwnFailure",
    "Paper",
    "Piece",
    "Place",
    "Placement",
    "Plan",
    "PlanState",
    "Price",
    "Purchase",
    "Remnant",
    "Repeat",
    "Rounds",
    "Saving",
    "SeamCheck",
    "SearchOptions",
    "Seconds",
    "Sewing",
    "Sold",
    "Stage",
    "Step",
    "Stop",
    "StopToken",
    "Unit",
    "UntilUnlikely",
    "Watch",
    "compare",
    "example_order",
    "plan",
    "plan_folder",
    "read_order",
    "write_comparison",
    "write_plan",
]


def __getattr__(name: str) -> Any:
    """What is called so, from the module where it lives."""
    if name in _HOMES:
        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module 'nesting' has no attribute {name!r}")
