"""Cautions where the clothes could hurt someone: pointers with their sources, never a ruling."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from nesting.fabric.fabric import Fabric
from pieces.notions import Notion
from pieces.piece import Piece

if TYPE_CHECKING:
    from pieces.drafting.spec import GarmentSpec

_CHILD_HEIGHT_MM = 1500.0
"""A wearer below this is taken for a child of up to about twelve; from memory."""
_CHILD_CHEST_MM = 760.0
"""Likewise where only the chest is known; from memory."""
_UNDER_THREE_HEIGHT_MM = 1000.0
"""Median height at 36 months is 951 to 961 mm (WHO Child Growth Standards, 2006); the rest
allows for tall children of that age."""
_UNDER_THREE_CHEST_MM = 510.0
"""Mean chest at 3 years is 500 mm for girls (UM-HSRI-77-17, 1977); the rest allows for spread."""

_SHEER = re.compile(
    r"\b(tulle|nets?|netting|organza|organdy|organdie|lawn|voile|chiffon|gauze|georgette"
    r"|batiste|muslin|crinoline|sheer)\b",
    re.IGNORECASE,
)
_CORDS = re.compile(
    r"\b(ties?|tied|sash(es)?|cords?|drawstrings?|strings?|straps?|ribbons?|bows?|belts?"
    r"|lacing|hoods?|capes?)\b",
    re.IGNORECASE,
)
_ENDS = re.compile(r"\b(horsehair|boning|bones?|wires?|steels?|hoops?)\b", re.IGNORECASE)
_SLEEPWEAR = re.compile(
    r"\b(night\w*|pyjamas?|pajamas?|sleep\w*|(bath|dressing)[- ]?(robes?|gowns?)|robes?)\b",
    re.IGNORECASE,
)

_DEFER = "These are pointers, not a ruling: local rules and qualified people decide."

_CHILDREN = (
    "Children's clothes: sew buttons, snaps, beads and bows on firmly and look them over before "
    "each wear. Lead in any part within a child's reach is limited to 100 ppm, which concerns "
    "buttons, snaps, zips, rhinestones and metallic paint more than plain cloth (US: CPSIA "
    "s.101, 15 USC 1278a; plain textiles are excused the test, not the limit, 16 CFR 1500.91). "
)
_SMALL_PARTS = (
    "Wearers under three: articles for them may have no small parts that can be swallowed or "
    "breathed in (US: 16 CFR 1501.1 to 1501.4). Buttons on children's clothing are exempt from "
    "that ban (16 CFR 1501.3(d)) and choke a child all the same: prefer none, and no loose "
    "beads, pearls or bows. "
)
_CORD_TEXT = (
    "Cords, ties and sashes ({where}): they can catch or strangle. {age} (EU: EN 14682:2014 as "
    "the Finnish safety authority Tukes sums it up). A tied belt or sash comes under it even on "
    "celebratory clothing; that its ends be at most 360 mm long and end above the hem is from "
    "memory, check. US rules on "
    "drawstrings are for outerwear (16 CFR 1120), a guide for dresses. "
)
_YOUNG_CORDS = (
    "for children under 7 (up to 134 cm tall) no cords in a hood or at the neck and no ties behind "
    "the neck"
)
_OLD_CORDS = "from 7 to 14 no free-ended drawstrings at the neck"
_YOUNG_HEIGHT_MM = 1340.0
_FLAMMABLE = (
    "Flammability ({where}): sheer cloth catches fire easily; keep it from candles, heaters and "
    "stage lamps. US law asks a flame test of clothing cloth (16 CFR 1610); let off are plain "
    "cloths of 88 g/m2 (2.6 oz/yd2) or more and those wholly of acrylic, modacrylic, nylon, "
    "olefin, polyester or wool (16 CFR 1610.1(d), as quoted in two second-hand sources). Tulle, "
    "organza and lawn usually weigh less (their weights from memory, check): ask the shop for "
    "fibre and weight. "
)
_SLEEPWEAR_TEXT = (
    "Nightwear ({where}): children's sleepwear must be flame-resistant or fit tightly, from "
    "above 9 months to size 14 (US: 16 CFR 1615 and 1616). "
)
_ENDS_TEXT = (
    "Ends that prick ({where}): bind or cap every cut end of horsehair, boning and wire, and feel "
    "for ends that have worked through before each wear (common practice). "
)


def cautions(
    fabrics: Iterable[Fabric],
    pieces: Sequence[Piece],
    garments: Iterable[GarmentSpec] = (),
    notions: Iterable[Notion] = (),
) -> tuple[str, ...]:
    """Say what to be careful of in these clothes, as far as names and measures tell.

    A wearer with neither height nor chest known may be a small child; an order without wearers
    (pieces given as points) may still be for children.
    """
    wearers = tuple(garments)
    children = [g for g in wearers if _below(g, _CHILD_HEIGHT_MM, _CHILD_CHEST_MM)]
    youngest = [g for g in children if _below(g, _UNDER_THREE_HEIGHT_MM, _UNDER_THREE_CHEST_MM)]
    grown = {g.name for g in wearers} - {g.name for g in children}
    theirs = [piece for piece in pieces if piece.garment not in grown]
    corded = [piece for piece in theirs if _CORDS.search(piece.name.replace("_", " "))]
    garment_names = [g.name for g in children] + [piece.garment for piece in theirs]
    bought = [notion.name for notion in notions]
    found = (
        _CHILDREN if children or not wearers else "",
        _SMALL_PARTS if youngest else "",
        _cords(corded, children, _hits(_CORDS, bought) if children or not wearers else []),
        _where(_FLAMMABLE, _hits(_SHEER, (fabric.name for fabric in fabrics))),
        _where(_SLEEPWEAR_TEXT, _hits(_SLEEPWEAR, garment_names)),
        _where(_ENDS_TEXT, _hits(_ENDS, bought)),
    )
    told = tuple(text.strip() for text in found if text)
    return (*told, _DEFER) if told else ()


def _cords(corded: Sequence[Piece], children: Sequence[GarmentSpec], bought: Sequence[str]) -> str:
    """What is asked of cords at the ages of their wearers; at all ages where none is known.

    `bought` are the cords among the notions, whoever of the children has them.
    """
    heights = {g.name: g.body.height for g in children}
    worn = [heights.get(piece.garment) for piece in corded]
    worn += (list(heights.values()) or [None]) if bought else []
    ages = [
        text
        for text, applies in (
            (_YOUNG_CORDS, any(h is None or h <= _YOUNG_HEIGHT_MM for h in worn)),
            (_OLD_CORDS, any(h is None or h > _YOUNG_HEIGHT_MM for h in worn)),
        )
        if applies
    ]
    names = sorted({*bought, *(piece.name for piece in corded)})
    age = "; ".join(ages)
    told = {"where": ", ".join(names), "age": age[:1].upper() + age[1:]}
    return _CORD_TEXT.format(**told) if names else ""


def _below(garment: GarmentSpec, height_mm: float, chest_mm: float) -> bool:
    """Whether the wearer is smaller than that, or of unknown size."""
    body = garment.body
    if body.height is not None:
        return body.height < height_mm
    return body.chest is None or body.chest < chest_mm


def _hits(pattern: re.Pattern[str], names: Iterable[str]) -> list[str]:
    return sorted({name for name in names if pattern.search(name.replace("_", " "))})


def _where(text: str, names: list[str]) -> str:
    return text.format(where=", ".join(names)) if names else ""
