"""A section as a page: what it gets done, its values, what it takes, and its steps with what guards and proves them.

What stands elsewhere is not said again: requirements and clauses are in the inspector's matrix, hazards in the risk
register, and the limits of one box on its page and card.
"""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.document.blocks import (
    Block,
    Blocks,
    BoxFinder,
    Caution,
    Doors,
    Drawing,
    Fact,
    Facts,
    Heading,
    Note,
    Paragraph,
    SignRow,
    Step,
    StepCheck,
    Steps,
)
from slackloop.document.boxes.box_values import BOX_VALUES
from slackloop.document.inline import PageTarget, line, plain, strong
from slackloop.document.inserts import Inserts
from slackloop.document.markdown import anchor_of
from slackloop.document.page import BookPart, Page, PageKind, PageSource
from slackloop.document.pages.section_lead import folded_lead, lower_first
from slackloop.sections.conditions import AppliedSection
from slackloop.sections.section import PART_MENU, Check, Insert, Prose
from slackloop.sections.section import Block as Content
from slackloop.sections.section import Step as StepText

KINDS: dict[str, PageKind] = {"safety": "safety", "trouble": "trouble"}
EMERGENCY = "emergency-plan"
"""The section that is printed as a sheet to tear out."""


class SectionPage:
    """Makes one section's page."""

    def __init__(self, context: PageSource, applied: AppliedSection, inserts: Inserts, *, boxes: bool = True) -> None:
        """``inserts`` gives tables, drawings, cautions and deferrals; ``boxes``: whether there are any to look up."""
        self.boxes = boxes
        self.context = context
        self.applied = applied
        self.front = applied.section.front
        self.file = applied.section.file
        self.id = section_id(applied)
        self.inserts = inserts
        self.prose = context.prose
        self._warned: set[str] = set()
        self._drawn: set[str] = set()

    def page(self) -> Page:
        """The finished page."""
        title = self.prose.plain(self.front.title)
        summary = self.prose.line(self.front.summary, self.file, self.applied.section.line_of("summary"), self.id)
        blocks: Blocks = (
            *self._own(),
            Paragraph(summary, "aim"),
            *self._jumps(),
            *self._only_where(self.front.applies),
            *self._worn(),
            *self._brought(),
            *self._values(),
            *(note for name in self.front.deferrals for note in self.inserts.deferral(name)),
            *folded_lead(tuple(self._body())),
        )
        part: BookPart = "method"
        kind: PageKind = "emergency" if self.front.id == EMERGENCY else KINDS.get(self.front.part, "section")
        return Page(
            self.id, title, blocks, kind, part, PART_MENU[self.front.part],
            plain(summary), search=self.front.search,
        )  # fmt: skip

    def _own(self) -> Iterator[Block]:
        """A mark on a section that the firm wrote or replaced."""
        if not self.applied.section.ours:
            what = "replaces the standing section" if self.applied.section.overrides else "is added"
            text = line(f"This section {what}. The contractor answers for it.")
            yield Note("own", "The firm's own section", (Paragraph(text),))

    def _jumps(self) -> Iterator[Doors]:
        """Nobody looks for a step in an emergency: its parts are one tap away."""
        if self.front.id == EMERGENCY:
            titles = (self.prose.line(group.title, self.file) for group in self.applied.groups if group.title)
            ways = ((each, PageTarget(self.id, f"part-{anchor_of(plain(each))}"), ()) for each in titles)
            yield Doors(tuple(ways), "chips")

    def _only_where(self, condition: str) -> Iterator[Block]:
        """When the section applies, where each job decides that for itself."""
        if words := self.context.only_where(condition):
            yield Paragraph(line(words), "small")

    def _values(self) -> Iterator[Block]:
        """The few values that the work sets or reads off, and the way to those of one box."""
        facts = tuple(
            Fact(each.label, self.prose.line(each.value, self.file), self.prose.line(each.more, self.file))
            for each in self.front.values
        )
        if facts:
            yield Facts(facts, large=True)
        if self.front.my_box and self.boxes:
            labels = ((name, BOX_VALUES[name].label) for name in self.front.my_box if name in BOX_VALUES)
            yield BoxFinder("My box", tuple(labels))

    def _worn(self) -> Iterator[Block]:
        """Protective equipment as pictures in one row."""
        worn = self.context.content.words.protective
        signs = tuple(
            self.inserts.sign(worn[name].sign, worn[name].name, self.prose.line(worn[name].when))
            for name in self.applied.named("protective")
            if name in worn
        )
        if signs:
            yield SignRow("Wear", signs)

    def _brought(self) -> Iterator[Block]:
        """Tools on one line."""
        tools = self.context.content.words.tools
        taken = (tools[name] for name in self.applied.named("tools") if name in tools)
        names = ", ".join(lower_first(self.prose.plain(each.name)) for each in taken)
        if names:
            yield Paragraph(line(strong("Bring "), f"{names}."), "bring")

    def _body(self) -> Iterator[Block]:
        """Groups under their headings, steps gathered between what stands among them."""
        for group in self.applied.groups:
            if group.title:
                title = self.prose.line(group.title, self.file, group.line, self.id)
                yield Heading(2, title, f"part-{anchor_of(plain(title))}")
            waiting: list[Step] = []
            for block in group.blocks:
                if isinstance(block, StepText):
                    fresh = [name for name in block.caution if name not in self._warned]
                    if fresh:
                        yield from _flush(waiting)
                        yield from self._cautions(fresh)
                    waiting.append(self._step(block, fresh))
                    continue
                yield from _flush(waiting)
                yield from self._free(block)
            yield from _flush(waiting)

    def _free(self, block: Content) -> Iterator[Block]:
        if isinstance(block, Prose):
            yield from self.prose.blocks(block, self.file, self.id)
        elif isinstance(block, Insert):
            yield from self.inserts.named(block)

    def _cautions(self, names: list[str]) -> Iterator[Caution]:
        """Cautions in full, each once in a section, before the first step that they guard."""
        for name in names:
            self._warned.add(name)
            if caution := self.inserts.caution(name):
                yield caution

    def _step(self, step: StepText, fresh: list[str]) -> Step:
        """One step; a caution that stood before comes again as a small sign."""
        again = [name for name in step.caution if name not in fresh]
        return Step(
            number=str(self.applied.numbers[step.id]),
            anchor=step.id,
            blocks=(
                *self.prose.blocks(step.action, self.file, self.id),
                *self.prose.blocks(step.extra, self.file, self.id),
            ),
            only_where=self.context.only_where(step.applies),
            signs=tuple(sign for name in again if (sign := self.inserts.caution_sign(name))),
            why=self.prose.blocks(step.why, self.file, self.id),
            stop=self.prose.blocks(step.reject, self.file, self.id),
            checks=tuple(self._check(check) for check in self.applied.checks if check.id in step.check),
            drawings=tuple(drawing for name in step.figure for drawing in self._pictures(name)),
        )

    def _pictures(self, name: str) -> tuple[Drawing, ...]:
        """The pictures of a name at the first step that names them; later ones, of which one applies, go without."""
        if name in self._drawn:
            return ()
        self._drawn.add(name)
        return self.inserts.drawings(name)

    def _check(self, check: Check) -> StepCheck:
        """A check in words with its limit."""
        limit = self.prose.line(check.limit, self.file, self.applied.section.line_of(check.id), self.id)
        return StepCheck(check.id, limit, check.record, check.hold, PageTarget("tables/matrix", check.id.lower()))


def section_id(applied: AppliedSection) -> str:
    """The id of a section's page."""
    return f"{applied.section.front.part}/{applied.section.front.id}"


def _flush(waiting: list[Step]) -> Iterator[Steps]:
    """The steps gathered so far; the list is emptied."""
    if waiting:
        yield Steps(tuple(waiting))
        waiting.clear()
