"""When a search ends: each stop tells what share of its budget is spent."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from threading import local
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from nesting.solver.instance import Layout


_ENDLESS = 10**15
"""A length that is none yet."""


@dataclass(frozen=True, slots=True)
class State:
    """How far a search has come.

    `length` is that of the best layout so far and `bound` a proven lower bound on any, both in
    units of the solver; `since_better` are the seconds since the layout last became shorter.
    `layout` is that layout, for those who watch.
    """

    seconds: float
    rounds: int
    length: int
    bound: int
    since_better: float
    layout: Layout | None = None


class Stop(Protocol):
    """The share of a budget that is spent: from 0; the search ends at 1 or more."""

    def __call__(self, state: State) -> float:
        """The share spent in a state."""

    def portion(self, share: float) -> Stop:
        """The stop for one of several searches that share this budget, from 0 to 1 of it."""


def spent_by(stop: Stop, seconds: float) -> float:
    """The share of a budget that so many seconds take, whatever is searched meanwhile.

    Rounds don't look at the clock.

    >>> spent_by(Seconds(30), 12), spent_by(Rounds(30), 12)
    (0.4, 0.0)
    """
    return stop(State(seconds, 0, _ENDLESS, 0, 0.0))


def rest_of(stop: Stop, seconds: float) -> Stop:
    """What is left of a budget after so many seconds.

    >>> rest_of(Seconds(30), 12)
    Seconds(seconds=18.0)
    """
    return stop.portion(max(0.0, 1.0 - spent_by(stop, seconds)))


@dataclass(frozen=True, slots=True)
class Seconds:
    """Stop after a time on the clock.

    >>> Seconds(30)(State(seconds=12, rounds=0, length=9, bound=5, since_better=3))
    0.4
    """

    seconds: float

    def __call__(self, state: State) -> float:
        """The share of the time that is spent."""
        return state.seconds / self.seconds if self.seconds > 0 else 1.0

    def portion(self, share: float) -> Seconds:
        """That share of the time."""
        return Seconds(self.seconds * share)


@dataclass(frozen=True, slots=True)
class UntilUnlikely:
    """Stop once more search is unlikely to change what is bought.

    How long that takes depends on the order and on what is found, so `seconds` are no more than
    what is expected so far; whoever searches several cloths puts a new stop in its place.

    >>> UntilUnlikely(30)(State(seconds=12, rounds=0, length=9, bound=5, since_better=3))
    0.4
    """

    seconds: float = 10.0

    def __call__(self, state: State) -> float:
        """The share of the time that is expected to be enough."""
        return state.seconds / self.seconds if self.seconds > 0 else 1.0

    def portion(self, share: float) -> UntilUnlikely:
        """That share of the time."""
        return UntilUnlikely(self.seconds * share)


@dataclass(frozen=True, slots=True)
class Rounds:
    """Stop after so many rounds of search: the same layout on every run and machine."""

    rounds: int

    def __call__(self, state: State) -> float:
        """The share of the rounds that is spent."""
        return state.rounds / self.rounds if self.rounds > 0 else 1.0

    def portion(self, share: float) -> Rounds:
        """All of the rounds, as each of several searches has its own; none at a share of 0."""
        return self if share > 0 else Rounds(0)


@dataclass(frozen=True, slots=True)
class NoImprovement:
    """Stop when nothing shorter was found for a time."""

    seconds: float

    def __call__(self, state: State) -> float:
        """The share of the patience that is spent."""
        return state.since_better / self.seconds if self.seconds > 0 else 1.0

    def portion(self, share: float) -> NoImprovement:
        """That share of the patience."""
        return NoImprovement(self.seconds * share)


@dataclass(frozen=True, slots=True)
class Fits:
    """Stop as soon as the layout fits a length, in units of the solver, or none ever can."""

    length: int

    def __call__(self, state: State) -> float:
        """0 as long as that is open, then 1."""
        return float(state.length <= self.length or state.bound > self.length)

    def portion(self, share: float) -> Stop:
        """The same length, as lengths are not shared out; no search at a share of 0."""
        return self if share > 0 else Rounds(0)


@dataclass(slots=True, eq=False)
class StopToken:
    """Stop once somebody asked, from any thread: Ctrl-C, or a button.

    >>> token = StopToken()
    >>> state = State(seconds=12, rounds=0, length=9, bound=5, since_better=3)
    >>> token(state), token.ask(), token(state)
    (0.0, None, 1.0)
    """

    asked: bool = False

    def ask(self) -> None:
        """Let the search come to its end."""
        self.asked = True

    def __call__(self, state: State) -> float:
        """0 until it is asked, then 1."""
        return float(self.asked)

    def portion(self, share: float) -> Stop:
        """The same token for each of several searches; no search at a share of 0."""
        return self if share > 0 else Rounds(0)


_here = local()


@contextmanager
def heeding(token: StopToken) -> Iterator[None]:
    """Let what this thread searches meanwhile end early once a token is asked."""
    before = getattr(_here, "token", None)
    _here.token = token
    try:
        yield
    finally:
        _here.token = before


def is_asked_here() -> bool:
    """Whether what this thread searches is to end: looked at within what takes long.

    >>> token = StopToken()
    >>> with heeding(token):
    ...     is_asked_here(), token.ask(), is_asked_here()
    (False, None, True)
    """
    token: StopToken | None = getattr(_here, "token", None)
    return token is not None and token.asked


@dataclass(frozen=True, slots=True, init=False)
class FirstOf:
    """Stop when the first of several stops is spent.

    >>> state = State(seconds=12, rounds=150, length=9, bound=5, since_better=3)
    >>> FirstOf(Seconds(30), Rounds(200))(state)
    0.75
    """

    stops: tuple[Stop, ...]

    def __init__(self, *stops: Stop) -> None:
        object.__setattr__(self, "stops", stops)

    def __call__(self, state: State) -> float:
        """The greatest share spent."""
        return max(stop(state) for stop in self.stops)

    def portion(self, share: float) -> FirstOf:
        """The first of the portions of each."""
        return FirstOf(*(stop.portion(share) for stop in self.stops))


def at_most(stop: Stop, seconds: float) -> Stop:
    """A stop that ends by itself, ended after so many seconds; any other as it is."""
    return Seconds(seconds) if isinstance(stop, UntilUnlikely) else stop


def repeats(stop: Stop) -> bool:
    """Whether a search so limited gives the same result again: nothing in it looks at the clock.

    >>> repeats(Rounds(3)), repeats(FirstOf(Rounds(3), Seconds(20))), repeats(Seconds(0))
    (True, False, False)
    """
    if isinstance(stop, FirstOf):
        return all(repeats(one) for one in stop.stops)
    return isinstance(stop, Rounds | Fits | StopToken)
