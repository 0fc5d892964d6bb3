"""Templates of the content: values and loops over them, nothing else; all job text comes out escaped.

The template language is cut down to what a section may do: ``{{ v.name }}`` and
``{% for c in v.cables %}…{% endfor %}``. Anything else (conditions, filters, calls, macros) is a
finding, since decisions belong in code where they are tested.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, fields
from functools import lru_cache
from typing import Any

from jinja2 import StrictUndefined, TemplateError, TemplateSyntaxError, Undefined, UndefinedError, nodes
from jinja2.sandbox import ImmutableSandboxedEnvironment

from slackloop.handbook.content_finding import ContentFinding
from slackloop.handbook.section import Prose
from slackloop.handbook.text import Measure, Trusted, escape
from slackloop.handbook.values import VIEWS, Values

_ALLOWED = (nodes.Template, nodes.Output, nodes.TemplateData, nodes.For, nodes.Name, nodes.Getattr)


def _finalize(value: Any) -> Any:
    """Job text escaped; an undefined name is left for StrictUndefined to refuse."""
    if isinstance(value, Undefined):
        return str(value)
    if not isinstance(value, str):
        raise TemplateError(f"a {type(value).__name__} is no text: name one of its attributes")
    return escape(value)


def _finalize_large(value: Any) -> Any:
    """As ``_finalize``, with measures in large numerals."""
    if isinstance(value, Measure):
        return Trusted(f'<strong class="value">{escape(value)}</strong>')
    return _finalize(value)


def _environment(finalize: Any) -> ImmutableSandboxedEnvironment:
    """A sandboxed environment with no filters, tests or globals."""
    environment = ImmutableSandboxedEnvironment(
        undefined=StrictUndefined, finalize=finalize, autoescape=False, trim_blocks=True, lstrip_blocks=True
    )
    environment.filters.clear()
    environment.tests.clear()
    environment.globals.clear()
    return environment


_PLAIN = _environment(_finalize)
_LARGE = _environment(_finalize_large)


@lru_cache(maxsize=8192)
def _compiled(text: str, large: bool) -> Any:
    """A compiled template; the same text is compiled once."""
    return (_LARGE if large else _PLAIN).from_string(text)


@dataclass
class Renderer:
    """Renders content text with one job's values; keeps what went wrong with file and line."""

    values: Values
    findings: list[ContentFinding] = field(default_factory=list)

    def render(self, text: str, file: str, line: int, *, large: bool = False) -> Trusted:
        """Markdown of ``text``, which starts at ``line`` of ``file``; ``large`` sets measures large."""
        if "{" not in text:
            return Trusted(text)
        wrong = tuple(template_findings(text, file, line))
        if wrong:
            self.findings.extend(wrong)
            return Trusted("")
        try:
            return Trusted(_compiled(text, large).render(v=self.values))
        except (UndefinedError, TemplateError) as error:
            self.findings.append(ContentFinding(file, line, "template-failed", str(error)))
            return Trusted("")

    def prose(self, prose: Prose | None, file: str, *, large: bool = False) -> Trusted:
        """Markdown of a piece of prose; nothing for none."""
        return self.render(prose.text, file, prose.line, large=large) if prose else Trusted("")

    def plain(self, text: str) -> str:
        """Plain text with the values in it, for titles and descriptions; faults are found elsewhere."""
        if "{" not in text:
            return text
        try:
            return str(_RAW.from_string(text).render(v=self.values))
        except TemplateError:
            return ""


_RAW = ImmutableSandboxedEnvironment(undefined=StrictUndefined, autoescape=False)


@lru_cache(maxsize=8192)
def template_findings(text: str, file: str, line: int) -> tuple[ContentFinding, ...]:
    """What ``text`` does that content may not do, or names that no job has; independent of any job."""
    if "{" not in text:
        return ()
    try:
        tree = _PLAIN.parse(text)
    except TemplateSyntaxError as error:
        return (ContentFinding(file, line + error.lineno - 1, "template-syntax", str(error.message)),)
    return tuple(_tree_findings(tree, file, line))


def _tree_findings(tree: nodes.Template, file: str, line: int) -> Iterator[ContentFinding]:
    """Each node that is not a value or a loop, and each name that is not one of ``v``."""
    loops = {
        loop.target.name: loop.iter.attr
        for loop in tree.find_all(nodes.For)
        if isinstance(loop.target, nodes.Name) and isinstance(loop.iter, nodes.Getattr)
    }
    for node in tree.find_all(nodes.Node):
        here = line + (node.lineno or 1) - 1
        if not isinstance(node, _ALLOWED):
            kind = type(node).__name__.lower()
            yield ContentFinding(file, here, "template-not-allowed", f"'{kind}': content has values and loops only")
        elif isinstance(node, nodes.For) and (node.test or node.else_ or node.recursive):
            yield ContentFinding(file, here, "template-not-allowed", "a loop has no condition, else or recursion")
        elif isinstance(node, nodes.Getattr):
            yield from _name_findings(node, loops, file, here)
        elif isinstance(node, nodes.Name) and node.name not in ("v", *loops):
            yield ContentFinding(file, here, "value-unknown", f"'{node.name}' is no value; values are named v.…")


def _name_findings(node: nodes.Getattr, loops: dict[str, str], file: str, line: int) -> Iterator[ContentFinding]:
    """Whether ``v.name`` or an attribute of a loop's item exists."""
    if not isinstance(node.node, nodes.Name):
        yield ContentFinding(file, line, "value-unknown", f"'.{node.attr}' of a value's attribute: values are one deep")
        return
    name = node.node.name
    view = Values if name == "v" else VIEWS.get(loops.get(name, ""))
    known = {each.name for each in fields(view)} if view is not None else set()
    if node.attr not in known:
        yield ContentFinding(file, line, "value-unknown", f"there is no value '{name}.{node.attr}'")
