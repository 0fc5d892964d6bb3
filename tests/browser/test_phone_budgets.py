"""How long pages are on a phone, for the demonstration, a job with every kind of link and 320 boxes in a row."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from book_samples import LINKS, book_of, demonstration, standing
from browser.conftest import Screens
from browser.kinds import SIZES, Choice, before_steps, boxes_of, likeliest_boxes, likeliest_sections, sections
from samples import chain, job_text
from shared import short
from slackloop.document.blocks import BoxFinder, Form
from slackloop.document.book import PRINTED, Book, book_files
from slackloop.document.boxes.box_values import BOX_VALUES
from slackloop.document.page import Page
from slackloop.render.html.site import build_site

if TYPE_CHECKING:
    from playwright.sync_api import Page as Shown

pytestmark = pytest.mark.browser
BOX_SCREENS = 5.0
FIRST_STEP_SCREENS = 1.5
ONE_LINE_PX = 48
OPEN_ALL = "document.querySelectorAll('article details').forEach(part => part.open = true)"
SIZE = "[document.documentElement.scrollHeight, document.documentElement.scrollWidth]"
INNER = """[...document.querySelectorAll('article *')].filter(e => {
  const style = getComputedStyle(e);
  const rolls = way => ['auto', 'scroll'].includes(way);
  return e.tagName !== 'TEXTAREA' && (rolls(style.overflowX) && e.scrollWidth > e.clientWidth + 1
    || rolls(style.overflowY) && e.scrollHeight > e.clientHeight + 1);
}).map(e => e.className || e.tagName)"""
FILL = """typed => {
  for (const [kind, text] of Object.entries(typed))
    for (const field of document.querySelectorAll(`.form [data-kind=${kind}]`)) {
      if (kind === "tick") { field.click(); continue; }
      field.value = text;
      for (const told of ["input", "change"]) field.dispatchEvent(new Event(told, {bubbles: true}));
    }
}"""
ORDER = """[...document.querySelectorAll('article > h1, article > figure, article > dl, article > .form')]
  .map(e => e.tagName === 'SECTION' ? e.querySelector('h3').firstChild.textContent.trim()
    : e.tagName === 'DL' ? (e.classList.contains('large') ? 'values' : 'carry') : e.tagName.toLowerCase())"""


def site_of(book: Book, folder: Path) -> Path:
    build_site(book, folder, files=dict.fromkeys((*PRINTED, *book_files()), b""))
    return folder


@pytest.fixture(scope="module")
def few(tmp_path_factory: pytest.TempPathFactory) -> tuple[Book, Path]:
    """The website of a small job in US units, which are the longer ones to read."""
    folder = tmp_path_factory.mktemp("few")
    job = folder / "job.yml"
    job.write_text(job_text(chain(6), units="us"), encoding="utf-8")
    book = book_of(job)
    return book, site_of(book, folder / "site")


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> tuple[Book, Path]:
    """The website of a job of 320 boxes."""
    folder = tmp_path_factory.mktemp("many")
    job = folder / "job.yml"
    job.write_text(job_text(chain(320)), encoding="utf-8")
    book = book_of(job)
    return book, site_of(book, folder / "site")


@pytest.fixture(scope="module")
def links(tmp_path_factory: pytest.TempPathFactory) -> tuple[Book, Path]:
    """The website of a job with every kind of link."""
    book = standing(LINKS)
    return book, site_of(book, tmp_path_factory.mktemp("links") / "site")


def check_box(page: Shown, site: Path, each: Page, screens: float = BOX_SCREENS) -> None:
    """One box page with everything opened: its length, nothing sideways, nothing that scrolls inside it."""
    width, height = SIZES["phone"]
    page.goto((site / f"{each.id}.html").as_uri())
    page.evaluate(OPEN_ALL)
    tall, wide = page.evaluate(SIZE)
    assert tall <= screens * height, (each.id, tall / height)
    assert wide <= width, (each.id, wide)
    assert page.evaluate(INNER) == [], each.id


@dataclass(frozen=True)
class Seen:
    """What is measured on the page of a section, with the values of a box shown above its steps."""

    id: str
    top_screens: float
    wide: int
    sign_tops: set[int]
    bring_heights: list[float]
    numbers: list[tuple[str, int, bool]]
    """Of each step: its number, the lines that it takes, and whether it stands beside the step's text."""


