"""PDFs of our press, taken apart into their objects, joined, and written anew under one table of them.

A stream may end in a byte that is a carriage return. With the line end behind it, it then looks like part of that line
end, and a reader that looks back from ``endstream`` counts one byte less than ``/Length`` says (ISO 19005-3, 6.1.7.1).
Such a stream is closed by a carriage return and a line feed, which reads the same both ways.

Typst keeps everything of a document in memory until it is set, so a document that grows with the job is set in parts.
The parts are files of our own press: one plain table of objects, one tree of tags, keys of tags from 0 up. A part after
the first has headings of the first level alone; they come to stand under the only heading of that level in the first.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
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

    @property
    def root(self) -> int:
        """The object that everything is named in."""
        return self.trailer.root

    @property
    def tags(self) -> int:
        """The root of its tags."""
        return self.number(self.root, b"StructTreeRoot")

    @property
    def document(self) -> int:
        """The one tag of the whole document."""
        found = re.search(rb"/K\[(\d+) 0 R\]", self.objects[self.tags])
        if not found:
            raise NotOfOurPress("the tags have more than one root")
        return int(found[1])

    @property
    def parents(self) -> list[tuple[int, int]]:
        """The tags of each key of a page: the key and the object that lists them."""
        found = re.search(rb"/ParentTree<</Nums\[([^\]]*)\]>>", self.objects[self.tags])
        if not found:
            raise NotOfOurPress("the tags have no list of their parents")
        pairs = re.finditer(rb"(\d+) (\d+) 0 R", found[1])
        return [(int(pair[1]), int(pair[2])) for pair in pairs]


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


_TOKEN = re.compile(rb"\\.|[()]|(\d+) 0 R|/(StructParents?) (\d+)|/S/H1(?![0-9])", re.DOTALL)


def joined_pdf(parts: Sequence[bytes]) -> bytes:
    """The parts as one document, in their order; one part stays what it is. Raises ``NotOfOurPress``."""
    if len(parts) == 1:
        return with_plain_ends(parts[0])
    try:
        return _Joined([read_objects(data) for data in parts]).data()
    except (ValueError, LookupError) as problem:
        raise NotOfOurPress(f"a part is of another kind: {problem}") from problem


class _Joined:
    """Gathers the objects of all parts under new numbers."""

    def __init__(self, parts: Sequence[PdfObjects]) -> None:
        self.parts = parts
        self.made: list[bytes] = []
        first = parts[0]
        self.outlines = [part.number(part.root, b"Outlines") for part in parts]
        self.heading = first.number(self.outlines[0], b"First")
        dropped = [
            {part.root, part.trailer.info, part.number(part.root, b"Metadata"), part.tags, outlines}
            for part, outlines in zip(parts, self.outlines, strict=True)
        ]
        dropped[0] = set()
        self.kept: list[list[int]] = []
        self.numbers: list[dict[int, int]] = []
        count = 0
        for part, left in zip(parts, dropped, strict=True):
            kept = [number for number in sorted(part.objects) if number not in left]
            self.kept.append(kept)
            self.numbers.append({number: count + n for n, number in enumerate(kept, 1)})
            count += len(kept)
        self.pages, self.document = count + 1, count + 2
        for part, outlines, numbers in zip(parts[1:], self.outlines[1:], self.numbers[1:], strict=True):
            numbers[part.tags] = self.document
            numbers[outlines] = self.numbers[0][self.heading]

    def data(self) -> bytes:
        """The whole file."""
        self._chain_headings()
        key, nums = 0, []
        for n, (part, numbers, kept) in enumerate(zip(self.parts, self.numbers, self.kept, strict=True)):
            pages = part.number(part.root, b"Pages")
            part.objects[pages] = part.objects[pages].replace(b"/Type/Pages", b"/Type/Pages/Parent  0 R", 1)
            part.objects[part.document] = part.objects[part.document].replace(b"/S/Document", b"/S/Part", 1)
            parents = part.parents
            nums += [b"%d %d 0 R" % (key + each, numbers[listed]) for each, listed in parents]
            self.made += [_renumbered(part.objects[number], numbers, key, lower=n > 0) for number in kept]
            key += max((each for each, _ in parents), default=-1) + 1
        self._mend_roots(key, nums)
        return self._written()

    def _page_roots(self) -> Iterator[tuple[int, int]]:
        """The root of the pages of each part, by its new number, and how many they are."""
        for part, numbers in zip(self.parts, self.numbers, strict=True):
            pages = part.number(part.root, b"Pages")
            found = re.search(rb"/Count (\d+)", part.objects[pages])
            yield numbers[pages], int(found[1]) if found else 0

    def _mend_roots(self, next_key: int, nums: Sequence[bytes]) -> None:
        """Put the roots of pages and tags over those of the parts."""
        first, numbers = self.parts[0], self.numbers[0]
        roots = list(self._page_roots())
        for number, _ in roots:
            self._change(number, b"/Parent  0 R", b"/Parent %d 0 R" % self.pages)
        total = sum(count for _, count in roots)
        kids = b" ".join(b"%d 0 R" % number for number, _ in roots)
        self.made.append(b"<</Type/Pages/Count %d/Kids[%s]>>" % (total, kids))
        documents = [each[part.document] for part, each in zip(self.parts, self.numbers, strict=True)]
        tags, kids = numbers[first.tags], b" ".join(b"%d 0 R" % number for number in documents)
        self.made.append(b"<</Type/StructElem/S/Document/P %d 0 R/K[%s]>>" % (tags, kids))
        self._change(documents[0], b"/P %d 0 R" % tags, b"/P %d 0 R" % self.document)
        self._change(tags, b"/K[%d 0 R]" % documents[0], b"/K[%d 0 R]" % self.document)
        found = self.made[tags - 1]
        found = re.sub(rb"/ParentTree<</Nums\[[^\]]*\]>>", b"/ParentTree<</Nums[%s]>>" % b" ".join(nums), found)
        self.made[tags - 1] = re.sub(rb"/ParentTreeNextKey \d+", b"/ParentTreeNextKey %d" % next_key, found)
        pages = numbers[first.number(first.root, b"Pages")]
        self._change(numbers[first.root], b"/Pages %d 0 R" % pages, b"/Pages %d 0 R" % self.pages)
        told = numbers[first.number(first.root, b"Metadata")]
        data = self.made[told - 1].partition(b"stream\n")[2].rpartition(b"\nendstream")[0]
        data = re.sub(rb"(<xmpTPg:NPages>)\d+", rb"\g<1>%d" % total, data)
        self.made[told - 1] = b"<</Length %d/Type/Metadata/Subtype/XML>>\nstream\n%s\nendstream" % (len(data), data)

    def _change(self, number: int, old: bytes, new: bytes) -> None:
        if self.made[number - 1].count(old) != 1:
            raise NotOfOurPress(f"{old.decode()} does not stand in its object")
        self.made[number - 1] = self.made[number - 1].replace(old, new)

    def _chain_headings(self) -> None:
        """Hang the headings of every later part behind those of the part before."""
        first, numbers = self.parts[0], self.numbers
        before, last = 0, first.number(self.heading, b"Last")
        links: list[tuple[int, int, bytes]] = []
        for n, (part, outlines) in enumerate(zip(self.parts[1:], self.outlines[1:], strict=True), 1):
            start = part.number(outlines, b"First")
            links.append((before, last, b"/Next %d 0 R" % numbers[n][start]))
            links.append((n, start, b"/Prev %d 0 R" % numbers[before][last]))
            before, last = n, part.number(outlines, b"Last")
        count = sum(_headings(part, outlines) for part, outlines in zip(self.parts[1:], self.outlines[1:], strict=True))
        told = first.objects[self.heading]
        shown = re.search(rb"/Count (-?)(\d+)", told)
        if shown is None:
            raise NotOfOurPress("the first heading of the first part holds no others")
        told = told.replace(shown[0], b"/Count %s%d" % (shown[1], int(shown[2]) + count), 1)
        first.objects[self.heading] = told
        self._links = links
        self._last = (before, last)

    def _written(self) -> bytes:
        for n, number, link in self._links:
            at = self.numbers[n][number] - 1
            self.made[at] = self.made[at][:-2] + link + b">>"
        n, number = self._last
        at = self.numbers[0][self.heading] - 1
        self.made[at] = re.sub(rb"/Last \d+ 0 R", b"/Last %d 0 R" % self.numbers[n][number], self.made[at])
        first = self.parts[0]
        root, info = (self.numbers[0][each] for each in (first.trailer.root, first.trailer.info))
        return pdf_bytes(first.head, self.made, Trailer(root, info, first.trailer.id))


def _headings(part: PdfObjects, outlines: int) -> int:
    found = re.search(rb"/Count (\d+)", part.objects[outlines])
    return int(found[1]) if found else 0


def _renumbered(body: bytes, numbers: dict[int, int], key: int, *, lower: bool) -> bytes:
    """An object with new numbers; its text and its stream stay. ``lower`` sets headings a level lower."""
    head, stream, rest = body.partition(b">>\nstream\n")
    depth = 0

    def new(found: re.Match[bytes]) -> bytes:
        nonlocal depth
        token = found[0]
        if token in (b"(", b")"):
            depth += 1 if token == b"(" else -1
        elif depth:
            return token
        elif found[1]:
            return b"%d 0 R" % numbers[int(found[1])]
        elif found[2]:
            return b"/%s %d" % (found[2], int(found[3]) + key)
        elif lower and token == b"/S/H1":
            return b"/S/H2"
        return token

    return _TOKEN.sub(new, head) + stream + rest
