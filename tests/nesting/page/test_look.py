"""How the page looks: colours from one sheet, contrast by day and night, reflow, forced colours."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.nesting.page.gallery import Gallery
from tests.nesting.page.layout_desk import ORDER, Opener, checked, planned
from tests.nesting.page.test_page import wearer, with_example
from tests.papers import ROOT

STATIC = ROOT / "nesting" / "page" / "static"
TOKENS = (STATIC / "tokens.css").read_text(encoding="utf-8")
LIGHT, DARK = TOKENS.split("@media (prefers-color-scheme: dark)")
DARK = DARK.split("@media print")[0]


def colours(text: str) -> dict[str, str]:
    return dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})\b", text))


DAY = colours(LIGHT)
NIGHT = DAY | colours(DARK)


def luminance(colour: str) -> float:
    """WCAG 2.1, "relative luminance"."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """WCAG 2.1, "contrast ratio"."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


GROUNDS = ("ground", "sheet", "sunk", "hover")
TEXTS = [
    *((text, ground) for text in ("ink", "quiet", "madder", "woad") for ground in GROUNDS),
    *(("madder", "madder-pale"), ("weld-ink", "weld-pale"), ("weld-ink", "sheet")),
    *(
        ("weld-ink", "ground"),
        ("ink", "weld-pale"),
        ("verdigris", "sheet"),
        ("verdigris", "ground"),
    ),
    *(("verdigris", "sunk"), ("on-act", "act"), ("on-act", "act-deep"), ("quiet", "act-off")),
    *(("on-tip", "tip"), ("ink", "cloth"), ("ink", "now"), ("ink", "paper")),
    *(("ink", f"w{number}") for number in range(8)),
]
LINES = [
    ("edge", "sheet"),
    ("edge", "ground"),
    ("edge", "sunk"),
    ("madder", "cloth"),
    ("ink", "cloth-edge"),
]


@pytest.mark.parametrize("scheme", [DAY, NIGHT], ids=["day", "night"])
def test_text_and_lines_stand_out_from_their_ground(scheme: dict[str, str]) -> None:
    """WCAG 2.1: 4.5 for text (1.4.3), 3 for what means something (1.4.11)."""
    weak = [f"{a} on {b}" for a, b in TEXTS if contrast(scheme[a], scheme[b]) < 4.5]
    weak += [f"{a} on {b}" for a, b in LINES if contrast(scheme[a], scheme[b]) < 3]
    assert weak == []


def test_night_has_every_colour_of_the_day() -> None:
    assert set(DAY) == set(colours(DARK))


@pytest.mark.parametrize("sheet", ["base", "order", "bench", "cut"])
def test_sheets_name_no_colour_of_their_own(sheet: str) -> None:
    text = (STATIC / f"{sheet}.css").read_text(encoding="utf-8")
    printed = text.rfind("@media print")
    on_screen = text[:printed] if printed >= 0 else text
    assert re.findall(r"#[0-9a-fA-F]{3,8}\b(?!-)|rgba?\(|hsl", on_screen) == []
    known = set(re.findall(r"--([\w-]+):", TOKENS))
    assert set(re.findall(r"var\(--([\w-]+)\)", text)) <= known


def test_scripts_are_short() -> None:
    counts = {path.name: path.read_text().count("\n") for path in STATIC.glob("*.js")}
    assert {name: count for name, count in counts.items() if count >= 250} == {}


@pytest.fixture(scope="module")
def job(address: str) -> str:
    return planned(address, ORDER)


@pytest.mark.long
def test_at_twice_the_size_nothing_is_cut_off(opened: Opener, job: str) -> None:
    """200 % of 1280, and 400 % (WCAG 2.1, 1.4.4 and 1.4.10): no scrolling sideways."""
    for width in (640, 320):
        page = with_example(opened, width=width, height=450)
        wearer(page, "Maren")
        wearer(page, "satin")
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        for path in (f"/plan/{job}", f"/plan/{job}/cut"):
            page = opened(path, width=width, height=450)
            page.locator(".board .part, .cut-step").first.wait_for()
            assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.long
def test_forced_colours_keep_pieces_and_controls(
    opened: Opener, job: str, violations: Callable[[Page], list[str]]
) -> None:
    page = opened(f"/plan/{job}", forced_colors="active")
    checked(page)
    strokes = page.locator(".board .piece").evaluate_all(
        "all => all.map((one) => [getComputedStyle(one).stroke, getComputedStyle(one).fill])"
    )
    assert all(stroke != fill for stroke, fill in strokes)
    assert violations(page) == []


@pytest.mark.long
def test_less_motion_is_asked_for_and_given(opened: Opener) -> None:
    page = opened(reduced_motion="reduce")
    moves = page.evaluate(
        "getComputedStyle(document.querySelector('.start')).transitionDuration.split(', ')"
    )
    assert set(moves) <= {"0s"}


STATES = ("welcome", "order", "cloth", "wearer", "picker", "plan", "cut")


@pytest.mark.long
def test_gallery(opened: Opener, job: str, gallery: Gallery) -> None:
    """Every state as a picture; each without a violation."""

    def shown(page: Page, state: str) -> None:
        page.wait_for_timeout(200)
        gallery.show(page, state)

    shown(opened(**gallery.how), "welcome")
    page = with_example(opened, **gallery.how)
    page.locator("#estimate:not([hidden])").wait_for()
    shown(page, "order")
    wearer(page, "satin")
    shown(page, "cloth")
    wearer(page, "Maren").scroll_into_view_if_needed()
    shown(page, "wearer")
    page.get_by_role("button", name="Add a part", exact=True).first.click()
    page.locator(".picker svg.pieces").first.wait_for()
    shown(page, "picker")
    page = opened(f"/plan/{job}", **gallery.how)
    checked(page)
    shown(page, "plan")
    page.goto(page.url + "/cut")
    expect(page.locator(".stage-words")).to_be_visible()
    shown(page, "cut")
    assert len(list(gallery.folder.glob(f"*-{gallery.width}-{gallery.scheme}.png"))) >= len(STATES)
