"""What walkers found in parts of a long strip, put together."""

import numpy as np

from nesting.solver.instance import Instance, Item, Layout
from nesting.solver.search.combine import combined
from nesting.solver.search.prepared import Prepared
from tests.nesting.solver.solver_shapes import way
from tests.nesting.solver.test_search import SQUARE, WIDTH, faults


def test_what_was_found_in_two_stretches_goes_together() -> None:
    """Squares in a row with gaps; one layout closes the second, one the fourth with a turn."""
    item = Item(0, (way(SQUARE, WIDTH), way(SQUARE + 7, WIDTH)))
    prepared = Prepared(Instance(WIDTH, (item,) * 6))
    place, none = np.arange(6), np.zeros(6, dtype=np.int64)
    base = Layout(none, np.column_stack([600_000 * place, none]))
    one = Layout(none, base.xy - np.outer(place >= 2, (100_000, 0)))
    turned = np.where(place == 4, 1, 0)
    other = Layout(turned, base.xy - np.outer(place >= 4, (60_000, 0)) - np.outer(turned, (7, 0)))
    both = combined(prepared, base, one, other)
    assert both is not None
    assert faults(prepared.instance, both) == []
    assert prepared.length(both) == prepared.length(base) - 160_000
    assert both.orientation.tolist() == turned.tolist()
    assert combined(prepared, base, one, one) is None
    assert combined(prepared, base, other, other) is None
