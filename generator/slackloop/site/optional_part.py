"""A model with every key optional, at any depth: what a standing standard may state of a part of the job."""

from __future__ import annotations

import types
import typing
from functools import cache
from typing import Any

from pydantic import Field, create_model

from slackloop.site.specification import Part


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
