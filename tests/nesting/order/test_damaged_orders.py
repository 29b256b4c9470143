"""Damaged order files: an order, or every fault in words, and never another exception."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from importlib import resources
from pathlib import Path

import pytest

from nesting.order.read import read_order
from nesting.rules.parts import draft_order
from pieces.errors import Faults
from tests.examples import seeds

NUMBERS = (
    b"0", b"-1", b"1e999", b"nan", b"-inf", b"0.001", b"99999999", b"1_000", b"1,5", b"'1/0 in'",
    b"'3 1/2 in'", b'"12 parsecs"', b"true", b"[]", b"{}", b'""', b"1979-05-27", b"0x10", b"-0.0",
    b"[[0, 0], [0, 0]]", b'"\\u0007"', b"1e-320",
)  # fmt: skip
DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200">'
    '<rect id="flap" x="5" y="5" width="90" height="60"/></svg>'
)
OWN = """
name = "all sorts"
units = "in"
seam_allowance = "5/8 in"

[fabric.check]
width = 58
selvedge = "1/2 in"
nap = "per-garment"
repeat = { length = 8, width = 6, from_edge = 2 }
border = { edge = "both", depth = 9 }
shrinkage = { length = 3, width = 1 }
flaws = [{ from = 40, to = 45, across = [20, 25] }, { outline = [[1, 1], [4, 1], [2, 3]] }]
in_hand = ["2.25 m", { length = "60 cm", width = "80 cm", name = "remnant", washed = true }]
lays = ["open", "lengthwise-fold"]
price = 11.5
currency = "EUR"
per = "yd"
sold_by = "1/8 yd"
minimum = "1/2 yd"
tilt = 2
gap = 0.1

[fabric."grey net"]
width = 60
faces = "alike"

[[garment]]
name = "Ada"
quantity = 2
priority = 1
size = "6 years"
body = { chest = 22.5, waist = 21, wrist = 4.7 }

[[garment.part]]
draft = "bodice"
fabric = "check"
lining = "grey net"
closing = "front opening"
match = ["centre front", "waist"]
motif = "centre front"

[[garment.part]]
draft = "sleeve"
fabric = "check"
style = "long"
match = ["front armhole notch"]

[[garment.part]]
draft = "flared skirt"
fabric = "check"
circle = "full"
panels = 1

[[garment.part]]
draft = "tier"
fabric = "grey net"
at_waist = true
strips = "joined end to end"
strip_length = 40

[[garment.part]]
file = "flap.svg"
fabric = "check"
allowance = 0.25
grain = [[0, 0], [0, 1]]

[[piece]]
name = "cape"
fabric = "grey net"
garment = "Ada"
outline = [[8, 0], [70, 0], [65, 26], [50, 50], [26, 65], [0, 70], [0, 8], [6, 6]]
on_fold = [[8, 0], [70, 0]]
second_fold = [[0, 70], [0, 8]]

[[piece]]
name = "tab"
fabric = "check"
outline = [[0, 0], [4, 0], [4, 2.5], [0, 2.5]]
grain = [[0, 0], [1, 0]]
points = { tip = { along = 1, across = 2 } }
match = ["tip"]
pair = true
"""


def _flip(data: bytes, rng: random.Random) -> bytes:
    changed = bytearray(data)
    for _ in range(rng.randint(1, 6)):
        changed[rng.randrange(len(changed))] ^= 1 << rng.randrange(8)
    return bytes(changed)


def _cut_short(data: bytes, rng: random.Random) -> bytes:
    return data[: rng.randrange(len(data))]


def _lines(change: Callable[[list[bytes], random.Random], None]) -> Callable[..., bytes]:
    def damaged(data: bytes, rng: random.Random) -> bytes:
        lines = data.split(b"\n")
        for _ in range(rng.randint(1, 5)):
            change(lines, rng)
        return b"\n".join(lines)

    return damaged


def _drop(lines: list[bytes], rng: random.Random) -> None:
    if len(lines) > 1:
        del lines[rng.randrange(len(lines))]


def _repeat(lines: list[bytes], rng: random.Random) -> None:
    lines.insert(rng.randrange(len(lines)), rng.choice(lines))


def _swap(lines: list[bytes], rng: random.Random) -> None:
    i, j = rng.randrange(len(lines)), rng.randrange(len(lines))
    lines[i], lines[j] = lines[j], lines[i]


def _numbers(data: bytes, rng: random.Random) -> bytes:
    """Other values for some of the numbers, as they are typed by mistake or by ill will."""
    places = list(re.finditer(rb"(?<![\w.])[0-9]+\.?[0-9]*(?![\w.])", data))
    some = rng.sample(places, min(len(places), rng.randint(1, 4)))
    for place in sorted(some, key=lambda match: -match.start()):
        grown = b"%g" % (float(place[0]) * rng.choice((0.1, 0.5, 2.54, 10, 25.4)))
        new = rng.choice((rng.choice(NUMBERS), grown))
        data = data[: place.start()] + new + data[place.end() :]
    return data


def _words(data: bytes, rng: random.Random) -> bytes:
    """One quoted word for another, or for a value of another kind."""
    quoted = re.findall(rb'"[^"\n]*"', data) or [b"="]
    old, new = rng.choice(quoted), rng.choice([*quoted, *NUMBERS])
    return data.replace(old, new, rng.choice((1, -1)))


MISHAPS = (
    _flip, _cut_short, _lines(_drop), _lines(_repeat), _lines(_swap), *[_numbers] * 4,
    *[_words] * 2,
)  # fmt: skip


def _orders() -> list[bytes]:
    examples = resources.files("pieces.examples")
    named = ("choir.toml", "in-hand.toml", "drafts.toml")
    return [OWN.encode(), *(examples.joinpath(name).read_bytes() for name in named)]


def test_the_orders_are_whole_before_they_are_damaged(tmp_path: Path) -> None:
    (tmp_path / "flap.svg").write_text(DRAWING, encoding="utf-8")
    for text in _orders():
        file = tmp_path / "order.toml"
        file.write_bytes(text)
        order = read_order(file)
        assert order.garments or order.pieces


@pytest.mark.parametrize("seeds", seeds(50, 1000))
def test_every_damaged_order_is_read_or_refused_in_words(seeds: range, tmp_path: Path) -> None:
    (tmp_path / "flap.svg").write_text(DRAWING, encoding="utf-8")
    orders = _orders()
    for seed in seeds:
        rng = random.Random(seed)
        data = orders[seed % len(orders)]
        for _ in range(rng.randint(1, 2)):
            data = rng.choice(MISHAPS)(data, rng) if data else data
        file = tmp_path / "order.toml"
        file.write_bytes(data)
        said = _told_of(file)
        assert all(text.strip() and text.isprintable() for text in said), f"seed {seed}: {said}"


def _told_of(file: Path) -> list[str]:
    """What is said of an order: its findings, or the faults that it is refused for."""
    try:
        draft = draft_order(read_order(file))
    except Faults as refused:
        return [str(fault) for fault in refused.faults] or [""]
    return [found.message for found in draft.findings]
