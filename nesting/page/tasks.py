"""What a worker process can be asked for, by name."""

from __future__ import annotations

from nesting.page.catalogue import catalogue
from nesting.page.choices import more_widths, pick
from nesting.page.cutting import cutting, print_tiles
from nesting.page.hand_made import change_over, check, finish_round, keep
from nesting.page.layout import layout
from nesting.page.pictures import pictures
from nesting.page.planning import plan_order
from nesting.page.reading import example, look
from nesting.page.worker import Task

TASKS: dict[str, Task] = {
    "catalogue": catalogue,
    "change-over": change_over,
    "check": check,
    "cutting": cutting,
    "example": example,
    "finish-round": finish_round,
    "keep": keep,
    "layout": layout,
    "look": look,
    "pick": pick,
    "pictures": pictures,
    "plan": plan_order,
    "print": print_tiles,
    "widths": more_widths,
}


def warm_up(search: bool) -> None:
    """Load what every task needs, before the first one comes; and compile the search."""
    import pieces.importers.read  # noqa: F401
    from nesting.solver.search import warm_up as compile_kernels

    if search:
        compile_kernels()
