"""Which garments come out of which bolt: whole numbers in, whole numbers out.

Knows nothing of layouts: what sets of garments take is told to it, and which sets a bolt was
found not to hold. An integer program, solved by CP-SAT.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, CpSolver, IntVar

Counts = tuple[int, ...]
"""How many of each item type."""
_EFFORT = 4.0
"""Deterministic seconds for the least to buy; for what is kept of the bolts half of that."""
_COARSE = 10_000
"""Units to one in which the lengths kept are squared: centimetres, if units are micrometres."""


@dataclass(frozen=True, slots=True)
class Bin:
    """A bolt: its length, and what one of each item type takes of it at least; None if it can't."""

    room: int
    takes: tuple[int | None, ...]


@dataclass(frozen=True, slots=True)
class SaleTerms:
    """The shop: what one of each item type takes at least, then what is added once to a purchase.

    A purchase is no less than `least` and a multiple of `step`.
    """

    takes: tuple[int, ...]
    once: int = 0
    least: int = 0
    step: int = 1


@dataclass(frozen=True, slots=True)
class AssignmentProblem:
    """What is to be shared out.

    Attributes
    ----------
    worths : for each item type what it is worth to have the first, the second … out of a bolt
    refused : sets that a place, by its index, does not hold, nor any that has more
    costs : sets that a purchase must be so long for, and any that has more
    """

    worths: tuple[tuple[int, ...], ...]
    places: tuple[Bin, ...]
    sale_terms: SaleTerms
    refused: Sequence[tuple[int, Counts]] = ()
    costs: Sequence[tuple[Counts, int]] = ()


@dataclass(frozen=True, slots=True)
class Assignment:
    """The best answer: what comes out of each place, what is left to buy, and how long that is.

    `proven` if no better one exists, by what is known.
    """

    cut: tuple[Counts, ...]
    left: Counts
    bought: int
    worth: int
    proven: bool


def assign(
    problem: AssignmentProblem,
    better_than: tuple[int, int] | None = None,
    seconds: float = math.inf,
) -> Assignment | None:
    """Share garments out: least to buy, then most worth out of bolts, then the longest kept.

    Of lengths kept, one long is better than two short: the sum of their squares counts. None
    if no answer is better than one that buys so much and is worth so much, or none was found in
    so many `seconds`.

    >>> bolt = Bin(100, (60, 50))
    >>> found = assign(AssignmentProblem(((1,), (1, 1)), (bolt,), SaleTerms((60, 50))))
    >>> found.cut, found.left, found.bought
    (((0, 2),), (1, 0), 60)
    """
    return _Model(problem, seconds).best(better_than)


