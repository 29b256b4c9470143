"""A page that is served, and a browser to look at it.

Without the system's Chromium these tests skip on a developer's machine; where CI is set they fail.
"""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from importlib import resources
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from nesting.page.server.serve import HOST

_FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
_LAUNCH = "from nesting.cli import main; main()"


def lacking(what: str) -> None:
    if os.environ.get("CI"):
        pytest.fail(f"{what} is not there, and CI asks for it")
    pytest.skip(f"{what} is not there")


def free_port() -> int:
    with socket.socket() as one:
        one.bind((HOST, 0))
        return int(one.getsockname()[1])


@pytest.fixture(scope="session")
def example() -> str:
    return resources.files("pieces.examples").joinpath("choir.toml").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def served() -> Iterator[subprocess.Popen[str]]:
    """The page's program, as it is started from the command line; `served.args[-1]` is its port."""
    port = free_port()
    command = [sys.executable, "-c", _LAUNCH, "page", "--no-browser", "--port", str(port)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as program:
        until = time.monotonic() + 60
        while time.monotonic() < until:
            try:
                urllib.request.urlopen(f"http://{HOST}:{port}/", timeout=5).close()
                break
            except OSError:
                time.sleep(0.1)
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


@pytest.fixture
def opened(browser: Browser, address: str) -> Iterator[Opener]:
    """Opens a page of the address; at the end nothing may have left it, and no error been told."""
    pages: list[Page] = []
    told: list[str] = []

    def open_page(path: str = "/", width: int = 1280, height: int = 900, **how: Any) -> Page:
        page = browser.new_context(viewport={"width": width, "height": height}, **how).new_page()
        page.set_default_timeout(180_000)  # a first compile takes long
        page.on("request", lambda request: _note(told, request.url, address))
        page.on("pageerror", lambda error: told.append(f"error: {error}"))
        page.on(
            "console",
            lambda message: (
                told.append(f"{message.type}: {message.text}")
                if message.type in ("error", "warning")
                else None
            ),
        )
        pages.append(page)
        page.goto(address + path)
        return page

    yield open_page
    for page in pages:
        page.context.close()
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
