"""What can't be put on or sewn is told, with a remedy that ends it."""

import math
from dataclasses import replace

import pytest

from nesting.order.read import order_from_text
from nesting.rules.parts import draft_order
from pieces.body.measurements import Body
from pieces.body.tables import SIZES
from pieces.drafting.spec import Cutting, GarmentSpec
from pieces.drafting.worn import worn
from pieces.seams import whole_length
from pieces.units import Unit
from tests.pieces.wearers import by_name, garment, part

GIRL = SIZES["4 years"]
OLDER = SIZES["8 years"]
"""Her chest of 62.2 cm is more than the waist and its ease, 59.9 cm; so is her hip."""


def told(body, *parts, unit=Unit.CM, cuttings=None, ready=False):
    spec = GarmentSpec("Ada", body, parts, "garment[0]", unit=unit)
    return {found.code: found.message for found in worn(spec, cuttings, ready=ready)}


def test_elastic_lets_a_skirt_pass_the_hip():
    """A skirt drawn over a hip of 54.1 cm can't be 48.6 cm round where it opens nowhere."""
    skirt = part("gathered skirt", fullness=2.0)
    message = told(GIRL, skirt, part("casing"))["skirt-passes-no-hip"]
    assert "48.6 cm" in message
    assert "54.1 cm" in message
    assert 'length = "56.1 cm"' in message
    assert told(GIRL, skirt, part("casing", length=561.0)) == {}
    assert (
        'length = "22 1/16 in"'
        in told(GIRL, skirt, part("casing"), unit=Unit.IN)["skirt-passes-no-hip"]
    )


@pytest.mark.parametrize(
    ("draft", "key"), [("gathered skirt", "fullness"), ("flared skirt", "waist_fullness")]
)
def test_a_skirt_on_elastic_is_as_long_at_its_top_as_the_hip(draft, key):
    casing = part("casing", length=561.0)
    hem = {"circle": "full"} if draft == "flared skirt" else {}
    message = told(GIRL, part(draft, **{key: 1.0}, **hem), casing)["skirt-passes-no-hip"]
    assert f"{key} = 1.16 or more" in message
    assert "skirt-passes-no-hip" not in told(GIRL, part(draft, **{key: 1.16}, **hem), casing)


def test_pleats_do_not_stretch_on_elastic():
    parts = part("pleated skirt"), part("casing", length=561.0)
    assert "Take the casing out" in told(GIRL, *parts)["skirt-passes-no-hip"]
    assert "skirt-passes-no-hip" not in told(GIRL, parts[0])


def test_a_skirt_without_an_opening_is_told_where_to_leave_one():
    for draft in ("gathered skirt", "pleated skirt", "tier"):
        assert "48.6 cm" in told(GIRL, part(draft))["opening-to-leave"]
    assert "opening-to-leave" not in told(GIRL, part("flared skirt"))
    assert "opening-to-leave" not in told(GIRL, part("yoke"), part("gathered skirt"))
    assert "opening-to-leave" not in told(replace(GIRL, hip=480.0), part("gathered skirt"))
    shut = told(GIRL, part("flared skirt", opening="none"))["skirt-passes-no-hip"]
    assert "Take opening out" in shut


def test_an_opening_runs_on_where_the_waist_seam_is_tight():
    dress = part("bodice", "satin", "cotton"), part("gathered skirt")
    assert told(GIRL, *dress) == {}
    message = told(OLDER, *dress)["opening-runs-on"]
    assert "centre back" in message
    assert "59.9 cm" in message
    in_two = told(OLDER, dress[0], part("gathered skirt", joins=1))["opening-runs-on"]
    assert "the other of two then lies opposite it" in in_two
    assert "the other" not in message
    easy = part("bodice", "satin", "cotton", waist_ease=70.0)
    assert told(OLDER, easy, dress[1]) == {}


def test_bodice_and_skirt_open_at_one_place():
    bodice = part("bodice", "satin", "cotton")
    skirt = part("flared skirt", opening="side")
    assert 'opening = "centre back"' in told(OLDER, bodice, skirt)["openings-apart"]
    assert told(OLDER, bodice, part("flared skirt", opening="centre back")) == {}
    assert told(OLDER, bodice, part("flared skirt")) == {}


