"""Size tables against other published tables, and measures that are hardly one body's."""

import math
import re
from dataclasses import fields, replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pieces.body.doubts import doubts
from pieces.body.heights import HEIGHTS
from pieces.body.infants import INFANT_BOYS, INFANT_GIRLS
from pieces.body.measurements import Body
from pieces.body.ranges import RANGES_MM, impossible
from pieces.body.shoulders import SLOPE_DEG, half_neck, one_shoulder, shoulder_told
from pieces.body.sources import Row
from pieces.body.tables import AGES, BOYS, GIRLS, SIZES, fill
from pieces.drafting.bodices.bodice_block import ACROSS_BACK, ACROSS_FRONT
from pieces.drafting.bodices.upper import quarter_chest_ease
from pieces.units import Unit, parse_length

NAMES = [field.name for field in fields(Body) if not field.name.startswith("across")]

# WHO Child Growth Standards (2006), tables lenanthro and acanthro: medians M of height and
# mid-upper-arm circumference, cm, at 36, 48 and 60 months.
WHO = {
    "girl": {"height": (95.1, 102.7, 109.4), "upper_arm": (15.6, 16.2, 16.9)},
    "boy": {"height": (96.1, 103.3, 110.0), "upper_arm": (15.7, 16.1, 16.5)},
}


@pytest.mark.parametrize("who", ["girl", "boy"])
@pytest.mark.parametrize(("measure", "within_mm"), [("height", 20.0), ("upper_arm", 5.0)])
def test_means_of_the_survey_are_near_the_who_medians(who, measure, within_mm):
    """Two populations thirty years apart: within 2 cm of height and 0.5 cm of arm."""
    for age, median in zip((3, 4, 5), WHO[who][measure], strict=True):
        assert getattr(SIZES[f"{age} years {who}"], measure) == pytest.approx(
            median * 10, abs=within_mm
        )


BUST = ("bust_height", "bust_span")


@pytest.mark.parametrize("size", SIZES)
def test_every_size_is_one_body(size):
    body = SIZES[size]
    assert doubts(body) == ()
    assert impossible(body, "") == ()
    unknown = {name for name in NAMES if getattr(body, name) is None}
    assert unknown == ({"front_waist"} if body.has_bust else {"front_waist", "rise", *BUST})
    # Every chart compared (1977 survey, US and European tables) keeps these two.
    assert body.hip >= body.chest - 10
    assert body.waist <= body.chest + 10


# The same tables at 6 to 24 months (months x 30.4375 days): median length, lying, and arm.
WHO_INFANTS = {
    "girl": {
        "height": (65.8, 70.1, 74.0, 80.7, 86.4),
        "upper_arm": (13.8, 14.1, 14.2, 14.5, 14.9),
    },
    "boy": {"height": (67.6, 72.0, 75.7, 82.3, 87.8), "upper_arm": (14.2, 14.5, 14.6, 14.8, 15.2)},
}


@pytest.mark.parametrize("who", ["girl", "boy"])
@pytest.mark.parametrize("measure", ["height", "upper_arm"])
def test_infants_are_the_who_medians(who, measure):
    for age, median in zip((6, 9, 12, 18, 24), WHO_INFANTS[who][measure], strict=True):
        assert getattr(SIZES[f"{age} months {who}"], measure) == pytest.approx(median * 10)


def test_height_labels_go_by_six_centimetres():
    """EN 13402's labels; an excerpt in a British textbook gives 104, 110, 116 the chests 56, 58, 60
    (55.5 to 61 with their ranges): a size less than the table, as charts differ."""
    labels = [size for size in SIZES if size.endswith("cm") and not size.startswith("bust")]
    assert labels == [f"{label} cm" for label in range(56, 177, 6)]
    assert all(SIZES[label].height == float(label[:-3]) * 10 for label in labels)
    for label, chest in ((104, 560), (110, 580), (116, 600)):
        assert SIZES[f"{label} cm"].chest == pytest.approx(chest, abs=20)


