"""Estimates while an order is written: one at a time, and only the newest is worth an answer."""

from __future__ import annotations

from contextlib import suppress
from threading import Lock, Thread

from nesting.page.server.home import Home
from nesting.page.server.workers import Crashed, WorkerProcess
from nesting.page.tasks.channel import Record

_SECONDS = 20.0
_MOST_WAITING = 3
"""Of the server's few threads; whoever asks beyond that asks again."""
_STALE: Record = {"done": {"stale": True}}


class Estimates:
    """A worker for estimates, started when an order is first looked at."""

    def __init__(self) -> None:
        self._turn = Lock()
        self._change = Lock()
        self._open = True
        self._newest = self._waiting = 0
        self._home = Home()
        self._worker_process: WorkerProcess | None = None

    def warm(self) -> None:
        """Have the worker started, so that the first estimate does not wait for it."""

        def start() -> None:
            with suppress(Crashed):  # the program is ending
                self._worker()

        Thread(target=start, name="estimates", daemon=True).start()

    def rest(self) -> None:
        """Let go what is being reckoned: the cores are wanted for a plan."""
        with self._change:
            at_work = self._worker_process
        if at_work is not None and self._turn.locked():
            at_work.stop()

    def ask(self, request: Record) -> Record:
        """What an order comes to; an older question ends for it and is answered as stale.

        Raises
        ------
        Crashed : it could not be reckoned
        """
        with self._change:
            if self._waiting >= _MOST_WAITING:
                return _STALE
            self._waiting += 1
            self._newest += 1
            number = self._newest
        self.rest()
        try:
            with self._turn:
                if number != self._newest:
                    return _STALE
                outcome = self._worker().ask("estimate", request, _SECONDS)
        finally:
            with self._change:
                self._waiting -= 1
        return outcome if number == self._newest else _STALE

    def _worker(self) -> WorkerProcess:
        with self._change:
            if not self._open:
                raise Crashed
            if self._worker_process is None or not self._worker_process.alive:
                self._worker_process = WorkerProcess(self._home.path)
            return self._worker_process

    def end(self) -> None:
        """End the worker, and take away its files."""
        with self._change:
            self._open = False
            if self._worker_process is not None:
                self._worker_process.end()
        self._home.close()
