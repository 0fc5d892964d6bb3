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
    from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Error, Page, Request


class Screen:
    """One page with all that it asked for and complained about."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.asked: list[str] = []
        self.complaints: list[str] = []
        page.on("request", self._asked)
        page.on("pageerror", self._failed)
        page.on("console", self._said)

    def _asked(self, request: Request) -> None:
        self.asked.append(request.url)

    def _failed(self, error: Error) -> None:
        self.complaints.append(str(error))

    def _said(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            self.complaints.append(message.text)

    def leave(self) -> None:
        """Listen no more: the page goes to another test."""
        self.page.remove_listener("request", self._asked)
        self.page.remove_listener("pageerror", self._failed)
        self.page.remove_listener("console", self._said)

    @property
    def asked_outside(self) -> list[str]:
        """Addresses that are neither a file nor held in the page itself."""
        return [url for url in self.asked if not url.startswith(("file:", "data:", "blob:", "about:"))]


@dataclass
class Profile:
    """A browser profile with one page that goes from test to test: a new page costs more than to open another file."""

    context: BrowserContext
    page: Page
    start: Path

    def clear(self) -> bool:
        """Whether it is as good as new: online, nothing stored, one page, which leaves its file for the next one."""
        if self.page.is_closed():
            self.context.close()
            return False
        for page in self.context.pages:
            if page is not self.page:
                page.close()
        self.context.set_offline(False)
        self.context.clear_cookies()
        if not self.page.url.startswith("file:"):
            self.page.goto(self.start.as_uri())
        self.page.evaluate("() => { localStorage.clear(); sessionStorage.clear(); }")
        return True


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
        return Profile(context, context.new_page(), self.start)

    @contextmanager
    def open(
        self, size: str = "desk", scheme: str = "light", *, scripts: bool = True, own: bool = False
    ) -> Iterator[Screen]:
        """A screen on a profile that holds nothing and serves again, cleared.

        ``own``: on a new one that is thrown away, for a test that alters more of its page than another file undoes.
        """
        if own or not scripts:
            context = self._context(size, scheme, scripts)
            try:
                yield Screen(context.new_page())
            finally:
                context.close()
            return
        idle = self.idle.setdefault((size, scheme), [])
        profile = idle.pop() if idle else self._profile(size, scheme)
        screen = Screen(profile.page)
        try:
            yield screen
        finally:
            screen.leave()
            if profile.clear():
                idle.append(profile)


@pytest.fixture(scope="session")
def screens(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Screens:
    """What a test opens its pages on."""
    start = tmp_path_factory.mktemp("screens") / "start.html"
    start.write_text("<!DOCTYPE html><title>Start</title>", encoding="utf-8")
    return Screens(browser, start)

