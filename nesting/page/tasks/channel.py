"""What a task and the server have between them: messages in JSON over a pipe."""

from __future__ import annotations

import json
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import Any

Record = dict[str, Any]
LOST = "lost"


class TaskChannel:
    """The worker's end of the pipe, as its tasks see it."""

    def __init__(self, pipe: Connection) -> None:
        self._pipe = pipe
        self._stop = False

    def tell(self, told: Record) -> None:
        """Send news of the task at hand."""
        self.send({"told": told})

    def send(self, message: Record) -> None:
        """Send a message; a server that is gone ends the worker."""
        try:
            self._pipe.send_bytes(json.dumps(message, allow_nan=False).encode())
        except OSError:
            raise SystemExit(1) from None

    def stop_asked(self) -> bool:
        """Whether the task at hand should come to its end."""
        while not self._stop and self._pipe.poll():
            self._stop = bool(self.receive().get("stop"))
        return self._stop

    def receive(self) -> Record:
        """Wait for a message; a server that is gone ends the worker."""
        try:
            message: Record = json.loads(self._pipe.recv_bytes())
        except (EOFError, OSError):
            raise SystemExit(1) from None
        return message

    def next_task(self) -> Record:
        """Wait for a task."""
        while "task" not in (message := self.receive()):
            pass  # a stop that came too late for its task
        self._stop = False
        return message


Task = Callable[[Record, TaskChannel], Record]