@pytest.mark.parametrize("name", RANGES_MM)
def test_a_measure_out_of_range_is_a_fault_in_the_dressers_unit(name):
    least, most = RANGES_MM[name]
    assert impossible(Body(**{name: least}), "") == impossible(Body(**{name: most}), "") == ()
    for value in (least - 1, most + 1):
        (fault,) = impossible(Body(**{name: value}), "garment[1]")
        assert fault.key == f"garment[1].body.{name}"
        assert fault.message.count(" cm") == 3
        (fault,) = impossible(Body(**{name: value}), "garment[1]", Unit.IN)
        assert fault.message.count(" in ") == 3
        assert "cm" not in fault.message


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("unit", [Unit.MM, Unit.CM, Unit.IN])
def test_what_is_hardly_out_of_range_is_told_as_out_of_it(name, unit):
    least, most = RANGES_MM[name]
    for value in (least - 0.04, most + 0.04):
        (fault,) = impossible(Body(**{name: value}), "garment[0]", unit)
        told = re.findall(rf"([\d/. ]+) {unit}\b", fault.message)
        given, low, high = (parse_length(one, unit) for one in told)
        assert low < high
        assert not low <= given <= high


@pytest.mark.parametrize("table", [GIRLS, BOYS])
def test_sizes_grow(table):
    """All but the waist, which dips; and arms at two years, the mean of very few children."""
    assert {len(row.cm) for row in table.values()} == {len(AGES)}
    assert tuple(range(2, 15)) == AGES
    for name in set(table) - {"waist"}:
        cm = table[name].cm[1:] if name in ("upper_arm", "wrist") else table[name].cm
        assert all(before < after for before, after in pairwise(cm)), name
    assert all(after > before - 0.3 for before, after in pairwise(table["waist"].cm[1:]))


@pytest.mark.parametrize("table", [HEIGHTS, INFANT_GIRLS, INFANT_BOYS])
def test_heights_and_infants_grow(table):
    for name, row in table.items():
        assert all(before <= after for before, after in pairwise(row.cm)), name


def test_infants_lead_on_to_two_years():
    """At 24 months and at two years it is the same child: to 1.5 cm, as height is measured
    lying and standing."""
    for who in ("girl", "boy"):
        one, other = SIZES[f"24 months {who}"], SIZES[f"2 years {who}"]
        for name in NAMES:
            assert getattr(one, name) == pytest.approx(getattr(other, name), abs=15.0), name


@pytest.mark.parametrize("size", SIZES)
def test_armholes_are_as_wide_as_an_arm(size):
    """Half the width of body that front and back leave for the armhole: 7.6 cm at 18 to 24 months
    (a pattern teaching site); more than the arm is thick, less than half as much again."""
    body = SIZES[size]
    half = half_neck(body) + body.shoulder * math.cos(math.radians(SLOPE_DEG))
    across = (ACROSS_BACK + ACROSS_FRONT) * half
    room = 2 * (body.chest / 4 + quarter_chest_ease(body.height, body.chest)) - across
    # A large bust lies in front of the arm, and half of it counts here.
    most = 2.2 if body.has_bust else 1.85
    assert 1.1 * body.upper_arm / math.pi < room < most * body.upper_arm / math.pi
    if size == "24 months":
        assert room == pytest.approx(76, abs=10)


def test_across_back_of_a_published_block():
    """A pattern teaching site's child of 18 to 24 months: half the back and 1 cm is 10.9 cm. (Yarn
    makers' tables, for knitted clothes, have half a centimetre more of it at 12 months and 1.7 at 4
    years.)"""
    body = SIZES["18 months"]
    tip = half_neck(body) + body.shoulder * math.cos(math.radians(SLOPE_DEG))
    assert ACROSS_BACK * tip == pytest.approx(99, abs=6)


@pytest.mark.parametrize("size", SIZES)
def test_a_shoulder_may_be_given_across_or_half_across(size):
    """Dressmakers measure from point to point, or half of that from the middle."""
    body = SIZES[size]
    half = half_neck(body) + body.shoulder * math.cos(math.radians(SLOPE_DEG))
    for measured, words in ((half, "half across"), (2 * half, "across both")):
        other = replace(body, shoulder=measured)
        assert one_shoulder(other).shoulder == pytest.approx(body.shoulder)
        (found,) = shoulder_told(other)
        assert (found.code, words in found.message) == ("shoulder-read-as", True)
    told = replace(body, shoulder=None, across_shoulders=2 * half)
    assert one_shoulder(told).shoulder == pytest.approx(body.shoulder)
    assert shoulder_told(told) == shoulder_told(body) == ()
    assert one_shoulder(body) == body


def test_across_the_shoulders_wins_over_the_tables_shoulder():
    body, taken = fill(Body(across_shoulders=230.0), "4 years")
    assert body.shoulder is None
    assert "shoulder" not in taken


def test_back_waist_is_that_of_the_yarn_standard():
    """Craft Yarn Council, body measurements, sizes 2, 4, 6 and 8: 8 1/2, 9 1/2, 10 1/2, 12 1/2
    inches."""
    for age, inches in ((2, 8.5), (4, 9.5), (6, 10.5), (8, 12.5)):
        assert SIZES[f"{age} years"].back_waist == pytest.approx(inches * 25.4, abs=0.6)


