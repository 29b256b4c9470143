"""Garments put together: what each part takes from those before it, names, refusals."""

import inspect
import re
from dataclasses import fields, replace

import pytest

from pieces.body.measurements import Body
from pieces.body.tables import SIZES
from pieces.drafting.context import DraftContext, pieces_of
from pieces.drafting.pattern import Allowances, Edge, Pattern
from pieces.drafting.registry import DRAFTS
from pieces.errors import OrderFault
from pieces.geometry import bounds
from pieces.piece import GrainRule
from pieces.seams import seam_length, whole_length
from pieces.units import Unit
from tests.pieces.wearers import by_name, concert_dress, garment, part

GIRL = SIZES["4 years"]


def checks(draft):
    return {check.what: check for check in draft.seam_checks}


def refused(body, *parts):
    with pytest.raises(OrderFault) as caught:
        garment(body, *parts)
    for fault in caught.value.faults:
        assert fault.message.endswith(".")
        assert fault.remedy.endswith(".")
    return [fault.key for fault in caught.value.faults]


def test_names_are_trade_words_and_unique():
    draft = garment(GIRL, *concert_dress())
    assert [piece.name for piece in draft.pieces] == [
        "bodice front",
        "bodice back",
        "bodice front lining",
        "bodice back lining",
        "sleeve",
        "sleeve lining",
        "satin skirt front",
        "satin skirt back",
        "satin skirt front lining",
        "satin skirt back lining",
        "band",
        "tulle skirt front",
        "tulle skirt back",
        "net tier 1",
        "net tier 2",
        "net tier 3",
        "lawn skirt panel",
        "lawn skirt panel lining",
    ]
    assert {piece.garment for piece in draft.pieces} == {"Ada's dress"}


def test_parts_that_differ_in_nothing_are_counted():
    overskirts = (part("flared skirt", "tulle"),) * 3
    tiers = part("tier", "net"), part("tier", "net", at_waist=True), part("tier", "net")
    names = [piece.name for piece in garment(GIRL, *overskirts, *tiers).pieces]
    assert len(set(names)) == len(names)
    assert "second tulle skirt front" in names
    assert names[-3:] == ["net tier 1", "net skirt 2 tier 1", "net skirt 2 tier 2"]


def test_lining_is_cut_from_its_own_cloth():
    draft = garment(GIRL, *concert_dress())
    assert {p.fabric for p in draft.pieces if p.name.endswith("lining")} == {"cotton"}


def test_every_skirt_is_checked_against_the_bodices_waist():
    draft = garment(GIRL, *concert_dress())
    bodice = whole_length(draft.pieces[:2], "waist")
    assert bodice == pytest.approx(GIRL.waist + 40)
    to_waist = [check for check in draft.seam_checks if check.what.endswith(" to waist")]
    assert len(to_waist) == 4
    assert all(check.that_mm == pytest.approx(bodice) for check in to_waist)


def test_without_a_bodice_a_skirt_takes_the_body():
    found = garment(GIRL, part("flared skirt")).seam_checks
    (check,) = (one for one in found if one.what.endswith("to waist"))
    assert check.that_mm == GIRL.waist


def test_each_tier_is_gathered_to_the_one_before():
    tiers = [part("tier", "net", fullness=f) for f in (1.5, 2.0, 2.0)]
    draft = garment(GIRL, *tiers)
    widths = [whole_length([piece], "top") for piece in draft.pieces]
    assert widths == pytest.approx([GIRL.waist * f for f in (1.5, 3.0, 6.0)])
    edges = [c.what for c in draft.seam_checks if "gathered" in c.what]
    assert [what.rpartition(" to ")[2] for what in edges] == [
        "waist",
        "hem of net tier 1",
        "hem of net tier 2",
    ]


def test_tiers_share_the_skirts_length_and_only_the_last_has_a_hem():
    draft = garment(GIRL, *[part("tier", "net", hem=25.0)] * 3)
    deep = [bounds(piece.outline)[2] for piece in draft.pieces]
    each = 0.28 * GIRL.height / 3
    assert deep == pytest.approx([each + 20, each + 20, each + 35])


def test_tier_after_a_band_begins_at_the_waist_again():
    draft = garment(GIRL, part("tier", "net"), part("band", "print"), part("tier", "net"))
    assert draft.pieces[-1].name == "net skirt 2 tier 1"


def test_band_goes_round_the_hem_before_it_whatever_lies_between():
    draft = garment(GIRL, part("bodice"), part("flared skirt"), part("sleeve"), part("band"))
    pieces = by_name(draft)
    hem = whole_length([pieces["skirt front"], pieces["skirt back"]], "hem")
    assert whole_length([pieces["band"]], "top") == pytest.approx(hem)


