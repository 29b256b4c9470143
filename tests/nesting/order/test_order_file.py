"""Reading order files: what a good one gives, and what is said of a bad one."""

from __future__ import annotations

import os
import re
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.fabric.fabric import Faces, LayName, Nap, Price
from nesting.order.model import Order
from nesting.order.read import example_order, order_from_text, read_order
from nesting.rules.parts import draft_order
from pieces.check import check
from pieces.errors import Fault, OrderFault
from pieces.geometry import area, doubled
from pieces.piece import GrainRule
from pieces.units import Unit
from tests.examples import examples

BAD_ORDERS = Path(__file__).parents[2] / "data" / "bad_orders.txt"
HEAD = 'name = "choir"\nunits = "cm"\n[fabric.satin]\nwidth = 150\n'
TAIL = '[[piece]]\nname = "patch"\nfabric = "satin"\noutline = [[0, 0], [20, 0], [20, 20]]\n'

GOOD = """
name = "choir dresses"
units = "cm"
seam_allowance = 1.5
hem_allowance = "1 1/2 in"

[fabric.satin]
width = 150
selvedge = 1
nap = "one-way"
faces = "different"
shrinkage = { length = 3, width = 1 }
gap = "2 mm"
edge_gap = 0.5
tilt = 0
end_allowance = 2
lays = ["open", "lengthwise-fold", "open"]
price = 7.90
currency = "EUR"
per = "m"
sold_by = "10 cm"
minimum = "50 cm"

[fabric."white net"]
width = "3 m"
faces = "alike"
nap = "per-garment"
price = 4
currency = "EUR"

[[garment]]
name = "Dora"
quantity = 2
size = "4 years"
body = { chest = 55, waist = "20 1/2 in" }
  [[garment.part]]
  draft = "bodice"
  fabric = "satin"
  lining = "white net"
  closing = "buttons"
  [[garment.part]]
  draft = "sleeve"
  fabric = "satin"
  ease = 4
  seam_allowance = 1
  hem_allowance = 0

[[piece]]
name = "veil"
garment = "Dora"
fabric = "white net"
outline = [[0, 0], [0, 30], [40, 30], [40, 0]]
on_fold = [[0, 30], [0, 0]]
grain = [[0, 0], [0, 10]]
cut = 3
grain_rule = "any"

[[piece]]
name = "pocket"
fabric = "satin"
outline = [["0 cm", "0 cm"], [10, 0], [10, 12], [0, 12], [0, 0]]
cut = 2
pair = true
allowance = 1
"""


@pytest.fixture(scope="module")
def good() -> Order:
    return order_from_text(GOOD, "choir.toml")


def faults_of(text: str) -> tuple[Fault, ...]:
    """What is said of an order; nothing if it is good."""
    try:
        order_from_text(text, "order.toml")
    except OrderFault as fault:
        return fault.faults
    return ()


def test_the_order_itself(good: Order) -> None:
    assert (good.name, good.source, good.unit) == ("choir dresses", "choir.toml", Unit.CM)
    assert list(good.fabrics) == ["satin", "white net"]


def test_every_key_of_a_cloth(good: Order) -> None:
    satin = good.fabrics["satin"]
    assert (satin.width_mm, satin.selvedge_mm) == (1500, 10)
    assert (satin.nap, satin.faces) == (Nap.ONE_WAY, Faces.DIFFERENT)
    assert (satin.shrinkage_length, satin.shrinkage_width) == (0.03, 0.01)
    assert (satin.gap_mm, satin.edge_gap_mm, satin.end_allowance_mm) == (2, 5, 20)
    assert satin.lays == (LayName.OPEN, LayName.LENGTHWISE_FOLD)
    assert satin.price == Price(Decimal("7.9"), "EUR", 1000.0)
    assert (satin.sold_by_mm, satin.minimum_mm) == (100, 500)
    assert satin.usable_width_mm == pytest.approx(1480 * 0.99)


