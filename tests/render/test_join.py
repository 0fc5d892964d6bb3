"""Cards that are set in batches: the joined document is the same as one that is set whole."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime
from functools import cache, partial
from io import BytesIO
from pathlib import Path
from typing import Any

import pypdf
import pytest

from book_samples import book_of
from samples import REPOSITORY
from slackloop.document.boxes.card import CardMaker
from slackloop.pipeline import handbook_folder
from slackloop.render.typst.book import Cover
from slackloop.render.typst.cards import BATCH, card_files, card_texts
from slackloop.render.typst.joined_pdf import NotOfOurPress, joined_pdf
from slackloop.render.typst.printed import prepare_printing

SMALL = REPOSITORY / "site_data" / "jobs" / "kiln-court.yml"
COVER = Cover("", "Site engineer", "", "", ())
WHEN = datetime(2026, 3, 2, tzinfo=UTC)


@cache
def cards() -> tuple[Any, Any]:
    book = book_of(SMALL)
    return tuple(CardMaker(book.context).cards()), book.header


def printed(aside: Path, batch: int) -> bytes:
    made, header = cards()

    def files(shown: Callable[[str], str], drawn: Callable[[str], str]) -> Iterator[dict[str, bytes]]:
        return card_files(
            made, header, COVER, paper="a4", timestamp=WHEN, address="", failed=False, shown=shown, drawn=drawn,
            batch=batch,
        )  # fmt: skip

    texts = card_texts(made, header, COVER)
    return prepare_printing(files, texts, what="printed cards", timestamp=WHEN, aside=aside).data()


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory) -> tuple[pypdf.PdfReader, pypdf.PdfReader]:
    """The cards set whole, and in batches of two."""
    aside = tmp_path_factory.mktemp("aside")
    whole, joined = printed(aside, BATCH), printed(aside, 2)
    assert whole != joined
    return pypdf.PdfReader(BytesIO(whole), strict=True), pypdf.PdfReader(BytesIO(joined), strict=True)


def marks(reader: pypdf.PdfReader) -> list[tuple[str, int, int]]:
    """Every bookmark: its title, its page and how deep it lies."""

    def walk(items: list[Any], deep: int) -> Iterator[tuple[str, int, int]]:
        for item in items:
            if isinstance(item, list):
                yield from walk(item, deep + 1)
            else:
                page = reader.get_destination_page_number(item)
                assert page is not None
                yield str(item.title), page, deep

    return list(walk(reader.outline, 0))


def tags(reader: pypdf.PdfReader) -> list[tuple[str, int | None]]:
    """Every tag in the order of reading, with its page; each names the tag that it stands in as its parent."""
    numbers = {page.indirect_reference.idnum: n for n, page in enumerate(reader.pages) if page.indirect_reference}

    def walk(reference: Any, parent: int) -> Iterator[tuple[str, int | None]]:
        element = reference.get_object()
        if not isinstance(element, dict) or "/S" not in element:
            return
        assert element.raw_get("/P").idnum == parent
        pages = [each.raw_get("/Pg").idnum for each in (element, *_marked(element)) if "/Pg" in each]
        yield str(element["/S"]), numbers[pages[0]] if pages else None
        kids = element.get("/K", [])
        for kid in kids if isinstance(kids, list) else [kids]:
            if hasattr(kid, "idnum"):
                yield from walk(kid, reference.idnum)

    root = reader.trailer["/Root"].raw_get("/StructTreeRoot")
    (top,) = root.get_object()["/K"]
    return list(walk(top, root.idnum))


def _marked(element: Any) -> Iterator[Any]:
    kids = element.get("/K", [])
    for kid in kids if isinstance(kids, list) else [kids]:
        if isinstance(kid, dict) and "/MCID" in kid:
            yield kid


def test_pages_read_the_same(both: tuple[pypdf.PdfReader, pypdf.PdfReader]) -> None:
    whole, joined = both
    assert [page.extract_text() for page in whole.pages] == [page.extract_text() for page in joined.pages]
    assert len(whole.pages) == 6


def test_bookmarks_lead_to_the_same_pages(both: tuple[pypdf.PdfReader, pypdf.PdfReader]) -> None:
    whole, joined = both
    assert marks(whole) == marks(joined)
    assert len(marks(whole)) == 5


def test_tags_are_the_same_but_for_the_parts(both: tuple[pypdf.PdfReader, pypdf.PdfReader]) -> None:
    whole, joined = (tags(reader) for reader in both)
    assert [each for each in joined if each[0] != "/Part"] == [each for each in whole if each[0] != "/Part"]
    assert [name for name, _ in joined if name.startswith("/H")] == ["/H1", *["/H2"] * 4]
    assert len(whole) > 200


def test_each_page_finds_its_tags(both: tuple[pypdf.PdfReader, pypdf.PdfReader]) -> None:
    """Every marked piece of a page has an entry in the list of the page's key, and that tag is of this page."""
    for reader in both:
        root: Any = reader.trailer["/Root"]["/StructTreeRoot"]
        nums = root["/ParentTree"]["/Nums"]
        listed = dict(zip(nums[::2], nums[1::2], strict=True))
        assert sorted(listed) == list(listed)
        assert max(listed) < root["/ParentTreeNextKey"]
        untagged = [n for n, page in enumerate(reader.pages) if "/StructParents" not in page]
        assert untagged == [1], "the empty back of the list"
        for page in reader.pages:
            if "/StructParents" not in page:
                continue
            tagged = listed[page["/StructParents"]].get_object()
            assert page.indirect_reference is not None
            own = page.indirect_reference.idnum
            for reference in tagged:
                element = reference.get_object()
                shown = [element, *_marked(element)]
                assert own in {each.raw_get("/Pg").idnum for each in shown if "/Pg" in each}


