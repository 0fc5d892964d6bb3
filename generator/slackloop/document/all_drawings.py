"""Every drawing by the name that content uses for it, and the pages that hold them."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from types import MappingProxyType

from slackloop.document.boxes.box_drawing import BoxDrawings
from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.context import Context
from slackloop.document.drawings.electrode_clearance import ElectrodeLabels, electrode_clearance
from slackloop.document.drawings.path_drawings import path_drawing, volts_drawing
from slackloop.document.drawings.site_drawing import site_drawing
from slackloop.document.drawings.slack_loop import SlackLabels, slack_loop
from slackloop.document.drawings.svg import Figure
from slackloop.document.drawings.trench_section import TrenchLabels, TrenchSize, trench_section
from slackloop.sections import format as fmt
from slackloop.sections.job_values import TAPE_PART_OF_COVER, run_cables

SMALLEST_CABLE_OD_M = 0.006
"""Outside diameter drawn for a cable that states none; the drawing says that it is not to scale there."""


def trench_drawing(context: Context) -> Figure:
    """The trench to scale, at the job's chosen cover."""
    job, values, units = context.job, context.values, context.units
    ods = [cable.jacket_od.si for cable in run_cables(job) if cable.jacket_od]
    tape = job.trench.warning_tape
    pipe = job.trench.shared_with_pipe
    size = TrenchSize(
        width_m=job.trench.width.si,
        cover_m=job.rules.cover.si,
        cable_od_m=max(ods, default=SMALLEST_CABLE_OD_M),
        bedding_m=job.trench.bedding.si,
        pipe_od_m=pipe.si if pipe else None,
        tape_depth_m=round(job.rules.cover.si * TAPE_PART_OF_COVER / 0.025) * 0.025 if tape else None,
    )
    labels = TrenchLabels(
        width=values.trench_width,
        depth=fmt.length(size.depth_m, units, "least"),
        cover=values.cover,
        bedding_zone=fmt.length(size.zone_m, units, "least"),
        bedding=values.bedding,
        pipe=values.pipe_od if pipe else "",
        tape=values.tape_depth if tape else "",
        cable=values.jacket_od,
    )
    return trench_section("trench-section", size, labels)


def electrode_drawing(context: Context) -> Figure | None:
    """An earth rod clear of the cable, to scale."""
    values, rules = context.values, context.job.rules
    lengths = (rules.earthing.rod.length.si, rules.cover.si, rules.earthing.clear_of_cable.si)
    rod = fmt.stated(rules.earthing.rod.length, context.units, "least")
    return electrode_clearance(
        "electrode-clearance", *lengths, ElectrodeLabels(rod=rod, clear=values.clear_of_cable, cover=values.cover)
    )


def slack_drawing(context: Context) -> Figure:
    """The slack loop in a box, while one works and when it is shut."""
    cable = context.job.cables[context.job.path.cable]
    cores = {context.job.cables[name].cores for name in context.job.path.run_cables}
    one_pair = len(cores) == 1
    labels = SlackLabels(
        slack=context.values.slack_length,
        per=context.values.slack_rule,
        colour_a=cable.cores.a if one_pair else "core a",
        colour_b=cable.cores.b if one_pair else "core b",
        jacketed=bool(cable.jacket),
    )
    return slack_loop("slack-loop", labels)


def example_splice(title: str, is_kind: Callable[[BoxFacts], bool], context: Context) -> Figure | None:
    """The splices of the first box of a kind; nothing when the job has no such box."""
    for index, splices in enumerate(context.analysis.splices):
        if splices and is_kind(BoxFacts(context, index)):
            name = "splice-" + title.lower().replace(" ", "-")
            return BoxDrawings(context).splices(name, title, index)
    return None


def is_through(facts: BoxFacts) -> bool:
    """Whether one run comes in and one goes on."""
    return not facts.is_end and not facts.is_branch


FIGURES: MappingProxyType[str, Callable[[Context], Figure | None]] = MappingProxyType(
    {
        "path-diagram": path_drawing,
        "site-plan": site_drawing,
        "volts-along-path": volts_drawing,
        "trench-section": trench_drawing,
        "slack-loop": slack_drawing,
        "electrode-clearance": electrode_drawing,
        "splice-through-box": partial(example_splice, "Through box", is_through),
        "splice-branch-box": partial(example_splice, "Branch box", lambda facts: facts.is_branch),
        "splice-end-box": partial(example_splice, "End box", lambda facts: facts.is_end),
    }
)
