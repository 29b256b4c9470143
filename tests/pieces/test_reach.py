"""The reach of the drafts: every one over all sizes and 500 bodies; what is no body is refused.

What is sound has no line that kinks at a seam, no seam that misses its length, and notches that
meet.
"""

import random
from dataclasses import fields, replace

import pytest

from pieces.body.measurements import Body
from pieces.body.ranges import RANGES_MM
from pieces.body.tables import SIZES
from pieces.drafting.registry import DRAFTS
from pieces.errors import OrderFault
from pieces.piece import Draft
from tests.examples import seeds, some
from tests.pieces.test_blocks import sound
from tests.pieces.wearers import COMPLETE, concert_dress, garment, part, without_notions

NAMES = [field.name for field in fields(Body) if not field.name.startswith("across")]
NECKS = ("round", "V", "square", "boat")
ROUND_THE_BODY = ("chest", "waist", "hip")


def other_dress(neck, closing, waist):
    """What the concert dress has not; only the options differ from wearer to wearer."""
    collar = (
        [part("collar"), part("collar", "lawn", style="stand", ends="round")]
        if neck == "round"
        else []
    )
    return (
        part("bodice", neck=neck, closing=closing, waist=waist, lining="cotton"),
        part("sleeve", style="puff", lining="cotton"),
        part("sleeve band"),
        *collar,
        part("facing"),
        part("yoke", lining="cotton"),
        part("pleated skirt", "satin", kind="knife", lining="cotton"),
        part("band", "print"),
        part("pleated skirt", "lawn", kind="box"),
        part("pleated skirt", "wool", kind="inverted"),
        part("peplum", hem=8.0),
        part("tier", "net", strips="joined end to end", depth=90.0, at_waist=True),
        part("tier", "net", strips="joined end to end", depth=90.0, fullness=2.0),
        part("underlayer", "stiff net"),
        part("bias binding", edge="neck"),
        part("bias binding", edge="hem", method="square"),
        part("casing"),
        part("sash"),
        part("bow"),
        part("pocket"),
        part("pocket", "cotton", style="in seam"),
    )


def sleeveless_dress(neck):
    return (
        part("one-shoulder bodice", "lawn", lining="cotton"),
        part("bodice", neck=neck, sleeveless=True, closing="buttons"),
        part("facing", edge="armhole"),
        part("bias binding", edge="armhole", fold="French"),
        part("flared skirt", circle="quarter", opening="side"),
    )


def other_sleeves(neck):
    return (
        part("A-line dress", neck=neck, closing="buttons"),
        *([part("sailor collar")] if neck in ("round", "V") else []),
        part("bishop sleeve", lining="cotton"),
        part("sleeve band"),
        part("bell sleeve", "lawn", lining="cotton"),
        part("cap sleeve", "lawn", lining="cotton", hem=8.0),
        part("flutter sleeve", "tulle", hem=8.0),
        part("gathered skirt", "lawn"),
        part("waistband", lining="cotton", style="faced"),
        part("bloomers", "lawn", lining="cotton"),
    )


def whole_garments(number):
    """What is worn by itself, or over and with other things."""
    neck = NECKS[number % 4]
    return (
        (
            part("christening gown", neck=neck, style=("yoke", "one-piece")[number % 3 == 0]),
            part("sleeve", style="puff"),
            part("overskirt", "tulle", hem=8.0, back_longer=150.0),
            part("train", lining="cotton", hem=8.0),
        ),
        (part("romper", neck=neck, lining="cotton", hem=15.0),),
        (
            part("pinafore", hem=8.0),
            part("yoke"),
            part("petticoat", lining="cotton", hoops=(None, 1, 0)[number % 3]),
            part("waistband"),
        ),
        (
            part("waistcoat", lining="cotton"),
            part("trousers", waist="band", style=("long", "knee", "short")[number % 3]),
            part("bow tie"),
            part("cummerbund", lining="cotton"),
            part("trousers", "wool", lining="cotton", style=("short", "long")[number % 2]),
        ),
        (
            part(
                "cape",
                hood=True,
                lining="cotton",
                circle=("half", "three-quarter")[number % 2],
                on_fold=number % 3 > 0,
            ),
        ),
    )


def dresses(number):
    neck = NECKS[number % 4]
    closing = ("zip", "buttons", "front opening")[number % 3]
    waist = ("natural", "high")[number % 5 == 0]
    other = other_dress(neck, closing, waist)
    return (
        concert_dress(),
        other,
        sleeveless_dress(neck),
        other_sleeves(neck),
        *whole_garments(number),
    )


def test_the_dresses_have_every_draft():
    used = {one.draft for number in range(4) for dress in dresses(number) for one in dress}
    assert used == set(DRAFTS)


@pytest.mark.parametrize("size", some(SIZES))
def test_every_draft_in_every_size(size):
    """The concert dress in every size is in the tests of blocks; every neck in those of bodices."""
    for dress in dresses(list(SIZES).index(size))[1:]:
        sound(without_notions(garment(SIZES[size], *dress)))


def plausible(chance):
    """A body like one of the tables', larger or smaller as a whole, each measure a little."""
    like, whole = SIZES[chance.choice(COMPLETE)], chance.uniform(0.9, 1.45)
    own = {
        name: chance.uniform(0.99, 1.01) if name in ROUND_THE_BODY else chance.uniform(0.94, 1.06)
        for name in NAMES
    }
    known = [name for name in NAMES if getattr(like, name) is not None]
    return Body(**{name: getattr(like, name) * whole * own[name] for name in known})


@pytest.mark.parametrize("seeds", seeds(4, 500))
def test_every_draft_for_any_body(seeds):
    """Seeded, so that what fails can be looked at again."""
    for number in seeds:
        body = plausible(random.Random(number))
        for dress in dresses(number):
            sound(without_notions(garment(body, *dress)))


@pytest.mark.parametrize("name", RANGES_MM)
@pytest.mark.parametrize("share", [0.02, 0.9, 1.1, 10.0, 25.4])
def test_what_is_no_body_is_a_clear_fault(name, share):
    """Just beyond the range, and a measure taken in inches or millimetres for centimetres."""
    least, most = RANGES_MM[name]
    body = replace(SIZES["6 years"], **{name: (least if share < 1 else most) * share})
    with pytest.raises(OrderFault) as caught:
        garment(body, *concert_dress())
    (fault,) = caught.value.faults
    assert fault.key == f"garment[0].body.{name}"
    assert fault.message.endswith(".")
    assert "measure again" in fault.remedy


@pytest.mark.parametrize("name", NAMES)
def test_a_measure_that_is_a_bodys_but_not_this_ones(name):
    """Pieces with a finding, or a fault; never a dress that says nothing."""
    for end in RANGES_MM[name]:
        body = replace(SIZES["6 years"], **{name: end})
        draft = Draft(())
        told = []
        try:
            draft = garment(body, *concert_dress()[:4])
        except OrderFault as refused:
            told = list(refused.faults)
        assert told or draft.findings, (name, end)
