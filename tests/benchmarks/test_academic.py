"""The open sets survive their conversion, and the checker sees what is wrong with a layout."""

import copy
import json
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner, Result

from benchmarks import academic, running
from benchmarks.clock import Budget, CpuSeconds
from benchmarks.layout_check import faults
from benchmarks.ledger import Ledger
from benchmarks.results_plots import draw_curves, draw_gaps
from benchmarks.results_table import append_results, published, row
from benchmarks.strip_set import (
    SETS,
    SetError,
    StripSet,
    read_set,
    to_instance,
    to_placements,
)
from nesting.solver.instance import Instance, Layout
from nesting.solver.stop import State

NAMES = sorted(path.stem for path in SETS.glob("*.json") if path.stem != "published")


def in_a_row(problem: Instance) -> Layout:
    """Every item behind the one before it, in its last orientation."""
    last = [len(item.orientations) - 1 for item in problem.items]
    xy, x = [], 0
    for item, which in zip(problem.items, last, strict=True):
        orientation = item.orientations[which]
        xy.append((x + orientation.x_low, orientation.y_ranges[0][0]))
        x = xy[-1][0] + orientation.x_reach
    return Layout(np.array(last), np.array(xy))


def run_of(strip_set: StripSet, layout: Layout) -> dict[str, Any]:
    placements = to_placements(strip_set, layout)
    length = max(x for placement in placements for x, _ in placement["outline"])
    density = 100 * strip_set.area / (strip_set.width * length)
    rest = {"set": strip_set.name, "seed": 1, "seconds": 1.0, "placements": placements}
    rest |= {"curve": [[0.25, density]], "memory_mb": 321}
    return rest | {"length": length, "density": density}


@pytest.fixture
def good() -> tuple[StripSet, dict[str, Any]]:
    strip_set = read_set("marques")
    return strip_set, run_of(strip_set, in_a_row(to_instance(strip_set)))


@pytest.mark.parametrize("name", NAMES)
def test_conversion_keeps_every_set(name: str) -> None:
    strip_set = read_set(name)
    problem = to_instance(strip_set)
    stated = json.loads((SETS / f"{name}.json").read_text())
    assert strip_set.area == pytest.approx(stated["total_area"], rel=1e-9)
    assert len(problem.items) == sum(piece["quantity"] for piece in stated["pieces"])
    assert 1e6 <= problem.width < 1e7
    assert problem.width == strip_set.width * strip_set.scale
    # Whole corners at quarter turns: nothing is lost by rounding.
    for item, piece in zip(
        problem.items, [p for p in strip_set.pieces for _ in range(p.quantity)], strict=True
    ):
        exact = piece.turned(piece.turns_deg[0]) * strip_set.scale
        assert np.abs(item.orientations[0].outline - exact).max() < 1e-3


@pytest.mark.parametrize("name", NAMES)
def test_layout_in_a_row_is_legal(name: str) -> None:
    strip_set = read_set(name)
    assert faults(strip_set, run_of(strip_set, in_a_row(to_instance(strip_set)))) == []


def test_number_of_pieces_is_as_published() -> None:
    """Counts in table 1 of the sources that sets/README.md names."""
    counts = {name: sum(p.quantity for p in read_set(name).pieces) for name in NAMES}
    expected = {"shirts": 99, "trousers": 64, "swim": 48, "albano": 24, "dagli": 30}
    expected |= {"marques": 24, "shapes0": 43, "dighe1": 16, "dighe2": 10}
    assert {name: counts[name] for name in expected} == expected


def spoil(run: dict[str, Any], number: int, **changed: Any) -> dict[str, Any]:
    spoilt = copy.deepcopy(run)
    spoilt["placements"][number] |= changed
    return spoilt


def moved(run: dict[str, Any], number: int, by_x: float, by_y: float) -> dict[str, Any]:
    place = run["placements"][number]
    outline = [[x + by_x, y + by_y] for x, y in place["outline"]]
    return spoil(run, number, x=place["x"] + by_x, y=place["y"] + by_y, outline=outline)


def only(found: list[str]) -> str:
    assert len(found) == 1
    return found[0]


def test_checker_sees_an_overlap(good: tuple[StripSet, dict[str, Any]]) -> None:
    strip_set, run = good
    assert "overlap" in only(faults(strip_set, moved(run, 1, -0.001, 0)))
    assert faults(strip_set, moved(run, 1, -0.0001, 0)) == []


def test_checker_sees_a_piece_inside_another() -> None:
    strip_set = read_set("shapes0")
    run = run_of(strip_set, in_a_row(to_instance(strip_set)))
    assert any("overlap" in found for found in faults(strip_set, moved(run, 0, 0.5, 0)))


@pytest.mark.parametrize(("number", "by_x", "by_y"), [(0, -0.01, 0), (5, 0, -0.01)])
def test_checker_sees_a_piece_outside(
    good: tuple[StripSet, dict[str, Any]], number: int, by_x: float, by_y: float
) -> None:
    strip_set, run = good
    assert "sticks out" in only(faults(strip_set, moved(run, number, by_x, by_y)))