def test_what_stands_for_absent_keys_of_a_cloth(good: Order) -> None:
    net = good.fabrics["white net"]
    assert (net.width_mm, net.selvedge_mm, net.gap_mm, net.edge_gap_mm) == (3000, 0, 0, 0)
    assert (net.shrinkage_length, net.shrinkage_width, net.end_allowance_mm) == (0, 0, 0)
    assert (net.lays, net.sold_by_mm, net.minimum_mm) == (None, 0, 0)
    assert (net.nap, net.faces) == (Nap.PER_GARMENT, Faces.ALIKE)
    assert net.price == Price(Decimal(4), "EUR", 1000.0)
    plain = order_from_text(HEAD + TAIL, "o.toml").fabrics["satin"]
    assert (plain.nap, plain.faces, plain.price) == (Nap.NONE, Faces.DIFFERENT, None)


def test_a_quantity_becomes_so_many_garments(good: Order) -> None:
    assert [garment.name for garment in good.garments] == ["Dora 1 of 2", "Dora 2 of 2"]
    assert [piece.garment for piece in good.pieces] == ["Dora 1 of 2", "Dora 2 of 2", ""]


def test_the_tape_goes_before_the_table(good: Order) -> None:
    dora = good.garments[0]
    assert (dora.body.chest, dora.body.waist) == (550, 520.7)
    assert dora.body.back_waist is not None
    assert {"chest", "waist"}.isdisjoint(dora.filled)
    assert {"back_waist", "neck"} <= set(dora.filled)


def test_parts_take_the_orders_allowances_unless_they_say_otherwise(good: Order) -> None:
    bodice, sleeve = good.garments[0].parts
    assert (bodice.seam_allowance_mm, bodice.hem_allowance_mm) == (15, 38.1)
    assert (sleeve.seam_allowance_mm, sleeve.hem_allowance_mm) == (10, 0)
    assert (bodice.draft, bodice.fabric, bodice.lining) == ("bodice", "satin", "white net")
    assert (bodice.key, sleeve.key) == ("garment[0].part[0]", "garment[0].part[1]")
    assert bodice.options.closing == "buttons"  # type: ignore[attr-defined]
    assert sleeve.options.ease == 40  # type: ignore[attr-defined]


def test_allowances_where_the_order_names_none() -> None:
    part = '[[garment]]\nname = "Dora"\n[[garment.part]]\ndraft = "bodice"\nfabric = "satin"\n'
    order = order_from_text(HEAD + part, "o.toml")
    assert order.garments[0].parts[0].seam_allowance_mm == 10
    assert order.garments[0].parts[0].hem_allowance_mm == 25
    assert order.garments[0].filled == ()


def test_a_piece_on_the_fold_is_laid_along_its_grain(good: Order) -> None:
    veil = good.pieces[0]
    assert (veil.cut, veil.parts, veil.grain_rule) == (3, 3, GrainRule.ANY)
    assert veil.on_fold is not None
    assert {y for _, y in veil.on_fold} == {0.0}
    assert sorted(x for x, _ in veil.on_fold) == [0, 300]
    assert area(veil.outline) == pytest.approx(300 * 400)
    assert area(doubled(veil.outline, veil.on_fold)) == pytest.approx(300 * 800)
    assert veil.sewing_line == ()


def test_an_allowance_makes_the_outline_a_sewing_line(good: Order) -> None:
    pocket = good.pieces[2]
    assert (pocket.cut, pocket.pair, pocket.parts) == (2, True, 4)
    assert area(pocket.sewing_line) == pytest.approx(100 * 120)
    assert area(pocket.outline) == pytest.approx(120 * 140)


def test_a_fold_edge_gets_no_allowance() -> None:
    on_fold = "on_fold = [[0, 0], [20, 0]]\nallowance = 1\n"
    (piece,) = order_from_text(HEAD + TAIL + on_fold, "o.toml").pieces
    assert piece.on_fold is not None
    whole = doubled(piece.outline, piece.on_fold)
    assert min(y for _, y in piece.outline) == 0
    assert area(whole) == pytest.approx(2 * area(piece.outline))


def test_a_grain_drawn_by_eye_follows_the_fold_edge() -> None:
    askew = "on_fold = [[0, 0], [20, 0]]\ngrain = [[0, 1], [20, 1.1]]\n"
    (piece,) = order_from_text(HEAD + TAIL + askew, "o.toml").pieces
    assert piece.on_fold == ((0.0, 0.0), (200.0, 0.0))


