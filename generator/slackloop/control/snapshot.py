"""A snapshot: what one revision of a handbook says, as data that two revisions are compared by.

It is made from the typed blocks, tables and cards of a handbook (``document.revision``), kept in a release and attached
to the printed handbook. Figures carry their number and unit beside the words that a reader sees.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from pydantic import TypeAdapter, ValidationError

FORMAT = 1
ATTACHED = "snapshot.json"
"""What a snapshot is called beside a release and inside a PDF."""

Reader = Literal["contractor", "crew", "inspector"]
READERS: tuple[Reader, ...] = ("contractor", "crew", "inspector")
Kind = Literal["value", "limit"]


class SnapshotUnreadable(Exception):
    """What should be a snapshot is none that this version can read; the message says why."""


@dataclass(frozen=True, slots=True)
class DocumentFacts:
    """What tells one copy from another."""

    number: str
    title: str
    site: str
    revision: str
    date: str
    status: str
    fingerprint: str


@dataclass(frozen=True, slots=True)
class Told:
    """What a reader is told; ``number`` is in ``unit``, where it is a figure."""

    text: str
    number: float | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True)
class SheetColumn:
    """What a column of figures is called in a list of changes, and who reads it."""

    words: str
    kind: Kind
    readers: tuple[Reader, ...]
    detail: str = ""
    """What tells it from other columns of the same words, as the soil temperature of a limit."""


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One row: the place it is about in words, its boxes (or closing runs), and its cells by column."""

    place: str
    boxes: tuple[str, ...]
    cells: Mapping[str, Told]


@dataclass(frozen=True, slots=True)
class Sheet:
    """The part of one table that is compared; rows by a key that stays from one revision to the next."""

    title: str
    columns: Mapping[str, SheetColumn]
    rows: Mapping[str, SheetRow]


@dataclass(frozen=True, slots=True)
class StepText:
    """One step, or one caution of a section; ``checks`` are those that prove it, ``number`` is empty for a caution."""

    section: str
    number: str
    text: str
    why: str = ""
    stop: str = ""
    checks: tuple[str, ...] = ()
    page: str = ""


@dataclass(frozen=True, slots=True)
class CheckText:
    """One check: its words, its limit, where it is made, how it is recorded and whether work stops for it."""

    section: str
    title: str
    limit: str
    where: str
    when: str
    record: str
    hold: str


@dataclass(frozen=True, slots=True)
class Order:
    """One material: its quantity before waste and spares, and what is ordered."""

    title: str
    part: str
    quantity: Told
    order: Told


@dataclass(frozen=True, slots=True)
class CardLine:
    """One line of a card. ``key`` stays while words and figures change; ``checks`` are those it is the record of."""

    key: str
    label: str
    text: str
    checks: tuple[str, ...] = ()
    least: float | None = None
    most: float | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True)
class CardText:
    """Everything that one card says."""

    kind: str
    lines: tuple[CardLine, ...]


@dataclass(frozen=True, slots=True)
class Question:
    """A finding of level error or warning: its code, the boxes it speaks of, its words, and its answer, if any."""

    level: str
    code: str
    boxes: tuple[str, ...]
    text: str
    asks: str = ""
    answer: str = ""


@dataclass(frozen=True, slots=True)
class Snapshot:
    """What one revision says.

    ``inputs`` are the values of the job by key path, ``names`` the titles of the parts that they name, by the key under
    which the job names them. ``places`` gives the boxes at which a check of each kind of place is made.
    """

    format: int
    document: DocumentFacts
    inputs: Mapping[str, str] = field(default_factory=dict)
    names: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    sheets: Mapping[str, Sheet] = field(default_factory=dict)
    steps: Mapping[str, StepText] = field(default_factory=dict)
    checks: Mapping[str, CheckText] = field(default_factory=dict)
    orders: Mapping[str, Order] = field(default_factory=dict)
    cards: Mapping[str, CardText] = field(default_factory=dict)
    places: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    questions: tuple[Question, ...] = ()


def snapshot_bytes(snapshot: Snapshot) -> bytes:
    """The snapshot as JSON in UTF-8, the same bytes for the same handbook; what is empty is left out."""
    return TypeAdapter(Snapshot).dump_json(snapshot, exclude_defaults=True) + b"\n"


def read_snapshot(data: bytes) -> Snapshot:
    """The snapshot in ``data``. Raises ``SnapshotUnreadable`` for anything else."""
    try:
        found = TypeAdapter(Snapshot).validate_json(data)
    except (ValidationError, RecursionError) as wrong:
        raise SnapshotUnreadable("it is no snapshot of a handbook that this version can read") from wrong
    if found.format != FORMAT:
        raise SnapshotUnreadable(f"it is a snapshot of format {found.format}, and this version reads {FORMAT}")
    return found
