"""The book of bolts and remnants: nothing is lost or doubled, however its use ends."""

from __future__ import annotations

import multiprocessing
import os
import sqlite3
import tempfile
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.books import file
from nesting.books.file import opened, transaction
from nesting.fabric.fabric import Bolt, LayName
from nesting.order.model import Order
from nesting.order.read import order_from_text
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds
from nesting.stock import book as book_file
from nesting.stock.book import Entry, add, entries, exchange
from nesting.stock.faults import in_words
from nesting.stock.stock import cut_of, with_stock
from nesting.verify.judge import verify
from pieces.errors import OrderFault
from tests.examples import examples, some
from tests.nesting.cli.test_cli import metrage
from tests.nesting.cli.test_cli_bolt import ORDER, PIECE

STAIN = ((1800.0, 100.0), (1850.0, 100.0), (1850.0, 150.0), (1800.0, 150.0))
BOLT = Bolt("", 2000.0, 1000.0, flaws=(STAIN,))
SPAWN = multiprocessing.get_context("spawn")


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return tmp_path / "shelf.book"


@pytest.fixture
def order() -> Order:
    text = ORDER.replace('in_hand = [{ length = 90, name = "end" }]', "")
    text = text.replace("width = 100\n", "width = 100\nshrinkage = { length = 10, width = 10 }\n")
    return order_from_text(text + PIECE.format("Ada") + PIECE.format("Ines"), "frocks.toml")


def race(book: str, gate: str, name: str, taken: Entry) -> None:
    """Take an entry the moment the gate is there, and leave word how it went."""
    while not Path(gate).exists():
        pass
    try:
        exchange(Path(book), [taken], [Entry("lawn", Bolt("", 500.0, 1000.0))])
        said = "took it"
    except OrderFault as fault:
        said = str(fault)
    Path(f"{gate}-{name}").write_text(said)


def die_before_commit(book: str, taken: Entry) -> None:
    """Exchange an entry in a cache so small that it spills into the file, and die at the end."""
    with opened(Path(book), in_words) as base:
        base.execute("PRAGMA cache_size = 1")
        base.execute("PRAGMA cache_spill = 1")
        with transaction(base):
            base.execute("DELETE FROM cloth")
            for _ in range(2000):
                book_file._insert(base, taken)
            os._exit(9)


def test_what_is_put_in_comes_out_as_it_was(book: Path) -> None:
    (entered,) = add(book, "lawn", [BOLT])
    assert entries(book) == (entered,)
    assert entered == Entry("lawn", Bolt("no. 1", 2000.0, 1000.0, flaws=(STAIN,)))


def test_numbers_are_never_given_again(book: Path) -> None:
    first = add(book, "lawn", [BOLT])
    exchange(book, first, [])
    (second,) = add(book, "lawn", [BOLT])
    assert second.bolt.name == "no. 2"
    with pytest.raises(OrderFault, match=r"no\. 1, has been taken out meanwhile"):
        exchange(book, first, [])
    assert entries(book) == (second,)


def test_a_plan_takes_its_bolt_and_leaves_the_end_with_its_flaws(book: Path, order: Order) -> None:
    held = add(book, "lawn", [BOLT]) + add(book, "satin", [BOLT])
    made = plan(with_stock(order, held), Rounds(2), jobs=1)
    (entry,) = made.fabrics
    taken, left = cut_of(made, held)
    assert taken == held[:1]
    entered = exchange(book, taken, left)
    assert entries(book) == (held[1], *entered)
    # Two pieces of 60 by 90 cm fill 90 cm of washed width; 2 m become 1.8 m in the wash.
    end = entered[0].bolt
    assert entry.marker.length_mm == pytest.approx(1200.0, abs=1.0)
    assert (end.length_mm, end.width_mm, end.washed) == (
        pytest.approx(1800.0 - entry.marker.length_mm),
        pytest.approx(900.0),
        True,
    )
    ((low, *_, high),) = end.flaws
    assert low == pytest.approx((1620.0 - entry.marker.length_mm, 90.0))
    assert high == pytest.approx((1620.0 - entry.marker.length_mm, 135.0))
    again = with_stock(order, entries(book)).fabrics["lawn"].in_hand
    assert again == tuple(one.bolt for one in entered)


OLD_TABLE = """
CREATE TABLE cloth (
    number INTEGER PRIMARY KEY AUTOINCREMENT, fabric TEXT NOT NULL,
    length_mm REAL NOT NULL CHECK (length_mm > 0), width_mm REAL NOT NULL CHECK (width_mm > 0),
    washed INTEGER NOT NULL, flaws TEXT NOT NULL
)
"""