def test_inches_and_yards() -> None:
    cloth = 'units = "in"\n[fabric.satin]\nwidth = 45\nprice = 5.5\ncurrency = "USD"\n'
    order = order_from_text(cloth + TAIL, "o.toml")
    assert order.fabrics["satin"].width_mm == pytest.approx(1143)
    assert order.fabrics["satin"].price == Price(Decimal("5.5"), "USD", 914.4)
    assert area(order.pieces[0].outline) == pytest.approx(200 * 25.4**2)


def test_a_file_without_a_name_is_called_after_itself(tmp_path: Path) -> None:
    path = tmp_path / "spring concert.toml"
    path.write_text((HEAD + TAIL).split("\n", 1)[1], encoding="utf-8")
    assert read_order(path).name == "spring concert"


def test_the_mark_that_some_editors_put_before_a_text(tmp_path: Path) -> None:
    path = tmp_path / "o.toml"
    path.write_bytes(b"\xef\xbb\xbf" + (HEAD + TAIL).replace("\n", "\r\n").encode())
    assert read_order(path).source == str(path)


def test_the_packaged_example_is_good() -> None:
    order = example_order()
    assert order.garments
    assert len(order.fabrics) >= 2


def test_files_that_are_none(tmp_path: Path) -> None:
    folder, latin, huge = tmp_path / "folder", tmp_path / "latin.toml", tmp_path / "huge.toml"
    folder.mkdir()
    latin.write_bytes('units = "cm"\nname = "Zoë"\n'.encode("latin-1"))
    huge.write_bytes(b"#" * 6_000_000)
    said = {
        tmp_path / "none.toml": "There is no such file.",
        folder: "This is a folder.",
        latin: "The file is not text in UTF-8.",
        huge: "The file is far too large for an order.",
        Path("a\0b"): "The file can't be read",
        latin / "o.toml": "The file can't be read",
    }
    for path, message in said.items():
        with pytest.raises(OrderFault) as fault:
            read_order(path)
        (one,) = fault.value.faults
        assert one.where == str(path)
        assert one.message.startswith(message)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root reads all")
def test_a_file_kept_from_us(tmp_path: Path) -> None:
    path = tmp_path / "o.toml"
    path.write_text(HEAD + TAIL, encoding="utf-8")
    path.chmod(0)
    with pytest.raises(OrderFault, match="permission denied"):
        read_order(path)


def bad_orders() -> list[tuple[str, str, list[str]]]:
    """Title, text and expected faults of each case of the golden file."""
    cases = []
    for case in re.split(r"^=== ", BAD_ORDERS.read_text(encoding="utf-8"), flags=re.MULTILINE)[1:]:
        title, rest = case.split("\n", 1)
        lines, said = re.split(r"^---\n", rest, flags=re.MULTILINE)
        text = lines if title.endswith("(whole file)") else HEAD + lines + TAIL
        cases.append((title, text, said.strip().split("\n")))
    return cases


@pytest.mark.parametrize(
    ("text", "said"), [pytest.param(text, said, id=title) for title, text, said in bad_orders()]
)
def test_what_is_said_of_a_bad_order(text: str, said: list[str]) -> None:
    faults = faults_of(text)
    assert [str(fault).removeprefix("order.toml: ") for fault in faults] == said
    assert all(fault.where == "order.toml" for fault in faults)
    assert all(fault.remedy for fault in faults)


CAPE = """
[[piece]]
name = "cape"
fabric = "satin"
outline = [[-8, 5], [-70, 5], [-50, 55], [0, 75], [0, 13], [-6, 11]]
on_fold = [[0, 75], [0, 13]]
second_fold = [[-8, 5], [-70, 5]]
"""


