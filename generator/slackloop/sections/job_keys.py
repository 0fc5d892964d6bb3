"""The keys of the job file, as dotted paths that a requirement may name as its source.

What a reader calls the parts of a job: titles in place of the names that the job file gives them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from slackloop.sections import format as fmt
from slackloop.sections.views import cable_title
from slackloop.site.models import Job, Solenoid


def is_job_key(path: str) -> bool:
    """Whether a dotted path such as ``rules.slack`` names a key of the job file."""
    keys: object = _SCHEMA
    for part in path.split("."):
        if not isinstance(keys, dict) or part not in keys:
            return False
        keys = keys[part]
    return True


def _schema_keys(model: object) -> dict[str, object]:
    """The keys of a model by the names in the file, with the keys of the models inside."""
    found: dict[str, object] = {}
    for name, info in getattr(model, "model_fields", {}).items():
        inner: dict[str, object] = {}
        for part in _inner_models(info.annotation):
            inner |= _schema_keys(part)
        found[info.alias or name] = inner
    return found


def _inner_models(annotation: object) -> Iterator[object]:
    """Models named in an annotation, at any depth."""
    if hasattr(annotation, "model_fields"):
        yield annotation
    for part in getattr(annotation, "__args__", ()):
        yield from _inner_models(part)


_SCHEMA = _schema_keys(Job)


def cable_titles(job: Job) -> Mapping[str, str]:
    """Each cable by what it is; alike ones are told apart by part number, else by a letter."""
    return _told_apart({name: (cable_title(cable), cable.part) for name, cable in job.cables.items()})


def connector_titles(job: Job) -> Mapping[str, str]:
    """Each connector by the job's title for it."""
    return _told_apart({name: (each.title, each.part) for name, each in job.connectors.items()})


def device_titles(job: Job) -> Mapping[str, str]:
    """Each device by the job's title for it."""
    return _told_apart({name: (each.title, each.part) for name, each in job.devices.items()})


def solenoid_titles(job: Job) -> Mapping[str, str]:
    """Each solenoid by the current that it takes: the job gives it no title."""
    return _told_apart({name: (f"Solenoid, {solenoid_current(each)}", "") for name, each in job.solenoids.items()})


def solenoid_current(solenoid: Solenoid) -> str:
    """What a solenoid takes, which is all that tells one kind from another."""
    return f"{fmt.written(solenoid.inrush.text)} at inrush, {fmt.written(solenoid.holding.text)} holding"


def part_titles(job: Job) -> Mapping[str, Mapping[str, str]]:
    """Titles by the key of the job file under which parts are named."""
    return {
        "cables": cable_titles(job),
        "connectors": connector_titles(job),
        "devices": device_titles(job),
        "solenoids": solenoid_titles(job),
    }


def _told_apart(parts: Mapping[str, tuple[str, str]]) -> Mapping[str, str]:
    """Titles from titles and part numbers, no two alike."""
    shared = Counter(title for title, _ in parts.values())
    both = Counter(parts.values())
    titles: dict[str, str] = {}
    letters: Counter[str] = Counter()
    for name, (title, part) in parts.items():
        if shared[title] == 1:
            titles[name] = title
        elif part and both[title, part] == 1:
            titles[name] = f"{title}, part {part}"
        else:
            titles[name] = f"{title}, kind {chr(ord('A') + letters[title] % 26)}{letters[title] // 26 or ''}"
            letters[title] += 1
    return titles
