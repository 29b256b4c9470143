"""No circle among modules; the contracts in pyproject.toml hold the same of rooms."""

from __future__ import annotations

from graphlib import TopologicalSorter

import grimp

import nesting
from pieces.drafting.registry import DRAFTS


def test_nothing_imports_in_a_circle_not_even_by_name() -> None:
    """Late imports count, those for types, and the drafts that the registry finds by itself."""
    graph = grimp.build_graph("pieces", "nesting", cache_dir=None)
    imports = {one: set(graph.find_modules_directly_imported_by(one)) for one in graph.modules}
    imports["pieces.drafting.registry"] |= {kind.options.__module__ for kind in DRAFTS.values()}
    imports["nesting"] |= set(nesting._HOMES.values())
    assert len(list(TopologicalSorter(imports).static_order())) == len(graph.modules)
