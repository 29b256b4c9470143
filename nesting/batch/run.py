"""A folder of orders planned one beside the other, each finished once, whatever comes between."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, wait
from contextlib import nullcontext, suppress
from dataclasses import asdict, dataclass, replace
from decimal import Decimal
from importlib.metadata import version
from pathlib import Path
from typing import TypedDict, Unpack

from nesting.batch.outcome import Batch, Bought, Outcome, State
from nesting.fabric.fabric import LayName
from nesting.fabric.plans import Plan
from nesting.fabric.purchase import counter_of
from nesting.order.model import Order
from nesting.order.read import read_with_drawings
from nesting.output.claim import claimed
from nesting.output.files.data import FORMAT
from nesting.output.folder import put_in_place, require_free, sweep
from nesting.output.paper.tiling import Paper
from nesting.output.place import Place, is_as_written, require_replaceable
from nesting.output.place import digest as digest_of
from nesting.output.write import plan_contents, plan_names
from nesting.output.written import prepare_folder
from nesting.planning.planner import plan
from nesting.search.options import asked_by_ctrl_c
from nesting.search.parallel.cluster import TaskLost
from nesting.solver.stop import Seconds, Stop, StopToken
from pieces.errors import Fault, Faults, MetrageError, OrderFault, OwnFailure
from pieces.units import Unit

_TICK_S = 0.1
"""How often it is looked whether the batch was asked to stop."""
_USUAL = Seconds(20)
_MARK = "finished.json"
"""In the folder of a finished order: what it was planned from, its files, and what is bought."""
BATCH_JSON, BATCH_CSV = "batch.json", "batch.csv"
"""What is told of all orders, beside their folders."""


Watch = Callable[[Sequence[Outcome]], None]
"""Told of all orders, in the order of their names, at each that ends."""


def ignore(_: Sequence[Outcome]) -> None:
    """Watch nothing."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """What a plan hangs on besides its order."""

    stop: Stop
    seed: int
    lay: LayName | None
    tiles: Paper | None


@dataclass(frozen=True, slots=True)
class _Made:
    """An order planned and drawn, wherever that was; no files if it wasn't to be."""

    outcome: Outcome
    files: dict[str, bytes]


class BatchOptions(TypedDict, total=False):
    """How a folder is planned; each may be left out.

    Attributes
    ----------
    seed : of the random numbers; 1
    lay : the only one that is tried
    tiles : the paper on which pieces are drawn at true size besides
    jobs : the processes it starts, or the tasks that the executor takes at once; one for each core
    executor : where it plans instead of in processes of its own
    watch : sees all orders at each that ends
    overwrite : whether files of others may be replaced
    """

    seed: int
    lay: LayName | None
    tiles: Paper | None
    jobs: int | None
    executor: Executor | None
    watch: Watch
    overwrite: bool


def plan_folder(
    folder: str | Path, out: str | Path, stop: Stop = _USUAL, **options: Unpack[BatchOptions]
) -> Batch:
    """Plan every order file of a folder into a folder of its own below `out`, of the same name.

    Each is planned whole in one process, or on the executor; with a round limit alone just as
    `plan` does by itself. A time limit holds for each order. An order is finished once
    its folder is in place, with what it was planned from; such orders are not planned again
    unless the file, a drawing it names, what is asked or the version is another, or a file of
    theirs is no longer as it was written. Other files are never replaced without `overwrite`. A
    fault ends its own order alone. Ctrl-C leaves those at hand open, for the next call to plan,
    and so does the loss of the workers.

    Raises
    ------
    OrderFault : there is no order in the folder
    OutputFault : files can't be written, or another batch is at work there
    """
    from nesting.solver.workers import workers

    begun = time.monotonic()
    folder, out = Path(folder), Path(out)
    paths = order_files(folder)
    seed = options.get("seed", 1)
    asked = _Asked(stop, seed, options.get("lay"), options.get("tiles"))
    token = StopToken()
    place = Place(prepare_folder(out), overwrite=options.get("overwrite", False))
    work = _Work(place, paths, asked, options.get("watch", ignore), token)
    broken = False
    with claimed(out):
        sweep(out)
        require_replaceable(work.place, (BATCH_JSON, BATCH_CSV))
        try:
            pool_of = workers(options.get("jobs"), options.get("executor"))
            with pool_of as pool, asked_by_ctrl_c(token):
                work.run(pool)
        except BrokenExecutor:
            broken = True
        name = folder.resolve().name
        orders = tuple(work.outcomes.values())
        return Batch(name, seed, time.monotonic() - begun, orders, token.asked, broken)


