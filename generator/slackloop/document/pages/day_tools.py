"""What a day's own sections take: the tools and the protective equipment of the work that comes up on that day."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from slackloop.compute.day_plan import DayPlan
from slackloop.document.context import Context
from slackloop.document.inline import Line, line, strong
from slackloop.sections import format as fmt
from slackloop.sections.applied import AppliedSection
from slackloop.sections.inspection_points import CROSSED, is_due_at
from slackloop.sections.section import Taken, Where
from slackloop.site.network import Run


def tool_lines(context: Context, plan: DayPlan, boxes: Sequence[str]) -> Iterator[Line]:
    """The tools and the protective equipment to load, each once; ``boxes`` are those of the day."""
    sections = day_sections(context, plan, boxes)
    words = context.content.words
    tools = [words.tools[name].name for name in _named(sections, "tools") if name in words.tools]
    worn = [words.protective[name].name for name in _named(sections, "protective") if name in words.protective]
    if tools:
        yield line(strong("Tools: "), fmt.listing(tools))
    if worn:
        yield line(strong("To wear: "), fmt.listing(worn))


def day_sections(context: Context, plan: DayPlan, boxes: Sequence[str]) -> list[AppliedSection]:
    """The sections of a day: those that have a check to make at a box or a run of it, and those of every day."""
    electrodes = {each.where for each in context.analysis.electrodes.places}
    runs = [(context.runs[each.run_id], each.from_m == 0.0) for each in plan.runs]

    def is_due(where: Where) -> bool:
        if where in ("each-day", "job", "each-reel"):
            return where == "each-day" or (where == "each-reel" and any(begun for _, begun in runs))
        if where in ("each-run", "each-crossing"):
            return any(where == "each-run" or _crosses(run) for run, _ in runs)
        network = context.network
        return any(is_due_at(where, context.boxes[box], network.index[box], network, electrodes) for box in boxes)

    return [applied for applied in context.sections if any(is_due(check.where) for check in applied.checks)]


def _crosses(run: Run) -> bool:
    return run.surface in CROSSED or run.crossing is not None


def _named(sections: Sequence[AppliedSection], key: Taken) -> list[str]:
    return list(dict.fromkeys(name for applied in sections for name in applied.named(key)))
