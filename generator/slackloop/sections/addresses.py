"""Addresses of pages: safe in a file name and a link, stable, and unique for any box id.

An id of capitals and digits (with single dashes between) keeps its own spelling in lower case, as
``B01``. Any other id is spelled with what is safe in it and the first eight hex digits of its
SHA-256 hash, so that two ids never share an address, also where file names ignore letter case.
"""

from __future__ import annotations

import hashlib
import re

_PLAIN = re.compile(r"[A-Z0-9]+(?:-[A-Z0-9]+)*")
_LIKE_HASHED = re.compile(r"-[0-9A-F]{8}$")
_RESERVED = re.compile(r"CON|PRN|AUX|NUL|INDEX|(?:COM|LPT)[0-9]")
_UNSAFE = re.compile(r"[^a-z0-9]+")
_LONGEST = 40


def slug(name: str) -> str:
    """A safe spelling of ``name``, the same on every machine.

    A kept spelling never ends in a dash and eight hex digits, so a hashed one cannot meet it;
    names that a file system keeps for itself (``CON``, ``NUL``) are hashed too.
    """
    plain = len(name) <= _LONGEST and _PLAIN.fullmatch(name)
    if plain and not _LIKE_HASHED.search(name) and not _RESERVED.fullmatch(name):
        return name.lower()
    digest = hashlib.sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:8]
    safe = _UNSAFE.sub("-", name.lower()).strip("-")[:_LONGEST].strip("-")
    return f"{safe or 'box'}-{digest}"


def section_uri(part: str, section_id: str) -> str:
    """Address of a section's page."""
    return f"{part}/{section_id}.md"


def table_uri(table_id: str) -> str:
    """Address of a table's page."""
    return f"tables/{table_id}.md"


def drawing_uri(figure_id: str) -> str:
    """Address of a drawing's page."""
    return f"drawings/{figure_id}.md"


def anchor(*parts: str) -> str:
    """A stable anchor inside a page."""
    return "-".join(slug(part) if not re.fullmatch(r"[a-z0-9-]+", part) else part for part in parts)
