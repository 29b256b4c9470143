"""The open sets: read, turned into an instance of the solver, and layouts brought back."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from nesting.solver.instance import Instance, Item, Layout, Orientation

SETS = Path(__file__).parent / "sets"
_UNITS_ACROSS = 1_000_000
"""At least this many units to a strip's width, less than ten times as many."""


class SetError(Exception):
    """A set that can't be read or packed; the message says which and why."""


@dataclass(frozen=True, slots=True)
class StripPiece:
    """One outline of a set, as an anticlockwise (n, 2) array in the set's unit."""

    id: str
    quantity: int
    turns_deg: tuple[float, ...]
    outline: NDArray[np.float64]

    @property
    def area(self) -> float:
        """Area of one copy in the set's unit squared."""
        return _signed_area(self.outline)

    def turned(self, turn_deg: float) -> NDArray[np.float64]:
        """The outline turned anticlockwise about its origin, exactly at quarter turns."""
        quarters, rest = divmod(turn_deg, 90.0)
        cosine, sine = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
        if rest == 0:
            cosine, sine = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]
        turned: NDArray[np.float64] = self.outline @ np.array([[cosine, sine], [-sine, cosine]])
        return turned


@dataclass(frozen=True, slots=True)
class StripSet:
    """Pieces to place on a strip of the given width, in the set's own unit."""

    name: str
    width: float
    pieces: tuple[StripPiece, ...]

    @property
    def area(self) -> float:
        """Area of all copies of all pieces."""
        return sum(piece.quantity * piece.area for piece in self.pieces)

    @property
    def scale(self) -> int:
        """Units of the solver to one of the set: a power of ten, so that decimals stay exact."""
        return int(10 ** max(0, math.ceil(math.log10(_UNITS_ACROSS / self.width))))


def read_set(name: str) -> StripSet:
    """A set by its name among those in `sets`, or by the path of its file.

    Raises SetError if there is none, or its file is not in the form that `sets/README.md` gives.
    """
    path = Path(name) if name.endswith(".json") else SETS / f"{name}.json"
    if not path.is_file() or path.stem == "published":
        known = ", ".join(sorted(p.stem for p in SETS.glob("*.json") if p.stem != "published"))
        raise SetError(f"{name}: no such set. Give a file that ends in .json, or one of {known}.")
    try:
        return _set(json.loads(path.read_text(encoding="utf-8")))
    except (json.JSONDecodeError, KeyError, TypeError, ValueError) as fault:
        reason = f"{fault} is missing" if isinstance(fault, KeyError) else str(fault)
        raise SetError(f"{name}: not a set of strip packing: {reason}.") from fault


def _set(found: dict[str, Any]) -> StripSet:
    pieces = tuple(_piece(piece) for piece in found["pieces"])
    width = float(found["strip_width"])
    if not pieces or not 0 < width < math.inf:
        raise ValueError("it needs pieces and a strip_width above 0")
    if len({piece.id for piece in pieces}) < len(pieces):
        raise ValueError("two pieces have one id")
    read = StripSet(str(found["name"]), width, pieces)
    for piece in pieces:
        if not any(_fits(piece.turned(turn), width) for turn in piece.turns_deg):
            raise ValueError(f"piece {piece.id} is wider than the strip")
    return read


def _piece(found: dict[str, Any]) -> StripPiece:
    outline = np.array(found["outline"], dtype=np.float64)
    if outline.ndim != 2 or outline.shape[1] != 2 or len(outline) < 3:
        raise ValueError(f"piece {found['id']} has no outline of three corners or more")
    if _signed_area(outline) < 0:
        outline = outline[::-1]
    turns_deg = tuple(float(turn) for turn in found["angles"])
    return StripPiece(str(found["id"]), int(found["quantity"]), turns_deg, outline)


def _signed_area(outline: NDArray[np.float64]) -> float:
    x, y = outline.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def _fits(outline: NDArray[np.float64], width: float) -> bool:
    return float(np.ptp(outline[:, 1])) <= width * (1 + 1e-9)


def _ways(piece: StripPiece, width: float) -> list[float]:
    """The turns at which a piece fits across the strip; orientations are in their order."""
    return [turn for turn in piece.turns_deg if _fits(piece.turned(turn), width)]


def to_instance(strip_set: StripSet) -> Instance:
    """The set in units of the solver: copies of a piece one after another, in the set's order."""
    width = round(strip_set.width * strip_set.scale)
    items: list[Item] = []
    for kind, piece in enumerate(strip_set.pieces):
        outlines = (piece.turned(turn) * strip_set.scale for turn in _ways(piece, strip_set.width))
        ways = tuple(_orientation(outline, width) for outline in outlines)
        items += [Item(kind, ways)] * piece.quantity
    return Instance(width, tuple(items))


def _orientation(outline: NDArray[np.float64], width: int) -> Orientation:
    whole = np.rint(outline).astype(np.int64)
    left, bottom = (int(value) for value in whole.min(axis=0))
    right, top = (int(value) for value in whole.max(axis=0))
    return Orientation(whole, -left, right, ((-bottom, max(-bottom, width - top)),))


def to_placements(strip_set: StripSet, layout: Layout) -> list[dict[str, Any]]:
    """Where each copy lies, in the set's unit: its outline turned, then moved by x and y."""
    placements: list[dict[str, Any]] = []
    index = 0
    for piece in strip_set.pieces:
        ways = _ways(piece, strip_set.width)
        for copy in range(1, piece.quantity + 1):
            turn_deg = ways[int(layout.orientation[index])]
            x, y = (float(value) / strip_set.scale for value in layout.xy[index])
            outline = (piece.turned(turn_deg) + np.array([x, y])).tolist()
            placements.append(
                {"id": piece.id, "copy": copy, "turn_deg": turn_deg, "x": x, "y": y}
                | {"outline": outline}
            )
            index += 1
    return placements