def test_a_book_of_an_earlier_release_opens_and_is_brought_up(book: Path) -> None:
    """Read as it is; its columns come with the first change, and nothing in it is lost."""
    base = sqlite3.connect(book)
    base.execute("PRAGMA application_id = 1651469428")
    base.execute(OLD_TABLE)
    base.execute("INSERT INTO cloth VALUES (7, 'lawn', 900.0, 1000.0, 1, '[]')")
    base.commit()
    base.close()
    before = book.read_bytes()
    old = Entry("lawn", Bolt("no. 7", 900.0, 1000.0, washed=True))
    assert entries(book) == (old,)
    assert book.read_bytes() == before
    (new,) = add(book, "lawn", [replace(BOLT, selvedge_mm=0.0)])
    assert new == Entry("lawn", replace(BOLT, name="no. 8", selvedge_mm=0.0))
    assert entries(book) == (old, new)
    exchange(book, [old], [])
    assert entries(book) == (new,)


def test_a_book_of_a_later_release_is_left_alone(book: Path) -> None:
    add(book, "lawn", [BOLT])
    base = sqlite3.connect(book)
    base.execute("PRAGMA user_version = 99")
    base.close()
    for use in (entries, lambda path: add(path, "lawn", [BOLT])):
        with pytest.raises(OrderFault, match="written by a later metrage"):
            use(book)


def test_what_is_left_of_an_orders_own_length_and_of_what_is_bought_is_entered(book: Path) -> None:
    """60 cm of 90 are cut from the end; 60 cm are bought with a whole metre of the counter."""
    text = ORDER.replace('"10 cm"', '"1 m"')
    asked = order_from_text(text + PIECE.format("Ada") + PIECE.format("Ines"), "frocks.toml")
    made = plan(asked, Rounds(1), jobs=1)
    taken, left = cut_of(made, ())
    assert taken == ()
    kept = [(one.origin, one.bolt.length_mm, one.bolt.width_mm) for one in left]
    whole = [one for one in kept if one[2] == 1000.0]
    assert whole == [
        ("left of end (two frocks)", pytest.approx(300.0), 1000.0),
        ("bought for two frocks", pytest.approx(400.0), 1000.0),
    ]
    beside = [one.bolt for one in left if one.bolt.width_mm < 1000.0]
    assert {bolt.selvedge_mm for bolt in beside} == {0.0}
    add(book, "satin", [BOLT])
    assert [one.origin for one in exchange(book, taken, left)] == [one.origin for one in left]
    assert {one.origin for one in entries(book)} == {"", whole[0][0], whole[1][0]}


def test_a_rectangle_from_between_pieces_loses_no_selvedge_again(book: Path) -> None:
    """A piece as wide as the rectangle: it comes out of it, and not if it had selvedges."""
    text = ORDER.replace('in_hand = [{ length = 90, name = "end" }]', "selvedge = 2")
    pieces = "".join(PIECE.format(name) for name in ("Ada", "Ines")).replace("90", "40")
    asked = order_from_text(text + pieces, "frocks.toml")
    for selvedge_mm, enough in ((0.0, True), (None, False)):
        held = add(book, "lawn", [Bolt("", 1250.0, 400.0, selvedge_mm=selvedge_mm)])
        made = plan(with_stock(asked, held), Rounds(1), jobs=1)
        assert (made.bought == ()) is enough
        for entry in made.fabrics:
            assert verify(entry.fabric, entry.pieces, entry.marker) == ()


@pytest.mark.parametrize("lay", some(list(LayName)))
def test_no_more_is_left_than_there_was(book: Path, lay: LayName) -> None:
    pieces = "".join(PIECE.format(name) + "cut = 2\n" for name in ("Ada", "Ines"))
    pieces = pieces.replace("60", "31").replace("90", "23")
    text = ORDER.replace('in_hand = [{ length = 90, name = "end" }]', 'faces = "alike"')
    asked = order_from_text(text + pieces, "frocks.toml")
    held = add(book, "lawn", [Bolt("", 2000.0, 1000.0)])
    made = plan(with_stock(asked, held), Rounds(2), jobs=1, lay=lay)
    (entry,) = made.fabrics
    _, left = cut_of(made, held)
    assert left[0].bolt.length_mm == pytest.approx(2000.0 - entry.marker.length_mm)
    left_mm2 = sum(one.bolt.length_mm * one.bolt.width_mm for one in left)
    assert left_mm2 <= 2000.0 * 1000.0 - 4 * 310.0 * 230.0 + 1.0


@pytest.mark.long
def test_of_two_processes_one_takes_the_bolt(book: Path, tmp_path: Path) -> None:
    (entered,) = add(book, "lawn", [BOLT])
    gate = tmp_path / "gate"
    both = [SPAWN.Process(target=race, args=(str(book), str(gate), name, entered)) for name in "ab"]
    for one in both:
        one.start()
    gate.touch()
    for one in both:
        one.join(60)
        assert one.exitcode == 0
    refused, took = sorted((path.read_text() for path in tmp_path.glob("gate-*")), key=len)[::-1]
    assert took == "took it"
    assert "lawn, no. 1, has been taken out meanwhile; nothing was booked" in refused
    assert [one.bolt.length_mm for one in entries(book)] == [500.0]


