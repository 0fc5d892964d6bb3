"""What is known of one box, as text: readings, splices, slack, runs, device, electrode."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cached_property

from slackloop.document.box_devices import BoxDevices
from slackloop.document.boxes.splice_groups import splice_groups
from slackloop.document.context import Context
from slackloop.sections import format as fmt
from slackloop.sections.inspection_points import CROSSED, is_due_at, joins_old
from slackloop.sections.job_keys import cable_titles
from slackloop.sections.job_values import SLACK_RULES
from slackloop.sections.views import TO_FILL_IN, cable_title
from slackloop.site import effective_values as resolve
from slackloop.site.models import Box, Crossing
from slackloop.site.network import Run
from slackloop.units.figure import Figure

JOINED = "This box was here before. Test the old path in it before you join anything to it."
LEFT_ALONE = "This box was here before. The job does no work in it."
FED_BY_OLD = "The run to this box was here before. Test it before you join anything to it."
MADE = {"open": "in an open trench", "bored": "bored, not dug", "existing": "there already, not dug"}
VEHICLES = frozenset({"driveway", "drive", "road"})
SAID_LARGE = frozenset(
    {"Address", "Stations", "Slack", "Slack in this box", "Bare copper at each wire end", "Device", "Earth electrode"}
)
"""What the page of a box says large, or under what to carry."""


class BoxFacts:
    """The facts of the box at ``index`` of the path."""

    def __init__(self, context: Context, index: int) -> None:
        """``index`` counts boxes in path order."""
        self.context = context
        self.index = index
        self.box: Box = context.box(index)
        self.network = context.network
        self.run = context.network.runs[index]

    @cached_property
    def electrode(self) -> str:
        """Why an electrode stands here; empty when none does."""
        return next((each.reason for each in self.context.analysis.electrodes.places if each.where == self.box.id), "")

    @cached_property
    def devices(self) -> BoxDevices:
        """What is fitted in the box."""
        return self.context.devices(self.box)

    @property
    def state(self) -> str:
        """That a box was there before, and whether new meets old in it; empty for all else."""
        joins = joins_old(self.box, self.index, self.network)
        if self.box.existing:
            return JOINED if joins else LEFT_ALONE
        return FED_BY_OLD if joins else ""

    @property
    def is_end(self) -> bool:
        """Whether the path ends here: no run goes on and none closes a ring."""
        return not self.network.children[self.index] and not self.closures

    @property
    def is_branch(self) -> bool:
        """Whether more than one run goes on from here."""
        return len(self.network.children[self.index]) > 1

    @property
    def closures(self) -> tuple[str, ...]:
        """Ids of the ring closures that end here."""
        return tuple(run.id for run in self.network.closures if self.box.id in (run.from_id, run.to_id))

    def readings(self) -> Iterator[tuple[str, str, str]]:
        """Label, value and limit of the volts that a meter should read."""
        analysis = self.context.analysis
        volts = self.devices.least_volts
        least = f"{fmt.written(volts.text)} or more" if volts else ""
        yield "Volts, outputs off", fmt.lowest_volts(analysis.volts.standby_volts[self.index]), least
        worst = analysis.volts.worst_volts[self.index]
        yield "Volts at worst", fmt.lowest_volts(worst), least

    def splice_rows(self) -> Iterator[tuple[str, ...]]:
        """The splices of the path side and the solenoid side, like ones in one row.

        Splice, how many of them, wires in each, how many wires, copper in each, connector.
        """
        splices = (*self.context.analysis.splices[self.index], *self.context.analysis.solenoid_splices[self.index])
        for group in splice_groups(splices):
            connector = self.connector_title(group.like.connector)
            fits = connector if group.like.fits else f"DOES NOT FIT {connector}: {'; '.join(group.like.reasons)}"
            fits = f"{connector}: whether it fits is not known" if group.like.fits is None else fits
            counts = str(len(group.splices)), group.wires, str(len(group.like.wires))
            yield group.label, *counts, fmt.area(group.like.area_mm2, "nearest"), fits

    def connector_title(self, name: str) -> str:
        """A connector by its title."""
        connector = self.context.job.connectors.get(name)
        return connector.title if connector else name

    def carried(self) -> tuple[str, ...]:
        """What to bring to this box, as on its card: the parts, and the cable of each long lead."""
        long = [(each.lead_cable, each.lead_m) for each in self.devices.stations if each.has_long_lead]
        metres = {name: sum(length for one, length in long if one == name) for name, _ in long if name}
        titles, units = cable_titles(self.context.job), self.context.units
        leads = (f"{fmt.run_length(each, units, 'cut')} of {titles[name]}" for name, each in metres.items())
        return (*(f"{count} × {title}" for count, title in self.parts()), *leads)

    def parts(self) -> tuple[tuple[int, str], ...]:
        """Devices, connectors, surge part, rods of this box, each with its count; what is there is not brought."""
        fitted = Counter(each.device.title for each in self.devices.placed if not self.box.existing)
        parts = [(count, title) for title, count in fitted.items()]
        parts += [(count, self.connector_title(name)) for name, count in self._connectors().items()]
        surge = self.context.job.rules.earthing.surge_part
        if self.electrode and surge is not None and not self.box.existing:
            parts.append((1, surge.title))
        rods = self.context.analysis.electrodes.rods_for_target
        if self.electrode and rods and not self.box.existing:
            parts.append((rods, "earth rod"))
        return tuple(parts)

    def carry_text(self) -> str:
        """What to bring in one line; titles are the job's own words, so no plural is made of them."""
        return "; ".join(self.carried()) or "no connector"

    def electrode_text(self) -> str:
        """The electrode of this box: how many rods, and the most that they may read."""
        if not self.electrode:
            return "None here"
        target = fmt.written(self.context.job.rules.earthing.target.text)
        rods = self.context.analysis.electrodes.rods_for_target
        return f"{fmt.count(rods, 'rod', 'rods') if rods else 'Rods'}, {target} or less"

    def awaited(self) -> str:
        """The new runs that go on from a branch box, each with its reel: its splices wait for all; else empty."""
        new, reels = self.goes_on(), self.context.reel_of
        runs = fmt.listing([f"{to} (reel {reels[to]})" if to in reels else to for to in new])
        return f"Lay and test the runs to {runs}" if len(new) > 1 else ""

    def goes_on(self) -> list[str]:
        """The boxes that new runs go on to from here, each the id of its run too."""
        runs = (self.network.runs[child] for child in self.network.children[self.index])
        return [run.to_id for run in runs if not run.existing]

    def page_lines(self) -> Iterator[tuple[str, str]]:
        """Label and text of each plain fact that is not among the large ones or in the stages."""
        for label, text in self.lines():
            if label not in SAID_LARGE:
                yield label, text
        if self.awaited():
            yield "Before the splice", self.awaited()
        if is_due_at("end-box", self.box, self.index, self.network, ()):
            yield [*self.readings()][-1][:2]  # the others, and what is needed, are told where they are written
            return
        for label, text, least in self.readings():
            yield label, f"{text} (the device needs {least})" if least else text

    def lines(self) -> Iterator[tuple[str, str]]:
        """Label and text of each plain fact."""
        yield "Run in", self._run_text(self.index, f"from {self._where(self.run.from_id)}")
        for child in self.network.children[self.index]:
            yield "Run out", self._run_text(child, f"to {self.network.boxes[child]}")
        for run in self.network.closures:
            if self.box.id in (run.from_id, run.to_id):
                length, under = fmt.told(run.length, self.context.units), self.context.surface(run.surface)
                ends = f"{run.from_id} to {run.to_id}"
                yield "Ring run", f"{length}, {ends}, {self._laid(run)}, surface: {under}"
        if self.box.crossing is not None:
            yield "Crossing", crossing_text(self.context, self.box.crossing)
        yield from self._device_lines()
        yield from self._slack_lines()
        yield "Bare copper at each wire end", self.strip()
        yield from self._closing_lines()
        yield "Earth electrode", f"Yes: {self.electrode}" if self.electrode else "None here"

    def _where(self, end: str) -> str:
        """The controller or a box."""
        return "the controller" if end == "controller" else end

    def _run_text(self, index: int, direction: str) -> str:
        """One run in words: its length, which way, its cable, what is over it."""
        run = self.network.runs[index]
        length = fmt.told(run.length, self.context.units)
        cover, under = cover_text(self.context, run), self.context.surface(run.surface)
        return f"{length} {direction}, {self._laid(run)}, surface: {under}, cover {cover}"

    def _laid(self, run: Run) -> str:
        """The cable of a run, and that it lies in a duct where it does."""
        return f"{self._cable(run.cable)}{duct_text(self.context, run)}"

    def _cable(self, name: str) -> str:
        """A cable by what it is: a reader has the cable, not the name that the job file gives it."""
        return cable_title(self.context.job.cables[name])

    def _device_lines(self) -> Iterator[tuple[str, str]]:
        """Device, address, stations and lead."""
        devices = self.devices
        if not devices.placed:
            yield "Device", "None: splices only"
            return
        yield "Device", devices.titles
        yield "Address", devices.addresses if devices.all_set else "Write it here when it is set: ______"
        yield "Stations", devices.numbers or "None"
        always = [str(number) for number in devices.always_on()]
        if always:
            yield "Always on", f"{fmt.listing(always)}: on the path in every case, counted in all volts"
        if devices.stations:
            yield "Solenoid lead", devices.leads_text()

    def _slack_lines(self) -> Iterator[tuple[str, str]]:
        """Slack by tail and in all."""
        slack, units = self.context.analysis.slack[self.index], self.context.units
        rule = self.context.job.rules.slack
        ends = fmt.count(slack.tails, "cable end", "cable ends")
        yield "Slack", f"{fmt.stated(rule.length, units, 'cut')} {SLACK_RULES[rule.per]}"
        each, total = self.slack_text(slack.per_tail_m), fmt.run_length(slack.total_m, units, "cut")
        yield "Slack in this box", f"{ends}, {each} each, {total} in all"

    def _closing_lines(self) -> Iterator[tuple[str, str]]:
        """How each connector of this box is closed, where the job gives the pack's words."""
        for name in self._connectors():
            connector = self.context.job.connectors.get(name)
            if connector is not None and connector.closing:
                yield f"Close the {connector.title}", connector.closing

    def _connectors(self) -> Counter[str]:
        """How many of each connector this box takes."""
        splices = (*self.context.analysis.splices[self.index], *self.context.analysis.solenoid_splices[self.index])
        return Counter(splice.connector for splice in splices)

    def cautions(self) -> Iterator[tuple[str, str]]:
        """Title and text of each caution of what is at this box and not at every box."""
        names = ["buried-services", "driven-rod"] if self.electrode else []
        if self.run.surface in VEHICLES:
            names.append("vehicles")
        elif self.run.surface in CROSSED:
            names.append("visitors")
        if len(self.devices.stations) > 1:
            names.append("leads-apart")
        if self.closures:
            names.append("ring-closed")
        yield from cautions_of(self.context, names)

    def slack_text(self, length_m: float) -> str:
        """A length of slack, as the job wrote it where it is the rule's own."""
        return fmt.told(resolve.slack(self.context.job, length_m), self.context.units)

    def slack_figure(self) -> Figure:
        """The least slack on each cable end here."""
        per_tail_m = self.context.analysis.slack[self.index].per_tail_m
        return replace(resolve.slack(self.context.job, per_tail_m), rounding="least")

    def cover(self) -> str:
        """The cover over the run to this box."""
        return cover_text(self.context, self.run)

    def strip(self) -> str:
        """The strip of this box's connectors; the job's rule where nothing is spliced."""
        units = self.context.units
        splices = (*self.context.analysis.splices[self.index], *self.context.analysis.solenoid_splices[self.index])
        strips = {
            fmt.stated(self.context.job.connectors[splice.connector].strip, units, "nearest")
            for splice in splices
            if splice.connector in self.context.job.connectors
        }
        return " or ".join(sorted(strips)) or fmt.stated(self.context.job.rules.strip, units, "nearest")


