"""What closes a garment: a zip, buttons, a hook, by how far it opens over all its parts."""

from __future__ import annotations

from collections.abc import Sequence

from pieces.counts import at_least
from pieces.curves import length
from pieces.drafting.assembly import kind_of
from pieces.drafting.bodices.laps import buttons_down
from pieces.drafting.context import Bodice, DraftResult, Half
from pieces.drafting.pattern import Role
from pieces.drafting.spec import GarmentSpec, PartSpec
from pieces.notions import Notion, Sold
from pieces.units import format_length

_SNAPS_MM = 40.0
"""From snap to snap where a skirt opens below buttons; common practice."""


def closures(spec: GarmentSpec, every: Sequence[DraftResult]) -> tuple[Notion, ...]:
    """The notions that close a garment, from what each of its parts gave.

    A zip runs from the neck over a yoke as far below the waist seam as the skirts open, or in a
    skirt by itself from the waist; a hook and eye holds it at the top, a button an underlap. A
    skirt on elastic needs none.
    """
    bodice = next((made.bodice for made in every if made.bodice is not None), None)
    at_side = [made for made in every if made.opens_at]
    above_mm = max((one.opens_mm for one in at_side if one.waist_mm is not None), default=0.0)
    side_mm = max((one.opens_mm for one in at_side if one.waist_mm is None), default=0.0)
    skirts = [made for made in every if made.waist_mm is None and not made.opens_at]
    below_mm = max((made.opens_mm for made in skirts), default=0.0)
    yoke_mm = sum(
        made.opens_mm for made in every if made.waist_mm is not None and not made.opens_at
    )
    banded = [part for part in spec.parts if kind_of(part).closes_waist]
    found = [
        _piece(spec, "button", f"underlap of the {part.draft}") for part in banded if _laps(part)
    ]
    if bodice is not None:
        found += _of_bodice(spec, bodice, yoke_mm, below_mm)
    elif any(kind_of(part).on_elastic for part in spec.parts):
        return ()
    else:
        found += _of_skirt(spec, yoke_mm + below_mm, is_banded=bool(banded))
    if above_mm:
        below = f" to {format_length(side_mm, spec.unit)} below the waist seam" if side_mm else ""
        found.append(_zip(spec, f"side seam, from the underarm down{below}", above_mm + side_mm))
        found.append(_piece(spec, "hook and eye", "above the zip"))
    elif side_mm:
        found.append(_zip(spec, "side seam, from the waist seam down", side_mm))
    return tuple(found)


def _of_skirt(spec: GarmentSpec, below_mm: float, *, is_banded: bool) -> list[Notion]:
    if not below_mm:
        return []
    found = [_zip(spec, "skirt, from the waist seam down", below_mm)]
    return found if is_banded else [*found, _piece(spec, "hook and eye", "above the zip")]


def _of_bodice(spec: GarmentSpec, bodice: Bodice, yoke_mm: float, below_mm: float) -> list[Notion]:
    for half, where in ((bodice.front, "centre front"), (bodice.back, "centre back")):
        if half.middle.role is Role.LAP:
            count = len(buttons_down(length(half.middle.line)))
            found = [_piece(spec, "button", where, count)] if count else []
            if yoke_mm + below_mm:
                snaps = at_least((yoke_mm + below_mm) / _SNAPS_MM)
                found.append(_piece(spec, "snap", f"{where} below the waist seam", snaps))
            return found
        if half.middle.role is Role.OPENING:
            return _zipped(spec, half, where, yoke_mm, below_mm)
    return []


def _zipped(
    spec: GarmentSpec, half: Half, where: str, yoke_mm: float, below_mm: float
) -> list[Notion]:
    middle = half.middle
    opened_mm = middle.marks_mm[0] if middle.marks_mm else length(middle.line)
    down = " down to its notch" if middle.marks_mm else " down"
    if below_mm:
        seam = "the yoke" if yoke_mm else "the waist seam"
        down = f" to {format_length(below_mm, spec.unit)} below {seam}"
    cut_out = any(edge.name == "cut-out" for edge in half.edges)
    start = "from the cut-out" if cut_out else "from the neck"
    found = [
        _zip(spec, f"{where}, {start}{down}", opened_mm + yoke_mm + below_mm),
        _piece(spec, "hook and eye", "above the zip"),
    ]
    return [*found, _piece(spec, "hook and eye", "at the neck")] if cut_out else found


def _laps(part: PartSpec) -> bool:
    return float(getattr(part.options, "underlap", 0.0)) > 0


def _zip(spec: GarmentSpec, where: str, long_mm: float) -> Notion:
    return Notion(name="zip", garment=spec.name, where=where, sold=Sold.SIZE, length_mm=long_mm)


def _piece(spec: GarmentSpec, name: str, where: str, count: int = 1) -> Notion:
    return Notion(name=name, garment=spec.name, where=where, sold=Sold.PIECE, count=count)
