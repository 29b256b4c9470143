"""What is searched next: made-up candidates whose gains are known."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

import pytest

from nesting.fabric.fabric import Fabric, LayName, Price
from nesting.search.decide import next_by_worth, seconds_enough
from nesting.search.effort import Effort
from nesting.search.way import saving_mm

CHEAP, DEAR = (Price(Decimal(amount), "EUR", 1000.0) for amount in (4, 20))


@dataclass(eq=False)
class FabricProblem:
    fabric: Fabric


@dataclass(eq=False)
class Packing:
    fabric: Fabric


@dataclass(eq=False)
class Candidate:
    """As the real ones, with what is known of it given."""

    problem: FabricProblem
    length_mm: float
    effort: Effort
    bound_mm: float = 0.0
    lay: LayName = LayName.OPEN
    outlines: int = 10
    busy: int = 0
    settled: bool = False

    @property
    def outlook_mm(self) -> float:
        return self.length_mm

    @property
    def packing(self) -> Packing:
        return Packing(self.problem.fabric)

    def is_done(self, _: Any) -> bool:
        return self.settled

    def room(self, _: Any, slots: int) -> int:
        return 0 if self.settled else slots - self.busy


@dataclass
class Clock:
    at: float = 0.5
    repeats: bool = False

    def spent(self) -> float:
        return self.at


@dataclass(eq=False)
class Way:
    problem: FabricProblem
    freest: Candidate
    lays: list[Candidate] = field(default_factory=list)
    tilts: tuple[Any, ...] = ()

    @property
    def candidates(self) -> list[Candidate]:
        return [self.freest, *self.lays]

    @property
    def length_mm(self) -> float:
        return min(one.length_mm for one in self.candidates)


@dataclass
class Asked:
    every_lay: bool = False


@dataclass(eq=False)
class Cloth:
    ways: list[Way]
    enough_mm: float = 1_000.0
    clock: Clock = field(default_factory=Clock)
    asked: Asked = field(default_factory=Asked)
    bolt: None = None
    chosen: None = None
    saves_mm: float = 0.0

    @property
    def problem(self) -> FabricProblem:
        return self.ways[0].problem

    @property
    def length_mm(self) -> float:
        return min(one.length_mm for way in self.ways for one in way.candidates)

    @property
    def outlines(self) -> int:
        return self.ways[0].freest.outlines

    def candidates(self) -> list[Candidate]:
        return [one for way in self.ways for one in way.candidates]

    def is_done(self) -> bool:
        return all(one.settled for one in self.candidates())

    def saving_mm(self) -> float:
        return self.saves_mm


def effort(seconds: float, *lengths_mm: float) -> Effort:
    """A search that took so many seconds, its lengths evenly spread over them."""
    made = Effort()
    for length_mm in lengths_mm:
        made.add(seconds / len(lengths_mm), length_mm)
    return made


def cloth(
    price: Price | None = CHEAP,
    tried: Effort | None = None,
    length_mm: float = 995.0,
    step_mm: float = 100.0,
) -> Cloth:
    problem = FabricProblem(Fabric("cloth", 1500.0, price=price, sold_by_mm=step_mm))
    tried = tried or effort(4.0, length_mm + 20.0, length_mm)
    return Cloth([Way(problem, Candidate(problem, length_mm, tried))])


def chosen(*cloths: Cloth) -> tuple[Cloth, Candidate]:
    found = next_by_worth(cloths, 2)  # type: ignore[arg-type]
    assert found is not None
    return found  # type: ignore[return-value]


def test_the_dearer_of_two_alike_goes_first() -> None:
    cheap, dear = cloth(CHEAP), cloth(DEAR)
    assert chosen(cheap, dear)[0] is dear


def test_one_that_gains_goes_before_one_that_stands_still() -> None:
    still, gains = (
        cloth(tried=effort(4.0, *own)) for own in ((995.0,) * 4, (1060.0, 1040.0, 1020.0, 995.0))
    )
    assert chosen(still, gains)[0] is gains


def test_one_that_had_little_goes_before_one_that_had_much() -> None:
    old, young = (cloth(tried=effort(seconds, 1010.0, 995.0)) for seconds in (20.0, 2.0))
    assert chosen(old, young)[0] is young


def test_one_near_a_shorter_step_goes_first() -> None:
    """5 mm or 75 mm over what a step less holds, with the same gains."""
    near, far = (cloth(tried=effort(4.0, mm + 20.0, mm), length_mm=mm) for mm in (905.0, 975.0))
    assert chosen(far, near)[0] is near


def test_a_cloth_without_layout_comes_before_all() -> None:
    laid, new = cloth(DEAR), cloth(CHEAP, Effort(), math.inf)
    assert chosen(laid, new)[0] is new


def test_what_is_settled_gets_nothing() -> None:
    one = cloth()
    one.ways[0].freest.settled = True
    assert next_by_worth([one], 2) is None  # type: ignore[list-item]
    at_bound = cloth()
    at_bound.ways[0].freest.bound_mm = at_bound.length_mm
    assert next_by_worth([at_bound], 2) is None  # type: ignore[list-item]


def test_strips_cut_in_a_way_that_can_not_catch_up_are_left() -> None:
    both = cloth()
    problem = FabricProblem(both.problem.fabric)
    both.ways.append(Way(problem, Candidate(problem, 1400.0, effort(1.0, 1410.0, 1400.0))))
    assert chosen(both)[1] is both.ways[0].freest


@pytest.mark.parametrize(
    ("length_mm", "bound_mm", "outlines", "at", "looked_at"),
    [
        (1_010.0, 0.0, 5, 0.5, True),
        (1_010.0, 0.0, 5, 0.2, False),  # too early
        (1_010.0, 1_001.0, 5, 0.5, False),  # can't fit
        (1_010.0, 0.0, 10, 0.5, False),  # spares nothing
        (1_300.0, 0.0, 5, 0.5, False),  # far from fitting
        (999.0, 0.0, 5, 0.5, False),  # fits already
    ],
)
def test_another_lay_is_looked_at_where_it_may_spare_outlines(
    length_mm: float, bound_mm: float, outlines: int, at: float, looked_at: bool
) -> None:
    """The freest lay has stood still for long, so that any hope is worth more."""
    one = cloth(tried=effort(60.0, *[995.0] * 20))
    one.clock.at = at
    folded = effort(1.0, length_mm + 30.0, length_mm)
    lay = LayName.LENGTHWISE_FOLD
    one.ways[0].lays.append(
        Candidate(one.problem, length_mm, folded, bound_mm, lay=lay, outlines=outlines)
    )
    assert (chosen(one)[1] is one.ways[0].lays[0]) == looked_at


def test_lays_beside_the_freest_have_a_fifth_of_the_work_at_most() -> None:
    one = cloth(tried=effort(60.0, *[995.0] * 20))
    folded = effort(20.0, *(1_300.0 - 15 * n for n in range(20)))
    one.ways[0].lays.append(
        Candidate(one.problem, 1_015.0, folded, lay=LayName.LENGTHWISE_FOLD, outlines=5)
    )
    assert chosen(one)[1] is one.ways[0].freest


def test_a_second_walker_waits_for_other_cloths() -> None:
    dear, cheap = cloth(DEAR), cloth(CHEAP)
    cheap.ways[0].freest.effort = effort(1.0, 1_015.0, 995.0)
    dear.ways[0].freest.busy = 1
    assert chosen(dear, cheap)[0] is cheap


def test_a_search_without_limit_is_as_long_as_the_order_is_large() -> None:
    """One dress in about ten seconds, ten bridesmaids in three minutes at most."""
    dress, many = cloth(), cloth()
    dress.ways[0].freest.outlines, many.ways[0].freest.outlines = 20, 200
    assert 5 < seconds_enough([dress], 1.0) < 12  # type: ignore[list-item]
    assert seconds_enough([many], 1.0) > 4 * seconds_enough([dress], 1.0)  # type: ignore[list-item]
    dress.saves_mm = many.saves_mm = 100.0
    assert seconds_enough([dress], 60.0) <= 15  # type: ignore[list-item]
    assert seconds_enough([many], 1e6) <= 170  # type: ignore[list-item]
    dress.ways[0].freest.settled = True
    assert seconds_enough([dress], 1.0) < 5  # type: ignore[list-item]


@pytest.mark.parametrize(
    ("step_mm", "length_mm", "gained_mm", "saves_mm"),
    [
        (100.0, 1_005.0, 60.0, 100.0),
        (100.0, 1_095.0, 20.0, 0.0),
        (0.0, 1_005.0, 1.0, 0.0),
    ],
)
def test_what_a_longer_search_may_save_is_told_where_it_counts(
    step_mm: float, length_mm: float, gained_mm: float, saves_mm: float
) -> None:
    tried = effort(400.0, length_mm + gained_mm, length_mm)
    (way,) = cloth(tried=tried, length_mm=length_mm, step_mm=step_mm).ways
    assert saving_mm(way, Clock()) == pytest.approx(saves_mm)  # type: ignore[arg-type]


def test_any_length_sold_saves_about_what_is_expected() -> None:
    tried = effort(4.0, 1_500.0, 1_000.0)
    (way,) = cloth(tried=tried, length_mm=1_000.0, step_mm=0.0).ways
    saved_mm = saving_mm(way, Clock())  # type: ignore[arg-type]
    assert saved_mm == pytest.approx(min(tried.expected_mm, 1_000.0 - way.freest.bound_mm))
    assert saved_mm > 10.0
