"""Templates of the content: values and loops over them, nothing else; all job text comes out escaped.

The template language is cut down to what a section may do: ``{{ v.name }}`` and
``{% for c in v.cables %}…{% endfor %}``. Anything else (conditions, filters, calls, macros) is a
finding, since decisions belong in code where they are tested.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextvars import ContextVar
from dataclasses import dataclass, field, fields
from functools import lru_cache
from typing import Any

from jinja2 import StrictUndefined, Template, TemplateError, TemplateSyntaxError, Undefined, UndefinedError, nodes
from jinja2.sandbox import ImmutableSandboxedEnvironment

from slackloop.sections.raw_html import tags_as_text
from slackloop.sections.section import Prose
from slackloop.sections.text import Measure, Trusted, escape
from slackloop.sections.values import VIEWS, Values
from slackloop.source.finding import Placed, found_at

MOST_NESTED_LOOPS = 2
MOST_TURNS = 100_000
"""Turns that the loops of one text may take together."""
MOST_CHARACTERS = 1_000_000
"""Characters that one text may come to; ours come to some thousands."""
MOST_CHARACTERS_IN_ALL = 50_000_000
"""Characters that all texts of one handbook may come to."""


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
def _compiled(text: str, large: bool) -> Template:
    """A compiled template; the same text is compiled once."""
    return (_LARGE if large else _PLAIN).from_string(text)


_MARK: ContextVar[Callable[[str], str]] = ContextVar("mark")


def _finalize_marked(value: Any) -> Any:
    """The mark that stands for a value until the text around it is parsed."""
    if isinstance(value, Undefined):
        return str(value)
    if not isinstance(value, str):
        raise TemplateError(f"a {type(value).__name__} is no text: name one of its attributes")
    return _MARK.get()(value)


_MARKED = _environment(_finalize_marked)


@lru_cache(maxsize=8192)
def _marking(text: str) -> Template:
    """A compiled template that marks its values."""
    return _MARKED.from_string(text)


@dataclass
class Renderer:
    """Renders content text with one job's values; keeps what went wrong with file and line."""

    values: Values
    raw_html: frozenset[str] = frozenset()
    """Files of the sections whose front matter allows raw HTML; elsewhere a tag is shown as text."""
    findings: list[Placed] = field(default_factory=list)
    _characters: int = 0

    def render(self, text: str, file: str, line: int, *, large: bool = False) -> Trusted:
        """Markdown of ``text``, which starts at ``line`` of ``file``; ``large`` sets measures large."""
        if file not in self.raw_html:
            text = tags_as_text(text)
        if "{" not in text:
            return Trusted(text)
        wrong = template_findings(text, file, line)
        if wrong:
            self.findings.extend(wrong)
            return Trusted("")
        try:
            return Trusted(self._bounded(text, _compiled(text, large)))
        except (UndefinedError, TemplateError) as error:
            self.findings.append(found_at(file, line, "template-failed", str(error)))
            return Trusted("")

    def _bounded(self, text: str, template: Template) -> str:
        """``text`` with its values; raises ``TemplateError`` where it takes more work or room than any use."""
        turns = _turns(_PLAIN.parse(text), self.values) if "{%" in text else 0
        if turns > MOST_TURNS:
            raise TemplateError(f"the loops take {turns:,} turns on this job; at most {MOST_TURNS:,} are made")
        room = min(MOST_CHARACTERS, MOST_CHARACTERS_IN_ALL - self._characters)
        made: list[str] = []
        for piece in template.generate(v=self.values):
            room -= len(piece)
            if room < 0:
                raise TemplateError(f"the text comes to more than {MOST_CHARACTERS:,} characters on this job")
            made.append(piece)
        whole = "".join(made)
        self._characters += len(whole)
        return whole

    def marked(self, text: str, file: str, line: int, mark: Callable[[str], str]) -> str:
        """``text`` with what ``mark`` gives for each value in the place of the value; empty where it is faulty."""
        if "{" not in text:
            return text
        wrong = template_findings(text, file, line)
        if wrong:
            self.findings.extend(wrong)
            return ""
        token = _MARK.set(mark)
        try:
            return self._bounded(text, _marking(text))
        except (UndefinedError, TemplateError) as error:
            self.findings.append(found_at(file, line, "template-failed", str(error)))
            return ""
        finally:
            _MARK.reset(token)

    def prose(self, prose: Prose | None, file: str, *, large: bool = False) -> Trusted:
        """Markdown of a piece of prose; nothing for none."""
        return self.render(prose.text, file, prose.line, large=large) if prose else Trusted("")

    def plain(self, text: str) -> str:
        """Plain text with the values in it, for titles and descriptions; faults are found elsewhere."""
        if "{" not in text:
            return text
        if template_findings(text, "", 1):
            return ""
        try:
            return str(_RAW.from_string(text).render(v=self.values))
        except TemplateError:
            return ""


