"""The crew's pages and cards in another language: the same job, the same ids, the text of that language.

What is for the designer and the inspector stays in English; links lead there.

Pages and cards in the language that is spoken: what the program says in them is looked up, ids and limits stay.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any, TypeVar, cast

from slackloop.document import blocks as b
from slackloop.document.blocks import Note, Paragraph
from slackloop.document.book import CARDS_NAME, PRINTED, Book, book_files, box_pages, inserts_of
from slackloop.document.boxes.card import Card, CardElectrode, CardFact, Watch, cards_of
from slackloop.document.boxes.stages import Entry, Said, SoilBand, StageWork
from slackloop.document.context import Context
from slackloop.document.inline import FileTarget, OtherLanguage, PageTarget, Text, Value, line
from slackloop.document.page import DocumentHeader, Page
from slackloop.document.pages.day_sheets import day_sheets
from slackloop.document.pages.lists import PART_TITLES, boxes_page, part_page
from slackloop.document.pages.section_page import SectionPage
from slackloop.document.pages.start_page import start_page
from slackloop.document.recorded import Recorded, value_text
from slackloop.document.table import Column, Part, Table
from slackloop.document.walk import check_links
from slackloop.language.messages import Catalogue, Messages, read_catalogue, said, speaking
from slackloop.sections.content import refuse_faults
from slackloop.sections.translated import Translation, translated_content
from slackloop.site.models import Job
from slackloop.site.site_contacts import checked_words
from slackloop.source.finding import Placed

SAID: dict[type[Any], tuple[str, ...]] = {
    Text: ("text",), Value: ("text",), b.Fact: ("label",), b.Sign: ("words",), b.SignRow: ("title",),
    b.Caution: ("title",), b.Note: ("title",), b.Step: ("only_where",), b.Form: ("title",), b.Folded: ("title",),
    b.BoxFinder: ("label",), b.Drawing: ("title", "description"), Table: ("title", "banner"), Column: ("heading",),
    Part: ("title",), Page: ("title", "description"), Card: ("title", "about", "group"),
    CardFact: ("label", "value", "more"), CardElectrode: ("rod", "between", "clear"), Watch: ("title", "text"),
    StageWork: ("title", "about", "waits"), Entry: ("label", "limit", "after", "tag"), Said: ("text", "tag"),
    SoilBand: ("soil", "passes", "about"),
}  # fmt: skip
"""The fields of each kind that hold words for a reader; all other text is an id, an address or a drawing."""
NAMED: dict[type[Any], str] = {b.BoxFinder: "values", Page: "values"}
"""Fields of pairs, of which the second is said and the first is a name."""
IN_ENGLISH = "The text above is in English. Have it explained to you before you start."
T = TypeVar("T")


def said_page(page: Page, language: str) -> Page:
    """A page as it is said in ``language``."""
    made = cast(Page, _said(page))
    return replace(made, language=language, navigation=tuple(said(each) for each in page.navigation))


def said_card(card: Card) -> Card:
    """A card as it is said; its drawing was made in that language, and is left as it is."""
    made = cast(Card, _said(replace(card, figure=None)))
    return replace(made, figure=card.figure)


def _said(value: Any) -> Any:
    if isinstance(value, tuple):
        return tuple(_said(each) for each in value)
    if not is_dataclass(value) or isinstance(value, type):
        return value
    kind = type(value)
    changes: dict[str, Any] = {}
    for name in _names(kind):
        old = getattr(value, name)
        if isinstance(old, str):
            new: Any = said(old) if name in SAID.get(kind, ()) else old
        elif NAMED.get(kind) == name:
            new = tuple((first, said(second)) for first, second in old)
        else:
            new = _said(old)
        if new is not old:
            changes[name] = new
    return _marked(value, replace(value, **changes) if changes else value)


def _marked(old: Any, new: Any) -> Any:
    """A finding whose words are in English alone says so."""
    if isinstance(old, b.Note) and old.kind in ("danger", "warning") and not old.title and new.blocks == old.blocks:
        return replace(new, blocks=(*new.blocks, b.Paragraph(line(said(IN_ENGLISH)), "small")))
    return new


@cache
def _names(kind: type[Any]) -> tuple[str, ...]:
    return tuple(each.name for each in fields(kind))


def linked(value: T, pages: frozenset[str], files: dict[str, str]) -> T:
    """The same with its links: a page that this edition lacks is the English one; ``files`` lie beside the English."""
    return cast(T, _linked(value, pages, files))


def _linked(value: Any, pages: frozenset[str], files: dict[str, str]) -> Any:
    match value:
        case PageTarget(page, anchor):
            return value if page in pages else OtherLanguage(f"../{page}", anchor)
        case FileTarget(name):
            return FileTarget(f"../{files.get(name, name)}")
        case tuple():
            return tuple(_linked(each, pages, files) for each in value)
    if not is_dataclass(value) or isinstance(value, type):
        return value
    changes = {}
    for name in _names(type(value)):
        old = getattr(value, name)
        if isinstance(old, str | int | float | None):
            continue
        new = _linked(old, pages, files)
        if new is not old and new != old:
            changes[name] = new
    return replace(cast(Any, value), **changes) if changes else value


NOT_TRANSLATED = "This page is not translated yet. Have it explained to you before you start."
OWN_WORDS = frozenset(
    {"name", "note", "note_in", "title", "site", "client", "contractor", "closing", "listing", "part", "number",
     "reference", "prepared", "checked", "approved", "jacket", "id", "address", "owner", "permit", "change", "a", "b",
     "revision"}
)  # fmt: skip
"""Keys of a job under which its writer's own words stand: they stay as they were written."""
OWN_PARTS = frozenset({"people", "emergency", "local_code", "locates", "answers"})


