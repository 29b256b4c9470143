"""No function so long, or called with so much, that it can't be read in one go."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.papers import ROOT

MODULES = sorted(path for room in ("nesting", "pieces") for path in (ROOT / room).rglob("*.py"))
MOST_LINES, MOST_PARAMETERS, MOST_OF_A_KERNEL = 60, 8, 12
"""Lines of a function, its docstring apart. Kernels are compiled, and can't be given objects."""
KERNELS = {"fast", "fastest", "owning", "njit"}
Function = ast.FunctionDef | ast.AsyncFunctionDef


def functions(path: Path) -> Iterator[Function]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return (node for node in ast.walk(tree) if isinstance(node, Function))


def decorators(function: Function) -> set[str]:
    """Their names, without what they are called with or taken from."""
    return {ast.unparse(one).split("(")[0].rsplit(".", 1)[-1] for one in function.decorator_list}


def lines(function: Function) -> int:
    assert function.end_lineno is not None
    count = function.end_lineno - function.lineno + 1
    if ast.get_docstring(function) is not None:
        told = function.body[0]
        assert told.end_lineno is not None
        count -= told.end_lineno - told.lineno + 1
    return count


def parameters(function: Function) -> int:
    """All that it is called with, an object's own methods' `self` apart."""
    own = function.args
    named = [one.arg for one in (*own.posonlyargs, *own.args, *own.kwonlyargs)]
    rest = [one for one in (own.vararg, own.kwarg) if one is not None]
    return len([one for one in named if one not in ("self", "cls")]) + len(rest)


def too_large(path: Path) -> dict[str, str]:
    """By the function's name, what is too much of it."""
    found = {}
    for one in functions(path):
        names = decorators(one)
        name = f"{path.parent.name}/{path.name}: {one.name}"
        most = MOST_OF_A_KERNEL if names & KERNELS else MOST_PARAMETERS
        # A command has a parameter for each of its options.
        if parameters(one) > most and "command" not in names:
            found[name] = f"{parameters(one)} parameters"
        if lines(one) > MOST_LINES:
            found[name] = f"{lines(one)} lines"
    return found


def test_no_function_is_long_or_takes_much() -> None:
    found = {name: much for path in MODULES for name, much in too_large(path).items()}
    assert found == {}


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("def f(a, b, c, d, e, f, g, h): ...", ""),
        ("def f(a, b, c, d, e, f, g, h, *i): ...", "9 parameters"),
        ("class A:\n    def f(self, a, b, c, d, e, f, g, *, h): ...", ""),
        ("@fast\ndef f(a, b, c, d, e, f, g, h, i, j, k, l): ...", ""),
        (
            "@njit(cache=True)\ndef f(a, b, c, d, e, f, g, h, i, j, k, l, m): ...",
            "13 parameters",
        ),
        ("def f():\n" + "    pass\n" * 59, ""),
        ('def f():\n    """Told\n\n    at length."""\n' + "    pass\n" * 59, ""),
        ("def f():\n" + "    pass\n" * 60, "61 lines"),
    ],
)
def test_what_is_too_large(tmp_path: Path, written: str, told: str) -> None:
    path = tmp_path / "m.py"
    path.write_text(written, encoding="utf-8")
    assert list(too_large(path).values()) == [told] * bool(told)
