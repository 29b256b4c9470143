"""The same order in centimetres and in inches has as many pleats, strips and panels."""

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from nesting.order.read import order_from_text
from nesting.rules.parts import draft_order
from nesting.strips.cuttings import cuttings_for
from pieces.counts import at_least, at_most, nearest
from pieces.drafting.bodices.upper import quarter_chest_ease
from pieces.drafting.skirts.pleats import pleats_across
from pieces.drafting.strips import strips_for
from pieces.units import Unit, parse_length

IN = 25.4
ORDER = """
units = "{unit}"
[fabric.lawn]
width = {width!r}
[[garment]]
name = "Ada"
size = "98 cm"
body = {{ chest = {chest!r}, waist = {waist!r}, height = {height!r} }}
part = [
  {{ draft = "bodice", fabric = "lawn" }},
  {{ draft = "pleated skirt", fabric = "lawn", kind = "inverted", length = "37 cm" }},
  {{ draft = "gathered skirt", fabric = "lawn", fullness = 2.5, length = "30 cm" }},
  {{ draft = "tier", fabric = "lawn", at_waist = true, strip_length = {strip!r}, depth = "9 cm" }},
  {{ draft = "bias binding", fabric = "lawn", method = "square" }},
]
"""


def counts(unit, mm_per, **mm):
    """What is cut in an order whose numbers are these lengths in a unit."""
    given_in = {name: value / mm_per for name, value in mm.items()}
    order = order_from_text(ORDER.format(unit=unit, **given_in), "order.toml")
    pieces = draft_order(order).pieces
    found = {piece.name: (piece.cut, len(piece.notches), len(piece.outline)) for piece in pieces}
    return found, len(cuttings_for(order.fabrics["lawn"], pieces))


@given(
    waist=st.integers(480, 700),
    width=st.integers(800, 1600),
    strip=st.integers(200, 800),
    height=st.integers(1000, 1500),
)
@example(waist=560, width=1500, strip=320, height=1190)  # exactly 7.5 pleats, 3 strips, 116 cm size
@example(waist=560, width=1520, strip=470, height=1430)
def test_counts_are_the_same_in_every_unit(waist, width, strip, height):
    chest = max(540, waist)
    mm = {"waist": waist, "width": width, "strip": strip, "height": height, "chest": chest}
    in_cm = counts("cm", 10, **mm)
    assert counts("in", IN, **mm) == in_cm
    assert counts("mm", 1, **mm) == in_cm


def test_seven_and_a_half_pleats_are_eight():
    for waist in (600.0, math.nextafter(600.0, 0.0), math.nextafter(600.0, 700.0)):
        assert pleats_across(waist, 40.0, 80.0, "inverted").count == 8
    assert pleats_across(520.0, 40.0, 80.0).count == 7
    assert pleats_across(519.9, 40.0, 80.0).count == 6


@given(st.integers(1, 200), st.integers(0, 20), st.sampled_from([-1, 0, 1]))
def test_the_last_bit_counts_for_nothing(count, yields, bit):
    each = 7.3 + yields
    whole = count * each
    near = math.nextafter(whole, math.inf * bit) if bit else whole
    assert at_least(near / each) == at_most(near / each) == nearest(near / each) == count
    half = (count + 0.5) * each
    near = math.nextafter(half, math.inf * bit) if bit else half
    assert nearest(near / each) == at_least(near / each) == count + 1
    assert at_most(near / each) == count


def test_strips_of_just_the_least_last_length():
    """Of 2.1 m in strips of 1 m the last is 10 cm, as long as it must be to be one."""
    for whole in (2100.0, math.nextafter(2100.0, 0.0), math.nextafter(2100.0, 3000.0)):
        assert strips_for(whole, 1000.0, 0.0, evenly=False).count == 3
        assert strips_for(whole, 1000.0, 0.0, evenly=False).last_mm == pytest.approx(100.0)


def test_ease_of_a_size_on_the_border():
    for height in (1190.0, math.nextafter(1190.0, 2000.0)):
        assert quarter_chest_ease(height, 600.0) == 10.0


@given(st.integers(1, 10**7))
def test_a_length_in_inches_is_the_same_in_centimetres(tenths):
    mm = tenths / 10
    assert parse_length(mm / IN, Unit.IN) == parse_length(mm / 10, Unit.CM) == mm
