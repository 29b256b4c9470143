"""Jobs: orders being planned one after the other, each in a worker process of its own."""

from __future__ import annotations

import secrets
import shutil
import time
from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from threading import Condition, Thread
from typing import Any

from nesting.page.server.home import Home
from nesting.page.server.workers import Crashed, WorkerProcess
from nesting.page.tasks.channel import LOST, Record

MOST_WAITING = 4
MOST_KEPT = 12
LONGEST_SECONDS = 600.0
_GRACE_SECONDS = 120.0
"""For first layouts, drawings and checks, beyond the time to search."""

_GIVEN_UP = "A newer plan took its place."

WAITING, RUNNING, DONE, FAILED = "waiting", "running", "done", "failed"


class Full(Exception):
    """As many jobs wait as may."""


@dataclass(slots=True)
class Job:
    """One order on its way to a plan; what the page shows of it.

    Attributes
    ----------
    request : what it was started with; `order` is the text of the order file, `drawings` the
        content of each drawing by its name, in base64
    folder : its files, which nobody else writes
    page : who asked for it; one who asks for another has given this one up
    entry, revision : the order on the shelf that it plans, and as it was then; empty for none
    unkept : why the plan could not be put on the shelf, in words
    budget : seconds that the task at hand may search
    unit : the dresser's: mm, cm or in
    cloths : names of those that are cut, in the order's order
    plan : as plan.json, the best so far, each cloth with its `shape`; None before there is any
    lays : by cloth, each lay tried and its marker
    live : what a task at hand has so far of one cloth: `title`, `spots` and their figures;
        None when it is over, as the plan has it then
    news : counts the changes of all this
    files : names of the drawings that are ready
    """

    key: str
    request: Record
    folder: Path
    page: str = ""
    entry: str = ""
    revision: str = ""
    unkept: str = ""
    state: str = WAITING
    news: int = 0
    spent: float = 0.0
    at: str = ""
    begun: float = 0.0
    budget: float | None = None
    unit: str = "cm"
    cloths: list[str] = field(default_factory=list)
    plan: Record | None = None
    lays: Record = field(default_factory=dict)
    live: Record | None = None
    files: list[str] = field(default_factory=list)
    faults: list[Record] = field(default_factory=list)
    message: str = ""
    stop_asked: bool = False
    given_up: bool = False
    worker: WorkerProcess | None = None

    @property
    def over(self) -> bool:
        """Whether nothing more will come of it by itself."""
        return self.state in (DONE, FAILED)

    @property
    def record(self) -> Record:
        """What is kept of one that is done, beside its files."""
        return {name: getattr(self, name) for name in _KEPT}


_KEPT = ("request", "entry", "revision", "unit", "cloths", "plan", "lays", "files")


