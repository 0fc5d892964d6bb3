"""The closed set of blocks that a page is made of: frozen values that say what a reader gets, not how it looks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from slackloop.compute.circuit.loop import LoopRule
from slackloop.compute.circuit.path_volts import OffLimit
from slackloop.document.inline import Line, Target
from slackloop.document.table import Table

ParagraphRole = Literal["text", "lead", "aim", "small", "source", "screen", "bring", "caution"]
NoteKind = Literal["note", "warning", "danger", "deferral", "own"]


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading below the page's own title: ``level`` 2 to 4, and the anchor that links name."""

    level: int
    line: Line
    anchor: str


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph and what it is for."""

    line: Line
    role: ParagraphRole = "text"


@dataclass(frozen=True, slots=True)
class Bullets:
    """A list; each item is blocks. ``ordered`` counts from ``start``."""

    items: tuple[tuple[Block, ...], ...]
    ordered: bool = False
    start: int = 1


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing that is known: what it is called, its value, and what more is to be said of it."""

    label: str
    value: Line
    more: Line = ()


@dataclass(frozen=True, slots=True)
class Facts:
    """Facts in a list, a line each; ``large`` ones are the few values that a reader dials in."""

    facts: tuple[Fact, ...]
    large: bool = False


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing of ours as SVG (text colour ``currentColor``), its size in CSS pixels, title, description, caption.

    ``verdict`` marks a picture of right or wrong work; ``step`` is the number of the step that it shows.
    ``paper_mm`` is how wide and tall it is printed; without it, as wide as the text and its own size allow. ``on`` is
    where alone it is shown, where a page and a screen have a drawing of their own.
    """

    id: str
    svg: str
    width_px: float
    height_px: float
    title: str
    description: str
    caption: Line = ()
    verdict: Literal["", "right", "wrong"] = ""
    step: str = ""
    paper_mm: tuple[float, float] | None = None
    on: Literal["", "screen", "paper"] = ""
    spots: tuple[tuple[str, float, float], ...] = ()
    """Boxes by their ids and where they are, across and down, as shares of the width and the height."""


@dataclass(frozen=True, slots=True)
class DrawingRow:
    """Drawings that belong together, side by side where there is room."""

    drawings: tuple[Drawing, ...]


@dataclass(frozen=True, slots=True)
class Sign:
    """A safety sign: its ISO 7010 number, its picture as SVG, and its words."""

    number: str
    svg: str
    words: str
    more: Line = ()


@dataclass(frozen=True, slots=True)
class SignRow:
    """What is worn, or what is warned of, as pictures in one row."""

    title: str
    signs: tuple[Sign, ...]


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution in full, before the first step that it guards."""

    title: str
    blocks: tuple[Block, ...]
    sign: Sign | None = None
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """A box that is set apart: a finding, who decides, a mark on a firm's own section."""

    kind: NoteKind
    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class StepCheck:
    """A check at the step that makes it: its id, its words with the limit, and whether work stops for it."""

    id: str
    line: Line
    record: Literal["measure", "sign", "tick", "covered"] = "tick"
    hold: Literal["none", "witness", "hold"] = "none"
    target: Target | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """One action with its number; why and stop-if stand beside it and are never torn from it."""

    number: str
    anchor: str
    blocks: tuple[Block, ...]
    only_where: str = ""
    signs: tuple[Sign, ...] = ()
    why: tuple[Block, ...] = ()
    stop: tuple[Block, ...] = ()
    checks: tuple[StepCheck, ...] = ()
    drawings: tuple[Drawing, ...] = ()


@dataclass(frozen=True, slots=True)
class Steps:
    """Steps that follow one another."""

    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class TableBlock:
    """A table, whole or some of its parts; ``titled`` shows its title over it."""

    table: Table
    titled: bool = False
    sourced: bool = True
    """Whether the line that says where figures come from stands under it."""
    full: Target | None = None
    """Where the whole table is, when this shows a part of it."""
    folded: bool = False
    """Whether a screen folds its parts away, each under its title; paper shows one table under one head."""
    on: Literal["", "paper"] = ""
    """Where alone it is shown: a screen has forms in place of it."""


