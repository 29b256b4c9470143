"""A folder of orders: each planned as it is alone, finished once, whatever comes between."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from nesting.batch import run as module
from nesting.batch.outcome import Batch, Bought, Outcome, State
from nesting.batch.run import plan_folder
from nesting.batch.summary import batch_csv, batch_data, batch_report, write_batch
from nesting.fabric.fabric import LayName
from nesting.fabric.plans import Plan
from nesting.order.read import read_order
from nesting.output.files.data import plan_data
from nesting.output.place import MANIFEST
from nesting.output.write import plan_files
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds
from pieces.errors import OrderFault, OutputFault
from pieces.units import Unit, format_in_both, format_needed
from tests.examples import some
from tests.nesting.batch.batches import (
    DRAWING,
    FOUR,
    LEAF,
    ORDER,
    alone,
    four_orders,
    keep,
    planned,
    states,
)


@pytest.fixture
def orders(tmp_path: Path) -> Path:
    return four_orders(tmp_path)


@pytest.fixture
def undrawn(monkeypatch: pytest.MonkeyPatch) -> None:
    """Drawings take most of the time of orders so small, and are tested elsewhere."""

    def contents(made: Plan, _: object) -> dict[str, bytes]:
        return {"plan.json": json.dumps(plan_data(made, plan_files(made))).encode()}

    monkeypatch.setattr(module, "plan_contents", contents)


@pytest.mark.long
def test_each_order_is_planned_as_it_is_alone(orders: Path, tmp_path: Path) -> None:
    """Two orders at a time with one process each, against one at a time with two."""
    out = tmp_path / "out"
    keep(orders, "ada", "bea")
    made = plan_folder(orders, out, Rounds(6), seed=4, jobs=2)
    assert states(made) == [State.PLANNED] * 2
    for name in ("ada", "bea"):
        assert planned(out / name) == alone(orders / f"{name}.toml", 6, seed=4)
        assert (out / name / "lawn.pdf").stat().st_size > 1000
    assert {path.name for path in out.iterdir()} == {"ada", "bea"}
    assert made.exit_status == 0


def test_totals_are_those_of_the_plans(orders: Path, tmp_path: Path, undrawn: None) -> None:
    made = plan_folder(orders, tmp_path / "out", Rounds(1), jobs=1)
    plans = [plan(read_order(orders / f"{name}.toml"), Rounds(1), jobs=1) for name in FOUR]
    assert made.totals == {"EUR": sum((one.totals["EUR"] for one in plans), Decimal(0))}
    length_mm = sum(one.fabrics[0].purchase.length_mm for one in plans)
    assert made.cloths_mm == {"lawn": pytest.approx(length_mm)}
    report = batch_report(made)
    assert f"lawn: {format_in_both(length_mm, Unit.M, format_needed)}" in report
    assert " yd)" in report
    assert f"{made.totals['EUR']} EUR" in report
    assert batch_data(made)["totals"] == {"EUR": float(made.totals["EUR"])}
    lines = batch_csv(made).decode("utf-8-sig").splitlines()
    assert [line.split(",")[0] for line in lines] == ["file", *(f"{name}.toml" for name in FOUR)]


@pytest.mark.parametrize(
    ("counters", "told"),
    [
        ((Unit.YD, Unit.YD), "lawn: 2 1/8 yd (1.95 m)"),
        ((Unit.M, Unit.YD), "lawn: 1.95 m (2 1/8 yd)"),
    ],
)
def test_what_is_bought_in_all_is_told_as_its_counters_tell_it(
    counters: tuple[Unit, Unit], told: str
) -> None:
    lengths = (1028.7, 914.4)
    bought = [
        Bought("lawn", mm, "", None, "", 10.0, counter)
        for mm, counter in zip(lengths, counters, strict=True)
    ]
    orders = [Outcome(f"{n}.toml", State.PLANNED, bought=(one,)) for n, one in enumerate(bought)]
    assert f"- {told}\n" in batch_report(Batch("orders", 1, 1.0, tuple(orders), interrupted=False))


def test_what_is_finished_is_not_planned_again(
    orders: Path, tmp_path: Path, undrawn: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = plan_folder(orders, tmp_path / "out", Rounds(1), jobs=1)

    def never(*_: object, **__: object) -> Plan:
        raise AssertionError

    monkeypatch.setattr(module, "plan", never)
    again = plan_folder(orders, tmp_path / "out", Rounds(1), jobs=1)
    assert states(again) == [State.BEFORE] * 4
    assert again.totals == first.totals
    assert [replace(one, state=State.PLANNED) for one in again.orders] == list(first.orders)


CHANGES = ["text", "drawing", "rounds", "seed", "lay", "version", "mark", "lost", "emptied"]


@pytest.mark.parametrize("change", some(CHANGES))
def test_what_a_plan_hangs_on_plans_it_again(
    change: str, tmp_path: Path, undrawn: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    orders, out = tmp_path / "orders", tmp_path / "out"
    orders.mkdir()
    text = ORDER.format(name="a", width=110, length=36) + DRAWING
    (orders / "a.toml").write_text(text, encoding="utf-8")
    (orders / "leaf.svg").write_text(LEAF.format(width=20), encoding="utf-8")
    asked: dict[str, Any] = {"stop": Rounds(1), "seed": 1, "lay": None}
    assert states(plan_folder(orders, out, jobs=1, **asked)) == [State.PLANNED]
    assert states(plan_folder(orders, out, jobs=1, **asked)) == [State.BEFORE]
    if change == "text":
        (orders / "a.toml").write_text(text.replace("110", "120"), encoding="utf-8")
    elif change == "drawing":
        (orders / "leaf.svg").write_text(LEAF.format(width=21), encoding="utf-8")
    elif change == "version":
        monkeypatch.setattr(module, "version", lambda _: "0.0.0")
    elif change == "lost":
        (out / "a" / "plan.json").unlink()
    elif change == "emptied":
        (out / "a" / "plan.json").write_bytes(b"")
    elif change == "mark":
        (out / "a" / "finished.json").write_text("{", encoding="utf-8")
    else:
        asked |= {"rounds": {"stop": Rounds(2)}, "seed": {"seed": 2}, "lay": {"lay": LayName.OPEN}}[
            change
        ]
    assert states(plan_folder(orders, out, jobs=1, **asked)) == [State.PLANNED]
    assert states(plan_folder(orders, out, jobs=1, **asked)) == [State.BEFORE]


def test_what_its_user_put_into_a_folder_stays(
    orders: Path, tmp_path: Path, undrawn: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    plan_folder(orders, out, Rounds(1), jobs=1)
    (out / "ada" / "notes").mkdir()
    (out / "ada" / "notes" / "plan.json").write_text("mine")
    (out / "ada" / "photo.png").write_text("a dress")
    monkeypatch.setattr(module, "plan_contents", lambda *_: {"other.txt": b"ours"})
    plan_folder(orders, out, Rounds(2), jobs=1)
    names = {path.name for path in (out / "ada").iterdir()}
    assert names == {"other.txt", "finished.json", MANIFEST, "notes", "photo.png"}
    assert (out / "ada" / "notes" / "plan.json").read_text() == "mine"


def test_a_folder_caught_between_two_names_is_put_back(
    orders: Path, tmp_path: Path, undrawn: None
) -> None:
    """As a kill leaves it between the renaming of the old folder and that of the new."""
    out = tmp_path / "out"
    plan_folder(orders, out, Rounds(1), jobs=1)
    (out / "ada" / "photo.png").write_text("a dress")
    for name, waiting in (("ada", ".batch-old-1"), ("bea", ".batch-new-1")):
        (out / waiting).mkdir()
        (out / name).rename(out / waiting / name)
    made = plan_folder(orders, out, Rounds(1), jobs=1)
    assert states(made) == [State.BEFORE, State.PLANNED, State.BEFORE, State.BEFORE]
    assert (out / "ada" / "photo.png").read_text() == "a dress"
    assert not list(out.glob(".batch-*"))


def test_a_fault_ends_its_own_order_alone(orders: Path, tmp_path: Path, undrawn: None) -> None:
    (orders / "ada.toml").write_text("name = 3", encoding="utf-8")
    wide = ORDER.format(name="wide", width=30, length=45)
    (orders / "bea.toml").write_text(wide, encoding="utf-8")
    out = tmp_path / "out"
    (out / "cleo").mkdir(parents=True)
    (out / "cleo" / "letter.txt").write_text("Not a plan.")
    made = plan_folder(orders, out, Rounds(1), jobs=1)
    assert states(made) == [State.FAULTY] * 3 + [State.PLANNED]
    assert [one.exit_status for one in made.orders] == [2, 3, 2, 0]
    assert made.exit_status == 2
    told = [one.faults[0] for one in made.orders[:3]]
    for words, fault in zip(
        ["name: 3 is not text", "fabric.lawn", "in the way"], told, strict=True
    ):
        assert words in fault
    report = " ".join(batch_report(made).split())
    assert all(fault in report for fault in told)
    assert (out / "cleo" / "letter.txt").read_text() == "Not a plan."
    (orders / "ada.toml").unlink()
    (orders / "cleo.toml").unlink()
    assert plan_folder(orders, out, Rounds(1), jobs=1).exit_status == 3


def test_what_we_did_not_foresee_ends_its_own_order_alone(
    orders: Path, tmp_path: Path, undrawn: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    def sometimes(order: Any, *arguments: Any, **more: Any) -> Plan:
        if order.name == "order of bea":
            raise ZeroDivisionError("by nothing")
        return plan(order, *arguments, **more)

    monkeypatch.setattr(module, "plan", sometimes)
    made = plan_folder(orders, tmp_path / "out", Rounds(1), jobs=1)
    assert [one.exit_status for one in made.orders] == [0, 1, 0, 0]
    assert "ZeroDivisionError" in made.orders[1].faults[0]
    assert made.exit_status == 1


def test_an_order_cut_short_is_not_finished(
    orders: Path, tmp_path: Path, undrawn: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ctrl-C gives a plan alone its best so far; here the order is left for the next time."""

    def cut_short(order: Any, *arguments: Any, **more: Any) -> Plan:
        if order.name == "order of cleo":
            more["token"].ask()
        return plan(order, *arguments, **more)

    monkeypatch.setattr(module, "plan", cut_short)
    made = plan_folder(orders, tmp_path / "out", Rounds(1), jobs=1)
    assert made.interrupted
    assert states(made) == [State.PLANNED, State.PLANNED, State.OPEN, State.OPEN]
    assert not (tmp_path / "out" / "cleo").exists()
    monkeypatch.setattr(module, "plan", plan)
    again = plan_folder(orders, tmp_path / "out", Rounds(1), jobs=1)
    assert states(again) == [State.BEFORE, State.BEFORE, State.PLANNED, State.PLANNED]


