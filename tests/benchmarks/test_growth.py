"""The growth and kernel benchmarks run, and keep what they measured."""

from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from shapely.geometry import Polygon

from benchmarks import growth, kernels, severity
from benchmarks.clock import Budget
from benchmarks.ledger import Ledger
from benchmarks.severities import MEASURES, OWN, depth, root_of_depth
from benchmarks.strip_set import read_set
from nesting.solver.overlap.fields import field_of

SIDE = 1_000_000
SQUARE = np.array([[0, 0], [SIDE, 0], [SIDE, SIDE], [0, SIDE]])


@pytest.mark.parametrize("times", [1, 10])
def test_repeated_shirts_have_so_many_times_the_area(times: int) -> None:
    found = growth.repeated(times)
    assert found.area == pytest.approx(times * read_set("shirts").area)
    assert found.width == read_set("shirts").width


def test_smooth_pieces_differ_in_corners_but_hardly_in_area() -> None:
    finest = growth.smooth(300)
    for corners in growth.CORNERS:
        found = growth.smooth(corners)
        assert {len(piece.outline) for piece in found.pieces} == {corners}
        assert all(Polygon(piece.outline).is_valid for piece in found.pieces)
        assert found.area == pytest.approx(finest.area, rel=0.12)


@pytest.mark.long
def test_growth_keeps_a_table_and_a_plot(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(growth, "TIMES", (1,))
    monkeypatch.setattr(growth, "CORNERS", (10,))
    done = CliRunner().invoke(growth.main, ["--seconds", "0.1", "--jobs", "1"])
    assert done.exit_code == 0, done.output
    assert [line.split()[0] for line in done.output.splitlines()] == ["order", "shirts", "10"]
    run = {"set": "shirts x 1", "items": 99, "corners": 14, "density": 86.25, "seconds": 9.0}
    run |= {"curve": [[0.4, 82.5], [8.0, 86.0]], "memory_mb": 321}
    growth.write_results([run], "9 s", tmp_path)
    growth.write_results([run], "10 s", tmp_path)
    table = (tmp_path / "growth.md").read_text()
    assert table.count("| shirts x 1 | 99 | 14 | 0.4 | 82.50 | 86.25 | 321 |") == 2
    assert "<svg" in (tmp_path / "growth.svg").read_text()


@pytest.mark.parametrize("name", [name for name in MEASURES if name != OWN])
def test_measures_are_above_zero_and_grow_inwards(name: str) -> None:
    """Also just outside the no-fit polygon: tables hold what is told at nodes on either side."""
    measure = MEASURES[name].severity_at
    if measure is None:
        assert MEASURES[name].circles != MEASURES[OWN].circles
        return
    square = field_of(SQUARE, SQUARE, 16)
    told = [
        measure(square.circles, square.sides, 0, len(square.sides), square.scale, x, 0.0)
        for x in SIDE * np.array([1.5, 1.01, 0.99, 0.9, 0.7, 0.4, 0.1])
    ]
    assert told[0] > 0
    assert (np.diff(told) > 0).all()


def test_depth_in_a_square_is_known() -> None:
    """Squares of side 10 that overlap by 3 and 4: the one is freed by 3, the hull areas by 10."""
    square = field_of(SQUARE, SQUARE, 16)
    given = square.circles, square.sides, 0, len(square.sides), square.scale
    assert depth(*given, 0.7 * SIDE, 0.6 * SIDE) == pytest.approx(0.3 * SIDE * SIDE)
    assert root_of_depth(*given, 0.7 * SIDE, 0.6 * SIDE) == pytest.approx(
        (0.3 * SIDE) ** 0.5 * SIDE
    )
    # At contact the tail is half of what is least: a hundredth of the diagonal.
    assert depth(*given, float(SIDE), 0.0) == pytest.approx(0.005 * 2**0.5 * SIDE * SIDE)


def test_measures_are_compared_beside_the_own(tmp_path: Path) -> None:
    runs = [
        {"set": name, "seed": seed, "measure": measure, "density": density + seed}
        for name, measure, density in (
            ("a", OWN, 80.0), ("a", "depth", 81.0), ("b", OWN, 70.0), ("b", "depth", 70.0)
        )
        for seed in (1, 2)
    ]  # fmt: skip
    severity.write_results(runs, "9 s", tmp_path)
    text = (tmp_path / "severity.md").read_text()
    assert "| 82.50 ± 0.71 | 71.50 ± 0.71 | 77.00 | +0.50 ± 0.29 |" in text
    assert "| 81.50 ± 0.71 | 71.50 ± 0.71 | 76.50 |  |" in text
    assert "<svg" in (tmp_path / "severity.svg").read_text()


def test_finished_comparisons_start_no_process(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ledger = Ledger(tmp_path / "runs.jsonl")
    for measure, density in ((OWN, 86.0), ("depth", 87.5)):
        run = {"set": "albano", "seed": 1, "measure": measure, "budget": "2 rounds"}
        ledger.add(run | {"density": density})
    monkeypatch.setattr(severity, "_process", None)
    arguments = ["albano", "--rounds", "2", "--seed", "1", "--measure", "depth"]
    arguments += ["--keep", str(tmp_path / "runs.jsonl")]
    done = CliRunner().invoke(severity.main, arguments)
    assert done.exit_code == 0, done.output
    assert "| 87.50 ± 0.00 | 87.50 | +1.50 ± 0.00 |" in done.output
    assert CliRunner().invoke(severity.main, [*arguments, "--seed", "2"]).exit_code == 1


def test_a_measure_searches_the_set_it_is_given() -> None:
    assert 70 < severity.density("albano", 1, Budget(None, 2)) < 90


def test_kernels_are_rated_beside_the_first(tmp_path: Path) -> None:
    bench = kernels.Bench(1)
    for _, _, work in bench.kernels():
        work()
    assert (bench.scratch.severity > 0).any()
    assert np.allclose(bench.scratch.severity, bench.scratch.severity.T)
    rates = [kernels.Rate("fast", 2e6), kernels.Rate("slow", 5e5)]
    kernels.write_results(rates, tmp_path)
    assert "| slow | 500,000 | 4.00 |" in (tmp_path / "kernels.md").read_text()
    assert "<svg" in (tmp_path / "kernels.svg").read_text()
