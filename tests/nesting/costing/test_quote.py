"""The quote: exact sums, shares that add up, and a published costing."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.costing.offers import cutter_minutes, offers_of
from nesting.costing.quote import price_of, quote_of, stages_of
from nesting.fabric.costing import Costing, CutterMinutes, Done
from nesting.fabric.cut import wanted_area_mm2
from nesting.fabric.fabric import LayName
from nesting.fabric.marker import Marker
from nesting.fabric.plans import Alternative, ComparedCloth, ComparedLay, Comparison
from nesting.fabric.shares import shared
from nesting.output.paper.quote import quote_pdf
from nesting.output.paper.tiling import Paper
from nesting.output.report.comparison import comparison_report
from nesting.output.report.quote import quote_text
from pieces.units import Unit
from tests.nesting.output.sample_plan import sample_plan

CENTS = st.integers(0, 10_000_000).map(lambda cents: Decimal(cents).scaleb(-2))
PERCENT = st.integers(0, 9_900).map(lambda hundredths: Decimal(hundredths).scaleb(-2))
EURO = Costing(
    currency="EUR",
    rate=Decimal(18),
    minutes={"cutting": Decimal(60), "sewing": Decimal(270)},
    own={"Mila": {"sewing": Decimal("240.5")}},
    overhead=Decimal(12),
    margin=Decimal(20),
    tax=Decimal(19),
)


@given(CENTS, st.dictionaries(st.text(), st.integers(1, 10**12), min_size=1))
def test_shares_add_up_to_the_whole_to_the_cent(amount, weights):
    given_out = shared(amount, weights)
    assert sum(given_out.values()) == amount
    whole = sum(weights.values())
    for name, share in given_out.items():
        assert share == round(share, 2)
        assert abs(share - amount * weights[name] / whole) < Decimal("0.0101")


@given(CENTS, CENTS, PERCENT, PERCENT, PERCENT)
def test_a_price_is_its_parts_and_every_part_is_whole_cents(cost, work, over, margin, tax):
    costing = Costing(currency="EUR", overhead=over, margin=margin, tax=tax)
    price = price_of(costing, cost, work)
    parts = (price.materials, price.work, price.overhead, price.margin, price.tax)
    assert all(one == round(one, 2) and one >= 0 for one in parts)
    assert price.total == sum(parts)
    assert abs(price.margin - price.net * margin / 100) <= Decimal("0.01")
    assert abs(price.tax - price.net * tax / 100) <= Decimal("0.005")


@pytest.mark.parametrize(
    ("cost", "margin", "price"), [("15", "25", "20"), ("20", "33.33333333333333", "30")]
)
def test_the_worked_costing_of_a_tailor_s_textbook(cost, margin, price):
    """W. D. F. Vincent, *Systems of Cutting All Kinds of Tailor-Made Garments*, "What to charge".

    Cloth, trimmings, making and cutting are totalled. Of 1 pound (20 s.) received, 5 s. are profit
    at 25 per cent and 15 s. cost: "one-third must be added to the cost". On credit, with a third of
    the price as profit, half the cost is added: cost 20 s., selling price 30 s.
    """
    whole = Decimal(cost)
    each = price_of(Costing(currency="s", margin=Decimal(margin)), whole / 2, whole / 2)
    assert (each.materials + each.work, each.net) == (whole, Decimal(price))


def test_what_a_schoolbook_adds_up():
    """By hand: 18.00 an hour for 5.5 h is 99.00; cloth 9.35; 12 % of 108.35 is 13.00 (13.002);
    121.35 is four fifths of 151.69 (151.6875); 19 % of that is 28.82 (28.8211)."""
    price = price_of(EURO, Decimal("9.35"), Decimal("99.00"))
    assert (price.overhead, price.net, price.tax) == (
        Decimal("13.00"), Decimal("151.69"), Decimal("28.82"),
    )  # fmt: skip
    assert price.total == Decimal("180.51")


def test_each_garment_bears_cloth_by_the_area_of_its_parts():
    plan = sample_plan()
    quote = quote_of(plan, EURO)
    shares = {one.garment: dict(one.cloth)["red satin"] for one in quote.garments}
    assert sum(shares.values()) == plan.fabrics[0].purchase.cost
    area = {
        name: sum(wanted_area_mm2(p) for p in plan.fabrics[0].pieces if p.garment == name)
        for name in shares
    }
    whole = sum(area.values())
    for name, share in shares.items():
        assert float(share) == pytest.approx(11.06 * area[name] / whole, abs=0.0101)
    assert quote.left_out == ("white tulle",)
    dora = quote.garments[0]
    assert dora.without.materials == dora.price.materials - shares["Dora"]
    assert dora.without.work == dora.price.work == Decimal("99.00")


def test_minutes_are_a_garment_s_own_or_all_s_or_learned():
    """By hand: 55 and 65 minutes for 10 and 14 parts are 5 a part, 30 for six."""
    done = tuple(Done(n, {"hand": Decimal(m)}) for n, m in ((10, 55), (14, 65)))
    stages = {one.name: one for one in stages_of(replace(EURO, done=done), "Mila", 6)}
    assert stages["sewing"].minutes == Decimal("240.5")
    assert stages["cutting"].minutes == 60
    assert (stages["hand"].minutes, stages["hand"].learned) == (30, True)


def test_the_text_writes_amounts_as_the_order_does_and_gives_no_advice():
    text = quote_text(sample_plan(), replace(EURO, amounts="1.234,56", rate=Decimal(1800)))
    assert "sewing, 270 minutes" in text
    assert " 8.100,00 EUR" in text
    assert "if you bring red satin" in text
    assert "Without a price in EUR: white tulle." in text
    assert "local rules and qualified people decide" in " ".join(text.split())
    assert all(len(line) <= 88 for line in text.splitlines())


def test_the_pdf_is_one_page_of_either_paper_and_has_every_amount():
    import io

    from pypdf import PdfReader

    for paper in Paper:
        (page,) = PdfReader(io.BytesIO(quote_pdf(sample_plan(), EURO, paper))).pages
        said = page.extract_text()
        for one in quote_of(sample_plan(), EURO).garments:
            assert EURO.money(one.price.total) in said
            assert EURO.money(one.without.total) in said


def _lay(name, cost, outlines, metres):
    return ComparedLay(name, 1500, 900, 800, 1000, Decimal(cost), 20.0, outlines, metres)


def _comparison():
    plan = sample_plan()
    entry = plan.fabrics[0]
    both = (_lay(LayName.OPEN, "10.00", 24, 26.0), _lay(LayName.LENGTHWISE_FOLD, "14.00", 15, 13.0))
    shown = tuple(
        Alternative(entry.fabric, Marker(entry.fabric.name, one.lay, 900, ()), one, entry.pieces)
        for one in both
    )
    cloth = ComparedCloth(entry.fabric, entry.pieces, shown, ())
    return Comparison("dresses", Unit.CM, 1, 1.0, False, (cloth,), costing=EURO)


def test_open_and_folded_are_two_offers():
    """By hand: open 24 x 1.5 + 26 = 62 minutes; folded 4 + 15 x 1.5 + 13 = 39.5."""
    least, quick = offers_of(_comparison(), EURO)
    assert (least.cloth, least.cutting_minutes) == (Decimal("10.00"), Decimal("62.0"))
    assert (quick.cloth, quick.cutting_minutes) == (Decimal("14.00"), Decimal("39.5"))
    # The rate is 18 an hour: 22.5 minutes are 6.75 and the cloth 4.00 more.
    assert least.price.work - quick.price.work == Decimal("6.75")
    told = comparison_report(_comparison())
    assert "least cutting" in told
    assert "39.5 minutes" in told


def test_an_order_s_offer_stands_beside_another_s():
    other = replace(_comparison(), order="in cotton")
    told = comparison_report(_comparison(), other)
    assert "in cotton: red satin on the open." in told


def test_the_cutter_s_minutes_are_the_order_s():
    slow = replace(EURO, cutter=CutterMinutes(Decimal(10), Decimal(2), Decimal(0), Decimal(0)))
    assert cutter_minutes(slow, _lay(LayName.DOUBLE_FOLD, "1", 5, 9.0)) == 30