def test_killed_before_the_end_nothing_is_booked(book: Path) -> None:
    held = add(book, "lawn", [BOLT, BOLT])
    dying = SPAWN.Process(target=die_before_commit, args=(str(book), held[0]))
    dying.start()
    dying.join(60)
    assert dying.exitcode == 9
    assert entries(book) == held
    exchange(book, held, [])
    assert entries(book) == ()


def test_one_bolt_gone_and_none_is_taken(book: Path) -> None:
    held = add(book, "lawn", [BOLT, BOLT])
    exchange(book, held[1:], [])
    with pytest.raises(OrderFault):
        exchange(book, held, [Entry("lawn", BOLT)])
    assert entries(book) == held[:1]


@given(
    st.lists(
        st.one_of(
            st.lists(st.floats(1, 1e5), min_size=1, max_size=3),
            st.tuples(st.sets(st.integers(0, 8), max_size=3), st.lists(st.floats(1, 1e5))),
        ),
        max_size=8,
    )
)
@settings(max_examples=examples(25), deadline=None)
def test_the_book_holds_what_was_put_in_and_not_taken_out(
    steps: list[list[float] | tuple[set[int], list[float]]],
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        book = Path(folder) / "shelf.book"
        ever = list(add(book, "lawn", [BOLT]))
        expected = list(ever)
        for step in steps:
            if isinstance(step, list):
                new = add(book, "lawn", [Bolt("", mm, 900.0) for mm in step])
            else:
                taken = [ever[n] for n in step[0] if n < len(ever)]
                left = [Entry("lawn", Bolt("", mm, 800.0)) for mm in step[1]]
                if all(one in expected for one in taken):
                    new = exchange(book, taken, left)
                    expected = [one for one in expected if one not in taken]
                else:
                    new = ()
                    with pytest.raises(OrderFault):
                        exchange(book, taken, left)
            ever += new
            expected += new
            assert list(entries(book)) == expected
        assert len({one.bolt.name for one in ever}) == len(ever)


def test_faults_name_the_file_and_a_remedy(
    book: Path, monkeypatch: pytest.MonkeyPatch, order: Order
) -> None:
    with pytest.raises(OrderFault, match=r"shelf.book: There is no such book. Put cloth in first"):
        entries(book)
    book.write_text("Lawn, 2 m, and the end of the satin. " * 50)
    for use in (entries, lambda path: add(path, "lawn", [BOLT])):
        with pytest.raises(OrderFault, match="not a book of cloth"):
            use(book)
    book.unlink()
    other = sqlite3.connect(book)
    other.execute("CREATE TABLE cloth (number)")
    other.commit()
    with pytest.raises(OrderFault, match="not a book of cloth"):
        add(book, "lawn", [BOLT])
    other.close()
    book.unlink()
    held = add(book, "lawn", [BOLT])
    monkeypatch.setattr(file, "_WAIT_S", 0.1)
    other = sqlite3.connect(book, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(OrderFault, match=r"writing in the book\. Try again"):
        exchange(book, held, [])
    other.close()
    with pytest.raises(OrderFault, match="See that its folder exists"):
        add(book.parent / "nowhere" / "shelf.book", "lawn", [BOLT])
    twice = with_stock(order, held)
    with pytest.raises(OrderFault, match="also the name of a length in the book"):
        with_stock(twice, held)


def test_the_command_plans_and_takes(tmp_path: Path) -> None:
    (tmp_path / "frocks.toml").write_text(ORDER + PIECE.format("Ada") + PIECE.format("Ines"))
    size = ("--length", "2 m", "--width", "100 cm")
    done = metrage("stock", "shelf", "--add", "lawn", *size, cwd=tmp_path)
    assert (done.exit_code, done.stderr) == (0, "")
    run = ("bolt", "frocks.toml", "--rounds", "1", "--out", "o", "--stock", "shelf")
    for extra in ((), ("--take",)):
        before = entries(tmp_path / "shelf")
        done = metrage(*run, *extra, cwd=tmp_path)
        assert done.exit_code == 0, done.stderr
        assert (entries(tmp_path / "shelf") == before) == (not extra)
    assert "Taken out of the book:\n  no. 1: lawn, " in done.stdout
    assert "left of no. 1" in done.stdout
    assert "Now take end (lawn) out of the order's in_hand" in done.stdout
    done = metrage(*("plan", *run[1:]), cwd=tmp_path)
    assert done.exit_code == 0, done.stderr
    assert "lawn, no. 4, " in done.stdout
    assert "no. 1:" not in metrage("stock", "shelf", cwd=tmp_path).stdout
    for wrong in (
        ("stock", "none"),
        ("stock", "shelf", "--length", "2 m"),
        ("stock", "shelf", "--add", "lawn", "--length", "long"),
        ("stock", "shelf", "--add", "lawn", *size, "--selvedge", "50 cm"),
        ("plan", ".", "--stock", "shelf"),
        ("bolt", "frocks.toml", "--take"),
        (*run, "--take", "--how-many", "Ada"),
    ):
        done = metrage(*wrong, cwd=tmp_path)
        assert done.exit_code == 2
        assert "to put right" in done.stderr
