"""Phases: places that items share, a whole number of periods from each other."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from nesting.solver.instance import Instance, Layout, Orientation, Phase


def is_tied(instance: Instance) -> bool:
    """Whether any item is tied to a phase."""
    return any(o.ties for item in instance.items for o in item.orientations)


def untied(instance: Instance) -> Instance:
    """The same items, free to lie anywhere."""
    items = {id(item.orientations): item for item in instance.items}
    free = {
        key: tuple(replace(o, ties=()) for o in item.orientations) for key, item in items.items()
    }
    return replace(
        instance,
        items=tuple(
            replace(item, orientations=free[id(item.orientations)]) for item in instance.items
        ),
        phases=(),
    )


def apart(phase: Phase, one: float, other: float) -> float:
    """How far two places of a phase are from being one and the same, periods left out."""
    half = phase.period / 2
    return abs((one - other + half) % phase.period - half)


def keeps_phases(instance: Instance, layout: Layout, slack: float) -> bool:
    """Whether every item lies on its phases, to within `slack` units, and those where they may."""
    places: dict[int, list[float]] = {}
    for item, chosen, xy in zip(instance.items, layout.orientation, layout.xy, strict=True):
        for number, offset in item.orientations[int(chosen)].ties:
            place = float(xy[instance.phases[number].axis]) + offset
            places.setdefault(number, []).append(place)
    for number, found in places.items():
        phase = instance.phases[number]
        anchors = found[:1] if phase.choices is None else phase.choices
        if not any(all(apart(phase, a, place) <= slack for place in found) for a in anchors):
            return False
    return True


def levels(instance: Instance) -> list[tuple[float, ...]]:
    """For each phase the places worth trying: all that leave every item tied to it room.

    Along the strip there is always room, and none is named but those that are the only ones: the
    first item may set its phase.
    """
    return [
        (phase.choices or ()) if phase.axis == 0 else tuple(_roomy(instance, number, phase))
        for number, phase in enumerate(instance.phases)
    ]


def _roomy(instance: Instance, number: int, phase: Phase) -> list[float]:
    """Places across the strip that leave room; those at which some item touches an end of it."""
    tied = [
        [(o, offset) for o in item.orientations for tie, offset in o.ties if tie == number]
        for item in {id(i.orientations): i for i in instance.items}.values()
    ]
    tied = [own for own in tied if own]
    places: tuple[float, ...] | list[float] = phase.choices or ()
    if phase.choices is None:
        ends = {
            (end + offset) % phase.period
            for own in tied
            for o, offset in own
            for low, high in o.y_ranges
            for end in (low, high)
        }
        places = sorted(ends)
    return [
        place
        for place in places
        if all(any(_has_line(o, offset, phase, place) for o, offset in own) for own in tied)
    ]


def _has_line(o: Orientation, offset: float, phase: Phase, place: float) -> bool:
    return any(len(lines(low, high, place - offset, phase.period)) > 0 for low, high in o.y_ranges)


def lines(low: float, high: float, place: float, period: float) -> list[int]:
    """Whole numbers from low to high that are the place and whole periods, but for rounding."""
    first = int(np.ceil((low - place - 1.0) / period))
    last = int(np.floor((high - place + 1.0) / period))
    found = (round(place + step * period) for step in range(first, last + 1))
    return [int(min(max(value, low), high)) for value in found]