SEEN = """() => {
  const all = part => [...document.querySelectorAll(part)], box = e => e.getBoundingClientRect();
  const lines = e => {
    const range = document.createRange();
    range.selectNodeContents(e);
    return range.getClientRects().length;
  };
  return [box(document.querySelector("ol.steps > li")).top, document.documentElement.scrollWidth,
    all(".signs .sign").map(e => Math.round(box(e).top)), all(".bring > summary").map(e => box(e).height),
    all(".step-number").map(e => [e.textContent, lines(e),
      box(e).right <= box(e.closest("li").querySelector(".step-body")).left])];
}"""


def look_at_sections(page: Shown, book: Book, site: Path, chosen: list[Page]) -> Iterator[Seen]:
    """Sections, each opened once, with the values of a box shown: the most that can stand above a first step."""
    longest = max((each for each in book.pages if each.box), key=lambda each: sum(len(text) for _, text in each.values))
    page.goto((site / f"{longest.id}.html").as_uri())  # the box that was opened last is the one shown
    for each in chosen:
        page.goto((site / f"{each.id}.html").as_uri())
        asked = any(isinstance(block, BoxFinder) and block.values for block in each.blocks)
        assert page.locator(".box-values dd:visible").count() > 0 or not asked, each.id
        top, wide, signs, bring, numbers = page.evaluate(SEEN)
        yield Seen(each.id, top / SIZES["phone"][1], wide, set(signs), bring, [(*number,) for number in numbers])


@pytest.fixture(scope="module", params=short([likeliest_sections, sections], likeliest_sections))
def seen(request: pytest.FixtureRequest, demo: Path, screens: Screens) -> list[Seen]:
    """The likeliest sections of the demonstration on a phone, and in ``make proofs`` all of them."""
    chosen = request.param(demonstration())
    with screens.open("phone") as screen:
        found = list(look_at_sections(screen.page, demonstration(), demo, chosen))
    assert len(found) == len(chosen) > (30 if request.param is sections else 6)
    return found


def far_down(seen: Iterable[Seen]) -> list[tuple[str, float, int]]:
    """Sections whose first step is not within a screen and a half, or that run out of the screen."""
    width = SIZES["phone"][0]
    return [
        (each.id, each.top_screens, each.wide)
        for each in seen
        if each.top_screens > FIRST_STEP_SCREENS or each.wide > width
    ]


@pytest.mark.parametrize("chosen", short([likeliest_boxes, boxes_of], likeliest_boxes))
def test_boxes_of_the_demonstration_are_within_five_screens(chosen: Choice, demo: Path, screens: Screens) -> None:
    """The likeliest boxes in every run of the tests, all of them in ``make proofs``."""
    with screens.open("phone") as screen:
        for each in chosen(demonstration()):
            check_box(screen.page, demo, each)


def test_a_box_that_is_filled_in_is_not_much_longer(demo: Path, screens: Screens) -> None:
    """The box with most fields, every value outside its limits, every tick made, every stage signed over them.

    Each name then says which readings it is signed over, which takes a third of a screen more.
    """
    boxes = (page for page in demonstration().pages if page.box)
    longest = max(boxes, key=lambda page: sum(len(each.fields) for each in page.blocks if isinstance(each, Form)))
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / f"{longest.id}.html").as_uri())
        page.locator("#writer").fill("Ann Lee")
        typed = {"soil": "16", "number": "99999", "text": "x", "place": "1, 2", "sign": "Ann Lee", "tick": ""}
        page.evaluate(FILL, typed)
        assert page.locator("[data-state=out]").count() > 1
        check_box(page, demo, longest, BOX_SCREENS + 0.35)


OTHER_JOBS = ("few", "many", "links")


