"""Blocks as plain data that the look files of ``content/print`` show: text stays text, so nothing can become markup.

A line is a list whose strings are plain text; every other part and every block is a map with its kind under ``k``.
Drawings become files of their own, each kind of drawing once.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from slackloop.document import blocks as b
from slackloop.document import inline
from slackloop.document.inline import FileTarget, Inline, Line, PageTarget, Target, plain
from slackloop.document.pages import front_sheet
from slackloop.document.table import Table, source_line
from slackloop.render.typst.print_glyphs import print_svg

Data = dict[str, Any]


@dataclass
class BlockData:
    """Turns blocks into data; ``places`` are the targets that stand on paper, ``shown`` mends what no font has.

    ``drawings`` gathers the files of drawings by name while blocks are turned.
    """

    places: frozenset[PageTarget]
    shown: Callable[[str], str]
    drawn: Callable[[str], str] = str
    """Mends the SVG of a drawing."""
    drawings: dict[str, bytes] = field(default_factory=dict)
    page: str = ""
    """The id of the page whose blocks are turned."""
    elsewhere: Mapping[str, str] = field(default_factory=dict)
    """Where a page is that this document does not hold: the title of its part by the page's id."""
    open_cells: bool = False
    told: dict[str, str] = field(default_factory=dict)
    """The step at which each check of the page was told in full."""

    def page_blocks(self, page: str, blocks: Sequence[b.Block], *, open_cells: bool = False,
                    plates: bool = False) -> list[Data]:  # fmt: skip
        """The blocks of one page; ``open_cells`` are written in, and ``plates`` take all of the page's width."""
        self.page, self.open_cells, self.told = page, open_cells, {}
        return _gathered(self.blocks(blocks), "plate" if plates else "drawings")

    def blocks(self, blocks: Sequence[b.Block]) -> list[Data]:
        """Blocks of the page at hand; what paper cannot show is left out."""
        made = (self._block(block) for block in _unfolded(blocks))
        return [each for each in made if each]

    def line(self, line: Line) -> list[Any]:
        """A line."""
        return [self._inline(part) for part in line]

    def _inline(self, part: Inline) -> Any:
        match part:
            case inline.Text(text):
                return self.shown(text)
            case inline.Value(text):
                return {"k": "value", "t": self.shown(text)}
            case inline.Code(text):
                return {"k": "code", "t": self.shown(text)}
            case inline.Strong(inner):
                return {"k": "strong", "c": self.line(inner)}
            case inline.Emphasis(inner):
                return {"k": "emphasis", "c": self.line(inner)}
            case inline.Break():
                return {"k": "break"}
            case inline.Mark(anchor):
                label = self._label(anchor)
                return {"k": "mark", "to": label} if label else ""
            case inline.Link(inner, target):
                place = self._place(target)
                away = self.elsewhere.get(target.page, "") if isinstance(target, PageTarget) and not place else ""
                return {"k": "link", "c": self.line(inner), "to": place, "part": away}

    def _place(self, target: Target) -> str:
        """The label that a link leads to; empty where paper has no such place."""
        if isinstance(target, FileTarget) or not isinstance(target, PageTarget):
            return ""
        if target in self.places:
            return place_label(target)
        page = PageTarget(target.page)
        return place_label(page) if page in self.places else ""

    def _block(self, block: b.Block) -> Data | None:
        match block:
            case b.Heading(level, line, anchor):
                return {"k": "heading", "level": level, "c": self.line(line), "label": self._label(anchor)}
            case b.Paragraph(role="screen"):
                return None
            case b.Paragraph(line, role):
                return {"k": "paragraph", "role": role, "c": self.line(line)}
            case b.Bullets(items, ordered, start):
                shown = [self.blocks(item) for item in items]
                return {"k": "bullets", "ordered": ordered, "start": start, "items": shown}
            case b.Facts(facts, large):
                named = [[self.shown(f.label), self.line(f.value), self.line(f.more)] for f in facts]
                return {"k": "facts", "large": large, "facts": named}
            case b.Drawing(on="screen"):
                return None
            case b.Drawing():
                return {"k": "drawings", "drawings": [self.drawing(block)]}
            case b.DrawingRow(drawings):
                return {"k": "drawings", "drawings": [self.drawing(each) for each in drawings]}
            case b.SignRow(title, signs):
                return {"k": "signs", "title": self.shown(title), "signs": [self._sign(sign) for sign in signs]}
            case b.Caution(title, inner, sign, anchor):
                return {
                    "k": "caution", "title": self.shown(title), "c": self.blocks(inner),
                    "sign": self._sign(sign) if sign else None, "label": self._label(anchor),
                }  # fmt: skip
            case b.Note(kind, title, inner):
                return {"k": "note", "kind": kind, "title": self.shown(title), "c": self.blocks(inner)}
            case b.Steps(steps):
                return {"k": "steps", "steps": [self._step(step) for step in steps]}
            case b.Form(on="screen"):
                return None
            case b.TableBlock(table, titled, sourced):
                return self.table(table, titled=titled, sourced=sourced)
            case b.Form():
                return self._form(block)
            case b.Folded(title, inner):
                return {"k": "folded", "title": self.shown(title), "c": self.blocks(inner)}
            case b.Quote(inner):
                return {"k": "quote", "c": self.blocks(inner)}
            case b.CodeBlock(text):
                return {"k": "lines", "t": self.shown(text)}
            case b.Rule():
                return {"k": "rule"}
            case b.Doors() | b.RecordBar() | b.BoxFinder() | b.BoxWay() | b.RawHtml():
                return None

    def _label(self, anchor: str) -> str:
        """The label of a place that some link on paper leads to; empty for one that none does."""
        target = PageTarget(self.page, anchor)
        return place_label(target) if anchor and target in self.places else ""

    def _step(self, step: b.Step) -> Data:
        return {
            "n": step.number,
            "label": self._label(step.anchor),
            "only": self.shown(step.only_where),
            "c": self.blocks(step.blocks),
            "signs": [self._sign(sign) for sign in step.signs],
            "why": self.blocks(step.why),
            "stop": self.blocks(step.stop),
            "checks": [self._check(check, step.number) for check in step.checks],
            "drawings": [self.drawing(each) for each in step.drawings],
        }

    def _check(self, check: b.StepCheck, step: str) -> Data:
        """A check; one that an earlier step of the page told is only named, with that step's number."""
        first = self.told.setdefault(check.id, step)
        return {
            "id": check.id, "c": self.line(check.line), "record": check.record, "hold": check.hold,
            "at-step": "" if first == step else first,
        }  # fmt: skip

    def _form(self, form: b.Form) -> Data:
        return {
            "k": "form", "title": self.shown(form.title), "fields": [self._field(each) for each in form.fields],
            "about": self.line(form.about), "limits": self.line(form.limits), "seen": self.line(form.seen),
            "label": self._label(form.anchor),
        }  # fmt: skip

    def _field(self, each: b.FormField) -> Data:
        return {
            "id": each.id, "c": self.line(each.label), "kind": each.kind, "unit": self.shown(each.unit),
            "limit": self.line(each.limit),
        }  # fmt: skip

    def _sign(self, sign: b.Sign) -> Data:
        file = self.file(sign.svg) if sign.svg else ""
        return {"file": file, "words": self.shown(sign.words), "more": self.line(sign.more)}

    def drawing(self, drawing: b.Drawing) -> Data:
        """A drawing as a file, its natural size in points, and its words for those who hear the page."""
        words = f"{drawing.title.rstrip('.')}. {drawing.description}".strip()
        own = drawing.width_px * POINTS_A_PIXEL, drawing.height_px * POINTS_A_PIXEL
        wide, tall = (mm * POINTS_A_MM for mm in drawing.paper_mm) if drawing.paper_mm else own
        return {
            "file": self.file(drawing.svg),
            "wide": wide,
            "tall": tall,
            "alt": self.shown(words),
            "caption": self.line(drawing.caption) or [self.shown(drawing.title)],
            "verdict": drawing.verdict,
            "step": drawing.step,
        }

    def file(self, svg: str) -> str:
        """The name of the file of a drawing; the same drawing has one file."""
        data = self.drawn(print_svg(svg)).encode("utf-8", "replace")
        name = f"d-{hashlib.sha256(data).hexdigest()[:16]}.svg"
        self.drawings.setdefault(name, data)
        return name

    def table(self, table: Table, *, titled: bool = False, sourced: bool = True) -> Data:
        """A table: heads, parts with rows of lines, what is wrong with it, its notes and its source line."""
        shown = table.page_columns
        done, parts = 0, []
        for part in table.parts:
            anchors = table.row_anchors[done : done + len(part.rows)]
            done += len(part.rows)
            labels = [self._label(anchor) for anchor in anchors]
            parts.append(
                {
                    "title": self.shown(part.title),
                    "rows": [[self.line(row[n].line) for n in shown] for row in part.rows],
                    "labels": labels if any(labels) else [],
                }
            )
        return {
            "k": "table",
            "open": self.open_cells,
            "days": table.id == "daily",
            "tight": self.page == front_sheet.PAGE,
            "long": len(table.rows) > SHORT or any(len(plain(cell.line)) > WORDY for row in table.rows for cell in row),
            "halved": len(shown) == 2 and HALVED[0] < len(table.rows) < HALVED[1] and not self.open_cells,
            "title": self.shown(table.title) if titled else "",
            "heads": [self.shown(table.columns[n].heading) for n in shown],
            "figures": [table.columns[n].is_figure for n in shown],
            "shares": [table.columns[n].share for n in shown],
            "parts": parts,
            "banner": self.shown(table.banner),
            "intro": self.line(table.intro),
            "notes": [self.line(note) for note in table.notes],
            "source": self.line(source_line(table)) if sourced and not _of_method_alone(table) else [],
        }


