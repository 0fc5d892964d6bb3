"""The content folders read into typed sections and words: a firm's own folder first, then ours."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from slackloop.sections.catalogue import (
    Cautions,
    Deferrals,
    Faults,
    FigureSources,
    Hazards,
    ProtectiveList,
    Tools,
    Words,
)
from slackloop.sections.content_error import refuse_faults
from slackloop.sections.section import PARTS, Section
from slackloop.sections.section_reader import read_section, read_typed
from slackloop.sections.stray_content import stray_findings
from slackloop.source.finding import Placed, by_place, found_at, with_line
from slackloop.source.source_file import UNPRINTABLE, read_regular

WORD_FILES: dict[str, type[BaseModel]] = {
    "tools": Tools,
    "protective": ProtectiveList,
    "hazards": Hazards,
    "cautions": Cautions,
    "deferrals": Deferrals,
    "faults": Faults,
    "figures": FigureSources,
}

LARGEST_FILE_BYTES = 1_000_000


@dataclass(frozen=True, slots=True)
class Content:
    """Every section in printed order, and the words."""

    sections: tuple[Section, ...]
    words: Words
    findings: tuple[Placed, ...] = ()
    """What the reader found; ``load_content`` refuses errors, so only warnings are left."""
    lines: Mapping[str, Sequence[str]] = field(default_factory=dict)
    """The lines of each file by its name, for findings in it."""

    def part(self, name: str) -> tuple[Section, ...]:
        """The sections of one part, in order."""
        return tuple(section for section in self.sections if section.front.part == name)

    def told(self, findings: Iterable[Placed]) -> tuple[Placed, ...]:
        """The findings with their lines, each once, sorted by place."""
        placed = {with_line(each, self.lines.get(each.file, ())) for each in findings}
        return tuple(sorted(placed, key=by_place))


def load_content(ours: Path, firm: Path | None = None) -> Content:
    """Content from the standing folder ``ours`` and, searched first, the folder ``firm``.

    Raises ``ContentError`` with every finding when a file cannot be read or does not fit.
    """
    content = read_content(ours, firm)
    refuse_faults(content.findings)
    return content


def read_content(ours: Path, firm: Path | None = None) -> Content:
    """As ``load_content``, but mistakes are kept in ``findings`` and nothing is raised."""
    findings: list[Placed] = []
    lines: dict[str, Sequence[str]] = {}
    sections: list[Section] = []
    for name, path, is_ours, overrides in _section_files(ours, firm):
        text = read_file(path, name, findings, lines)
        section, found = read_section(text, name) if text is not None else (None, ())
        findings += found
        if section is not None:
            _check_place(section, name, findings)
            sections.append(replace(section, ours=is_ours, overrides=overrides))
    words = _read_words(ours, firm, findings, lines)
    if firm is not None:
        findings += stray_findings(ours, firm, tuple(WORD_FILES))
    ordered = sorted(sections, key=lambda each: (PARTS.index(each.front.part), each.front.order, each.front.id))
    content = Content(tuple(ordered), words, lines=lines)
    return replace(content, findings=content.told(findings))


def _section_files(ours: Path, firm: Path | None) -> Iterator[tuple[str, Path, bool, bool]]:
    """Name, path, whether it is ours, and whether it overrides one of ours; sorted by name."""
    for part in PARTS:
        standing = _names(ours / part)
        own = _names(firm / part) if firm is not None else set()
        for name in sorted(standing | own):
            folder = firm if firm is not None and name in own else ours
            yield f"{part}/{name}", folder / part / name, name not in own, name in standing and name in own


def _names(folder: Path) -> set[str]:
    """Names of the Markdown files in a folder, those that cannot be read too; nothing when it is not there."""
    return {path.name for path in folder.glob("*.md")} if folder.is_dir() else set()


def read_file(path: Path, name: str, findings: list[Placed], lines: dict[str, Sequence[str]]) -> str | None:
    """The text of a file, kept out when it is no plain file, too large or not UTF-8; its lines go into ``lines``."""
    raw, failure = read_regular(path, LARGEST_FILE_BYTES)
    if raw is None:
        code = "file-unreadable" if failure.code == "file-missing" else failure.code
        findings.append(found_at(name, 1, code, failure.message))
        return None
    raw = raw.replace(b"\r\n", b"\n")
    lines[name] = raw.decode("utf-8-sig", errors="replace").split("\n")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode("utf-8-sig", errors="replace").split("\n")
        message = f"byte {error.start} is no UTF-8"
        findings.append(found_at(name, len(before), "file-not-utf8", message, column=len(before[-1]) + 1))
        return None
    if (match := UNPRINTABLE.search(text)) is None:
        return text
    before = text[: match.start()].split("\n")
    message = f"the character U+{ord(match[0]):04X} cannot be printed: delete it"
    findings.append(found_at(name, len(before), "file-control-character", message, column=len(before[-1]) + 1))
    return None


def _check_place(section: Section, name: str, findings: list[Placed]) -> None:
    """The id must be the file's name and the part its folder's: addresses and overriding rest on them."""
    folder, _, file = name.removesuffix(".md").partition("/")
    if section.front.part != folder:
        message = f"part '{section.front.part}' is not the file's folder '{folder}'"
        findings.append(found_at(name, section.line_of("part"), "part-not-folder", message))
    if section.front.id != file:
        message = f"id '{section.front.id}' is not the file's name '{file}'"
        findings.append(found_at(name, section.line_of("id"), "id-not-file-name", message))


def _read_words(
    ours: Path, firm: Path | None, findings: list[Placed], lines: dict[str, Sequence[str]]
) -> Words:
    """Each word file of ours with the firm's entries laid over it."""
    found: dict[str, dict[str, Any]] = {}
    places: dict[str, dict[str, int]] = {}
    for key, model in WORD_FILES.items():
        found[key], places[key] = {}, {}
        for folder in (ours, firm):
            path = folder / "words" / f"{key}.yml" if folder is not None else None
            if path is None or not os.path.lexists(path):
                continue
            name = f"words/{key}.yml"
            text = read_file(path, name, findings, lines)
            read, line_of, wrong = read_typed(text or "", name, 0, model)
            findings += wrong
            if read is not None:
                entries = read.root  # type: ignore[attr-defined]
                found[key] |= entries
                places[key] |= {entry: line_of.get(entry, 1) for entry in entries}
    return Words(places=places, **found)
