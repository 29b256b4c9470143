"""The file of a book: damaged, full, of earlier releases. What was altered is never believed."""

from __future__ import annotations

import os
import random
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from nesting.cli.commands import main
from nesting.fabric.fabric import Bolt
from nesting.stock.book import Entry, add, contents, entries, exchange
from pieces.errors import OrderFault

ANY_BOOKS = int(os.environ.get("ANY_BOOKS", "300"))
"""How many damaged books are tried; 3,000 for a long look."""
STAIN = ((180.0, 100.0), (185.0, 100.0), (185.0, 150.0))
COLUMNS = (
    "fabric TEXT NOT NULL, length_mm REAL NOT NULL CHECK (length_mm > 0), "
    "width_mm REAL NOT NULL CHECK (width_mm > 0), washed INTEGER NOT NULL, flaws TEXT NOT NULL"
)
"""As the first release wrote them."""


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """Some lengths of three cloths; the second and the last have been cut from."""
    path = tmp_path / "shelf.book"
    add(path, "lawn", [Bolt("", 2000.0, 1000.0, flaws=(STAIN,)), Bolt("", 900.0, 1400.5)])
    add(path, "Seide, weiß", [Bolt("", 333.25, 800.0, washed=True, selvedge_mm=10.0)])
    tulle = add(path, "tulle", [Bolt("", 100.0 * n, 3000.0, selvedge_mm=0.0) for n in range(1, 40)])
    held = entries(path)
    exchange(path, [held[1], tulle[-1]], [Entry("lawn", Bolt("", 410.0, 500.0), "left of no. 2")])
    return path


def old_book(path: Path, version: int) -> tuple[Entry, ...]:
    """A book as an earlier release left it."""
    base = sqlite3.connect(path)
    base.execute("PRAGMA application_id = 1651469428")
    base.execute(f"PRAGMA user_version = {version}")
    base.execute(f"CREATE TABLE cloth (number INTEGER PRIMARY KEY AUTOINCREMENT, {COLUMNS})")
    base.execute("INSERT INTO cloth VALUES (7, 'lawn', 900.0, 1000.0, 1, '[]')")
    if version:
        base.execute("ALTER TABLE cloth ADD COLUMN selvedge_mm REAL")
        base.execute("ALTER TABLE cloth ADD COLUMN origin TEXT NOT NULL DEFAULT ''")
    base.commit()
    base.close()
    return (Entry("lawn", Bolt("no. 7", 900.0, 1000.0, washed=True)),)


def damaged(data: bytes, draw: random.Random) -> bytes:
    """A file after one of the mishaps that files meet with."""
    new, at = bytearray(data), draw.randrange(len(data))
    kind = draw.choice(["byte", "byte", "bit", "few", "cut", "zeros", "moved", "longer", "head"])
    if kind == "byte":
        new[at] = draw.randrange(256)
    elif kind == "bit":
        new[at] ^= 1 << draw.randrange(8)
    elif kind == "few":
        for _ in range(draw.randint(2, 30)):
            new[draw.randrange(len(new))] = draw.randrange(256)
    elif kind == "cut":
        del new[at:]
    elif kind == "zeros":
        new[at : at + 512] = bytes(len(new[at : at + 512]))
    elif kind == "moved":
        new[at : at + 64], new[:64] = new[:64], new[at : at + 64]
    elif kind == "head":
        new[draw.randrange(100)] = draw.randrange(256)
    else:
        new += draw.randbytes(draw.randint(1, 5000))
    return bytes(new)


def refusal(use: Callable[[], object]) -> str:
    """What a use is refused with, in words; nothing if it isn't."""
    try:
        use()
    except OrderFault as fault:
        return str(fault)
    return ""


def test_a_damaged_book_is_refused_or_read_as_it_was(book: Path, tmp_path: Path) -> None:
    held, data = entries(book), book.read_bytes()
    refused = 0
    for number in range(ANY_BOOKS):
        other = tmp_path / "other.book"
        other.write_bytes(damaged(data, random.Random(number)))
        new = Bolt("", 700.0, 1500.0)
        said = refusal(lambda other=other: entries(other))
        if said:
            refused += 1
            assert said.startswith(f"{other}: "), number
            assert "\n" not in said, number
        else:
            assert entries(other) == held, number
        if other.stat().st_size:
            # To write in it may be refused where reading isn't, but nothing else comes of it.
            unchanged = refusal(lambda other=other, new=new: add(other, "lawn", [new]))
            assert unchanged or not said, number
        if not said:
            entered = () if unchanged else (Entry("lawn", replace(new, name="no. 44")),)
            assert entries(other) == (*held, *entered), number
    assert ANY_BOOKS / 4 < refused < ANY_BOOKS


