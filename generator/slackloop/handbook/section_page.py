"""A section as a page: what it gets done, what it takes, its numbered steps, its checks and hazards."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile

from slackloop.handbook.addresses import anchor, relative, section_uri
from slackloop.handbook.applied import AppliedSection
from slackloop.handbook.check_places import place_of_check
from slackloop.handbook.material import Inserts, Material, with_condition
from slackloop.handbook.page import Page, PageKind
from slackloop.handbook.section import Block, Check, Insert, Prose, Step
from slackloop.handbook.section_words import HOLD_WORDS, METHOD_WORDS, PART_MENU, requirement_source
from slackloop.handbook.sign_mark import sign_mark
from slackloop.handbook.tables.table import Column, grid
from slackloop.handbook.text import Trusted, admonition, blocks, escape, link, one_line, trusted

TICK = trusted('<span class="tick"></span>')


class SectionPage:
    """Writes one section's page."""

    def __init__(self, context: Material, applied: AppliedSection, inserts: Inserts) -> None:
        """``inserts`` writes the tables and drawings that the body asks for."""
        self.context = context
        self.applied = applied
        self.front = applied.section.front
        self.file = applied.section.file
        self.uri = section_uri(self.front.part, self.front.id)
        self.inserts = inserts
        self.render = context.renderer

    def page(self) -> Page:
        """The finished page."""
        title = self.render.plain(self.front.title)
        summary = self.render.plain(self.front.summary)
        opening = self._opening()
        body = [self._group(number, len(opening) if number == 0 else 0) for number in range(len(self.applied.groups))]
        line = self.applied.section.line_of("summary")
        markdown = blocks(
            [
                f"# {escape(title)}",
                self._header_line(),
                self._banner(),
                self._only_where(self.front.applies),
                self.render.render(self.front.summary, self.file, line),
                *self._deferrals(),
                *(self._free(block) for block in opening),
                self._protective(),
                self._tools(),
                *body,
                self._checks(),
                self._hazards(),
            ]
        )
        kind: PageKind = "safety" if self.front.part == "safety" else "section"
        meta = {"section": self.front.id}
        return Page(
            self.uri, one_line(title), markdown, PART_MENU[self.front.part], kind, meta, description=one_line(summary)
        )

    def _header_line(self) -> str:
        """Where this section stands."""
        siblings = self.context.part(self.front.part)
        number = next(n for n, each in enumerate(siblings, start=1) if each is self.applied)
        part = PART_MENU[self.front.part][1]
        return f'<p class="header-line">{escape(part)}: section {number} of {len(siblings)}</p>'

    def _banner(self) -> str:
        """A mark on a section that the firm wrote or replaced."""
        if self.applied.section.ours:
            return ""
        what = "takes the place of the standing section" if self.applied.section.overrides else "is added"
        return admonition("note", "The firm's own section", f"This section {what}. The contractor answers for it.")

    def _only_where(self, condition: str) -> str:
        """When a section or a step applies, where each job decides that for itself."""
        words = self.context.only_where(condition)
        return f'<p class="only-where">{escape(words)}</p>' if words else ""

    def _deferrals(self) -> list[str]:
        """Who decides, before anything else is said."""
        return [self.inserts.deferral(name) for name in self.front.deferrals]

    def _protective(self) -> str:
        """Protective equipment with its sign and when it is worn."""
        lines = []
        for name in self.applied.named("protective"):
            if item := self.context.content.words.protective.get(name):
                sign = f" (sign {item.sign})" if item.sign else ""
                lines.append(f"- {sign_mark(item.sign)}{self._thing(f'{item.name}{sign}', item.when)}")
        return self._listed("Wear", "wear", lines)

    def _tools(self) -> str:
        """Tools with what they are used for."""
        tools = self.context.content.words.tools
        taken = [tools[name] for name in self.applied.named("tools") if name in tools]
        return self._listed("Bring", "bring", [f"- {self._thing(tool.name, tool.use)}" for tool in taken])

    def _thing(self, what: str, use: str) -> str:
        """A thing with what it is for."""
        return f"**{self._text(what)}**{': ' if use else ''}{self._text(use)}"

    def _listed(self, title: str, name: str, lines: Sequence[str]) -> str:
        """A list under its heading; nothing where the list is empty."""
        return blocks([f"## {title} {{#{name}}}", "\n".join(lines)]) if lines else ""

    def _text(self, text: str) -> Trusted:
        """Text of a word file with the job's values in it."""
        return self.render.render(text, "words", 1)

    def _opening(self) -> list[Block]:
        """The prose that opens the section, which stands before what the work takes."""
        groups = self.applied.groups
        blocks_of_first = groups[0].blocks if groups and not groups[0].title else ()
        return list(takewhile(lambda block: isinstance(block, Prose), blocks_of_first))

    def _group(self, number: int, after: int) -> str:
        """One group of the body from block ``after``; its steps' numbers go on through the section."""
        group = self.applied.groups[number]
        parts: list[str] = []
        if group.title:
            parts.append(f"## {self.render.render(group.title, self.file, group.line)}")
        waiting: list[Step] = []
        for block in group.blocks[after:]:
            if isinstance(block, Step) and not block.caution and not (waiting and waiting[-1].extra):
                waiting.append(block)
                continue
            parts += self._flush(waiting)
            if isinstance(block, Step):
                parts += [self.inserts.caution(name) for name in block.caution]
                waiting.append(block)
            else:
                parts.append(self._free(block))
        return blocks([*parts, *self._flush(waiting)])

    def _free(self, block: Block) -> str:
        """Prose, a table, a drawing or a standing box."""
        if isinstance(block, Prose):
            return self.render.prose(block, self.file, large=True)
        assert isinstance(block, Insert)
        return self.inserts.write(block, self.uri)

    def _flush(self, waiting: list[Step]) -> list[str]:
        """The steps gathered so far as one list; the list is emptied."""
        if not waiting:
            return []
        start = self.applied.numbers[waiting[0].id]
        items = "\n".join(self._step(step) for step in waiting)
        waiting.clear()
        return [f'<ol class="steps" start="{start}" markdown="1">\n{items}\n</ol>']

    def _step(self, step: Step) -> str:
        """One step: the action, then why, when to reject, and what to tick."""
        parts: list[str] = [self._only_where(step.applies), self.render.prose(step.action, self.file, large=True)]
        if step.why:
            parts.append(admonition("why", "Why", self.render.prose(step.why, self.file)))
        if step.reject:
            word = "Stop" if self.front.part == "safety" else "Reject"
            parts.append(admonition("reject", word, self.render.prose(step.reject, self.file)))
        known = {check.id for check in self.applied.checks}
        ticks = [link(name, f"#{name.lower()}") for name in step.check if name in known]
        if ticks:
            parts.append(f"{TICK} Check {', '.join(ticks)}\n{{: .check-line }}")
        if step.extra:
            parts.append(self.render.prose(step.extra, self.file, large=True))
        return f'<li id="{step.id}" markdown="block">\n\n{blocks(parts)}\n</li>'

    def _checks(self) -> str:
        """The checks of the section."""
        if not self.applied.checks:
            return ""
        columns = (Column("Check"), Column("What"), Column("Limit"), Column("How"), Column("Where"), Column("Proves"))
        rows = tuple(self._check_row(check) for check in self.applied.checks)
        return blocks(["## Checks {#checks}", grid((*columns, Column("Done")), rows), *self._requirements()])

    def _check_row(self, check: Check) -> tuple[str, ...]:
        """One check; its id is an anchor that steps link to."""
        line = self.applied.section.line_of(check.id)
        how = METHOD_WORDS[check.method] + (f". {HOLD_WORDS[check.hold]}" if check.hold != "none" else "")
        asked = {each.id for each in self.applied.requirements}
        return (
            trusted(f'<span id="{check.id.lower()}">{escape(check.id)}</span>'),
            self.render.render(check.title, self.file, line),
            self.render.render(check.limit, self.file, line),
            how,
            place_of_check(self.context, check, self.uri),
            trusted(", ".join(link(name, f"#{name.lower()}") for name in check.proves if name in asked)),
            TICK,
        )

    def _requirements(self) -> list[str]:
        """What the section must come to, with where that is asked."""
        rows = []
        for each in self.applied.requirements:
            line = self.applied.section.line_of(each.id)
            name = trusted(f'<span id="{each.id.lower()}">{escape(each.id)}</span>')
            text = with_condition(self.context, self.render.render(each.text, self.file, line), each.applies)
            rows.append((name, text, requirement_source(each.source, each.clause, self.context)))
        columns = (Column("Requirement"), Column("What"), Column("Asked by"))
        return ["## What is asked {#requirements}", grid(columns, tuple(rows))]

    def _hazards(self) -> str:
        """What can hurt somebody here, and what holds it off."""
        hazards = self.context.content.words.hazards
        rows = []
        for name in self.applied.named("hazards"):
            if hazard := hazards.get(name):
                to_register = relative(f"tables/hazards.md#{anchor(name)}", self.uri)
                controls = "; ".join(self._text(control) for control in hazard.controls)
                rows.append((link(hazard.title, to_register), self._text(hazard.harm), trusted(controls)))
        if not rows:
            return ""
        columns = (Column("Hazard"), Column("Harm"), Column("What holds it off"))
        return blocks(["## Hazards {#hazards}", grid(columns, tuple(rows))])
