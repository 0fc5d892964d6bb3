"""Warnings on the wording of steps: too long, or two actions in one."""

from __future__ import annotations

import re
from collections.abc import Iterator

from slackloop.sections.section import Section
from slackloop.source.finding import Placed, found_at

MOST_WORDS = 24
_TEMPLATE = re.compile(r"{{.*?}}|{%.*?%}")
_SENTENCE = re.compile(r"[.!?](?:\s|$)")
_SECOND = re.compile(r"[,;]?\s(?:and then|then)\s|;\s")


def wording_findings(section: Section) -> Iterator[Placed]:
    """A warning for each step over ``MOST_WORDS`` words, and for each that asks for two things.

    A value counts as two words. Two actions are taken to be there when the step has more than two
    sentences, or joins its parts by "then" or a semicolon: a rough rule, so only a warning.
    """
    for step in section.steps:
        text = _TEMPLATE.sub("some value", step.action.text)
        words = len(text.split())
        if words > MOST_WORDS:
            message = f"step '{step.id}' has {words} words; a step has at most about {MOST_WORDS}"
            yield found_at(section.file, step.action.line, "step-too-long", message, "warning")
        if len(_SENTENCE.findall(text)) > 2 or _SECOND.search(text):
            message = f"step '{step.id}' seems to ask for two actions"
            yield found_at(section.file, step.action.line, "step-two-actions", message, "warning")
