"""Jobs: queued, watched, stopped, picked over; and what happens when their process dies."""

from __future__ import annotations

import json
import os
import signal
import time
from collections.abc import Callable, Iterator

import pytest

from nesting.page.server.jobs import DONE, FAILED, MOST_KEPT, MOST_WAITING, RUNNING, Full, Job, Jobs
from nesting.page.server.workers import Crashed, Reader
from nesting.page.tasks.channel import LOST, TaskChannel
from nesting.page.tasks.estimate import estimate
from tests.nesting.page.small_order import SMALL

REQUEST = {"order": SMALL, "drawings": {}, "seconds": 30}


@pytest.fixture(scope="module")
def jobs() -> Iterator[Jobs]:
    made = Jobs()
    yield made
    made.close()


def until(is_so: Callable[[], object]) -> None:
    end = time.monotonic() + 120
    while not is_so():
        assert time.monotonic() < end
        time.sleep(0.05)


def done(job: Job) -> Job:
    until(lambda: job.over)
    assert job.state == DONE, (job.message, job.faults)
    return job


@pytest.fixture(scope="module")
def planned(jobs: Jobs) -> Job:
    return done(jobs.start(REQUEST | {"rounds": 3}))


def test_a_job_gives_a_plan_its_lays_and_its_files(planned: Job) -> None:
    assert planned.plan is not None
    (cloth,) = planned.plan["fabrics"]
    assert sum(one["yields"] for one in cloth["placements"]) == 4
    assert json.loads((planned.folder / "plan.json").read_text())["order"] == "napkins"
    assert {"plan.json", "report.txt", "linen.pdf", "linen.dxf"} <= set(planned.files)
    lays = planned.lays["linen"]
    assert [lay["lay"] for lay in lays] == [lay["lay"] for lay in cloth["lays_compared"]]
    assert all(lay["placements"] and lay["shape"]["bands_mm"] for lay in lays)


class _AskedToStop(TaskChannel):
    def __init__(self) -> None: ...

    def stop_asked(self) -> bool:
        return True


def test_an_estimate_that_is_asked_to_stop_ends_with_what_it_has() -> None:
    (cloth,) = estimate({"order": SMALL, "drawings": {}}, _AskedToStop())["cloths"]
    assert cloth["name"] == "linen"
    assert " m (" in cloth["buy"]


@pytest.mark.long
def test_a_lay_is_picked_and_stands_in_the_files(jobs: Jobs, planned: Job) -> None:
    lays = [lay["lay"] for lay in planned.lays["linen"]]
    for wanted in ("crosswise-fold", "open"):
        jobs.go_on(planned, "pick", {"cloth": "linen", "number": lays.index(wanted), "seconds": 1})
        done(planned)
        assert planned.plan is not None
        assert planned.plan["fabrics"][0]["lay"] == wanted
        written = json.loads((planned.folder / "plan.json").read_text())
        assert written["fabrics"][0]["lay"] == wanted
        assert [lay["lay"] for lay in planned.lays["linen"]] == lays


@pytest.mark.long
def test_other_widths_stand_beside_the_cloths_own(jobs: Jobs, planned: Job) -> None:
    asked = REQUEST | {"cloth": "linen", "widths": ["36 in"], "seconds": 1}
    jobs.go_on(planned, "widths", asked)
    done(planned)
    lays = planned.lays["linen"]
    assert {lay["width_mm"] for lay in lays} == {500, 914.4}
    wide = next(i for i, lay in enumerate(lays) if lay["width_mm"] == 914.4)
    jobs.go_on(planned, "pick", {"cloth": "linen", "number": wide, "seconds": 1})
    done(planned)
    assert planned.plan is not None
    assert planned.plan["fabrics"][0]["width_mm"] == 914.4


def test_what_is_not_in_the_plan_is_a_fault_and_the_plan_stays(jobs: Jobs, planned: Job) -> None:
    before = planned.plan
    for task, request in (
        ("pick", {"cloth": "silk", "number": 0}),
        ("widths", REQUEST | {"cloth": "linen", "widths": ["a yard"], "seconds": 1}),
    ):
        jobs.go_on(planned, task, request)
        until(lambda: planned.over)
        assert planned.state == FAILED
        assert planned.faults
        assert planned.plan == before


@pytest.mark.long
def test_stopping_gives_the_plan_so_far(jobs: Jobs) -> None:
    job = jobs.start(REQUEST | {"seconds": 600})
    until(lambda: job.plan and job.plan["fabrics"])
    begun = time.monotonic()
    jobs.stop(job)
    done(job)
    assert time.monotonic() - begun < 300
    assert job.files


@pytest.mark.long
def test_a_worker_that_dies_is_told_and_the_next_job_is_done(jobs: Jobs) -> None:
    job, faulty = jobs.start(REQUEST), jobs.start(REQUEST | {"order": SMALL.replace("50", "-5", 1)})
    until(lambda: job.state == RUNNING and job.plan)
    with pytest.raises(ValueError, match=RUNNING):
        jobs.go_on(job, "pick", {})
    assert job.worker is not None
    job.worker.end()
    until(lambda: job.over)
    assert (job.state, job.message) == (FAILED, LOST)
    until(lambda: faulty.over)
    assert faulty.state == FAILED
    assert [fault["path"] for fault in faulty.faults] == [["fabric", "linen", "width"]]


@pytest.mark.long
def test_no_more_wait_than_may_and_the_oldest_are_forgotten(jobs: Jobs) -> None:
    first = jobs.start(REQUEST)
    until(lambda: first.state == RUNNING)
    waiting = [jobs.start(REQUEST) for _ in range(MOST_WAITING)]
    with pytest.raises(Full):
        jobs.start(REQUEST)
    for job in (*waiting, first):
        jobs.stop(job)
    until(lambda: first.over)
    assert all(job.message == "It was stopped before it began." for job in waiting)
    for _ in range(MOST_KEPT):
        jobs.stop(jobs.start(REQUEST))
    until(lambda: jobs.get(first.key) is None)
    assert not first.folder.exists()


@pytest.fixture(scope="module")
def reader() -> Iterator[Reader]:
    made = Reader()
    yield made
    made.end()


def test_an_order_opens_no_file_by_its_path(reader: Reader) -> None:
    order = SMALL + '[[piece]]\nfile = "/etc/passwd"\nfabric = "linen"\n'
    order += '[[piece]]\nfile = "../secret.svg"\nfabric = "linen"\n'
    answer = reader.ask("look", {"order": order, "drawings": {}})["done"]
    paths = [fault["path"] for fault in answer["faults"]]
    assert paths == [["piece", 1, "file"], ["piece", 2, "file"]]
    assert all("no drawing of this name" in fault["message"] for fault in answer["faults"])


@pytest.mark.long
def test_a_question_that_takes_too_long_is_ended_and_the_next_is_answered(reader: Reader) -> None:
    reader.ask("look", REQUEST)  # a worker is given longer to start
    pid = reader._worker_process._process.pid
    assert pid is not None
    os.kill(pid, signal.SIGSTOP)
    with pytest.raises(Crashed):
        reader.ask("look", REQUEST, seconds=0.1)
    assert reader.ask("look", REQUEST)["done"]["faults"] == []
