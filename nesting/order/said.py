"""A key's path in an order file as a person says it: whose garment, which part, which piece."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

_PATH = re.compile(r"(garment|piece|notion)\[(\d+)\](?:\.part\[(\d+)\])?\.?(.*)", re.DOTALL)
_PLACE = re.compile(r"\[(\d+)\](\.?)")


@dataclass(frozen=True, slots=True)
class Said:
    """The names of an order's garments with their parts, its ready pieces and notions."""

    garments: tuple[tuple[str, tuple[str, ...]], ...] = ()
    pieces: tuple[str, ...] = ()
    notions: tuple[str, ...] = ()

    def __call__(self, key: str) -> str:
        """What a key is called; counted from one, as people count.

        >>> said = Said((("Pia", ("bodice", "sleeve")),), ("pocket",))
        >>> said("garment[0].part[1].cap_height"), said("garment[0].body.chest")
        ('Pia, part 2 (sleeve): cap_height', 'Pia: body.chest')
        >>> said("piece[0].outline[3]"), said("fabric.satin.width")
        ('pocket: outline, number 4', 'fabric.satin.width')
        >>> said("fabric.satin.in_hand[1].width")
        'fabric.satin.in_hand, number 2: width'
        """
        found = _PATH.fullmatch(key)
        if found is None:
            return _counted(key)
        kind, place, part, rest = found[1], int(found[2]), found[3], _counted(found[4])
        if kind == "garment":
            whose = self._garment(place, part)
        else:
            names = self.pieces if kind == "piece" else self.notions
            whose = (names[place] if place < len(names) else "") or f"{kind} {place + 1}"
        return f"{whose}: {rest}" if rest else whose

    def _garment(self, place: int, part: str | None) -> str:
        name, parts = self.garments[place] if place < len(self.garments) else ("", ())
        whose = name or f"garment {place + 1}"
        if part is None:
            return whose
        index = int(part)
        draft = parts[index] if index < len(parts) else ""
        return f"{whose}, part {index + 1}" + (f" ({draft})" if draft else "")


AS_WRITTEN = Said()
"""Of an order that was not read from a file."""


def said_of(raw: Mapping[str, Any]) -> Said:
    """What the keys of an order are called; names that two share are told with their place."""
    garments = _tables(raw.get("garment"))
    names = _distinct([_text(one, "name") for one in garments], "garment")
    parts = [
        tuple(_text(part, "draft") or _text(part, "file") for part in _tables(one.get("part")))
        for one in garments
    ]
    pieces = _distinct([_text(one, "name") for one in _tables(raw.get("piece"))], "piece")
    notions = _distinct([_text(one, "name") for one in _tables(raw.get("notion"))], "notion")
    return Said(tuple(zip(names, parts, strict=True)), pieces, notions)


def _tables(value: object) -> list[Mapping[str, Any]]:
    """The tables of a list, with an empty one where the order has something else."""
    if not isinstance(value, list):
        return []
    return [one if isinstance(one, dict) else {} for one in value]


def _text(table: Mapping[str, Any], key: str) -> str:
    value = table.get(key)
    # A name with signs that nobody sees is refused where it stands; it names nothing.
    shown = isinstance(value, str) and " ".join(value.split()).isprintable()
    return " ".join(str(value).split()) if shown else ""


def _distinct(names: list[str], kind: str) -> tuple[str, ...]:
    count = Counter(names)
    return tuple(
        f"{name} ({kind} {place})" if name and count[name] > 1 else name
        for place, name in enumerate(names, start=1)
    )


def _counted(key: str) -> str:
    return _PLACE.sub(lambda f: f", number {int(f[1]) + 1}" + (": " if f[2] else ""), key)
