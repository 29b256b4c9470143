"""What a worker process can be asked for, by name."""

from __future__ import annotations

from nesting.page.tasks.books import note_measures
from nesting.page.tasks.catalogue import catalogue
from nesting.page.tasks.channel import Task
from nesting.page.tasks.estimate import estimate
from nesting.page.tasks.made.choices import more_widths, pick
from nesting.page.tasks.made.cutting import cutting, for_client, print_tiles
from nesting.page.tasks.made.hand_made import change_over, check, finish_round, keep
from nesting.page.tasks.made.layout import layout
from nesting.page.tasks.made.marks import corners
from nesting.page.tasks.made.paper import sheet, sizes, trace_photos
from nesting.page.tasks.pictures import pictures
from nesting.page.tasks.planning import plan_order
from nesting.page.tasks.reading import example, look

TASKS: dict[str, Task] = {
    "catalogue": catalogue,
    "change-over": change_over,
    "check": check,
    "client": for_client,
    "corners": corners,
    "cutting": cutting,
    "estimate": estimate,
    "example": example,
    "finish-round": finish_round,
    "keep": keep,
    "layout": layout,
    "look": look,
    "note-measures": note_measures,
    "pick": pick,
    "pictures": pictures,
    "plan": plan_order,
    "print": print_tiles,
    "sheet": sheet,
    "sizes": sizes,
    "trace": trace_photos,
    "widths": more_widths,
}


_ANY_ORDER = """
units = "cm"
fabric.any = { width = 150, price = 1, currency = "EUR" }
[[garment]]
name = "any"
size = "4 years"
part = [{ draft = "bodice", fabric = "any" }, { draft = "tier", fabric = "any", depth = 9 }]
"""


def warm_up(search: bool) -> None:
    """Load what every task needs, before the first one comes; compile the search.

    What is loaded late, as drafts are, would keep the first layouts of whoever waits for them.
    """
    import scipy.ndimage  # noqa: F401

    import pieces.ready  # noqa: F401
    from nesting.order.read import order_from_text
    from nesting.rules.parts import draft_order
    from nesting.solver.solve import warm_up as compile_kernels

    draft_order(order_from_text(_ANY_ORDER, "any order"))
    if search:
        compile_kernels()
