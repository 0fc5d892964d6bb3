"""What the program says, looked up for another language by its English words; English itself is never looked up.

A message may hold places for values: ``{n}`` a whole number, ``{q}`` figures, ``{id}`` one word as it is, ``{own}``
text that a section gave, any other name text that is looked up in turn. The language in force is that of the block of
``speaking``; without one it is English.

The message file of a language: texts, nouns of counts, words of lists and what scripts say.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

import yaml

ENGLISH = "en"
TRANSLATED = ("es",)
"""Languages that there is a folder of content for."""
_HOLE = re.compile(r"\{([a-z]+)[0-9]*\}")
_NUMBERED = re.compile(r"\{([a-z]+[0-9]*)\}")
_KINDS = {"n": r"[0-9][0-9,]*", "q": r"[^A-Za-z;]*[0-9][^;]{0,40}?", "id": r"\S+"}
_AS_IT_IS = ("id", "n", "own")
_LETTERS = re.compile(r"[A-Za-z]{2}")
_WORD = re.compile(r"[^\W\d_]+")
UNITS = frozenset((
    "mm", "mm²", "cm", "m", "km", "in", "ft", "AWG", "V", "mV", "A", "mA", "Ω", "kΩ", "MΩ", "C", "F", "kg", "Hz"
))  # fmt: skip
"""Words that stand with a figure and are the same in every language."""
_EDGES = re.compile(r"(\s*)(.*?)(\s*)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class _Pattern:
    """A message with places for values, as it is found and as it is said."""

    found: re.Pattern[str]
    said: str


@dataclass
class Messages:
    """The messages of one language.

    ``texts`` are by their English words; ``counts`` give the noun of a count by its English singular and plural, in
    the forms that ``form`` chooses from; ``kept`` are words of the job, which stay as they are written.
    """

    language: str
    texts: Mapping[str, str]
    counts: Mapping[tuple[str, str], Mapping[str, str]]
    form: Callable[[int], str]
    and_word: str = "and"
    or_word: str = "or"
    kept: Collection[str] = frozenset()
    not_found: dict[str, None] = field(default_factory=dict)
    """What was looked up and has no message, in the order in which it was asked for."""
    _known: dict[str, str] = field(default_factory=dict)
    _values: dict[str, str | None] = field(default_factory=dict)
    _made: set[str] = field(default_factory=set)

    @cached_property
    def _patterns(self) -> tuple[_Pattern, ...]:
        """Messages with places for values, those with most words of their own first."""
        made = [(len(_HOLE.sub("", english)), english, said) for english, said in self.texts.items() if "{" in english]
        made.sort(key=lambda each: (-each[0], each[1]))
        return tuple(_Pattern(_as_pattern(english), said) for _, english, said in made)

    def text(self, english: str) -> str:
        """What is said for a text; white space round it stays. A text that has no message stays as it is."""
        known = self._known.get(english)
        if known is None:
            known = self._known[english] = self._looked_up(english)
        return known

    def _looked_up(self, english: str) -> str:
        edges = _EDGES.fullmatch(english)
        before, words, after = edges.groups() if edges else ("", english, "")
        if words in self.kept or not words:
            return english
        said = self.texts.get(words)
        if said is None:
            said = self._by_pattern(words)
        if said is None:
            if _LETTERS.search(words) and words not in self._made and not _is_figure(words):
                self.not_found[words] = None
            return english
        self._made.add(said)
        return f"{before}{said}{after}"

    def _by_pattern(self, words: str) -> str | None:
        """What the first message says that fits the words, all values in it being known: none is said by halves."""
        for pattern in self._patterns:
            if match := pattern.found.fullmatch(words):
                values = {name: self._value(name, value) for name, value in match.groupdict().items()}
                if None not in values.values():
                    return _filled(pattern.said, values)
        return None

    def _value(self, name: str, value: str) -> str | None:
        """A value inside a message as it is said; nothing where it is text that has no message."""
        if name.rstrip("0123456789") in _AS_IT_IS or value in self.kept or value in self._made or _is_figure(value):
            return value
        if value not in self._values:
            self._values[value] = self.texts.get(value) or self._by_pattern(value)
        return self._values[value]

    def noun(self, number: int, one: str, many: str) -> str:
        """The noun of a count in the form that the number asks for; the English one where it has no message."""
        forms = self.counts.get((one, many))
        if forms is None:
            self.not_found[f"{one} / {many}"] = None
            return one if number == 1 else many
        told = forms[self.form(number)]
        self._made.add(f"{number:,} {told}")
        return told


def _is_figure(text: str) -> bool:
    """Whether a text is figures and their units, which no language changes."""
    return not set(_WORD.findall(text)) - UNITS


def _filled(said: str, values: Mapping[str, str | None]) -> str:
    return _NUMBERED.sub(lambda hole: values.get(hole[1]) or hole[0], said)


_SPOKEN: ContextVar[Messages | None] = ContextVar("_SPOKEN", default=None)


def _as_pattern(english: str) -> re.Pattern[str]:
    parts, at = "", 0
    for hole in _NUMBERED.finditer(english):
        kind = _KINDS.get(hole[1].rstrip("0123456789"), ".+?")
        parts += re.escape(english[at : hole.start()]) + f"(?P<{hole[1]}>{kind})"
        at = hole.end()
    return re.compile(parts + re.escape(english[at:]), re.DOTALL)


def places(message: str) -> list[str]:
    """The names of the places for values in a message, sorted."""
    return sorted(set(_NUMBERED.findall(message)))


@contextmanager
def speaking(messages: Messages | None) -> Iterator[None]:
    """Say everything in the language of ``messages`` inside the block; None is English."""
    token = _SPOKEN.set(messages)
    try:
        yield
    finally:
        _SPOKEN.reset(token)


def said(english: str) -> str:
    """A text in the language that is spoken."""
    messages = _SPOKEN.get()
    return messages.text(english) if messages else english


def noun(number: int, one: str, many: str) -> str:
    """The noun of a count in the language that is spoken."""
    messages = _SPOKEN.get()
    return messages.noun(number, one, many) if messages else (one if number == 1 else many)


def last_word(english: str) -> str:
    """The word before the last of a list, ``and`` or ``or``, in the language that is spoken."""
    messages = _SPOKEN.get()
    if messages is None:
        return english
    return {"and": messages.and_word, "or": messages.or_word}.get(english, english)


def language() -> str:
    """The language that is spoken, as ``es``."""
    messages = _SPOKEN.get()
    return messages.language if messages else ENGLISH


FOLDER = "program"
"""The folder of message files in the folder of a language; they are read together."""


class CatalogueFaulty(Exception):
    """A message file that cannot be worked with; the message says why."""


@dataclass(frozen=True)
class Catalogue:
    """Every message of a language; ``scripts`` are literals of the pages' scripts, by their English words."""

    language: str
    texts: dict[str, str]
    counts: dict[tuple[str, str], dict[str, str]]
    scripts: dict[str, str]
    and_word: str
    or_word: str

    def messages(self, kept: Collection[str] = frozenset()) -> Messages:
        """The messages, ready to be spoken; ``kept`` are words that stay as they are."""
        from babel import Locale  # most jobs are in English alone, and need none of it

        form = Locale.parse(self.language).plural_form
        return Messages(self.language, self.texts, self.counts, form, self.and_word, self.or_word, frozenset(kept))


