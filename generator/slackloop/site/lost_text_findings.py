"""Text that YAML takes away without a word: cut by `` #``, split by a comma in braces, robbed of its zeros.

The tree notes each place while it reads; what the place means is known only once the key is, so the findings are made
here, from the schema: text that a key keeps as it is written is lost, a remark after ``62 m`` is not.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from pydantic import BaseModel

from slackloop.site.models import Job
from slackloop.site.schema import description_at, siblings_at, type_at
from slackloop.source.ambiguous_scalar import quoted
from slackloop.source.finding import At, Finding, Level, Placed, path_text
from slackloop.source.lost_text import SET_ME, Cut, Doubtful, Lost, Split, Unset
from slackloop.units.quantity import comma_mend

REFERENCES = frozenset(
    ("cable", "lead_cable", "connector", "solenoid_connector", "device", "solenoid", "from", "to", "id", "soil",
     "code_basis", "standard")
)  # fmt: skip
"""Keys whose text names something that is checked: a remark after such a name takes nothing from it unseen."""
_COMMA_NUMBER = re.compile(r"[0-9],[0-9]")


def lost_text_findings(
    lost: Iterable[Lost], model: type[BaseModel] = Job
) -> list[tuple[Placed, At]]:
    """A finding for each text that is lost or read in two ways, with the key path of the value that it spoils."""
    found: list[tuple[Placed, At]] = []
    for each in lost:
        finding = _finding(each, model)
        if finding is not None:
            found.append((each.source.place(finding, each.line, each.column), each.at))
    return found


def _finding(lost: Lost, model: type[BaseModel]) -> Finding | None:
    if isinstance(lost, Cut):
        return _of_cut(lost, model)
    if isinstance(lost, Unset):
        return _of_unset(lost, model)
    return _of_split(lost, model) if isinstance(lost, Split) else _of_doubtful(lost, model)


def _is_text(at: At, model: type[BaseModel]) -> bool:
    """Whether the key keeps its value as text."""
    return bool(at) and type_at(at, model) is str


def _of_cut(cut: Cut, model: type[BaseModel]) -> Finding | None:
    if not _is_text(cut.at, model):
        return None
    if not cut.glued:
        named = next((part for part in reversed(cut.at) if isinstance(part, str)), "") in REFERENCES
        if named or not cut.kept or len(cut.space) > 1:
            return None
    numbered = re.match(r"#[ \t]?[0-9]", cut.rest) is not None
    level: Level = "error" if (cut.glued and len(cut.space) == 1) or numbered else "warning"
    read = f"only {cut.kept} is read" if cut.kept else "nothing is read"
    mend = f"write {quoted(cut.whole)}"
    return Finding(level, "text-cut",
                   f"a # after a space starts a remark: {read}, and {cut.rest[:60].rstrip()} is left out", cut.at,
                   expected="text with # in quotes; a remark with two spaces before its # and one after",
                   hint=mend if level == "error" else f"{mend} if it is one text")  # fmt: skip


def _of_split(split: Split, model: type[BaseModel]) -> Finding:
    key = next((part for part in reversed(split.at) if isinstance(part, str)), "")
    if not split.whole:
        word = split.parts[0]
        return Finding(
            "error",
            "value-missing",
            f"{word} has no value",
            split.at,
            expected=f"a key with its value, as {word}: value; text that holds a comma in quotes",
        )
    is_text = _is_text(split.at, model)
    if not is_text and _COMMA_NUMBER.search(split.whole):
        return Finding("error", "comma-decimal",
                       f"{key}: {split.whole} has a comma in a number; in braces it ends the value", split.at,
                       expected="a number with a point for decimals and no comma",
                       hint=comma_mend(split.whole))  # fmt: skip
    keys = " and ".join(split.parts)
    known = [part for part in split.parts if part in siblings_at(split.at, model)]
    are = "is read as a key" if len(split.parts) == 1 else "are read as keys"
    return Finding("error", "text-split",
                   f"a comma in braces ends a value: {key} is read as {split.kept}, and {keys} {are}", split.at,
                   expected="text that holds a comma in quotes", hint=_split_hint(split, is_text, known))  # fmt: skip


def _split_hint(split: Split, is_text: bool, known: Sequence[str]) -> str:
    """Quotes where the key keeps text; a value where a word after the comma is a key of its own."""
    whole = quoted(split.whole)
    if known:
        value = f"give {' and '.join(known)} a value"
        return f"{value}, or write {whole} if it is one text" if is_text else value
    return f"write {whole}" if is_text else f"write {split.kept}"


def _of_doubtful(doubtful: Doubtful, model: type[BaseModel]) -> Finding:
    """A value that readers disagree on; the mend is one that the key takes, where the key is known."""
    kind = type_at(doubtful.at, model)
    plain, text = f"write {doubtful.plain}" if doubtful.plain else "", f"write {quoted(doubtful.text)}"
    either = f"{plain}, or {quoted(doubtful.text)} if it is text" if plain else f"{text} if it is text"
    hint = text if kind is str else either if kind is None else plain
    return Finding("error", "yaml-ambiguous", doubtful.reason, doubtful.at, hint=hint)


def _of_unset(unset: Unset, model: type[BaseModel]) -> Finding:
    """A value that nobody has put in yet."""
    wanted = unset.text.removeprefix(SET_ME).strip(" :")
    message = f"{path_text(unset.at)} is not set yet" + (f": {wanted}" if wanted else "")
    expected = description_at(unset.at, model) or "a value of your own"
    hint = "put your own value in its place"
    return Finding("error", "value-not-set", message, unset.at, expected=expected, hint=hint)
