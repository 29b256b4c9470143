"""How much is tried at random: a little in the quick tests, far more in the long run."""

import os
from collections.abc import Iterable
from typing import Any

import pytest
from hypothesis import settings

FRESH_SEED = int(os.environ.get("FRESH_SEED", "0"))
"""What the long run draws its data by; `.ci/run` takes a new one each time, and prints it."""


def examples(number: int) -> int:
    """How many examples hypothesis draws: all in the long run, else a seventh, at least 2."""
    share = settings.default.max_examples if settings.default else 100
    return max(2, number * share // 100)


def some(values: Iterable[Any]) -> list[Any]:
    """Values, or tuples of them, as parameters: every twelfth and the last at once, the others in
    the long run.
    """
    every = list(values)
    quick = {*range(0, len(every), 12), len(every) - 1}
    return [
        pytest.param(
            *(one if isinstance(one, tuple) else (one,)),
            marks=[] if at in quick else [pytest.mark.long],
        )
        for at, one in enumerate(every)
    ]


def seeds(quick: int, more: int, step: int = 50) -> list[Any]:
    """Seeds as parameters, in ranges: first some that stay the same, then `more` by FRESH_SEED."""
    first = 1_000_000 * (1 + FRESH_SEED)
    same = [range(at, min(at + step, quick)) for at in range(0, quick, step)]
    new = [range(at, min(at + step, first + more)) for at in range(first, first + more, step)]
    return [
        *(pytest.param(one, id=f"seeds from {one[0]}") for one in same),
        *(pytest.param(one, id=f"seeds from {one[0]}", marks=pytest.mark.long) for one in new),
    ]
