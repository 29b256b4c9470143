"""The book of wearers: what is kept, what is likely by now, and what no damage gets past."""

import json
import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from datetime import date, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner

from nesting.cli import main
from nesting.order.read import read_order
from nesting.wearers import book as pages
from nesting.wearers.wearer import Measured, Wearer
from pieces.errors import OrderFault

TODAY = date(2025, 6, 1)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "clients.book"
    pages.add(path, "Pia", date(2019, 4, 30), "girl", TODAY)
    pages.measure(path, "Pia", date(2024, 5, 1), {"chest": 546.0, "waist": 505.0})
    pages.measure(path, "Pia", date(2025, 5, 1), {"chest": 562.0})
    pages.record(path, "Pia", TODAY, "May dresses", "To buy: satin 1.80 m.")
    pages.add(path, "Rue", None, "boy", TODAY)
    return path


def refused(what, *args) -> str:
    with pytest.raises(OrderFault) as caught:
        what(*args)
    (fault,) = caught.value.faults
    return fault.message


def test_last_measures_and_what_changed(book: Path) -> None:
    pia, rue = pages.wearers(book)
    assert pia.latest == {"chest": (562.0, date(2025, 5, 1)), "waist": (505.0, date(2024, 5, 1))}
    (change,) = pia.changes()
    assert (change.measure, change.before_mm, change.now_mm) == ("chest", 546.0, 562.0)
    assert [one.order for one in pia.orders] == ["May dresses"]
    assert (rue.born, rue.latest, list(rue.likely(TODAY))) == (None, {}, [])


def test_what_is_likely_grows_as_the_table_does() -> None:
    """By hand: a girl of 4 whose chest is 2 cm over the table's 52.4, a year later: its row has
    54.6, so 54.4 x 54.6 / 52.4 = 56.68 cm (the row: UM-HSRI-77-17, means of girls)."""
    then = date(2024, 3, 1)
    child = Wearer("Ada", date(2020, 3, 1), "girl", (Measured(then, {"chest": 544.0}),), ())
    (guess,) = child.likely(date(2025, 3, 1))
    assert guess.likely_mm == pytest.approx(566.8, abs=0.3)
    assert "UM-HSRI-77-17" in guess.source
    assert list(child.likely(then + timedelta(days=30))) == []
    grown = Wearer("Eve", date(1990, 3, 1), "girl", (Measured(then, {"chest": 900.0}),), ())
    assert list(grown.likely(date(2025, 3, 1))) == []


def test_all_is_exported_and_all_erased(book: Path) -> None:
    told = json.loads(json.dumps(pages.exported(pages.wearer(book, "Pia"))))
    assert told["born"] == "2019-04-30"
    assert [one["day"] for one in told["measured_mm"]] == ["2024-05-01", "2025-05-01"]
    assert told["orders"][0]["bought"] == "To buy: satin 1.80 m."
    pages.erase(book, "Pia")
    assert [one.name for one in pages.wearers(book)] == ["Rue"]
    left = book.read_bytes()
    assert b"Pia" not in left
    assert b"2019-04-30" not in left
    assert b"satin" not in left
    assert refused(pages.wearer, book, "Pia") == "The book has no wearer called 'Pia'."


def test_what_is_no_book_is_refused_in_one_sentence_and_left_alone(tmp_path: Path) -> None:
    text, other, empty = (tmp_path / name for name in ("letter.txt", "other.db", "empty"))
    text.write_text("Dear Pia, " * 200)
    base = sqlite3.connect(other)
    base.execute("CREATE TABLE note (x)")
    base.close()
    for path in (text, other):
        before = path.read_bytes()
        assert refused(pages.wearers, path).startswith("This file is not a book of wearers")
        assert refused(pages.add, path, "Pia", None, "girl", TODAY).startswith("This file is not")
        assert path.read_bytes() == before
    empty.touch()
    assert refused(pages.wearers, empty).startswith("This file is not a book of wearers")
    assert refused(pages.wearers, tmp_path / "none") == "There is no such book of wearers."
    assert refused(pages.wearers, tmp_path) == "This is a folder."


def test_a_book_of_a_later_release_is_left_alone(book: Path) -> None:
    base = sqlite3.connect(book)
    base.execute("PRAGMA user_version = 99")
    base.close()
    before = book.read_bytes()
    assert "later metrage" in refused(pages.measure, book, "Pia", TODAY, {"chest": 570.0})
    assert book.read_bytes() == before


