"""Damaged drawings: a finding or a clear fault for each, in under a second, and never a crash."""

from __future__ import annotations

import random
import re
import time
from collections.abc import Callable
from pathlib import Path

import pytest

import tests.pieces.importers.drawings as d
from pieces.errors import OrderFault
from pieces.ready import read_pieces
from tests.examples import seeds, some

WITHIN_S = 1.0
NUMBERS = (
    b"1e999", b"-1e308", b"nan", b"inf", b"1e15", b"99999999", b"0", b"-0", b"1e-320", b"", b"-1",
    b"\xff", b"0x10", b"1,5", b"2147483648",
)  # fmt: skip
WORDS = (
    b"POLYLINE", b"VERTEX", b"SEQEND", b"INSERT", b"BLOCK", b"ENDBLK", b"SPLINE", b"ARC", b"ENDSEC",
    b"SECTION", b"EOF", b"ELLIPSE", b"LWPOLYLINE", b"POINT", b"DICTIONARY", b"VIEWPORT",
)  # fmt: skip

CURVE = tuple(
    tag
    for x, y in ((600, 0), (650, 80), (700, 80), (750, 0))
    for tag in ((10, x), (20, y), (30, 0))
)
SPLINE = d.tags(
    (0, "SPLINE"), (100, "AcDbEntity"), (8, "0"), (100, "AcDbSpline"), (70, 8), (71, 3), (72, 8),
    (73, 4), *((40, knot) for knot in (0, 0, 0, 0, 1, 1, 1, 1)), *CURVE,
)  # fmt: skip
ELLIPSE = d.tags(
    (0, "ELLIPSE"), (100, "AcDbEntity"), (8, "0"), (100, "AcDbEllipse"), (10, 900), (20, 0),
    (30, 0), (11, 80), (21, 20), (31, 0), (40, 0.5), (41, 0), (42, 6.283185307179586),
)  # fmt: skip
PLAIN = d.dxf(
    d.polyline([(0, 0), (100, 0, 0.4), (100, 100), (0, 100)])
    + d.lwpolyline([(200, 0), (300, 0, -0.4), (300, 100), (200, 100)])
    + d.line((400, 0), (500, 0)) + d.arc((450, 0), 50, 0, 180)
    + d.circle((1200, 0), 60) + SPLINE + d.line((600, 0), (750, 0)) + ELLIPSE
    + d.insert("pocket", (41, -1), (42, 2), (50, 30), (70, 2), (71, 2), (44, 300), (45, 300))
    + d.text("sleeve", "0", (250, 50)) + d.line((20, 50), (80, 50), "GRAIN"),
    {"pocket": d.polyline(d.SQUARE) + d.insert("flap"), "flap": d.polyline(d.SQUARE)},
    units=4,
)  # fmt: skip
INTERCHANGE = d.interchange(
    d.piece_block(
        d.line((0, 0), (200, 0), "6"),
        d.line((50, 50), (150, 50), "7"),
        d.point((100, 100), "4", (30, 5), (39, 0), (50, 270)),
        d.polyline(((20, 20), (60, 60)), "8"),
        d.polyline(((20, 20), (40, 20), (40, 40)), "11"),
        d.point((50, 50), "13"),
        d.polyline(((0, 10), (190, 10), (190, 90), (0, 90)), "14"),
        d.text("Quantity: 2,2"),
        d.text("Material: satin"),
        d.text("Size: 4"),
        d.text("Grain rule: any", "15"),
    ),
    d.piece_block(d.text("Quantity: 1,2")),
)
DRAWING = d.svg(
    '<g id="front" transform="translate(10 20) rotate(30 5 5)"><g transform="scale(1.5 -1)">'
    '<path id="a" d="M10 10h50v40q-10 20-30 10t-20-10zM5,5 C 1 2 3 4 5 6 S 20 30 40 50 Z"/></g>'
    '<rect x="10" y="10" width="20mm" height="10" rx="3"/></g><circle cx="90" cy="90" r="30"/>'
    '<ellipse cx="10" cy="10" rx="20" ry="30" transform="skewX(10) matrix(1 0 0 1 3 4)"/>'
    '<polygon points="1,1 50,1 50,60"/><polyline points="100 100 150 100 150 150 100 100"/>'
    '<path d="M200 50a40 40 0 1180 0A40 40 20 0 1200 50z" style="fill:none;display:inline"/>'
    '<g class="grain"><path d="M12 12v30l-2-4"/></g>'
    '<use href="#a" x="10"/><line x1="0" y1="0" x2="10" y2="10"/>'
    '<svg x="3" width="100" height="100" viewBox="0 0 10 10"><rect width="5" height="5"/></svg>'
)


