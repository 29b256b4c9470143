"""How a search is watched: a function called at every improvement and about twice a second."""

from __future__ import annotations

from collections.abc import Callable

from nesting.solver.stop import State

Watch = Callable[[State], None]


def ignore(_: State) -> None:
    """Watch nothing."""
