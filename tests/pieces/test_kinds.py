"""Nothing but a draft's own module names it: others ask its kind."""

import ast
from dataclasses import replace
from pathlib import Path

import pytest

import nesting
import pieces
from pieces.body.tables import SIZES
from pieces.drafting.asked import measures_asked
from pieces.drafting.registry import DRAFTS
from pieces.drafting.spec import GarmentSpec
from pieces.errors import OrderFault
from pieces.joins import kinks
from pieces.seams import seam_length
from tests.pieces.wearers import by_name, garment, part

GIRL = SIZES["4 years"]


def compared(tree):
    """What is compared with what: constants beside `==` and `in`, and those of `match`."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Compare):
            for side in (node.left, *node.comparators):
                for one in ast.walk(side):
                    if isinstance(one, ast.Constant):
                        yield node, one.value
        elif isinstance(node, ast.MatchValue) and isinstance(node.value, ast.Constant):
            yield node, node.value.value


@pytest.mark.parametrize("room", [pieces, nesting])
def test_no_module_tells_drafts_apart_by_name(room):
    found = [
        f"{path.name}: {ast.unparse(node)}"
        for path in sorted(Path(room.__file__).parent.rglob("*.py"))
        for node, value in compared(ast.parse(path.read_text(encoding="utf-8")))
        if value in DRAFTS and ".draft" in ast.unparse(node)
    ]
    assert found == []


def test_kinds_of_strips_are_measured_by_the_verifier():
    """All that are cut to a length the order decides, told by their kinds alone."""
    options = {name: kind.options() for name, kind in DRAFTS.items() if name != "band"}
    asked = {name for name, one in options.items() if DRAFTS[name].strip(one) is not None}
    assert asked == {"tier", "gathered skirt", "underlayer", "casing", "sash"}
    assert DRAFTS["band"].strip(None).at == "edge"
    assert [name for name, kind in DRAFTS.items() if kind.closes_waist] == ["waistband"]


# ---- a measured rise -----------------------------------------------------------------------


@pytest.mark.parametrize("draft", ["trousers", "romper"])
def test_a_measured_rise_is_drawn(draft):
    """As the option of that name would be, which stands before it."""
    long = 30.0
    body = replace(GIRL, rise=GIRL.hip / 5 + 75 + long)
    usual, measured = garment(GIRL, part(draft)).pieces[0], garment(body, part(draft)).pieces[0]
    told = garment(GIRL, part(draft, rise=body.rise)).pieces[0]
    assert measured == told
    assert measured != usual
    assert garment(body, part(draft, rise=GIRL.hip / 5 + 75)).pieces[0] == usual


def test_bloomers_sit_by_a_measured_rise():
    body = replace(GIRL, rise=220.0)
    assert (
        garment(body, part("bloomers")).pieces == garment(GIRL, part("bloomers", rise=230.0)).pieces
    )


def test_the_card_asks_for_a_rise_and_a_bust_where_they_count():
    def asked(body, draft):
        return measures_asked(GarmentSpec("Ada", body, (part(draft),), "garment[0]"))

    assert "rise" in asked(replace(GIRL), "trousers")
    assert "rise" not in asked(GIRL, "bodice")
    assert "bust_height" not in asked(GIRL, "bodice")
    grown = replace(SIZES["misses 12"], bust_height=None, bust_span=None)
    assert {"bust_height", "bust_span"} <= set(asked(replace(grown, chest=950.0), "bodice"))


# ---- growth on a circle --------------------------------------------------------------------


def test_a_toddlers_half_circle_has_a_deeper_hem():
    """Half an inch (a family magazine's advice of 1976, secondary copy): 3.8 cm in all lie flat on
    a half circle, of which 4 cm do (a state extension's *It's Fun to Sew*)."""
    draft = garment(SIZES["2 years"], part("flared skirt", growth="one size"))
    assert [found.code for found in draft.findings] == ["growth-allowed"]
    hem = next(seam for seam in draft.pieces[0].seams if seam.name == "hem")
    assert hem.allowance_mm == pytest.approx(25 + 12.7)


@pytest.mark.parametrize("circle", ["full", "three-quarter", "half"])
def test_a_hem_that_would_pucker_is_refused(circle):
    with pytest.raises(OrderFault) as refused:
        garment(GIRL, part("flared skirt", circle=circle, growth="one size"))
    (fault,) = refused.value.faults
    assert fault.key.endswith(".growth")
    assert "lies flat" in fault.message
    assert "gathered" in fault.remedy


def test_a_hem_with_a_band_can_not_be_let_down():
    with pytest.raises(OrderFault) as refused:
        garment(GIRL, part("flared skirt", growth="one size"), part("band"))
    assert "sewn to its hem" in refused.value.faults[0].message


# ---- a sweetheart neck ---------------------------------------------------------------------


@pytest.mark.parametrize("size", ["misses 12", "bust 110 cm", "8 years"])
@pytest.mark.parametrize("style", ["plain", "princess"])
def test_a_sweetheart_neck_dips_in_the_middle(size, style):
    """Straight down from the shoulder, a corner, and an arc that falls to the middle."""
    draft = garment(SIZES[size], part("bodice", neck="sweetheart", style=style), part("facing"))
    assert list(kinks(draft.pieces, draft.joins)) == []
    pieces = by_name(draft)
    neck = next(one.line for one in pieces["bodice front"].seams if one.name == "neck")
    down, corner = neck[0], neck[1]
    assert down[1] == pytest.approx(corner[1], abs=1e-6)
    assert down[0] - corner[0] > 0.5 * (down[0] - neck[-1][0])
    assert neck[-1][1] == pytest.approx(0, abs=1e-6)
    facing = pieces["neck facing front"]
    assert seam_length(facing, "neck") == pytest.approx(seam_length(pieces["bodice front"], "neck"))
