"""A watched page in any width and theme."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
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


@dataclass
class Profile:
    """A browser profile, and a page of it that stays open, from which what pages have stored is cleared away."""

    context: BrowserContext
    kept: Page

    def clear(self) -> None:
        """As it was when it was new: no other page, nothing stored, online."""
        for page in self.context.pages:
            if page is not self.kept:
                page.close()
        self.context.set_offline(False)
        self.context.clear_cookies()
        self.kept.evaluate("() => { localStorage.clear(); sessionStorage.clear(); }")


class Screens:
    """Opens screens of a named size; one theme or the other, with or without scripts."""

    def __init__(self, browser: Browser, start: Path) -> None:
        self.browser = browser
        self.start = start
        self.idle: dict[tuple[str, str], list[Profile]] = {}

    def _context(self, size: str, scheme: str, scripts: bool) -> BrowserContext:
        width, height = SIZES[size]
        return self.browser.new_context(
            viewport={"width": width, "height": height},
            color_scheme="dark" if scheme == "dark" else "light",
            device_scale_factor=2 if size == "zoomed" else 1,
            has_touch=size == "phone",
            reduced_motion="reduce",
            java_script_enabled=scripts,
        )

    def _profile(self, size: str, scheme: str) -> Profile:
        context = self._context(size, scheme, True)
        profile = Profile(context, context.new_page())
        profile.kept.goto(self.start.as_uri())
        return profile

    @contextmanager
    def open(self, size: str = "desk", scheme: str = "light", *, scripts: bool = True) -> Iterator[Screen]:
        """A screen on a profile that holds nothing; a profile costs more than a page, so it serves again, cleared."""
        if not scripts:
            context = self._context(size, scheme, scripts)
            yield Screen(context)
            context.close()
            return
        idle = self.idle.setdefault((size, scheme), [])
        profile = idle.pop() if idle else self._profile(size, scheme)
        try:
            yield Screen(profile.context)
        finally:
            profile.clear()
            idle.append(profile)


@pytest.fixture(scope="session")
def screens(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Screens:
    """What a test opens its pages on."""
    start = tmp_path_factory.mktemp("screens") / "start.html"
    start.write_text("<!DOCTYPE html><title>Start</title>", encoding="utf-8")
    return Screens(browser, start)

