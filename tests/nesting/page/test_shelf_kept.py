"""The shelf's file: nothing is lost, overwritten unseen, or taken for what it is not."""

from __future__ import annotations

import io
import json
import os
import pickle
import signal
import sqlite3
import stat
import subprocess
import sys
import time
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from nesting.books.folder import data_folder
from nesting.fabric.plans import Plan
from nesting.page.server.jobs import Job
from nesting.page.server.shelf import keep
from nesting.page.shelf.book import MOST_PLANS, Entry, Order, PlanLine, Shelf
from nesting.page.shelf.pack import bring, export
from nesting.page.shelf.plans import packed, unpacked
from nesting.page.tasks.stored import PLAN_PICKLE, store, stored
from nesting.stock.book import add
from pieces.errors import OrderFault
from pieces.piece import Finding
from pieces.units import Unit
from pieces.wording import key, write

NAPKINS = Order("napkins", 'name = "napkins"', {"pocket.svg": "PHN2Zz4="}, ("linen",), "[]")
TOWELS = Order("towels", 'name = "towels"', {})


def named(shelf: Shelf) -> list[str]:
    return sorted(one.name for one in shelf.lines()[0] if not one.gone)


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    return Shelf(tmp_path / "data")


def test_an_order_is_kept_with_all_that_it_has(shelf: Shelf) -> None:
    assert shelf.lines() == ([], [])
    line = shelf.save("a", NAPKINS, "r1", [])
    assert Shelf(shelf.folder).order("a") == (shelf.lines()[0][0], NAPKINS)
    assert (line.key, line.revision, line.name) == ("a", "r1", "napkins")
    # Measures of people lie in it.
    assert stat.S_IMODE(shelf.book.stat().st_mode) == 0o600
    assert stat.S_IMODE(shelf.folder.stat().st_mode) == 0o700


def test_of_two_that_change_one_order_both_are_kept(shelf: Shelf) -> None:
    shelf.save("a", NAPKINS, "r1", [])
    assert shelf.save("a", TOWELS, "r2", ["r1"]).key == "a"
    later = shelf.save("a", NAPKINS, "r3", ["r1"])
    assert later.key != "a"
    assert later.beside == "a"
    assert named(shelf) == ["napkins", "towels"]
    # An answer that was lost on the way is asked for again; what is the same parts from nothing.
    assert shelf.save("a", TOWELS, "r2", ["r1"]).key == "a"
    assert shelf.save("a", TOWELS, "r4", ["r1"]).revision == "r2"
    assert len(shelf.lines()[0]) == 2


def test_what_is_deleted_can_be_put_back_and_erased(shelf: Shelf) -> None:
    shelf.save("a", NAPKINS, "r1", [])
    shelf.keep_plan(PlanLine("p", "a", "r1", "2026", "{}"), b"plan")
    shelf.delete("a", gone=True)
    assert named(shelf) == []
    shelf.delete("a", gone=False)
    assert named(shelf) == ["napkins"]
    assert b"napkins" in shelf.book.read_bytes()
    shelf.erase("a")
    assert shelf.lines() == ([], [])
    assert b"napkins" not in shelf.book.read_bytes()


def test_the_last_plans_of_an_order_are_kept(shelf: Shelf) -> None:
    shelf.save("a", NAPKINS, "r1", [])
    for number in range(MOST_PLANS + 2):
        shelf.keep_plan(PlanLine(f"p{number}", "a", "r1", f"2026-{number}", "{}"), b"%d" % number)
    shelf.keep_plan(PlanLine("p6", "a", "r1", "2026-7", "{}"), b"again")
    shelf.keep_plan(PlanLine("other", "gone", "r1", "2026", "{}"), b"of no order")
    assert [one.key for one in shelf.lines()[1]] == [f"p{n}" for n in (6, 5, 4, 3, 2)]
    found = shelf.plan("p6")
    assert found is not None
    assert found[1] == b"again"
    assert shelf.plan("p0") is None


SAVES = """
import sys
from pathlib import Path
from nesting.page.shelf.book import Order, Shelf
shelf = Shelf(Path(sys.argv[1]))
for number in range(10_000):
    order = Order("napkins", "x" * 50_000, {}, (), str(number))
    shelf.save("a", order, f"r{number}", [f"r{number - 1}"])
    print(number, flush=True)
"""


