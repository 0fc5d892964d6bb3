"""Pages and cards in the language that is spoken: what the program says in them is looked up, ids and limits stay."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from functools import cache
from typing import Any, TypeVar, cast

from slackloop.document import blocks as b
from slackloop.document.boxes.card import Card, CardElectrode, CardFact, Watch
from slackloop.document.boxes.stage_work import Entry, Said, SoilBand, StageWork
from slackloop.document.inline import Text, Value, line
from slackloop.document.page import Page
from slackloop.document.table import Column, Part, Table
from slackloop.document.target import FileTarget, OtherLanguage, PageTarget
from slackloop.language.messages import said

SAID: dict[type[Any], tuple[str, ...]] = {
    Text: ("text",), Value: ("text",), b.Fact: ("label",), b.Sign: ("words",), b.SignRow: ("title",),
    b.Caution: ("title",), b.Note: ("title",), b.Step: ("only_where",), b.Form: ("title",), b.Folded: ("title",),
    b.BoxFinder: ("label",), b.Drawing: ("title", "description"), Table: ("title", "banner"), Column: ("heading",),
    Part: ("title",), Page: ("title", "description"), Card: ("title", "about", "group"),
    CardFact: ("label", "value", "more"), CardElectrode: ("rod", "between", "clear"), Watch: ("title", "text"),
    StageWork: ("title", "about"), Entry: ("label", "limit", "after"), Said: ("text", "tag"),
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
