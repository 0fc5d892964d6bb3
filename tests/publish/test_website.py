"""The website as files: complete, escaped, closed to the outside, and the same every time."""

from __future__ import annotations

import hashlib
import re
from dataclasses import replace
from pathlib import Path

import pytest

from publish.site_samples import FACTS, SampleBook, box_page, sample_book
from slackloop.handbook.page import Page
from slackloop.publish.website import WebsiteFaulty, build_website
from slackloop.publish.website_mend import ThemeChanged, mend_content, mend_page
from slackloop.publish.website_menu import PagesRefused, menu


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("site") / "website"
    build_website(sample_book(), folder)
    return folder


def read(site: Path, name: str) -> str:
    return (site / name).read_text(encoding="utf-8")


def test_every_page_is_written_and_no_other(site: Path) -> None:
    written = sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))
    assert written == [
        "boxes/b01.html",
        "boxes/b02.html",
        "index.html",
        "method/opening-the-jacket.html",
        "tables/volts.html",
        "unlisted.html",
    ]


def test_what_a_reader_does_not_need_is_left_out(site: Path) -> None:
    names = [path.relative_to(site).as_posix() for path in site.rglob("*")]
    assert not [name for name in names if name.endswith((".map", ".xml", ".gz", ".json")) or "lunr" in name]
    assert "search/search_index.js" in names
    assert sum(path.stat().st_size for path in (site / "assets").rglob("*") if path.is_file()) < 400_000


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
    book = replace(sample_book(), facts=replace(FACTS, draft=True))
    build_website(book, tmp_path / "site")
    pages = list((tmp_path / "site").rglob("*.html"))
    assert len(pages) == len(book.pages)
    for page in pages:
        text = page.read_text(encoding="utf-8")
        assert "draft-banner" in text
        assert "<strong>DRAFT</strong> (for construction)" in text


def test_first_lines_like_settings_stay_text(site: Path) -> None:
    text = read(site, "unlisted.html")
    assert "Note: a page whose first line looks like a setting." in text
    assert "Its second line stays too." in text


def test_links_in_markdown_and_in_raw_html_lead_to_pages(site: Path) -> None:
    text = read(site, "method/opening-the-jacket.html")
    assert 'href="../tables/volts.html#volts-by-box"' in text
    assert '<a href="../boxes/b01.html">the box</a>' in text


def test_search_dialog_has_a_name(site: Path) -> None:
    assert 'role="dialog" aria-label="Search"' in read(site, "index.html")


def test_parts_of_a_page_have_names_of_their_own(site: Path) -> None:
    names = re.findall(r'<nav [^>]*aria-label="([^"]*)"', read(site, "boxes/b01.html"))
    assert "You are here" in names
    assert names.count("Navigation") == 1


def test_long_page_lists_its_parts(site: Path) -> None:
    text = read(site, "method/opening-the-jacket.html")
    listed = re.search(r'<details class="page-contents">.*?</details>', text)
    assert listed
    assert re.findall(r'href="#([\w-]+)"', listed[0]) == ["wear", "bring", "do", "checks"]
    assert "page-contents" not in read(site, "tables/volts.html")


def test_same_book_gives_the_same_bytes(site: Path, tmp_path: Path) -> None:
    build_website(sample_book(), tmp_path / "again")
    assert digests(site) == digests(tmp_path / "again")


