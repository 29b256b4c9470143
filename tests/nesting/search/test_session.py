"""Cloths searched together: what each has had, and which lay wins in the end."""

from __future__ import annotations

import pytest

from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.plans import Ended
from nesting.order.model import Order
from nesting.planning.planner import plan
from nesting.search.candidate import Straight
from nesting.search.clock import Clock
from nesting.search.problem_builder import problems_for
from nesting.search.session import Session
from nesting.solver.search.line import any_shorter
from nesting.solver.stop import FirstOf, Rounds, Seconds, UntilUnlikely
from pieces.piece import Outline, Piece
from pieces.units import Unit

LENGTHWISE = (LayName.OPEN, LayName.LENGTHWISE_FOLD)
GRAIN = ((0.0, 0.0), (10.0, 0.0))
KITE: Outline = ((0.0, 0.0), (300.0, 40.0), (260.0, 220.0), (30.0, 170.0))
BOX: Outline = ((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0))


def order_of(*pieces: Piece, **cloth: object) -> Order:
    names = dict.fromkeys(piece.fabric for piece in pieces)
    cloths = {name: Fabric(name, 1000.0, **cloth) for name in names}  # type: ignore[arg-type]
    return Order("test", "test.toml", Unit.CM, cloths, (), pieces)


def kites(*fabrics: str) -> tuple[Piece, ...]:
    return tuple(
        Piece(f"{name} kite", name, KITE, GRAIN, cut=4 + n) for n, name in enumerate(fabrics)
    )


def many(fabric: str, kinds: int = 9) -> tuple[Piece, ...]:
    """Pieces of many kinds, whose bound is far below what can be reached."""
    shapes = [tuple((x * (1 + n / 9), y * (1.3 - n / 9)) for x, y in KITE) for n in range(kinds)]
    return tuple(Piece(f"kite {n}", fabric, one, GRAIN, cut=2) for n, one in enumerate(shapes))


@pytest.mark.long
def test_every_cloth_has_its_rounds_on_the_freest_lay() -> None:
    order = order_of(*kites("lawn", "net", "silk"))
    session = Session(Clock(Rounds(20)))
    cloths = [session.cloth(problem) for problem in problems_for(order, order.pieces, None)]
    session.search(cloths)
    for cloth in cloths:
        freest = cloth.leading.freest
        assert isinstance(freest, Straight)
        assert freest.lay is LayName.OPEN
        assert freest.line.rounds == 20 or freest.line.is_settled()
        assert cloth.is_done()


def test_a_folded_lay_wins_where_it_buys_as_much_in_fewer_outlines() -> None:
    """Four pairs of boxes on cloth sold by the metre: half of the outlines on a fold."""
    pairs = Piece("box", "lawn", BOX, GRAIN, cut=4, pair=True)
    made = plan(order_of(pairs, sold_by_mm=1000.0, lays=LENGTHWISE), Seconds(3), jobs=1)
    (found,) = made.fabrics
    assert found.marker.lay is not LayName.OPEN
    assert found.cut_outlines == 4
    assert found.purchase.length_mm == 1000.0


def test_a_folded_lay_can_not_win_where_it_buys_more() -> None:
    """Five single boxes side by side in 30 cm; a fold cuts each twice and takes twice as much."""
    single = Piece("box", "lawn", BOX, GRAIN, cut=5)
    made = plan(order_of(single, sold_by_mm=100.0, lays=LENGTHWISE), Seconds(3), jobs=1)
    (found,) = made.fabrics
    assert found.marker.lay is LayName.OPEN
    assert found.purchase.length_mm == 300.0
    assert found.proven_least
    assert made.ended is Ended.SETTLED


@pytest.mark.parametrize(
    ("stop", "ended"),
    [
        (Rounds(2), Ended.LIMIT),
        (Seconds(0.5), Ended.LIMIT),
        (FirstOf(Seconds(0.5), Rounds(10**6)), Ended.LIMIT),
        pytest.param(UntilUnlikely(), Ended.UNLIKELY, marks=pytest.mark.long),
    ],
)
def test_a_plan_says_why_its_search_ended(stop: Seconds | Rounds, ended: Ended) -> None:
    made = plan(order_of(*many("lawn", 5), lays=(LayName.OPEN,)), stop, jobs=1)
    assert made.ended is ended


@pytest.mark.long
def test_a_watcher_is_told_what_each_cloth_buys_so_far() -> None:
    seen = []
    plan(order_of(*kites("lawn", "net"), sold_by_mm=100.0), Rounds(3), jobs=1, watch=seen.append)
    assert {state.fabric for state in seen} == {"lawn", "net"}
    assert all(state.bought.startswith("0.") for state in seen)
    for name in ("lawn", "net"):
        lengths = [state.length_mm for state in seen if state.fabric == name]
        assert lengths == sorted(lengths, reverse=True)


@pytest.mark.long
def test_walkers_that_are_not_in_step_are_gathered_as_they_come() -> None:
    """Two at once all the time, as where one cloth is searched on two processes."""
    problem = problems_for(order_of(*many("lawn")), many("lawn"), None)[0]
    clock = Clock(Seconds(60))
    one = Straight(problem, problem.packings[-1], 1, any_shorter)

    def done() -> object:
        work = one.take(clock)
        one.busy += 1
        return work.function(*work.args)

    def put(found: object) -> None:
        one.busy -= 1
        one.put(found)

    while one.line.alone:
        put(done())
    begun = [done()]
    for _ in range(6):
        begun.append(done())
        put(begun.pop(0))
    assert one.line.rounds > 0
    assert one.line.walkers == 2