def read_catalogue(folder: Path, language: str) -> Catalogue:
    """The messages in a language's folder; raises ``CatalogueFaulty`` for a file that does not fit."""
    texts: dict[str, str] = {}
    scripts: dict[str, str] = {}
    counts: dict[tuple[str, str], dict[str, str]] = {}
    words: dict[str, str] = {}
    for path in sorted((folder / FOLDER).glob("*.yml")):
        read = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)
        if not isinstance(read, dict) or not set(read) <= {"texts", "scripts", "counts", "lists"}:
            raise CatalogueFaulty(f"{path.name}: texts, scripts, counts or lists are expected")
        for into, key in ((texts, "texts"), (scripts, "scripts"), (words, "lists")):
            for english, said in (read.get(key) or {}).items():
                if not isinstance(english, str) or not isinstance(said, str) or not said:
                    raise CatalogueFaulty(f"{path.name}: {key}: {english!r} is no text with its text")
                if into.setdefault(english, said) != said:
                    raise CatalogueFaulty(f"{path.name}: {key}: {english!r} is said in two ways")
        for each in read.get("counts") or ():
            one, many = each["english"]
            counts[one, many] = {form: each[form] for form in each if form != "english"}
    return Catalogue(language, texts, counts, scripts, words.get("and", "and"), words.get("or", "or"))
