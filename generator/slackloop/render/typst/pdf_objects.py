"""A PDF of our press, taken apart into its objects and written anew under one table of them.

A stream may end in a byte that is a carriage return. With the line end behind it, it then looks like part of that line
end, and a reader that looks back from ``endstream`` counts one byte less than ``/Length`` says (ISO 19005-3, 6.1.7.1).
Such a stream is closed by a carriage return and a line feed, which reads the same both ways.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

DOUBTFUL = b"\r\nendstream"
"""How a stream ends whose last byte is a carriage return, with the single line feed of our press behind it."""


class NotOfOurPress(Exception):
    """A file is not built as our press builds it."""


@dataclass(frozen=True, slots=True)
class Trailer:
    """What the end of a file names."""

    root: int
    info: int
    id: bytes


@dataclass(frozen=True, slots=True)
class PdfObjects:
    """One document: the first bytes of its file, its objects by number, and its trailer."""

    head: bytes
    objects: dict[int, bytes]
    trailer: Trailer

    def number(self, of: int, key: bytes) -> int:
        """The object that ``key`` of object ``of`` names."""
        found = re.search(rb"/" + key + rb" (\d+) 0 R", self.objects[of])
        if not found:
            raise NotOfOurPress(f"object {of} names no {key.decode()}")
        return int(found[1])


def read_objects(data: bytes) -> PdfObjects:
    """A file taken apart; raises ``NotOfOurPress``, ``ValueError`` or ``LookupError`` for one of another kind."""
    start = int(data[data.rindex(b"startxref") + 9 :].split()[0])
    listed = re.match(rb"xref\s+0 (\d+)\s+", data[start : start + 40])
    end = re.search(rb"/Root (\d+) 0 R/Info (\d+) 0 R/ID(\[.*?\])\s*>>\s*startxref", data[start:], re.DOTALL)
    if not listed or not end:
        raise NotOfOurPress("the table of objects is of another kind")
    first = start + listed.end()
    places = [data[at : at + 20] for at in range(first, first + 20 * int(listed[1]), 20)]
    offsets = {number: int(place[:10]) for number, place in enumerate(places) if place[17:18] == b"n"}
    ends = dict(zip(sorted(offsets.values()), [*sorted(offsets.values())[1:], start], strict=True))
    objects = {}
    for number, at in offsets.items():
        body = data[at : ends[at]].rstrip()
        opening = b"%d 0 obj\n" % number
        if not body.startswith(opening) or not body.endswith(b"\nendobj"):
            raise NotOfOurPress(f"object {number} is not where it is said to be")
        objects[number] = body[len(opening) : -7]
    return PdfObjects(data[: min(offsets.values())], objects, Trailer(int(end[1]), int(end[2]), end[3]))


def pdf_bytes(head: bytes, bodies: Iterable[bytes], trailer: Trailer) -> bytes:
    """The file of objects that are numbered from 1 on."""
    pieces, places, at = [head], [], len(head)
    for number, body in enumerate(bodies, 1):
        piece = b"%d 0 obj\n%s\nendobj\n" % (number, _closed(body))
        places.append(b"%010d 00000 n\r\n" % at)
        pieces.append(piece)
        at += len(piece)
    size = len(places) + 1
    pieces += [b"xref\n0 %d\n0000000000 65535 f\r\n" % size, *places]
    pieces.append(b"trailer\n<</Size %d/Root %d 0 R/Info %d 0 R" % (size, trailer.root, trailer.info))
    pieces.append(b"/ID%s>>\nstartxref\n%d\n%%%%EOF" % (trailer.id, at))
    return b"".join(pieces)


def with_plain_ends(data: bytes) -> bytes:
    """The same document with the end of every stream beyond doubt; as it is where that is so, or of another kind."""
    if DOUBTFUL not in data:
        return data
    try:
        read = read_objects(data)
    except (NotOfOurPress, ValueError, LookupError):
        return data
    numbers: Sequence[int] = sorted(read.objects)
    if numbers != [*range(1, len(numbers) + 1)] or not any(map(_is_doubtful, read.objects.values())):
        return data
    return pdf_bytes(read.head, (read.objects[number] for number in numbers), read.trailer)


def _is_doubtful(body: bytes) -> bool:
    return body.endswith(DOUBTFUL)


def _closed(body: bytes) -> bytes:
    return body.removesuffix(b"\nendstream") + b"\r\nendstream" if _is_doubtful(body) else body
