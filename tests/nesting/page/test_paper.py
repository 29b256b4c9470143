"""Photographs and patterns in PDF, as the page's worker takes them: content in, pictures out."""

from __future__ import annotations

import base64
from multiprocessing import Pipe
from pathlib import Path

import pytest

import tests.pieces.pdf.pdf_pages as p
import tests.pieces.trace.photographs as ph
from nesting.page.server.names import PAPER
from nesting.page.tasks.channel import TaskChannel
from nesting.page.tasks.made.paper import sheet, sizes, trace_photos
from nesting.page.tasks.reading import look
from nesting.page.tasks.tasks import TASKS
from pieces.errors import OrderFault

pytestmark = pytest.mark.long

OUTLINE = [(270, 60), (470, 60), (480, 360), (420, 340), (320, 340), (260, 360)]
SCENE = ph.Scene(OUTLINE, (720, 440), ((30, 60, 2), (510, 70, -3)), (1600, 990))
CHANNEL = TaskChannel(Pipe()[0])


def packed(data: bytes) -> str:
    return base64.b64encode(data).decode()


def unpacked(text: str) -> bytes:
    return base64.b64decode(text, validate=True)


@pytest.fixture(scope="module")
def photo(tmp_path_factory: pytest.TempPathFactory) -> str:
    return packed(ph.written(tmp_path_factory.mktemp("photo"), SCENE, "a.jpg").read_bytes())


def test_the_page_may_ask_for_what_there_is() -> None:
    assert TASKS.keys() >= PAPER


def test_a_photograph_becomes_a_drawing_and_a_picture(photo: str) -> None:
    found = trace_photos({"photos": {"skirt.jpg": photo}}, CHANNEL)
    assert found["name"] == "skirt.svg"
    assert unpacked(found["picture"]).startswith(b"\x89PNG")
    (line,) = found["told"]
    assert "its halves mirror each other" in line
    order = """
        units = "cm"
        [fabric.lawn]
        width = 150
        [[piece]]
        file = "skirt.svg"
        fabric = "lawn"
        marks = ["piece-1: seam side 2-3"]
    """
    seen = look({"order": order, "drawings": {"skirt.svg": found["drawing"]}}, CHANNEL)
    assert not seen["faults"]
    (drawn,) = (piece for one in seen["drawn"] for piece in one["pieces"])
    assert drawn["fold"]
    assert drawn["seams_mm"].keys() == {"side"}


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"photos": {}}, "0 photographs, and 1 to 8 are traced at once"),
        ({"photos": {"a.jpg": packed(b"none")}}, "a.jpg: This is no photograph"),
        ({"photos": {"a.jpg": "%%%"}}, "a.jpg did not arrive whole"),
    ],
)
def test_what_is_no_photograph_is_told_by_the_name_it_came_with(
    asked: dict[str, object], said: str
) -> None:
    with pytest.raises(OrderFault, match=said):
        trace_photos(asked, CHANNEL)


def test_the_sheets_are_given_to_print() -> None:
    assert unpacked(sheet({"paper": "a4"}, CHANNEL)["pdf"]).startswith(b"%PDF")


def test_the_sizes_of_a_pattern_come_as_pictures() -> None:
    nested = p.on_layer(0, p.box(20, 20, 100, 120)) + p.on_layer(1, p.box(20, 20, 113, 131))
    data = p.pdf(p.Sheet(nested, layers=("size 2", "size 4")))
    found = sizes({"name": "dress.pdf", "content": packed(data)}, CHANNEL)
    assert [(one["layer"], one["count"]) for one in found["sizes"]] == [
        ("size 2", 1),
        ("size 4", 1),
    ]
    assert found["box"] == [0, 0, 113, 131]
    assert found["sizes"][0]["path"] == "M0 131L100 131L100 11L0 11Z"
    with pytest.raises(OrderFault, match="no PDF"):
        sizes({"name": "dress.pdf", "content": packed(b"none")}, CHANNEL)


def test_nothing_is_left_on_the_disk(photo: str, tmp_path: Path) -> None:
    import tempfile

    before = tempfile.tempdir
    tempfile.tempdir = str(tmp_path)
    try:
        trace_photos({"photos": {"a.jpg": photo}}, CHANNEL)
    finally:
        tempfile.tempdir = before
    assert not list(tmp_path.iterdir())
