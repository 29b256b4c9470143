"""Nothing is lost: ends that come at once, limits that hold, folders that are taken away."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from nesting.page.server.home import Home
from nesting.page.server.jobs import DONE, FAILED, RUNNING, WAITING, Job, Jobs
from nesting.page.server.workers import Crashed, Reader
from tests.nesting.page.house import free_port
from tests.nesting.page.small_order import SMALL

pytestmark = pytest.mark.long

REQUEST = {"order": SMALL, "drawings": {}, "seconds": 300}


def until(job: Job, *states: str) -> None:
    end = time.monotonic() + 120
    while job.state not in states:
        assert time.monotonic() < end, job.state
        time.sleep(0.05)


def stopped(reader: Reader) -> int:
    """The reader's process, which answers no more."""
    pid = reader._worker_process._process.pid
    assert pid is not None
    os.kill(pid, signal.SIGSTOP)
    return pid


def test_questions_that_wait_end_with_the_reader() -> None:
    reader = Reader()
    reader.ask("look", REQUEST)
    stopped(reader)
    with ThreadPoolExecutor() as pool:
        waiting = [pool.submit(reader.ask, "look", REQUEST) for _ in range(3)]
        time.sleep(0.2)
        begun = time.monotonic()
        reader.end()
        for one in waiting:
            with pytest.raises(Crashed):
                one.result(10)
    assert time.monotonic() - begun < 5
    assert not reader._worker_process.alive


def test_the_limit_of_a_question_is_the_same_after_a_crash() -> None:
    reader = Reader()
    try:
        reader.ask("look", REQUEST)
        os.kill(stopped(reader), signal.SIGKILL)
        with pytest.raises(Crashed):
            reader.ask("look", REQUEST)
        stopped(reader)  # the new one answers no more either
        begun = time.monotonic()
        with pytest.raises(Crashed):
            reader.ask("look", REQUEST, seconds=1.0)
        assert time.monotonic() - begun < 4
        os.kill(reader._worker_process._process.pid or 0, signal.SIGCONT)
        # It was only starting: who asks again finds it there.
        assert reader.ask("look", REQUEST, seconds=60.0)["done"]["faults"] == []
    finally:
        reader.end()


def test_a_new_plan_of_a_page_takes_the_place_of_the_one_before() -> None:
    jobs = Jobs()
    try:
        other, left = jobs.start(REQUEST, "other"), jobs.start(REQUEST, "page")
        until(other, RUNNING)
        newer = jobs.start(REQUEST, "page")
        assert (left.state, left.message) == (FAILED, "A newer plan took its place.")
        assert (other.state, newer.state) == (RUNNING, WAITING)
        begun = time.monotonic()
        again = jobs.start(REQUEST | {"rounds": 1, "seconds": 5}, "other")
        until(other, FAILED)
        assert other.message == "A newer plan took its place."
        assert time.monotonic() - begun < 10  # it had 300 s to go
        jobs.stop(newer)
        until(again, DONE)
    finally:
        jobs.close()


@pytest.fixture
def temporary(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    return tmp_path


_HOLDS = "from nesting.page.server.home import Home; h = Home(); print(h.path, flush=True); input()"


def test_folders_of_killed_programs_go_at_the_next_start(temporary: Path) -> None:
    env = os.environ | {"TMPDIR": str(temporary)}
    with subprocess.Popen(
        [sys.executable, "-c", _HOLDS],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env=env,
        text=True,
    ) as program:
        assert program.stdout is not None
        theirs = Path(program.stdout.readline().strip())
        (theirs / "plan.json").write_text("{}")
        (temporary / "metrage-page-notes").mkdir()
        (temporary / "metrage-page-99999-mine").symlink_to(temporary / "metrage-page-notes")
        own = Home()
        assert theirs.exists()  # its program still runs
        program.kill()
        program.wait()
        another = Home()
        assert not theirs.exists()
    left = {path.name for path in temporary.iterdir()}
    kept = {"metrage-page-notes", "metrage-page-99999-mine"}  # never held by a program of ours
    assert left == kept | {own.path.name, another.path.name}
    for one in (own, another):
        one.close()
    assert {path.name for path in temporary.iterdir()} == kept


def test_a_page_that_was_killed_leaves_nothing_after_the_next(tmp_path: Path) -> None:
    launch = "from nesting.cli import main; main()"
    env = os.environ | {"TMPDIR": str(tmp_path)}
    command = [sys.executable, "-c", launch, "page", "--no-browser", "--port"]
    port = free_port()
    for ending in (signal.SIGKILL, signal.SIGINT):
        with subprocess.Popen([*command, str(port)], stdout=subprocess.PIPE, env=env) as program:
            assert program.stdout is not None
            assert program.stdout.readline()
            program.send_signal(ending)
            program.wait(60)
    assert list(tmp_path.glob("metrage-*")) == []


def test_the_request_of_a_page_is_told_by_it(temporary: Path) -> None:
    from nesting.page.server.app import create_app

    jobs, reader = Jobs(), Reader()
    try:
        client = create_app(jobs, reader, {"localhost"}).test_client()
        headers = {"Origin": "http://localhost", "Content-Type": "application/json"}

        def start(page: object) -> tuple[int, str]:
            body = json.dumps(REQUEST | {"page": page})
            answer = client.post("/api/jobs", data=body, headers=headers)
            return answer.status_code, answer.get_json().get("key", "")

        (_, first), (_, second) = start("one"), start("one")
        assert jobs.get(first) is not None
        until(jobs._jobs[first], FAILED)
        assert jobs._jobs[first].message == "A newer plan took its place."
        assert not jobs._jobs[second].over
        assert start(7)[0] == 400
    finally:
        jobs.close()
        reader.end()