def test_every_end_of_an_order_is_watched(orders: Path, tmp_path: Path, undrawn: None) -> None:
    seen: list[int] = []
    plan_folder(
        orders, tmp_path / "out", Rounds(1), jobs=1,
        watch=lambda all_orders: seen.append(sum(one.is_finished for one in all_orders)),
    )  # fmt: skip
    assert seen == [1, 2, 3, 4]


def test_a_folder_without_orders_is_a_fault(tmp_path: Path) -> None:
    with pytest.raises(OrderFault, match="no order in this folder"):
        plan_folder(tmp_path, tmp_path / "out")


def test_an_order_named_as_a_file_of_the_batch_is_told(
    orders: Path, tmp_path: Path, undrawn: None
) -> None:
    keep(orders, "ada")
    (orders / "ada.toml").rename(orders / "batch.json.toml")
    made = plan_folder(orders, tmp_path / "out", Rounds(1), jobs=1)
    assert states(made) == [State.FAULTY]
    assert "Give the order file another name." in made.orders[0].faults[0]
    write_batch(made, tmp_path / "out")


def test_an_order_folder_in_which_a_plan_is_being_made_is_left_alone(
    orders: Path, tmp_path: Path, undrawn: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Somebody plans the order by itself, into the folder that the batch gave it."""
    keep(orders, "ada")
    out = tmp_path / "out"
    plan_folder(orders, out, Rounds(1), jobs=1)
    hold = "import nesting.output.claim, pathlib, sys\n"
    hold += (
        "with nesting.output.claim.claimed(pathlib.Path(sys.argv[1])): print(flush=True), input()"
    )
    words = [sys.executable, "-c", hold, str(out / "ada")]
    with subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as other:
        assert other.stdout is not None
        other.stdout.readline()
        made = plan_folder(orders, out, Rounds(2), jobs=1)
        other.kill()
    assert "metrage is already at work" in made.orders[0].faults[0]


def test_one_batch_at_a_time_works_in_a_folder(orders: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    hold = (
        "import sys\nfrom pathlib import Path\nfrom nesting.output.claim import claimed\n"
        "with claimed(Path(sys.argv[1])):\n    print('held', flush=True)\n    sys.stdin.read()\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", hold, str(out)], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == b"held\n"
        with pytest.raises(OutputFault, match="metrage is already at work"):
            plan_folder(orders, out, Rounds(1), jobs=1)
        other.kill()
    keep(orders, "ada")
    # However the other ended, nothing is left to clear away by hand.
    assert plan_folder(orders, out, Rounds(1), jobs=1).exit_status == 0
