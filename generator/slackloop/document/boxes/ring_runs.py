"""The runs that close a ring: a page and a card each, with tests, record and sign-off like any other run.

Such a run is tested with its end at the box that it goes to still open; the ring is closed there last.
"""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.compute.circuit.loop import LoopReading
from slackloop.document.blocks import Block, Fact, Facts, Paragraph, RecordBar
from slackloop.document.boxes.box_facts import cover_text
from slackloop.document.boxes.box_page import length_field, notes_form, stage_forms
from slackloop.document.boxes.box_results import box_results, still_to_see
from slackloop.document.boxes.stage_work import closing_run_works
from slackloop.document.boxes.stages import StageWork, box_page_id, closing_run_stages
from slackloop.document.context import Context
from slackloop.document.drawings.box_wiring import WiredBox, WiredRun, box_wiring_figure
from slackloop.document.drawings.path_drawings import drawings_of
from slackloop.document.drawings.svg import Figure
from slackloop.document.inline import PageTarget, joined, line, link
from slackloop.document.page import Page
from slackloop.sections import format as fmt
from slackloop.sections.job_keys import cable_titles
from slackloop.sections.link_rules import slug

MENU = ("Boxes", "Ring runs")


class RingRun:
    """One closing run: what is known of it, as text."""

    def __init__(self, context: Context, position: int) -> None:
        """``position`` counts the closing runs of the job."""
        self.context = context
        self.run = context.network.closures[position]
        self.index = len(context.network.runs) + position
        self.reading: LoopReading = context.analysis.loops.closures[position]

    def works(self) -> tuple[StageWork, ...]:
        """The work of every stage of this run."""
        stages = closing_run_stages(self.context, self.run)
        return closing_run_works(self.context, self.reading, stages, self.run.cover)

    @property
    def cover(self) -> str:
        """The cover over the run."""
        return cover_text(self.context, self.run)

    def lines(self) -> Iterator[tuple[str, str]]:
        """Label and text of each plain fact."""
        run, context = self.run, self.context
        circuit = context.analysis.lengths[run.id]
        yield "From", run.from_id
        yield "To, where it stays open until the ring is closed", run.to_id
        yield "Length", fmt.told(run.length, context.units)
        yield "Length with the slack of both ends", fmt.run_length(circuit.circuit_m, context.units, "cut")
        yield "Cable", cable_titles(context.job)[run.cable]
        yield "Reel", self.reel
        yield "Under", context.surface(run.surface)
        yield "Cover", self.cover

    @property
    def reel(self) -> str:
        """The reel that it is pulled from, by its number in the reel plan."""
        return str(self.context.reel_of.get(self.run.id, "–"))

    def end(self) -> Figure:
        """The end of the run that stays open, with its cores."""
        run, job = self.run, self.context.job
        cable = job.cables[run.cable]
        tail = WiredRun(
            label=f"from {run.from_id}",
            length=fmt.told(run.length, self.context.units),
            cable=fmt.conductor_label(cable.conductor),
            colour_a=cable.cores.a,
            colour_b=cable.cores.b,
            jacketed=bool(cable.jacket),
        )
        drawn = WiredBox(run.id, "", (tail,), (), "")
        return box_wiring_figure(f"wiring-{slug(run.id)}", drawn)


def ring_runs(context: Context) -> tuple[RingRun, ...]:
    """Every closing run of the job."""
    return tuple(RingRun(context, position) for position in range(len(context.network.closures)))


def ring_run_page(ring: RingRun) -> Page:
    """The page of one closing run."""
    context, run = ring.context, ring.run
    subject = f"run:{run.id}"
    ends = [line(link(end, PageTarget(box_page_id(end)))) for end in (run.from_id, run.to_id)
            if end in context.network.index]  # fmt: skip
    about = f"Read the loop at the controller with the ring open and the pair shorted at the end in {run.to_id}."
    works = ring.works()
    blocks: tuple[Block, ...] = (
        Paragraph(joined(ends, " · "), "small"),
        *drawings_of(ring.end()),
        Facts(tuple(Fact(label, line(value)) for label, value in ring.lines())),
        Paragraph(line(about)),
        *box_results(context.recorded, run.id, works),
        *stage_forms(context, still_to_see(context.recorded, run.id, works), subject),
        notes_form(subject, (length_field(run, context.units),)),
        RecordBar(),
    )
    title = f"Ring run {run.id}"
    return Page(
        box_page_id(run.id), title, blocks, "box", "method", MENU, f"{title}: readings and checks", paper=False,
        box=run.id,
    )  # fmt: skip
