"""What the book of bolts and remnants means to an order, and what a plan leaves. Millimetres."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from nesting.fabric.fabric import Bolt, Fabric, LayName
from nesting.fabric.figures import is_useful
from nesting.fabric.flaws import drawn_out
from nesting.fabric.in_hand import cloth_of, room_mm
from nesting.fabric.plans import FabricPlan, Plan
from nesting.order.faults import joined
from nesting.order.model import Order
from nesting.stock.book import Entry
from pieces.errors import Fault, OrderFault
from pieces.piece import Outline


def with_stock(order: Order, held: Sequence[Entry]) -> Order:
    """The order, with what is held of each of its cloths in hand beside its own.

    What is too narrow to cut from is left out.

    Raises
    ------
    OrderFault : a length in the order is called as one in the book
    """
    fabrics, faults = {}, []
    for name, fabric in order.fabrics.items():
        found = [e.bolt for e in held if e.fabric == name and _is_wide_enough(fabric, e.bolt)]
        own = {bolt.name for bolt in fabric.in_hand}
        faults += [
            Fault(
                order.source,
                joined("fabric", name, "in_hand"),
                f"'{bolt.name}' is also the name of a length in the book.",
                "Give the one in the order another name.",
            )
            for bolt in found
            if bolt.name in own
        ]
        fabrics[name] = replace(fabric, in_hand=(*fabric.in_hand, *found))
    if faults:
        raise OrderFault(faults)
    return replace(order, fabrics=fabrics)


def cut_of(plan: Plan, held: Sequence[Entry]) -> tuple[tuple[Entry, ...], tuple[Entry, ...]]:
    """What a plan takes of the entries, and what is left of all cloth once it is cut.

    What is left of lengths in the order and of what is bought is cloth too.
    """
    known = {(entry.fabric, entry.bolt): entry for entry in held}
    taken, left = [], []
    for made in plan.fabrics:
        entry = None if made.bolt is None else known.get((made.fabric.name, made.bolt))
        taken += [] if entry is None else [entry]
        origin = _origin(plan, made, entry)
        left += [Entry(made.fabric.name, bolt, origin) for bolt in left_of(made)]
    return tuple(taken), tuple(left)


def _origin(plan: Plan, made: FabricPlan, entry: Entry | None) -> str:
    if made.bolt is None:
        return f"bought for {plan.order}"
    return f"left of {made.bolt.name}" + ("" if entry else f" ({plan.order})")


def left_of(made: FabricPlan) -> tuple[Bolt, ...]:
    """What is left of a length: its end past the marker, cut off whole, and useful rectangles.

    The end keeps its selvedges and its flaws, which are counted from its own cut end. Rectangles
    have neither: they are as wide as they are, with whatever selvedge they touch left out.
    """
    fabric, marker = made.fabric, made.marker
    bolt = made.bolt or Bolt("", made.purchase.length_mm, fabric.width_mm)
    washed = bolt.washed or fabric.shrinkage_length > 0 or fabric.shrinkage_width > 0
    end = Bolt(
        "",
        room_mm(fabric, bolt.length_mm) - marker.length_mm,
        fabric.washed_width_mm,
        washed,
        _flaws_past(fabric, marker.length_mm),
        None if bolt.selvedge_mm is None else fabric.washed_selvedge_mm,
    )
    folded = marker.lay is LayName.LENGTHWISE_FOLD and marker.opened_from_mm is None
    found = [end]
    for one in made.remnants:
        length_mm = min(one.length_mm, marker.table_length_mm - one.x_mm)
        # Along the fold both layers hang together.
        unfolds = folded and one.y_mm < 0.01
        width_mm, count = (2 * one.width_mm, 1) if unfolds else (one.width_mm, one.layers)
        found += [Bolt("", length_mm, width_mm, washed, selvedge_mm=0.0)] * count
    return tuple(bolt for bolt in found if is_useful(bolt.length_mm, bolt.width_mm))


def _flaws_past(fabric: Fabric, cut_mm: float) -> tuple[Outline, ...]:
    """The flaws that reach past a cut across washed cloth, counted from there.

    Where up to a repeat was cut off at its beginning, each as long as where it may lie.
    """
    along, across = 1 - fabric.shrinkage_length, 1 - fabric.shrinkage_width
    moved = [
        drawn_out(
            tuple((x * along - cut_mm, y * across) for x, y in flaw), fabric.before_motif_mm * along
        )
        for flaw in fabric.flaws
    ]
    return tuple(flaw for flaw in moved if max(x for x, _ in flaw) > 0)


def _is_wide_enough(fabric: Fabric, bolt: Bolt) -> bool:
    return cloth_of(fabric, bolt).usable_width_mm > 2 * fabric.edge_gap_mm
