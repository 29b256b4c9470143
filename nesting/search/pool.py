"""Where an order is searched, with every kernel at hand that it needs before a budget begins."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager

from nesting.order.model import Order
from pieces.drafting.spec import PartSpec
from pieces.piece import Piece


@contextmanager
def worker_pool(
    order: Order, jobs: int | None, executor: Executor | None
) -> Iterator[Executor | None]:
    """As `solver.workers.workers`, its processes ready for an order's prints too."""
    from nesting.solver.workers import workers

    if _is_printed(order):
        from nesting.solver.phased.line import warm_up

        # Forked workers share what is compiled here, and others load it from where it is kept.
        warm_up()
    with workers(jobs, executor) as pool:
        yield pool


def _is_printed(order: Order) -> bool:
    """Whether a print may have to meet anywhere."""
    if not any(one.repeat or one.border for one in order.fabrics.values()):
        return False
    asked: list[PartSpec | Piece] = list(order.pieces)
    asked += [part for garment in order.garments for part in garment.parts]
    return any(one.match or one.motif or one.border for one in asked)
