"""The cutting table: one step a screen by key, thumb and swipe; one file for a phone."""

from __future__ import annotations

import http.client
import re
import socket
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner
from playwright.sync_api import Browser, Page, expect

from nesting import Seconds, plan, read_order
from nesting.cli import main
from nesting.page.server.serve import HOST
from nesting.page.table import network
from nesting.page.table.bundle import script
from nesting.page.table.code import code
from nesting.page.table.share import shared_page
from tests.nesting.page.layout_desk import ORDER, Opener, checked, planned
from tests.nesting.page.small_order import SMALL
from tests.nesting.page.test_kept import ODD


@pytest.fixture(scope="module")
def job(address: str) -> str:
    return planned(address, ORDER)


def at_table(opened: Opener, job: str, **how: object) -> Page:
    page = opened(f"/plan/{job}/cut", **how)
    page.locator(".stage-words").wait_for()
    return page


def step_of(page: Page) -> str:
    return page.locator(".stage-count").inner_text().strip()


@pytest.mark.long
def test_one_step_fills_the_screen_and_marks_its_piece(opened: Opener, job: str) -> None:
    for width, height in ((360, 740), (768, 1024), (1280, 900)):
        page = at_table(opened, job, width=width, height=height)
        for control in (page.get_by_role("button", name="Back"), page.locator(".stage-go .main")):
            expect(control).to_be_in_viewport(ratio=1)
            box = control.bounding_box()
            assert box is not None
            assert box["height"] >= 60  # for a thumb that holds chalk
        expect(page.locator(".stage-words")).to_be_in_viewport(ratio=1)
    while page.locator(".stage .piece.now").count() == 0:
        page.keyboard.press("ArrowRight")
    expect(page.locator(".stage .piece.now")).to_have_count(1)
    number = page.locator(".stage-words strong").inner_text().strip(" .")
    expect(page.locator(".cut-step.next label strong").first).to_have_text(f"{number}. ")


def test_keys_go_on_and_back_and_ticks_are_kept(opened: Opener, job: str) -> None:
    page = at_table(opened, job)
    assert step_of(page).startswith("Step 1 of")
    page.keyboard.press("ArrowRight")
    page.keyboard.press(" ")
    assert step_of(page).startswith("Step 3 of")
    assert page.locator(".cut-cloth").first.get_by_role("checkbox", checked=True).count() == 2
    page.keyboard.press("ArrowLeft")
    expect(page.locator(".stage-words")).to_contain_text("✓ done")
    page.reload()
    page.locator(".stage-words").wait_for()
    assert step_of(page).startswith("Step 3 of")  # goes on where it was
    page.locator(".cut-cloth").first.get_by_role("checkbox").first.uncheck()
    expect(page.get_by_label("cloth", exact=True).locator("option").first).to_contain_text("1 of")
    page.get_by_role("button", name="Take all ticks off").click()
    assert page.get_by_role("checkbox", checked=True).count() == 0