def test_facts_of_the_document_stay(both: tuple[pypdf.PdfReader, pypdf.PdfReader]) -> None:
    whole, joined = both
    assert whole.metadata == joined.metadata
    for reader in both:
        told = reader.trailer["/Root"]["/Metadata"].get_data()
        assert f"<xmpTPg:NPages>{len(reader.pages)}<".encode() in told
        assert reader.trailer["/Root"]["/OutputIntents"]


def test_the_same_batches_give_the_same_bytes(tmp_path: Path) -> None:
    assert printed(tmp_path, 2) == printed(tmp_path, 2)


def test_what_our_press_does_not_build_is_refused() -> None:
    for data in (b"%PDF-1.7\nstartxref\n0\n%%EOF", b"%PDF-1.7", b""):
        with pytest.raises(NotOfOurPress):
            joined_pdf([data] * 2)


def test_parts_that_cannot_be_joined_are_set_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A Typst of another kind costs memory and nothing else: the build goes on with one document."""
    given: list[int] = []

    def refuse_several(parts: Sequence[bytes]) -> bytes:
        given.append(len(parts))
        if len(parts) > 1:
            raise NotOfOurPress("of another kind")
        return parts[0]

    monkeypatch.setattr("slackloop.render.typst.press.joined_pdf", refuse_several)
    monkeypatch.setattr(handbook_folder, "card_files", partial(card_files, batch=2))
    book = book_of(SMALL)
    data = handbook_folder._cards(book.context, COVER, "a4", tmp_path, plain=False).data()
    assert given[0] > 1
    assert given[1:] == [1]
    monkeypatch.setattr(handbook_folder, "card_files", card_files)
    assert data == handbook_folder._cards(book.context, COVER, "a4", tmp_path, plain=False).data()
    assert given[2:] == [1]


def pdf_with(*streams: bytes) -> bytes:
    """A file as our press writes it, with the streams given."""
    bodies = [b"<</Type/Catalog/Pages 2 0 R>>", b"<</Type/Pages/Count 0/Kids[]>>", b"<</Title(Sample)>>"]
    bodies += [b"<</Length %d>>\nstream\n%s\nendstream" % (len(each), each) for each in streams]
    data, places = b"%PDF-1.7\n%\x80\x80\x80\x80\n\n", []
    for number, body in enumerate(bodies, 1):
        places.append(len(data))
        data += b"%d 0 obj\n%s\nendobj\n\n" % (number, body)
    table = b"".join(b"%010d 00000 n\r\n" % place for place in places)
    head = b"xref\n0 %d\n0000000000 65535 f\r\n" % (len(bodies) + 1)
    end = b"trailer\n<</Size %d/Root 1 0 R/Info 3 0 R/ID[(a)(b)]>>\nstartxref\n" % (len(bodies) + 1)
    return data + head + table + end + b"%d\n%%%%EOF" % len(data)


def test_a_stream_that_ends_in_a_carriage_return_is_closed_beyond_doubt() -> None:
    inside = b"1\r\nendstream\nendobj\n2"
    streams = (b"first\r", b"second", b"third\r\n", inside, b"\r")
    given = pdf_with(*streams)
    made = joined_pdf([given])
    assert len(made) < len(given), "only the empty lines between objects are gone"
    for data in (given, made):
        reader = pypdf.PdfReader(BytesIO(data), strict=True)
        held = [reader.get_object(number) for number in range(4, 4 + len(streams))]
        assert tuple(each.get_data() for each in held if isinstance(each, pypdf.generic.StreamObject)) == streams
    assert b"first\r\nendstream" in given
    assert b"first\r\r\nendstream" in made
    assert b"\n\r\r\nendstream" in made
    assert inside in made, "what only looks like an end stays"


def test_a_file_without_doubt_stays_byte_for_byte() -> None:
    other = b"%PDF of another\r\nendstream kind"
    for given in (pdf_with(b"second", b"third\r\n"), pdf_with(b"1\r\nendstream\n2"), other):
        assert joined_pdf([given]) == given
