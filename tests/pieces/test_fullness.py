"""Fullness and length as practice has them, each measured by the verifier's own figures too."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from nesting.verify.lengths import length_findings
from pieces.body.measurements import Body
from pieces.drafting.garment import draft_garment
from pieces.drafting.spec import GarmentSpec
from pieces.errors import OrderFault
from tests.pieces.wearers import part

GIRL = Body(height=1040.0, chest=560.0, waist=520.0, hip=600.0, back_waist=250.0, shoulder=80.0)
YARD = 914.4


def spec_of(*parts, body=GIRL):
    return GarmentSpec("Ada", body, parts, "garment[0]")


def strips_of(*parts, body=GIRL):
    """How long each strip is, joined, by its name; the verifier must agree."""
    spec = spec_of(*parts, body=body)
    draft = draft_garment(spec)
    assert list(length_findings(spec, draft.pieces)) == []
    assert all(check.ok for check in draft.seam_checks)
    return {piece.strip.name: piece.strip.whole_mm for piece in draft.pieces if piece.strip}


def keys_at_fault(*parts):
    with pytest.raises(OrderFault) as refused:
        draft_garment(spec_of(*parts))
    return [fault.key.rpartition(".")[2] for fault in refused.value.faults]


@pytest.mark.parametrize("draft", ["gathered skirt", "underlayer"])
def test_four_yards_are_four_yards(draft):
    (long_mm,) = strips_of(part(draft, length=300.0, around=4 * YARD)).values()
    assert long_mm == pytest.approx(4 * YARD)


def test_a_tier_and_a_frill_of_so_many_yards():
    found = strips_of(
        part("tier", "net", around=4 * YARD, depth=200.0),
        part("tier", "net", fullness=2.0, depth=200.0),
        part("band", "net", around=9 * YARD, depth=40.0),
    )
    assert list(found.values()) == pytest.approx([4 * YARD, 8 * YARD, 9 * YARD])


def test_less_round_than_the_waist_is_refused():
    assert keys_at_fault(part("gathered skirt", around=500.0)) == ["around"]


@pytest.mark.parametrize("allowance", [None, 15.0])
def test_a_multiple_of_the_waist_with_the_zips_allowance(allowance):
    bodice = part("bodice", sleeveless=True, opening_allowance=allowance)
    seam_mm = 520 + 40
    for of, more in (("waist", 0.0), ("waist and opening", 2 * (allowance or 20.0))):
        skirt = part("gathered skirt", "net", length=300.0, fullness=2.0, multiple_of=of)
        found = strips_of(bodice, skirt)
        assert found["skirt"] == pytest.approx(2 * (seam_mm + more), abs=1.0)


@pytest.mark.parametrize("lining", [None, "cotton"])
@pytest.mark.parametrize("circle", ["half", "full"])
def test_net_on_a_line_of_a_lining(circle, lining):
    """A circle so far down: 2 pi for each mm, of the share that it is."""
    skirt = part("flared skirt", "satin", lining, circle=circle, length=400.0, hem=5.0)
    share = {"half": 0.5, "full": 1.0}[circle]
    line_mm = 520 + 2 * math.pi * share * 120
    found = strips_of(
        skirt,
        part("tier", "net", line=120.0, fullness=2.0),
        part("underlayer", "stiff", line=120.0, fullness=3.0),
    )
    assert found["net tier 1"] == pytest.approx(2 * line_mm, rel=1e-3)
    assert found["underlayer"] == pytest.approx(3 * line_mm, rel=1e-3)


def test_net_on_a_line_ends_level_with_what_it_lies_on():
    skirt = part("flared skirt", "satin", "cotton", length=400.0, lining_shorter=20.0)
    draft = draft_garment(spec_of(skirt, part("tier", "net", line=120.0, seam=0.0, hem=0.0)))
    (net,) = {p.name: p for p in draft.pieces if p.fabric == "net"}.values()
    deep = max(x for x, _ in net.outline) - min(x for x, _ in net.outline)
    assert deep == pytest.approx(400 - 20 - 120)


def test_a_line_needs_a_lining_that_reaches_it():
    skirt = part("flared skirt", length=100.0)
    assert keys_at_fault(part("tier", "net", line=50.0)) == ["line"]
    assert keys_at_fault(skirt, part("tier", "net", line=100.0)) == ["line"]
    falls = part("flared skirt", length=300.0, back_longer=50.0)
    assert keys_at_fault(falls, part("tier", "net", line=100.0)) == ["line"]


def test_a_tier_at_the_hem_of_another_cloth():
    skirt = part("flared skirt", "satin", circle="half", length=300.0)
    found = strips_of(skirt, part("tier", "net", at_hem=True, fullness=2.0, depth=100.0))
    assert found["net tier 1"] == pytest.approx(2 * (520 + math.pi * 300), rel=1e-3)
    draft = draft_garment(spec_of(skirt, part("tier", "net", at_hem=True, depth=100.0)))
    (check,) = [one for one in draft.seam_checks if one.what.startswith("top of net tier 1")]
    assert check.what.endswith("to hem of skirt front and skirt back")
    # Its hem has become a seam.
    assert not any(s.hem for piece in draft.pieces if piece.fabric == "satin" for s in piece.seams)


def test_a_tier_at_a_hem_has_its_depth_told_and_one_place():
    skirt = part("flared skirt", length=300.0)
    assert keys_at_fault(skirt, part("tier", "net", at_hem=True)) == ["depth"]
    assert keys_at_fault(part("tier", "net", at_hem=True, depth=100.0)) == ["at_hem"]
    twice = part("tier", "net", at_hem=True, at_waist=True, depth=100.0)
    assert keys_at_fault(skirt, twice) == ["at_waist"]


def test_a_cut_radius_gathers_in_what_it_is_longer():
    skirt = part("flared skirt", circle="full", length=300.0, radius=100.0, seam=10.0, hem=5.0)
    draft = draft_garment(spec_of(skirt))
    (step,) = [one for one in draft.sewing[0].steps if one.what.startswith("waist of")]
    assert step.this_mm == pytest.approx(2 * math.pi * 110, rel=1e-3)
    assert step.how == "gathered"
    assert keys_at_fault(part("flared skirt", circle="full", radius=50.0)) == ["radius"]
    both = part("flared skirt", circle="full", radius=100.0, waist_fullness=1.5)
    assert keys_at_fault(both) == ["radius"]


def test_the_verifier_finds_a_strip_that_is_not_as_long_as_asked():
    skirt = part("flared skirt", "satin", "cotton", length=400.0)
    parts = (skirt, part("tier", "net", line=120.0, fullness=2.0))
    pieces = draft_garment(spec_of(*parts)).pieces
    other = (skirt, replace(parts[1], options=replace(parts[1].options, line=130.0)))
    (found,) = length_findings(spec_of(*other), pieces)
    assert found.code == "strip"