def test_a_bodice_without_an_opening_has_a_waist_that_goes_over_the_chest():
    closed = part("bodice", "satin", "cotton", closing="none", neck="boat", neck_width=95.0)
    assert "62.2 cm" in told(OLDER, closed)["waist-passes-no-chest"]
    assert "waist-passes-no-chest" not in told(GIRL, closed)


def test_a_bodice_without_an_opening_goes_over_raised_arms():
    """Common practice: the shoulders, arms raised, take 3 cm more than the chest."""
    closed = {"closing": "none", "neck": "boat", "neck_width": 95.0}
    message = told(GIRL, part("bodice", "satin", "cotton", **closed))["bodice-passes-no-shoulders"]
    assert "52.6 cm" in message
    assert "55.4 cm" in message
    easy = part("bodice", "satin", "cotton", waist_ease=80.0, **closed)
    assert "bodice-passes-no-shoulders" not in told(GIRL, easy)
    dress = part("A-line dress", "satin", "cotton", **closed)
    assert "bodice-passes-no-shoulders" not in told(GIRL, dress)
    tight = part("A-line dress", "satin", "cotton", chest_ease=10.0, **closed)
    assert "bodice-passes-no-shoulders" in told(GIRL, tight)


@pytest.mark.parametrize("draft", ["gathered skirt", "pleated skirt", "tier", "underlayer"])
def test_joins_are_notched_where_the_opening_ends(draft):
    """A sixth of the chest and 5 cm down: *The Practical Designer*, lesson 106, and room."""

    def notch(body, *parts):
        piece = garment(body, *parts).pieces[-1]
        (deep,) = (
            math.dist(seam.line[0], seam.line[-1]) for seam in piece.seams if seam.name == "join"
        )
        return [deep - at for s in piece.seams if s.name == "join" for at in s.marks_mm]

    bodice, skirt = part("bodice"), part(draft)
    assert notch(OLDER, bodice, skirt) == pytest.approx([622 // 60 * 10 + 50])
    assert notch(GIRL, bodice, skirt) == []  # its waist passes the chest
    assert notch(GIRL, skirt) == pytest.approx([524 // 60 * 10 + 50])
    on_elastic = garment(GIRL, skirt, part("casing", length=561.0)).pieces[0]
    assert [s.marks_mm for s in on_elastic.seams if s.name == "join"] == [()]
    assert notch(OLDER, part("bodice", closing="none", neck_width=90.0), skirt) == []


def test_a_hem_lets_its_wearer_walk():
    """Common practice: a straight skirt to the knee is a little wider than the hip, one to the
    ankle far wider, or slit."""
    short, long = (
        told(GIRL, part("gathered skirt", fullness=1.5, length=mm)) for mm in (280.0, 560.0)
    )
    assert "hem-under-stride" not in short
    assert "fullness" in long["hem-under-stride"]
    wide = told(GIRL, part("gathered skirt", fullness=2.2, length=560.0))
    assert "hem-under-stride" not in wide
    narrow = told(GIRL, part("flared skirt", circle="quarter", length=20.0))
    assert "larger part of a circle" in narrow["hem-under-stride"]
    tight = told(GIRL, part("gathered skirt", fullness=1.0))["hem-under-stride"]
    assert "48.6 cm" in tight
    unknown = Body(waist=500.0, hip=560.0)
    assert "hem-under-stride" in told(unknown, part("gathered skirt", fullness=1.0, length=300.0))


def test_hands_and_arms_go_through_sleeves():
    bodice = part("bodice", "satin", "cotton")
    for style, narrow in (("long", 150.0), ("short", 150.0)):
        tight = told(GIRL, bodice, part("sleeve", style=style, hem_width=narrow))
        assert 'hem_width = "' in tight["sleeve-too-tight"]
        assert told(GIRL, bodice, part("sleeve", style=style)) == {}
    assert told(GIRL, bodice, part("sleeve", style="puff")) == {}


def test_pockets_in_a_seam_want_side_seams():
    bodice, pocket = part("bodice", "satin", "cotton"), part("pocket", style="in seam")

    def found(skirt, **options):
        return told(GIRL, bodice, part(skirt, **options), pocket).get("pocket-without-seam")

    one = found("gathered skirt", joins=0)
    assert "joins = 1" in one
    assert found("gathered skirt", joins=1) is None
    assert "joins = 3" in found("gathered skirt", joins=2)
    assert "panels = 2" in found("flared skirt", circle="full", panels=1)
    assert found("flared skirt", circle="full", panels=2) is None
    assert found("flared skirt", opening="side") is None
    assert "Or write" not in found("pleated skirt", strip_length=3000.0)
    assert "no skirt at all" in told(GIRL, bodice, pocket)["pocket-without-seam"]
    assert "pocket-without-seam" not in told(GIRL, bodice, pocket, ready=True)
    patch = part("pocket")
    assert told(GIRL, bodice, part("gathered skirt", joins=0), patch) == {}


def test_whole_widths_and_a_rest_have_no_seams_at_the_sides():
    bodice, pocket = part("bodice", "satin", "cotton"), part("pocket", style="in seam")

    def found(evenly):
        cuttings = {"satin": Cutting(900.0, 900.0, evenly=evenly)}
        return told(GIRL, bodice, part("gathered skirt"), pocket, cuttings=cuttings)

    assert "pocket-without-seam" in found(False)
    assert "pocket-without-seam" not in found(True)


def test_raw_edges_are_told():
    bare = told(GIRL, part("bodice", sleeveless=True))["edge-unfinished"]
    assert "armholes" in bare
    spec = GarmentSpec("Ada", GIRL, (part("bodice", sleeveless=True),), "garment[0]")
    assert [found.code for found in worn(spec)] == ["edge-unfinished", "edge-unfinished"]
    finished = (
        part("bodice", sleeveless=True),
        part("facing"),
        part("bias binding", edge="armhole"),
    )
    assert told(GIRL, *finished) == {}
    assert told(GIRL, part("bodice"), part("collar"), part("sleeve")) == {}
    assert told(GIRL, part("bodice", "satin", "cotton")) == {}
    assert "waist" in told(GIRL, part("flared skirt"))["edge-unfinished"]
    assert "waist" in told(GIRL, part("yoke"), part("gathered skirt"))["edge-unfinished"]
    assert told(GIRL, *finished, part("bias binding"))["edge-finished-twice"]


def test_no_seam_allowance_is_told():
    bodice = part("bodice", "satin", "cotton", seam=0.0)
    assert "bodice" in told(GIRL, bodice)["no-seam-allowance"]
    assert told(GIRL, part("bodice", "satin", "cotton", seam=6.0)) == {}


def test_an_order_tells_it():
    order = order_from_text(
        """
        units = "cm"
        [fabric.a]
        width = 140
        [[garment]]
        name = "Y"
        size = "4 years"
        part = [
          { draft = "gathered skirt", fabric = "a", fullness = 2, hem_allowance = 12 },
          { draft = "casing", fabric = "a" },
        ]
        """,
        "elastic.toml",
    )
    assert "skirt-passes-no-hip" in {found.code for found in draft_order(order).findings}


def test_a_binding_for_two_armholes_is_cut_in_two():
    parts = part("bodice", sleeveless=True), part("bias binding", edge="armhole")
    draft = garment(GIRL, *parts)
    (finding,) = draft.findings
    assert finding.code == "binding-for-two"
    armhole = whole_length(draft.pieces[:2], "armhole") / 2
    assert f"{round(armhole / 10 + 4, 1):g} cm" in finding.message
    assert garment(GIRL, parts[0], part("bias binding")).findings == ()


def test_a_square_says_how_wide_it_is_cut():
    """From memory: a French binding is cut six times as wide as it is finished."""
    square = part("bias binding", length=900.0, method="square", fold="French", width=8.0)
    (finding,) = garment(GIRL, square).findings
    assert finding.code == "square-to-cut"
    assert "4.8 cm wide" in finding.message
    assert "94 cm" in finding.message


@pytest.mark.parametrize(("closing", "laps"), [("buttons", 2), ("front opening", 2), ("zip", 0)])
def test_a_neck_is_bound_with_its_laps(closing, laps):
    """Common practice: the binding of a buttoned neck runs to the folded edges of the lap."""
    draft = garment(GIRL, part("bodice", closing=closing), part("bias binding"))
    neck = whole_length(draft.pieces[:2], "neck")
    bound = whole_length([by_name(draft)["neck binding"]], "edge")
    assert bound == pytest.approx(neck + laps * 20 + 2 * 20)
