"""Planning an order in a worker, telling of every better layout."""

from __future__ import annotations

import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from nesting.allocation.item_types import shade_group_of
from nesting.fabric.in_hand import holds
from nesting.fabric.plans import Alternative, FabricPlan, Plan
from nesting.order.model import Order
from nesting.output.files.data import compared_data, fabric_data, placement_data, plan_data
from nesting.output.write import plan_files, write_plan
from nesting.page.table.shapes import shape_data
from nesting.page.table.share import SHARED_FILE, shared_page
from nesting.page.tasks.channel import Record, TaskChannel
from nesting.page.tasks.reading import order_of
from nesting.page.tasks.stored import PLAN_PICKLE, store
from nesting.page.tasks.told import cloth_told, lay_told, notes
from nesting.page.tasks.wording import on_the_page
from nesting.planning.planner import fabric_plan, plan
from nesting.rules.parts import draft_order
from nesting.search.lay_result import LayResult, figures, rank_key
from nesting.search.state import PlanState
from nesting.solver.stop import FirstOf, Rounds, Seconds, Stop, StopToken
from nesting.verify.judge import require_valid
from pieces.units import Unit

_PAUSE_SECONDS = 0.5
"""Between two layouts of a cloth that are shown; the last of a search may wait for the end."""


def plan_order(request: Record, channel: TaskChannel) -> Record:
    """Plan the order of a request within its `seconds`, or `rounds`; see `Job` for what is told."""
    token = StopToken()
    with order_of(request) as order:
        made = plan(
            order,
            _stop(request),
            seed=request.get("seed", 1),
            watch=ProgressReporter(order, channel, token),
            token=token,
        )
    return finish(made, Path(request["folder"]), channel)


def finish(made: Plan, folder: Path, channel: TaskChannel) -> Record:
    """Show a plan that is finished, and make its files; those of one before it go."""
    shown = shown_data(made)
    channel.tell({**shown, "spent": 1.0, "at": "drawing the plans"})
    store(made, folder)
    written = list(write_plan(made, folder))
    written.append(folder / SHARED_FILE)
    written[-1].write_bytes(shared_page(made, on_the_page))
    for path in set(folder.iterdir()) - {*written, folder / PLAN_PICKLE}:
        path.unlink()  # pages at true size, which were of another layout
    return {**shown, "files": sorted(path.name for path in written)}


def shown_data(made: Plan) -> Record:
    """A plan as plan.json has it, and the marker of every lay that was tried."""
    files = plan_files(made)
    cloths = [cloth_data(entry, files[entry.title], made.unit) for entry in made.fabrics]
    lays = {
        entry.title: [
            _lay(one) | {"told": lay_told(one, entry.bolt, made.unit)} for one in entry.alternatives
        ]
        for entry in made.fabrics
    }
    plan = plan_data(made, files) | {"fabrics": cloths, "notes": notes(made)}
    return {"plan": plan, "lays": lays, "cloths": [entry.title for entry in made.fabrics]}


def cloth_data(entry: FabricPlan, files: Mapping[str, str], unit: Unit) -> Record:
    """One cloth as plan.json has it, with the shape of its lay, and what is said of it."""
    shape, told = shape_data(entry.marker, entry.fabric), cloth_told(entry, unit)
    return fabric_data(entry, files) | {"shape": shape, "told": told}


def _lay(one: Alternative) -> Record:
    """A lay that was tried: its figures, and where its pieces lie."""
    marker = one.marker
    return {
        **compared_data(one.figures),
        "table_length_mm": round(marker.table_length_mm, 6),
        "shape": shape_data(marker, one.fabric),
        "placements": [placement_data(placement) for placement in marker.placements],
    }


def _stop(request: Record) -> Stop:
    seconds = Seconds(float(request.get("seconds", 20.0)))
    rounds = request.get("rounds")
    return seconds if rounds is None else FirstOf(Rounds(rounds), seconds)


class ProgressReporter:
    """Watches a plan being made: shows the best layout of each cloth, checked, as it comes.

    Sets of garments that are tried on cloth in hand are not shown, as they are not the plan's.
    """

    def __init__(self, order: Order, channel: TaskChannel, token: StopToken) -> None:
        self._channel, self._token = channel, token
        self._unit = order.unit
        draft = draft_order(order)
        self._whole = {
            name: {shade_group_of(*piece.key) for piece in draft.pieces if piece.fabric == name}
            for name in order.fabrics
        }
        self._naps = {name: fabric.nap for name, fabric in order.fabrics.items()}
        self._in_hand = {name for name, fabric in order.fabrics.items() if fabric.in_hand}
        self._best: dict[str, tuple[float, ...]] = {}
        self._told: dict[str, float] = {}
        names = [name for name, pieces in self._whole.items() if pieces]
        empty = Plan(
            order.name, order.unit, 1, 0.0, (), draft.pieces, draft.seam_checks, draft.findings, ()
        )
        begun = plan_data(empty, {}) | {"notes": notes(empty)}
        channel.tell({"unit": order.unit.value, "cloths": names, "plan": begun})

    def __call__(self, state: PlanState) -> None:
        """Tell of a state; ask the token when the page asks to stop."""
        told: Record = {"spent": state.spent, "at": f"{state.fabric}, {state.lay.words}"}
        if time.monotonic() - self._told.get(state.fabric, -1e9) >= _PAUSE_SECONDS:
            better = self._better(state)
            if better is not None:
                told["fabric"] = better
        self._channel.tell(told)
        if self._channel.stop_asked():
            self._token.ask()

    def _better(self, state: PlanState) -> dict[str, Any] | None:
        """The cloth's plan with this layout, if it is better than what was shown."""
        # What is first searched under a stricter nap is not the cloth's own plan either.
        if state.layout is None or state.packing.fabric.nap is not self._naps[state.fabric]:
            return None
        if state.tried and state.fabric in self._in_hand:
            return None
        marker = state.packing.marker(state.layout)
        pieces = tuple(dict.fromkeys(cut.piece for cut in state.packing.cuts))
        lay_result = LayResult(state.packing, state.layout, marker, pieces, 0.0)
        if {shade_group_of(*piece.key) for piece in pieces} != self._whole[state.fabric]:
            return None
        if state.bolt and not holds(state.packing.fabric, state.bolt, marker.length_mm):
            return None
        if rank_key(lay_result) >= self._best.get(state.fabric, (float("inf"),)):
            return None
        require_valid(state.packing.fabric, pieces, marker)
        self._best[state.fabric] = rank_key(lay_result)
        self._told[state.fabric] = time.monotonic()
        shown = Alternative(state.packing.fabric, marker, figures(lay_result), pieces)
        found = cloth_data(fabric_plan([shown], shown, state.bolt), {}, self._unit)
        return found | {"title": state.fabric}  # under which it was announced
