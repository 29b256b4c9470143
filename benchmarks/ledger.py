"""Finished runs kept in a file, so that a series that was broken off goes on where it ended."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

Run = dict[str, Any]


class Ledger:
    """Runs as lines of JSON; without a path nothing is kept.

    A line that was cut short when the machine or the program stopped counts as not run.
    """

    def __init__(self, path: Path | None) -> None:
        self._path = path
        self._runs: list[Run] = []
        if path is not None and path.is_file():
            lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
            whole = [line for line in lines if line.endswith("\n")]
            self._runs = [json.loads(line) for line in whole]
            if len(whole) < len(lines):
                path.write_text("".join(whole), encoding="utf-8")

    def find(self, **sought: Any) -> Run | None:
        """The last run kept with all of these entries."""
        for run in reversed(self._runs):
            if all(key in run and run[key] == value for key, value in sought.items()):
                return run
        return None

    def add(self, run: Run) -> Run:
        """Keep a run; the same run."""
        self._runs.append(run)
        if self._path is not None:
            with self._path.open("a", encoding="utf-8") as file:
                file.write(json.dumps(run) + "\n")
        return run
