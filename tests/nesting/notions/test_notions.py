"""What drafts ask for besides cloth, as orders add to it, change and refuse it."""

from __future__ import annotations

import math
from decimal import Decimal
from itertools import pairwise

import pytest

from nesting.fabric.cautions import cautions
from nesting.notions.buying import notions_bought
from nesting.order.read import example_order, order_from_text
from nesting.output.report.report import draft_report
from nesting.rules.parts import draft_order
from pieces.errors import OrderFault
from pieces.notions import Sold
from pieces.units import Unit

DRESS = """
units = "cm"
[fabric.satin]
width = 150
[fabric.lining]
width = 140
[fabric.net]
width = 150
faces = "alike"
[[garment]]
name = "Ines"
size = "4 years"
part = [
  { draft = "bodice", fabric = "satin", lining = "lining" },
  { draft = "sleeve", fabric = "satin" },
  { draft = "flared skirt", fabric = "satin", circle = "half", length = 40 },
]
[[garment]]
name = "Pia"
size = "2 years"
part = [
  { draft = "gathered skirt", fabric = "satin", length = 30 },
  { draft = "casing", fabric = "satin", length = 60, elastic_width = 2 },
]
"""


def needed(more=""):
    """The notions of the order above with more to it, by name and garment."""
    found = draft_order(order_from_text(DRESS + more, "dress.toml")).notions
    return {(one.name, one.garment): one for one in found}


def bought(more=""):
    order = order_from_text(DRESS + more, "dress.toml")
    return {one.name: one for one in notions_bought(order, draft_order(order).notions)}


def faults(more):
    with pytest.raises(OrderFault) as refused:
        draft_order(order_from_text(DRESS + more, "dress.toml"))
    return refused.value.faults


def test_drafts_ask_for_what_closes_a_garment():
    found = needed()
    assert set(found) == {("zip", "Ines"), ("hook and eye", "Ines"), ("elastic", "Pia")}
    pieces = {p.name: p for p in draft_order(order_from_text(DRESS, "dress.toml")).pieces}
    lengths = {
        name: next(math.dist(*s.line) for s in pieces[name].seams if s.name == "centre back")
        for name in ("bodice back", "skirt back")
    }
    notch = next(s for s in pieces["skirt back"].seams if s.name == "centre back").marks_mm[0]
    # From the neck to the notch in the skirt, which runs up from its hem.
    opened = lengths["bodice back"] + lengths["skirt back"] - notch
    assert found["zip", "Ines"].length_mm == pytest.approx(opened)
    assert found["elastic", "Pia"].width_mm == 20.0


def test_buttons_are_as_many_as_buttonholes_drawn():
    order = order_from_text(DRESS.replace('"lining" }', '"lining", closing = "buttons" }'), "d")
    draft = draft_order(order)
    (button,) = [one for one in draft.notions if one.name == "button"]
    back = next(piece for piece in draft.pieces if piece.name == "bodice back")
    holes = [line for line in back.drawn_lines if math.isclose(math.dist(*line), 15.0)]
    assert button.count == len(holes) > 1


def test_a_dress_in_one_opens_down_to_a_notch():
    text = (
        DRESS.partition("[[garment]]")[0]
        + """
[[garment]]
name = "Ines"
size = "4 years"
part = [{ draft = "A-line dress", fabric = "satin" }]
"""
    )
    draft = draft_order(order_from_text(text, "d"))
    (back,) = [piece for piece in draft.pieces if piece.name == "dress back"]
    middle = next(seam for seam in back.seams if seam.name == "centre back")
    (one,) = [notion for notion in draft.notions if notion.name == "zip"]
    assert one.length_mm == pytest.approx(middle.marks_mm[0])
    assert one.length_mm < math.dist(*middle.line) - 100
    assert "down to its notch" in one.where


def test_a_yoke_and_a_side_opening_have_their_zips():
    text = DRESS.replace('circle = "half"', 'circle = "half", opening = "side"')
    zips = [one for one in draft_order(order_from_text(text, "d")).notions if one.name == "zip"]
    assert [one.where for one in zips] == [
        "centre back, from the neck down",
        "side seam, from the waist seam down",
    ]


def test_an_order_changes_and_refuses_what_drafts_ask_for():
    found = needed(
        '[[notion]]\nname = "elastic"\nwidth = 1\n[[notion]]\nname = "zip"\nwanted = false'
    )
    assert found["elastic", "Pia"].width_mm == 10.0
    assert ("zip", "Ines") not in found
    own = needed('[[notion]]\nname = "zip"\ngarment = "Ines"\nlength = 30')
    assert (own["zip", "Ines"].length_mm, own["zip", "Ines"].sold) == (300.0, Sold.SIZE)