class Jobs:
    """The queue of jobs and those that are done; the oldest of these are forgotten.

    `keep` puts a plan on the shelf before it is told to be done; why it could not, in words.
    """

    def __init__(self, keep: Callable[[Job], str] = lambda _: "") -> None:
        self._keep = keep
        self._home = Home()
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._waiting: list[tuple[Job, str, Record]] = []
        self._change = Condition()
        self._open = True
        self._spare: WorkerProcess | None = WorkerProcess(self._home.path)
        self._last: tuple[Job, WorkerProcess] | None = None
        self._foreman = Thread(target=self._work, name="jobs", daemon=True)
        self._foreman.start()

    def start(self, request: Record, page: str = "", entry: str = "", revision: str = "") -> Job:
        """Put an order into the queue; what the same `page` still waits for is given up for it.

        `entry` is the order on the shelf that it plans, as of that `revision`.

        Raises
        ------
        Full : as many wait as may
        """
        key = secrets.token_urlsafe(9)
        folder = self._home.path / key
        with self._change:
            before = [one for one in self._jobs.values() if page and one.page == page]
            self._require_room(before)
            self._waiting = [entry for entry in self._waiting if entry[0] not in before]
            hands = [self._give_up(one) for one in before if not one.over]
            folder.mkdir()
            job = self._jobs[key] = Job(key, request, folder, page, entry, revision)
            self._enter(job, "plan", request)
            self._forget_old()
        for worker in hands:
            if worker is not None:
                worker.end()
        return job

    def _give_up(self, job: Job) -> WorkerProcess | None:
        """What a newer order takes the place of; its process, to be ended, if it is at work."""
        job.given_up = True
        if job.state == WAITING:
            self._settle(job, FAILED, _GIVEN_UP)
        return job.worker

    def go_on(self, job: Job, task: str, request: Record) -> None:
        """Have more done to a job that is over.

        Raises
        ------
        Full : as many wait as may
        ValueError : it is not over
        """
        with self._change:
            if not job.over:
                raise ValueError(job.state)
            self._require_room()
            self._enter(job, task, request)

    def restore(self, key: str, unpack: Callable[[Path], Record]) -> Job:
        """A job from before, whose files `unpack` puts into its folder.

        Raises
        ------
        ValueError : it is not whole
        """
        with self._change:
            if key in self._jobs:
                return self._jobs[key]
            folder = self._home.path / key
            folder.mkdir()
            try:
                record = unpack(folder)
                told = {name: record[name] for name in _KEPT}
            except (ValueError, LookupError, TypeError) as error:
                shutil.rmtree(folder, ignore_errors=True)
                raise ValueError(key) from error
            job = self._jobs[key] = Job(key, folder=folder, state=DONE, spent=1.0, **told)
            self._forget_old()
            return job

    def get(self, key: str) -> Job | None:
        """The job of that key, if it is still known."""
        return self._jobs.get(key)

    def stop(self, job: Job) -> None:
        """Ask a job to end with the best it has; one that waits is let go."""
        with self._change:
            job.stop_asked = True
            self._waiting = [entry for entry in self._waiting if entry[0] is not job]
            if job.state == WAITING:
                self._settle(job, FAILED, "It was stopped before it began.")
            worker = job.worker
        if worker is not None:
            worker.stop()

    def close(self) -> None:
        """End all processes and take away all files."""
        with self._change:
            self._open = False
            self._waiting.clear()
            self._change.notify_all()
            hands = [self._spare, *(job.worker for job in self._jobs.values())]
            hands += [self._last[1]] if self._last is not None else []
        for worker in hands:
            if worker is not None:
                worker.end()
        self._foreman.join(5.0)
        self._home.close()

    def _require_room(self, leaving: Sequence[Job] = ()) -> None:
        if sum(job not in leaving for job, *_ in self._waiting) >= MOST_WAITING:
            raise Full

    def _enter(self, job: Job, task: str, request: Record) -> None:
        job.state, job.spent, job.at = WAITING, 0.0, ""
        job.stop_asked = job.given_up = False
        job.faults, job.message, job.budget = [], "", request.get("seconds")
        job.news += 1
        self._waiting.append((job, task, request))
        self._change.notify_all()

    def _forget_old(self) -> None:
        over = [job for job in self._jobs.values() if job.over]
        for job in over[: max(0, len(self._jobs) - MOST_KEPT)]:
            del self._jobs[job.key]
            shutil.rmtree(job.folder, ignore_errors=True)

    def _work(self) -> None:
        """Do one job after the other, each in a process of its own."""
        while True:
            with self._change:
                self._change.wait_for(lambda: self._waiting or not self._open)
                if not self._open:
                    return
                job, task, request = self._waiting.pop(0)
                worker = self._worker_for(job)
                job.worker, job.state, job.begun = worker, RUNNING, time.monotonic()
                job.news += 1
            self._do(job, worker, task, request | {"folder": str(job.folder)})
            with self._change:
                job.worker, self._last = None, (job, worker)
                # It warms up while nothing else is asked for, not while a job needs the cores.
                if self._open and self._spare is None:
                    self._spare = WorkerProcess(self._home.path)

    def _worker_for(self, job: Job) -> WorkerProcess:
        """The process that did this very job before, or else one that has done nothing yet."""
        if self._last is not None:
            known, worker = self._last
            if known is job and worker.alive:
                return worker
            worker.end()
        self._last = None
        worker, self._spare = self._spare or WorkerProcess(self._home.path), None
        if not worker.alive:
            worker.end()
            worker = WorkerProcess(self._home.path)
        return worker

    def _do(self, job: Job, worker: WorkerProcess, task: str, request: Record) -> None:
        seconds = float(request.get("seconds") or 0.0) + _GRACE_SECONDS
        try:
            outcome = worker.ask(task, request, seconds, lambda told: self._told(job, told))
        except Crashed:
            outcome = {"failed": _GIVEN_UP if job.given_up else LOST}
        if "done" in outcome:
            with self._change:
                self._take(job, outcome["done"])
            job.unkept = self._keep(job)
        with self._change:
            if "done" in outcome:
                self._settle(job, DONE, "")
            else:
                job.faults = outcome.get("faults", [])
                self._settle(job, FAILED, outcome.get("failed", ""))

    def _told(self, job: Job, told: Record) -> None:
        with self._change:
            self._take(job, told)
        if job.stop_asked and job.worker is not None:
            job.worker.stop()  # it may have been asked before it listened

    def _take(self, job: Job, told: dict[str, Any]) -> None:
        """News of a job: whole values under the names of its attributes, or one cloth's."""
        job.spent = told.get("spent", job.spent)
        job.at = told.get("at", job.at)
        job.unit = told.get("unit", job.unit)
        job.cloths = told.get("cloths", job.cloths)
        job.plan = told.get("plan", job.plan)
        job.lays = told.get("lays", job.lays)
        job.live = told.get("live", job.live)
        job.files = told.get("files", job.files)
        fabric = told.get("fabric")
        if fabric is not None and job.plan is not None:
            shown = {one["title"]: one for one in job.plan["fabrics"]} | {fabric["title"]: fabric}
            in_order = [shown[name] for name in job.cloths if name in shown]
            job.plan = job.plan | {"fabrics": in_order}
        job.news += 1

    def _settle(self, job: Job, state: str, message: str) -> None:
        job.state, job.message = state, message
        job.spent, job.live = 1.0, None
        job.news += 1
