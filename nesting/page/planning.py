"""Planning an order in a worker, telling of every better layout."""

from __future__ import annotations

import pickle
import time
from pathlib import Path
from typing import Any

from nesting.order import Order
from nesting.output.data import compared_data, fabric_data, placement_data, plan_data
from nesting.output.write import plan_files, write_plan
from nesting.page.reading import order_of
from nesting.page.worker import Line, Record
from nesting.parts import draft_order
from nesting.planner import fabric_plan, plan
from nesting.plans import Alternative, FabricPlan, Plan
from nesting.stop import FirstOf, Rounds, Seconds, Stop
from nesting.trials import PlanState, Trial, figures, worth
from nesting.verify import require_valid
from pieces.piece import Piece

PLAN_PICKLE = "plan.pickle"
_PAUSE_SECONDS = 0.5
"""Between two layouts of a cloth that are shown; the last of a search may wait for the end."""


def plan_order(request: Record, line: Line) -> Record:
    """Plan the order of a request within its `seconds`, or `rounds`; see `Job` for what is told."""
    with order_of(request) as order:
        made = plan(order, _stop(request), seed=request.get("seed", 1), watch=Gallery(order, line))
    return finish(made, Path(request["folder"]), line)


def finish(made: Plan, folder: Path, line: Line) -> Record:
    """Show a plan that is finished, and make its files."""
    shown = shown_data(made)
    line.tell({**shown, "spent": 1.0, "at": "drawing the plans"})
    (folder / PLAN_PICKLE).write_bytes(pickle.dumps(made))
    written = write_plan(made, folder)
    return {**shown, "files": sorted(path.name for path in written)}


def stored(folder: Path) -> Plan:
    """The plan that `finish` left in a job's folder."""
    made: Plan = pickle.loads((folder / PLAN_PICKLE).read_bytes())
    return made


def shown_data(made: Plan) -> Record:
    """A plan as plan.json has it, and the marker of every lay that was tried."""
    lays = {entry.title: lays_data(entry) for entry in made.fabrics}
    return {"plan": plan_data(made, plan_files(made)), "lays": lays}


def lays_data(entry: FabricPlan) -> list[Record]:
    """Each lay of a cloth that was tried: its figures, and where its pieces lie."""
    return [_lay(one) for one in entry.alternatives]


def _lay(one: Alternative) -> Record:
    marker = one.marker
    return {
        **compared_data(one.figures),
        "fold_depth_mm": round(marker.fold_depth_mm, 6),
        "table_length_mm": round(marker.table_length_mm, 6),
        "placements": [placement_data(placement) for placement in marker.placements],
    }


def _stop(request: Record) -> Stop:
    seconds = Seconds(float(request.get("seconds", 20.0)))
    rounds = request.get("rounds")
    return seconds if rounds is None else FirstOf(Rounds(rounds), seconds)


class Gallery:
    """Watches a plan being made: shows the best layout of each cloth, checked, as it comes."""

    def __init__(self, order: Order, line: Line) -> None:
        self._line = line
        self._begun = time.monotonic()
        draft = draft_order(order)
        names = [name for name in order.fabrics if any(p.fabric == name for p in draft.pieces)]
        self._best: dict[str, tuple[float, ...]] = {}
        self._told: dict[str, float] = {}
        empty = Plan(order.name, order.unit, 1, 0.0, (), draft.pieces, draft.seam_checks, (), ())
        line.tell({"plan": {**plan_data(empty, {}), "waiting": names}})

    def __call__(self, state: PlanState) -> None:
        """Tell of a state; KeyboardInterrupt, as Ctrl-C would, when the page asks to stop."""
        told: Record = {"spent": state.spent, "at": f"{state.fabric}, {state.lay.value}"}
        if self._due(state.fabric):
            better = self._better(state)
            if better is not None:
                told["fabric"] = better
        self._line.tell(told)
        if self._line.stop_asked():
            raise KeyboardInterrupt

    def _due(self, fabric: str) -> bool:
        return time.monotonic() - self._told.get(fabric, -1e9) >= _PAUSE_SECONDS

    def _better(self, state: PlanState) -> dict[str, Any] | None:
        """The cloth's plan with this layout, if it is better than what was shown."""
        marker = state.packing.marker(state.layout)
        trial = Trial(state.packing, state.layout, marker, 0.0)
        if worth(trial) >= self._best.get(state.fabric, (float("inf"),)):
            return None
        pieces = _pieces(trial)
        require_valid(state.packing.fabric, pieces, marker)
        self._best[state.fabric] = worth(trial)
        self._told[state.fabric] = time.monotonic()
        shown = Alternative(state.packing.fabric, marker, figures(trial, pieces))
        return fabric_data(fabric_plan(pieces, [shown], shown), {})


def _pieces(trial: Trial) -> tuple[Piece, ...]:
    return tuple(dict.fromkeys(cut.piece for cut in trial.packing.cuts))
