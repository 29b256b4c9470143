"""Pictures of the page's states at three widths, by day and night, made anew by their tests."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

SIZES = ((360, 740), (768, 1024), (1280, 900))
"""Of the window: a phone, a tablet, a screen."""


@dataclass(frozen=True, slots=True)
class Gallery:
    """Where the pictures of one width and scheme go: the folder that GALLERY names."""

    folder: Path
    width: int
    height: int
    scheme: str
    violations: Callable[[Page], list[str]]

    @property
    def how(self) -> dict[str, Any]:
        """How a page is opened for them."""
        return {"width": self.width, "height": self.height, "color_scheme": self.scheme}

    def show(self, page: Page, state: str) -> None:
        """A picture of a state, which has no violation."""
        page.screenshot(path=self.folder / f"{state}-{self.width}-{self.scheme}.png")
        page.evaluate("scrollTo(0, 0)")
        assert self.violations(page) == [], state

    def show_whole(self, page: Page, state: str) -> None:
        """The same of a state in which nothing scrolls sideways."""
        assert page.evaluate("document.documentElement.scrollWidth") <= self.width
        self.show(page, state)
