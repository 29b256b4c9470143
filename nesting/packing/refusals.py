"""Saying in words that pieces can't lie on their cloth, and what would help."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields

from nesting.fabric.cut import Cut
from nesting.fabric.fabric import Fabric, LayName
from nesting.fabric.lay import Band, Lay
from nesting.order.faults import joined
from nesting.packing.fit import keeps_mm, ways_that_fit
from nesting.prints.lays import ONE_SELVEDGE
from nesting.solver.instance import MOST_WAYS
from pieces.drafting.registry import DRAFTS
from pieces.errors import Fault, OwnFailure
from pieces.geometry import bounds, oriented
from pieces.piece import Finding, GrainRule, Piece
from pieces.units import Unit, format_kept, format_needed
from pieces.wording import Wording, choose, either, key

_ACROSS = {
    LayName.OPEN: "between the selvedges",
    LayName.LENGTHWISE_FOLD: "from the fold to the selvedge",
    LayName.CROSSWISE_FOLD: "between the selvedges",
    LayName.DOUBLE_FOLD: "from either fold to the selvedges in the middle",
    LayName.PARTIAL_FOLD: "there if every other piece is to find room",
    LayName.QUARTER_FOLD: "from the fold to the selvedge",
}


def misfits(cuts: Sequence[Cut], fabric: Fabric, lay: Lay) -> tuple[Cut, ...]:
    """The first cut of each piece that finds no room across the lay."""
    found = {cut.piece.key: cut for cut in reversed(cuts) if not ways_that_fit(cut, fabric, lay)}
    return tuple(reversed(found.values()))


def _least_width_mm(cut: Cut) -> float:
    """How wide across the lay a cut is at its narrowest."""
    widths = []
    for way in cut.orientations or ((0.0, False),):
        ys = [y for _, y in oriented(cut.outline_mm, *way)]
        widths.append(max(ys) - min(ys))
    return min(widths)


def fault(cut: Cut, fabric: Fabric, lay: Lay, unit: Unit, source: str) -> Fault:
    """Why a cut can't lie on a lay: both widths, and what would help."""
    owner = f" of {cut.piece.garment}" if cut.piece.garment else ""
    name = f"{cut.piece.name}{owner}" + (", opened out," if cut.unfolded else "")
    place = joined("fabric", fabric.name)
    if not cut.orientations:
        return Fault(
            source,
            place,
            f"{name} can't lie on the {lay.name.words}: its fold edge does not run along the fold.",
            _otherwise_laid(cut),
        )
    needs = format_needed(_least_width_mm(cut), unit)
    room_mm = max(_room_mm(cut, band, fabric) for band in _bands(cut, lay))
    has = format_kept(max(0.0, room_mm), unit)
    return Fault(
        source,
        place,
        f"{name} is {needs} wide where it is narrowest across the cloth; the cloth has {has} "
        f"{_ACROSS[lay.name]}.",
        _remedy(cut, room_mm),
    )


def against_nap(fabric: Fabric, lay: LayName, source: str) -> Fault:
    """Why a lay can't be used with a nap at all."""
    return Fault(
        source,
        joined("fabric", fabric.name),
        f"Of the four layers of a {lay.words} two lie against the nap.",
        "Let the cloth lie another way.",
    )


def across_flaws(fabric: Fabric, lay: LayName, source: str) -> Fault:
    """Why a lay whose cut ends come together can't be used on a cloth with such flaws."""
    return Fault(
        source,
        joined("fabric", fabric.name, "flaws"),
        f"On a {lay.words} nobody can say beforehand under which pieces a flaw would lie: "
        "where the cloth is folded depends on how long the layout is.",
        "Let the cloth lie open, or fold it lengthwise.",
    )


def against_print(fabric: Fabric, lay: LayName, why: str, source: str) -> Fault:
    """Why a lay can't be used where the print is to meet."""
    return Fault(
        source,
        joined("fabric", fabric.name, "border" if why == ONE_SELVEDGE else "repeat"),
        f"On a {lay.words} {why}." if lay is not LayName.OPEN else f"Laid open, {why}.",
        "Let the cloth lie open." if lay is not LayName.OPEN else "Name fewer points to meet.",
    )


def section_refused(fabric: Fabric, lay: LayName) -> Finding:
    """Why a lay was tried folded all along only, or not at all where it can't be."""
    why = "the print as it runs on from the folded part leaves its pieces no place to meet it"
    return Finding(
        "section-refused",
        f"{fabric.name}: a {lay.words} was not ended in an opened-out section: {why}.",
        joined("fabric", fabric.name, "lays"),
    )


def marker_dropped(fabric: Fabric, lay: LayName, fault: OwnFailure) -> Finding:
    """What to say of a lay whose layout can't be cut as it stands; the others count."""
    why = " ".join(str(fault).splitlines()[1:]) or str(fault)
    return Finding(
        "marker-dropped",
        f"{fabric.name}: a layout found on the {lay.words} can't be cut as it "
        "stands, which is our mistake and not yours. It was dropped, and the other lays count. "
        f"Please report it together with the order: {' '.join(why.split())}",
        joined("fabric", fabric.name),
    )