@dataclass(frozen=True)
class Edition:
    """The edition in one language; ``header`` is as it is said there."""

    language: str
    pages: tuple[Page, ...]
    header: DocumentHeader
    cards: tuple[Card, ...]
    messages: Messages
    scripts: Mapping[str, str]
    others: frozenset[str]
    """The ids of the pages that there are in both languages."""
    checked: str = ""
    """Who has checked the translation, or that nobody has."""
    findings: tuple[Placed, ...] = ()
    """What is shown in English for want of a translation."""

    @property
    def cards_name(self) -> str:
        """The file of its cards."""
        return cards_name(self.language)


def cards_name(language: str) -> str:
    """The file of the cards in a language, as ``cards-es.pdf``."""
    return CARDS_NAME.replace(".", f"-{language}.")


def make_edition(book: Book, translation: Translation, catalogue: Catalogue, language: str) -> Edition:
    """The edition of a book in another language. Raises ``LinksBroken`` where a link leads nowhere."""
    english = book.context
    messages = catalogue.messages(own_words(english.job) | recorded_words(english.recorded))
    with speaking(messages):
        context = replace(
            english, content=translation.content, cards_file=cards_name(language), made={}, made_cards=(),
            made_wiring={}, made_checks={},
            _held={}, _first_boxes={},
        )  # fmt: skip
        pages = tuple(_pages(context, book, translation.english, language))
        ids = frozenset(page.id for page in pages)
        files = {CARDS_NAME: cards_name(language)}
        pages = tuple(linked(page, ids, files) for page in pages)
        cards = tuple(said_card(card) for card in cards_of(context))
        checked = said(checked_words(english.job.translation, language))
        header = replace(
            book.header, status=said(book.header.status), name=said(book.header.name),
            results=said(context.recorded.statement) if context.recorded else "",
        )
    refuse_faults(context.content.told(context.renderer.findings))
    beside = (*PRINTED, cards_name(language), *book_files())
    check_links(pages, [f"../{name}" for name in beside])
    return Edition(
        language, pages, header, cards, messages, catalogue.scripts, ids, checked, translation.findings
    )


def _pages(context: Context, book: Book, english: frozenset[str], language: str) -> Iterator[Page]:
    """Every page that a crew reads, in reading order, the start page first."""
    inserts = inserts_of(context)
    plan = next(iter(inserts.drawings("site-plan")), None)
    start = said_page(start_page(context, book.header.draft, plan, PRINTED, book.pages), language)
    first, *others = start.blocks
    checked = said(checked_words(context.job.translation, language))
    yield replace(start, blocks=(first, Paragraph(line(f"{checked[:1].upper()}{checked[1:]}."), "small"), *others))
    yield said_page(boxes_page(context), language)
    for page in (*box_pages(context), *(made for part in PART_TITLES if (made := part_page(context, part)))):
        yield said_page(page, language)
    for each in context.sections:
        page = said_page(SectionPage(context, each, inserts).page(), language)
        if each.section.file in english:
            warned = Note("warning", "", (Paragraph(line(said(NOT_TRANSLATED))),))
            page = replace(page, blocks=(warned, *page.blocks), language="en")
        yield page
    for page in day_sheets(context):
        yield said_page(page, language)


def own_words(job: Job) -> frozenset[str]:
    """Every text that the writer of a job chose freely: names, titles, notes, people."""
    return frozenset(_own(job.model_dump(mode="json"), own=False))


def _own(value: Any, *, own: bool) -> Iterator[str]:
    if isinstance(value, dict):
        for key, each in value.items():
            yield from _own(each, own=own or key in OWN_WORDS or key in OWN_PARTS)
    elif isinstance(value, list):
        for each in value:
            yield from _own(each, own=own)
    elif own and isinstance(value, str):
        yield value


def recorded_words(recorded: Recorded | None) -> frozenset[str]:
    """Every text that a record holds: values, names and notes stay as they were written."""
    if recorded is None:
        return frozenset()
    found = {text for each in recorded.records for text in (value_text(each), each.value, each.by, each.note)}
    return frozenset(found | {f"{each.note}." for each in recorded.records})


def load_edition(
    book: Book, ours: Path, firm: Path | None, language: str, translation: Translation | None = None
) -> Edition:
    """The edition from the content folders: the firm's own, if any, and ours."""
    translation = translation or translated_content(book.context.content, ours, firm, language)
    return make_edition(book, translation, read_catalogue(ours / language, language), language)
