"""The fingerprint: one hash of everything that a copy of the handbook was made from.

It is a SHA-256 over the normalised job, the content files and the reference tables. The same inputs give the
same fingerprint on any machine; a changed comment or a changed order of keys in the job file does not change it.

The values that a job states, flat: each by its key path, boxes by their ids; and what such a key is called.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from slackloop.language.messages import TRANSLATED
from slackloop.sections.content import LARGEST_FILE_BYTES
from slackloop.site.schema import key_title
from slackloop.source.source_file import read_regular

TAG = b"slackloop fingerprint 1\n"


def fingerprint(
    normalised_job: bytes, tables_digest: str, content_folders: Iterable[Path], releases: Iterable[str] = (),
    languages: Collection[str] = (),
) -> str:
    """Hex digits of the hash; content is taken from the first folder that holds a file of that name.

    ``releases`` are the digests of the releases before this revision: its history and its list of changes rest on them.
    """
    total = hashlib.sha256(TAG)
    for part in (normalised_job, tables_digest.encode(), content_digest(content_folders, languages).encode()):
        total.update(len(part).to_bytes(8, "big") + part)
    for digest in releases:
        total.update(b"release\n" + digest.encode())
    return total.hexdigest()


def draft_fingerprint(of: str) -> str:
    """The fingerprint of a copy that is released as a draft: its pages say so, so it is another copy."""
    return hashlib.sha256(TAG + b"draft\n" + of.encode()).hexdigest()


def content_digest(folders: Iterable[Path], languages: Collection[str] = ()) -> str:
    """Hash of every content file by its name below the folder, line ends made equal.

    A file of the first folder stands in place of one of the same name in a later folder; word files are laid over
    each other and all count. Text in another language counts where it is among ``languages``.
    """
    files: dict[str, Path] = {}
    for rank, folder in enumerate(folders):
        if not folder.is_dir():
            continue
        for path in folder.rglob("*"):
            if path.is_file() and path.suffix in {".md", ".yml", ".typ"}:
                name = path.relative_to(folder).as_posix()
                top = name.partition("/")[0]
                if top in TRANSLATED and top not in languages:
                    continue
                files.setdefault(f"{rank}/{name}" if name.startswith("words/") else name, path)
    total = hashlib.sha256()
    for name in sorted(files):
        raw, _ = read_regular(files[name], LARGEST_FILE_BYTES)
        # A file that is not read is refused by the reader of content, so no handbook rests on this hash.
        body = (raw or b"").replace(b"\r\n", b"\n")
        total.update(os.fsencode(f"{name}\0{len(body)}\0") + body)
    return total.hexdigest()


NOT_COMPARED = frozenset({"format", "document", "standard"})
"""What tells one issue from another, which every revision changes."""
LISTS = {"boxes": "id", "ring_closures": "from"}
NAMED = {
    "cable": "cables", "lead_cable": "cables", "device": "devices", "connector": "connectors",
    "solenoid_connector": "connectors", "solenoid": "solenoids",
}  # fmt: skip
"""Keys whose value is the name of a part, with the key under which parts of that kind are named."""
_PART = re.compile(r"([^.\[\]]+)|\[([^\]]*)\]")
_ITEM = re.compile(r"\[([0-9]+)\]")
_BOX = re.compile(r"path\.(?:boxes|ring_closures)\[([^\]]*)\]")


def job_inputs(meaning: bytes) -> dict[str, str]:
    """Every value that the job states; ``meaning`` is its canonical JSON. What is left out has no entry."""
    job = json.loads(meaning)
    return dict(_flat({key: value for key, value in job.items() if key not in NOT_COMPARED}, ""))


def _flat(value: Any, path: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _flat(inner, f"{path}.{key}" if path else str(key))
    elif isinstance(value, list) and path.rpartition(".")[2] in LISTS:
        for inner in value:
            name = f"{inner.get('from')}-{inner.get('to')}" if "to" in inner else inner.get("id", "")
            yield from _flat({key: each for key, each in inner.items() if key != "id"}, f"{path}[{name}]")
    elif isinstance(value, list) and any(isinstance(each, dict) for each in value):
        for number, inner in enumerate(value, 1):
            yield from _flat(inner, f"{path}[{number}]")
    elif isinstance(value, list):
        if value:
            yield path, ", ".join(str(each) for each in value)
    elif isinstance(value, bool):
        if value:
            yield path, "yes"
    elif value is not None and value != "":
        yield path, f"{value:g}" if isinstance(value, float) else str(value)


def input_path(key: str) -> str:
    """The key path of a value as ``job_inputs`` has it; ``key`` counts the items of lists from 0, as findings do."""
    head, box, rest = key.partition("]") if _BOX.match(key) else ("", "", key)
    return head + box + _ITEM.sub(lambda item: f"[{int(item[1]) + 1}]", rest)


def box_of(path: str) -> str:
    """The box, or the closing run, that a key path belongs to; empty where it belongs to none."""
    found = _BOX.match(path)
    return found[1] if found else ""


def input_title(path: str, names: Mapping[str, Mapping[str, str]]) -> str:
    """What a value is called: ``B05: length of the run along the trench``; the path for a key without a title."""
    parts = [key or place for key, place in _PART.findall(path)]
    try:
        title = key_title(parts)
    except KeyError:
        return path
    if parts[0] == "rules" and len(parts) > 2:
        title = f"{key_title(parts[:-1])}: {title}"
    group = parts[0] if parts else ""
    if box := box_of(path):
        return f"{box}: {title}"
    if group in names and len(parts) > 1:
        return f"{names[group].get(parts[1], parts[1])}: {title}"
    return capital(title)


def capital(words: str) -> str:
    """Words with a capital at their start."""
    return words[:1].upper() + words[1:]


def input_text(path: str, value: str, names: Mapping[str, Mapping[str, str]]) -> str:
    """A value in words: a part by its title."""
    group = NAMED.get(path.rpartition(".")[2], "")
    return names.get(group, {}).get(value, value)