def test_skirt_with_a_band_has_a_seam_below_and_its_lining_reaches_the_bands_edge():
    skirt = part("flared skirt", "satin", "cotton", hem=40.0, seam=10.0, length=300.0)
    plain = garment(GIRL, skirt)
    banded = garment(GIRL, skirt, part("band", depth=35.0))
    front = by_name(banded)["skirt front"]
    assert front.on_fold[1][0] - front.on_fold[0][0] == pytest.approx(300 + 10 + 10, abs=0.1)
    assert all(check.ok for check in banded.seam_checks)
    for draft, down in ((plain, 300), (banded, 335)):
        lining = by_name(draft)["skirt front lining"]
        assert seam_length(lining, "side") == pytest.approx(down)


def test_lining_shorter_and_its_own_hem():
    skirt = part(
        "flared skirt",
        "satin",
        "cotton",
        length=300.0,
        lining_shorter=20.0,
        lining_hem_allowance=5.0,
    )
    lining = by_name(garment(GIRL, skirt))["skirt front lining"]
    fold = lining.on_fold[1][0] - lining.on_fold[0][0]
    assert fold == pytest.approx(280 + 10 + 5, abs=0.1)


def test_folded_band_is_twice_as_deep_with_its_crease():
    band = garment(GIRL, part("gathered skirt"), part("band", depth=40.0)).pieces[-1]
    assert bounds(band.outline)[2] == pytest.approx(2 * 40 + 2 * 10)
    ((start, end),) = band.drawn_lines
    assert start[0] == end[0] == pytest.approx(10 + 40)


def test_deep_straight_band_on_a_flared_hem_is_remarked_on():
    def found(skirt, **options):
        draft = garment(GIRL, part(skirt), part("band", **options))
        return [finding.code for finding in draft.findings]

    assert found("flared skirt", depth=60.0) == ["band-on-flared-hem"]
    assert found("flared skirt", depth=30.0) == []
    assert found("flared skirt", depth=60.0, fullness=2.0) == []
    assert found("gathered skirt", depth=60.0) == []


def test_hem_too_deep_for_its_curve_is_remarked_on():
    def found(hem, *more, lining=None, **options):
        parts = part("flared skirt", "satin", lining, hem=hem, **options), *more
        return [finding.code for finding in garment(GIRL, *parts).findings]

    assert found(25.0, circle="full") == ["deep-curved-hem"]
    assert found(10.0, circle="full") == []
    assert found(25.0, circle="half") == []
    assert found(45.0, circle="half") == ["deep-curved-hem"]
    band = part("band", depth=30.0)
    assert found(25.0, band, circle="full") == []
    assert found(25.0, band, circle="full", lining="cotton") == ["deep-curved-hem"]
    assert found(25.0, band, circle="full", lining="cotton", lining_hem_allowance=5.0) == []


def test_neck_without_an_opening_must_pass_the_head():
    def found(**options):
        draft = garment(GIRL, part("bodice", **options))
        return [finding.code for finding in draft.findings]

    assert found() == []
    assert found(closing="none") == ["neck-passes-no-head"]
    assert found(closing="none", neck_width=95.0, neck_depth=170.0) == []


_METRIC = re.compile(r"\d (?:mm|cm|m)\b")


def test_lengths_are_told_on_the_dressers_tape():
    """Whoever measures in inches has no centimetres on the tape."""
    parts = (
        part("bodice", "satin", "cotton", closing="none"),
        part("sleeve"),
        part("flared skirt", "satin", "cotton", circle="full", lining_shorter=60.0),
        part("band", depth=60.0),
        part("underlayer", "net", shorter=0.0, horsehair=True),
        part("pleated skirt", "print", pleat_depth=90.0),
        part("casing"),
    )
    body = replace(SIZES["4 years"], waist=700.0)
    told = {}
    for unit in (Unit.CM, Unit.IN):
        draft = garment(body, *parts, unit=unit)
        told[unit] = [f.message for f in draft.findings] + [c.what for c in draft.seam_checks]
    assert sum(bool(_METRIC.search(text)) for text in told[Unit.CM]) >= 9
    assert [text for text in told[Unit.IN] if _METRIC.search(text)] == []


def test_refusals_are_told_on_the_dressers_tape():
    parts = (
        part("bodice", scye_depth=20.0),
        part("tier", depth=3.0, at=1),
        part("sash", strip_length=15.0, at=2),
    )
    with pytest.raises(OrderFault) as refused:
        garment(SIZES["4 years"], *parts, unit=Unit.IN)
    assert len(refused.value.faults) == 3
    assert not [fault for fault in refused.value.faults if _METRIC.search(fault.message)]
    assert all(" in" in fault.message for fault in refused.value.faults)


def test_unlikely_measures_are_found():
    draft = garment(replace(GIRL, waist=600.0), part("bodice"))
    assert [finding.code for finding in draft.findings] == ["waist-over-chest"]


@pytest.mark.parametrize("draft", ["tier", "band"])
@pytest.mark.parametrize("grain", [GrainRule.ANY, GrainRule.LENGTHWISE, GrainRule.CROSSWISE])
def test_strips_take_the_grain_they_are_told(draft, grain):
    pieces = garment(GIRL, part("gathered skirt"), part(draft, grain=grain.value)).pieces
    assert pieces[-1].grain_rule is grain