def test_a_damaged_book_is_refused_or_reads_as_it_was_written(book: Path, tmp_path: Path) -> None:
    whole, known = book.read_bytes(), pages.wearers(book)
    chance, told = random.Random(7), 0
    for _ in range(150):
        damaged = bytearray(whole)
        for _ in range(chance.choice((1, 1, 8))):
            damaged[chance.randrange(len(damaged))] ^= 1 << chance.randrange(8)
        path = tmp_path / "damaged.book"
        path.write_bytes(bytes(damaged[: chance.choice((len(whole), len(whole), 5000))]))
        before = path.read_bytes()
        try:
            assert pages.wearers(path) == known
        except OrderFault:
            told += 1
            with pytest.raises(OrderFault):
                pages.measure(path, "Pia", TODAY, {"chest": 1.0})
            assert path.read_bytes() == before
    assert told > 20


def test_a_note_taken_out_by_another_hand_is_told(book: Path) -> None:
    base = sqlite3.connect(book)
    base.execute("DELETE FROM note WHERE kind = 'order'")
    base.commit()
    base.close()
    assert "is damaged" in refused(pages.wearers, book)


def test_a_book_survives_being_killed_at_any_moment(book: Path) -> None:
    """A process that writes without end is killed; what is there was written whole."""
    code = (
        "import sys, datetime; from pathlib import Path; from nesting.wearers.book import measure\n"
        "print('on', flush=True)\n"
        "while True: measure(Path(sys.argv[1]), 'Pia', datetime.date(2025, 5, 2), {'hip': 600.0})"
    )
    for wait in (0.0, 0.013, 0.05):
        run = subprocess.Popen([sys.executable, "-c", code, str(book)], stdout=subprocess.PIPE)
        assert run.stdout is not None
        run.stdout.readline()
        time.sleep(wait)
        os.kill(run.pid, signal.SIGKILL)
        run.wait()
        run.stdout.close()
        pia, _ = pages.wearers(book)
        assert {one.measures.get("hip", 600.0) for one in pia.measured} == {600.0}


def told(*args: str) -> str:
    result = CliRunner().invoke(main, ["wearers", *args])
    assert result.exit_code == 0, result.output
    return result.output


def test_the_command_keeps_shows_exports_and_erases(tmp_path: Path) -> None:
    path = str(tmp_path / "clients.book")
    born = date.today() - timedelta(days=6 * 366)
    told("add", path, "Pia  Holm", "--born", born.isoformat())
    day = (date.today() - timedelta(days=400)).isoformat()
    told("measure", path, "Pia Holm", "bust=54", "back waist=10 in", "--on", day)
    assert "Pia Holm: measured" in told("list", path)
    said = told("show", path, "Pia Holm", "--unit", "in")
    assert "chest: 21 1/4 in" in said
    assert "back waist length: 10 in" in said
    assert "A guess: each measure grown" in said
    assert json.loads(told("export", path, "Pia Holm"))["name"] == "Pia Holm"
    told("erase", path, "Pia Holm", "--yes")
    assert told("list", path) == ""


def test_measures_that_are_none_are_told_all_at_once(book: Path) -> None:
    given = ["measure", str(book), "Pia", "chst=54", "waist=abc", "hip=5", "--on", "2020-01-01"]
    result = CliRunner().invoke(main, ["wearers", *given])
    assert result.exit_code == 2
    assert "3 things to put right" in result.output
    assert 'Did you mean "chest"?' in result.output
    late = CliRunner().invoke(main, ["wearers", *given[:3], "hip=60", "--on", "2999-01-01"])
    assert "not a date of the past" in late.output


ORDER = """
units = "cm"
wearers = "clients.book"
[fabric.lawn]
width = 150
[[garment]]
name = "Pia's frock"
wearer = "Pia"
size = "6 years"
body = { waist = 52 }
[[garment.part]]
draft = "bodice"
fabric = "lawn"
"""


def test_an_order_takes_a_wearer_s_last_measures(book: Path) -> None:
    file = book.parent / "frock.toml"
    file.write_text(ORDER)
    order = read_order(file)
    (garment,) = order.garments
    assert (garment.body.chest, garment.body.waist) == (562.0, 520.0)
    assert not {"chest", "waist"} & set(garment.filled)
    assert order.wearers is not None
    assert order.wearers.names == ("Pia",)


def test_wearers_that_are_not_there_are_told(book: Path) -> None:
    file = book.parent / "frock.toml"
    for text, what in (
        (ORDER.replace('"Pia"\n', '"Pai"\n'), "Pia's frock: wearer: The book has no wearer called"),
        (ORDER.replace("clients", "none"), "wearers: none.book: There is no such book"),
        (ORDER.replace('wearers = "clients.book"', ""), "names no book of wearers"),
    ):
        file.write_text(text)
        with pytest.raises(OrderFault) as caught:
            read_order(file)
        assert what in str(caught.value)
