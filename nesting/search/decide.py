"""The one place that says what is searched next.

By rounds everything has its turn, in a fixed order. By time a slice goes where it is expected to
save most: what a lay may still lose with as much work again, times what that is worth, over the
work it has had.

- The freest lay of each cloth is searched for length. Length is worth its price, and a step of the
  counter more where it is near.
- Of several ways to cut strips, those behind the best count only what they may gain past it.
- Another lay saves work, not cloth: it is worth the outlines spared if it fits into what is bought
  anyway, which is likely where what it may lose brings it there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.purchase import longest_for_less
from nesting.search.candidate import Candidate, Opening, Straight
from nesting.search.cloth import ClothSearch
from nesting.search.way import Way

_WORK = 0.02
"""What cutting is worth, as a share of what the cloth costs: outlines spared of all there are."""
_SECOND = 3.0
"""A second walker gains less than as much more time for the first: so much less it counts."""
_FIRST_S = 0.4
"""Seconds that count as spent before any are."""
_PAST_STEP = 0.6
"""What length is worth that leads to no shorter step."""
_FEW, _LEAD = 0.7, 0.05
"""A lay with so many outlines against the freest may reach a short layout before it; what a first
layout of it is worth, as a share of the length."""
_BESIDE = 0.2
"""The share of all work that may go to lays beside the freest."""
_FIRST_HOPE = 0.02
"""What opening a lay out is hoped to take off it, as a share of its length."""
_OPENING_S = 1.5
"""Seconds that a first look at what to open out takes."""
_WAIT_S, _WAIT_EACH_S, _MOST_EACH_S, _LONGEST_S = 3.0, 0.2, 0.45, 170.0
"""Seconds of search without a limit: for any order; for each outline, at least and at most."""
_LONGER = 1.3
"""So many times what it has taken goes on a search that is likely to save a step."""
_LEAST_OPEN = 0.3
"""The share of the time after which lays beside the freest are looked at."""


Chosen = tuple[ClothSearch, Candidate]


def next_by_rounds(cloths: Sequence[ClothSearch], slots: int) -> Chosen | None:
    """The first that has rounds left; but a first layout of every cloth before all else."""
    for cloth in cloths:
        first = next(cloth.candidates(), None)
        if first is not None and first.is_new and cloth.length_mm == math.inf:
            return cloth, first
    for cloth in cloths:
        for one in cloth.candidates():
            if one.room(cloth.clock, slots) > 0:
                return cloth, one
    return None


def next_by_worth(cloths: Sequence[ClothSearch], slots: int) -> Chosen | None:
    """The one whose next slice is expected to save most; None if nothing is left to gain.

    Lays beside the freest have a small share of the work; all of it once no cloth can be had
    shorter.
    """
    every = [(cloth, one) for cloth in cloths for one in cloth.candidates()]
    total = sum(one.effort.seconds for _, one in every)
    beside = sum(one.effort.seconds for cloth, one in every if _is_beside(cloth, one))
    in_time = [
        (cloth, one)
        for cloth, one in every
        if beside <= _BESIDE * total or not _is_beside(cloth, one)
    ]
    return _most_worth(in_time, slots) or _most_worth(every, slots, late=True)


def _most_worth(every: Sequence[Chosen], slots: int, *, late: bool = False) -> Chosen | None:
    best: tuple[float, ClothSearch, Candidate] | None = None
    usual = _usual_price([cloth for cloth, _ in every])
    for cloth, one in every:
        if one.room(cloth.clock, slots) < 1:
            continue
        is_late = late or cloth.clock.spent() >= _LEAST_OPEN
        worth = _worth(cloth, one, usual, is_late) / (1 + _SECOND * one.busy)
        if worth > 0 and (best is None or worth > best[0]):
            best = worth, cloth, one
    return None if best is None else best[1:]


def seconds_enough(cloths: Sequence[ClothSearch], elapsed: float) -> float:
    """The seconds after which more is unlikely to change what is bought, by what is known now.

    The more outlines there are that something could still be gained of, the more. Where a shorter
    step of the counter is within what as much search again may gain, it goes on.
    """
    still = [cloth for cloth in cloths if not cloth.is_done()]
    outlines = sum(cloth.outlines for cloth in still)
    least, most = _WAIT_S + _WAIT_EACH_S * outlines, _WAIT_S + _MOST_EACH_S * outlines
    if any(cloth.saving_mm() > 0 for cloth in still):
        return min(max(least, _LONGER * elapsed), min(most, _LONGEST_S))
    return min(least, _LONGEST_S)


def _is_beside(cloth: ClothSearch, one: Candidate) -> bool:
    """Whether a lay is looked at for the work that it saves."""
    if cloth.asked.every_lay:
        return False
    way = _way_of(cloth, one)
    return way.freest is not None and one is not way.freest and one in way.lays


def _usual_price(cloths: Sequence[ClothSearch]) -> float:
    """What a millimetre costs of cloth whose price is not known: as much as the others."""
    known = [price for cloth in cloths if (price := price_of(cloth.problem.fabric)) > 0]
    return sum(known) / len(known) if known else 1.0


def price_of(fabric: Fabric) -> float:
    """What a millimetre costs; 0 if nobody knows."""
    if fabric.price is None:
        return 0.0
    return float(fabric.price.amount) / fabric.price.per_mm


def _worth(cloth: ClothSearch, one: Candidate, usual: float, is_late: bool) -> float:
    """What a second of work at a candidate is expected to save, in money."""
    price = price_of(cloth.problem.fabric) or usual
    if not one.effort.gains:
        return _worth_of_first(cloth, one, is_late) * price
    seconds = one.effort.seconds + _FIRST_S
    way = _way_of(cloth, one)
    if cloth.asked.every_lay:
        least_mm = cloth.length_mm if cloth.chosen is None else _least_mm(way, one)
        return _gain_mm(one, least_mm) * price / seconds
    gain_mm = 0.0
    if not _is_beside(cloth, one) or _may_lead(way, one):
        gain_mm = _gain_mm(one, cloth.length_mm)
        gain_mm *= _steps(cloth, one, gain_mm)
    if is_late and _is_beside(cloth, one):
        gain_mm = max(gain_mm, _work_saved(cloth, way, one))
    return gain_mm * price / seconds


def _may_lead(way: Way, one: Candidate) -> bool:
    """Whether a lay may reach a shorter layout than the freest has.

    One with few outlines may be there first; one that ends opened out leaves no spare, where the
    cloth may not lie open.
    """
    freest = way.freest
    if freest is None:
        return False
    if isinstance(one, Opening):
        return freest.lay is not LayName.OPEN
    return isinstance(one, Straight) and one.outlines <= _FEW * freest.outlines


def _worth_of_first(cloth: ClothSearch, one: Candidate, is_late: bool) -> float:
    """First layouts of every cloth come before all else, those of other lays in their time."""
    way = _way_of(cloth, one)
    if one is way.freest or way.freest is None or cloth.asked.every_lay:
        return 1e9 if way is cloth.ways[0] else 1e8
    lead_mm = _LEAD * cloth.length_mm if _may_lead(way, one) else 0.0
    if isinstance(one, Opening):
        return max(lead_mm, _work_saved(cloth, way, one) if is_late else 0.0) / _OPENING_S
    return 1e7 if is_late else lead_mm


def _way_of(cloth: ClothSearch, one: Candidate) -> Way:
    return next(way for way in cloth.ways if way.problem is one.problem)


def _least_mm(way: Way, one: Candidate) -> float:
    """The shortest of the same lay, whether it ends opened out or not."""
    return min(other.length_mm for other in way.candidates if other.lay is one.lay)


def _gain_mm(one: Candidate, least_mm: float) -> float:
    """What a candidate may take off the best length so far."""
    length_mm = one.outlook_mm
    behind_mm = 0.0 if least_mm == math.inf else length_mm - least_mm
    return max(0.0, min(one.effort.expected_mm, length_mm - one.bound_mm) - behind_mm)


def _steps(cloth: ClothSearch, one: Candidate, gain_mm: float) -> float:
    """How much of a gain counts: all that leads to a shorter step, less of what does not."""
    if cloth.bolt is not None:
        return _PAST_STEP
    length_mm = one.outlook_mm
    need_mm = length_mm - longest_for_less(one.packing.fabric, length_mm)
    return 1.0 if gain_mm >= need_mm else _PAST_STEP + (1 - _PAST_STEP) * gain_mm / need_mm


def _work_saved(cloth: ClothSearch, way: Way, one: Candidate) -> float:
    """Outlines spared, as a length of cloth, if the lay then fits into what is bought anyway."""
    if way.freest is None:
        return _gain_mm(one, cloth.length_mm)
    enough_mm = cloth.enough_mm
    fitting = [o.outlines for o in way.candidates if o.length_mm <= enough_mm]
    spared = min(fitting, default=way.freest.outlines) - one.outlines
    if spared <= 0 or one.length_mm <= enough_mm or one.bound_mm > enough_mm:
        return 0.0
    plain = one.plain if isinstance(one, Opening) else None
    length_mm = min(one.length_mm, math.inf if plain is None else plain.length_mm)
    most_mm = 2 * (one.effort.expected_mm or _FIRST_HOPE * length_mm)
    likely = min(1.0, max(0.0, 1.0 - (length_mm - enough_mm) / most_mm))
    return _WORK * cloth.length_mm * spared / way.freest.outlines * likely
