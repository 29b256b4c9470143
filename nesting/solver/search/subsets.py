"""How long a first layout of some of an instance's items is: quick, to compare choices by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from nesting.solver.instance import Instance, IntArray, is_searched
from nesting.solver.overlap import columns as at
from nesting.solver.search.construct import columns, layout_in_order, orders
from nesting.solver.search.prepared import Prepared

_LINES = 30
_ORDERS = 2
_MOST = 150
"""Items that are placed one by one, which takes some tenths of a second; more lie in columns."""


class Subsets:
    """First layouts of parts of one instance, whose no-fit polygons serve for all of them."""

    def __init__(self, instance: Instance) -> None:
        self._instance = instance
        kinds = np.unique([item.kind for item in instance.items], return_inverse=True)[1]
        self._kinds = kinds.ravel()
        self._prepared: Prepared | None = None
        if len(instance.items) <= _MOST and is_searched(instance):
            self._prepared = Prepared(instance)
            self._orders = orders(self._prepared)[:_ORDERS]
        self._known: dict[tuple[int, ...], int] = {}

    def length(self, items: Sequence[int]) -> int:
        """The length of the best of a few layouts of the items with these indices, in units.

        >>> from nesting.solver.instance import Item, Orientation
        >>> square = np.array([[0, 0], [600, 0], [600, 600], [0, 600]])
        >>> item = Item(0, (Orientation(square, x_low=0, x_reach=600, y_ranges=((0, 400),)),))
        >>> Subsets(Instance(1000, (item,) * 3)).length([0, 2])
        1200
        """
        wanted = np.asarray(sorted(items), dtype=np.int64)
        if not len(wanted):
            return 0
        # Alike items give alike layouts.
        key = tuple(np.sort(self._kinds[wanted]).tolist())
        if key not in self._known:
            self._known[key] = self._least(wanted)
        return self._known[key]

    def _least(self, wanted: IntArray) -> int:
        if self._prepared is None:
            some = replace(self._instance, items=tuple(self._instance.items[i] for i in wanted))
            return some.length(columns(some))
        return min(self._one(self._prepared, order, wanted) for order in self._orders)

    def _one(self, prepared: Prepared, order: IntArray, wanted: IntArray) -> int:
        layout = layout_in_order(prepared, order[np.isin(order, wanted)], _LINES)
        own = prepared.shapes[prepared.first + layout.orientation]
        reach = own[:, at.X_REACH].astype(np.int64)
        return int((layout.xy[wanted, 0] + reach[wanted]).max())
