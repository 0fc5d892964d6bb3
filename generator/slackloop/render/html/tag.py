"""HTML elements built in code: all text is escaped, attributes keep their order, empty ones are left out."""

from __future__ import annotations

from markupsafe import Markup, escape

Child = str | Markup
EMPTY = frozenset({"br", "hr", "img", "input", "link", "meta"})


def tag(name: str, /, *children: Child, **attributes: str | int | bool | None) -> Markup:
    """One element. ``class_`` and ``for_`` lose their underscore, others turn it into a hyphen.

    A child that is not ``Markup`` is text. ``True`` writes an attribute without a value; ``None``, ``False`` and an
    empty text write none.
    """
    shown = "".join(_attribute(key, value) for key, value in attributes.items())
    if name in EMPTY:
        return Markup(f"<{name}{shown}>")
    return Markup(f"<{name}{shown}>{''.join(map(escape, children))}</{name}>")


def together(parts: list[Markup]) -> Markup:
    """Parts one after another, a line each."""
    return Markup("\n".join(part for part in parts if part))


def _attribute(key: str, value: str | int | bool | None) -> str:
    if value is None or value is False or value == "":
        return ""
    name = key.rstrip("_").replace("_", "-")
    return f" {name}" if value is True else f' {name}="{escape(str(value))}"'
