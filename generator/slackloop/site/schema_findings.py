"""pydantic's errors as findings: each with its place, what was expected and the mend."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel, ValidationError

from slackloop.site.models import Job
from slackloop.site.plain_fields import shown
from slackloop.site.schema_walk import description_at, homes_of_keys, item_type, siblings_at
from slackloop.source.ambiguous_scalar import list_items
from slackloop.source.finding import At, Finding, Placed, path_text
from slackloop.source.source_map import Places
from slackloop.source.suggestions import listed, nearest
from slackloop.source.yaml_tree import MOST_FINDINGS

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
    meant = {(*at[:-1], nearest(str(at[-1]), siblings_at(at, model))) for at in unknown[:MOST_FINDINGS]}
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


def _unknown_key(at: At, model: type[BaseModel]) -> Finding:
    key = str(at[-1])
    siblings = siblings_at(at, model)
    parent = path_text(at[:-1])
    close = nearest(key, siblings)
    homes = homes_of_keys().get(key, ()) if model is Job else ()
    if close:
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
