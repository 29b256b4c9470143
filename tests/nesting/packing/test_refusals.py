"""What would help a piece that finds no room on its cloth is told in keys that it has."""

import pytest

from nesting.order.read import order_from_text
from nesting.rules.parts import draft_order
from nesting.search.problem_builder import problems_for
from pieces.errors import CannotFit, OrderFault

SKIRT = """
units = "cm"
[fabric.lawn]
width = 106
selvedge = 1
[[garment]]
name = "Ines"
size = "8 years"
part = [ {{ fabric = "lawn", {} }} ]
"""
PIECE = """
units = "cm"
[fabric.lawn]
width = 106
[[piece]]
name = "cape"
fabric = "lawn"
outline = [[0, 0], [60, 0], [60, 120], [0, 120]]
{}
"""


def refused(text):
    """What is told of a piece that can't lie on its cloth."""
    order = order_from_text(text, "order.toml")
    with pytest.raises(CannotFit) as caught:
        problems_for(order, draft_order(order).pieces, None)
    return str(caught.value)


def lies(text):
    order = order_from_text(text, "order.toml")
    return bool(problems_for(order, draft_order(order).pieces, None))


HALF = 'draft = "flared skirt", circle = "half", length = 40, panels = '


def test_a_flared_skirt_is_parted_in_more_panels():
    told = refused(SKIRT.format(HALF + "1"))
    assert "panels" in told
    assert "grain" not in told
    assert lies(SKIRT.format(HALF + "2"))


GATHERED = 'draft = "gathered skirt", length = 40, fullness = 2, '


@pytest.mark.parametrize(
    ("written", "helped"),
    [
        ("joins = 0", "joins = 1"),
        ("joins = 0", 'joins = 0, grain = "crosswise"'),
    ],
)
def test_a_gathered_skirt_has_more_joins_or_another_grain(written, helped):
    told = refused(SKIRT.format(GATHERED + written))
    assert "joins" in told
    assert 'grain = "crosswise" at its part' in told
    assert lies(SKIRT.format(GATHERED + helped))


def test_pleats_come_in_narrower_panels():
    pleated = 'draft = "pleated skirt", length = 40, strip_length = '
    assert "shorter strip_length" in refused(SKIRT.format(pleated + "180"))
    assert lies(SKIRT.format(pleated + "90"))


def test_a_train_gets_a_seam_behind():
    narrow = SKIRT.replace("width = 106", "width = 80")
    assert "on_fold = false at its part" in refused(narrow.format('draft = "train"'))
    assert lies(narrow.format('draft = "train", on_fold = false'))


def test_a_bodice_has_no_key_that_would_help():
    text = SKIRT.replace("width = 106", "width = 14").format('draft = "bodice"')
    told = refused(text)
    assert told.count("What would help: take a wider cloth.") == told.count("What would help")


def test_a_ready_piece_has_a_grain_rule():
    told = refused(PIECE.format(""))
    assert 'grain_rule = "crosswise"' in told
    assert "at its part" not in told
    assert lies(PIECE.format('grain_rule = "crosswise"'))


@pytest.mark.parametrize(("corner", "words"), [("0, 1", "too little to cut"), ("2, 0", "one line")])
def test_a_tiny_triangle_is_no_line(corner, words):
    text = f"""
    units = "mm"
    [fabric.a]
    width = 1000
    [[piece]]
    name = "tiny"
    fabric = "a"
    outline = [[0, 0], [1, 0], [{corner}]]
    """
    with pytest.raises(OrderFault, match=words):
        order_from_text(text, "order.toml")
