"""Which measures a garment's drafts ask for: those without which its pieces come out otherwise."""

from __future__ import annotations

from dataclasses import fields, replace

from pieces.body.measurements import Body
from pieces.body.tables import fill
from pieces.drafting.garment import draft_garment
from pieces.drafting.spec import GarmentSpec
from pieces.drafting.worn import worn
from pieces.errors import OrderFault
from pieces.piece import Finding, Piece

_ANY_SIZE, _ANY_WOMAN = "6 years", "misses 12"
"""What stands in for measures that nobody took yet."""
_GROWN_MM, _TALL_MM = 900.0, 1500.0
"""A chest and a height beyond which a wearer is taken for a woman, as all children's are less."""
_RISE_MM = 230.0
"""What stands in for a rise, which no table of children has."""
_TOLD_ELSEWHERE = frozenset({"across_shoulders", "across_back", "across_front"})
"""Measured instead of others, or beside them, if at all."""


def measures_asked(spec: GarmentSpec) -> tuple[str, ...]:
    """The names of the measures to take, in the order of `Body`.

    Each is left out in turn: it is asked for if the garment can't be drafted without it, or
    comes out otherwise. A garment that can't be drafted anyhow asks for all.
    """
    own = spec.body
    grown = (own.chest or 0.0) > _GROWN_MM or (own.height or 0.0) >= _TALL_MM
    body, _ = fill(own, _ANY_WOMAN if grown or own.bust_height or own.bust_span else _ANY_SIZE)
    body = replace(body, rise=body.rise or _RISE_MM)
    whole = _drafted(replace(spec, body=body))
    names = [one.name for one in fields(Body) if getattr(body, one.name) is not None]
    found = []
    for name in names:
        lacking = _drafted(replace(spec, body=replace(body, **{name: None})))
        told = getattr(spec.body, name) is not None and name in _TOLD_ELSEWHERE
        if whole is None or lacking != whole or told:
            found.append(name)
    return tuple(found)


def _drafted(spec: GarmentSpec) -> tuple[tuple[Piece, ...], tuple[Finding, ...]] | None:
    """The pieces, and what is told of whether the garment goes on; None if it can't be drafted."""
    try:
        return draft_garment(spec).pieces, tuple(worn(spec))
    except OrderFault:
        return None
