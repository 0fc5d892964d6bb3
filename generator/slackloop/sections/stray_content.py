"""What lies in a firm's content folder and would be passed over, so that the crew would get the standing text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from pathlib import Path

from slackloop.language.messages import TRANSLATED
from slackloop.sections.section import PARTS
from slackloop.source.finding import Placed, found_at
from slackloop.source.suggestions import nearest

WORDS = "words"
LIKE_A_STANDING_NAME = 0.8
"""How alike two names of sections are, from 0 to 1, for one to be taken for a slip of the other."""


def stray_findings(ours: Path, firm: Path, word_files: tuple[str, ...]) -> Iterator[Placed]:
    """An error for each name that looks like a slip of one that is read, a warning for anything else not read.

    Hidden files, which editors and systems leave, are nobody's text.
    """
    if not firm.is_dir():
        return
    folders = (*PARTS, WORDS)
    standing: dict[str, list[str]] = {part: _standing(ours / part) for part in PARTS}
    for path in _listed(firm):
        if path.name in folders and path.is_dir():
            known = [f"{name}.yml" for name in word_files]
            yield from _in_words(path, known) if path.name == WORDS else _in_part(path, standing)
        elif not (path.name in TRANSLATED and path.is_dir()):
            yield _not_read(path.name, f"folders that are read: {', '.join(folders)}", nearest(path.name, folders))


def _in_words(folder: Path, known: list[str]) -> Iterator[Placed]:
    read = f"files that are read: {', '.join(known)}"
    for path in _listed(folder):
        if path.name not in known:
            yield _not_read(f"{WORDS}/{path.name}", read, nearest(path.name, known))


def _in_part(folder: Path, standing: Mapping[str, list[str]]) -> Iterator[Placed]:
    """Names in the folder of one part; ``standing`` are the names of our sections by their part."""
    home = {name: part for part, names in standing.items() for name in names}
    for path in _listed(folder):
        name = f"{folder.name}/{path.name}"
        here = standing[folder.name]
        if path.suffix != ".md":
            likely = f"{path.stem}.md" if path.suffix.lower() in (".md", ".markdown", ".txt", ".mdown", "") else ""
            yield _not_read(name, "a section is a file whose name ends in .md", likely)
        elif path.name not in here and path.name in home:
            message = f"replaces no section here: that section's place is {home[path.name]}/{path.name}"
            yield found_at(name, 1, "content-not-read", message)
        elif path.name not in here:
            for near in get_close_matches(path.name, here, n=1, cutoff=LIKE_A_STANDING_NAME):
                message = f"adds a section and replaces none; to replace the standing section, name it {near}"
                yield found_at(name, 1, "content-name-near", message, "warning")


def _not_read(name: str, read: str, likely: str) -> Placed:
    if likely:
        message = f"is not read, so the standing text would be used; did you mean {likely}?"
        return found_at(name, 1, "content-not-read", message)
    return found_at(name, 1, "content-not-read", f"is not read; {read}", "warning")


def _listed(folder: Path) -> list[Path]:
    return sorted(path for path in folder.iterdir() if not path.name.startswith("."))


def _standing(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.glob("*.md"))
