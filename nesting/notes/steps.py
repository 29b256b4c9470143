"""The steps of a garment's work, in a sound order, each a sentence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from nesting.fabric.notions import NotionPurchase
from pieces.notions import Notion, Sold
from pieces.piece import How, Piece, Sewing, Stage, Step
from pieces.units import Unit, format_length

_LINING = " lining"
_SAME_MM = 0.5
Bought = Sequence[tuple[NotionPurchase, Notion]]


def in_order(sewing: Sewing, pieces: Sequence[Piece], bought: Bought, unit: Unit) -> Iterator[str]:
    """All steps, from darts and strips joined to hems; a lining is sewn as its outer piece is."""
    told = [
        *_darts(pieces),
        *_strips(pieces, unit),
        *(one for step in sewing.steps if _LINING not in step.what for one in _step(step, unit)),
        *_closing(bought, unit),
        *_hems(pieces, unit),
    ]
    for stage in Stage:
        yield from dict.fromkeys(words for at, words in told if at is stage)


def listed(names: Iterable[str]) -> str:
    """Names in a row, the last after "and".

    >>> listed(["neck"]), listed(["neck", "hem", "side"])
    ('neck', 'neck, hem and side')
    """
    *most, last = dict.fromkeys(names)
    return f"{', '.join(most)} and {last}" if most else last


def _step(step: Step, unit: Unit) -> Iterator[tuple[Stage, str]]:
    to = "waist seam" if step.to == "waist" else step.to
    this, that = (format_length(size, unit) for size in (step.this_mm, step.that_mm))
    if step.how is None:
        yield step.stage, step.what
    elif step.how is How.GATHERED and step.this_mm - step.that_mm > _SAME_MM:
        yield Stage.GATHERS, f"Gather the {step.what} from {this} to {that}, {_between(step)}."
        yield step.stage, f"Sew the {step.what}, gathered, to the {to}."
    elif step.how is How.GATHERED:
        yield step.stage, f"Gather the {step.what}, and sew it to {step.to}: {that}."
    elif step.how is How.PLEATED:
        yield Stage.SHAPE, f"Lay the pleats along the {step.what}: from {this} to {that}."
        yield step.stage, f"Sew the {step.what}, pleated, to the {to}."
    elif step.how is How.EASED:
        yield step.stage, _eased(step, this, that)
    elif step.stage is Stage.CLOSURE:
        if step.marks:
            yield step.stage, f"Sew the {step.what} up to its notch; above that it stays open."
    elif step.to:
        yield step.stage, f"Sew the {step.what} to the {to}: {this}."
    else:
        matched = ", notch to notch" if step.marks else ""
        yield step.stage, f"Sew the {step.what}: {this}{matched}."


def _between(step: Step) -> str:
    if step.quarters:
        return "evenly between the quarter notches"
    if step.plain_mm:
        return "all of it above the notches"
    return "evenly"


def _eased(step: Step, this: str, that: str) -> str:
    if abs(step.this_mm - step.that_mm) <= _SAME_MM:
        return f"Sew the {step.what} to the {step.to}, as far as it reaches: {this}."
    return f"Ease the {step.what} from {this} to {that} into the {step.to}, above the notches."


def _darts(pieces: Sequence[Piece]) -> Iterator[tuple[Stage, str]]:
    """Darts, and which way they are pressed (common practice)."""
    pressed: dict[tuple[str, str], list[str]] = {}
    for piece in pieces:
        edges = [seam.name for seam in piece.seams]
        for kind in dict.fromkeys(name for name in edges if name.endswith(" dart")):
            across = kind == "bust dart" and edges.count("shoulder") < 2  # it begins at the side
            pressed.setdefault((kind, "down" if across else "to the middle"), []).append(piece.name)
    for (kind, way), names in pressed.items():
        yield Stage.SHAPE, f"Sew the {kind}s of the {listed(names)}, and press them {way}."


def _strips(pieces: Sequence[Piece], unit: Unit) -> Iterator[tuple[Stage, str]]:
    """Strips that are joined end to end, those of one strip together."""
    groups: dict[tuple[str, str], list[Piece]] = {}
    for piece in pieces:
        name = piece.name if piece.strip is None else piece.strip.name
        groups.setdefault((name, piece.fabric), []).append(piece)
    for (name, _), group in groups.items():
        joins, count = sum(piece.joins for piece in group), sum(piece.parts for piece in group)
        strip = group[0].strip
        if joins and strip is not None:
            whole = format_length(strip.whole_mm, unit)
            yield Stage.SHAPE, f"Join the {count} strips of the {name} end to end: {whole}."
        elif joins:
            yield Stage.SHAPE, f"Join the {count} strips of the {name} on the thread."


def _closing(bought: Bought, unit: Unit) -> Iterator[tuple[Stage, str]]:
    for purchase, notion in sorted(bought, key=lambda one: one[1].sold is Sold.PIECE):
        if notion.sold is Sold.SIZE:
            yield Stage.CLOSURE, f"Set in the {purchase.name}{_at(notion)}."
        elif notion.sold is Sold.PIECE:
            several = notion.count > 1
            # "hooks and eyes"
            names = " and ".join(f"{word}s" for word in notion.name.split(" and "))
            many = f"{notion.count} {names}" if several else f"the {notion.name}"
            holes = ""
            if notion.name == "button":
                holes = f"Work {notion.count if several else 'a'} buttonhole{'s' * several}; "
            yield Stage.CLOSURE, f"{holes}{'sew' if holes else 'Sew'} on {many}{_at(notion)}."


def _at(notion: Notion) -> str:
    return f": {notion.where}" if notion.where else ""


def _hems(pieces: Sequence[Piece], unit: Unit) -> Iterator[tuple[Stage, str]]:
    """Hems to turn up, those of one depth together; a bias strip has none, nor has cut net."""
    depths: dict[float, list[str]] = {}
    for piece in pieces:
        for seam in piece.seams:
            if seam.hem and seam.allowance_mm:
                depths.setdefault(seam.allowance_mm, []).append(piece.name)
    for depth_mm, names in depths.items():
        deep = format_length(depth_mm, unit)
        yield Stage.HEMS, f"Turn up the hem of the {listed(names)} by {deep}."
