"""What the program and the browser hold after many plans: bounded, measured, told."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from nesting.page.server.jobs import MOST_KEPT
from nesting.page.shelf.book import MOST_PLANS
from tests.nesting.page.house import House
from tests.nesting.page.layout_desk import asked, waited
from tests.nesting.page.small_order import SMALL
from tests.nesting.page.test_page import children

PLANS = 30
_FULL = 15
"""After as many the oldest are forgotten."""
_GROWN_MB = 30
"""What the program may hold more after the last plans than when as many are kept as ever are."""


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    found = House(tmp_path / "orders")
    yield found
    found.end()


def resident_mb(process: int) -> float:
    """Linux: proc(5), VmRSS."""
    status = Path(f"/proc/{process}/status").read_text()
    (line,) = [one for one in status.splitlines() if one.startswith("VmRSS")]
    return int(line.split()[1]) / 1024


def all_mb(program: subprocess.Popen[str]) -> float:
    return sum(resident_mb(one) for one in (program.pid, *children(program.pid)))


@pytest.mark.long
def test_thirty_plans_take_no_more_than_a_dozen(house: House, browser: Browser) -> None:
    context = browser.new_context()
    page = context.new_page()
    entry = "memory"
    asked(
        house.address,
        f"/api/shelf/{entry}",
        {
            **{"name": "napkins", "order": SMALL, "drawings": {}, "about": [], "way": ""},
            **{"revision": "r1", "after": []},
        },
    )
    told = []
    for number in range(PLANS):
        body = {"order": SMALL, "drawings": {}, "seconds": 5, "rounds": 1, "entry": entry}
        key = waited(house.address, asked(house.address, "/api/jobs", body)["key"])
        if (number + 1) % 5 and number + 1 != PLANS:
            continue
        page.goto(f"{house.address}/plan/{key}")
        page.locator(".board .part").first.wait_for()
        if number + 1 in (_FULL, PLANS):
            told.append((resident_mb(house.program.pid), all_mb(house.program), heap_mb(page)))
    context.close()
    assert MOST_KEPT < _FULL
    size_mb = (house.data / "orders.shelf").stat().st_size / 2**20
    (server, everything, heap), (server_after, everything_after, heap_after) = told
    print(
        f"server {server:.0f} -> {server_after:.0f} MB, with its workers {everything:.0f} -> "
        f"{everything_after:.0f} MB, the page {heap:.1f} -> {heap_after:.1f} MB; "
        f"the shelf is {size_mb:.1f} MB"
    )
    assert server_after - server < _GROWN_MB
    assert everything_after - everything < 2 * _GROWN_MB
    assert heap_after - heap < 10
    (order,) = asked(house.address, "/api/shelf")["orders"]
    assert len(order["plans"]) == MOST_PLANS
    assert size_mb < 3 * MOST_PLANS


def heap_mb(page: Page) -> float:
    session = page.context.new_cdp_session(page)
    session.send("HeapProfiler.collectGarbage")
    used = session.send("Runtime.getHeapUsage")["usedSize"]
    session.detach()
    return float(used) / 2**20