def test_everything_missing_is_told_at_once_and_once():
    keys = refused(Body(), *concert_dress())
    assert keys == [
        "garment[0].body.chest",
        "garment[0].body.shoulder",
        "garment[0].body.waist",
        "garment[0].body.back_waist",
        "garment[0].part[0].length",
        "garment[0].part[0].depth",
    ]


@pytest.mark.parametrize(
    ("options", "key"),
    [
        ({"length": 120.0}, "length"),
        ({"shoulder": 190.0}, "shoulder"),
        ({"shoulder": 17.0}, "shoulder"),
        ({"neck_width": 115.0}, "neck_width"),
        ({"neck_depth": 400.0}, "neck_depth"),
        ({"scye_depth": 20.0}, "scye_depth"),
    ],
)
def test_bodice_that_cannot_be_drawn(options, key):
    assert f"garment[0].part[0].{key}" in refused(GIRL, part("bodice", **options))


@pytest.mark.parametrize(
    ("draft", "options", "key"),
    [
        ("sleeve", {"ease": 300.0}, "ease"),
        ("sleeve", {"length": 60.0}, "length"),
        ("flared skirt", {"circle": "full", "panels": 1, "on_fold": False}, "on_fold"),
        ("flared skirt", {"circle": "full", "panels": 1, "slit": 900.0}, "slit"),
        ("flared skirt", {"lining_shorter": 900.0}, "lining_shorter"),
        ("gathered skirt", {"strip_length": 15.0}, "strip_length"),
        ("tier", {"fullness": 900.0}, "strip_length"),
        ("tier", {"fullness": 0.9}, "fullness"),
        ("tier", {"depth": 2.0}, "depth"),
        ("flared skirt", {"waist_fullness": 0.5}, "waist_fullness"),
        ("flared skirt", {"length": 1.0}, "length"),
    ],
)
def test_parts_that_cannot_be_drawn(draft, options, key):
    parts = part("bodice"), part(draft, at=1, **options)
    assert refused(GIRL, *parts) == [f"garment[0].part[1].{key}"]


def test_parts_without_what_they_are_sewn_to():
    assert refused(GIRL, part("sleeve"), part("band", at=1)) == [
        "garment[0].part[0].draft",
        "garment[0].part[1].draft",
    ]


def test_sleeve_of_a_bodice_that_failed_is_not_blamed():
    assert refused(GIRL, part("bodice", length=100.0), part("sleeve", at=1)) == [
        "garment[0].part[0].length"
    ]


def test_allowances_that_fit_nowhere_are_refused():
    """A pattern with a slot narrower than the two allowances inside it."""
    corners = ((0, 0), (90, 0), (90, 99), (50, 99), (50, 9), (46, 9), (46, 99), (0, 99), (0, 0))
    slit = Pattern(name="slit", edges=(Edge("edge", corners),), grain=((1, 1), (1, 9)))
    context = DraftContext(garment="", garment_key="", body=GIRL, part=part("band"))
    with pytest.raises(OrderFault, match=r"part\[0\].seam_allowance: .* around the slit lining"):
        pieces_of(context, [slit], "satin", Allowances(10.0, 0.0, 0.0), " lining")


@pytest.mark.parametrize("kind", DRAFTS.values(), ids=DRAFTS)
def test_every_draft_says_what_it_is_and_what_it_may_be_told(kind):
    assert DRAFTS[kind.name] is kind
    assert kind.description
    assert kind.options() == kind.options()
    told = "".join(base.__doc__ or "" for base in kind.options.__mro__)
    named = re.findall(r"^    ([a-z_, ]+) : ", told, re.MULTILINE)
    documented = {name for line in named for name in line.split(", ")}
    assert documented == {option.name for option in fields(kind.options)}
    assert "Raises" in kind.draft.__doc__


SOURCES = re.compile(
    r"\([^()]*(common practice|from memory|secondary copy|geometry|several publications|"
    r"NIMI, 2024|Clothing for Women|Scientific Sewing and Garment Cutting|"
    r"Practical Designer|Complete Course in Dressmaking|School Needlework|"
    r"Vincent's Systems|Practical Guide|"
    r"teaching (notes|site|blog)|sewing blog|EN 14682)[^()]*\)"
)


def steps(draft):
    """The numbered steps of a draft's docstring, and the numbers that they carry."""
    told = inspect.getdoc(draft)
    section = re.search(r"^Steps\n-----\n(.*?)(?:\n\n|\Z)", told, re.MULTILINE | re.DOTALL)
    assert section, f"{draft.__name__} has no steps"
    found = re.split(r"^(\d+)\. ", section[1], flags=re.MULTILINE)
    assert found[0] == ""
    return [int(number) for number in found[1::2]], [" ".join(step.split()) for step in found[2::2]]


@pytest.mark.parametrize("kind", DRAFTS.values(), ids=DRAFTS)
def test_every_draft_tells_its_steps_and_where_each_comes_from(kind):
    numbers, told = steps(kind.draft)
    assert len(told) >= 2
    assert numbers == list(range(1, len(told) + 1))
    assert [step for step in told if not SOURCES.search(step)] == []
