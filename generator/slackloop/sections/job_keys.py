"""The keys of the job file, as dotted paths that a requirement may name as its source."""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.site.models import Job


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
