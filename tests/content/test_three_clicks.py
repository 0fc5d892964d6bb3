"""On the built site: from a clause to the step that does it, to its check, to a box's record, in three clicks."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest

from samples import DEMO
from slackloop.handbook.assemble import book_from_job
from slackloop.publish.schedules import schedule_files
from slackloop.publish.website import build_website

VOID = {"br", "img", "input", "meta", "link", "hr", "wbr", "col", "source"}


class Element:
    """One element of a page: its tag, attributes, children and text."""

    def __init__(self, tag: str, attributes: dict[str, str], parent: Element | None) -> None:
        self.tag, self.attributes, self.parent = tag, attributes, parent
        self.children: list[Element | str] = []

    def walk(self) -> Iterator[Element]:
        """This element and everything in it."""
        yield self
        for child in self.children:
            if isinstance(child, Element):
                yield from child.walk()

    def all(self, tag: str) -> list[Element]:
        """Every element of a kind in it."""
        return [each for each in self.walk() if each.tag == tag]

    @property
    def text(self) -> str:
        """What a reader sees."""
        return " ".join("".join(c if isinstance(c, str) else c.text for c in self.children).split())

    @property
    def links(self) -> list[str]:
        """Addresses of its links."""
        return [each.attributes["href"] for each in self.all("a") if "href" in each.attributes]


class Reader(HTMLParser):
    """Reads a page into elements."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.root = Element("", {}, None)
        self.at = self.root
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = Element(tag, {key: value or "" for key, value in attrs}, self.at)
        self.at.children.append(element)
        if tag not in VOID:
            self.at = element

    def handle_endtag(self, tag: str) -> None:
        up: Element | None = self.at
        while up is not None and up.tag != tag:
            up = up.parent
        if up is not None and up.parent is not None:
            self.at = up.parent

    def handle_data(self, data: str) -> None:
        self.at.children.append(data)


class Site:
    """A built site, read as a browser reads it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.pages: dict[str, Element] = {}

    def page(self, uri: str) -> Element:
        """One page, read once."""
        if uri not in self.pages:
            self.pages[uri] = Reader((self.folder / uri).read_text(encoding="utf-8")).root
        return self.pages[uri]

    def click(self, uri: str, address: str) -> tuple[str, Element]:
        """The page that a link leads to, and the element in it that it names."""
        path, _, place = address.partition("#")
        target = posixpath.normpath(posixpath.join(posixpath.dirname(uri), path)) if path else uri
        found = [each for each in self.page(target).walk() if each.attributes.get("id") == place]
        assert found, f"{uri}: {address} leads to nothing"
        return target, found[0]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    """The site of the demonstration job."""
    folder = tmp_path_factory.mktemp("clicks") / "site"
    book = book_from_job(DEMO)
    build_website(book, folder, files=schedule_files(book))
    return Site(folder)


def up(element: Element, tag: str) -> Element:
    """The element of a kind that holds this one."""
    at: Element | None = element
    while at is not None and at.tag != tag:
        at = at.parent
    assert at is not None
    return at


def rows(site: Site, uri: str) -> list[list[Element]]:
    """The cells of every row of a page's tables."""
    cells = [[c for c in row.children if isinstance(c, Element)] for row in site.page(uri).all("tr")]
    return [row for row in cells if row and row[0].tag == "td"]


def records(site: Site, step_page: str, step: Element, asked: str) -> list[tuple[str, str]]:
    """From a step: its checks that prove what is asked (a click), and the box records they lead to (a click)."""
    found = []
    for address in step.links:
        if not address.startswith("#c-"):
            continue
        _, check = site.click(step_page, address)
        row = up(check, "tr")
        if asked not in row.text:
            continue
        for onward in row.links:
            if "boxes/" in onward:
                target, part = site.click(step_page, onward)
                assert part.attributes["id"] in ("checks-box", "checks-run")
                found.append((check.text, target))
    return found


@pytest.mark.parametrize(
    "clause", ["NFPA 70 300.5(J)", "NFPA 70 110.14(B)", "UL 486D", "Job specification: rules.slack"]
)
def test_three_clicks_from_a_clause_to_a_box(site: Site, clause: str) -> None:
    uri = "tables/clauses.html"
    mine = [row for row in rows(site, uri) if row[0].text == clause]
    assert mine, clause
    reached = []
    for _, requirement, _, done, _ in mine:
        for address in done.links:
            page, step = site.click(uri, address)
            assert step.tag == "li"
            reached += records(site, page, step, requirement.text)
    assert reached, clause
    for check, box in reached:
        assert any(row[0].text == check for row in rows(site, box)), f"{box} has no record of {check}"


def test_every_clause_leads_to_its_step_its_check_and_a_record(site: Site) -> None:
    """The register alone: each row has a step and a check, and each check of a box or a run leads to a box."""
    for row in rows(site, "tables/clauses.html"):
        assert row[3].links, row[0].text
        assert row[4].links, row[0].text
        for address in row[3].links + row[4].links:
            site.click("tables/clauses.html", address)
        if "Each" in row[4].text:
            assert any("boxes/" in address for address in row[4].links), row[4].text


def test_the_register_names_source_step_check_and_box(site: Site) -> None:
    pages = sorted(path.name for path in (site.folder / "tables").glob("requirements*.html"))
    register = [row for name in pages for row in rows(site, f"tables/{name}")]
    assert len(register) > 60
    for row in register:
        asked, done, proved = row[2], row[3], row[4]
        assert asked.text
        assert done.links
        assert proved.links
        if re.search(r"\bEach\b", proved.text):
            assert any("boxes/" in address for address in proved.links), row[0].text
