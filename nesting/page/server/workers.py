"""The server's side of its worker processes: start them, ask them, and end them in time."""

from __future__ import annotations

import json
import os
import signal
import time
from collections.abc import Callable
from contextlib import suppress
from multiprocessing import get_context
from pathlib import Path
from threading import Lock
from typing import Any

from nesting.page.server.home import Home
from nesting.page.tasks.channel import Record
from nesting.page.tasks.worker import serve

_STARTING_SECONDS = 120.0
"""A worker may have to compile the search first, or to wait while another one does."""

_LOOK_SECONDS = 0.5


class Crashed(Exception):
    """A worker ended, or had to be ended, before it had answered."""


class WorkerProcess:
    """One worker process, which keeps what it writes in passing under `home`.

    One that is to `search` loads or compiles the search before its first task. What it is asked
    first is given `starting` seconds more.
    """

    def __init__(
        self, home: Path, search: bool = True, starting: float = _STARTING_SECONDS
    ) -> None:
        context = get_context("spawn")  # a fork of a threaded server could inherit a held lock
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(target=serve, args=(theirs, str(home), search))
        self._process.start()
        theirs.close()
        self._sending = Lock()
        self._ready = False
        self._starting = starting
        self._given_up = time.monotonic() + _STARTING_SECONDS

    @property
    def alive(self) -> bool:
        """Whether it still runs."""
        return self._process.is_alive()

    def ask(
        self,
        task: str,
        request: Record,
        seconds: float,
        told: Callable[[Record], None] = lambda _: None,
    ) -> Record:
        """Have a task done and give its outcome; see `nesting.page.tasks.worker`.

        Raises
        ------
        Crashed : it ended or took longer than `seconds`, and is gone; or it is still starting
        """
        until = time.monotonic() + seconds + (0.0 if self._ready else self._starting)
        try:
            if not self._ready and self._hears(until):
                self._ready = bool(self._heard().get("ready"))
            if self._ready:
                self._send({"task": task, "request": request})
                while self._hears(until):
                    message = self._heard()
                    if "told" not in message:
                        return message
                    told(message["told"])
            elif self.alive and time.monotonic() < self._given_up:
                raise Crashed
        except (EOFError, OSError):
            pass
        self.end()
        raise Crashed

    def _heard(self) -> dict[str, Any]:
        message: dict[str, Any] = json.loads(self._pipe.recv_bytes())
        return message

    def _hears(self, until: float) -> bool:
        """Wait for a message; False when it is gone or the time is up."""
        # Processes that it has started hold its end of the pipe open when it dies.
        while not self._pipe.poll(max(0.0, min(_LOOK_SECONDS, until - time.monotonic()))):
            if time.monotonic() >= until or not self._process.is_alive():
                return False
        return True

    def stop(self) -> None:
        """Ask it to end its task with the best it has."""
        with suppress(OSError):
            self._send({"stop": True})

    def _send(self, message: Record) -> None:
        with self._sending:
            self._pipe.send_bytes(json.dumps(message).encode())

    def end(self) -> None:
        """End it, and every process that it has started."""
        pid = self._process.pid
        if pid is not None and hasattr(os, "killpg"):
            with suppress(OSError):  # it may have ended, or not stand apart yet
                os.killpg(pid, signal.SIGKILL)
        with suppress(ValueError):
            self._process.kill()
            self._process.join()


class Reader:
    """One worker for short questions, one at a time; a new one after a crash."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._change = Lock()
        self._open = True
        self._home = Home()
        self._worker_process = WorkerProcess(self._home.path, search=False)

    def ask(self, task: str, request: Record, seconds: float = 20.0) -> Record:
        """Have a short task done.

        Raises
        ------
        Crashed : it could not be done; the next question has a new worker
        """
        with self._lock:
            try:
                return self._worker().ask(task, request, seconds)
            finally:
                self._worker()  # a new one starts at once, and is there for the next question

    def _worker(self) -> WorkerProcess:
        with self._change:
            if self._open and not self._worker_process.alive:
                self._worker_process = WorkerProcess(self._home.path, search=False, starting=0.0)
            return self._worker_process

    def end(self) -> None:
        """End its process, and take away its files; questions that wait have no answer."""
        with self._change:
            self._open = False
            self._worker_process.end()
        self._home.close()