@pytest.mark.parametrize("allowance_mm", [0.0, 10.0])
def test_a_piece_with_two_fold_edges_comes_into_the_corner_of_the_axes(allowance_mm: float) -> None:
    """Wherever it is drawn; its hem and its neck get the allowance, its folds none."""
    more = f'allowance = "{allowance_mm} mm"\n' if allowance_mm else ""
    cape = order_from_text(HEAD + CAPE + more + TAIL, "o.toml").pieces[0]
    assert [edge[0] for edge in cape.fold_edges] == [(0.0, 0.0)] * 2
    first, second = (edge[1] for edge in cape.fold_edges)
    assert (first[1], second[0]) == (0.0, 0.0)
    assert min(min(point) for point in cape.outline) == 0.0
    # As far as the drawing, and the allowance beyond it, where the hem is not square to the fold.
    for reach in (first[0], second[1]):
        assert 700 + allowance_mm <= reach + 0.01 <= 700 + 1.2 * allowance_mm + 0.02
    for end in (cape.hole[0], cape.hole[-1]):
        assert 80 - 1.2 * allowance_mm <= max(end) + 0.01 <= 80 - allowance_mm + 0.02
    assert (cape.hole[0][1], cape.hole[-1][0]) == (0.0, 0.0)
    assert cape.grain[0][0] < cape.grain[1][0]
    assert check([cape]) == ()


def test_keys_that_ask_for_nothing_are_no_fault() -> None:
    nothing = "tilt = 0\nrepeat = {}\nin_hand = []\nflaws = []\n"
    assert faults_of(HEAD + nothing + TAIL) == ()


def test_a_cloth_that_nothing_is_cut_from_is_no_fault() -> None:
    assert faults_of(HEAD + "[fabric.spare]\nwidth = 140\n" + TAIL) == ()


JUNK = [
    "0", "-1", "1e400", "-0.0", "nan", "-inf", "true", '""', '"x"', '"1/2 in"', '"3 yd"', "[]",
    "[[]]", "[[0, 0], [1, 1]]", "[[0, 0], [1, 0], [nan, 1]]", "{}", "{ a = 1 }", "1979-05-27",
    "07:32:00", "0x" + "f" * 300, "9" * 40, "[1, 2, 3]", '["open", "open"]', '"\\u0000"', '"cm"',
    '"satin"', "[[0, 0], [1e9, 0], [0, 1e9]]", "[{}]", "'''\n'''",
]  # fmt: skip
"""Values that may stand where another is wanted."""
VALUE = re.compile(r"(?<== )[^\n]+")
PYDANTIC_WORDS = re.compile(r"Input should|Value error|pydantic|validation|function-|NoneType")


@st.composite
def mutated_orders(draw: st.DrawFn) -> str:
    """The good order with some values, lines or letters changed."""
    text = GOOD
    for _ in range(draw(st.integers(1, 4))):
        match draw(st.sampled_from(["value", "line", "twice", "letters"])):
            case "value":
                places = list(VALUE.finditer(text))
                at = draw(st.sampled_from(places)).span() if places else (0, 0)
                text = text[: at[0]] + draw(st.sampled_from(JUNK)) + text[at[1] :]
            case "letters":
                at = draw(st.integers(0, len(text)))
                text = text[:at] + draw(st.text(max_size=3)) + text[at + draw(st.integers(0, 3)) :]
            case change:
                lines = text.split("\n")
                at = draw(st.integers(0, len(lines) - 1))
                lines[at : at + 1] = [] if change == "line" else [lines[at]] * 2
                text = "\n".join(lines)
    return text


@settings(max_examples=examples(400), deadline=None)
@given(mutated_orders())
def test_a_spoilt_order_is_read_or_told_of_in_our_words(text: str) -> None:
    for fault in faults_of(text):
        assert fault.message.endswith((".", "?"))
        assert not PYDANTIC_WORDS.search(str(fault))


@given(st.text(max_size=60))
def test_any_text_is_no_more_than_a_fault(text: str) -> None:
    assert faults_of(text)


@pytest.mark.parametrize(("width_cm", "panels"), [(150, 1), (112, 1), (110, 2), (50, 3)])
def test_strips_are_joined_from_what_fits_across_the_cloth(width_cm, panels):
    """A waist of 54 cm gathered double, in one unless the cloth is narrower."""
    text = f"""
    name = "skirt"
    units = "cm"
    [fabric.lawn]
    width = {width_cm}
    selvedge = 1
    [[garment]]
    name = "one"
    body = {{ waist = 54 }}
    [[garment.part]]
    draft = "gathered skirt"
    fabric = "lawn"
    length = 30
    """
    (panel,) = draft_order(order_from_text(text, "skirt.toml")).pieces
    assert panel.cut == panels
    across_mm = max(y for _, y in panel.outline)
    assert across_mm <= width_cm * 10 - 20
