"""Which of several lays is chosen: by cloth, by the cutter's work, or by both at a rate."""

from dataclasses import replace
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

from nesting.fabric.costing import CutterMinutes, Handling
from nesting.fabric.fabric import Fabric, LayName, Price
from nesting.fabric.lay import lay_of
from nesting.fabric.marker import Marker, Placement
from nesting.fabric.purchase import purchase
from nesting.search.cloth import ClothSearch
from nesting.search.lay_result import rank_key

LAWN = Fabric("lawn", 1400.0, sold_by_mm=100.0, price=Price(Decimal(10), "EUR", 1000.0))


def result(
    lay: LayName,
    long_mm: float,
    outlines: int,
    fabric: Fabric = LAWN,
    opened: float | None = None,
    joins: int = 0,
) -> Any:
    square = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
    placed = tuple(
        Placement("", "patch", n, 1, 0, 1, "main", 0, False, False, 0.0, False, 0, 0, 0.0, square)
        for n in range(outlines)
    )
    marker = Marker("lawn", lay, long_mm, placed, opened_from_mm=opened)
    packing = SimpleNamespace(fabric=fabric, lay=lay_of(fabric, lay))
    return SimpleNamespace(marker=marker, fabric=fabric, packing=packing, joins=joins)


def best(*results: Any) -> LayName:
    return min(results, key=rank_key).marker.lay


def test_a_second_fold_must_save_more_outlines_than_its_trouble() -> None:
    """Both buy a metre: one fold with 10 outlines, two with 8 or with 6."""
    once = result(LayName.LENGTHWISE_FOLD, 950, 10)
    assert best(once, result(LayName.DOUBLE_FOLD, 950, 8)) is LayName.LENGTHWISE_FOLD
    assert best(once, result(LayName.DOUBLE_FOLD, 950, 6)) is LayName.DOUBLE_FOLD


def test_a_fold_that_opens_out_must_too() -> None:
    plain = result(LayName.LENGTHWISE_FOLD, 950, 10)
    for outlines, is_opened in ((8, False), (6, True)):
        opened = result(LayName.LENGTHWISE_FOLD, 950, outlines, opened=500.0)
        assert (min(plain, opened, key=rank_key) is opened) is is_opened


def test_without_a_rate_less_cloth_comes_first() -> None:
    assert best(result(LayName.OPEN, 950, 20), result(LayName.LENGTHWISE_FOLD, 1050, 10)) is (
        LayName.OPEN
    )


def test_with_a_rate_cloth_is_set_against_minutes() -> None:
    """By hand: folding saves 10 outlines of 1.5 minutes and 4 m of line, and takes 4 for the fold:
    15 minutes. A tenth of a metre costs 1.00, so at 3 an hour (0.75) cloth wins, at 5 (1.25) work.
    """
    for rate, lay in ((3, LayName.OPEN), (5, LayName.LENGTHWISE_FOLD)):
        handling = Handling(Decimal(rate) / 60, CutterMinutes())
        cloth = replace(LAWN, handling=handling)
        chosen = best(
            result(LayName.OPEN, 950, 20, cloth),
            result(LayName.LENGTHWISE_FOLD, 1050, 10, cloth),
        )
        assert chosen is lay


def test_with_a_rate_joins_are_set_against_cloth() -> None:
    """Two joins of 3 minutes save a tenth of a metre, 1.00: worth it at 5 an hour (0.50), not at
    15 (1.50). Of strips cut in two ways that decides, and between lays."""
    for rate, joined in ((5, True), (15, False)):
        cloth = replace(LAWN, handling=Handling(Decimal(rate) / 60, CutterMinutes()))
        search: Any = SimpleNamespace(
            problem=SimpleNamespace(fabric=cloth),
            bought_mm=lambda mm, cloth=cloth: purchase(cloth, mm).length_mm,
        )
        long, short = (
            SimpleNamespace(length_mm=mm, problem=SimpleNamespace(joins=joins))
            for mm, joins in ((1000.0, 0), (900.0, 2))
        )
        assert (ClothSearch._rank(search, short) < ClothSearch._rank(search, long)) is joined
        whole, pieced = (
            result(LayName.OPEN, mm, 4, cloth, joins=joins) for mm, joins in ((1000, 0), (900, 2))
        )
        assert (rank_key(pieced) < rank_key(whole)) is joined
