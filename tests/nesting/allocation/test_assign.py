"""Sharing garments out over bolts, in numbers alone."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.allocation.assign import Assignment, AssignmentProblem, Bin, SaleTerms, assign
from tests.examples import examples


def strips(lengths: list[int], rooms: list[int], step: int = 1) -> AssignmentProblem:
    """Strips alike in width, each length as often as it is given."""
    item_types = sorted(set(lengths))
    worths = tuple((1,) * lengths.count(item_type) for item_type in item_types)
    places = tuple(Bin(room, tuple(item_types)) for room in rooms)
    return AssignmentProblem(worths, places, SaleTerms(tuple(item_types), step=step))


def solved(problem: AssignmentProblem) -> Assignment:
    found = assign(problem)
    assert found is not None
    assert found.proven
    return found


@pytest.mark.parametrize(
    ("lengths", "bolt", "least"),
    [
        # Bin packing example of the OR-Tools documentation: 4 bins of 100.
        ([48, 30, 19, 36, 36, 27, 42, 42, 36, 24, 30], 100, 4),
        # Cutting stock example of the Python-MIP documentation: 3 bars of 250.
        ([187, 119, 119, 74, 74, 90], 250, 3),
    ],
)
def test_so_many_bolts_as_published_are_enough_and_one_less_is_not(
    lengths: list[int], bolt: int, least: int
) -> None:
    assert solved(strips(lengths, [bolt] * least)).bought == 0
    assert solved(strips(lengths, [bolt] * (least - 1))).bought > 0


def least_bought(lengths: list[int], rooms: list[int], step: int) -> int:
    """Every way to share out, one after another."""
    best = sum(lengths) + step
    for places in product(range(len(rooms) + 1), repeat=len(lengths)):
        used = [0] * (len(rooms) + 1)
        for length, place in zip(lengths, places, strict=True):
            used[place] += length
        if all(a <= b for a, b in zip(used, rooms, strict=False)):
            best = min(best, -(-used[-1] // step) * step)
    return best


@given(
    lengths=st.lists(st.integers(10, 60), min_size=1, max_size=6),
    rooms=st.lists(st.integers(0, 120), min_size=1, max_size=2),
    step=st.sampled_from([1, 10]),
)
@settings(max_examples=examples(40), deadline=None)
def test_no_sharing_buys_less(lengths: list[int], rooms: list[int], step: int) -> None:
    found = solved(strips(lengths, rooms, step))
    assert found.bought == least_bought(lengths, rooms, step)
    item_types = sorted(set(lengths))
    for item_type, length in enumerate(item_types):
        assert sum(cut[item_type] for cut in found.cut) + found.left[item_type] == lengths.count(
            length
        )
    for cut, room in zip(found.cut, rooms, strict=True):
        assert sum(n * length for n, length in zip(cut, item_types, strict=True)) <= room


def test_a_refused_set_and_all_that_have_more_are_not_proposed_again() -> None:
    problem = AssignmentProblem(
        ((1, 1, 1),), (Bin(100, (30,)),), SaleTerms((30,)), refused=[(0, (2,))]
    )
    assert solved(problem).cut == ((1,),)


def test_bolts_as_long_are_not_alike_if_one_of_them_does_not_hold_a_set() -> None:
    """A flaw in the first of two bolts, such that only one strip of three comes out of it."""
    bolt = Bin(100, (40,))
    found = solved(
        AssignmentProblem(((1, 1, 1),), (bolt, bolt), SaleTerms((40,)), refused=[(0, (2,))])
    )
    assert (found.cut, found.bought) == (((1,), (2,)), 0)


def test_what_a_purchase_was_found_to_take_is_believed() -> None:
    problem = AssignmentProblem(((1, 1),), (), SaleTerms((30,), once=5), costs=[((2,), 80)])
    assert solved(problem).bought == 80
    assert assign(problem, (80, 0)) is None


def test_of_two_that_buy_the_same_the_one_worth_more_comes_from_the_bolt() -> None:
    problem = AssignmentProblem(((1,), (3,)), (Bin(100, (60, 60)),), SaleTerms((60, 60)))
    assert solved(problem).cut == ((0, 1),)


def test_one_long_remnant_is_kept_rather_than_two_short() -> None:
    """A strip of 40 cm out of 50 cm or out of 200 cm: the long bolt stays whole."""
    cm = 10_000
    places = (Bin(200 * cm, (40 * cm,)), Bin(50 * cm, (40 * cm,)))
    found = solved(AssignmentProblem(((1,),), places, SaleTerms((40 * cm,))))
    assert found.cut == ((0,), (1,))


def test_a_kind_that_finds_no_room_across_a_bolt_is_not_cut_from_it() -> None:
    problem = AssignmentProblem(((1,),), (Bin(100, (None,)),), SaleTerms((60,), least=70, step=25))
    assert solved(problem).bought == 75
