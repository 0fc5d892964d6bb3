"""What the model says about a key path: its description, its sibling keys, and where else a key is valid."""

from __future__ import annotations

import types
import typing
from functools import cache

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from slackloop.site.models import Job
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