def laid_in_columns(fabric: Fabric, lays: Sequence[LayName]) -> Finding:
    """What to say where so many outlines differ that no layout of them is searched."""
    where = ", ".join(lay.words for lay in lays)
    return Finding(
        "laid-in-columns",
        f"{fabric.name}: so many of its outlines differ that they are only laid in columns, one "
        f"behind another, and not searched for a shorter layout ({where}). They would lie closer "
        "if they were shared out between several orders.",
        joined("fabric", fabric.name),
    )


def too_many_with_print(fabric: Fabric) -> Fault:
    """What to say where so many outlines differ that they can't be laid on a print."""
    return Fault(
        "",
        joined("fabric", fabric.name),
        f"{fabric.name}: so many of its outlines differ that they can't be laid on its print; "
        f"about {MOST_WAYS // 2:,} are the most.",
        "Share the pieces out between several orders.",
    )


def no_section(fabric: Fabric, finding: Finding) -> Fault:
    """The same as a fault, where the cloth has no other lay."""
    remedy = "Let the cloth lie open."
    return Fault("", joined("fabric", fabric.name), finding.message, remedy)


def no_way_to_lie(fabric: Fabric) -> Fault:
    """What to say where no lay leaves all pieces a way to lie together."""
    message = f"{fabric.name}: its nap and its print leave its pieces no way to lie together."
    remedy = "Give pieces another grain rule, or no nap to a cloth that has none."
    return Fault("", joined("fabric", fabric.name), message, remedy)


def lays_refused(fabric: Fabric, refused: Sequence[tuple[LayName, tuple[Fault, ...]]]) -> Finding:
    """Which lays were not tried, and the first reason why, where others were."""
    lays: dict[str, list[str]] = {}
    for name, why in refused:
        lays.setdefault(why[0].message, []).append(name.words)
    reasons = (f"{', '.join(names).capitalize()}: " + why for why, names in lays.items())
    return Finding(
        "lay-refused",
        f"{fabric.name} was not tried on every lay. " + Wording(" ").join(reasons),
        joined("fabric", fabric.name, "lays"),
        tuple(f"{name.words.capitalize()}: " + why[0].message for name, why in refused),
    )


def _bands(cut: Cut, lay: Lay) -> list[Band]:
    """The bands that a cut may lie in; the first if the lay has none such."""
    return [band for band in lay.bands if band.layers == cut.layers] or [lay.bands[0]]


def _room_mm(cut: Cut, band: Band, fabric: Fabric) -> float:
    kept_mm = fabric.edge_gap_mm if cut.on_fold else sum(keeps_mm(band, fabric))
    return band.depth_mm - kept_mm


def _otherwise_laid(cut: Cut) -> str:
    """What lets a piece lie on its cloth whose fold edge can't lie on the fold."""
    grain = _grain_key(cut.piece)
    other = ", or give the piece another " + key(grain) if grain else ""
    return "Let the cloth lie open" + other + "."


def _remedy(cut: Cut, room_mm: float) -> str:
    """What would help, in keys that the piece, or the part that it is drafted for, has."""
    piece, ways = cut.piece, ["take a wider cloth"]
    keys = _keys(piece)
    if "panels" in keys:
        ways.append("write a larger number of panels at its part")
    elif "joins" in keys:
        ways.append("write a larger number of joins at its part")
    elif "strip_length" in keys:
        ways.append("write a shorter " + key("strip_length") + " at its part")
    elif "on_fold" in keys and piece.on_fold is not None:
        no_fold = either("write on_fold = false", "say no to “on fold”")
        ways.append(no_fold + " at its part, for a seam in the middle")
    elif not piece.draft:
        ways.append("cut it in two, with a seam between")
    if cut.layers > 1 and piece.on_fold is None:
        ways.insert(0, "let the cloth lie open")
    left, _, right, _ = bounds(cut.outline_mm)
    grain = _grain_key(piece)
    if grain and piece.grain_rule is GrainRule.LENGTHWISE and right - left <= room_mm:
        whose = " at its part" if piece.draft else ""
        ways.append(choose(grain, "crosswise") + f"{whose}, if the cloth allows")
    return "What would help: " + Wording("; ").join(ways) + "."


def _keys(piece: Piece) -> frozenset[str]:
    """The measures that the part has from which a piece is drafted; none of a ready piece."""
    kind = DRAFTS.get(piece.draft)
    return frozenset() if kind is None else frozenset(one.name for one in fields(kind.options))


def _grain_key(piece: Piece) -> str:
    """The key of an order by which a piece's grain may run another way; empty without one."""
    if not piece.draft:
        return "grain_rule"
    return "grain" if "grain" in _keys(piece) else ""
