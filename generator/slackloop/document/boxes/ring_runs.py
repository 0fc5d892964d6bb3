"""The runs that close a ring: a page and a card each, with tests, record and sign-off like any other run.

Such a run is tested with its end at the box that it goes to still open; the ring is closed there last.
"""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.compute.circuit.loop import LoopReading
from slackloop.document.blocks import Block, Fact, Facts, Form, FormField, Paragraph, TableBlock
from slackloop.document.boxes.box_facts import cover_text
from slackloop.document.boxes.box_ids import box_page_id
from slackloop.document.boxes.cards import Card, CardCheck, CardFact, CardMaker, CardRun, card_loops, soil_rows
from slackloop.document.boxes.loop_text import loop_table
from slackloop.document.boxes.stages import STAGES
from slackloop.document.context import Context
from slackloop.document.drawings.box_wiring import box_wiring_figure
from slackloop.document.drawings.figure_blocks import drawings_of
from slackloop.document.drawings.svg import Figure
from slackloop.document.drawings.wired_box import WiredBox, WiredRun
from slackloop.document.inline import joined, line, link
from slackloop.document.page import Page
from slackloop.document.target import PageTarget
from slackloop.sections import format as fmt
from slackloop.sections.addresses import box_uri, slug
from slackloop.sections.inspection_points import is_due_on_ring_run
from slackloop.sections.section import Check
from slackloop.sections.views import cable_title

MENU = ("Boxes", "Ring runs")


class RingRun:
    """One closing run: what is known of it, as text."""

    def __init__(self, context: Context, position: int) -> None:
        """``position`` counts the closing runs of the job."""
        self.context = context
        self.run = context.network.closures[position]
        self.index = len(context.network.runs) + position
        self.reading: LoopReading = context.analysis.loops.closures[position]

    @property
    def checks(self) -> tuple[Check, ...]:
        """Every check that is due on this run, in the order of the work."""
        return tuple(
            check
            for applied in self.context.sections
            for check in applied.checks
            if is_due_on_ring_run(check, self.run)
        )

    def expected(self, check: Check) -> str:
        """What a measured check must come to here; empty where the check's own limit says it all."""
        if check.measures == "depth_m":
            depth_m = self.context.analysis.trench.runs[self.index].depth_m
            return f"{fmt.length(depth_m, self.context.units, 'least')} dug, cover {self.cover}"
        return ""

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
        yield "Cable", f"{run.cable} ({cable_title(context.job.cables[run.cable])})"
        yield "Reel", self.reel
        yield "Under", run.surface
        yield "Cover", self.cover

    @property
    def reel(self) -> str:
        """The reel that it is pulled from, by its number in the reel plan."""
        numbers = {run: n for plan in self.context.analysis.reels for run, n in plan.reel_numbers().items()}
        return str(numbers[self.run.id]) if self.run.id in numbers else "–"

    def end(self, *, lean: bool) -> Figure:
        """The end of the run that stays open, with its cores."""
        run, job = self.run, self.context.job
        cable = job.cables[run.cable]
        tail = WiredRun(
            label=f"from {run.from_id}, open at {run.to_id}",
            length=fmt.told(run.length, self.context.units),
            cable=fmt.conductor_label(cable.conductor),
            colour_a=cable.cores.a,
            colour_b=cable.cores.b,
            jacketed=bool(cable.jacket),
        )
        drawn = WiredBox(run.id, "", (tail,), None, "")
        return box_wiring_figure(f"wiring-{slug(run.id)}", drawn, lean=lean)


def ring_runs(context: Context) -> tuple[RingRun, ...]:
    """Every closing run of the job."""
    return tuple(RingRun(context, position) for position in range(len(context.network.closures)))


def ring_run_page(ring: RingRun) -> Page:
    """The page of one closing run."""
    context, run = ring.context, ring.run
    ends = [line(link(end, PageTarget(box_page_id(end)))) for end in (run.from_id, run.to_id)
            if end in context.network.index]  # fmt: skip
    about = f"Loop from the controller, the ring open and the pair shorted at the end of this run in {run.to_id}:"
    blocks: tuple[Block, ...] = (
        Paragraph(joined(ends, " · "), "small"),
        *drawings_of(ring.end(lean=False)),
        Facts(tuple(Fact(label, line(value)) for label, value in ring.lines())),
        Paragraph(line(about), "lead"),
        TableBlock(loop_table(context, (("", ring.reading),))),
        *_forms(ring),
    )
    title = f"Ring run {run.id}"
    return Page(
        box_page_id(run.id), title, blocks, "box", "method", MENU, f"{title}: readings and checks", paper=False,
        box=run.id,
    )  # fmt: skip


def _forms(ring: RingRun) -> Iterator[Form]:
    """The stages of the run with its checks."""
    due: dict[str, list[FormField]] = {}
    for applied in ring.context.sections:
        for check in applied.checks:
            if is_due_on_ring_run(check, ring.run) and check.record != "covered":
                expected = ring.expected(check)
                limit = line(expected) if expected else ring.context.prose.line(check.limit, applied.section.file)
                title = ring.context.prose.line(check.title, applied.section.file)
                measured = check.record == "measure"
                label = title if measured else line(title, ": ", limit)
                field = FormField(check.id, label, "number" if measured else "tick", limit=limit if measured else ())
                due.setdefault(check.stage or "run", []).append(field)
    for stage, name in STAGES:
        if stage in due:
            sign = FormField(f"sign-{stage}", line("Signed by"), "sign")
            yield Form(name, (*due[stage], sign), f"stage-{stage}")


def ring_run_card(ring: RingRun, maker: CardMaker) -> Card:
    """The card of one closing run; ``maker`` makes the cards of its job."""
    context, run = ring.context, ring.run
    cable, due = context.job.cables[run.cable], ring.checks
    ends = CardRun(
        way=f"From {run.from_id} to {run.to_id}",
        length=fmt.told(run.length, context.units),
        cable=f"{run.cable}, {fmt.conductor_label(cable.conductor)} {cable.build}",
        colour_a=cable.cores.a,
        colour_b=cable.cores.b,
        surface=run.surface,
    )

    def shown(check: Check) -> CardCheck:
        return maker.card_check(check, ring.expected(check), ring.cover)

    free = [check for check in due if check.hold == "none"]
    return Card(
        box_id=run.id,
        name="Ring run",
        uri=box_uri(run.id),
        arm=MENU[-1],
        note=f"Leave its end in {run.to_id} open until the ring is closed.",
        runs=(ends,),
        facts=(CardFact("Reel", ring.reel), CardFact("Cover", ring.cover)),
        soils=soil_rows(context),
        loops=card_loops(context, (("", ring.reading),), due),
        readings=(),
        measured=tuple(shown(c) for c in free if c.method == "measure" and c.measures != "loop_ohms"),
        stops=tuple(shown(check) for check in due if check.hold != "none"),
        in_box=(),
        on_run=tuple(shown(check) for check in free if check.method != "measure"),
        findings=(),
        figure=ring.end(lean=True),
    )
