"""Wearers and garments for the tests of drafts."""

import os
from dataclasses import fields, replace

from hypothesis import strategies as st

from pieces.body.measurements import Body
from pieces.body.tables import SIZES
from pieces.drafting.garment import draft_garment
from pieces.drafting.registry import DRAFTS
from pieces.drafting.spec import GarmentSpec, PartSpec
from pieces.units import Unit

_FIELDS = [one for one in fields(Body) if getattr(SIZES["4 years"], one.name) is not None]
COMPLETE = sorted(size for size, body in SIZES.items() if 590 <= body.height <= 1350)
"""Sizes that are still a child's when they are made a tenth smaller or half as large again."""


ANY_BODIES = int(os.environ.get("ANY_BODIES", "0"))
"""How many seeded bodies the tests that draw them are to try, instead of a few."""


@st.composite
def bodies(draw: st.DrawFn) -> Body:
    """Bodies like those of the tables: larger or smaller as a whole, and each measure a little."""
    like = SIZES[draw(st.sampled_from(COMPLETE))]
    whole = draw(st.floats(0.9, 1.45))
    little, round_the_body = st.floats(0.94, 1.06), {"chest", "waist", "hip"}
    own = {f.name: st.floats(0.99, 1.01) if f.name in round_the_body else little for f in _FIELDS}
    return Body(**{f.name: getattr(like, f.name) * whole * draw(own[f.name]) for f in _FIELDS})


def part(draft, fabric="satin", lining=None, *, seam=10.0, hem=25.0, at=0, **options):
    """A part as an order would give it."""
    kind = DRAFTS[draft].options
    key = f"garment[0].part[{at}]"
    return PartSpec(draft, kind(**options), fabric, lining, seam, hem, key)


def garment(body, *parts, name="Ada's dress", cuttings=None, unit=Unit.CM):
    """A garment of these parts, drafted."""
    return draft_garment(GarmentSpec(name, body, parts, "garment[0]", unit=unit), cuttings or {})


def by_name(draft):
    return {piece.name: piece for piece in draft.pieces}


def concert_dress():
    """One of everything, in many cloths: each skirt goes to the waist by itself."""
    return (
        part("bodice", "satin", "cotton"),
        part("sleeve", "satin", "cotton"),
        part("flared skirt", "satin", "cotton", circle="half", lining_shorter=20.0),
        part("band", "print", depth=30.0),
        part("flared skirt", "tulle", circle="full", waist_fullness=1.5, hem=5.0),
        part("tier", "net", fullness=2.0),
        part("tier", "net", fullness=1.5),
        part("tier", "net", fullness=1.5),
        part("gathered skirt", "lawn", "cotton", fullness=3.0),
    )


def without_notions(draft):
    """A draft less its notions, and the findings that only tell how it is cut or opens."""
    how = ("binding-for-two", "square-to-cut", "no-cord-at-neck", "opens-at-side")
    kept = tuple(finding for finding in draft.findings if finding.code not in how)
    return replace(draft, findings=kept, notions=())
