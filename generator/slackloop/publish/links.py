"""The written website checked as a reader's browser would read it.

Every address in the HTML and the style sheets must lead to a file of the site, every anchor to an
element of that name, and nothing may be fetched from outside. MkDocs checks Markdown links only;
this reads what stands in the files.
"""

from __future__ import annotations

import html
import posixpath
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from urllib.parse import unquote, urlsplit

TAG = re.compile(r"<([a-zA-Z][\w:-]*)((?:[^<>\"']|\"[^\"]*\"|'[^']*')*)>")
ATTRIBUTE = re.compile(r"""([\w:-]+)\s*=\s*(?:"([^"]*)"|'([^']*)'|([^\s"'>]+))""")
UNREAD = re.compile(r"<!--.*?-->|(<script\b[^>]*>).*?</script>", re.DOTALL | re.IGNORECASE)
STYLE = re.compile(r"<style\b[^>]*>(.*?)</style>", re.DOTALL | re.IGNORECASE)
STYLE_ADDRESS = re.compile(
    r"""url\(\s*(?:"([^"]*)"|'([^']*)'|([^)"'\s]*))\s*\)|@import\s+(?:"([^"]*)"|'([^']*)')""", re.IGNORECASE
)
COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)

FETCHED = frozenset({"src", "poster", "data", "background", "action", "formaction", "ping"})
"""Attributes whose address is fetched or sent to, whatever the element."""
LINKED = frozenset({"href", "xlink:href"})
NAMED = re.compile(
    r"\b(?:id|name|href|src|srcset|style|poster|data|background|action|formaction|ping)\s*=", re.IGNORECASE
)
INERT = ("data:", "javascript:void(0)")


@dataclass(frozen=True, slots=True)
class LinkFault:
    """One address that is wrong: the file it stands in, the address, and what is wrong with it."""

    file: str
    address: str
    fault: str

    def __str__(self) -> str:
        return f"{self.file}: {self.address!r} {self.fault}"


@dataclass(frozen=True, slots=True)
class Reference:
    """An address in a file; ``fetched`` where a browser asks for it without a click."""

    address: str
    fetched: bool


@dataclass(frozen=True, slots=True)
class Document:
    """What one HTML file names and points to."""

    names: frozenset[str]
    references: frozenset[Reference]


def check_site(folder: Path, *, address: str = "") -> tuple[LinkFault, ...]:
    """Faults of all addresses in the ``.html``, ``.svg`` and ``.css`` files under ``folder``, in order.

    ``address`` is where the handbook will be hosted: a link that a reader clicks may go there, and
    nowhere else outside.
    """
    files = {path.relative_to(folder).as_posix(): path for path in sorted(folder.rglob("*")) if path.is_file()}
    documents: dict[str, Document] = {}
    for name, path in files.items():
        if name.endswith((".html", ".svg")):
            documents[name] = read_document(path.read_text(encoding="utf-8"))
        elif name.endswith(".css"):
            documents[name] = Document(frozenset(), frozenset(style_references(path.read_text(encoding="utf-8"))))
    faults = [
        LinkFault(name, reference.address, fault)
        for name, document in documents.items()
        for reference in sorted(document.references, key=lambda one: one.address)
        if (fault := _fault(name, reference, files.keys(), documents, address))
    ]
    return tuple(faults)


def read_document(text: str) -> Document:
    """Names (``id`` and ``name``) and addresses in HTML or SVG text; scripts' own text is not read."""
    references: set[Reference] = set()
    for style in STYLE.finditer(text):
        references |= set(style_references(style[1]))
    names: set[str] = set()
    for tag in TAG.finditer(UNREAD.sub(r"\1", text)):
        if NAMED.search(tag[2]):
            _read_tag(tag[1].lower(), tag[2], names, references)
    return Document(frozenset(names), frozenset(references))


def _read_tag(tag: str, inside: str, names: set[str], references: set[Reference]) -> None:
    attributes = _attributes(inside)
    for key, value in attributes:
        if key == "id" or (key == "name" and tag == "a"):
            names.add(value)
        elif key in LINKED:
            canonical = tag == "link" and ("rel", "canonical") in attributes
            references.add(Reference(value, fetched=not (tag == "a" or canonical)))
        elif key in FETCHED:
            references.add(Reference(value, fetched=True))
        elif key == "srcset":
            references |= {Reference(part.split()[0], fetched=True) for part in value.split(",") if part.strip()}
        elif key == "style":
            references |= set(style_references(value))


@lru_cache(maxsize=4096)
def _attributes(inside: str) -> tuple[tuple[str, str], ...]:
    """Attributes of a tag as (name in small letters, value with its entities read)."""
    found = ATTRIBUTE.findall(inside)
    return tuple((key.lower(), html.unescape(double or single or bare)) for key, double, single, bare in found)


def style_references(text: str) -> Iterable[Reference]:
    """Addresses that a style sheet fetches."""
    for found in STYLE_ADDRESS.finditer(COMMENT.sub("", text)):
        yield Reference(next((part for part in found.groups() if part), ""), fetched=True)


def _fault(
    file: str, reference: Reference, files: Iterable[str], documents: dict[str, Document], address: str
) -> str:
    """What is wrong with the reference, or nothing."""
    text = reference.address
    if text in ("", "#") or text.startswith(INERT):
        return ""
    try:
        parts = urlsplit(text)
    except ValueError:
        return "is not an address"
    if parts.scheme or parts.netloc:
        if reference.fetched:
            return "is fetched from outside the site"
        return "" if _is_under(text, address) else "leads outside the site"
    target = _resolve(file, unquote(parts.path))
    if target is None:
        return "leads out of the site's folder"
    if target not in files:
        return "leads to no file"
    if parts.fragment and target in documents and unquote(parts.fragment) not in documents[target].names:
        return "leads to no element of that name"
    return ""


def _is_under(text: str, address: str) -> bool:
    return bool(address) and (text == address or text.startswith(address.rstrip("/") + "/"))


def _resolve(file: str, path: str) -> str | None:
    """Path from the site's top that ``path`` in ``file`` means; None where it leaves the site."""
    if path.startswith("/"):
        return None
    if not path:
        return file
    target = posixpath.normpath(posixpath.join(posixpath.dirname(file), path))
    if target == ".." or target.startswith("../"):
        return None
    if path.endswith("/") or target == ".":
        target = posixpath.normpath(posixpath.join(target, "index.html"))
    return target