def _damaged(data: bytes, rng: random.Random) -> bytes:
    """One or two mishaps, such as happen to files or are made by someone of ill will."""
    for _ in range(rng.randint(1, 2)):
        data = rng.choice(MISHAPS)(data, rng)
    return data


def _flip(data: bytes, rng: random.Random) -> bytes:
    changed = bytearray(data)
    for _ in range(rng.randint(1, 12)):
        if changed:
            changed[rng.randrange(len(changed))] ^= 1 << rng.randrange(8)
    return bytes(changed)


def _cut_short(data: bytes, rng: random.Random) -> bytes:
    return data[: rng.randrange(len(data) + 1)]


def _swap_lines(data: bytes, rng: random.Random) -> bytes:
    lines = data.split(b"\n")
    for _ in range(rng.randint(1, 6)):
        i, j = rng.randrange(len(lines)), rng.randrange(len(lines))
        lines[i], lines[j] = lines[j], lines[i]
    return b"\n".join(lines)


def _drop_or_repeat(data: bytes, rng: random.Random) -> bytes:
    start = rng.randrange(len(data) + 1)
    end = min(len(data), start + rng.randint(1, 400))
    return data[:start] + (data[start:end] * rng.choice((0, 2, 20))) + data[end:]


def _numbers(data: bytes, rng: random.Random) -> bytes:
    """Put strange numbers for some of those there are."""
    places = list(re.finditer(rb"-?[0-9]+\.?[0-9]*", data))
    for place in sorted(
        rng.sample(places, min(len(places), rng.randint(1, 8))), key=lambda m: -m.start()
    ):
        data = data[: place.start()] + rng.choice(NUMBERS) + data[place.end() :]
    return data


def _words(data: bytes, rng: random.Random) -> bytes:
    old, new = rng.choice(WORDS), rng.choice(WORDS)
    return data.replace(b"\n" + old + b"\n", b"\n" + new + b"\n", rng.choice((1, -1)))


def _nest(data: bytes, rng: random.Random) -> bytes:
    """Transforms in transforms, of which some leave nothing, and blocks in themselves."""
    depth = rng.choice((3, 50, 300))
    way = rng.choice(
        (b"scale(0)", b"scale(1e200)", b"rotate(7)", b"skewX(90)", b"matrix(0 0 0 0 0 0)")
    )
    data = data.replace(b"<g ", b'<g transform="%s">' % way * depth + b"<g ", 1)
    return data.replace(b"\n2\nflap\n", b"\n2\npocket\n")


MISHAPS = (_flip, _cut_short, _swap_lines, _drop_or_repeat, *[_numbers] * 4, _words, _nest)


@pytest.mark.parametrize("seeds", seeds(60, 2000))
def test_every_damaged_file_is_read_or_refused_in_words(seeds: range, tmp_path: Path) -> None:
    read_pieces(_written(tmp_path / "warm.dxf", PLAIN.encode()))  # the library loads once
    for seed in seeds:
        rng = random.Random(seed)
        name, drawing = (("a.dxf", PLAIN), ("b.dxf", INTERCHANGE), ("c.svg", DRAWING))[seed % 3]
        file = _written(tmp_path / name, _damaged(drawing.encode(), rng))
        began = time.process_time()  # which other work on the machine does not lengthen
        said = _told_of(file)
        assert time.process_time() - began < WITHIN_S, f"seed {seed}"
        assert all(message.isprintable() for message in said), f"seed {seed}"


