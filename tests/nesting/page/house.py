"""The page's program as it is started from the command line."""

from __future__ import annotations

import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path
from typing import Any

from nesting.page.server.serve import HOST

_LAUNCH = "from nesting.cli import main; main()"


def free_port() -> int:
    with socket.socket() as one:
        one.bind((HOST, 0))
        return int(one.getsockname()[1])


def launched(port: int, *words: str, **how: Any) -> subprocess.Popen[str]:
    """The page in a program of its own."""
    command = [sys.executable, "-c", _LAUNCH, "page", "--no-browser", *words, "--port", str(port)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, **how)


def reached(address: str) -> None:
    """Wait until the page answers, a minute at most."""
    until = time.monotonic() + 60
    while time.monotonic() < until:
        try:
            urllib.request.urlopen(address, timeout=5).close()
            return
        except OSError:
            time.sleep(0.05)


class House:
    """A program with a data folder of its own, which can be killed and started again."""

    def __init__(self, data: Path) -> None:
        self.data, self.port = data, free_port()
        self.address = f"http://{HOST}:{self.port}"
        self.start()

    def start(self) -> None:
        self.program = launched(self.port, "--data", str(self.data))
        reached(self.address)

    def end(self, how: int = signal.SIGINT) -> None:
        self.program.send_signal(how)
        self.program.wait(20)
        if self.program.stdout is not None:
            self.program.stdout.close()
