"""The growth and kernel benchmarks run, and keep what they measured."""

from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from shapely.geometry import Polygon

from benchmarks import growth, kernels
from benchmarks.strip_set import read_set


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


def test_growth_keeps_a_table_and_a_plot(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(growth, "TIMES", (1,))
    monkeypatch.setattr(growth, "CORNERS", (10,))
    done = CliRunner().invoke(growth.main, ["--seconds", "0.1", "--jobs", "1"])
    assert done.exit_code == 0, done.output
    assert [line.split()[0] for line in done.output.splitlines()] == ["order", "shirts", "10"]
    curve = growth.Curve("shirts x 1", 99, 14, ((0.4, 82.5), (9.0, 86.25)))
    growth.write_results([curve], "9 s", tmp_path)
    growth.write_results([curve], "10 s", tmp_path)
    table = (tmp_path / "growth.md").read_text()
    assert table.count("| shirts x 1 | 99 | 14 | 0.4 | 82.50 | 86.25 |") == 2
    assert "<svg" in (tmp_path / "growth.svg").read_text()


def test_kernels_are_rated_beside_the_first(tmp_path: Path) -> None:
    bench = kernels.Bench(1)
    for _, _, work in bench.kernels():
        work()
    assert (bench.severity > 0).any()
    assert np.allclose(bench.severity, bench.severity.T)
    rates = [kernels.Rate("fast", 2e6), kernels.Rate("slow", 5e5)]
    kernels.write_results(rates, tmp_path)
    assert "| slow | 500,000 | 4.00 |" in (tmp_path / "kernels.md").read_text()
    assert "<svg" in (tmp_path / "kernels.svg").read_text()
