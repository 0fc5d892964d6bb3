"""What the model says about a key path: its description, its sibling keys, and where else a key is valid.

What a key of the job file is called in words: its own description in the format, up to the first pause.

What a file has that the model does not take: pydantic's errors as findings, each with its place and the mend.
"""

from __future__ import annotations

import re
import types
import typing
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from slackloop.site.models import Job
from slackloop.site.plain_fields import shown
from slackloop.site.valve_boxes import Station
from slackloop.source.ambiguous_scalar import list_items
from slackloop.source.finding import At, Finding, Placed, path_text
from slackloop.source.source_map import Places
from slackloop.source.suggestions import akin, listed, nearest
from slackloop.source.yaml_tree import MOST_FINDINGS


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
        field = keys_of(model).get(str(part)) if model is not None else None
        if field is None:
            if found is None or not _holds_names(found):
                raise KeyError(".".join(str(each) for each in path))
            continue
        found, model = field, next(_inner_models(field.annotation), None)
    if found is None or not found.description:
        raise KeyError(".".join(str(each) for each in path))
    words = _PAUSE.split(found.description, maxsplit=1)[0]
    return words if words[1:2].isupper() else words[:1].lower() + words[1:]


def _holds_names(field: FieldInfo) -> bool:
    """Whether what stands under a field is named by the job, or is a list."""
    return any(word in str(field.annotation) for word in ("dict[", "tuple["))