@pytest.mark.parametrize("count", [2, 12])
def test_killed_at_any_moment_it_has_what_was_saved_last(shelf: Shelf, count: int) -> None:
    command = [sys.executable, "-c", SAVES, str(shelf.folder)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as program:
        assert program.stdout is not None
        for _ in range(count):
            told = program.stdout.readline()
        program.send_signal(signal.SIGKILL)
        told = (program.stdout.read().split() or [told])[-1]
    found = Shelf(shelf.folder).order("a")
    assert found is not None
    assert int(found[1].way) in (int(told), int(told) + 1)  # written, and killed before it was told
    assert len(shelf.lines()[0]) == 1


def refused(run: Callable[[], object]) -> str:
    with pytest.raises(OrderFault) as caught:
        run()
    (fault,) = caught.value.faults
    return fault.message


def changed(book: Path, statement: str) -> None:
    with sqlite3.connect(book) as base:
        base.execute(statement)
    base.close()


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entry SET name = 'other'",
        "DELETE FROM entry",
        "UPDATE seal SET checksum = ''",
        "DROP TABLE plan",
        "INSERT INTO plan VALUES ('p', 'a', 'r1', '2026', '{}', '', '')",
    ],
)
def test_a_damaged_shelf_is_refused_and_not_changed(shelf: Shelf, statement: str) -> None:
    shelf.save("a", NAPKINS, "r1", [])
    changed(shelf.book, statement)
    before = shelf.book.read_bytes()
    fresh = Shelf(shelf.folder)
    for run in (fresh.lines, lambda: fresh.save("b", TOWELS, "r1", []), lambda: fresh.erase("a")):
        assert refused(run) == "The shelf is damaged; it was not used and not changed."
    assert shelf.book.read_bytes() == before


def test_a_damaged_order_is_refused_and_the_others_are_there(shelf: Shelf) -> None:
    shelf.save("a", NAPKINS, "r1", [])
    shelf.save("b", TOWELS, "r1", [])
    changed(shelf.book, "UPDATE content SET bytes = x'7b7d' WHERE key = 'a'")
    assert "damaged" in refused(lambda: shelf.order("a"))
    assert shelf.order("b") is not None


