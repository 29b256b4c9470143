"""What an order comes to, roughly, while it is still being written."""

from __future__ import annotations

from nesting.output import words
from nesting.page.tasks.channel import Record, TaskChannel
from nesting.page.tasks.reading import order_of
from nesting.planning.planner import plan
from nesting.search.state import PlanState
from nesting.solver.stop import Seconds, StopToken

_SECONDS = 1.2
"""To search once there are first layouts; the page waits no longer for a figure that is rough."""


def estimate(request: Record, channel: TaskChannel) -> Record:
    """What to buy of each cloth by layouts that were hardly searched: `cloths`, and in `totals`.

    A layout that was searched for longer takes as much or less. One that is asked to stop ends
    with what it has.
    """
    token = StopToken()

    def watch(_: PlanState) -> None:
        if channel.stop_asked():
            token.ask()

    with order_of(request) as order:
        made = plan(order, Seconds(_SECONDS), jobs=1, watch=watch, token=token)
    return {
        "cloths": [
            {
                "name": entry.fabric.name,
                "buy": entry.purchase.text,
                "cost": words.cost(entry.fabric, entry.purchase),
            }
            for entry in made.bought
        ],
        "totals": [words.money(cost, currency) for currency, cost in made.cloth_totals.items()],
    }