def _inner_models(annotation: object) -> Iterator[type[BaseModel]]:
    """Models named in an annotation, at any depth."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for part in getattr(annotation, "__args__", ()):
        yield from _inner_models(part)


_MAP_TYPES = frozenset(("model_type", "model_attributes_type", "dict_type", "mapping_type"))
_LIST_TYPES = frozenset(("tuple_type", "list_type"))


def schema_findings(
    error: ValidationError, places: Places, refused: set[At], model: type[BaseModel] = Job
) -> list[Placed]:
    """Every error of a validation at its place; errors under a path that was refused before are left out."""
    found: list[Placed] = []
    told: dict[tuple[str, str, int, int], At] = {}
    details = error.errors(include_url=False)
    mistyped = _mistyped([detail["loc"] for detail in details if detail["type"] == "extra_forbidden"], model)
    for detail in details:
        at = _path(detail["loc"], places)
        if detail["type"] == "missing" and at in mistyped:
            continue
        if detail["type"] == "too_short" and detail.get("input"):
            continue  # its items are all refused, each by a finding of its own
        if refused and any(at[:length] in refused for length in range(1, len(at) + 1)):
            continue
        finding, of_key = _finding(detail["type"], at, detail.get("ctx") or {}, detail.get("input"), model)
        placed = places.place(finding, of_key)
        if told.setdefault((placed.code, placed.file, placed.line, placed.column), at[:3]) != at[:3]:
            continue  # boxes of one chain, and all that path.each gives a value, share its place
        found.append(placed)
        if len(found) >= MOST_FINDINGS:
            break
    return found


def _mistyped(unknown: list[At], model: type[BaseModel]) -> set[At]:
    """Paths of the keys that unknown keys were most likely meant to be: one slip is one finding, not two."""
    meant = {(*at[:-1], _meant(str(at[-1]), siblings_at(at, model))) for at in unknown[:MOST_FINDINGS]}
    return {at for at in meant if at[-1]}


def _path(loc: tuple[int | str, ...], places: Places) -> At:
    """The key path of a location; pydantic's mark for a dict's key is dropped."""
    if loc and loc[-1] == "[key]" and not places.has(loc):
        return loc[:-1]
    return loc


def _finding(
    kind: str, at: At, context: Mapping[str, Any], given: object, model: type[BaseModel]
) -> tuple[Finding, bool]:
    if kind == "extra_forbidden":
        return _unknown_key(at, model), True
    if kind == "missing":
        return _missing_key(at, model), False
    name = _name(at)
    if "message" in context:
        return (
            Finding("error", kind, f"{name}: {context['message']}", at, expected=context.get("expected", ""),
                    hint=context.get("hint", "")),
            False,
        )  # fmt: skip
    description = description_at(at, model)
    if kind == "literal_error":
        return _unknown_word(at, name, str(context.get("expected", "")), given), False
    if kind in _MAP_TYPES:
        what = "is empty" if given is None else f"is {_an(given)}, not a map of keys"
        return Finding("error", "map-needed", f"{name} {what}", at, expected=description or "a map of keys"), False
    if kind in _LIST_TYPES:
        return _list_needed(at, name, given, model), False
    if kind == "too_short":
        return Finding("error", "list-empty", f"{name} holds nothing", at, expected="at least one item"), False
    return Finding(
        "error", "value-wrong-kind", f"{name}: {shown(given)} cannot stand here", at, expected=description
    ), False


def _list_needed(at: At, name: str, given: object, model: type[BaseModel]) -> Finding:
    """One value or a map where a list is needed; the hint is a list that the key takes, or nothing."""
    expected = "a list in square brackets, or items that each start with a dash"
    if given is None:
        return Finding("error", "list-needed", f"{name} is empty", at, expected=expected)
    if isinstance(given, dict):
        hint = "start each item with a dash, as - {…}, and line the dashes up"
        keys = "key" if len(given) == 1 else "keys"
        message = f"{name} is a map of {len(given)} {keys}, not a list of items"
        return Finding("error", "list-needed", message, at, expected=expected, hint=hint)
    items = list_items(str(given), item_type(at, model))
    hint = f"write [{', '.join(items)}]" if items else ""
    return Finding("error", "list-needed", f"{name} is {_an(given)}, not a list", at, expected=expected, hint=hint)


def _an(given: object) -> str:
    picture = shown(given)
    return picture if picture in ("a map", "a list", "nothing") else f"the value {picture}"


def _name(at: At) -> str:
    """The last key of a path, with its item number where it is in a list."""
    for index in range(len(at) - 1, -1, -1):
        if isinstance(at[index], str):
            return path_text(at[index:])
    return "the file"


_OTHER_WORDS = {
    **dict.fromkeys(("closure", "loop", "loops", "ring", "rings"), "ring_closures"), "decoder": "device",
    "decoders": "devices", "depth": "cover", "distance": "run", "length": "run", "parent": "from",
    "splice": "connector", "splices": "connectors", "valve": "solenoid", "valves": "solenoids", "voltage": "volts",
    "wire": "cable", "wires": "cables", "zone": "stations", "zones": "stations",
}  # fmt: skip
"""Words that people write for a key of another name."""


def _meant(key: str, known: Sequence[str]) -> str:
    """The key that was most likely meant: one written alike, else one of the same meaning; or an empty text."""
    other = _OTHER_WORDS.get(key.casefold(), "")
    return nearest(key, known) or (other if other in known else "") or akin(key, known)


def _unknown_key(at: At, model: type[BaseModel]) -> Finding:
    key = str(at[-1])
    siblings = siblings_at(at, model)
    parent = path_text(at[:-1])
    close = _meant(key, siblings)
    homes = homes_of_keys().get(key, ()) if model is Job else ()
    other = "" if homes or model is not Job or akin(key, siblings) else _OTHER_WORDS.get(key.casefold(), "")
    if other and other not in siblings:
        hint = f"it may be {other}, which belongs in {listed(homes_of_keys()[other], 4)}"
    elif close and not (homes and close == akin(key, siblings)):
        hint = f"did you mean {close}?"
    elif homes:
        hint = f"{key} belongs in {listed(homes, 4)}"
    else:
        hint = "delete it; a remark starts with #"
    return Finding("error", "key-unknown", f"{key} is not a key of {parent}", at,
                   expected=f"one of {listed(siblings, 40)}", hint=hint)  # fmt: skip


def _missing_key(at: At, model: type[BaseModel]) -> Finding:
    parent = path_text(at[:-1])
    return Finding("error", "key-missing", f"{at[-1]} is missing in {parent}", at, expected=description_at(at, model))


def _unknown_word(at: At, name: str, expected: str, given: object) -> Finding:
    words = re.findall(r"'([^']*)'", expected)
    close = nearest(str(given), words) if isinstance(given, str) else ""
    choice = words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}" if words else expected
    what = "the value is empty" if given is None else f"{shown(given)} is not one of the words known here"
    return Finding(
        "error", "word-unknown", f"{name}: {what}", at, expected=choice, hint=f"did you mean {close}?" if close else ""
    )
