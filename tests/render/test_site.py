"""The website as files: complete, escaped, closed to the outside, and the same every time."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from jinja2 import Environment
from mkdocs.theme import Theme

from render.site_samples import FACTS, SECTION, sample_book
from slackloop.document.page import Page
from slackloop.render.html.page import menu
from slackloop.render.html.settings import ThemeChanged, _theme, mend_page
from slackloop.render.html.site import build_site

FILES = {"handbook.pdf": b"%PDF-1.7 sample", "schedules/list.csv": b"a,b\r\n"}


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("site") / "website"
    build_site(sample_book(), folder, files=FILES)
    return folder


def read(site: Path, name: str) -> str:
    return (site / name).read_text(encoding="utf-8")


class Addresses(HTMLParser):
    """Every address that a page names, with whether a browser fetches it unasked."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, bool]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name in ("src", "data", "poster", "action") or (name == "href" and tag == "link"):
                self.found.append((value or "", True))
            elif name == "href":
                self.found.append((value or "", False))


def addresses(text: str) -> Iterator[tuple[str, bool]]:
    reader = Addresses()
    reader.feed(text)
    yield from reader.found


def test_every_page_is_written_and_no_other(site: Path) -> None:
    written = sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))
    assert written == ["boxes/b01.html", "boxes/b02.html", "index.html", f"{SECTION}.html", "tables/volts.html",
                       "unlisted.html"]  # fmt: skip