def test_what_is_no_shelf_is_left_as_it_is(tmp_path: Path) -> None:
    shelf = Shelf(tmp_path)
    from nesting.fabric.fabric import Bolt

    add(shelf.book, "linen", [Bolt("", 1000, 1500, False, (), None)])
    before = shelf.book.read_bytes()
    for content in (before, b"name = 'a letter'" * 100, before[: len(before) // 2]):
        shelf.book.write_bytes(content)
        for run in (shelf.lines, lambda: shelf.save("a", NAPKINS, "r1", [])):
            assert "not used and not changed" in refused(run) or "left as it is" in refused(run)
        assert shelf.book.read_bytes() == content
    shelf.book.unlink()
    shelf.book.mkdir()
    assert refused(shelf.lines) == "A folder has the name of the shelf's file."


def test_a_shelf_of_a_later_release_is_left_as_it_is(shelf: Shelf) -> None:
    shelf.save("a", NAPKINS, "r1", [])
    changed(shelf.book, "PRAGMA user_version = 2")
    assert refused(Shelf(shelf.folder).lines).startswith(
        "This shelf was written by a later metrage"
    )


def test_all_of_it_goes_through_one_file(shelf: Shelf, tmp_path: Path) -> None:
    shelf.save("a", NAPKINS, "r1", [])
    shelf.save("b", TOWELS, "r1", [])
    shelf.save("c", TOWELS, "r1", [])
    shelf.delete("c", gone=True)
    shelf.keep_plan(PlanLine("p", "a", "r1", "2026", "{}"), b"plan")
    file = io.BytesIO()
    export(shelf, file)
    with zipfile.ZipFile(file) as archive:
        texts = [name for name in archive.namelist() if name.endswith(".toml")]
        assert sorted(archive.read(name).decode() for name in texts) == [
            NAPKINS.order,
            TOWELS.order,
        ]
    other = Shelf(tmp_path / "other")
    assert bring(other, file) == 2
    found, plan = other.order("a"), other.plan("p")
    assert found is not None
    assert plan is not None
    assert found[1].same(NAPKINS)
    assert (plan[0].entry, plan[1]) == ("a", b"plan")
    # Again: what is there already is not doubled; what has changed meanwhile stays beside it.
    assert bring(other, file) == 0
    other.save("a", TOWELS, "r2", ["r1"])
    assert bring(other, file) == 1
    assert named(other) == ["napkins", "towels", "towels"]


def rewritten(file: io.BytesIO, change: Callable[[dict[str, object]], object]) -> io.BytesIO:
    made = io.BytesIO()
    with zipfile.ZipFile(file) as old, zipfile.ZipFile(made, "w") as new:
        for name in old.namelist():
            content = old.read(name)
            if name == "shelf.json":
                told = json.loads(content)
                change(told)
                content = json.dumps(told).encode()
            new.writestr(name, content)
    return made


def test_a_file_that_is_no_export_brings_nothing(shelf: Shelf, tmp_path: Path) -> None:
    shelf.save("a", NAPKINS, "r1", [])
    shelf.keep_plan(PlanLine("p", "a", "r1", "2026", "{}"), b"plan")
    file = io.BytesIO()
    export(shelf, file)
    whole = file.getvalue()
    other = Shelf(tmp_path / "other")
    broken = [b"", b"PK", whole[: len(whole) // 2], whole.replace(b"plan", b"nalp", 1)]
    files = [io.BytesIO(one) for one in broken]
    changes: list[Callable[[dict[str, object]], object]] = [
        lambda told: told.update(format="other"),
        lambda told: told.update(version=9),
        lambda told: told.pop("plans"),
        lambda told: told.update(orders=[7]),
        lambda told: told["orders"][0].update(key="../../a"),  # type: ignore[index]
        lambda told: told["orders"][0].update(drawings=[1]),  # type: ignore[index]
        lambda told: told["plans"][0].update(key="q"),  # type: ignore[index]
        lambda told: told["plans"][0].update(entry="b"),  # type: ignore[index]
    ]
    files += [rewritten(file, change) for change in changes]
    for one in files:
        assert "Nothing was taken from it." in refused(lambda one=one: bring(other, one))  # type: ignore[misc]
    assert other.lines() == ([], [])


def test_a_plan_that_is_brought_runs_nothing(tmp_path: Path) -> None:
    """Python's manual, pickle: what it reads may call anything, unless it is kept from that."""

    class Evil:
        def __reduce__(self) -> tuple[object, tuple[str]]:
            return os.system, (f"touch {tmp_path / 'was-here'}",)

    for content in (pickle.dumps(Evil()), pickle.dumps(7), b"", b"x" * 100):
        (tmp_path / PLAN_PICKLE).write_bytes(b"0" * 32 + content)
        assert refused(lambda: stored(tmp_path)) == "This plan is from another release."
    assert not (tmp_path / "was-here").exists()
    for name in ("../up.txt", "/up.txt", ".held", "a/b"):
        made = io.BytesIO()
        with zipfile.ZipFile(made, "w") as archive:
            archive.writestr("job.json", "{}")
            archive.writestr(name, "x")
        with pytest.raises(ValueError, match=r".+"):
            unpacked(made.getvalue(), tmp_path)


def test_a_plan_with_all_that_findings_have_is_read_back(tmp_path: Path) -> None:
    said = "Give a smaller " + key("neck_depth") + ", or " + write("waist", "natural") + "."
    finding = Finding("code", said)
    made = Plan("order", Unit.CM, 1, 0.0, (), (), (), (finding,), ())
    store(made, tmp_path)
    (back,) = stored(tmp_path).findings
    assert (back, back.message.on_form()) == (finding, said.on_form())  # type: ignore[attr-defined]


def test_the_files_of_a_job_come_back(tmp_path: Path) -> None:
    one, other = tmp_path / "one", tmp_path / "other"
    one.mkdir()
    other.mkdir()
    (one / "plan.json").write_text("{}")
    assert unpacked(packed({"unit": "cm"}, one), other) == {"unit": "cm"}
    assert (other / "plan.json").read_text() == "{}"


def test_the_folder_is_the_users_own_or_the_one_that_is_named(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """XDG Base Directory Specification 0.8: a relative path counts for nothing."""
    monkeypatch.setenv("METRAGE_DATA", "/named")
    assert data_folder() == Path("/named")
    monkeypatch.delenv("METRAGE_DATA")
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("HOME", "/home/ada")
    monkeypatch.setenv("XDG_DATA_HOME", "/data")
    assert data_folder() == Path("/data/metrage")
    for told in ("", "relative"):
        monkeypatch.setenv("XDG_DATA_HOME", told)
        assert data_folder() == Path("/home/ada/.local/share/metrage")


def test_a_shelf_of_hundreds_is_soon_read(shelf: Shelf) -> None:
    """200 orders, each with a plan whose card is as long as the example's."""
    card = json.dumps({"x": "x" * 8000})
    keys = [f"k{number}" for number in range(200)]
    shelf.bring(
        [(Entry(key, "r", "2026", key), TOWELS) for key in keys],
        [(PlanLine(f"p{key}", key, "r", "2026", card), b"x" * 20_000) for key in keys],
    )
    begun = time.process_time()
    assert [len(lines) for lines in shelf.lines()] == [200, 200]
    assert time.process_time() - begun < 0.3


def test_a_plan_that_no_shelf_takes_says_why(shelf: Shelf, tmp_path: Path) -> None:
    plan = {"totals": {}, "fabrics": [], "pieces": [], "notions": []}
    job = Job("p", {}, tmp_path, entry="a", revision="r1", plan=plan)
    shelf.save("a", NAPKINS, "r1", [])
    assert keep(shelf, job) == ""
    assert shelf.plan("p") is not None
    shelf.book.write_bytes(b"a letter" * 100)
    assert "This file is not a shelf of orders" in keep(shelf, job)
    assert keep(shelf, Job("p", {}, tmp_path, plan=plan)) == ""  # of no order on the shelf
