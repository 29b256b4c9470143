"""The verifier's statement of lengths: what an order asks of each strip, and what is cut for it.

It takes the order's own figures and measures the pieces that a strip is sewn to, whatever the
draft reckoned or noted on the strip. Only what a part is called, hangs at and was asked for is as
its kind says.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from pieces.drafting.assembly import hosts, kind_of, labels, place_in_tiers
from pieces.drafting.spec import GarmentSpec, PartSpec
from pieces.errors import OwnFailure
from pieces.piece import Finding, Piece, Seam

ALLOWED_MM = 0.5
"""Two lengths that differ by less are the same to hand and machine; common practice."""
_LINING = " lining"
_JOINED = "joined end to end"


def require_lengths(garments: Sequence[GarmentSpec], pieces: Sequence[Piece]) -> None:
    """Let the pieces of an order pass only if their strips are as long as they are to be.

    Raises
    ------
    OwnFailure : they are not; the message lists every finding
    """
    found = [one for garment in garments for one in length_findings(garment, pieces)]
    if found:
        lines = "\n".join(f"  {one.code}: {one.message!s}" for one in found)
        raise OwnFailure(
            "This is our mistake, not yours: strips were drafted that don't meet what they are "
            f"sewn to, so nothing is shown. Please report it together with the order.\n{lines}"
        )


def length_findings(garment: GarmentSpec, pieces: Sequence[Piece]) -> Iterator[Finding]:
    """What the strips of a garment are too long or too short by; code ``strip``."""
    own = [piece for piece in pieces if piece.garment == garment.name]
    made = _Garment(garment.parts, garment.body.waist or 0.0, own)
    for index, part in enumerate(garment.parts):
        asked_mm = made.asked_mm(index)
        if asked_mm is None:
            continue
        for suffix in ("", _LINING) if part.lining else ("",):
            over_mm = made.over_mm(index, suffix)
            if over_mm < -ALLOWED_MM or (over_mm > ALLOWED_MM and not _goes_on(part)):
                yield Finding(
                    "strip",
                    f"{garment.name}, {made.names[index]}{suffix}: {asked_mm:.3f} mm are asked "
                    f"for; its strips, joined, are {over_mm:+.3f} mm off that.",
                )


@dataclass(slots=True)
class _Garment:
    """A garment's parts as ordered, and the pieces cut for them."""

    parts: Sequence[PartSpec]
    body_mm: float
    pieces: Sequence[Piece]
    names: tuple[str, ...] = ()
    hangs_at: tuple[int | None, ...] = ()
    asked: dict[int, float | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.hangs_at = hosts(self.parts)
        called = zip(labels(self.parts), range(len(self.parts)), strict=True)
        self.names = tuple(f"{label} {self._kind(index)}".strip() for label, index in called)

    def _kind(self, index: int) -> str:
        kind = kind_of(self.parts[index])
        if kind.tiered:
            return f"{kind.name} {place_in_tiers(self.parts, index)[0]}"
        return "skirt" if kind.is_skirt else kind.name

    def asked_mm(self, index: int) -> float | None:
        """How long a part's strip is to be, by the order; None for a part that has none."""
        if index not in self.asked:
            self.asked[index] = self._asked_mm(index)
        return self.asked[index]

    def _asked_mm(self, index: int) -> float | None:
        part = self.parts[index]
        strip = kind_of(part).strip(part.options)
        if strip is None:
            return None
        if strip.length_mm is not None:
            return float(strip.length_mm + strip.more_mm)
        edge_of = {"edge": self._edge_mm, "top": self._top_mm, "waist": self._waist_mm}
        edge_mm = edge_of[strip.at](index)
        return (self._full_mm(index, edge_mm) if strip.gathered else edge_mm) + strip.more_mm

    def _full_mm(self, index: int, edge_mm: float) -> float:
        """What is gathered to an edge so long: by its own length, or so many times as long."""
        options: Any = self.parts[index].options
        if options.around is not None:
            return float(options.around)
        with_opening = getattr(options, "multiple_of", "waist") != "waist"
        more_mm = 2 * self._opening_mm(index) if with_opening else 0.0
        return float(options.fullness * (edge_mm + more_mm))

    def _opening_mm(self, index: int) -> float:
        """The allowance at each edge of the opening above a part: 2 cm for a zip, 4 for a lap."""
        above: Any = [p.options for p in self.parts[:index] if hasattr(p.options, "closing")]
        if not above:
            return 20.0
        if above[-1].closing == "none":
            return 0.0
        usual = 20.0 if above[-1].closing == "zip" else 40.0
        given = above[-1].opening_allowance
        return usual if given is None else float(given)

    def _top_mm(self, index: int) -> float:
        """What the top of a part is sewn to: the waist, or a line on the lining before it."""
        line_mm = getattr(self.parts[index].options, "line", None)
        return self._waist_mm(index) if line_mm is None else self._line_mm(index, line_mm)

    def _line_mm(self, index: int, down_mm: float) -> float:
        """How long a line is so far below the waist on the inmost cloth of the skirt before.

        From the waist to the hem it grows evenly, on a ring as on straight panels.
        """
        host = [i for i in range(index) if kind_of(self.parts[i]).level][-1]
        suffix = _LINING if self.parts[host].lining else ""
        own = [piece for piece in self.pieces if self._is_of(piece, host, suffix)]
        top_mm, hem_mm = (_round_mm(own, name) for name in ("waist", "hem"))
        down = [_seam_mm(s) for piece in own for s in piece.seams if s.name not in ("waist", "hem")]
        long_mm = min(down, default=(hem_mm - top_mm) / (2 * math.pi))
        return top_mm + (hem_mm - top_mm) * down_mm / long_mm

    def _is_of(self, piece: Piece, index: int, suffix: str) -> bool:
        """Whether a piece is of a part's shell, or of its lining."""
        part = self.parts[index]
        return (
            piece.fabric == (part.lining if suffix else part.fabric)
            and f"{piece.name} ".startswith(f"{self.names[index]} ")
            and piece.name.endswith(_LINING) == bool(suffix)
        )

    def _edge_mm(self, index: int) -> float:
        """What a tier or a band is sewn to."""
        host = self.hangs_at[index]
        if host is None:
            return self._top_mm(index)
        asked_mm = self.asked_mm(host)
        return self._seams_mm(host, "hem") if asked_mm is None else asked_mm

    def _waist_mm(self, index: int) -> float:
        """The waist that the last part before it gives, such as a bodice, or else the body's."""
        before = [(i, self.parts[i]) for i in range(index)]
        given = [(i, kind_of(part).gives_waist(part.options)) for i, part in before]
        above = [(i, seam) for i, seam in given if seam]
        return self._seams_mm(*above[-1]) if above else self.body_mm

    def _seams_mm(self, index: int, name: str) -> float:
        """A seam of a part's shell, measured on all that is cut of it."""
        return _round_mm([one for one in self.pieces if self._is_of(one, index, "")], name)

    def over_mm(self, index: int, suffix: str) -> float:
        """What a part's strips, joined, are longer than they are to be; less than 0 if shorter."""
        part, name = self.parts[index], self.names[index]
        cloth = part.lining if suffix else part.fabric
        known = {f"{name}{more}{suffix}" for more in ("", " panel")}
        strips = [
            piece
            for piece in self.pieces
            if piece.fabric == cloth and piece.strip is not None and piece.strip.name in known
        ]
        given_mm = sum(piece.parts * (_long_mm(piece) - _ends_mm(part)) for piece in strips)
        host = self.hangs_at[index]
        if _goes_on(part) and host is not None and self._goes_on_from(host, part):
            given_mm += self.over_mm(host, suffix)
        return given_mm - (self.asked_mm(index) or 0.0)

    def _goes_on_from(self, host: int, part: PartSpec) -> bool:
        above = self.parts[host]
        return _goes_on(above) and (above.fabric, above.lining) == (part.fabric, part.lining)


def _round_mm(pieces: Sequence[Piece], name: str) -> float:
    """A seam over all that is cut of some pieces, opened out."""
    return sum(
        piece.parts * piece.opens_to * _seam_mm(seam)
        for piece in pieces
        for seam in piece.seams
        if seam.name == name
    )


def _seam_mm(seam: Seam) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(seam.line))


def _goes_on(part: PartSpec) -> bool:
    """Whether its strips are cut as long as may be, and the next tier takes the rest."""
    return kind_of(part).tiered and getattr(part.options, "strips", "") == _JOINED


def _ends_mm(part: PartSpec) -> float:
    """What the joins take of each strip."""
    return 2 * part.seam_allowance_mm


def _long_mm(piece: Piece) -> float:
    """How far a piece reaches across its grain."""
    (ax, ay), (bx, by) = piece.grain
    away = math.hypot(bx - ax, by - ay)
    reach = [(y * (bx - ax) - x * (by - ay)) / away for x, y in piece.outline]
    return max(reach) - min(reach)