def test_checker_sees_a_turn_that_is_not_allowed() -> None:
    strip_set = read_set("swim")
    run = run_of(strip_set, in_a_row(to_instance(strip_set)))
    found = faults(strip_set, spoil(run, 3, turn_deg=90.0))
    assert any("turned by 90" in one for one in found)


def test_checker_sees_an_outline_that_is_not_its_own(
    good: tuple[StripSet, dict[str, Any]],
) -> None:
    strip_set, run = good
    place = run["placements"][-1]
    assert "away from its own" in only(faults(strip_set, spoil(run, -1, y=place["y"] + 1)))


def test_checker_counts_copies(good: tuple[StripSet, dict[str, Any]]) -> None:
    strip_set, run = good
    assert "missing" in only(faults(strip_set, run | {"placements": run["placements"][1:]}))
    doubled = [*run["placements"], run["placements"][0]]
    assert "too many" in only(faults(strip_set, run | {"placements": doubled}))


@pytest.mark.parametrize("key", ["length", "density"])
def test_checker_measures_for_itself(good: tuple[StripSet, dict[str, Any]], key: str) -> None:
    strip_set, run = good
    assert key in only(faults(strip_set, run | {key: run[key] * 0.99}))


def test_turned_outlines_are_exact_at_quarter_turns() -> None:
    piece = read_set("marques").pieces[0]
    assert np.array_equal(piece.turned(270.0), piece.outline[:, ::-1] * (1, -1))
    assert np.allclose(piece.turned(45.0)[1], piece.outline[1, 0] * np.sqrt([0.5, 0.5]))


def test_published_figures_are_there() -> None:
    assert set(published()) <= set(NAMES)
    assert published()["swim"] == {"best": 79.83, "mean": 78.26, "before": 75.94}


def test_row_states_the_gap_to_the_best(good: tuple[StripSet, dict[str, Any]]) -> None:
    _, run = good
    assert row(run | {"density": 91.0}).split()[-2:] == ["91.02", "-1.02"]


def test_results_are_added_below_what_is_there(
    good: tuple[StripSet, dict[str, Any]], tmp_path: Path
) -> None:
    _, run = good
    path = tmp_path / "academic.md"
    runs = [run | {"density": 90.0, "seed": 1}, run | {"density": 91.0, "seed": 2}]
    append_results(runs, "10 s a run on 1 process", path)
    append_results(runs[:1], "20 s a run on 1 process", path)
    text = path.read_text()
    assert text.count("# Open sets") == 1
    assert text.index("10 s a run") < text.index("20 s a run")
    assert "| 91.00 | 90.50 | 92.02 | 90.93 | 91.02 | -1.02 | -0.43 | 0.2 |" in text
    assert text.count("| 321 |") == 2
    assert "garment sets" not in text


def test_garment_sets_are_told_together(
    good: tuple[StripSet, dict[str, Any]], tmp_path: Path
) -> None:
    """Means of the published figures over the six sets, by hand: 89.23, 88.22, 87.68."""
    _, run = good
    names = ["shirts", "trousers", "swim", "albano", "dagli", "marques"]
    runs = [
        run | {"set": name, "seed": seed, "density": 88.0 + 0.6 * number + seed}
        for number, name in enumerate(names)
        for seed in (1, 2)
    ]
    append_results(runs, "10 s", tmp_path / "academic.md")
    last = (tmp_path / "academic.md").read_text().splitlines()[-1]
    figures = [float(cell) for cell in last.split("|") if cell.strip().lstrip("+-")[:1].isdigit()]
    assert figures == [91.5, 91.0, 89.23, 88.22, 87.68, 2.27, 2.78]


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("{", "not a set"),
        ("[]", "not a set"),
        ('{"name": "a", "strip_width": 3}', "'pieces' is missing"),
        ('{"name": "a", "strip_width": 0, "pieces": []}', "strip_width above 0"),
        (
            '{"name": "a", "strip_width": 1, "pieces": [{"id": 0, "quantity": 1, "angles": [0],'
            ' "outline": [[0, 0], [1, 0], [0, 2]]}]}',
            "wider than the strip",
        ),
    ],
)
def test_set_that_can_not_be_read(tmp_path: Path, text: str, reason: str) -> None:
    path = tmp_path / "own.json"
    path.write_text(text)
    with pytest.raises(SetError, match=reason):
        read_set(str(path))


def test_set_that_is_not_there() -> None:
    with pytest.raises(SetError, match=r"no such set.*shirts"):
        read_set("skirts")


def command(*arguments: str) -> Result:
    return CliRunner().invoke(academic.main, ["--jobs", "1", *arguments])


