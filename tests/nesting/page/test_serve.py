"""The command that serves the page: its address, a port that is taken, and a clean end."""

from __future__ import annotations

import contextlib
import http.client
import json
import math
import os
import signal
import socket
import subprocess
import threading
import time
import urllib.request
from pathlib import Path

import pytest
from click.testing import CliRunner

from nesting.cli.commands import main
from nesting.page.server.serve import HOST, PORT
from tests.nesting.page.house import free_port, launched
from tests.nesting.page.layout_desk import asked


def apart(port: int, temporary: Path) -> subprocess.Popen[str]:
    """The page with a folder of its own for temporary files."""
    return launched(port, stderr=subprocess.PIPE, env=os.environ | {"TMPDIR": str(temporary)})


@pytest.mark.parametrize("ending", [signal.SIGINT, signal.SIGTERM])
def test_it_tells_its_address_and_ends_without_a_trace(tmp_path: Path, ending: int) -> None:
    port = free_port()
    with apart(port, tmp_path) as program:
        assert program.stdout is not None
        assert program.stdout.readline() == f"The page is at http://{HOST}:{port}/\n"
        assert "Ctrl-C ends it" in program.stdout.readline()
        program.send_signal(ending)
        _, errors = program.communicate(timeout=60)
        assert program.returncode == 0
        assert errors == ""
    assert list(tmp_path.glob("metrage-*")) == []


def test_it_ends_at_once_whatever_is_pending(tmp_path: Path, example: str) -> None:
    """A worker that still compiles or warms up, an estimate and a look that wait for it."""
    port = free_port()
    with apart(port, tmp_path) as program:
        assert program.stdout is not None
        assert "Ctrl-C ends it" in program.stdout.readline() + program.stdout.readline()
        body = json.dumps({"order": example, "drawings": {}}).encode()

        def ask(path: str) -> None:
            headers = {"Content-Type": "application/json", "Origin": f"http://{HOST}:{port}"}
            asked = urllib.request.Request(f"http://{HOST}:{port}{path}", body, headers)
            with contextlib.suppress(OSError, http.client.HTTPException):
                urllib.request.urlopen(asked, timeout=60).close()

        paths = ["/api/estimate", "/api/look"] * 3
        asking = [threading.Thread(target=ask, args=(path,)) for path in paths]
        for one in asking:
            one.start()
        time.sleep(0.5)
        begun = time.monotonic()
        program.send_signal(signal.SIGINT)
        _, errors = program.communicate(timeout=60)
        took = time.monotonic() - begun
        for one in asking:
            one.join(60)
        assert program.returncode == 0
        assert "Traceback" not in errors
        assert took < 4  # 1 s where nothing else runs
    assert list(tmp_path.glob("metrage-*")) == []


def test_a_port_that_is_taken_is_told_in_words() -> None:
    answers = [signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM)]
    with socket.socket() as other:
        other.bind((HOST, 0))
        other.listen()
        port = other.getsockname()[1]
        ran = CliRunner().invoke(main, ["page", "--no-browser", "--port", str(port)])
    assert ran.exit_code == 2
    assert f"--port: The page can't be served on port {port}" in ran.output
    assert "name another port" in ran.output
    # Who goes on in this process still answers to Ctrl-C, and so do the programs it starts.
    assert [signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM)] == answers


def test_the_help_names_the_usual_port() -> None:
    # The command does not load the page's packages for its help, so the number stands there too.
    shown = CliRunner().invoke(main, ["page", "--help"]).output
    assert str(PORT) in shown


def long_outline(corners: int) -> str:
    """An order of one piece with so many corners."""
    around = [2 * math.pi * number / corners for number in range(corners)]
    points = [(50 + (40 + math.cos(30 * a)) * math.cos(a), 50 + 40 * math.sin(a)) for a in around]
    outline = ", ".join(f"[{x:.4f}, {y:.4f}]" for x, y in points)
    return (
        'name = "long"\nunits = "cm"\n[fabric.lawn]\nwidth = 150\n[[piece]]\nname = "leaf"\n'
        f'fabric = "lawn"\nallowance = 1\noutline = [{outline}]\n'
    )


@pytest.mark.long
def test_a_long_outline_is_soon_read_and_eight_slow_questions_hold_nothing_up(
    address: str,
) -> None:
    body = {"drawings": {}, "edits": []}
    asked(address, "/api/look", body | {"order": long_outline(20)})  # the worker is up
    begun = time.monotonic()
    seen = asked(address, "/api/look", body | {"order": long_outline(3000)})
    took = time.monotonic() - begun
    assert (seen["faults"], seen["pieces"]) == ([], 1)
    assert took < 3  # 0.8 s where nothing else runs
    slow = body | {"order": long_outline(3000)}
    asking = [threading.Thread(target=asked, args=(address, "/api/look", slow)) for _ in range(8)]
    for one in asking:
        one.start()
    time.sleep(0.2)
    begun = time.monotonic()
    urllib.request.urlopen(f"{address}/", timeout=60).close()
    took = time.monotonic() - begun
    assert sum(one.is_alive() for one in asking) > 1  # they are still at it
    for one in asking:
        one.join()
    assert took < 1
