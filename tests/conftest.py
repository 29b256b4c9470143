"""What holds for all tests: how much hypothesis draws, and plans and sentences that are whole.

The quick run draws a seventh of the examples, and in CI the same every time, so that a change is
judged by what it changes. The long one draws all of them, new ones by a seed that `.ci/run` prints.
"""

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Thread
from typing import Any

import pytest
from hypothesis import settings
from jsonschema import Draft202012Validator

from nesting.books.folder import VARIABLE
from nesting.output import write
from nesting.output.report import bolts, comparison, yields
from pieces.wording import Wording
from tests.plan_schema import COMPARISON, PLAN, told

_COMPILE = """
from nesting.solver.phased import line
from nesting.solver.solve import warm_up
warm_up()
line.warm_up()
"""
_COMPILING = "METRAGE_TESTS_COMPILING"
"""Names a file that is there while kernels are being compiled."""
_WITHOUT_KERNELS = (
    *("pieces/", "tests/pieces/", "tests/test_papers.py", "tests/nesting/order/"),
    *("tests/nesting/notions/", "tests/nesting/verify/", "tests/nesting/rules/"),
    *("tests/nesting/wearers/", "tests/test_limits.py", "tests/test_imports.py"),
)

settings.register_profile("quick", max_examples=14, derandomize=bool(os.environ.get("CI")))
settings.register_profile("long", max_examples=100, derandomize=False)
settings.load_profile("quick")


@pytest.fixture(scope="session", autouse=True)
def _nothing_is_lost_of_a_sentence() -> Iterator[None]:
    """A formatted text would keep only what a sentence tells the writer of a file, not a form's."""

    def formatted(_: Wording, __: str) -> str:
        raise AssertionError("put it together with +, or say with !s that it is for the file alone")

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Wording, "__format__", formatted)
        yield


@pytest.fixture(scope="session", autouse=True)
def _plans_follow_their_schema() -> Iterator[None]:
    """Whatever a test writes as plan.json or compare.json is held to its schema, as a file has it.

    So is the part of bolts.json that is a plan.
    """
    with pytest.MonkeyPatch.context() as patch:
        for module in (write, bolts, yields):
            patch.setattr(module, "plan_data", _checked(module.plan_data, PLAN))
        checked = _checked(comparison.comparison_data, COMPARISON)
        patch.setattr(comparison, "comparison_data", checked)
        yield


@pytest.fixture(scope="session", autouse=True)
def _data_of_their_own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """No test reads or writes what whoever runs it keeps."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(VARIABLE, str(tmp_path_factory.mktemp("data")))
        yield


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    """One more than there are cores: tests of the page wait for a browser half of their time."""
    return (os.cpu_count() or 1) + 1


def pytest_configure(config: pytest.Config) -> None:
    """Kernels are compiled once, by a process of its own, while tests that need none run."""
    is_worker, many = hasattr(config, "workerinput"), config.getoption("numprocesses", None)
    if not many or is_worker:
        return
    handle, name = tempfile.mkstemp()
    os.close(handle)
    os.environ[_COMPILING] = name
    compiling = subprocess.Popen([sys.executable, "-c", _COMPILE])
    config.add_cleanup(compiling.kill)

    def end() -> None:
        compiling.wait()
        Path(name).unlink()

    Thread(target=end).start()


def pytest_runtest_setup(item: pytest.Item) -> None:
    """A test that needs kernels waits for them: else it would compile them once more."""
    compiling = os.environ.get(_COMPILING)
    if compiling and not item.nodeid.startswith(_WITHOUT_KERNELS):
        while Path(compiling).exists():
            time.sleep(0.1)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What knows no kernels comes first; all else in the order of its files."""
    items.sort(key=lambda item: not item.nodeid.startswith(_WITHOUT_KERNELS))


def _checked(made: Callable[..., Any], judge: Draft202012Validator) -> Callable[..., Any]:
    def checked(*args: Any) -> Any:
        data = made(*args)
        faults = told(json.loads(json.dumps(data)), judge)
        assert not faults, faults[:5]
        return data

    return checked
