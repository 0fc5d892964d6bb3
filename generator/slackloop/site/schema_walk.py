"""What the model says about a key path: its description, its sibling keys, and where else a key is valid.

What a key of the job file is called in words: its own description in the format, up to the first pause.

A model with every key optional, at any depth: what a standing standard may state of a part of the job.
"""

from __future__ import annotations

import re
import types
import typing
from collections.abc import Iterator, Sequence
from functools import cache
from typing import Any

from pydantic import BaseModel, Field, create_model
from pydantic.fields import FieldInfo

from slackloop.site.models import Job
from slackloop.site.specification import Part
from slackloop.site.valve_boxes import Station
from slackloop.source.finding import At


def _inner(annotation: object) -> object:
    """Take ``X`` out of ``X | None``, ``tuple[X, ...]`` and ``Annotated[X, …]``."""
    origin = typing.get_origin(annotation)
    arguments = typing.get_args(annotation)
    if origin in (typing.Union, types.UnionType):
        kept = [a for a in arguments if a is not type(None)]
        return _inner(kept[0]) if kept else annotation
    if origin is typing.Annotated:
        return _inner(arguments[0])
    return annotation


def keys_of(model: type[BaseModel]) -> dict[str, FieldInfo]:
    """Fields of a model by the key that stands in the file."""
    return {info.alias or name: info for name, info in model.model_fields.items()}


def type_at(at: At, model: type[BaseModel] = Job) -> object:
    """The type that stands at a key path; nothing where the path is not part of the format."""
    current: object = model
    for part in at:
        current = _inner(current)
        origin = typing.get_origin(current)
        if isinstance(current, type) and issubclass(current, BaseModel):
            info = keys_of(current).get(str(part))
            current = info.annotation if info is not None else None
        elif origin is dict and isinstance(part, str):
            current = typing.get_args(current)[1]
        elif origin is tuple and isinstance(part, int):
            current = typing.get_args(current)[0]
        else:
            return None
    return _inner(current)


def item_type(at: At, model: type[BaseModel] = Job) -> object:
    """The type of an item of the list that stands at a key path; nothing where no list does.

    A station is most often its number alone.
    """
    here = type_at(at, model)
    arguments = typing.get_args(here)
    item = _inner(arguments[0]) if typing.get_origin(here) is tuple and arguments else None
    return int if item is Station else item


def description_at(at: At, model: type[BaseModel] = Job) -> str:
    """The description of the key at a path, or an empty text."""
    parent = type_at(at[:-1], model)
    if at and isinstance(parent, type) and issubclass(parent, BaseModel):
        info = keys_of(parent).get(str(at[-1]))
        return (info.description or "") if info is not None else ""
    return ""


def siblings_at(at: At, model: type[BaseModel] = Job) -> tuple[str, ...]:
    """The keys that are valid beside the last part of a path."""
    parent = type_at(at[:-1], model)
    if isinstance(parent, type) and issubclass(parent, BaseModel):
        return tuple(keys_of(parent))
    return ()


@cache
def homes_of_keys() -> dict[str, tuple[str, ...]]:
    """For every key of the format, the maps in which it is valid, as ``rules.earthing`` or ``path.boxes[…]``."""
    homes: dict[str, list[str]] = {}

    def walk(model: type[BaseModel], path: str) -> None:
        for key, info in keys_of(model).items():
            homes.setdefault(key, []).append(path or "the top of the file")
            inner = _inner(info.annotation)
            here = f"{path}.{key}" if path else key
            origin, arguments = typing.get_origin(inner), typing.get_args(inner)
            if origin is dict:
                inner, here = arguments[1], f"{here}.NAME"
            elif origin is tuple and arguments[-1] is Ellipsis:
                inner, here = arguments[0], f"{here}[…]"
            inner = _inner(inner)
            if isinstance(inner, type) and issubclass(inner, BaseModel):
                walk(inner, here)

    walk(Job, "")
    return {key: tuple(paths) for key, paths in homes.items()}


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
        found, model = field, next(_inner_models(field.annotation), None)
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


def _inner_models(annotation: object) -> Iterator[type[BaseModel]]:
    """Models named in an annotation, at any depth."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for part in getattr(annotation, "__args__", ()):
        yield from _inner_models(part)


@cache
def optional_part(model: type[Part]) -> type[Part]:
    """``model`` with the same keys, types and descriptions, each of which may be left out; nothing stands for it."""
    fields: dict[str, Any] = {}
    for name, info in model.model_fields.items():
        annotation = _loosened(info.annotation)
        whole = _ANNOTATED[(annotation, *info.metadata)] if info.metadata else annotation
        fields[name] = (_OPTIONAL[whole], Field(default=None, alias=info.alias, description=info.description))
    return create_model(f"Some{model.__name__}", __base__=Part, __module__=__name__, **fields)


_ANNOTATED: Any = typing.Annotated
_OPTIONAL: Any = typing.Optional
_UNION: Any = typing.Union
"""Typing's own forms; the types that go into them are only known when this runs."""


def _loosened(annotation: Any) -> Any:
    """The annotation with every model inside it loosened; anything else stays as it is."""
    if isinstance(annotation, type) and issubclass(annotation, Part):
        return optional_part(annotation)
    origin, arguments = typing.get_origin(annotation), typing.get_args(annotation)
    if origin in (typing.Union, types.UnionType):
        return _UNION[tuple(_loosened(each) for each in arguments)]
    return annotation
