"""Where an order is searched, with every kernel at hand that it needs before a budget begins."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Unpack

from nesting.order.model import Order
from nesting.search.options import SearchOptions, asked_by_ctrl_c
from nesting.solver.stop import StopToken
from pieces.drafting.spec import PartSpec
from pieces.piece import Piece


@contextmanager
def worker_pool(order: Order, **options: Unpack[SearchOptions]) -> Iterator[SearchOptions]:
    """The options with an executor, its processes ready for an order's prints too, and a token.

    Ctrl-C asks the token meanwhile.
    """
    from nesting.solver.workers import workers

    if _is_printed(order):
        from nesting.solver.phased.line import warm_up

        # Forked workers share what is compiled here, and others load it from where it is kept.
        warm_up()
    token = options.get("token") or StopToken()
    with workers(options.get("jobs"), options.get("executor")) as pool, asked_by_ctrl_c(token):
        yield {**options, "executor": pool, "token": token}


def _is_printed(order: Order) -> bool:
    """Whether a print may have to meet anywhere."""
    if not any(one.repeat or one.border for one in order.fabrics.values()):
        return False
    asked: list[PartSpec | Piece] = list(order.pieces)
    asked += [part for garment in order.garments for part in garment.parts]
    return any(one.match or one.motif or one.border for one in asked)
