"""Damaged PDF: read or refused in words, in little time, and never a crash."""

from __future__ import annotations

import random
import re
import time
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest

import tests.pieces.pdf.pdf_pages as p
from pieces.errors import OrderFault
from pieces.ready import read_pieces
from tests.examples import seeds

WITHIN_S = 2.0
SAMPLES = Path(__file__).parent / "samples"
NUMBERS = (
    b"1e999", b"-1", b"0", b"99999999999", b"2147483648", b"-2147483649", b"1e-320", b"nan", b"",
    b"65536", b"0.0000001", b"--5",
)  # fmt: skip
WORDS = (
    b"obj", b"endobj", b"stream", b"endstream", b"/Type", b"/Kids", b"/Length", b"/Page", b" R",
    b"xref", b"trailer", b" re", b" c\n", b" l\n", b"/OC", b"BDC", b"EMC", b" cm", b" Do",
)  # fmt: skip
DRAWN = (
    p.on_layer(0, p.path([(15, 20), (150, 20), (150, 200), (40, 180)]))
    + p.on_layer(1, p.box(30, 40, 30, 30))
    + p.styled(p.box(60, 220, 50, 50), "1 0 0", "[3 2] 0")
    + "q 0.5 0.1 -0.1 0.5 3 4 cm\n/X1 Do\nQ\n"
    + p.text("front, cut 2 on fold", 50, 90)
    + p.text("test square 5 cm", 62, 240)
)
FORMS = {"X1": p.path([(100, 20), (180, 20), (150, 90)])}
HAND = p.pdf(
    *[
        p.Sheet(DRAWN, layers=("size 2", "size 4"), forms=FORMS, more=more)
        for more in ("/Rotate 90", "/UserUnit 2", "")
    ]
)


def whole(number: int) -> bytes:
    names = ["reportlab", "cairo", "inkscape", "libreoffice", "object-streams"]
    data = (SAMPLES / f"{names[number % 5]}.pdf").read_bytes() if number % 2 else HAND
    return unpacked(data) if number % 4 == 1 else data


def unpacked(data: bytes) -> bytes:
    """The streams unpacked where they lie, so that damage meets what is drawn; lengths are left."""

    def opened(found: re.Match[bytes]) -> bytes:
        try:
            return found[1] + zlib.decompress(found[2]) + found[3]
        except zlib.error:
            return found[0]

    plain = re.sub(rb"(stream\r?\n)(.*?)(\r?\nendstream)", opened, data, flags=re.DOTALL)
    return plain.replace(b"/FlateDecode", b"")


def flip(data: bytes, rng: random.Random) -> bytes:
    changed = bytearray(data)
    for _ in range(rng.randint(1, 30)):
        if changed:
            changed[rng.randrange(len(changed))] ^= 1 << rng.randrange(8)
    return bytes(changed)


def cut_short(data: bytes, rng: random.Random) -> bytes:
    return data[: rng.randrange(len(data) + 1)]


def drop_or_repeat(data: bytes, rng: random.Random) -> bytes:
    start = rng.randrange(len(data) + 1)
    end = min(len(data), start + rng.randint(1, 600))
    return data[:start] + data[start:end] * rng.choice((0, 2, 30)) + data[end:]


def numbers(data: bytes, rng: random.Random) -> bytes:
    places = list(re.finditer(rb"-?[0-9]+\.?[0-9]*", data))
    chosen = rng.sample(places, min(len(places), rng.randint(1, 10)))
    for place in sorted(chosen, key=lambda found: -found.start()):
        data = data[: place.start()] + rng.choice(NUMBERS) + data[place.end() :]
    return data


def words(data: bytes, rng: random.Random) -> bytes:
    return data.replace(rng.choice(WORDS), rng.choice(WORDS), rng.choice((1, 3, -1)))


MISHAPS = (flip, cut_short, drop_or_repeat, numbers, numbers, numbers, words)


def told_of(file: Path) -> list[str]:
    try:
        draft = read_pieces(file)
    except OrderFault as refused:
        told = [(fault.message, fault.remedy) for fault in refused.faults]
        assert all(message and remedy for message, remedy in told)
        return [text for texts in told for text in texts]
    return [finding.message for finding in draft.findings] + [one.name for one in draft.pieces]


@pytest.mark.parametrize("seeds", seeds(60, 940))
def test_every_damaged_file_is_read_or_refused_in_words(seeds: range, tmp_path: Path) -> None:
    file = tmp_path / "a.pdf"
    file.write_bytes(HAND)
    told_of(file)  # the library loads once
    for seed in seeds:
        rng = random.Random(seed)
        data = whole(seed)
        for _ in range(rng.randint(1, 2)):
            data = rng.choice(MISHAPS)(data, rng)
        file.write_bytes(data)
        began = time.process_time()
        said = told_of(file)
        assert time.process_time() - began < WITHIN_S, f"seed {seed}"
        assert all(message.isprintable() for message in said), f"seed {seed}"


def fan() -> str:
    return "".join(f"0 0 m {i / 40} 250 l S\n" for i in range(8000))


def scribble() -> str:
    rng = random.Random(1)
    ends = (" ".join(f"{rng.uniform(0, 4):.3f}" for _ in range(2)) for _ in range(16_000))
    return "".join(f"{a} m {b} l S\n" for a, b in zip(ends, ends, strict=True))


def curves() -> str:
    rng = random.Random(1)
    six = (" ".join(str(round(rng.uniform(-9e5, 9e5))) for _ in range(6)) for _ in range(3000))
    return "0 0 m " + " c ".join(six) + " c s\n"


def boxes() -> str:
    return "".join(p.box(i * 0.01, i * 0.01, 150, 150) for i in range(600))


def deep() -> str:
    return "q 0.9 0 0 0.9 1 1 cm\n/X1 Do\n" * 300


@pytest.mark.long
@pytest.mark.parametrize("made", [fan, scribble, curves, boxes, deep])
def test_files_made_to_keep_us_busy_do_not(made: Callable[[], str], tmp_path: Path) -> None:
    file = tmp_path / "a.pdf"
    forms = {"X1": "/X1 Do\n" + p.box(1, 1, 90, 90) * 50}
    file.write_bytes(p.pdf(p.Sheet(made(), forms=forms), p.Sheet("/X1 Do\n", forms=forms)))
    began = time.process_time()
    told_of(file)
    assert time.process_time() - began < 5.0


@pytest.mark.long
def test_sixty_sheets_in_five_seconds(tmp_path: Path) -> None:
    """Ten columns and six rows of a drawing that is on all of them."""
    rng = random.Random(3)
    shapes = []
    for index in range(40):
        x, y = 20 + index % 8 * 230, 20 + index // 8 * 300
        there = [(a, 0) for a in range(0, 200, 5)] + [(200 - a, 260) for a in range(0, 200, 5)]
        ring = [(x + a, y + b + rng.uniform(0, 8)) for a, b in there]
        shapes.append(p.path(ring) + p.text(f"piece {index + 1}", x + 60, y + 100, 8))
    sheets = []
    for row in reversed(range(6)):
        for column in range(10):
            dx, dy = 10 - column * 190, 15 - row * 267
            window = "10 15 190 267 re W n\n"
            drawn = f"q {window}1 0 0 1 {dx} {dy} cm\n{''.join(shapes)}Q\n"
            sheets.append(p.Sheet(drawn + p.box(10, 15, 190, 267)))
    file = tmp_path / "a.pdf"
    file.write_bytes(p.pdf(*sheets))
    began = time.process_time()
    draft = read_pieces(file)
    assert time.process_time() - began < 5.0
    assert len(draft.pieces) == 40
