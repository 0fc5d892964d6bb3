"""What many tests share: the demonstration handbook, built once by the command, and one browser for them all."""

from __future__ import annotations

import gc
import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, settings

from samples import DEMO, REPOSITORY
from shared import Builds, Shared

if TYPE_CHECKING:
    from playwright.sync_api import Browser

# No example is judged by the clock: a busy machine must not fail a test.
settings.register_profile("no clock", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("no clock")

# Many whole books are kept in memory: to look through them for what nobody holds any more takes a third of the time.
gc.set_threshold(50_000, 20, 100)

CHROMIUM = shutil.which("chromium")
LONGEST = (
    "browser/test_access.py", "attack/test_stops.py", "paper/test_budgets.py", "browser/test_phone_budgets.py",
    "browser/test_record_sheets.py", "paper/test_cards.py", "browser/test_record_file.py", "browser/test_entries.py",
    "attack/test_same_bytes.py", "commands/test_build.py", "source/test_codes.py", "control/test_changes_command.py",
    "render/test_table_files.py", "commands/test_build_with_records.py", "browser/test_recorded_pages.py",
    "paper/test_profiles.py", "document/test_standard_book.py", "paper/test_recorded_paper.py",
    "attack/test_hostile_text.py", "browser/test_start_page.py", "browser/test_finding.py", "render/test_plugin.py",
    "control/test_comparison.py", "render/test_site_browser.py", "document/test_adding.py", "commands/test_serve.py",
)  # fmt: skip
"""Files that take longest: begun first, so that two workers end at about the same time."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the tests of the longest files first, and leave all others in their order."""
    places = {str(REPOSITORY / "tests" / name): place for place, name in enumerate(LONGEST)}
    items.sort(key=lambda item: places.get(str(item.path), len(LONGEST)))


def pytest_collection_finish() -> None:
    """What was read until here stays to the end: it need not be looked through again."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Shared:
    """A folder for what all workers of this run share."""
    base = tmp_path_factory.getbasetemp()
    home = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "shared"
    home.mkdir(exist_ok=True)
    return Shared(home)


@pytest.fixture(scope="session")
def builds(shared: Shared) -> Builds:
    """Handbooks that are built once a run."""
    return Builds(shared)


@pytest.fixture(scope="session")
def demo(builds: Builds) -> Path:
    """The folder that ``slackloop build`` makes of the demonstration job."""
    built = builds(DEMO)
    assert built.status == 0, built.said
    return built.folder


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's Chromium with a profile of its own that calls nobody."""
    if CHROMIUM is None:
        pytest.skip("Debian's chromium is not installed on this machine")
    playwright = pytest.importorskip("playwright.sync_api", reason="the Python package playwright is not installed")
    quiet = ["--no-sandbox", "--disable-background-networking", "--disable-component-update", "--no-first-run"]
    with playwright.sync_playwright() as started:
        opened = started.chromium.launch(executable_path=CHROMIUM, args=quiet)
        yield opened
        opened.close()
