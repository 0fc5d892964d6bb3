"""On the built site: from a clause to the step that does it, from the step to its check, from a check to its record."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest

from book_samples import demonstration
from slackloop.document.book import PRINTED, book_files
from slackloop.reference.table_file import data_folder
from slackloop.render.html.site import build_site
from slackloop.render.workbook.workbook import table_files
from slackloop.sections.content import load_content

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
    book = demonstration()
    files = dict.fromkeys((*PRINTED, *book_files()), b"")
    build_site(book, folder, files={**files, **table_files(book)})
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
    return [row for row in cells if row and row[0].attributes.get("scope") != "col"]


MATRIX = "tables/matrix.html"


@pytest.mark.parametrize(
    "clause", ["NFPA 70 300.5(J)", "NFPA 70 110.14(B)", "UL 486D", "Job: spare cable left in each box"]
)
def test_from_a_clause_to_its_step_and_to_its_check(site: Site, clause: str) -> None:
    """The row that names a clause leads to the step (a click), and the step to the check that proves it (a click)."""
    asked = [row for row in rows(site, MATRIX) if clause in row[1].text]
    assert asked, clause
    for row in asked:
        assert row[2].links, row[0].text
        proved = set()
        for address in row[2].links:
            page, step = site.click(MATRIX, address)
            assert "step" in step.attributes.get("class", "").split() or step.tag == "li", address
            for onward in step.links:
                if "matrix" in onward and "#" in onward:
                    _, check = site.click(page, onward)
                    proved.add(check.attributes["id"])
        assert proved, f"{row[0].text}: no step of it leads to a check"


def test_every_requirement_names_its_source_its_step_and_its_check(site: Site) -> None:
    """A row goes on from the one above where it holds another check of the same requirement.

    Who asks is left blank for the trade alone, as the note under the table says.
    """
    sections = load_content(data_folder("content")).sections
    sources = {each.id: each.source for section in sections for each in section.front.requirements}
    register = [row for row in rows(site, MATRIX) if re.match(r"R-[A-Z]", row[0].text)]
    assert len(register) > 60
    for row in register:
        asked, done, proved = row[1], row[2], row[3]
        by_trade = sources[row[0].text.split()[0]] == "practice"
        assert by_trade or asked.text.strip("–"), row[0].text
        assert done.links, row[0].text
        assert re.match(r"C-[A-Z]", proved.text), row[0].text
        for address in done.links + proved.links:
            site.click(MATRIX, address)


def test_every_check_says_how_it_is_recorded_and_when(site: Site) -> None:
    checks = [row for row in rows(site, MATRIX) if re.match(r"C-[A-Z0-9-]+ \w", row[3].text)]
    assert len(checks) > 60
    for row in checks:
        assert row[4].text.strip("–"), row[3].text
        assert row[5].text.strip("–"), row[3].text
        assert row[6].text.strip("–"), row[3].text


def test_a_field_of_a_box_leads_to_the_section_that_says_how(site: Site) -> None:
    """A record is a click from the method: each stage of a box links the section that says how."""
    found = re.findall(r"<h\d[^>]*>(?:(?!<h\d).)*?>How</a>", (site.folder / "boxes/b02.html").read_text("utf-8"), re.S)
    assert len(found) == 5, "run, test, splice, device, close"
    links = [address for address in site.page("boxes/b02.html").links if "/method/" in address]
    assert len(links) >= len(found)
    for address in links:
        assert (site.folder / "boxes" / address.partition("#")[0]).resolve().is_file(), address
