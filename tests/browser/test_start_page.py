"""The first page on a phone: what this copy is worth, the field for a box, the crew's doors, the plan to tap."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from book_samples import demonstration
from browser.kinds import SIZES
from shared import short, short_pairs
from slackloop.site.answers import open_questions

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.conftest import Screens

pytestmark = pytest.mark.browser
VERDICT = """[...document.querySelectorAll('dl.facts.large > div')].map(e => [e.querySelector('dt').textContent,
  e.querySelector('dd').textContent])"""


@pytest.fixture(scope="module")
def start(demo: Path, screens: Screens) -> Iterator[Page]:
    """The first page on a phone, only looked at."""
    with screens.open("phone") as screen:
        screen.page.goto((demo / "index.html").as_uri())
        yield screen.page


def test_the_verdict_tells_status_findings_questions_and_signatures(start: Page) -> None:
    book = demonstration()
    still_open = [each for each in book.context.placed if each.level != "note" and each.answer is None]
    document = book.job.document
    questions = open_questions(book.context.findings)
    missing = [name for name in (document.prepared, document.checked, document.approved) if not name]
    assert dict(start.evaluate(VERDICT)) == {
        "Status": document.status,
        "finding open" if len(still_open) == 1 else "findings open": str(len(still_open)),
        "question open" if questions == 1 else "questions open": str(questions),
        "signature missing" if len(missing) == 1 else "signatures missing": str(len(missing)),
    }


@pytest.mark.parametrize("typed", short(["7", "07", "007", "b07", "B07"], "7"))
def test_digits_find_a_box(typed: str, demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "index.html").as_uri())
        page.locator("#box-field").focus()
        page.keyboard.type(typed)
        page.keyboard.press("Enter")
        page.wait_for_url("**/boxes/b07.html", timeout=60_000)


def test_the_crews_doors_are_on_the_first_screen_and_first(start: Page) -> None:
    doors = start.locator(".doors a").all()
    assert [each.locator("strong").inner_text() for each in doors] == [
        "My box", "Today's steps", "Something is wrong", "Emergency",
    ]  # fmt: skip
    bottoms = [box["y"] + box["height"] for each in doors if (box := each.bounding_box())]
    assert len(bottoms) == len(doors)
    assert max(bottoms) <= SIZES["phone"][1]
    first_line = start.locator("ul.lines a").first.bounding_box()
    assert first_line is not None
    assert first_line["y"] > max(bottoms)


def test_no_link_is_named_tables(start: Page) -> None:
    names = start.evaluate("[...document.querySelectorAll('a, label')].map(e => e.textContent.trim())")
    assert len(names) > 20
    assert [name for name in names if name.lower() == "tables"] == []


@pytest.mark.parametrize("size", short(["phone", "desk"], "phone"))
def test_a_tap_on_the_plan_finds_the_nearest_box(size: str, demo: Path, screens: Screens) -> None:
    places = {box.id: box.at for box in demonstration().job.path.boxes if box.at is not None}
    with screens.open(size) as screen:
        page = screen.page
        page.goto((demo / "index.html").as_uri())
        page.locator(".plan").scroll_into_view_if_needed()
        frame = page.locator(".plan").bounding_box()
        assert frame is not None
        spots = page.evaluate("JSON.parse(document.querySelector('figure[data-spots]').dataset.spots)")
        assert {spot[0] for spot in spots} == set(places)
        marks = page.evaluate("document.querySelectorAll('.plan svg [id*=box]').length")
        for id, across, down in spots[::5]:
            page.mouse.click(frame["x"] + across * frame["width"], frame["y"] + down * frame["height"])
            assert page.locator(".plan-bar output").inner_text() == id, marks
        page.locator(".plan-bar a").click()
        page.wait_for_url(f"**/boxes/{spots[::5][-1][0].lower()}.html", timeout=60_000)
        assert screen.complaints == []


def test_the_plan_goes_on_from_box_to_box_by_keys(demo: Path, screens: Screens) -> None:
    with screens.open() as screen:
        page = screen.page
        page.goto((demo / "index.html").as_uri())
        for expected in ("B01", "B02", "B03"):
            page.locator(".plan-bar button").last.press("Enter")
            assert page.locator(".plan-bar output").inner_text() == expected
        page.locator(".plan-bar button").first.press("Enter")
        assert page.locator(".plan-bar output").inner_text() == "B02"


def test_the_box_opened_last_is_one_tap_away(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "boxes" / "b13.html").as_uri())
        page.goto((demo / "index.html").as_uri())
        assert page.locator(".doors a").first.inner_text().split() == ["My", "box", "B13,", "opened", "last"]
        page.goto((demo / "method" / "trench.html").as_uri())
        page.locator(".thumb a.boxes").click()
        page.wait_for_url("**/boxes/b13.html", timeout=60_000)


SEARCHES = (
    ("loop reading too high", "method/service-and-fault-finding"), ("strip length", "method/preparing-conductors"),
)  # fmt: skip


@pytest.mark.parametrize(("asked", "found"), short_pairs(SEARCHES, SEARCHES[0]))
@pytest.mark.parametrize("size", short(["phone", "desk"], "phone"))
def test_the_first_hit_of_a_search_is_the_page_that_helps(
    asked: str, found: str, size: str, demo: Path, screens: Screens
) -> None:
    with screens.open(size) as screen:
        page = screen.page
        page.goto((demo / "index.html").as_uri())
        page.keyboard.press("/")
        page.keyboard.type(asked, delay=10)
        page.locator(f'.md-search-result__item:first-child a[href*="{found}"]').first.wait_for(timeout=60_000)
        page.keyboard.press("Enter")
        page.wait_for_url(f"**/{found}.html**", timeout=60_000)
