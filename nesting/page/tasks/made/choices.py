"""Another lay or width for a cloth of a plan that is made: shown side by side, then picked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from nesting.allocation.item_types import ShadeGroup, shade_group_of
from nesting.fabric.in_hand import holds
from nesting.fabric.plans import Alternative, FabricPlan, Plan
from nesting.page.tasks.channel import Record, TaskChannel
from nesting.page.tasks.planning import finish
from nesting.page.tasks.reading import order_of
from nesting.page.tasks.stored import stored
from nesting.planning.comparer import compare, widths_mm
from nesting.planning.planner import fabric_plan
from nesting.search.state import PlanState
from nesting.solver.stop import Seconds, StopToken
from pieces.errors import Fault, OrderFault
from pieces.piece import Piece

_SECONDS = 10.0


def pick(request: Record, channel: TaskChannel) -> Record:
    """Cut a `cloth` of the job's plan as its lay of that `number`, from 0; see `Job.lays`."""
    folder = Path(request["folder"])
    made = stored(folder)
    entry = entry_of(made, request.get("cloth"))
    number = request.get("number")
    if not isinstance(number, int) or not 0 <= number < len(entry.alternatives):
        raise gone("")
    return finish(with_entry(made, cut_as(entry, entry.alternatives[number])), folder, channel)


def more_widths(request: Record, channel: TaskChannel) -> Record:
    """Lay out a `cloth` of the job's plan at other `widths`, texts, beside those tried."""
    folder = Path(request["folder"])
    made = stored(folder)
    entry = entry_of(made, request.get("cloth"))
    texts = request.get("widths")
    if not isinstance(texts, list) or not all(isinstance(text, str) for text in texts):
        raise gone("widths")

    token = StopToken()

    def watch(state: PlanState) -> None:
        channel.tell({"spent": state.spent, "at": f"{state.fabric}, {state.lay.words}"})
        if channel.stop_asked():
            token.ask()

    with order_of(request) as order:
        name = entry.fabric.name
        own = replace(order, fabrics={name: replace(order.fabrics[name], in_hand=())})
        wide_mm = widths_mm(own, texts)
        stop = Seconds(float(request.get("seconds") or _SECONDS))
        found = compare(own, stop, widths_mm=wide_mm, watch=watch, token=token).cloths[0]
    if entry.bolt is not None or _lots(found.pieces) != _lots(entry.pieces):
        message = "Part of this is cut from cloth in hand, whose width is given."
        remedy = "Take the cloth in hand out of the order to compare widths."
        raise OrderFault([Fault("", "", message, remedy)])
    return finish(with_entry(made, _beside(entry, found.alternatives)), folder, channel)


def entry_of(made: Plan, title: object) -> FabricPlan:
    """The cloth of that title.

    Raises
    ------
    OrderFault : the plan has none
    """
    for entry in made.fabrics:
        if entry.title == title:
            return entry
    raise gone("cloth")


def gone(key: str) -> OrderFault:
    """What to say of a request that does not fit the plan."""
    message = "What was asked for is not in this plan."
    return OrderFault([Fault("", key, message, "Load the page anew and try again.")])


def cut_as(entry: FabricPlan, chosen: Alternative) -> FabricPlan:
    """The cloth cut as one of its alternatives; bounds are those of its width."""
    width_mm = chosen.fabric.width_mm
    same = [one for one in entry.alternatives if one.fabric.width_mm == width_mm]
    bolt = entry.bolt
    if bolt is not None and not holds(chosen.fabric, bolt, chosen.marker.length_mm):
        message = f"So laid, the pieces find no room on {bolt.name}."
        raise OrderFault([Fault("", "", message, "Take a lay that is shorter.")])
    return _with_all(fabric_plan(same, chosen, bolt), entry.alternatives)


def _beside(entry: FabricPlan, others: Sequence[Alternative]) -> FabricPlan:
    """The cloth with more alternatives, the shorter where both have a lay at a width."""
    best = {(one.fabric.width_mm, one.marker.lay): one for one in entry.alternatives}
    for one in others:
        key = one.fabric.width_mm, one.marker.lay
        known = best.get(key)
        if known is None or one.marker.length_mm < known.marker.length_mm:
            best[key] = one
    return _with_all(entry, tuple(best[key] for key in sorted(best)))


def _lots(pieces: Sequence[Piece]) -> set[ShadeGroup]:
    """Whose pieces they are: strips may be cut otherwise."""
    return {shade_group_of(*piece.key) for piece in pieces}


def _with_all(entry: FabricPlan, alternatives: Sequence[Alternative]) -> FabricPlan:
    compared = tuple(one.figures for one in alternatives)
    return replace(entry, alternatives=tuple(alternatives), lays_compared=compared)


def with_entry(made: Plan, entry: FabricPlan) -> Plan:
    """The plan with a cloth's place taken, and its pieces that of its own."""
    fabrics = tuple(entry if one.title == entry.title else one for one in made.fabrics)
    gone = {piece for one in made.fabrics if one.title == entry.title for piece in one.pieces}
    if gone == set(entry.pieces):
        return replace(made, fabrics=fabrics)
    kept = tuple(piece for piece in made.pieces if piece not in gone)
    return replace(made, fabrics=fabrics, pieces=kept + entry.pieces)
