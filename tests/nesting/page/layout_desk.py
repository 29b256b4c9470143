"""Layouts for the page's tests, and hands to move their pieces with."""

from __future__ import annotations

import json
import math
import time
import urllib.request
from collections.abc import Callable
from io import BytesIO
from typing import Any

from playwright.sync_api import Locator, Page
from pypdf import PdfReader

Opener = Callable[..., Page]

ORDER = """
name = "two frocks"
units = "cm"

[fabric.lawn]
width = 100
lays = ["open"]
price = 10
currency = "EUR"
per = "m"
sold_by = "10 cm"

[fabric.velvet]
width = 110
selvedge = 1
nap = "one-way"
lays = ["lengthwise-fold"]

[[piece]]
name = "square"
fabric = "lawn"
outline = [[0, 0], [40, 0], [40, 40], [0, 40]]
cut = 3

[[piece]]
name = "gusset"
fabric = "lawn"
outline = [[0, 0], [30, 0], [10, 18]]
cut = 2

[[piece]]
name = "front"
fabric = "velvet"
outline = [[0, 0], [50, 0], [40, 25], [0, 30]]
on_fold = [[0, 0], [50, 0]]

[[piece]]
name = "sleeve"
fabric = "velvet"
outline = [[0, 0], [30, 0], [20, 18], [0, 16]]
pair = true
"""


MANY = """
name = "many"
units = "cm"
[fabric.lawn]
width = 150
lays = ["open"]
[[piece]]
name = "petal"
fabric = "lawn"
outline = [{points}]
cut = {count}
"""


def petals(count: int) -> str:
    """An order of pieces with five rounded petals each, of which none lie quite snugly."""
    around = [2 * math.pi * n / 40 for n in range(40)]
    points = [(9 + 1.5 * math.cos(5 * a)) for a in around]
    outline = ", ".join(
        f"[{r * math.cos(a):.3f}, {r * math.sin(a):.3f}]"
        for r, a in zip(points, around, strict=True)
    )
    return MANY.format(points=outline, count=count)


def asked(address: str, path: str, body: dict[str, Any] | None = None) -> Any:
    data = None if body is None else json.dumps(body).encode()
    headers = {"Content-Type": "application/json", "Origin": address}
    with urllib.request.urlopen(urllib.request.Request(address + path, data, headers)) as answer:
        return json.load(answer)


def planned(address: str, order: str, limits: dict[str, int] | None = None) -> str:
    """The key of a job that is done; limits of rounds hold for all that it is asked later."""
    limits = limits or {"seconds": 60, "rounds": 2}
    key: str = asked(address, "/api/jobs", {"order": order, "drawings": {}, **limits})["key"]
    return waited(address, key)


def waited(address: str, key: str) -> str:
    until = time.monotonic() + 240
    while time.monotonic() < until:
        state = asked(address, f"/api/jobs/{key}")
        if state["state"] in ("done", "failed"):
            assert state["state"] == "done", state
            return key
        time.sleep(0.2)
    raise AssertionError("the plan was not made in time")


def printed(page: Page) -> list[str]:
    """The words on each page of A4 that the browser prints."""
    return [one.extract_text() for one in PdfReader(BytesIO(page.pdf(format="A4"))).pages]


def checked(page: Page) -> None:
    page.locator(".board .part").first.wait_for()
    page.locator(".verdict[data-good=yes]").wait_for()
    page.locator(".desk-figures strong").wait_for()


def part(page: Page, piece: str, copy: int = 1) -> Locator:
    # Written as json.dumps would, without spaces.
    return page.locator(f'.part[data-key=\'["","{piece}",{copy}]\']')


def middle(found: Locator) -> tuple[float, float]:
    box = found.locator(".piece").bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def farthest(desk: Page, name: str, count: int) -> Locator:
    """Of so many pieces of a name the one that lies farthest from the cut end."""
    return max((part(desk, name, n + 1) for n in range(count)), key=lambda one: place(one)[0])


def place(found: Locator) -> tuple[float, float]:
    """Where a part lies on the cloth, in mm."""
    text = found.get_attribute("transform") or ""
    x, y = text.removeprefix("translate(").removesuffix(")").split()
    return float(x), float(y)


def drag(page: Page, found: Locator, dx: float, dy: float) -> None:
    page.locator(".board").scroll_into_view_if_needed()
    x, y = middle(found)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + dx / 2, y + dy / 2, steps=4)
    page.mouse.move(x + dx, y + dy, steps=4)
    page.wait_for_timeout(100)


def verdict(page: Page) -> str:
    return page.locator(".verdict").inner_text()


def settle(page: Page) -> None:
    """Until the server has looked at what was dropped."""
    page.wait_for_timeout(150)
    page.locator(".verdict[data-good]").filter(has_text="can").wait_for()
