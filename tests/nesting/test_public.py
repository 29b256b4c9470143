"""What `nesting` offers to a program that uses it: names, found late, with their types."""

from __future__ import annotations

import ast
import dataclasses
import typing
from pathlib import Path

import pytest
from mypy import api

import nesting

_INIT = Path(nesting.__file__)


def imported_for_types() -> dict[str, str]:
    """What a type checker sees: each name with its module."""
    (guarded,) = [
        one for one in ast.parse(_INIT.read_text("utf-8")).body if isinstance(one, ast.If)
    ]
    imports = [one for one in guarded.body if isinstance(one, ast.ImportFrom)]
    return {name.name: one.module or "" for one in imports for name in one.names}


@pytest.mark.parametrize("name", nesting.__all__)
def test_each_name_is_found_where_a_type_checker_looks_for_it(name: str) -> None:
    module = imported_for_types()[name]
    there = __import__(module, fromlist=[name])
    assert getattr(nesting, name) is getattr(there, name)


def test_no_other_name_is_there() -> None:
    assert sorted(imported_for_types()) == sorted(nesting.__all__)
    assert list(nesting.__all__) == sorted(set(nesting.__all__), key=lambda n: (n[0].islower(), n))
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        _ = nesting.nothing


def classes_in(hint: object) -> set[type]:
    """Our own classes that a type names."""
    if isinstance(hint, type):
        own = hint.__module__.startswith(("nesting.", "pieces."))
        return {hint} if own else set()
    return set().union(*map(classes_in, typing.get_args(hint)))


INSIDE = ("Costing", "Handling", "Order", "Outcome", "Piece", "PlanState")
"""What these hold further in is told in their rooms."""
HELD = [
    one
    for name, one in ((name, getattr(nesting, name)) for name in nesting.__all__)
    if dataclasses.is_dataclass(one) and name not in INSIDE
]


@pytest.mark.parametrize("kind", HELD, ids=lambda kind: kind.__name__)
def test_what_a_plan_holds_is_public_too(kind: type) -> None:
    held = set().union(*map(classes_in, typing.get_type_hints(kind).values()))
    assert {one.__name__ for one in held} <= set(nesting.__all__)


USE = """
from typing import assert_type
import nesting
made = nesting.plan(nesting.read_order("any.toml"), nesting.Seconds(5), lay=nesting.LayName.OPEN)
assert_type(made, nesting.Plan)
for cloth in made.fabrics:
    assert_type(cloth.purchase.length_mm, float)
    for placement in cloth.marker.placements:
        assert_type(placement, nesting.Placement)
compared = nesting.compare(nesting.example_order(), widths_mm=[1400.0])
assert_type(compared.cloths[0].alternatives[0].figures, nesting.ComparedLay)
try:
    nesting.write_plan(made, "out", tiles=nesting.Paper.A4)
except nesting.OutputFault as fault:
    assert_type(fault.faults[0], nesting.Fault)
nesting.plan("any.toml")  # a path is no order
"""


@pytest.mark.long
def test_a_type_checker_knows_them() -> None:
    told, _, _ = api.run(["--config-file=", "--strict", "--follow-imports=silent", "-c", USE])
    lines = [line for line in told.splitlines() if "error:" in line]
    assert [int(line.split(":")[1]) for line in lines] == [len(USE.splitlines())], told
    assert 'incompatible type "str"; expected "Order"' in lines[0]
