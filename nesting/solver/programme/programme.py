"""The linear programme of items that move at once and of the length they leave."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from nesting.solver.instance import IntArray

FloatArray = NDArray[np.float64]

_LEFTWARD_COST = 1e-4
"""Cost of an item's move along the strip, beside 1 for overlap: what keeps items moving towards
its beginning that don't bear on the length yet."""


@dataclass(frozen=True, slots=True, eq=False)
class Contacts:
    """Half-planes between items: the move of `second` less that of `first`, times `normal`, is
    to be `least` or more. `first` is -1 where the second lies beside something fixed.
    """

    first: IntArray
    second: IntArray
    normal: FloatArray
    least: FloatArray


def best_moves(
    low: FloatArray,
    high: FloatArray,
    contacts: Contacts,
    behind: FloatArray,
    length_cost: float,
    growth: tuple[float, float],
    joint: Sequence[tuple[int, IntArray]] = (),
) -> FloatArray | None:
    """Moves (n, 2) from `low` to `high` that cost least, or None if there are none.

    `behind` is how far (n,) each item lies behind the one that makes the length; the length
    grows by no less and no more than `growth`, at `length_cost` for each unit. A contact with
    `least` above 0, an overlap, may be left unkept at a cost of 1 for each unit, any other may
    not. Items that are `joint` on an axis, 0 along the strip, all move alike there. Numbers
    should be around 1.
    """
    from ortools.linear_solver.python.model_builder_helper import (
        ModelBuilderHelper,
        ModelSolverHelper,
        SolveStatus,
    )
    from scipy.sparse import csr_matrix

    items, planes = len(low), len(contacts.least)
    unkept = np.flatnonzero(contacts.least > 0)
    # Columns: the growth, the moves along, the moves across, what stays unkept.
    moves = 1 + np.arange(2 * items).reshape(2, items)
    slack = 1 + 2 * items + np.arange(len(unkept))
    lower = np.concatenate([[growth[0]], low.T.ravel(), np.zeros(len(unkept))])
    upper = np.concatenate([[growth[1]], high.T.ravel(), np.full(len(unkept), np.inf)])
    for axis, members in joint:
        moves[axis, members] = lead = moves[axis, members[0]]
        lower[lead], upper[lead] = low[members, axis].max(), high[members, axis].min()
    cost = np.zeros(1 + 2 * items + len(unkept))
    cost[0], cost[moves[0]], cost[slack] = length_cost, _LEFTWARD_COST, 1.0
    item, plane = np.arange(items), items + np.arange(planes)
    beside = contacts.first >= 0
    first = contacts.first[beside]
    (x, y), one = contacts.normal.T, np.ones(items)
    # Entries of one place are summed: a half-plane between two that move alike is none.
    entries = [
        (item, np.zeros(items), one),
        (item, moves[0], -one),
        (plane, moves[0, contacts.second], x),
        (plane, moves[1, contacts.second], y),
        (plane[beside], moves[0, first], -x[beside]),
        (plane[beside], moves[1, first], -y[beside]),
        (items + unkept, slack, np.ones(len(unkept))),
    ]
    row, column, value = (np.concatenate(part) for part in zip(*entries, strict=True))
    matrix = csr_matrix((value, (row, column)), shape=(items + planes, len(cost)))
    # Any, as the stubs ask for arrays in a form that none has.
    model: Any = ModelBuilderHelper()
    model.fill_model_from_sparse_data(
        lower,
        upper,
        cost,
        np.concatenate([-behind, contacts.least]),
        np.full(items + planes, np.inf),
        matrix,
    )
    solver = ModelSolverHelper("GLOP")
    solver.solve(model)
    if solver.status() != SolveStatus.OPTIMAL:
        return None
    found = np.asarray(solver.variable_values())
    return found[moves].T
