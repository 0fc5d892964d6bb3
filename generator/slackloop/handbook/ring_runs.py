"""The runs that close a ring: a page and a card each, with tests, record and sign-off like any other run.

Such a run is tested with its end at the box that it goes to still open; the ring is closed there last.
"""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.compute.loop import LoopReading
from slackloop.handbook import format as fmt
from slackloop.handbook.addresses import box_uri, relative, slug
from slackloop.handbook.box_checks import DueCheck, rendered_check
from slackloop.handbook.box_facts import cover_text
from slackloop.handbook.box_page import check_grid, loop_limits, sign_lines
from slackloop.handbook.cards import Card, CardCheck, CardFact, CardMaker, CardRun, card_loops, soil_rows
from slackloop.handbook.context import Context
from slackloop.handbook.due_boxes import is_due_on_ring_run
from slackloop.handbook.figures.box_wiring import box_wiring_figure
from slackloop.handbook.figures.svg import Figure
from slackloop.handbook.figures.wired_box import WiredBox, WiredRun
from slackloop.handbook.page import Page
from slackloop.handbook.section import Check
from slackloop.handbook.text import Trusted, blocks, escape, large, link, one_line, trusted
from slackloop.handbook.views import cable_title

MENU = ("Install", "Boxes", "Ring runs")


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
    uri = box_uri(run.id)
    due = tuple(_due(ring))
    markdown = blocks(
        [
            f"# Ring run {escape(run.id)}",
            _ends(context, ring, uri),
            "## Readings {#readings}",
            f"Loop from the controller, the ring open and the pair shorted at the end of this run in "
            f"{escape(run.to_id)}:",
            loop_limits(context, (("", ring.reading),)),
            "## Facts {#facts}",
            "\n\n".join(f"{escape(label)}\n:   {escape(value)}" for label, value in ring.lines()),
            "## Checks {#checks}",
            "### On this run {#checks-run}",
            check_grid(due, uri) if due else "No check is due on this run.",
            sign_lines(),
        ]
    )
    title = one_line(f"Ring run {run.id}")
    return Page(uri, title, markdown, MENU, "box", {"box": run.id}, True, f"{title}: readings and checks")


def _ends(context: Context, ring: RingRun, uri: str) -> str:
    """Links to the boxes at both ends."""
    ends = (ring.run.from_id, ring.run.to_id)
    links = [link(end, relative(box_uri(end), uri)) if end in context.network.index else escape(end) for end in ends]
    return f"{' · '.join(links)}\n{{: .box-way }}"


def _due(ring: RingRun) -> Iterator[DueCheck]:
    for applied in ring.context.sections:
        for check in applied.checks:
            if is_due_on_ring_run(check, ring.run):
                due = rendered_check(ring.context, applied, check)
                here = ring.expected(check)
                limit: Trusted = trusted(f"{due.limit}<br>Here: {large(here)}") if here else due.limit
                yield DueCheck(check, due.title, limit, due.section_uri)


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
