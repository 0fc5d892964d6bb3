"""The message file of a language: texts, nouns of counts, words of lists and what scripts say."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

import yaml

from slackloop.language.messages import Messages

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
