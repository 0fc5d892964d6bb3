"""The codes that the program gives to findings, read out of its source: what is raised, and where."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

LOOKS_LIKE_A_CODE = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)+")
MAKERS = {"Finding": 1, "Placed": 1}
"""The types of findings, and where their code stands; a function with a parameter ``code`` is found by that name."""


@dataclass
class Raised:
    """Codes with the modules that raise them, and codes that are put together from parts, as patterns."""

    codes: dict[str, set[str]] = field(default_factory=dict)
    patterns: dict[str, set[str]] = field(default_factory=dict)


def raised_codes(root: Path) -> Raised:
    """Every code that a call in the package below ``root`` gives to a finding."""
    modules = {path.relative_to(root).as_posix(): ast.parse(path.read_text("utf-8")) for path in root.rglob("*.py")}
    modules.pop("source/codes.py")  # its rows are the list itself
    nodes = {name: [*ast.walk(tree)] for name, tree in modules.items()}
    makers = MAKERS | {name: place for each in nodes.values() for name, place in _makers(each)}
    found = Raised()
    for name, tree in modules.items():
        handed_on = _handed_on(nodes[name])
        for call in (node for node in nodes[name] if isinstance(node, ast.Call)):
            called = call.func.id if isinstance(call.func, ast.Name) else getattr(call.func, "attr", "")
            for given in _given(call, makers.get(called)):
                if id(given) in handed_on:
                    continue
                for code in _codes(given, tree):
                    into = found.patterns if ".*" in code else found.codes
                    into.setdefault(code, set()).add(name)
    return found


def _makers(nodes: list[ast.AST]) -> Iterator[tuple[str, int]]:
    """Functions and classes that take a code, with the place of it among what a caller gives."""
    classes = [node for node in nodes if isinstance(node, ast.ClassDef)]
    owners = {id(method): owner.name for owner in classes for method in owner.body}
    for node in nodes:
        if isinstance(node, ast.FunctionDef):
            names = [argument.arg for argument in node.args.args if argument.arg not in ("self", "cls")]
            if "code" in names:
                yield owners[id(node)] if node.name == "__init__" else node.name, names.index("code")


def _handed_on(nodes: list[ast.AST]) -> set[int]:
    """Where a function that takes a code gives it on: it was found where that function was called."""
    takers = [node for node in nodes if isinstance(node, ast.FunctionDef)
              and any(argument.arg == "code" for argument in node.args.args)]  # fmt: skip
    names = (node for taker in takers for node in ast.walk(taker) if isinstance(node, ast.Name))
    return {id(name) for name in names if name.id == "code"}


def _given(call: ast.Call, place: int | None) -> list[ast.expr]:
    """What a call gives as code: under that name anywhere, else at its place in what makes findings."""
    named = [word.value for word in call.keywords if word.arg == "code"]
    if place is None:
        return named
    starred = [each.value for each in call.args[: place + 1] if isinstance(each, ast.Starred)]
    return named or starred or call.args[place : place + 1]


def _codes(given: ast.expr, tree: ast.Module) -> set[str]:
    """The codes that an expression may come to; one that is handed on was found where it was made."""
    if isinstance(given, ast.Constant):
        return {given.value} if isinstance(given.value, str) and given.value else set()
    if isinstance(given, ast.IfExp):
        return _codes(given.body, tree) | _codes(given.orelse, tree)
    if isinstance(given, ast.JoinedStr):
        return {"".join(str(part.value) if isinstance(part, ast.Constant) else ".*" for part in given.values)}
    if isinstance(given, ast.Attribute):
        return set()
    return _assigned(tree)


def _assigned(tree: ast.Module) -> set[str]:
    """Every text of a module that looks like a code and is assigned, returned, or first in a tuple of code and message.

    What a name stands for is not traced further than its module.
    """
    found: set[str] = set()
    for node in ast.walk(tree):
        values: list[ast.expr | None] = []
        if isinstance(node, ast.Tuple):
            values = [*node.elts]
        elif isinstance(node, ast.Dict):
            values = [*node.values, *node.keys]
        elif isinstance(node, ast.Call) and getattr(node.func, "attr", "") in ("get", "setdefault"):
            values = [*node.args]
        elif isinstance(node, ast.Assign | ast.AnnAssign | ast.Return | ast.Yield):
            values = [node.value]
        for value in values:
            for part in (value.body, value.orelse) if isinstance(value, ast.IfExp) else (value,):
                if isinstance(part, ast.JoinedStr) and isinstance(part.values[-1], ast.Constant):
                    found |= {code for code in _codes(part, tree) if re.fullmatch(r"\.\*(-[a-z]+)+", code)}
                elif isinstance(part, ast.Constant) and isinstance(part.value, str):
                    found |= {part.value} if LOOKS_LIKE_A_CODE.fullmatch(part.value) else set()
    return found