def test_a_second_site_compiles_no_template_again(
    site: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(self: Environment, *_: object) -> None:
        raise AssertionError("a template was compiled again")

    monkeypatch.setattr(Environment, "_compile", refuse)
    build_site(sample_book(), tmp_path / "second", files=FILES)
    assert read(tmp_path / "second", "boxes/b01.html") == read(site, "boxes/b01.html")


def test_the_theme_gives_every_file_but_those_in_folders_with_a_dot() -> None:
    theme = _theme()
    lean, whole = theme.get_env().list_templates(), Theme.get_env(theme).list_templates()
    assert set(lean) == {name for name in whole if not any(part.startswith(".") for part in name.split("/")[:-1])}
    assert len(lean) < len(whole) / 10


def test_what_a_reader_does_not_need_is_left_out(site: Path) -> None:
    names = [path.relative_to(site).as_posix() for path in site.rglob("*")]
    assert not [name for name in names if name.endswith((".map", ".xml", ".gz", ".json")) or "lunr" in name]
    assert "search/search_index.js" in names
    assert sum(path.stat().st_size for path in (site / "assets").rglob("*") if path.is_file()) < 420_000
    looks = [path.read_text(encoding="utf-8") for path in (site / "assets" / "look").glob("*.[jc]s*")]
    assert len(looks) > 10
    assert not [each for each in looks if re.search(r"^\s*/\*(?!!)", each, re.MULTILINE)]


def test_shipped_script_brings_its_licence(site: Path) -> None:
    assert "Permission is hereby granted" in read(site, "assets/look/iframe-worker.LICENSE.txt")
    assert "MIT" in read(site, "assets/look/iframe-worker.js").splitlines()[0]


def test_job_text_is_escaped_everywhere(site: Path) -> None:
    for path in site.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert "<phase>" not in text
        assert "<b>x</b>" not in text
        assert "<i>" not in text.replace("</i>", "")
        assert "&amp;lt;" not in text
        assert "&amp;amp;" not in text
    assert 'content="Say &#34;hello&#34; &amp; &lt;go&gt;"' in read(site, "index.html")


@pytest.mark.parametrize("name", ["index.html", "boxes/b01.html", "unlisted.html"])
def test_facts_of_the_document_stand_on_every_page(site: Path, name: str) -> None:
    text = read(site, name)
    for fact in (FACTS.number, FACTS.revision, FACTS.date, FACTS.status, FACTS.fingerprint[:12], FACTS.fingerprint):
        assert fact in text
    assert "draft-banner" not in text


def test_draft_is_marked_on_every_page(tmp_path: Path) -> None:
    book = replace(sample_book(), header=replace(FACTS, draft=True))
    build_site(book, tmp_path / "site")
    pages = list((tmp_path / "site").rglob("*.html"))
    assert len(pages) == len(book.pages)
    for page in pages:
        text = page.read_text(encoding="utf-8")
        assert "draft-banner" in text
        assert "<strong>DRAFT</strong> (for construction)" in text


def test_first_lines_like_settings_stay_text(site: Path) -> None:
    assert "Note: a page whose first line looks like a setting." in read(site, "unlisted.html")


def test_every_address_leads_to_a_file_and_nothing_is_fetched_from_outside(site: Path) -> None:
    files = {path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()}
    count = 0
    for page in sorted(site.rglob("*.html")):
        for address, fetched in addresses(page.read_text(encoding="utf-8")):
            path = address.partition("#")[0].partition("?")[0]
            assert not path.startswith(("http:", "https:", "//")), (page, address, fetched)
            if path and not path.startswith(("data:", "javascript:")):
                target = (page.parent / path).resolve().relative_to(site.resolve()).as_posix()
                target = f"{target}/index.html".removeprefix("./") if target in ("", ".") else target
                assert target in files, (page, address)
                count += 1
    assert count > 50


def test_links_lead_from_page_to_page(site: Path) -> None:
    text = read(site, f"{SECTION}.html")
    assert 'href="../tables/volts.html#volts-by-box"' in text
    assert '<a href="../boxes/b01.html">the box</a>' in text
    assert 'id="volts-by-box"' in read(site, "tables/volts.html")


def test_search_dialog_and_parts_of_a_page_have_names(site: Path) -> None:
    assert 'role="dialog" aria-label="Search"' in read(site, "index.html")
    text = read(site, "boxes/b01.html")
    assert text.count('aria-label="Navigation"') == 1


def test_near_pages_the_start_and_the_boxes_are_under_the_thumb(site: Path) -> None:
    bar = read(site, f"{SECTION}.html").partition('<nav class="thumb"')[2].partition("</nav>")[0]
    assert [address for address, _ in addresses(bar)] == ["../index.html", "../index.html", "../tables/volts.html"]
    assert '<nav class="thumb"' not in read(site, "index.html")


def test_a_box_is_listed_for_its_field_and_its_checks_are_no_search_words(site: Path) -> None:
    assert '[["B01", "boxes/b01.html"], ["B02", "boxes/b02.html"]]' in read(site, "assets/look/boxes.js")
    index = read(site, "search/search_index.js")
    assert "Peculiarword1" in index
    assert "Ordinaryword" not in index


def test_same_book_gives_the_same_bytes(tmp_path: Path) -> None:
    build_site(sample_book(), tmp_path / "one")
    build_site(sample_book(), tmp_path / "two")
    assert digests(tmp_path / "one") == digests(tmp_path / "two")


def digests(folder: Path) -> dict[str, str]:
    files = [path for path in sorted(folder.rglob("*")) if path.is_file()]
    return {path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def test_folder_that_holds_something_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(FileExistsError):
        build_site(sample_book(), tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_files_are_put_beside_the_pages_and_the_printable_one_is_linked(site: Path) -> None:
    assert (site / "handbook.pdf").read_bytes() == b"%PDF-1.7 sample"
    assert (site / "schedules" / "list.csv").read_bytes() == b"a,b\r\n"
    assert '<a href="../handbook.pdf">' in read(site, "boxes/b01.html")


def test_nothing_is_printed(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    build_site(sample_book(), tmp_path / "site")
    assert capfd.readouterr() == ("", "")


def test_menu_groups_pages_and_puts_indexes_first() -> None:
    pages = [
        Page("index", "Start", ()),
        Page("boxes/arm-1/b01", "B01", (), navigation=("Boxes", "Arm 1")),
        Page("boxes/index", "All boxes", (), navigation=("Boxes",)),
        Page("boxes/arm-1/index", "Arm 1", (), navigation=("Boxes", "Arm 1")),
        Page("hidden", "Hidden", (), listed=False),
    ]
    assert menu(pages) == [
        {"Start": "index.md"},
        {
            "Boxes": [
                {"All boxes": "boxes/index.md"},
                {"Arm 1": [{"Arm 1": "boxes/arm-1/index.md"}, {"B01": "boxes/arm-1/b01.md"}]},
            ]
        },
    ]


def test_changed_theme_is_noticed() -> None:
    with pytest.raises(ThemeChanged):
        mend_page("<html></html>")