def digests(folder: Path) -> dict[str, str]:
    files = [path for path in sorted(folder.rglob("*")) if path.is_file()]
    return {path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def test_broken_link_fails_the_build(tmp_path: Path) -> None:
    book = SampleBook((Page("index.md", "Start", '# Start\n\n<a href="nowhere.md">x</a>'),))
    with pytest.raises(WebsiteFaulty, match=r"nowhere\.html.*leads to no file"):
        build_website(book, tmp_path / "site")


def test_outside_picture_fails_the_build(tmp_path: Path) -> None:
    book = SampleBook((Page("index.md", "Start", "# Start\n\n![x](https://example.org/x.png)"),))
    with pytest.raises(WebsiteFaulty, match="fetched from outside"):
        build_website(book, tmp_path / "site")


def test_link_to_the_hosting_address_is_allowed_and_no_other(tmp_path: Path) -> None:
    book = SampleBook((Page("index.md", "Start", "# Start\n\n[x](https://example.org/handbook/boxes/b01.html)"),))
    build_website(book, tmp_path / "hosted", address="https://example.org/handbook")
    with pytest.raises(WebsiteFaulty, match="leads outside"):
        build_website(book, tmp_path / "other", address="https://example.org/hand")


@pytest.mark.parametrize(
    ("second", "message"),
    [
        (Page("boxes/B01.md", "Twin", "x"), "one address"),
        (Page("README.md", "Twin", "x"), "one address"),
        (Page("../up.md", "Up", "x"), "no file can safely have"),
        (Page("a/./b.md", "Dot", "x"), "no file can safely have"),
        (Page("search/x.md", "Search", "x"), "keeps for itself"),
    ],
)
def test_clashing_and_unsafe_addresses_are_refused(second: Page, message: str, tmp_path: Path) -> None:
    book = SampleBook((*sample_book().pages, second))
    with pytest.raises(PagesRefused, match=message):
        build_website(book, tmp_path / "site")
    assert not (tmp_path / "site").exists()


def test_book_without_a_start_page_is_refused(tmp_path: Path) -> None:
    with pytest.raises(PagesRefused, match="start page"):
        build_website(SampleBook((box_page(1),)), tmp_path / "site")


def test_folder_that_holds_something_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(FileExistsError):
        build_website(sample_book(), tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_printable_copy_is_put_beside_the_pages_and_linked(tmp_path: Path) -> None:
    pdf = tmp_path / "made.pdf"
    pdf.write_bytes(b"%PDF-1.7 sample")
    build_website(sample_book(), tmp_path / "site", pdf=pdf)
    assert (tmp_path / "site" / "handbook.pdf").read_bytes() == b"%PDF-1.7 sample"
    assert '<a href="../handbook.pdf">' in read(tmp_path / "site", "boxes/b01.html")


def test_progress_counts_every_page(tmp_path: Path) -> None:
    seen: list[tuple[str, int, int]] = []
    build_website(sample_book(), tmp_path / "site", progress=lambda *step: seen.append(step))
    assert seen == [("pages", done, 6) for done in range(1, 7)]


def test_build_prints_nothing(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    build_website(sample_book(), tmp_path / "site")
    assert capfd.readouterr() == ("", "")


def test_menu_groups_pages_and_puts_indexes_first() -> None:
    pages = [
        Page("index.md", "Start", ""),
        Page("boxes/arm-1/b01.md", "B01", "", ("Boxes", "Arm 1")),
        Page("boxes/index.md", "All boxes", "", ("Boxes",)),
        Page("boxes/arm-1/index.md", "Arm 1", "", ("Boxes", "Arm 1")),
        Page("hidden.md", "Hidden", "", listed=False),
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


def test_boxes_are_named_in_words() -> None:
    html = '<div class="admonition caution">\n<p class="admonition-title">Sharp blade</p>\n</div>'
    assert '<span class="box-kind">Caution</span> Sharp blade' in mend_content(html)
    named = html.replace("Sharp blade", "Caution: sharp blade")
    assert mend_content(named) == named


def test_table_gets_a_frame_and_column_heads() -> None:
    html = mend_content("<table>\n<thead><tr><th>A</th></tr></thead><tbody><tr><td>1</td></tr></tbody></table>")
    assert html.startswith('<div class="table-scroll"><table class="ruled">')
    assert '<th scope="col">A</th>' in html
    assert html.endswith("</table></div>")


def test_table_to_tick_carries_its_heads_in_each_cell() -> None:
    html = mend_content(
        "<table><thead><tr><th>A &amp; b</th><th>Done</th></tr></thead>"
        '<tbody><tr><td>C-JACKET-1</td><td><span class="tick"></span></td></tr></tbody></table>'
    )
    assert '<td data-label="A &amp; b" class="short"><span class="held">C-JACKET-1</span></td>' in html
    assert '<td data-label="Done"><span class="tick"></span></td>' in html
    assert 'class="ruled cards"' in html


def test_changed_theme_is_noticed() -> None:
    with pytest.raises(ThemeChanged):
        mend_page("<html></html>")


def test_files_are_put_beside_the_pages_and_links_to_them_are_checked(tmp_path: Path) -> None:
    start = Page("index.md", "Start", "# Start\n\n[A list](schedules/list.csv)", kind="start")
    build_website(SampleBook((start,)), tmp_path / "site", files={"schedules/list.csv": b"a,b\r\n"})
    assert (tmp_path / "site" / "schedules" / "list.csv").read_bytes() == b"a,b\r\n"
    with pytest.raises(WebsiteFaulty, match=r"list\.csv"):
        build_website(SampleBook((start,)), tmp_path / "without")
