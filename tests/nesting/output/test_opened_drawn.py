"""Cloth that ends opened out as it is drawn: what is written hides neither lines nor words."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from shapely.geometry import LinearRing, box

from nesting.fabric.fabric import Fabric, LayName, Nap, Repeat
from nesting.fabric.marker import Marker
from nesting.fabric.plans import Plan
from nesting.output.drawing import key
from nesting.output.drawing.drawing import draw_plan
from nesting.output.drawing.sheet import Sheet
from pieces.piece import Mark
from tests.nesting.output.sample_plan import put, rectangle, two_pieces

LAWN = Fabric("lawn", 1120, selvedge_mm=10)
CALLED = "from here on: "


def opened(lay: LayName, fabric: Fabric = LAWN, depth_mm: float = 0.0) -> Plan:
    """A pocket on the fold's 14 cm, and past them a skirt that fills the width."""
    pocket = rectangle("pocket", "Ines", "lawn", 140.0, 140.0)
    skirt = rectangle("skirt", "Ines", "lawn", 435.0, 1072.0)
    placements = (
        put(pocket, 1, 0.0, 0.0, layers=2, spare=1),
        replace(put(skirt, 1, 140.0, 0.0), section="opened-out"),
    )
    across = lay.folds_across
    marker = Marker("lawn", lay, 715.0 if across else 575.0, placements, depth_mm, 140.0)
    made = two_pieces()
    (entry,) = made.fabrics
    entry = replace(
        entry,
        fabric=fabric,
        marker=marker,
        table_length_mm=marker.table_length_mm,
        pieces=(pocket, skirt),
    )
    return replace(made, fabrics=(entry,), pieces=(pocket, skirt))


PLANS = {
    "lengthwise": lambda: opened(LayName.LENGTHWISE_FOLD),
    "crosswise": lambda: opened(LayName.CROSSWISE_FOLD),
    "cut apart": lambda: opened(LayName.CROSSWISE_FOLD, replace(LAWN, nap=Nap.ONE_WAY)),
    "double": lambda: opened(LayName.DOUBLE_FOLD),
    "shallow band": lambda: opened(LayName.PARTIAL_FOLD, depth_mm=500.0),
    "shallow fold": lambda: opened(LayName.PARTIAL_FOLD, depth_mm=170.0),
    "quarter": lambda: opened(LayName.QUARTER_FOLD),
}


@pytest.fixture(scope="module", params=PLANS)
def sheet(request: pytest.FixtureRequest) -> Sheet:
    made = PLANS[request.param]()
    return draw_plan(made, made.fabrics[0])


def texts(sheet: Sheet) -> list[tuple[str, object]]:
    """Every text, level or upright, with the box of its letters, and none of its accents."""
    found = zip(sheet.axes.texts, sheet.written, strict=True)
    return [(text.get_text(), box(*place).buffer(-0.45)) for text, place in found]


def test_nothing_is_written_over_anything(sheet: Sheet) -> None:
    for (one, a), (other, b) in combinations(texts(sheet), 2):
        assert not a.intersects(b), (one, other)


def test_all_that_is_written_is_on_the_page(sheet: Sheet) -> None:
    page = box(0, 0, sheet.width_mm, sheet.height_mm).buffer(-5)
    assert all(page.contains(place) for _, place in texts(sheet))


def test_the_line_across_the_cloth_hides_no_piece(sheet: Sheet) -> None:
    ((_, here),) = [one for one in texts(sheet) if one[0].startswith(CALLED)]
    cuts = [
        LinearRing(patch.get_xy())
        for patch in sheet.axes.patches
        if hasattr(patch, "get_xy") and patch.get_linewidth() == key.CUT_PT
    ]
    assert len(cuts) == 2
    assert not any(cut.intersects(here) for cut in cuts)


def test_the_line_across_the_cloth_hides_no_sign() -> None:
    """A point that meets the print at the very height at which the words would stand."""
    made = opened(LayName.LENGTHWISE_FOLD)
    (entry,) = made.fabrics
    pocket, skirt = entry.pieces
    hem = Mark("hem", (25.0, 536.0), across=False)
    printed = replace(skirt, marks=(hem,), match=("hem",))
    cloth = replace(LAWN, repeat=Repeat(80.0, 0.0))
    entry = replace(entry, fabric=cloth, pieces=(pocket, printed))
    sheet = draw_plan(replace(made, fabrics=(entry,)), entry)
    (here,) = [place for text, place in texts(sheet) if text.startswith(CALLED)]
    assert len(sheet.signs) == 2, "and one in the key"
    assert not any(here.intersects(box(*sign)) for sign in sheet.signs)


def test_a_box_is_kept_for_every_text_as_it_is_drawn(sheet: Sheet) -> None:
    renderer = sheet.figure.canvas.get_renderer()
    per_mm = sheet.figure.dpi / 25.4
    for text, place in zip(sheet.axes.texts, sheet.written, strict=True):
        left, low, right, high = (
            value / per_mm for value in text.get_window_extent(renderer).extents
        )
        # The screen's letters are up to a tenth wider than the page's.
        spare = 1.0 + 0.1 * max(right - left, high - low)
        drawn = box(left, low, right, high)
        assert box(*place).buffer(spare).contains(drawn), text.get_text()
        assert drawn.buffer(spare).contains(box(*place)), text.get_text()
