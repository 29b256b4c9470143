"""On which lays a print may meet, by one hand-made table for rules and verifier."""

from __future__ import annotations

from dataclasses import replace

import pytest

from nesting import Rounds, plan
from nesting.fabric.fabric import Border, Edge, Fabric, LayName, Nap, Repeat
from nesting.fabric.lay import lay_of, suits_nap
from nesting.fabric.marker import MAIN, OPENED_OUT, Marker
from nesting.order.model import Order
from nesting.prints.lays import refusal
from nesting.prints.prints import prints_of
from nesting.rules.rules import cuts_for
from pieces.piece import GrainRule, Mark, Piece
from pieces.units import Unit
from tests.examples import some
from tests.nesting.rules.rules_table import NAPPED_PRINT_LAYS, NONE, ONE_WAY, OPENS_OUT, PRINT_LAYS
from tests.nesting.verify.hand_made import codes, placed, shifted

LOPSIDED = ((0.0, 0.0), (90.0, 0.0), (60.0, 40.0), (0.0, 30.0))
MARKS = (Mark("waist", (10.0, 15.0), across=False), Mark("middle", (0.0, 15.0), along=False))
KINDS = {
    "length": (Repeat(length_mm=70.0), None),
    "width": (Repeat(width_mm=60.0), None),
    "length and width": (Repeat(70.0, 60.0), None),
    "lower border": (None, Border(Edge.LOWER, 20.0)),
    "upper border": (None, Border(Edge.UPPER, 20.0)),
    "both borders": (None, Border(Edge.BOTH, 20.0)),
}
CASES = [
    (kind, nap, lay) for kind in KINDS for nap in (NONE, ONE_WAY) for lay in LayName
]  # fmt: skip


def cloth(kind: str, nap: Nap = NONE, width_mm: float = 1000.0) -> Fabric:
    repeat, border = KINDS[kind]
    return Fabric("plaid", width_mm, nap=nap, repeat=repeat, border=border)


def sleeves(kind: str) -> tuple[Piece, ...]:
    """Two pairs of one garment, matched at all points that they have, or laid on the border."""
    one = Piece(
        "sleeve", "plaid", LOPSIDED, ((10, 10), (50, 10)), pair=True, garment="Ada", marks=MARKS
    )
    if "border" in kind:
        one = replace(one, border=True, grain_rule=GrainRule.CROSSWISE)
    else:
        one = replace(one, match=("waist", "middle"))
    return one, replace(one, name="cuff")


def table(nap: Nap) -> dict[str, set[LayName]]:
    return PRINT_LAYS if nap is NONE else NAPPED_PRINT_LAYS


@pytest.mark.parametrize(("kind", "nap", "lay"), CASES)
def test_a_print_leaves_the_lays_of_the_table(kind: str, nap: Nap, lay: LayName) -> None:
    if not suits_nap(lay, nap):
        return
    fabric, pieces = cloth(kind, nap), sleeves(kind)
    cuts = cuts_for(pieces, fabric, lay)
    cloth_laid = lay_of(fabric, lay, 300.0 if lay is LayName.PARTIAL_FOLD else 0.0)
    forbids = refusal(prints_of(pieces, fabric), cuts, fabric, cloth_laid)
    assert (forbids is None) == (lay in table(nap)[kind])


