"""Scripts and styles are fetched once, and anew from a newer program (RFC 9111, RFC 8246)."""

from __future__ import annotations

import re
from importlib import resources
from pathlib import Path

import pytest

from nesting.page.server import statics
from tests.nesting.page.test_guard import ask


@pytest.mark.long
def test_a_browser_keeps_them_and_asks_for_pages_and_answers_anew(address: str) -> None:
    _, page, headers = ask(address, "GET", "/", {})
    assert headers["Cache-Control"] == "no-store"
    scripts = re.findall(rb'"(/static/[^"]+)"', page)
    assert scripts
    for script in scripts:
        status, _, headers = ask(address, "GET", script.decode(), {})
        assert (status, headers["Cache-Control"]) == (200, "max-age=31536000, immutable")
    status, _, headers = ask(address, "GET", "/static/0/shelf.js", {})
    assert (status, headers["Cache-Control"]) == (404, "no-store")


def test_other_scripts_have_another_address(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    addresses = set()
    for text in ("a", "b", "a"):
        (tmp_path / "shelf.js").write_text(text)
        monkeypatch.setattr(resources, "files", lambda _: tmp_path)
        addresses.add(statics.statics())
    assert len(addresses) == 2