def cautions_of(context: Context, names: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Title and text of each caution that the content has."""
    known, plain = context.content.words.cautions, context.prose.plain
    return ((plain(known[name].title), plain(known[name].text)) for name in names if name in known)


def crossing_text(context: Context, crossing: Crossing) -> str:
    """A crossing in words: its sleeve, how deep, how it is made, and whose it is; what is not stated is a line to fill.
    """
    units = context.units
    sleeve, length = (fmt.stated(each, units, "nearest") for each in (crossing.sleeve, crossing.length))
    told = (
        f"sleeve {sleeve}, {length} long, cover over it {fmt.stated(crossing.depth, units, 'least')} or more, "
        f"{MADE[crossing.method]}. Owner: {crossing.owner or TO_FILL_IN}"
    )
    return told if crossing.method == "existing" else f"{told}. Permission: {crossing.permit or TO_FILL_IN}"


def cover_text(context: Context, run: Run) -> str:
    """The cover over a run as the job wrote it: the box's own where it states one, else the rule's."""
    return fmt.told(run.cover, context.units)


def duct_text(context: Context, run: Run) -> str:
    """What a run lies in, to follow its cable: ``, in a duct of 38 mm inside``; empty where it has no duct."""
    return f", in a duct of {fmt.stated(run.duct, context.units, 'nearest')} inside" if run.duct else ""
