"""A strip that doesn't meet its seam is refused wherever a marker could be shown."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from multiprocessing import Pipe
from pathlib import Path

import pytest
from click.testing import CliRunner

from nesting.batch.run import plan_folder
from nesting.cli.commands import main
from nesting.order.model import Order
from nesting.order.read import order_from_text
from nesting.page.tasks.channel import Record, TaskChannel
from nesting.page.tasks.tasks import TASKS
from nesting.planning.comparer import compare
from nesting.planning.planner import plan
from nesting.solver.stop import Rounds, StopToken
from nesting.studies.enough import ways_out
from nesting.studies.fullness import how_full
from nesting.studies.sharing import share
from nesting.studies.yields import how_many
from pieces.drafting import garment as drafted
from pieces.errors import OwnFailure

ORDER = """
name = "one frock"
units = "cm"
[fabric.satin]
width = 150
in_hand = [100]
[[garment]]
name = "Ada"
size = "4 years"
[[garment.part]]
draft = "flared skirt"
fabric = "satin"
[[garment.part]]
draft = "band"
fabric = "satin"
fullness = 2
"""
SAYS = "meet what they are sewn to"
ONE = Rounds(1)


@pytest.fixture(autouse=True)
def band_for_another_hem(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """The draft takes a hem that is 1 % short, and checks its band against that."""
    true = drafted._context

    def short(*given: object) -> object:
        setting = true(*given)  # type: ignore[arg-type]
        edge_mm = setting.edge_mm
        return setting if edge_mm is None else replace(setting, edge_mm=0.99 * edge_mm)

    drafted._drafted.cache_clear()
    monkeypatch.setattr(drafted, "_context", short)
    yield
    drafted._drafted.cache_clear()


def line() -> TaskChannel:
    here, there = Pipe()
    kept.append(there)
    return TaskChannel(here)


kept: list[object] = []
"""The far ends of pipes, which close if nobody holds them."""


@pytest.mark.parametrize(
    "door",
    [
        pytest.param(lambda order: plan(order, ONE, jobs=1), id="plan"),
        pytest.param(lambda order: compare(order, ONE, jobs=1), id="compare"),
        pytest.param(lambda order: share(order, ONE, jobs=1), id="share"),
        pytest.param(lambda order: how_many(order, ["Ada"], ONE, jobs=1), id="how many"),
        pytest.param(lambda order: how_full(order, "band", stop=ONE, jobs=1), id="how full"),
        pytest.param(
            lambda order: ways_out(order, "satin", 1e6, ONE, {"token": StopToken()}), id="ways out"
        ),
    ],
)
def test_from_python(door: Callable[[Order], object]) -> None:
    with pytest.raises(OwnFailure, match=SAYS):
        door(order_from_text(ORDER, "o.toml"))


@pytest.mark.parametrize("task", ["look", "plan"])
def test_on_the_page(task: str, tmp_path: Path) -> None:
    request: Record = {"order": ORDER, "rounds": 1, "folder": str(tmp_path)}
    with pytest.raises(OwnFailure, match=SAYS):
        TASKS[task](request, line())
    assert not list(tmp_path.iterdir())


COMMANDS = {
    "plan": [["plan"]],
    "compare": [["compare"], ["compare", "--width", "115"]],
    "draft": [["draft"]],
    "bolt": [["bolt"], ["bolt", "--how-many", "Ada"], ["bolt", "--how-full", "band"]],
}
ASK_THE_PAGE, NO_MARKER = "page", {"card", "stock", "trace", "wearers"}


def test_every_command_is_asked() -> None:
    assert set(main.commands) == {*COMMANDS, ASK_THE_PAGE} | NO_MARKER


@pytest.mark.parametrize("command", [one for some in COMMANDS.values() for one in some])
def test_from_the_command_line(command: list[str], tmp_path: Path) -> None:
    path, out = tmp_path / "o.toml", tmp_path / "out"
    path.write_text(ORDER)
    name, *options = command
    if name != "draft":
        options += ["--rounds", "1", "--jobs", "1"]
    done = CliRunner().invoke(main, [name, str(path), "--out", str(out), *options])
    assert done.exit_code == 1
    assert SAYS in done.output
    assert not out.exists() or not list(out.iterdir())


def test_of_many_orders(tmp_path: Path) -> None:
    (tmp_path / "o.toml").write_text(ORDER)
    (one,) = plan_folder(tmp_path, tmp_path / "out", ONE, jobs=1).orders
    assert one.exit_status == 1
    assert SAYS in one.faults[0]
    assert not (tmp_path / "out" / "o").exists()
