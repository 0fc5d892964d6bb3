"""The content in another language: each section and word by the file of its language, else in English with a warning.

A translation that has fallen behind its English is not used: a crew would miss a step or a check.

What two languages of one section have in common: ids, steps, checks, template values, inserts and links.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from slackloop.sections.catalogue import Words
from slackloop.sections.content import WORD_FILES, Content, read_file
from slackloop.sections.section import Block, Insert, Prose, Section
from slackloop.sections.section_reader import read_section, read_typed
from slackloop.source.finding import Placed, found_at

_TOKEN = re.compile(r"\{\{.*?\}\}|\{%.*?%\}|\]\([^)]*\)|\[\[[^\]]*\]\]", re.DOTALL)
_TEXTS = frozenset({"title", "summary", "text", "card", "limit", "label", "value", "more", "clause"})
"""Keys of front matter that hold text of a reader; their template values and links stay the same."""
_FREE = frozenset({"search"})


def skeleton(section: Section) -> dict[str, Any]:
    """Everything of a section that does not change with its language, by where it stands."""
    found = {f"front {key}": _bare(value, key) for key, value in section.front.model_dump().items()}
    for number, group in enumerate(section.groups):
        found[f"group {number}"] = (bool(group.title), len(group.blocks))
        for place, block in enumerate(group.blocks):
            found[f"group {number} block {place}"] = _block(block)
    return found


def tokens(text: str) -> tuple[str, ...]:
    """Template values, loops, inserts and link targets of a text, sorted: a sentence may put them in another order."""
    return tuple(sorted(" ".join(each.split()) for each in _TOKEN.findall(text)))


def differences(one: Section, other: Section) -> tuple[str, ...]:
    """Where two languages of a section differ in more than words."""
    first, second = skeleton(one), skeleton(other)
    return tuple(place for place in (first | second) if first.get(place) != second.get(place))


def _bare(value: Any, key: str) -> Any:
    if key in _FREE:
        return None
    if isinstance(value, str):
        return (bool(value), tokens(value)) if key in _TEXTS else value
    if isinstance(value, dict):
        return {name: _bare(each, name) for name, each in value.items()}
    if isinstance(value, list | tuple):
        return [_bare(each, key) for each in value]
    return value


def _block(block: Block) -> Any:
    if isinstance(block, Prose):
        return "prose", tokens(block.text)
    if isinstance(block, Insert):
        return block.kind, block.name
    texts = (block.action, block.why, block.reject, block.extra)
    return (
        block.id, block.carries, block.check, block.tools, block.caution, block.figure, block.prevents,
        block.applies,
        tuple(each and tokens(each.text) for each in texts),
    )  # fmt: skip


WORDS_OF_READERS = ("tools", "protective", "hazards", "cautions", "deferrals")


@dataclass(frozen=True)
class Translation:
    """Content in another language; ``english`` are the files of sections that there is no good translation of."""

    content: Content
    english: frozenset[str]
    findings: tuple[Placed, ...]


def translated_content(content: Content, ours: Path, firm: Path | None, language: str) -> Translation:
    """``content`` with the text of ``language``, looked for in that folder of ``firm`` or of ``ours``."""
    findings: list[Placed] = []
    sections, english = [], set()
    for section in content.sections:
        home = ours if section.ours else firm
        found = _section(section, home / language, language, findings) if home is not None else None
        if found is None:
            english.add(section.file)
        sections.append(found or section)
    words = _words(content.words, ours / language, firm / language if firm else None, language, findings)
    return Translation(
        replace(content, sections=tuple(sections), words=words), frozenset(english), tuple(findings)
    )  # fmt: skip


def _section(section: Section, folder: Path, language: str, findings: list[Placed]) -> Section | None:
    """The section in another language; nothing where there is none that says the same."""
    name, path = f"{language}/{section.file}", folder / section.file
    if not path.exists():
        findings.append(_not_translated(section.file, f"there is no {name}"))
        return None
    text = read_file(path, name, findings, {})
    read, wrong = read_section(text, name) if text is not None else (None, ())
    findings += wrong
    if read is None or wrong:
        return None
    if unlike := differences(section, read):
        findings.append(_not_translated(section.file, f"{name} has fallen behind at {unlike[0]}"))
        return None
    return replace(read, file=section.file, ours=section.ours, overrides=section.overrides)


def _words(words: Words, ours: Path, firm: Path | None, language: str, findings: list[Placed]) -> Words:
    """Each word by its entry in the other language, the firm's first."""
    made: dict[str, Mapping[str, BaseModel]] = {}
    for key in WORDS_OF_READERS:
        said: dict[str, BaseModel] = {}
        for folder in (ours, firm):
            path = folder / "words" / f"{key}.yml" if folder is not None else None
            if path is None or not path.exists():
                continue
            name = f"{language}/words/{key}.yml"
            read, _, wrong = read_typed(read_file(path, name, findings, {}) or "", name, 0, WORD_FILES[key])
            findings += wrong
            said |= read.root if read is not None else {}  # type: ignore[attr-defined]
        english: Mapping[str, BaseModel] = getattr(words, key)
        missing = [name for name, each in english.items() if name not in said or not _alike(each, said[name])]
        if missing:
            findings.append(_not_translated(f"words/{key}.yml", f"{', '.join(missing[:6])} in {language}"))
        made[key] = {name: each if name in missing else said[name] for name, each in english.items()}
    return replace(words, **made)  # type: ignore[arg-type]


def _alike(english: BaseModel, said: BaseModel) -> bool:
    """Whether two words have the same keys, signs and template values."""
    one, other = english.model_dump(), said.model_dump()
    if {key: bool(value) for key, value in one.items()} != {key: bool(value) for key, value in other.items()}:
        return False
    return all(list(_tokens(one[key])) == list(_tokens(other[key])) for key in one)


def _tokens(value: object) -> Iterator[tuple[str, ...]]:
    for each in value if isinstance(value, tuple) else (value,):
        yield tokens(each) if isinstance(each, str) else ()


def _not_translated(file: str, why: str) -> Placed:
    message = f"is shown in English in the other language: {why}"
    return found_at(file, 1, "content-not-translated", message, "warning")