def order_files(folder: Path) -> list[Path]:
    """The order files in a folder, by name; hidden ones and folders below are left out.

    Raises
    ------
    OrderFault : there is none
    """
    found = sorted(p for p in folder.glob("*.toml") if p.is_file() and p.name[0] != ".")
    if not found:
        message, remedy = "There is no order in this folder.", "Orders end in .toml."
        raise OrderFault([Fault(str(folder), "", message, remedy)])
    return found


class _Work:
    """Orders on their way from file to folder."""

    def __init__(
        self,
        place: Place,
        paths: Sequence[Path],
        asked: _Asked,
        watch: Watch,
        token: StopToken,
    ) -> None:
        self.place, self.paths, self.asked = place, paths, asked
        self.watch, self.token = watch, token
        self.outcomes = {path.name: Outcome(path.name) for path in paths}
        self._places: dict[str, Place] = {}
        self._busy: dict[Future[_Made], str] = {}

    def run(self, executor: Executor | None) -> None:
        """Plan all that isn't finished, until the token is asked."""
        try:
            for path in self.paths:
                if self.token.asked:
                    return
                self._begin(path, executor)
                # Folders fill while further orders are still read.
                self._put_away()
            while self._busy and not self.token.asked:
                self._put_away(_TICK_S)
        except BrokenExecutor:
            # What was ready before is as good as ever.
            with suppress(BrokenExecutor):
                self._put_away()
            raise

    def _begin(self, path: Path, executor: Executor | None) -> None:
        try:
            _require_own_name(path)
            order, inputs, digest = _read(path, self.asked)
            place = replace(self.place, folder=self.place.folder / path.stem, inputs=inputs)
            before = _finished(place.folder, digest)
            if before is None:
                require_free(place, plan_names(order, self.asked.tiles), _MARK)
        except Exception as error:  # whatever it is, the other orders go on
            self._end(_faulty(path.name, error))
            return
        self._places[path.name] = place
        if before is not None:
            self._end(before)
            return
        outcome = Outcome(path.name, order=order.name)
        if executor is None:
            future: Future[_Made] = Future()
            future.set_result(_made(order, outcome, self.asked, digest, self.token))
        else:
            future = executor.submit(_made, order, outcome, self.asked, digest, StopToken())
        self._busy[future] = path.name

    def _put_away(self, wait_s: float = 0.0) -> None:
        """Put the plans that are ready in place; wait so long for one.

        Raises
        ------
        BrokenExecutor : once all that is ready is in place
        """
        done, _ = wait(self._busy, wait_s, FIRST_COMPLETED)
        broken: BrokenExecutor | None = None
        for future in done:
            file = self._busy.pop(future)
            try:
                made = future.result()
            except TaskLost:
                why = "Its workers ended by themselves, time and again, perhaps for want of memory."
                made = _Made(_faulty(file, OwnFailure(why)), {})
            except BrokenExecutor as error:
                broken = error
                continue
            if made.outcome.state is not State.OPEN:  # it was not asked to stop
                self._end(self._in_place(made))
        if broken is not None:
            raise broken

    def _in_place(self, made: _Made) -> Outcome:
        if made.files:
            place = self._places[made.outcome.file]
            try:
                with claimed(place.folder) if place.folder.is_dir() else nullcontext():
                    put_in_place(place, made.files, _MARK)
            except Faults as error:
                return _faulty(made.outcome.file, error, made.outcome.order)
        return made.outcome

    def _end(self, outcome: Outcome) -> None:
        self.outcomes[outcome.file] = outcome
        self.watch(tuple(self.outcomes.values()))


