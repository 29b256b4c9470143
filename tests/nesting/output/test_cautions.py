"""Cautions fire where they apply, name their sources, and defer to those who know."""

import pytest

from nesting.fabric.cautions import cautions
from nesting.fabric.fabric import Fabric
from pieces.body.measurements import Body
from pieces.drafting.spec import GarmentSpec
from tests.nesting.output.sample_plan import rectangle

POPLIN = Fabric("poplin", 1120.0)
PLAIN = (rectangle("front", "Dora", "poplin", 100, 100),)


def _worn_by(**body):
    return (GarmentSpec("Dora", Body(**body), (), "garment[0]"),)


def _heads(*args):
    return [text.split(":")[0].split(" (")[0] for text in cautions(*args)]


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
    (text,) = cautions([Fabric(name, 1400.0), POPLIN], PLAIN, GROWN)
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
    (text,) = cautions([POPLIN], [rectangle(name, "", "poplin", 100, 20)], GROWN)
    assert text.startswith(f"Cords, ties and sashes ({name})")
    assert "EN 14682:2014" in text
    assert "from memory, check" in text


def test_nightwear_has_its_own():
    (text,) = cautions([POPLIN], [rectangle("front", "nightdress", "poplin", 9, 9)], GROWN)
    assert text.startswith("Nightwear (nightdress)")
    assert "1615" in text


def test_every_caution_defers_to_those_who_know():
    everything = cautions(
        [Fabric("tulle", 1400.0)],
        [rectangle("sash", "nightgown", "tulle", 100, 20)],
        _worn_by(height=860.0),
    )
    assert len(everything) == 5
    for text in everything:
        assert text.endswith(
            "Local rules and qualified people decide; this is a pointer, not a ruling."
        )
        assert "{" not in text


def test_braces_in_a_name_stay_as_they_are():
    (text,) = cautions([Fabric("tulle {x}", 1400.0)], PLAIN, GROWN)
    assert "(tulle {x})" in text
