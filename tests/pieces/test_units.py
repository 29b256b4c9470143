"""Lengths as people write them."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pieces.units import (
    Unit,
    format_in_both,
    format_kept,
    format_length,
    format_needed,
    mm_per,
    parse_length,
)

STEP = {
    Unit.MM: Fraction(1),
    Unit.CM: Fraction(1, 10),
    Unit.M: Fraction(1, 100),
    Unit.IN: Fraction(1, 16),
    Unit.YD: Fraction(1, 8),
}
"""What format_length rounds to, in each unit."""


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("30", 300),
        ("30cm", 300),
        (" 30 CM ", 300),
        ("12 mm", 12),
        (".5 m", 500),
        ("2.25 m", 2250),
        ("2,25 m", 2250),
        ("0,125 m", 125),
        ("2.25 metres", 2250),
        ("1 1/2 in", 38.1),
        ("1-1/2 in.", 38.1),
        ("1 1/2 inches", 38.1),
        ('3/8"', 9.525),
        ("3/8″", 9.525),
        ("2½”", 63.5),
        ("⅜ in", 9.525),
        ("½", 5),
        ("3''", 76.2),
        ("1 3/8 yd", 1257.3),
        ("1⅜ yards", 1257.3),
        ("1 1⁄2 in", 38.1),
        ("-3", -30),
        ("−1½ in", -38.1),
    ],
)
def test_text_is_read(text: str, mm: float) -> None:
    assert parse_length(text, Unit.CM) == mm


@pytest.mark.parametrize(
    ("value", "unit", "mm"),
    [(150, Unit.CM, 1500), (1.1, Unit.CM, 11), (59, Unit.IN, 1498.6), (0.1, Unit.IN, 2.54)],
)
def test_bare_number_is_in_the_given_unit(value: float, unit: Unit, mm: float) -> None:
    assert parse_length(value, unit) == mm


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("1,500 mm", "The comma in '1,500 mm' can be read two ways."),
        ("30 feet", "'feet' in '30 feet' is not a unit known here."),
        ("thirty", "'thirty' is not a length. A length looks like"),
        ("", "'' is not a length."),
        ("1/0 in", "'1/0 in' is not a length."),
        ("1 yd 4 in", "'1 yd 4 in' is not a length."),
        ("1 1 in", "is not a length."),
        ("1e3", "is not a length."),
        ("٣ cm", "is not a length."),
        ("9" * 5000, "is not a length."),
        ("200 000 m", "is not a length."),
        ("200000 m", "'200000 m' is longer than any cloth"),
        pytest.param(10**5000, "of so many digits is longer than any cloth", id="huge"),
        (1e308, "longer than any cloth"),
        (float("nan"), "nan is not a length."),
        (float("inf"), "inf is not a length."),
        (True, "true is not a length."),
    ],
)
def test_what_is_no_length_is_refused_in_words(value: str | float, said: str) -> None:
    with pytest.raises(ValueError) as refused:  # noqa: PT011 - the message is checked below
        parse_length(value, Unit.CM)
    assert said in str(refused.value)


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (1500, Unit.CM, "150 cm"),
        (1504.6, Unit.CM, "150.5 cm"),
        (0.4, Unit.CM, "0 cm"),
        (-0.4, Unit.CM, "0 cm"),
        (-5, Unit.CM, "-0.5 cm"),
        (12.4, Unit.MM, "12 mm"),
        (2400, Unit.M, "2.40 m"),
        (-50, Unit.M, "-0.05 m"),
        (38.1, Unit.IN, "1 1/2 in"),
        (9.525, Unit.IN, "3/8 in"),
        (25.4, Unit.IN, "1 in"),
        (0, Unit.IN, "0 in"),
        (2400.3, Unit.YD, "2 5/8 yd"),
    ],
)
def test_lengths_are_written_in_the_dressers_unit(mm: float, unit: Unit, text: str) -> None:
    assert format_length(mm, unit) == text


def test_inches_go_to_eighths_where_asked() -> None:
    assert format_length(4.7625, Unit.IN) == "3/16 in"
    assert format_length(4.7625, Unit.IN, finest=8) == "1/4 in"


def test_both_systems_stand_side_by_side() -> None:
    assert format_in_both(381, Unit.IN) == "15 in (38.1 cm)"
    assert format_in_both(2250, Unit.M) == "2.25 m (2 1/2 yd)"


@given(st.sampled_from(Unit), st.floats(0.01, 50_000))
def test_what_is_needed_goes_up_and_what_is_kept_goes_down(unit: Unit, mm: float) -> None:
    hair = 0.0005001  # half a micrometre, by which sums of floats may be off
    needed = parse_length(format_needed(mm, unit), unit)
    kept = parse_length(format_kept(mm, unit), unit)
    assert mm - hair <= needed < mm + STEP[unit] * mm_per(unit) + hair
    assert mm - STEP[unit] * mm_per(unit) - hair < kept <= mm + hair


@given(st.sampled_from(Unit), st.integers(-10_000, 10_000))
def test_marks_of_the_tape_go_round_exactly(unit: Unit, count: int) -> None:
    mm = float(count * STEP[unit] * mm_per(unit))
    assert abs(parse_length(format_length(mm, unit), Unit.MM) - mm) <= 0.01


@given(st.sampled_from(Unit), st.floats(-1e6, 1e6))
def test_writing_is_never_off_by_more_than_half_a_step(unit: Unit, mm: float) -> None:
    read = parse_length(format_length(mm, unit), Unit.MM)
    assert abs(read - mm) <= float(STEP[unit] * mm_per(unit) / 2) + 1e-6


@given(st.sampled_from(Unit), st.floats(0.01, 1000))
def test_a_number_reads_the_same_bare_and_with_its_unit(unit: Unit, number: float) -> None:
    value = round(number, 4)
    exact = Fraction(repr(value)) * mm_per(unit)
    assert parse_length(value, unit) == parse_length(f"{value:.4f} {unit}", Unit.MM) == float(exact)


def outcome(text: str) -> float | str:
    """What comes of reading a text: its length, or what is said instead."""
    try:
        return parse_length(text, Unit.IN)
    except ValueError as refused:
        return str(refused)


@given(st.text(max_size=12) | st.text("0123456789/., -½\"'incmyd", max_size=12))
def test_any_text_is_read_or_refused_in_our_words(text: str) -> None:
    came = outcome(text)
    assert isinstance(came, float) or came.endswith(".")