@pytest.mark.parametrize("version", [0, 1])
def test_a_damaged_book_of_an_earlier_release_ends_in_words(tmp_path: Path, version: int) -> None:
    """It has no checksums: not every damage can be told, but none is anything but words."""
    path, other = tmp_path / "old.book", tmp_path / "other.book"
    held = old_book(path, version)
    assert entries(path) == held
    for number in range(ANY_BOOKS // 2):
        other.write_bytes(damaged(path.read_bytes(), random.Random(number)))
        refusal(lambda: entries(other))
        refusal(lambda: contents(other))
        refusal(lambda: add(other, "lawn", [Bolt("", 700.0, 1500.0)]))


@pytest.mark.parametrize("version", [0, 1])
def test_an_older_book_gets_its_checksums_with_the_first_change(
    tmp_path: Path, version: int
) -> None:
    path = tmp_path / "old.book"
    held, before = old_book(path, version), path.read_bytes()
    assert contents(path).has_checksums is False
    assert path.read_bytes() == before
    new = add(path, "satin", [Bolt("", 700.0, 1500.0)])
    assert contents(path).has_checksums
    assert entries(path) == (*held, *new)


CHANGES: dict[str, str] = {
    "altered": "UPDATE cloth SET length_mm = 2001.0 WHERE number = 1",
    "renamed": "UPDATE cloth SET fabric = 'lawm' WHERE number = 1",
    "lost": "DELETE FROM cloth WHERE number = 3",
    "brought back": "INSERT INTO cloth SELECT 2, fabric, length_mm, width_mm, washed, flaws, "
    "selvedge_mm, origin, checksum FROM cloth WHERE number = 1",
    "number given again": "UPDATE sqlite_sequence SET seq = 5 WHERE name = 'cloth'",
    "not a number": "UPDATE cloth SET length_mm = 9e999 WHERE number = 1",
    "no text": "UPDATE cloth SET flaws = x'd4ff' WHERE number = 1",
    "unsealed": "DELETE FROM seal",
    "taken for an older one": "PRAGMA user_version = 1",
}


@pytest.mark.parametrize("change", CHANGES)
def test_what_was_changed_from_outside_is_refused(book: Path, change: str) -> None:
    base = sqlite3.connect(book)
    base.execute(CHANGES[change])
    base.commit()
    base.close()
    before = book.read_bytes()
    for use in (
        lambda: entries(book),
        lambda: add(book, "lawn", [Bolt("", 700.0, 1500.0)]),
        lambda: exchange(book, [], []),
    ):
        assert "The book is damaged and was not used" in refusal(use)
    assert book.read_bytes() == before


def test_the_check_tells_what_is_whole_and_what_can_still_be_read(book: Path) -> None:
    def check() -> tuple[int, str, str]:
        done = CliRunner().invoke(main, ["stock", str(book), "--check"])
        return done.exit_code, done.stdout, done.stderr

    assert check() == (0, "The book is whole: 41 lengths.\n", "")
    base = sqlite3.connect(book)
    base.execute("UPDATE cloth SET length_mm = 9 WHERE number IN (1, 4)")
    base.commit()
    base.close()
    status, said, faults = check()
    assert status == 2
    assert said.count("\n") == 1 + 39
    assert "no. 3: Seide, weiß" in said
    assert faults.startswith("2 things to put right:")
    assert "no. 1 is not as it was written" in faults
    assert "no. 4 is not as it was written" in faults
    assert "metrage stock" not in faults  # which is what has just been done
    assert "metrage stock FILE --check lists" in refusal(lambda: entries(book))
    done = CliRunner().invoke(main, ["stock", str(book), "--check", "--add", "lawn"])
    assert done.exit_code == 2
    assert "--check" in done.stderr
    book.unlink()
    old_book(book, 1)
    assert "checksums come with the first change" in check()[1]


def test_a_full_disk_is_told_and_nothing_is_booked(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """SQLite's own limit on pages stands for the disk: it ends with the same code, SQLITE_FULL."""
    held = entries(book)
    real = sqlite3.connect

    def narrow(*arguments: Any, **more: Any) -> sqlite3.Connection:
        base: sqlite3.Connection = real(*arguments, **more)
        base.execute("PRAGMA max_page_count = 1")  # SQLite takes as many as there are
        return base

    monkeypatch.setattr(sqlite3, "connect", narrow)
    many = [Entry("lawn", Bolt("", 100.0, 90.0), "left of a long story") for _ in range(2000)]
    said = refusal(lambda: exchange(book, held[:2], many))
    assert said.startswith(f"{book}: The disk is full: nothing was booked")
    assert entries(book) == held


def test_a_file_that_may_not_grow_is_told_and_nothing_is_booked(book: Path) -> None:
    """As where a share of a disk is used up: SQLite ends with an error of input and output."""
    held = entries(book)
    program = (
        "import resource, sys; from pathlib import Path; from nesting.stock.book import add; "
        "from nesting.fabric.fabric import Bolt; from pieces.errors import OrderFault; "
        "size = Path(sys.argv[1]).stat().st_size; "
        "resource.setrlimit(resource.RLIMIT_FSIZE, (size, size)); "
        "add(Path(sys.argv[1]), 'lawn', [Bolt('', 100.0, 90.0)] * 2000)"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, str(book)], capture_output=True, text=True, check=False
    )
    said = done.stderr.strip().splitlines()[-1]
    assert f"{book}: The disk does not take or give" in said
    assert "nothing was booked" in said
    assert entries(book) == held


def test_a_folder_is_no_book(tmp_path: Path) -> None:
    for use in (lambda: entries(tmp_path), lambda: add(tmp_path, "lawn", [])):
        assert "This is a folder." in refusal(use)


def test_an_empty_file_is_told_and_can_be_begun(tmp_path: Path) -> None:
    """As a full disk leaves one, where the book was to be started."""
    path = tmp_path / "new.book"
    path.touch()
    assert "There is nothing in this file." in refusal(lambda: entries(path))
    assert add(path, "lawn", [Bolt("", 700.0, 1500.0)]) == entries(path)