_RAW = ImmutableSandboxedEnvironment(undefined=StrictUndefined, autoescape=False)


@lru_cache(maxsize=8192)
def template_findings(text: str, file: str, line: int) -> tuple[Placed, ...]:
    """What ``text`` does that content may not do, or names that no job has; independent of any job."""
    if "{" not in text:
        return ()
    try:
        tree = _PLAIN.parse(text)
    except TemplateSyntaxError as error:
        return (found_at(file, line + error.lineno - 1, "template-syntax", str(error.message)),)
    except RecursionError:
        return (found_at(file, line, "template-not-allowed", "brackets or loops nest deeper than any use"),)
    faults: list[tuple[int, str, str]] = []
    _walk(tree, {}, faults)
    return tuple(found_at(file, line + at - 1, code, message) for at, code, message in faults)


Scope = Mapping[str, str]
"""The variable of each loop around a place, with the list that it goes through."""


def _walk(node: nodes.Node, scope: Scope, faults: list[tuple[int, str, str]]) -> None:
    """Note line, code and message of each part below ``node`` that is not a value or a loop over a list."""
    for child in node.iter_child_nodes():
        at = child.lineno or 1
        if isinstance(child, nodes.Output):
            for shown in child.nodes:
                if not isinstance(shown, nodes.TemplateData):
                    faults += [(shown.lineno or at, *fault) for fault in _value_faults(shown, scope)]
        elif isinstance(child, nodes.For):
            fault = _loop_fault(child, scope)
            if fault is not None:
                faults.append((at, *fault))
            else:
                inside = {**scope, _variable(child): _list_of(child)}
                for part in child.body:
                    _walk(nodes.Template([part]), inside, faults)
        else:
            faults.append((at, "template-not-allowed", f"'{_kind(child)}': content has values and loops only"))


def _kind(node: nodes.Node) -> str:
    return type(node).__name__.lower()


def _variable(loop: nodes.For) -> str:
    return loop.target.name if isinstance(loop.target, nodes.Name) else ""


def _list_of(loop: nodes.For) -> str:
    """The list of ``v`` that a loop goes through; empty where it goes through something else."""
    over = loop.iter
    named = isinstance(over, nodes.Getattr) and isinstance(over.node, nodes.Name) and over.node.name == "v"
    return over.attr if named and isinstance(over, nodes.Getattr) else ""


def _loop_fault(loop: nodes.For, scope: Scope) -> tuple[str, str] | None:
    """Code and message of what is wrong with a loop; nothing for a good one."""
    if loop.test or loop.else_ or loop.recursive:
        return "template-not-allowed", "a loop has no condition, else or recursion"
    if _variable(loop) in ("", "v") or _variable(loop) in scope:
        return "template-not-allowed", "a loop names one variable of its own, which is not v"
    if _list_of(loop) not in VIEWS:
        return "value-unknown", f"a loop goes through a list: v.{', v.'.join(VIEWS)}"
    if len(scope) >= MOST_NESTED_LOOPS:
        return "template-not-allowed", f"loops are at most {MOST_NESTED_LOOPS} deep in one another"
    return None


def _value_faults(node: nodes.Node, scope: Scope) -> Iterator[tuple[str, str]]:
    """What is wrong with one ``{{ … }}``: it names a value of ``v``, or of the item of a loop."""
    if isinstance(node, nodes.Name):
        known = node.name == "v" or node.name in scope
        message = f"'{node.name}' is no text: name one of its values, as {node.name}.title"
        yield "value-unknown", message if known else f"'{node.name}' is no value; values are named v.…"
    elif not isinstance(node, nodes.Getattr):
        yield "template-not-allowed", f"'{_kind(node)}': content has values and loops only"
    elif not isinstance(node.node, nodes.Name):
        inner = node.node
        if isinstance(inner, nodes.Getattr):
            yield "value-unknown", f"'.{node.attr}' of a value's attribute: values are one deep"
        else:
            yield "template-not-allowed", f"'{_kind(inner)}': content has values and loops only"
    elif node.node.name != "v" and node.node.name not in scope:
        yield "value-unknown", f"'{node.node.name}' is no value; values are named v.…"
    else:
        name = node.node.name
        view = Values if name == "v" else VIEWS[scope[name]]
        if node.attr not in {each.name for each in fields(view)}:
            yield "value-unknown", f"there is no value '{name}.{node.attr}'"
        elif name == "v" and node.attr in VIEWS:
            message = f"'v.{node.attr}' is a list: write {{% for c in v.{node.attr} %}}{{{{ c.title }}}}{{% endfor %}}"
            yield "value-is-list", message


def _turns(node: nodes.Node, values: Values) -> int:
    """How many turns all loops below ``node`` take together."""
    turns = 0
    for child in node.iter_child_nodes():
        if isinstance(child, nodes.For):
            length = len(getattr(values, _list_of(child), ()))
            turns += length * (1 + _turns(nodes.Template(child.body), values))
    return turns
