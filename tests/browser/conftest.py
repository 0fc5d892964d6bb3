"""A watched page in any width and theme."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import pytest

from browser.kinds import SIZES

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page


class Screen:
    """One page with all that it asked for and complained about."""

    def __init__(self, context: BrowserContext) -> None:
        self.page: Page = context.new_page()
        self.asked: list[str] = []
        self.complaints: list[str] = []
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on(
            "console",
            lambda message: self.complaints.append(message.text) if message.type in ("error", "warning") else None,
        )

    @property
    def asked_outside(self) -> list[str]:
        """Addresses that are neither a file nor held in the page itself."""
        return [url for url in self.asked if not url.startswith(("file:", "data:", "blob:", "about:"))]


class Screens:
    """Opens screens of a named size; one theme or the other, with or without scripts."""

    def __init__(self, browser: Browser) -> None:
        self.browser = browser

    @contextmanager
    def open(self, size: str = "desk", scheme: str = "light", *, scripts: bool = True) -> Iterator[Screen]:
        """A screen of its own profile, closed after the block."""
        width, height = SIZES[size]
        context = self.browser.new_context(
            viewport={"width": width, "height": height},
            color_scheme="dark" if scheme == "dark" else "light",
            device_scale_factor=2 if size == "zoomed" else 1,
            has_touch=size == "phone",
            reduced_motion="reduce",
            java_script_enabled=scripts,
        )
        yield Screen(context)
        context.close()


@pytest.fixture
def screens(browser: Browser) -> Screens:
    """What a test opens its pages on."""
    return Screens(browser)