class _Model:
    """The program: how many of each item type come out of each place."""

    def __init__(self, problem: AssignmentProblem, seconds: float) -> None:
        from ortools.sat.python import cp_model

        self.problem, self.seconds = problem, seconds
        self.model: CpModel = cp_model.CpModel()
        self._marks: dict[tuple[int, int], IntVar] = {}
        counts = [len(worths) for worths in problem.worths]
        self.cut = [
            [
                self.model.new_int_var(0, 0 if takes is None else count, "")
                for count, takes in zip(counts, place.takes, strict=True)
            ]
            for place in problem.places
        ]
        self.left = [self.model.new_int_var(0, count, "") for count in counts]
        for item_type, count in enumerate(counts):
            self.model.add(sum(row[item_type] for row in self.cut) + self.left[item_type] == count)
        self.free = [self._free(index) for index in range(len(problem.places))]
        self._break_ties()
        for index, counts_ in problem.refused:
            marks = self._at_least(self.cut[index], counts_)
            self.model.add_bool_or([mark.negated() for mark in marks])
        self.bought = self._bought()
        self.worth, self.most = self._worth()

    def _free(self, index: int) -> IntVar:
        """What a place has left."""
        place = self.problem.places[index]
        free: IntVar = self.model.new_int_var(0, place.room, "")
        pairs = zip(place.takes, self.cut[index], strict=True)
        self.model.add(free == place.room - sum((takes or 0) * var for takes, var in pairs))
        return free

    def _break_ties(self) -> None:
        """Of bolts alike, which hold the same sets too, the earlier is used the more."""
        places, refused = self.problem.places, self.problem.refused
        sets = [{counts for index, counts in refused if index == own} for own in range(len(places))]
        for (a, one), (b, other) in pairwise(enumerate(zip(places, sets, strict=True))):
            if one == other:
                self.model.add(self.free[a] <= self.free[b])

    def _at_least(self, row: Sequence[IntVar], counts: Counts) -> list[IntVar]:
        """For each item type in a set whether there are as many."""
        return [self._mark(var, count) for var, count in zip(row, counts, strict=True) if count]

    def _mark(self, var: IntVar, count: int) -> IntVar:
        key = (var.index, count)
        if key not in self._marks:
            mark = self.model.new_bool_var("")
            self.model.add(var >= count).only_enforce_if(mark)
            self.model.add(var < count).only_enforce_if(mark.negated())
            self._marks[key] = mark
        return self._marks[key]

    def _bought(self) -> IntVar:
        sale_terms = self.problem.sale_terms
        most = sum(t * len(w) for t, w in zip(sale_terms.takes, self.problem.worths, strict=True))
        most = max(
            [most + sale_terms.once, sale_terms.least, *(cost for _, cost in self.problem.costs)]
        )
        steps = self.model.new_int_var(0, most // sale_terms.step + 1, "")
        bought: IntVar = self.model.new_int_var(0, most + sale_terms.step, "")
        self.model.add(bought == sale_terms.step * steps)
        anything = self.model.new_bool_var("")
        for var in self.left:
            self.model.add(var == 0).only_enforce_if(anything.negated())
        taken = sum(t * var for t, var in zip(sale_terms.takes, self.left, strict=True))
        self.model.add(bought >= taken + sale_terms.once * anything)
        self.model.add(bought >= sale_terms.least * anything)
        for counts, cost in self.problem.costs:
            self.model.add(bought >= cost).only_enforce_if(self._at_least(self.left, counts))
        return bought

    def _worth(self) -> tuple[IntVar, int]:
        """What comes out of bolts is worth, and the most it can be."""
        total = []
        for item_type, worths in enumerate(self.problem.worths):
            out = [self.model.new_bool_var("") for _ in worths]
            self.model.add(sum(out) == len(worths) - self.left[item_type])
            total += [worth * var for worth, var in zip(worths, out, strict=True)]
        most = sum(map(sum, self.problem.worths))
        worth: IntVar = self.model.new_int_var(0, most, "")
        self.model.add(worth == sum(total))
        return worth, most

    def best(self, better_than: tuple[int, int] | None) -> Assignment | None:
        """Solve for the least to buy first, then for what is kept."""
        for var in (one for row in self.cut for one in row):
            self.model.add_hint(var, 0)
        goal = (self.most + 1) * self.bought - self.worth
        if better_than is not None:
            self.model.add(goal < (self.most + 1) * better_than[0] - better_than[1])
        self.model.minimize(goal)
        first = self._solved(_EFFORT)
        if first is None:
            return None
        proven = round(first.objective_value) <= round(first.best_objective_bound)
        self.model.add(goal <= round(first.objective_value))
        self.model.clear_hints()  # type: ignore[no-untyped-call]
        for var in [*(one for row in self.cut for one in row), *self.left]:
            self.model.add_hint(var, first.value(var))
        self.model.maximize(sum(map(self._squared, self.free)))
        last = self._solved(_EFFORT / 2) or first
        return Assignment(
            cut=tuple(tuple(map(last.value, row)) for row in self.cut),
            left=tuple(map(last.value, self.left)),
            bought=last.value(self.bought),
            worth=last.value(self.worth),
            proven=proven,
        )

    def _squared(self, free: IntVar) -> IntVar:
        most = max((place.room for place in self.problem.places), default=0) // _COARSE
        coarse = self.model.new_int_var(0, most, "")
        self.model.add(_COARSE * coarse <= free)
        square: IntVar = self.model.new_int_var(0, most * most, "")
        self.model.add_multiplication_equality(square, [coarse, coarse])
        return square

    def _solved(self, effort: float) -> CpSolver | None:
        from ortools.sat.python import cp_model

        solver = cp_model.CpSolver()
        # Its own handler for Ctrl-C would stay behind and end the whole program next time.
        solver.parameters.catch_sigint_signal = False
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 0
        solver.parameters.max_deterministic_time = effort
        if self.seconds < math.inf:
            solver.parameters.max_time_in_seconds = self.seconds * effort / (1.5 * _EFFORT)
        answered = solver.solve(self.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        return solver if answered else None
