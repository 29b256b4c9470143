"""The process in which orders are read and planned: apart from the server, so that it may fail.

It is asked over a pipe, in JSON, for one task at a time: ``{"task": name, "request": {...}}``.
It says ``{"ready": true}`` once it can. It may tell of its progress, ``{"told": {...}}``, and
ends with one of

    {"done": {...}}
    {"faults": [{"key", "path", "message", "remedy"}...]}   the order is at fault
    {"failed": "message"}                                   we are

While a task runs, ``{"stop": true}`` asks it to come to an end with the best it has.
"""

from __future__ import annotations

import os
import signal
import tempfile
import traceback
from multiprocessing.connection import Connection

from nesting.page.tasks.channel import LOST, Record, Task, TaskChannel
from pieces.errors import Faults, MetrageError


def serve(pipe: Connection, home: str, search: bool) -> None:
    """Do the tasks that are asked for, until the server is gone; `home` is for passing files."""
    _stand_apart()
    tempfile.tempdir = home
    from nesting.page.tasks.tasks import TASKS, warm_up

    channel = TaskChannel(pipe)
    warm_up(search)
    channel.send({"ready": True})
    while True:
        message = channel.next_task()
        channel.send(_outcome(TASKS[message["task"]], message["request"], channel))


def _outcome(task: Task, request: Record, channel: TaskChannel) -> Record:
    from nesting.page.tasks.wording import fault_data

    try:
        return {"done": task(request, channel)}
    except Faults as error:
        return {"faults": [fault_data(fault) for fault in error.faults]}
    except MetrageError as error:
        return {"failed": str(error)}
    except Exception:
        traceback.print_exc()  # for the terminal; the page says it in words
        return {"failed": LOST}


def _stand_apart() -> None:
    """Leave Ctrl-C to the server, which ends this process and all that it has started."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(os, "setsid"):
        os.setsid()