def test_a_full_circle_asks_for_horsehair_unless_it_is_refused():
    text = DRESS.replace('circle = "half"', 'circle = "full"')
    assert "horsehair braid" in {
        one.name for one in draft_order(order_from_text(text, "d")).notions
    }
    for less in ('circle = "full", horsehair = false', 'circle = "half"'):
        plain = draft_order(order_from_text(DRESS.replace('circle = "half"', less), "d"))
        assert "horsehair braid" not in {one.name for one in plain.notions}


def test_lengths_along_edges():
    sleeve = needed('[[notion]]\nname = "lace"\nedge = "hem"\nof = "sleeve"\nfullness = 1.5')
    lace = sleeve["lace", "Ines"]
    order = order_from_text(DRESS, "dress.toml")
    (piece,) = [one for one in draft_order(order).pieces if one.name == "sleeve"]
    hem = next(seam.line for seam in piece.seams if seam.name == "hem")
    round_mm = sum(math.dist(a, b) for a, b in pairwise(hem))
    # Two sleeves; half as full again, and 2 cm for its join.
    assert lace.count == 2
    assert lace.length_mm == pytest.approx(1.5 * round_mm + 20)
    assert ("lace", "Pia") not in sleeve  # who has no sleeves


def test_a_seam_between_two_pieces_counts_once():
    boning = '[[notion]]\nname = "boning"\nedge = "side"\nof = "bodice"\nshorter = 1\nends = 0'
    found = needed(boning)["boning", "Ines"]
    side = next(
        seam.this_mm
        for seam in draft_order(order_from_text(DRESS, "d")).seam_checks
        if seam.what.startswith("side seam, bodice")
    )
    assert (found.count, found.length_mm) == (2, pytest.approx(side - 20))


def test_hanging_loops_are_so_many_of_a_length():
    loops = needed('[[notion]]\nname = "ribbon"\ncount = 2\nlength = 40\nwhere = "loops"\n')
    found = loops["ribbon", "Ines"]
    assert (found.sold, found.count, found.length_mm) == (Sold.LENGTH, 2, 420.0)
    assert found.where == "loops"


def test_stretch_waste_and_ends():
    wide = 'edge = "waist"\nof = "skirt"\ngarment = "Pia"\nends = 3\nstretch = 25\nwaste = 10'
    found = needed(f'[[notion]]\nname = "elastic"\n{wide}')["elastic", "Pia"]
    pieces = draft_order(order_from_text(DRESS, "d")).pieces
    flat = sum(
        seam.line[-1][1] * piece.parts
        for piece in pieces
        if piece.garment == "Pia" and piece.name.startswith("skirt")
        for seam in piece.seams
        if seam.name == "waist"
    )
    assert found.length_mm == pytest.approx((flat / 1.25 + 30) * 1.1, abs=15)


def test_a_notion_may_be_a_cloth_of_its_own():
    more = '[[notion]]\nname = "wadding"\nfabric = "net"\nof = "bodice"\n'
    pieces = draft_order(order_from_text(DRESS + more, "dress.toml")).pieces
    copies = {piece.name: piece for piece in pieces if piece.fabric == "net"}
    by_name = {piece.name: piece for piece in pieces if piece.fabric == "satin"}
    assert set(copies) == {"bodice front wadding", "bodice back wadding"}
    for name, copy in copies.items():
        like = by_name[name.removesuffix(" wadding")]
        assert (copy.outline, copy.parts) == (like.outline, like.parts)


def test_sizes_packages_and_shares():
    found = bought(
        '[[notion]]\nname = "zip"\nsizes = [20, 60]\nprice = 2.5\ncurrency = "EUR"\n'
        '[[notion]]\nname = "bead"\ncount = 7\npackage = 5\nprice = 1.01\ncurrency = "EUR"\n'
    )
    assert (found["zip, 60 cm"].text, found["zip, 60 cm"].cost) == ("1", Decimal("2.50"))
    beads = found["bead"]
    assert (beads.bought, beads.packages, beads.cost) == (15, 3, Decimal("3.03"))
    assert sorted(beads.shares.values()) == [Decimal("1.51"), Decimal("1.52")]


def test_a_card_that_ends_takes_a_join():
    more = '[[notion]]\nname = "lace"\nlength = "{}"\nends = 0\ngarment = "Ines"\ncard = "5 m"\n'
    assert bought(more.format("5 m"))["lace"].packages == 1
    assert bought(more.format("9.98 m"))["lace"].packages == 2
    assert bought(more.format("9.99 m"))["lace"].packages == 3


