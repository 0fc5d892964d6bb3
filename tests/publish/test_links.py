"""Every address of a written site is checked as a browser would read it."""

from __future__ import annotations

from pathlib import Path

import pytest

from slackloop.publish.links import check_site, read_document


def faults(folder: Path, page: str, *, address: str = "", style: str = "") -> list[str]:
    (folder / "sub").mkdir(exist_ok=True)
    (folder / "index.html").write_text('<h1 id="top">x</h1>', encoding="utf-8")
    (folder / "sub" / "page.html").write_text(page, encoding="utf-8")
    if style:
        (folder / "style.css").write_text(style, encoding="utf-8")
    return [fault.fault for fault in check_site(folder, address=address)]


@pytest.mark.parametrize(
    "page",
    [
        '<a href="../index.html#top">x</a>',
        "<a href='../index.html'>x</a>",
        "<a href=../index.html>x</a>",
        '<a href="../">x</a>',
        '<b id="here">x</b><a href="#here">x</a>',
        '<b id="a&amp;b">x</b><a href="#a%26b">x</a>',
        '<img src="data:image/gif;base64,AAAA">',
        '<!-- <img src="https://example.org/x"> -->',
        '<script>const a = "<img src=https://example.org/x>";</script>',
        '<p>src="https://example.org/x" in text</p>',
        '<p title="a > b"><a href="page.html?q=1">x</a></p>',
    ],
)
def test_good_address_has_no_fault(page: str, tmp_path: Path) -> None:
    assert faults(tmp_path, page) == []


@pytest.mark.parametrize(
    ("page", "fault"),
    [
        ('<a href="gone.html">x</a>', "leads to no file"),
        ('<a href="../index.html#gone">x</a>', "leads to no element of that name"),
        ('<a href="#gone">x</a>', "leads to no element of that name"),
        ('<a href="/index.html">x</a>', "leads out of the site's folder"),
        ('<a href="../../x.html">x</a>', "leads out of the site's folder"),
        ('<a href="https://example.org/">x</a>', "leads outside the site"),
        ('<a href="mailto:a@example.org">x</a>', "leads outside the site"),
        ('<img src="https://example.org/x.png">', "is fetched from outside the site"),
        ('<img src="//example.org/x.png">', "is fetched from outside the site"),
        ('<script src="https://example.org/x.js"></script>', "is fetched from outside the site"),
        ('<SCRIPT SRC=https://example.org/x.js></SCRIPT>', "is fetched from outside the site"),
        ('<link rel="stylesheet" href="https://example.org/x.css">', "is fetched from outside the site"),
        ('<svg><image xlink:href="https://example.org/x"/></svg>', "is fetched from outside the site"),
        ('<img srcset="https://example.org/x 2x">', "is fetched from outside the site"),
        ('<p style="background: url(https://example.org/x)">x</p>', "is fetched from outside the site"),
        ("<style>@import 'https://example.org/x.css';</style>", "is fetched from outside the site"),
        ('<form action="https://example.org/">x</form>', "is fetched from outside the site"),
        ('<p title="a > b"><img src="gone.png"></p>', "leads to no file"),
    ],
)
def test_wrong_address_is_found(page: str, fault: str, tmp_path: Path) -> None:
    assert faults(tmp_path, page) == [fault]


def test_style_sheets_are_read(tmp_path: Path) -> None:
    style = "a{background:url('https://example.org/x')} b{background:url(gone.png)} /* url(https://example.org) */"
    assert faults(tmp_path, "", style=style) == ["leads to no file", "is fetched from outside the site"]


def test_hosting_address_is_allowed_for_a_link_only(tmp_path: Path) -> None:
    page = '<a href="https://example.org/book/x.html">x</a><link rel="canonical" href="https://example.org/book/">'
    assert faults(tmp_path, page, address="https://example.org/book") == []
    fetched = '<img src="https://example.org/book/x.png">'
    assert faults(tmp_path, fetched, address="https://example.org/book") == ["is fetched from outside the site"]
    near = '<a href="https://example.org/bookish/">x</a>'
    assert faults(tmp_path, near, address="https://example.org/book") == ["leads outside the site"]


def test_names_are_read_with_their_entities() -> None:
    assert read_document('<p id="a&lt;b">x</p><a name="c">x</a><input name="d">').names == {"a<b", "c"}
