"""Every kind of block as HTML that a strict reader takes, with no text turned into markup."""

from __future__ import annotations

from collections.abc import Iterator
from typing import get_args
from xml.etree import ElementTree

from render.block_samples import HOSTILE, every_block
from slackloop.document import blocks as b
from slackloop.document.walk import anchors, walk
from slackloop.render.html.blocks import blocks_html
from slackloop.render.html.inline import Place


def tree() -> ElementTree.Element:
    """The HTML read by a parser of XML: every element closed, every attribute quoted."""
    html = blocks_html(every_block(), Place("method/sample"))
    for name in ("br", "hr", "input"):
        html = html.replace(f"<{name}>", f"<{name}/>")
    closed = "".join(_closed(part) for part in html.split("<input "))
    for bare in (" required", " hidden", " multiple"):
        closed = closed.replace(bare, "")
    return ElementTree.fromstring(f"<div>{closed}</div>")


def _closed(part: str) -> str:
    if part.startswith(("id=", "type=")):
        head, _, rest = part.partition(">")
        return f"<input {head}/>{rest}"
    return part


def texts(root: ElementTree.Element) -> Iterator[str]:
    yield from root.itertext()


def test_the_samples_hold_every_kind_of_block() -> None:
    kinds = {type(block) for block in walk(every_block())}
    assert kinds == set(get_args(b.Block))


def test_text_stays_text() -> None:
    root = tree()
    assert not list(root.iter("b")), "text became markup"
    assert sum(HOSTILE in text for text in texts(root)) > 30


def test_every_anchor_of_the_blocks_is_in_the_page_once() -> None:
    ids = [element.get("id") for element in tree().iter() if element.get("id")]
    for anchor in anchors(every_block()):
        assert ids.count(anchor) == 1, anchor


def test_links_are_seen_from_the_page() -> None:
    addresses = {element.get("href") for element in tree().iter("a")}
    assert {"#head", "../f.csv", "../index.html", "https://example.org/?a=1&b=2"} <= addresses