@pytest.mark.long
def test_a_swipe_turns_the_page_and_ticks_nothing(opened: Opener, job: str) -> None:
    page = at_table(opened, job, width=390, height=844, has_touch=True)
    touch = page.context.new_cdp_session(page)

    def swipe(x0: int, x1: int) -> None:
        y = 420
        for kind, points in (
            ("touchStart", [{"x": x0, "y": y}]),
            ("touchMove", [{"x": (x0 + x1) // 2, "y": y}]),
            ("touchMove", [{"x": x1, "y": y}]),
            ("touchEnd", []),
        ):
            touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    swipe(320, 80)
    expect(page.locator(".stage-count")).to_contain_text("Step 2 of")
    swipe(80, 320)
    expect(page.locator(".stage-count")).to_contain_text("Step 1 of")
    assert page.get_by_role("checkbox", checked=True).count() == 0


@pytest.mark.long
def test_the_next_cloth_follows_the_last_step(opened: Opener, job: str) -> None:
    page = at_table(opened, job)
    chooser = page.get_by_label("cloth", exact=True)
    chooser.select_option(index=1)
    expect(page.locator(".stage")).to_contain_text("Step 1 of")
    chooser.select_option(index=0)
    for _ in range(40):
        if page.locator(".stage-words .stage-done").count():
            break
        page.keyboard.press("ArrowRight")
    expect(page.locator(".stage-words")).to_have_text("✓ All of lawn is done.")
    page.get_by_role("button", name="On to velvet").click()
    expect(page.locator(".stage-count")).to_contain_text("Step 1 of")
    assert chooser.input_value() == "1"


# ---- one file for a phone ----


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("shared")
    (folder / "order.toml").write_text(ORDER.replace("two frocks", "two <b>frocks</b> & </script>"))
    content = shared_page(plan(read_order(folder / "order.toml"), Seconds(0.5)))
    (folder / "cutting-table.html").write_bytes(content)
    return folder / "cutting-table.html"


@pytest.mark.long
def test_the_shared_file_works_from_a_drive(
    browser: Browser, shared: Path, violations: Callable[[Page], list[str]]
) -> None:
    page = browser.new_context(
        viewport={"width": 390, "height": 844}, bypass_csp=False, offline=True
    ).new_page()
    told: list[str] = []
    page.on("request", lambda request: told.append(request.url))
    page.on("pageerror", lambda error: told.append(str(error)))
    page.on("console", lambda message: told.append(message.text))
    page.goto(shared.as_uri())
    page.locator(".stage-words").wait_for()
    assert told == [shared.as_uri()]  # it asks for nothing but itself
    expect(page.locator(".top-tools")).to_contain_text("two <b>frocks</b> & </script>")
    page.keyboard.press("ArrowRight")
    page.reload()
    expect(page.locator(".stage-count")).to_contain_text("Step 2 of")
    page.get_by_text("Shopping list").click()
    expect(page.locator(".list")).to_contain_text("[ ] lawn: ask for")
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    page.context.close()
    assert shared.stat().st_size < 3_000_000


@pytest.mark.long
def test_what_is_shared_has_no_order_and_no_body_in_it(tmp_path: Path) -> None:
    order = tmp_path / "order.toml"
    order.write_text(ODD.replace("shoulder = 8", "shoulder = 8.37"))
    text = shared_page(plan(read_order(order), Seconds(0.3))).decode()
    assert "much for a chest of 55 cm" in text  # a doubt is there in words
    assert "8.37" not in text
    assert "back_waist" not in text
    assert str(tmp_path) not in text


@pytest.mark.long
def test_only_what_is_needed_is_bundled_and_after_what_it_needs() -> None:
    text = script("share")
    assert "import " not in re.sub(r"//.*", "", text)
    assert text.index('modules["dom"] =') < text.index('modules["stage"] =')
    assert 'modules["store"]' not in text


@pytest.mark.long
def test_a_command_writes_the_file_and_replaces_no_other(tmp_path: Path) -> None:
    order = tmp_path / "order.toml"
    order.write_text(SMALL)
    folder = tmp_path / "out"
    asked = ["page", "--share", str(order), "--out", str(folder)]
    made = CliRunner().invoke(main, asked)
    assert made.exit_code == 0, made.output
    assert b"cutting-table" not in (folder / "cutting-table.html").read_bytes()[:200]
    assert "send it to the phone" in made.output
    (folder / "cutting-table.html").write_text("mine")
    assert CliRunner().invoke(main, asked).exit_code == 2
    assert (folder / "cutting-table.html").read_text() == "mine"
    assert CliRunner().invoke(main, ["page", "--at-home"]).exit_code == 2


# ---- the home network ----

PAGE = b"<!doctype html><title>steps</title>"


@pytest.fixture(scope="module")
def home() -> tuple[int, str]:
    """Its port, and the path under which the page lies."""
    told: list[str] = []
    server = threading.Thread(
        target=network.serve_shared, args=(PAGE, told.append, HOST), daemon=True
    )
    server.start()
    until = time.monotonic() + 10
    while not told and time.monotonic() < until:
        time.sleep(0.01)
    found = re.fullmatch(rf"http://{re.escape(HOST)}:(\d+)(/[\w-]{{32}})", told[0])
    assert found is not None
    return int(found[1]), found[2]


def fetched(port: int, path: str, method: str = "GET", **headers: str) -> tuple[int, bytes]:
    caller = http.client.HTTPConnection(HOST, port, timeout=10)
    try:
        caller.request(method, path, headers=headers)
        answer = caller.getresponse()
        return answer.status, answer.read()
    finally:
        caller.close()


@pytest.mark.long
def test_the_address_gives_the_page_and_nothing_else_is_there(home: tuple[int, str]) -> None:
    port, path = home
    assert fetched(port, path) == (200, PAGE)
    assert fetched(port, path, "HEAD") == (200, b"")
    for other in (
        *("/", path[:-1], path + "/", path + "?", path.lower(), path.upper(), "/."),
        *(path + "/..", "/..%2f..%2fetc/passwd", "/static/order.js", "/api/example"),
        *("/favicon.ico", "*", "/%00", "/" + "a" * 5000, "http://elsewhere.example" + path),
    ):
        status, body = fetched(port, other)
        assert (status, body) == (404, b"There is nothing here."), other


@pytest.mark.long
@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "TRACE", "PATCH", "FOO"])
def test_nothing_can_be_sent_to_it(home: tuple[int, str], method: str) -> None:
    port, path = home
    status, body = fetched(port, path, method)
    assert status >= 400
    assert body == b""


@pytest.mark.long
@pytest.mark.parametrize(
    "raw",
    [
        *(b"\r\n\r\n", b"GET\r\n\r\n", b"\x16\x03\x01\x02\x00\x01", b"GET / HTTP/9.9\r\n\r\n"),
        *(b"GET / HTTP/1.1\r\n" + b"a: b\r\n" * 500 + b"\r\n", b"A" * 70_000 + b"\r\n\r\n"),
        *(b"GET /\xff\xfe HTTP/1.1\r\n\r\n", b"GET / HTTP/1.1\r\nContent-Length: 9\r\n\r\n"),
    ],
)
def test_what_is_no_request_leaves_it_standing(home: tuple[int, str], raw: bytes) -> None:
    port, path = home
    with socket.create_connection((HOST, port), timeout=10) as caller:
        caller.sendall(raw)
        caller.shutdown(socket.SHUT_WR)
        answer = b""
        try:
            while more := caller.recv(65_536):
                answer += more
        except ConnectionError:
            pass  # it was cut off before all of it was sent
    assert PAGE not in answer
    assert b"Traceback" not in answer
    assert fetched(port, path) == (200, PAGE)


@pytest.mark.long
def test_callers_that_say_nothing_hold_nobody_up(home: tuple[int, str]) -> None:
    port, path = home
    silent = [socket.create_connection((HOST, port), timeout=10) for _ in range(30)]
    begun = time.monotonic()
    assert fetched(port, path) == (200, PAGE)
    assert time.monotonic() - begun < 5
    for one in silent:
        one.close()


@pytest.mark.long
def test_the_code_is_read_back_by_a_reader() -> None:
    """OpenCV's own detector reads what is drawn in half blocks."""
    cv2 = pytest.importorskip("cv2")
    import numpy as np

    address = "http://192.0.2.7:51234/abcDEF_-0123456789abcDEF_-012345"
    lit = {" ": (0, 0), "▀": (1, 0), "▄": (0, 1), "█": (1, 1)}
    rows = [
        half
        for line in code(address).splitlines()
        for half in zip(*map(lit.get, line), strict=True)
    ]
    image = np.kron(np.array(rows, dtype=np.uint8) * 255, np.ones((8, 8), dtype=np.uint8))
    assert cv2.QRCodeDetector().detectAndDecode(image)[0] == address


# ---- the client's file ----


@pytest.mark.long
def test_the_client_is_given_pictures_and_cloths_alone(
    opened: Opener, job: str, browser: Browser, tmp_path: Path
) -> None:
    desk = opened(f"/plan/{job}")
    checked(desk)
    files = []
    for priced in (False, True):
        desk.get_by_label("with what the cloth costs").set_checked(priced)
        with desk.expect_download() as waited:
            desk.get_by_role("button", name="One file for the client").click()
        files.append(tmp_path / f"{priced}.html")
        waited.value.save_as(files[-1])
    plain, priced_file = (file.read_text(encoding="utf-8") for file in files)
    assert "EUR" not in plain
    assert "EUR" in priced_file
    assert "<script" not in priced_file
    assert "waste" not in priced_file
    told: list[str] = []
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.on("request", lambda request: told.append(request.url))
    page.on("console", lambda message: told.append(message.text))
    page.goto(files[1].as_uri())
    assert told == [files[1].as_uri()]
    expect(page.locator("figcaption").first).to_have_text("square")
    expect(page.get_by_role("heading", name="velvet")).to_be_visible()
    # Three squares and two gussets; on the fold a front and one outline for both sleeves.
    assert page.locator(".layout .piece").count() == 7
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    page.close()