def test_every_row_names_its_source():
    tables = (GIRLS, BOYS, INFANT_GIRLS, INFANT_BOYS, HEIGHTS)
    rows: list[Row] = [row for table in tables for row in table.values()]
    assert all(row.source.value for row in rows)
    assert GIRLS["chest"].source is not GIRLS["back_waist"].source


def test_bare_size_is_a_girls():
    assert SIZES["4 years"] == SIZES["4 years girl"] != SIZES["4 years boy"]


@given(st.sampled_from(sorted(SIZES)), st.sets(st.sampled_from(NAMES)))
def test_the_tape_wins_over_the_table(size, measured_names):
    measured = Body(**dict.fromkeys(measured_names, 123.0))
    body, taken = fill(measured, size)
    names = [field.name for field in fields(Body)]
    known = {name for name in names if getattr(SIZES[size], name) is not None}
    assert set(taken) == known - measured_names
    for name in NAMES:
        expected = 123.0 if name in measured_names else getattr(SIZES[size], name)
        assert getattr(body, name) == expected


def test_without_a_size_nothing_is_filled():
    assert fill(Body(chest=500.0), None) == (Body(chest=500.0), ())


@pytest.mark.parametrize(
    ("typed", "meant"), [("4 year", "'4 years'"), ("6 years boys", "'6 years boy'")]
)
def test_unknown_size_names_those_there_are_and_the_nearest(typed, meant):
    with pytest.raises(ValueError, match=r"newborn.*2 years.*14 years.*176 cm") as caught:
        fill(Body(), typed)
    assert meant in str(caught.value)
    assert typed in str(caught.value)


def test_blanks_and_capitals_do_not_matter():
    assert fill(Body(), "  4  Years ")[0] == SIZES["4 years"]


@pytest.mark.parametrize(
    ("measures", "code"),
    [
        ({"waist": 560.0, "chest": 520.0}, "waist-over-chest"),
        ({"hip": 480.0, "chest": 520.0}, "hip-under-chest"),
        ({"chest": 900.0, "height": 1000.0}, "chest-over-height"),
        ({"arm": 500.0, "height": 1000.0}, "arm-over-height"),
        ({"back_waist": 400.0, "height": 1000.0}, "back-waist-over-height"),
        ({"shoulder": 240.0, "chest": 520.0}, "shoulder-over-chest"),
        ({"upper_arm": 300.0, "chest": 520.0}, "upper-arm-over-chest"),
        ({"neck": 400.0, "chest": 520.0}, "neck-over-chest"),
        ({"wrist": 200.0, "upper_arm": 170.0}, "wrist-over-upper-arm"),
        ({"chest": 400.0, "height": 1100.0}, "height-over-chest"),
        ({"arm": 260.0, "height": 1100.0}, "height-over-arm"),
        ({"back_waist": 200.0, "height": 1100.0}, "height-over-back-waist"),
        ({"waist": 320.0, "chest": 560.0}, "chest-over-waist"),
        ({"hip": 900.0, "chest": 560.0}, "hip-over-chest"),
        ({"shoulder": 50.0, "chest": 560.0}, "chest-over-shoulder"),
        ({"upper_arm": 110.0, "chest": 560.0}, "chest-over-upper-arm"),
        ({"neck": 150.0, "chest": 560.0}, "chest-over-neck"),
        ({"wrist": 65.0, "upper_arm": 170.0}, "upper-arm-over-wrist"),
    ],
)
def test_unlikely_measures_are_told_with_their_units(measures, code):
    (finding,) = doubts(Body(**measures))
    assert finding.code == code
    assert finding.message.count(" cm") == 2
    (finding,) = doubts(Body(**measures), Unit.IN)
    assert finding.message.count(" in") == 2
    assert "cm" not in finding.message
    assert not re.search(r"\ba [aeiou]", finding.message)


def test_only_what_was_measured_is_in_doubt():
    body = Body(chest=600.0, hip=541.0, waist=700.0)
    assert doubts(body, filled=("hip", "chest", "waist")) == ()
    told = {found.code: found.message for found in doubts(body, filled=("hip",))}
    assert told["hip-under-chest"].endswith(
        "the hip is the size table's and not measured. Measure it too, or name another size."
    )
    assert told["waist-over-chest"].endswith("measure both again.")


def test_waist_may_be_three_centimetres_over_the_chest():
    assert doubts(Body(chest=520.0, waist=550.0)) == ()