@pytest.mark.parametrize("job", short(OTHER_JOBS, "few"))
def test_boxes_of_other_jobs_are_within_five_screens(
    job: str, request: pytest.FixtureRequest, screens: Screens
) -> None:
    book, site = request.getfixturevalue(job)
    boxes = boxes_of(book)
    with screens.open("phone") as screen:
        for each in likeliest_boxes(book) if job == "few" else (*boxes[:: len(boxes) // 20], boxes[-1]):
            check_box(screen.page, site, each)


def test_a_box_page_is_in_the_order_of_the_work(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        screen.page.goto((demo / "boxes" / "b02.html").as_uri())
        shown = screen.page.evaluate(ORDER)
        assert shown == ["h1", "figure", "values", "carry", "Run", "Test", "Splice", "Device", "Close", "As built"]
        ways = screen.page.evaluate("[...document.querySelectorAll('.box-way > a')].map(e => e.ariaLabel)")
        assert ways == ["Previous: B01", "Next: B03"]
        foot = screen.page.locator(".box-way").bounding_box()
        assert foot is not None
        assert foot["y"] + foot["height"] == SIZES["phone"][1], "it lies under the thumb"


def test_the_first_step_of_every_section_is_within_a_screen_and_a_half(seen: list[Seen]) -> None:
    assert far_down(seen) == []


@pytest.mark.parametrize("job", short(OTHER_JOBS, "few"))
def test_the_first_step_is_as_near_in_other_jobs(
    job: str, request: pytest.FixtureRequest, screens: Screens
) -> None:
    """Sections of a small job with most before their first step; all of the others in ``make proofs``."""
    book, site = request.getfixturevalue(job)
    chosen = sorted(sections(book), key=before_steps)[-3:] if job == "few" else sections(book)
    with screens.open("phone") as screen:
        seen = list(look_at_sections(screen.page, book, site, chosen))
    assert len(seen) == len(chosen) > 2
    assert far_down(seen) == []


def test_what_to_wear_is_one_row_and_what_to_bring_one_line(seen: list[Seen]) -> None:
    assert [(each.id, each.sign_tops) for each in seen if len(each.sign_tops) > 1] == []
    assert [each.id for each in seen if any(height > ONE_LINE_PX for height in each.bring_heights)] == []
    assert sum(bool(each.sign_tops) for each in seen) > len(seen) / 2
    assert sum(bool(each.bring_heights) for each in seen) > len(seen) / 2


def test_what_to_bring_is_all_there_when_opened(demo: Path, screens: Screens) -> None:
    with screens.open("phone") as screen:
        page = screen.page
        page.goto((demo / "method/surfaces-and-crossings.html").as_uri())
        clipped = "(e => e.scrollWidth > e.clientWidth + 1)(document.querySelector('.bring > summary > span'))"
        assert page.evaluate(clipped)
        page.locator(".bring > summary").click()
        assert not page.evaluate(clipped)


def test_step_numbers_never_break(seen: list[Seen]) -> None:
    """One line each, beside the text and not over it, also where a section has ten steps and more."""
    numbers = [(each.id, *number) for each in seen for number in each.numbers]
    assert [each for each in numbers if each[2] != 1 or not each[3]] == []
    assert sum(len(number) > 1 for _, number, _, _ in numbers) > len(seen) / 2


@pytest.mark.parametrize("step", short([4, 1], 4))
def test_my_box_shows_the_values_of_the_box_that_is_typed(step: int, demo: Path, screens: Screens) -> None:
    """On one in four of the sections that ask for a box in every run of the tests, on all in ``make proofs``."""
    book, seen = demonstration(), 0
    with screens.open("phone") as screen:
        page = screen.page
        for each in [each for each in sections(book) if any(isinstance(one, BoxFinder) for one in each.blocks)][::step]:
            asked = [name for block in each.blocks if isinstance(block, BoxFinder) for name, _ in block.values]
            if not asked:
                continue
            seen += 1
            page.goto((demo / f"{each.id}.html").as_uri())
            for typed, box in (("13", "B13"), ("b06", "B06")):
                page.locator("#box-field").fill(typed)
                told = dict(next(one for one in book.pages if one.box == box).values)
                shown = page.evaluate(
                    "[...document.querySelectorAll('.box-values > div:not([hidden])')]"
                    ".map(e => [e.firstChild.textContent, e.lastChild.textContent])"
                )
                assert shown == [[BOX_VALUES[name].label, told[name]] for name in asked if name in told]
                way = page.locator(".my-box [role=status] a").get_attribute("href") or ""
                assert way.endswith(f"boxes/{box.lower()}.html")
            page.locator("#box-field").fill("99")
            assert page.locator(".box-values > div:not([hidden])").count() == 0
            assert "No box is called" in page.locator(".my-box [role=status]").inner_text()
        assert seen > 2
        assert screen.complaints == []
