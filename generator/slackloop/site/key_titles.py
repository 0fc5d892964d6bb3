"""What a key of the job file is called in words: its own description in the format, up to the first pause."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from slackloop.site.models import Job

_PAUSE = re.compile(r"[,;.:](?:\s|$)")


def key_title(path: Sequence[str | int]) -> str:
    """The title of the key at a path such as ``("rules", "cover")``: ``chosen cover over the cable``.

    Names of the job's own and places in lists are passed over. Raises KeyError where the path names no key.
    """
    model: type[BaseModel] | None = Job
    found: FieldInfo | None = None
    for part in path:
        field = _field(model, part) if model is not None else None
        if field is None:
            if found is None or not _holds_names(found):
                raise KeyError(".".join(str(each) for each in path))
            continue
        found, model = field, next(_inner(field.annotation), None)
    if found is None or not found.description:
        raise KeyError(".".join(str(each) for each in path))
    words = _PAUSE.split(found.description, maxsplit=1)[0]
    return words if words[1:2].isupper() else words[:1].lower() + words[1:]


def _field(model: type[BaseModel], part: str | int) -> FieldInfo | None:
    """The field of a model that the file calls ``part``."""
    return next((info for name, info in model.model_fields.items() if (info.alias or name) == part), None)


def _holds_names(field: FieldInfo) -> bool:
    """Whether what stands under a field is named by the job, or is a list."""
    return any(word in str(field.annotation) for word in ("dict[", "tuple["))


def _inner(annotation: object) -> Iterator[type[BaseModel]]:
    """Models named in an annotation, at any depth."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for part in getattr(annotation, "__args__", ()):
        yield from _inner(part)
