"""Every drawing by the name that content uses for it, and the pages that hold them."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from types import MappingProxyType

from slackloop.document.context import Context
from slackloop.document.drawings.path_drawings import path_drawing, volts_drawing
from slackloop.document.drawings.site_drawing import site_drawing
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


FIGURES: MappingProxyType[str, Callable[[Context], Figure | None]] = MappingProxyType(
    {
        "path-diagram": path_drawing,
        "site-plan": site_drawing,
        "volts-along-path": volts_drawing,
        "trench-section": trench_drawing,
    }
)
PAPER_PX, PAPER_TALL_PX = 640.0, 830.0
"""Width and height of a page's text in drawing units: 169 mm, which both papers have, with letters of 8 pt and more."""
WIDE_FIGURES: MappingProxyType[str, Callable[[Context], Figure | None]] = MappingProxyType(
    {
        "site-plan": partial(site_drawing, width_px=PAPER_PX),
        "path-diagram": partial(path_drawing, width_px=PAPER_PX, sheet_px=PAPER_TALL_PX),
    }
)
"""Drawings that paper has wider than a phone's screen."""
PAPER_WIDE_MM: MappingProxyType[str, float] = MappingProxyType({"trench-section": 78.0})
"""Printed width of a drawing that is smaller on paper than its own size, its letters still above 7 pt."""