def _require_own_name(path: Path) -> None:
    if path.stem.casefold() in (BATCH_JSON, BATCH_CSV):
        message = f"Its folder would be called {path.stem}, as a file of the batch is."
        raise OrderFault([Fault(str(path), "", message, "Give the order file another name.")])


def _read(path: Path, asked: _Asked) -> tuple[Order, tuple[Path, ...], str]:
    """An order, the files that it was read from, and a digest of all that its plan hangs on."""
    order, drawings = read_with_drawings(path)
    hangs_on = {
        "order": digest_of(path.read_bytes()),
        "drawings": {name: digest_of(one.read_bytes()) for name, one in drawings.items()},
        "asked": repr(asked),
        "version": [version("metrage"), FORMAT],
    }
    digest = digest_of(json.dumps(hangs_on, sort_keys=True).encode())
    return order, (path, *drawings.values()), digest


def _made(order: Order, outcome: Outcome, asked: _Asked, digest: str, token: StopToken) -> _Made:
    """Plan and draw an order, in whatever process this is; what goes wrong is told."""
    try:
        made = plan(order, asked.stop, seed=asked.seed, lay=asked.lay, jobs=1, token=token)
        if made.interrupted:
            return _Made(outcome, {})
        done = replace(
            outcome, state=State.PLANNED, seconds=made.seconds, bought=tuple(_bought(made))
        )
        files = plan_contents(made, asked.tiles)
    except Exception as error:  # whatever it is, the other orders go on
        return _Made(_faulty(outcome.file, error, order.name), {})
    return _Made(done, files | {_MARK: _mark(done, digest, files)})


def _faulty(file: str, error: Exception, order: str = "") -> Outcome:
    """An order that ended with an error; one that isn't told in words is a failure of ours."""
    if not isinstance(error, MetrageError):
        what = f"{type(error).__name__}: {error}"
        error = OwnFailure(f"metrage failed ({what}). Please report it.")
    faults = map(str, error.faults) if isinstance(error, Faults) else [f"{file}: {error}"]
    return Outcome(file, State.FAULTY, order, exit_status=error.exit_status, faults=tuple(faults))


def _bought(made: Plan) -> Iterator[Bought]:
    for entry in made.bought:
        one = entry.purchase
        yield Bought(
            entry.title,
            one.length_mm,
            one.text,
            one.cost,
            one.currency,
            entry.waste_percent,
            counter_of(entry.fabric),
        )


def _mark(done: Outcome, digest: str, files: Mapping[str, bytes]) -> bytes:
    record = {
        "digest": digest,
        "files": {name: digest_of(data) for name, data in files.items()},
        "order": done.order,
        "seconds": done.seconds,
        "bought": [
            asdict(one) | {"cost": None if one.cost is None else str(one.cost)}
            for one in done.bought
        ],
    }
    return (json.dumps(record, indent=1, ensure_ascii=False) + "\n").encode()


def _finished(folder: Path, digest: str) -> Outcome | None:
    """What is told of an order that was finished before, from the same and as asked now.

    None, too, if one of its files is missing or is not as it was written.
    """
    try:
        record = json.loads((folder / _MARK).read_text(encoding="utf-8"))
        if record["digest"] != digest:
            return None
        if not all(is_as_written(folder / name, [own]) for name, own in record["files"].items()):
            return None
        bought = tuple(
            Bought(
                **one
                | {
                    "cost": None if one["cost"] is None else Decimal(one["cost"]),
                    "counter": Unit(one["counter"]),
                }
            )
            for one in record["bought"]
        )
        return Outcome(
            f"{folder.name}.toml", State.BEFORE, record["order"], record["seconds"], bought
        )
    except (OSError, ValueError, KeyError, TypeError, AttributeError, ArithmeticError):
        return None