@pytest.mark.parametrize(
    ("more", "key", "said"),
    [
        ('name = "ribbon"\nlength = 10\nprice = -1\ncurrency = "EUR"', "price", "too small"),
        ('name = "ribbon"\nlength = 10\nprice = 1', "currency", "no currency"),
        ('name = "ribbon"', "name", "doesn't say how much"),
        ('name = "zips"\nwanted = false', "name", "doesn't say how much"),
        ('name = "zip"\nsizes = [20]', "sizes", "the longest sold is 20 cm"),
        ('name = "lace"\nedge = "hemm"\nof = "skirt"', "edge", "has an edge called 'hemm'"),
        ('name = "lace"\nedge = "hem"\nof = "skrit"', "of", "is called 'skrit'"),
        ('name = "lace"\nedge = "hem"\ngarment = "Ida"', "garment", "no garment called 'Ida'"),
        ('name = "lace"\nlength = 3\nfullness = 2', "fullness", "along an edge, and none"),
        ('name = "lace"\nedge = "hem"\nlength = 3', "length", "a length of its own"),
        ('name = "lace"\nlength = 3\nof = "skirt"', "of", "neither an edge"),
        ('name = "pad"\nfabric = "net"', "of", "are not named"),
        ('name = "pad"\nfabric = "net"\nof = "hat"', "of", "No piece is called 'hat'"),
        ('name = "pad"\nfabric = "satin"\nof = "sleeve"', "fabric", "cut from satin already"),
        ('name = "pad"\nfabric = "net"\nof = "casing"', "of", "joined from strips"),
        ('name = "pad"\nfabric = "net"\nof = "sleeve"\nprice = 2', "price", "with that cloth"),
        ('name = "pin"\ncount = 2\npackage = 3\ncard = 4', "card", "or so much on a card"),
        ('name = "bone"\nedge = "side"\nof = "bodice"\nshorter = 9', "shorter", "leaves nothing"),
    ],
)
def test_bad_entries_are_told_with_place_and_remedy(more, key, said):
    found = [one for one in faults(f"[[notion]]\n{more}\n") if said in one.message]
    assert [one.key for one in found] == [f"notion[0].{key}"], faults(f"[[notion]]\n{more}\n")
    assert found[0].remedy


def test_all_faults_come_at_once():
    both = '[[notion]]\nname = "a"\nedge = "x"\n[[notion]]\nname = "b"\nedge = "y"\n'
    assert [one.key for one in faults(both)] == ["notion[0].edge", "notion[1].edge"]


def test_pieces_alone_tell_what_they_need():
    draft = draft_order(order_from_text(DRESS, "dress.toml"))
    told = draft_report("dress", draft, Unit.CM)
    assert "- Ines: zip, 37.1 cm, centre back, from the neck to 13 cm below the waist seam" in told
    assert "- Ines: hook and eye, 1, above the zip" in told
    assert "- Pia: elastic, 2 cm wide, 46.7 cm, through the casing" in told


def test_a_second_table_of_a_name_keeps_the_price_of_the_first():
    inches = DRESS.replace('units = "cm"', 'units = "in"').replace("length = 60", "length = 24")
    inches = inches.replace(", elastic_width = 2", "").replace("length = 40", "length = 16")
    more = (
        '[[notion]]\nname = "ribbon"\nlength = 20\nends = 0\nprice = 2\ncurrency = "USD"\n'
        '[[notion]]\nname = "ribbon"\nlength = 16\nends = 0\n'
        '[[notion]]\nname = "ribbon"\ncount = 3\n'
    )
    order = order_from_text(inches + more, "in.toml")
    length, count = (
        one for one in notions_bought(order, draft_order(order).notions) if one.name == "ribbon"
    )
    # Two garments, 36 in. each: 2 yd at 2 dollars a yard.
    assert (length.cost, length.bought_mm) == (Decimal("4.00"), pytest.approx(1828.8, abs=1))
    assert (count.bought, count.sold) == (6, Sold.PIECE)


def test_how_a_thing_is_sold_is_told_once():
    twice = '[[notion]]\nname = "zip"\nsizes = [20, 60]\n[[notion]]\nname = "zip"\nsizes = [60]\n'
    assert [one.key for one in faults(twice)] == ["notion[1]"]


def test_cautions_are_those_of_what_is_bought():
    order = example_order()
    draft = draft_order(order)
    plain = cautions(order.fabrics.values(), draft.pieces, order.garments)
    told = cautions(order.fabrics.values(), draft.pieces, order.garments, draft.notions)
    assert len(told) == len(plain) + 1  # a ribbon
    assert any(text.startswith("Cords, ties and sashes (satin ribbon)") for text in told)
    braid = order_from_text(DRESS.replace('"half"', '"full"'), "d")
    (pricks,) = (
        text
        for text in cautions((), (), braid.garments, draft_order(braid).notions)
        if "prick" in text
    )
    assert "horsehair braid" in pricks