@dataclass(frozen=True, slots=True)
class RecordBar:
    """What is done with all that was written on this device: saved, taken in; nothing on paper."""

    counted: bool = False  # whether it says how many boxes are signed off


FieldKind = Literal["number", "soil", "text", "place", "tick", "sign", "photo", "date", "note"]


@dataclass(frozen=True, slots=True)
class FormField:
    """A place to write in: its name in records, its label, unit, kind and limits as numbers in the field's own unit.

    ``soil`` is what the loop limits of its form go by, ``place`` two numbers, ``date`` the day that the form is about.
    """

    id: str
    label: Line
    kind: FieldKind = "text"
    unit: str = ""
    least: float | None = None
    most: float | None = None
    limit: Line = ()
    expected: str = ""  # what is to be read where that is no number, as an address
    loop: LoopRule | None = None  # what the limits of a loop reading are worked out from
    near: tuple[str | float, ...] | None = None  # what it is compared with: soils and ohms apart, or meter error
    soil: tuple[float, float] | None = None  # the coldest and the hottest soil of the job, degC
    off: OffLimit | None = None  # what gives the least volts by those at the controller
    subject: str = ""  # what the value is of, where that is not what the form is about
    likely: tuple[float | None, float | None] = (None, None)  # between which numbers a value can be true at all
    hold: bool = False  # whether work is held for this name: it is typed, and never filled in from the writer's
    alone: bool = False  # whether a hold answers for no reading, as one for a pipe
    later: bool = False  # whether it is signed for by itself once the rest of the box is good and signed
    stop: Line = ()  # the way to what to do where it fails
    first: bool = False  # whether it is signed before anything else of its form is done, and stands there before it


@dataclass(frozen=True, slots=True)
class Form:
    """Fields that are filled in together, as those of one stage of a box."""

    title: str
    fields: tuple[FormField, ...]
    anchor: str = ""
    about: Line = ()  # a few words beside the title
    limits: Line = ()  # those that more than one field goes by, shown before the fields
    seen: Line = ()  # what the signature also covers, shown before it
    codes: tuple[str, ...] = ()  # the checks of what is seen, by their ids
    subject: str = ""
    """What its records are of, as ``B07``, ``reel:2`` or ``day:``, which its own date completes."""
    on: Literal["", "screen"] = ""  # where alone it is shown: paper has a table in place of it


@dataclass(frozen=True, slots=True)
class BoxFinder:
    """The field that leads from a typed box number to the box's page; nothing on paper."""

    label: str = "Box number"
    values: tuple[tuple[str, str], ...] = ()
    """What is shown of the box that is typed: names of ``boxes.box_values``, and what they are called.
    Nothing: the page of the box is opened."""


@dataclass(frozen=True, slots=True)
class BoxWay:
    """The box before, a field for any other, and the box after, under the thumb of a phone; nothing on paper."""

    before: tuple[str, Target] | None = None
    after: tuple[str, Target] | None = None


@dataclass(frozen=True, slots=True)
class Doors:
    """The few ways on from a page, large enough for a thumb."""

    doors: tuple[tuple[Line, Target, Line], ...]
    """Title, where it leads, and one line on what is there."""
    look: Literal["doors", "lines", "chips"] = "doors"
    """Large doors, lines of a list, or many short names side by side."""


@dataclass(frozen=True, slots=True)
class Folded:
    """Blocks that a screen folds away under a title; paper shows them."""

    title: str
    blocks: tuple[Block, ...]
    bare: bool = False
    """Whether paper shows the blocks without the title, which then only opens them on a screen."""


@dataclass(frozen=True, slots=True)
class Quote:
    """Blocks that somebody else said."""

    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class CodeBlock:
    """Lines as typed."""

    text: str


@dataclass(frozen=True, slots=True)
class Rule:
    """A line across the page."""


@dataclass(frozen=True, slots=True)
class RawHtml:
    """HTML of a firm's own section that says so; cleaned before it gets here, shown on the website only."""

    html: str


Block = (
    Heading | Paragraph | Bullets | Facts | Drawing | DrawingRow | SignRow | Caution | Note | Steps | TableBlock
    | Form | RecordBar | BoxFinder | BoxWay | Doors | Folded | Quote | CodeBlock | Rule | RawHtml
)  # fmt: skip
Blocks = tuple[Block, ...]