def test_command_writes_what_it_prints(tmp_path: Path) -> None:
    path = tmp_path / "run.json"
    done = command("dighe2", "--rounds", "2", "--seed", "3", "--json", str(path))
    assert done.exit_code == 0
    run = json.loads(path.read_text())
    assert (run["set"], run["seed"], len(run["placements"])) == ("dighe2", 3, 10)
    assert set(run["placements"][0]) == {"id", "copy", "turn_deg", "x", "y", "outline"}
    assert f"{run['density']:.3f}" in done.output
    assert faults(read_set("dighe2"), run) == []


def test_run_is_measured(tmp_path: Path) -> None:
    """A curve that climbs to the density, and memory between what any Python takes and 2 GB."""
    path = tmp_path / "run.json"
    arguments = ("albano", "--seconds", "1", "--clock", "cpu", "--json", str(path))
    assert command(*arguments).exit_code == 0
    run = json.loads(path.read_text())
    seconds, densities = zip(*run["curve"], strict=True)
    assert list(seconds) == sorted(seconds)
    assert list(densities) == sorted(densities)
    assert densities[-1] == pytest.approx(run["density"], abs=0.01)
    assert seconds[0] < 1 <= run["seconds"] < 3
    assert 10 < run["memory_mb"] < 2000
    draw_curves([run], tmp_path / "time.svg")
    draw_gaps([run], tmp_path / "gap.svg")
    assert all("<svg" in (tmp_path / name).read_text() for name in ("time.svg", "gap.svg"))
    draw_gaps([run | {"set": "own"}], tmp_path / "none.svg")
    assert not (tmp_path / "none.svg").exists()


def test_series_goes_on_where_it_ended(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = tmp_path / "runs.jsonl"
    arguments = ("dighe2", "--rounds", "1", "--keep", str(kept))
    first = command(*arguments, "--seed", "1")
    with kept.open("a") as file:
        file.write('{"set": "dighe2", "seed": 2, "jo')
    second = command(*arguments, "--seed", "1", "--seed", "2")
    assert second.output.startswith(first.output)
    assert len(kept.read_text().splitlines()) == 2
    monkeypatch.setattr(academic, "run", None)
    again = command(*arguments, "--seed", "1", "--seed", "2")
    assert again.output == second.output
    assert command(*arguments, "--seed", "3").exception is not None
    assert Ledger(kept).find(seed=2, budget="1 rounds")


def test_budgets() -> None:
    state = State(seconds=5, rounds=3, length=9, bound=5, since_better=3)
    assert Budget(10.0, 6).stop()(state) == 0.5
    assert Budget(None, 4).stop()(state) == 0.75
    assert str(Budget(10.0, 6)) == "6 rounds or 10 s"
    worked = CpuSeconds(1e-9)
    assert worked(state) > 1
    assert worked.portion(0)(state) > 1
    assert CpuSeconds(1e9)(state) < 0.01


@pytest.mark.long
def test_rounds_repeat(tmp_path: Path) -> None:
    runs = []
    for name in ("first", "second"):
        path = tmp_path / f"{name}.json"
        command("albano", "--rounds", "20", "--seed", "1", "--seed", "2", "--json", str(path))
        runs.append([run["placements"] for run in json.loads(path.read_text())])
    assert runs[0] == runs[1]
    assert runs[0][0] != runs[0][1]


def test_layout_that_fails_its_check_ends_with_1(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(strip_set: StripSet, layout: Layout) -> list[dict[str, Any]]:
        return to_placements(strip_set, Layout(layout.orientation, layout.xy - 50_000))

    monkeypatch.setattr(running, "to_placements", broken)
    done = command("dighe2", "--rounds", "1")
    assert done.exit_code == 1
    assert "sticks out" in done.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        ("skirts",),
        (),
        ("dighe2", "--seconds", "0"),
        ("dighe2", "--rounds", "none"),
        ("dighe2", "--json", "no such folder/run.json"),
        ("dighe2", "--keep", "no such folder/runs.jsonl"),
        ("dighe2", "--clock", "cpu", "--jobs", "2"),
    ],
)
def test_wrong_use_is_told_once(arguments: tuple[str, ...]) -> None:
    done = command(*arguments)
    assert done.exit_code == 2
    assert done.stderr.count("Error:") == 1
    assert "Traceback" not in done.output


@pytest.mark.long
def test_seeds_spread_over_an_executor_find_the_same() -> None:
    """As on a cluster, each run whole on one worker, and those kept are not run again."""
    sets, budget, seeds = [read_set("albano")], Budget(None, 3), (1, 2)
    alone = academic.run_all(sets, seeds, budget, 2, Ledger(None))
    with ThreadPoolExecutor(2) as executor:
        spread = academic.run_all(sets, seeds, budget, 2, Ledger(None), executor)
    assert [run["seed"] for run in spread] == [1, 2]
    assert [run["placements"] for run in spread] == [run["placements"] for run in alone]
    kept = Ledger(None)
    for run in spread:
        kept.add(run)
    assert academic.run_all(sets, seeds, budget, 2, kept, ThreadPoolExecutor(1)) == spread
