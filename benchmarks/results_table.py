"""Runs side by side with the published figures: as a row on the terminal, as a kept table."""

from __future__ import annotations

import json
import os
import platform
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from statistics import fmean

from benchmarks.ledger import Run
from benchmarks.strip_set import SETS

RESULTS = Path(__file__).parent / "results" / "academic.md"
_PUBLISHED = ("best", "mean", "before")
_HEADING = (
    "# Open sets of irregular strip packing\n\n"
    "Density in percent of the strip's area up to the layout's length, at the true width. "
    "Published figures and their sources: [published.json](../sets/published.json). "
    "The gap is our best density less the best published one. Where a section tells it, the gap of "
    "means is the mean of the seeds less the published mean; the first layout's seconds and the "
    "peak memory are the most of all seeds, memory counted as if the processes shared none. Of the "
    "latest run: [density against time](academic-time.svg), "
    "[gap to the published](academic-gap.svg).\n"
)
_GARMENTS = ("shirts", "trousers", "swim", "albano", "dagli", "marques")
"""The sets of garment pieces, which are also told together."""


def published() -> dict[str, dict[str, float]]:
    """The best densities published for each set, in percent: best, mean and before 2025."""
    sets: dict[str, dict[str, float]] = json.loads(
        (SETS / "published.json").read_text(encoding="utf-8")
    )["sets"]
    return sets


def _figure(value: float | None, sign: str = "") -> str:
    return "" if value is None else f"{value:{sign}.2f}"


def head() -> str:
    """The terminal table's first line."""
    return (
        f"{'set':<10}{'seed':>6}{'seconds':>9}{'length':>12}{'density %':>11}"
        f"{'best':>8}{'mean':>8}{'before':>8}{'gap':>8}"
    )


def row(run: Run) -> str:
    """One run as a line of the terminal table."""
    known = published().get(run["set"], {})
    gap = run["density"] - known["best"] if known else None
    figures = "".join(f"{_figure(known.get(key)):>8}" for key in _PUBLISHED)
    return (
        f"{run['set']:<10}{run['seed']:>6}{run['seconds']:>9.1f}{run['length']:>12.6g}"
        f"{run['density']:>11.3f}{figures}{_figure(gap, '+'):>8}"
    )


def append_results(runs: Sequence[Run], budget: str, path: Path = RESULTS) -> None:
    """Add a section with these runs to the kept table, which is begun if it isn't there."""
    append_section(path, _HEADING, _section(runs, budget))


def append_section(path: Path, heading: str, section: str) -> None:
    """Add a section to a kept file, which is begun with the heading if it isn't there."""
    begun = path.read_text(encoding="utf-8") if path.is_file() else heading
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(f"{begun}\n{section}", encoding="utf-8")


def today() -> str:
    """The date of a section, as in 2026-01-31."""
    return f"{datetime.now(UTC):%Y-%m-%d}"


def machine() -> str:
    """A sentence on what the figures were measured on."""
    return (
        f"Machine: {os.cpu_count()} cores, {platform.machine()}, Python "
        f"{platform.python_version()}."
    )


def _section(runs: Sequence[Run], budget: str) -> str:
    seeds = ", ".join(str(seed) for seed in sorted({run["seed"] for run in runs}))
    lines = [
        f"## {today()}, {budget}",
        "",
        f"{machine()} Seeds: {seeds}.",
        "",
        "| set | length | density | mean of seeds | published best | mean | before | gap "
        "| gap of means | first layout, s | its density | peak memory, MB |",
        "|---|---|---|---|---|---|---|---|---|---|---|---|",
    ]
    names = dict.fromkeys(run["set"] for run in runs)
    lines += [_table_row(name, [run for run in runs if run["set"] == name]) for name in names]
    if set(_GARMENTS) <= set(names):
        lines.append(_garments_row(runs))
    return "\n".join(lines) + "\n"


def _table_row(name: str, runs: Sequence[Run]) -> str:
    known = published().get(name, {})
    top = max(runs, key=lambda run: float(run["density"]))
    mean = fmean(run["density"] for run in runs)
    seconds, density = zip(*(run["curve"][0] for run in runs), strict=True)
    cells = [
        name,
        f"{top['length']:.6g}",
        *_beside_published(top["density"], mean, known),
        f"{max(seconds):.1f}",
        _figure(fmean(density)),
        f"{max(run['memory_mb'] for run in runs)}",
    ]
    return f"| {' | '.join(cells)} |"


def _garments_row(runs: Sequence[Run]) -> str:
    """Means over the six sets of garment pieces."""
    of_set = [[run["density"] for run in runs if run["set"] == name] for name in _GARMENTS]
    known = {key: fmean(published()[name][key] for name in _GARMENTS) for key in _PUBLISHED}
    cells = _beside_published(fmean(map(max, of_set)), fmean(map(fmean, of_set)), known)
    return f"| mean of the {len(_GARMENTS)} garment sets | | {' | '.join(cells)} | | | |"


def _beside_published(best: float, mean: float, known: dict[str, float]) -> list[str]:
    """Our best and mean, the published figures, and both gaps."""
    gaps = (best - known["best"], mean - known["mean"]) if known else (None, None)
    return [
        _figure(best),
        _figure(mean),
        *(_figure(known.get(key)) for key in _PUBLISHED),
        *(_figure(gap, "+") for gap in gaps),
    ]
