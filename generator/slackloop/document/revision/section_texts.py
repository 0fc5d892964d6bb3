"""The method as texts that can be compared: every step, every caution and every check that applies to the job."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from slackloop.control.snapshot import CheckText, StepText
from slackloop.document.blocks import Blocks, Caution, Step, Steps
from slackloop.document.context import Context
from slackloop.document.inline import plain
from slackloop.document.page import Page
from slackloop.document.pages.section_page import section_id
from slackloop.document.tables.matrix import HOLD_WORDS, RECORD_WORDS, when
from slackloop.document.walk import walk, words
from slackloop.sections.applied import AppliedSection
from slackloop.sections.inspection_points import AT_NO_BOX, is_due_at
from slackloop.sections.section import Check, Where


def step_texts(context: Context, pages: Iterable[Page]) -> dict[str, StepText]:
    """Steps and cautions of every section page, by page and anchor."""
    applied = {section_id(each): each for each in context.sections}
    return {
        f"{page.id}#{anchor}": text
        for page in pages if page.id in applied for anchor, text in _texts(page, applied[page.id])
    }  # fmt: skip


def _texts(page: Page, applied: AppliedSection) -> Iterator[tuple[str, StepText]]:
    for block in walk(page.blocks):
        if isinstance(block, Caution):
            text = f"{block.title}. {_one(block.blocks)}"
            yield f"caution {block.title}", StepText(page.title, "", text, page=page.id)
        elif isinstance(block, Steps):
            for step in block.steps:
                yield step.anchor, _step(page, step, applied)


def _step(page: Page, step: Step, applied: AppliedSection) -> StepText:
    proved = _checks(step, applied)
    return StepText(page.title, step.number, _one(step.blocks), _one(step.why), _one(step.stop), proved, page.id)


def _checks(step: Step, applied: AppliedSection) -> tuple[str, ...]:
    """The checks at a step, and those that prove the requirements that it carries out."""
    carried = {name for each in applied.steps if each.id == step.anchor for name in each.carries}
    proved = [check.id for each in applied.requirements if each.id in carried for check in applied.checks_of(each)]
    return tuple(dict.fromkeys((*(check.id for check in step.checks), *proved)))


def _one(blocks: Blocks) -> str:
    """The words of blocks on one line."""
    return " ".join(words(blocks).split())


def check_texts(context: Context) -> dict[str, CheckText]:
    """Every check that applies, by its id."""
    return {check.id: _check(context, each, check) for each in context.sections for check in each.checks}


def _check(context: Context, applied: AppliedSection, check: Check) -> CheckText:
    file, line = applied.section.file, applied.section.line_of(check.id)
    told = (plain(context.prose.line(text, file, line)) for text in (check.title, check.limit))
    title, limit = (" ".join(text.split()) for text in told)
    section = context.prose.plain(applied.section.front.title)
    return CheckText(
        section, title, limit, check.where, when(check), RECORD_WORDS[check.record], HOLD_WORDS[check.hold]
    )


def check_places(context: Context) -> dict[str, tuple[str, ...]]:
    """The boxes at which a check of each kind of place is made."""
    network = context.network
    electrodes = {each.where for each in context.analysis.electrodes.places}
    asked: dict[Where, None] = dict.fromkeys(check.where for each in context.sections for check in each.checks)
    return {
        where: tuple(
            box for index, box in enumerate(network.boxes)
            if is_due_at(where, context.boxes[box], index, network, electrodes)
        )
        for where in asked if where not in AT_NO_BOX
    }  # fmt: skip
