"""Cautions fire where they apply, name their sources, and defer to those who know."""

from dataclasses import replace

import pytest

from nesting.fabric.cautions import cautions
from nesting.fabric.fabric import Fabric
from pieces.body.measurements import Body
from pieces.drafting.spec import GarmentSpec
from tests.nesting.output.sample_plan import rectangle

DEFERS = "These are pointers, not a ruling: local rules and qualified people decide."
POPLIN = Fabric("poplin", 1120.0)
PLAIN = (rectangle("front", "Dora", "poplin", 100, 100),)


def _worn_by(**body):
    return (GarmentSpec("Dora", Body(**body), (), "garment[0]"),)


def _heads(*args):
    *told, last = cautions(*args) or ("",)
    assert not last or last == DEFERS
    return [text.split(":")[0].split(" (")[0] for text in told]


GROWN = _worn_by(height=1680.0)


def test_a_grown_wearer_in_plain_cloth_needs_none():
    assert cautions([POPLIN], PLAIN, GROWN) == ()


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ({"height": 1040.0}, ["Children's clothes"]),
        ({"chest": 620.0}, ["Children's clothes"]),
        ({"height": 860.0}, ["Children's clothes", "Wearers under three"]),
        ({"chest": 490.0}, ["Children's clothes", "Wearers under three"]),
        ({}, ["Children's clothes", "Wearers under three"]),
        ({"chest": 880.0}, []),
    ],
)
def test_children_always_get_the_general_one(body, expected):
    assert _heads([POPLIN], PLAIN, _worn_by(**body)) == expected


def test_medians_of_three_year_olds_count_as_children_just_under_three():
    """WHO Child Growth Standards (2006): 95.1 and 96.1 cm at 36 months, 102.7 at 48."""
    for height in (951.0, 961.0):
        assert "Wearers under three" in _heads([POPLIN], PLAIN, _worn_by(height=height))
    assert "Wearers under three" not in _heads([POPLIN], PLAIN, _worn_by(height=1027.0))


def test_without_wearers_the_clothes_may_be_for_children():
    assert _heads([POPLIN], PLAIN) == ["Children's clothes"]


@pytest.mark.parametrize("name", ["tulle", "stiff net", "Silk Organza", "cotton_lawn", "nets"])
def test_sheer_cloth_calls_for_care_with_fire(name):
    text, _ = cautions([Fabric(name, 1400.0), POPLIN], PLAIN, GROWN)
    assert text.startswith(f"Flammability ({name})")
    assert "16 CFR 1610" in text
    assert "88 g/m2" in text


@pytest.mark.parametrize("name", ["garnet satin", "magnetic", "lawnmower", "clean cotton"])
def test_names_that_only_look_like_it_do_not(name):
    assert cautions([Fabric(name, 1400.0)], PLAIN, GROWN) == ()


@pytest.mark.parametrize("name", ["band", "waistband", "hem band"])
def test_a_band_sewn_down_all_round_is_no_cord(name):
    assert cautions([POPLIN], [rectangle(name, "", "poplin", 100, 20)], GROWN) == ()


@pytest.mark.parametrize(
    "name", ["sash", "neck tie", "hair bow", "left strap", "cape hood", "bow tie band"]
)
def test_ties_and_straps_call_for_care_with_cords(name):
    _, text, _ = cautions([POPLIN], [rectangle(name, "", "poplin", 100, 20)])
    assert text.startswith(f"Cords, ties and sashes ({name})")
    assert "EN 14682:2014" in text
    assert "from memory, check" in text


def test_nightwear_has_its_own():
    _, text, _ = cautions([POPLIN], [rectangle("front", "nightdress", "poplin", 9, 9)])
    assert text.startswith("Nightwear (nightdress)")
    assert "1615" in text


def test_all_cautions_together_defer_once_to_those_who_know():
    *everything, last = cautions(
        [Fabric("tulle", 1400.0)],
        [rectangle("sash", "nightgown", "tulle", 100, 20)],
        _worn_by(height=860.0),
    )
    assert len(everything) == 5
    assert last == DEFERS
    assert not any("{" in text or "local rules" in text.lower() for text in everything)


def test_what_is_asked_for_children_is_not_told_to_the_grown():
    """EN 14682 is of children's clothing, 16 CFR 1615 and 1616 of children's sleepwear."""
    sash = rectangle("sash", "Dora", "poplin", 100, 20)
    assert cautions([POPLIN], [sash], GROWN) == ()
    gown = (replace(GROWN[0], name="nightgown"),)
    assert cautions([POPLIN], [replace(sash, name="front", garment="nightgown")], gown) == ()


@pytest.mark.parametrize(("height", "young"), [(1040.0, True), (1430.0, False)])
def test_cords_are_told_for_the_wearer_s_age(height, young):
    sash = rectangle("sash", "Dora", "poplin", 100, 20)
    (cords,) = (
        text for text in cautions([POPLIN], [sash], _worn_by(height=height)) if "sash" in text
    )
    assert ("under 7" in cords, "from 7 to 14" in cords.lower()) == (young, not young)


def test_braces_in_a_name_stay_as_they_are():
    text, _ = cautions([Fabric("tulle {x}", 1400.0)], PLAIN, GROWN)
    assert "(tulle {x})" in text