def _unfolded(blocks: Sequence[b.Block]) -> Iterator[b.Block]:
    """Blocks with those that only a screen folds away in their place."""
    for block in blocks:
        if isinstance(block, b.Folded) and block.bare:
            yield from _unfolded(block.blocks)
        else:
            yield block


def _of_method_alone(table: Table) -> bool:
    """Whether a table rests on the method's own text and nothing else, which each page of the method says by itself."""
    return table.basis == ("method",) and not table.rows_used


def _gathered(blocks: list[Data], kind: str) -> list[Data]:
    """The same with drawings that follow one another side by side, those who decide first in one frame, and
    a paragraph between a heading and its steps kept with them."""
    made: list[Data] = []
    for block in blocks:
        if block["k"] == "steps" and len(made) > 1 and made[-1]["k"] == "paragraph" and made[-2]["k"] == "heading":
            made[-1] = {**made[-1], "leads": True}
        if block["k"] == "drawings":
            before = made.pop()["drawings"] if made and made[-1]["k"] == kind else []
            made.append({"k": kind, "drawings": [*before, *block["drawings"]]})
        elif block["k"] == "note" and block["kind"] == "deferral":
            if made and made[-1]["k"] == "deferrals":
                made[-1]["notes"].append(block)
            else:
                made.append({"k": "deferrals", "notes": [block]})
        else:
            made.append(block)
    return made


SHORT, WORDY = 12, 400
"""A table of so many rows, and cells of so many letters, at most is never broken over pages."""
HALVED = (24, 70)
"""A table of two columns with between so many rows stands in two halves beside each other, on one page."""
POINTS_A_PIXEL = 0.75
POINTS_A_MM = 72 / 25.4
"""A web pixel is 1/96 in and a point 1/72 in (CSS Values and Units Level 3, section 5.2; from memory)."""


def place_label(target: PageTarget) -> str:
    """The Typst label of a place in the document."""
    return f"{target.page}#{target.anchor}" if target.anchor else target.page
