"""A page that is served, and a browser to look at it.

Without the system's Chromium these tests skip on a developer's machine; where CI is set they fail.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
from collections import defaultdict
from collections.abc import Callable, Iterator
from importlib import resources
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page, sync_playwright

from nesting.page.server.serve import HOST
from tests.nesting.page.gallery import SIZES, Gallery
from tests.nesting.page.house import free_port, launched, reached

_FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def lacking(what: str) -> None:
    if os.environ.get("CI"):
        pytest.fail(f"{what} is not there, and CI asks for it")
    pytest.skip(f"{what} is not there")


@pytest.fixture(scope="session")
def example() -> str:
    return resources.files("pieces.examples").joinpath("choir.toml").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def served() -> Iterator[subprocess.Popen[str]]:
    """The page's program, as it is started from the command line; `served.args[-1]` is its port."""
    port = free_port()
    with launched(port) as program:
        reached(f"http://{HOST}:{port}/")
        yield program
        program.send_signal(signal.SIGINT)
        assert program.wait(20) == 0


@pytest.fixture(scope="session")
def address(served: subprocess.Popen[str]) -> str:
    return f"http://{HOST}:{list(served.args)[-1]}"  # type: ignore[arg-type]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    path = shutil.which("chromium")
    if path is None:
        lacking("Chromium")
    with sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=path, args=list(_FLAGS))
        yield found
        found.close()


Opener = Callable[..., Page]


class Tabs:
    """Tabs of the browser that are used again, as a new one takes it a second to begin.

    `told` is what the tabs in use have told of errors, and of what was asked of other places.
    """

    def __init__(self, browser: Browser, address: str) -> None:
        self._browser, self._address = browser, address
        self._idle: dict[frozenset[tuple[str, Any]], list[Page]] = defaultdict(list)
        self._in_use: list[tuple[frozenset[tuple[str, Any]], Page]] = []
        self.told: list[str] = []

    def take(self, fresh: bool, **how: Any) -> Page:
        """A tab in which nothing is kept; a `fresh` one is not used again."""
        key = frozenset({*how.items(), *([("fresh", True)] if fresh else [])})
        page = self._idle[key].pop() if self._idle[key] else self._new(**how)
        self._in_use.append((key, page))
        return page

    def _new(self, **how: Any) -> Page:
        page = self._browser.new_context(**how).new_page()
        page.set_default_timeout(180_000)  # a first compile takes long
        page.on("request", lambda request: _note(self.told, request.url, self._address))
        page.on("pageerror", lambda error: self.told.append(f"error: {error}"))
        page.on("console", self._hear)
        return page

    def _hear(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            self.told.append(f"{message.type}: {message.text}")

    def give_back(self) -> None:
        """Clear the tabs in use for the next test."""
        for key, page in self._in_use:
            if page.is_closed():
                continue
            if ("fresh", True) in key:
                page.context.close()
                continue
            for other in page.context.pages:
                if other is not page:
                    other.close()
            page.unroute_all()
            page.emulate_media(media="null")
            page.goto(f"{self._address}/nothing")  # a place that keeps nothing itself
            page.evaluate("() => { localStorage.clear(); sessionStorage.clear(); }")
            page.goto("about:blank")
            page.context.clear_cookies()
            self._idle[key].append(page)
        self._in_use.clear()
        self.told.clear()


@pytest.fixture(scope="session")
def tabs(browser: Browser, address: str) -> Tabs:
    return Tabs(browser, address)


@pytest.fixture
def opened(tabs: Tabs, address: str) -> Iterator[Opener]:
    """Opens a page of the address; at the end nothing may have left it, and no error been told."""

    def open_page(
        path: str = "/", width: int = 1280, height: int = 900, *, fresh: bool = False, **how: Any
    ) -> Page:
        page = tabs.take(fresh, **how)
        page.set_viewport_size({"width": width, "height": height})
        page.goto(address + path)
        return page

    yield open_page
    told = list(tabs.told)
    tabs.give_back()
    assert not told


def _note(told: list[str], url: str, address: str) -> None:
    if not url.startswith((f"{address}/", "data:", f"blob:{address}/")):
        told.append(f"left the page: {url}")


@pytest.fixture(scope="session")
def axe() -> str:
    """The text of axe-core, whose place AXE_CORE tells."""
    place = os.environ.get("AXE_CORE", "")
    if not Path(place).is_file():
        lacking("axe-core (AXE_CORE)")
    return Path(place).read_text(encoding="utf-8")


@pytest.fixture
def violations(axe: str) -> Callable[[Page], list[str]]:
    """Finds violations of WCAG 2.2 A and AA, and of what axe-core calls good practice."""

    def find(page: Page) -> list[str]:
        page.evaluate(axe)
        found = page.evaluate(
            """() => axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa",
                "best-practice"] }).then(({ violations }) => violations
                .flatMap(({ id, nodes }) => nodes.map(({ html }) => `${id}: ${html}`)))"""
        )
        return list(found)

    return find


@pytest.fixture(
    params=[(*size, scheme) for size in SIZES for scheme in ("light", "dark")],
    ids=lambda one: f"{one[0]}-{one[2]}",
)
def gallery(
    request: pytest.FixtureRequest, tmp_path: Path, violations: Callable[[Page], list[str]]
) -> Gallery:
    folder = Path(os.environ.get("GALLERY", tmp_path))
    folder.mkdir(parents=True, exist_ok=True)
    return Gallery(folder, *request.param, violations)
