"""A newcomer's path in Firefox: from the empty shelf to drawings, by mouse and keyboard."""

from __future__ import annotations

import shutil
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.nesting.page.firefox import Firefox

TAB = "\ue004"


@pytest.fixture
def firefox(tmp_path: Path) -> Iterator[Firefox]:
    program = shutil.which("firefox-esr") or shutil.which("firefox")
    if program is None:
        pytest.skip("Firefox is not installed; in Debian it is the package firefox-esr")
    found = Firefox(program, tmp_path)
    yield found
    found.end()


@pytest.mark.long
def test_a_newcomer_comes_to_drawings(firefox: Firefox, address: str) -> None:
    firefox.go(address)
    firefox.click("button", "A new order")
    firefox.click("button", "Add a cloth")
    firefox.click("button", "Add a piece by its corners")
    firefox.until("/1 piece to cut/.test(document.querySelector('#status').textContent)")
    firefox.click(".whole input")
    firefox.keys("napkins" + TAB)
    firefox.until("/Kept today/.test(document.querySelector('#kept').textContent)")
    firefox.value("document.querySelector('#seconds').value = '10'")
    firefox.click("#plan")
    firefox.click("button", "Stop here: good enough")
    firefox.until("document.querySelectorAll('#lays .lay').length > 0")
    firefox.until("document.querySelectorAll('.board .part').length === 1")
    zipped = firefox.until("document.querySelector('a[href$=\"all.zip\"]')?.href")
    with urllib.request.urlopen(zipped) as answer:
        assert answer.read(2) == b"PK"
    firefox.click("a", "Cut step by step")
    firefox.until("document.querySelector('.stage-words')?.textContent.length > 0")
    firefox.click("a.brand")
    firefox.until("document.querySelectorAll('.order-card svg.marker .piece').length > 0")
    assert firefox.errors == []