def laid_by_hand(kind: str, nap: Nap, lay: LayName, off_mm: float = 0.0) -> Marker:
    """Two pairs where the table allows it; the second `off_mm` further along and across."""
    one, other = sleeves(kind)
    far = lay in (LayName.CROSSWISE_FOLD, LayName.QUARTER_FOLD)
    layers = {LayName.OPEN: 1, LayName.QUARTER_FOLD: 4}.get(lay, 2)
    placements = []
    for number, piece in enumerate((one, other)):
        gives = (1, 0, 1) if layers == 1 else (2, layers - 2, layers)
        hands = (False, True) if layers == 1 else (False,)
        for copy, mirrored in enumerate(hands, start=1):
            shift = number * off_mm
            if "border" in kind:
                where = (140.0 * number + 50.0 * (copy - 1), 0.0)
                turn = 90.0
                if kind == "upper border" or lay in (LayName.LENGTHWISE_FOLD, LayName.QUARTER_FOLD):
                    high_mm = (
                        500.0 if lay in (LayName.LENGTHWISE_FOLD, LayName.QUARTER_FOLD) else 1000.0
                    )
                    where, turn = (where[0], high_mm - 90.0), -90.0
                made = placed(piece, LOPSIDED, where, way=(turn, mirrored), copy=copy, gives=gives)
                placements.append(shifted(made, 0.0, shift))
                continue
            # The middle lies on the line at 240 mm: a fold or a whole number of repeats from one.
            low_mm = 225.0 if not mirrored else 225.0 + 120.0 - 10.0
            made = placed(
                piece, LOPSIDED, (210.0 * number, low_mm), way=(0.0, mirrored), copy=copy,
                gives=gives,
            )  # fmt: skip
            placements.append(shifted(made, shift, shift))
    length_mm = max(x for one in placements for x, _ in one.outline_mm) * (2 if far else 1)
    depth_mm = 300.0 if lay is LayName.PARTIAL_FOLD else 0.0
    return Marker("plaid", lay, length_mm, tuple(placements), depth_mm)


@pytest.mark.parametrize(("kind", "nap", "lay"), some(CASES))
def test_where_a_print_forbids_the_fold_what_meets_it_is_opened_out(
    kind: str, nap: Nap, lay: LayName
) -> None:
    """Past a band that is folded; the plan's marker is verified."""
    if lay not in OPENS_OUT or lay in table(nap)[kind] or not suits_nap(lay, nap):
        return
    fabric, tied = cloth(kind, nap), sleeves(kind)
    band = Piece("band", "plaid", ((0, 0), (60, 0), (60, 40), (1, 40)), ((0, 0), (9, 0)), pair=True)
    pieces = (*tied, replace(band, garment="Ada"), *_for_a_band(lay))
    order = Order("test", "frock.toml", Unit.CM, {"plaid": fabric}, (), pieces)
    (entry,) = plan(order, Rounds(1), jobs=1, lay=lay).fabrics
    sections = {p.piece: p.section for p in entry.marker.placements}
    assert {sections[piece.name] for piece in tied} == {OPENED_OUT}
    assert sections["band"] == MAIN


def _for_a_band(lay: LayName) -> tuple[Piece, ...]:
    """A partial fold is one only where something lies single beside it."""
    single = Piece("flap", "plaid", LOPSIDED, ((10, 10), (50, 10)), garment="Ada")
    return (single,) if lay is LayName.PARTIAL_FOLD else ()


PRINT_CODES = {"match", "print-way", "border"}


@pytest.mark.parametrize(("kind", "nap", "lay"), CASES)
def test_the_verifier_holds_to_the_same_table(kind: str, nap: Nap, lay: LayName) -> None:
    """Laid on a line of the print, or hem to selvedge; on other lays nothing can be right."""
    if not suits_nap(lay, nap):
        return
    fabric, pieces = cloth(kind, nap), sleeves(kind)
    if kind != "length" and lay is LayName.DOUBLE_FOLD:
        return  # a width that is a multiple of the repeat meets by chance; see the next test
    found = codes(fabric, pieces, laid_by_hand(kind, nap, lay)) & PRINT_CODES
    allowed = lay in table(nap)[kind]
    if allowed and nap is ONE_WAY and lay is LayName.CROSSWISE_FOLD and kind == "width":
        return  # 1000 mm less 240 is no whole number of half repeats from it
    assert (found == set()) == allowed, found


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind in ("length", "width")])
@pytest.mark.parametrize("lay", [LayName.OPEN, LayName.LENGTHWISE_FOLD])
def test_a_piece_moved_off_the_repeat_is_found(kind: str, lay: LayName) -> None:
    assert codes(cloth(kind), sleeves(kind), laid_by_hand(kind, NONE, lay)) & PRINT_CODES == set()
    for off_mm in (35.0, 30.0, 2.0):
        assert "match" in codes(cloth(kind), sleeves(kind), laid_by_hand(kind, NONE, lay, off_mm))


def test_a_hem_off_its_selvedge_is_found() -> None:
    marker = laid_by_hand("lower border", NONE, LayName.OPEN, off_mm=3.0)
    assert "border" in codes(cloth("lower border"), sleeves("lower border"), marker)