def _told_of(file: Path) -> list[str]:
    """What is said of a file: its findings and names of pieces, or the faults it is refused for."""
    try:
        draft = read_pieces(file)
    except OrderFault as refused:
        told = [(fault.message, fault.remedy, fault.key) for fault in refused.faults]
        assert told
        assert all(message and remedy for message, remedy, _ in told)
        return [text for texts in told for text in texts]
    assert draft.pieces
    return [finding.message for finding in draft.findings] + [one.name for one in draft.pieces]


def _wiggle(rng: random.Random) -> str:
    return d.dxf(d.polyline([(rng.uniform(0, 900), rng.uniform(0, 900)) for _ in range(4000)]))


def _fan(rng: random.Random) -> str:
    return d.svg('<path d="' + "".join(f"M0 0L{i} 100" for i in range(9000)) + '"/>')


def _scribble(rng: random.Random) -> str:
    ends = (" ".join(f"{rng.uniform(0, 3):.3f}" for _ in range(4)) for _ in range(2000))
    return d.svg("".join(f'<path d="M{four}"/>' for four in ends))


def _too_many_strokes(rng: random.Random) -> str:
    return d.svg('<path d="' + "M0 0L9 9" * 20_000 + '"/>')


def _nested_blocks(rng: random.Random) -> str:
    inner = {name: d.insert(after, (70, 10), (71, 20)) for name, after in ("ab", "bc", "cd")}
    return d.dxf(d.insert("a", (70, 10), (71, 20)), {**inner, "d": ""}, units=4)


def _wild_curves(rng: random.Random) -> str:
    curve = "C{} 0 0 {} {} 1"
    far = (curve.format(*(rng.uniform(-9e5, 9e5) for _ in range(3))) for _ in range(5000))
    return d.svg('<path d="M0 0' + "".join(far) + '"/>')


@pytest.mark.parametrize(
    "made", some([_wiggle, _fan, _scribble, _too_many_strokes, _nested_blocks, _wild_curves])
)
def test_drawings_made_to_keep_us_busy_do_not(
    made: Callable[[random.Random], str], tmp_path: Path
) -> None:
    read_pieces(_written(tmp_path / "warm.dxf", PLAIN.encode()))
    drawing = made(random.Random(1))
    file = _written(tmp_path / f"a.{'svg' if 'svg' in drawing[:40] else 'dxf'}", drawing.encode())
    began = time.process_time()
    _told_of(file)
    assert time.process_time() - began < 3.0


def test_many_findings_of_a_kind_are_summed_up(tmp_path: Path) -> None:
    open_lines = "".join(f'<path d="M{300 + i} 0V50H{310 + i}V1"/>' for i in range(0, 90, 30))
    more = "".join(f'<g><path d="M{i} 200V250"/></g>' for i in range(0, 90, 30))
    draft = d.read(tmp_path, "a.svg", d.svg('<rect width="50" height="50"/>' + open_lines + more))
    told = [found.message for found in draft.findings if found.code == "open-outline"]
    assert len(told) == 6
    assert told[-1] == "a.svg: and 1 more of the kind."


def test_the_files_are_whole_before_they_are_damaged(tmp_path: Path) -> None:
    for name, drawing, count in (
        ("a.dxf", PLAIN, 9),
        ("b.dxf", INTERCHANGE, 3),
        ("c.svg", DRAWING, 6),
    ):
        draft = read_pieces(_written(tmp_path / name, drawing.encode()))
        assert len(draft.pieces) >= count, [piece.name for piece in draft.pieces]
        assert "line-unreadable" not in d.codes(draft)


def _written(file: Path, data: bytes) -> Path:
    file.write_bytes(data)
    return file
