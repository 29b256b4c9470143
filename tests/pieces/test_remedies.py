"""What a fault tells to write is a key of the part that it speaks of, and writing it helps."""

import re
from dataclasses import fields, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pieces.body.measurements import Body
from pieces.body.tables import fill
from pieces.drafting.garment import draft_garment
from pieces.drafting.registry import DRAFTS
from pieces.drafting.spec import Cutting, GarmentSpec
from pieces.errors import OrderFault
from pieces.units import Unit
from tests.examples import examples
from tests.pieces.test_wild_orders import CUTTINGS, MEASURES, PLAUSIBLE, parts
from tests.pieces.wearers import garment, part

OF_PARTS = {"draft", "fabric", "lining", "seam_allowance", "hem_allowance"}
OF_PARTS |= {"match", "motif", "border"}
OF_BODIES = {field.name for field in fields(Body)}
KEYS = {name: {field.name for field in fields(kind.options)} for name, kind in DRAFTS.items()}
EVERY = set().union(*KEYS.values()) | OF_PARTS
_WRITTEN = re.compile(
    r"\b([a-z]+(?:_[a-z]+)+)\b|\b([a-z_]+) = "
    r"|\b(?:smaller|larger|longer|shorter|less|more|fewer|another|[Gg]ive an?) "
    r"(?!smaller|larger|longer|shorter)([a-z_]+)"
)


def named_in(remedy):
    """The keys of drafts that a remedy names."""
    found = {word for match in _WRITTEN.findall(remedy) for word in match if word}
    return found & EVERY | {word for word in found if "_" in word}


def faults_of(body, *asked, cuttings=None):
    try:
        garment(body, *asked, cuttings=cuttings)
    except OrderFault as refused:
        return refused.faults
    return ()


def holds(fault, draft):
    """Whether the key of a fault and those it names are keys that this draft has."""
    known = KEYS[draft] | OF_PARTS | {"size"}
    for word, other in (("bodice", "bodice"), ("skirt before it", "flared skirt")):
        if word in fault.remedy:
            known |= KEYS[other]
    *_, last = fault.key.split(".")
    of_body = ".body." in fault.key
    assert last in (OF_BODIES if of_body else KEYS[draft] | OF_PARTS), str(fault)
    assert named_in(fault.remedy) <= known, str(fault)


@settings(max_examples=examples(200), deadline=None)
@given(
    st.one_of(st.just(PLAUSIBLE), st.builds(Body, **MEASURES)),
    st.lists(parts(), max_size=2),
    parts(),
    CUTTINGS,
)
def test_every_key_that_a_fault_names_is_one_of_its_draft(body, before, asked, cuttings):
    own = set(faults_of(body, *before, cuttings=cuttings))
    for fault in set(faults_of(body, *before, asked, cuttings=cuttings)) - own:
        holds(fault, asked.draft)


@pytest.mark.parametrize("draft", DRAFTS)
def test_of_a_body_that_nobody_measured(draft):
    faults = faults_of(Body(), part(draft))
    for fault in faults:
        holds(fault, draft)
    assert faults or draft in ("pocket", "bow")


def test_named_keys_are_found():
    """That the check above sees what it is to see."""
    assert named_in("Give a longer strip_length or less fullness.") == {"strip_length", "fullness"}
    assert named_in('Give it, such as depth = "40 cm", or the height.') == {"depth"}
    assert named_in("Give a smaller depth or overlap.") == {"depth"}


NARROW = {"satin": Cutting(25.0, 25.0)}
HELPED = [
    # draft, options that are refused, key told, options that the remedy asks for
    ("tier", {"strips": "joined end to end", "joins": 2}, "joins", {"joins": None}),
    ("gathered skirt", {"lining_shorter": 3000.0}, "lining_shorter", {"lining_shorter": 20.0}),
    ("pleated skirt", {"lining_shorter": 3000.0}, "lining_shorter", {"lining_shorter": 20.0}),
    ("underlayer", {"shorter": 3000.0}, "shorter", {"shorter": 30.0}),
    ("band", {"joins": 3, "strip_length": 600.0}, "joins", {"strip_length": None}),
    ("sash", {"strip_length": 21.0}, "strip_length", {"strip_length": 600.0}),
    ("pleated skirt", {"strip_length": 60.0}, "strip_length", {"strip_length": 900.0}),
    ("flared skirt", {"circle": "full", "panels": 1, "slit": 900.0}, "slit", {"panels": 2}),
    ("pocket", {"width": 8.0}, "width", {"width": 100.0}),
    ("bias binding", {"length": 90000.0, "strip_length": 60.0}, "strip_length",
     {"strip_length": 3000.0}),
]  # fmt: skip


@pytest.mark.parametrize(("draft", "options", "key", "helped"), HELPED)
def test_following_a_remedy_helps(draft, options, key, helped):
    def asked(**own):
        below = (part("flared skirt", at=0),) if draft == "band" else ()
        lining = "cotton" if "lining_shorter" in options else None
        return (*below, part(draft, "satin", lining, at=len(below), **own))

    (fault,) = faults_of(PLAUSIBLE, *asked(**options))
    assert fault.key.endswith(f".{key}")
    holds(fault, draft)
    assert faults_of(PLAUSIBLE, *asked(**options | helped)) == ()


def test_what_is_too_long_is_not_to_be_longer():
    (fault,) = faults_of(PLAUSIBLE, part("underlayer", shorter=3000.0))
    assert fault.remedy.startswith("Give less")


def test_a_tier_without_a_height_asks_for_its_own_key():
    for draft, key in (("tier", "depth"), ("gathered skirt", "length")):
        body = Body(waist=500.0)
        (fault,) = faults_of(body, part(draft))
        assert fault.key == f"garment[0].part[0].{key}"
        assert f'{key} = "40 cm"' in fault.remedy
        assert faults_of(body, part(draft, **{key: 400.0})) == ()


def test_strips_of_a_narrow_cloth_need_a_wider_one():
    """Nobody gave a strip_length, and one longer than the cloth is wide would not lie on it."""
    for draft in ("gathered skirt", "sash", "casing"):
        (fault,) = faults_of(PLAUSIBLE, part(draft), cuttings=NARROW)
        assert fault.remedy.startswith("Take a wider cloth")
        assert faults_of(PLAUSIBLE, part(draft)) == ()


def test_a_size_that_is_named_is_not_asked_for_again():
    """No table has all that the tape has; here the wrist is taken out."""
    body, filled = fill(Body(), "6 months")
    body = replace(body, wrist=None)
    parts_asked = part("bodice"), part("sleeve", at=1, style="long")
    spec = GarmentSpec("Ada", body, parts_asked, "garment[0]", filled, unit=Unit.CM)
    with pytest.raises(OrderFault) as refused:
        draft_garment(spec)
    (fault,) = refused.value.faults
    assert fault.key == "garment[0].body.wrist"
    assert "size =" not in fault.remedy
