"""The drawing of what meets in one box."""

from __future__ import annotations

from slackloop.document.boxes.box_facts import BoxFacts
from slackloop.document.context import Context
from slackloop.document.drawings.box_wiring import WiredBox, WiredDevice, WiredRun, WiredStation, box_wiring_figure
from slackloop.document.drawings.svg import Figure
from slackloop.sections import format as fmt
from slackloop.sections.job_keys import solenoid_current
from slackloop.sections.link_rules import slug
from slackloop.site.effective_values import PlacedDevice, PlacedStation
from slackloop.site.network import Tail


class BoxDrawings:
    """Draws boxes of one job; the cable ends of every box are worked out once."""

    def __init__(self, context: Context) -> None:
        """``context`` is the job with its analysis."""
        self.context = context
        self.tails = context.network.tails

    def wiring(self, index: int) -> Figure:
        """What meets in the box at ``index``; drawn once for a context."""
        made = self.context.made_wiring
        if index not in made:
            made[index] = self._drawn(index)
        return made[index]

    def _drawn(self, index: int) -> Figure:
        box = self.context.box(index)
        facts = BoxFacts(self.context, index)
        splices = self.context.analysis.splices[index]
        sides = self.context.analysis.solenoid_splices[index]
        drawn = WiredBox(
            id=box.id,
            name=box.name,
            runs=(*(self._run(tail, index) for tail in self.tails[index]), *self._surge_part(facts)),
            devices=tuple(self._device(each) for each in facts.devices.placed),
            connector=facts.connector_title(splices[0].connector) if splices else "",
            solenoid_connector=facts.connector_title(sides[0].connector) if sides else "",
            electrode=bool(facts.electrode),
        )
        return box_wiring_figure(f"wiring-{slug(box.id)}", drawn)

    def _surge_part(self, facts: BoxFacts) -> tuple[WiredRun, ...]:
        """The leads of the surge part at an electrode box; their colours are the part's own marks."""
        part = self.context.job.rules.earthing.surge_part
        if part is None or not facts.electrode:
            return ()
        size = fmt.conductor_label(part.leads.conductor)
        return (WiredRun(part.title, "to the electrode", size, "as marked", "as marked", jacketed=False),)

    def _run(self, tail: Tail, index: int) -> WiredRun:
        """One cable end of the box."""
        cable = self.context.job.cables[tail.run.cable]
        return WiredRun(
            label=tail.origin.removeprefix("run "),
            length=fmt.told(tail.run.length, self.context.units),
            cable=fmt.conductor_label(cable.conductor),
            colour_a=cable.cores.a,
            colour_b=cable.cores.b,
            jacketed=bool(cable.jacket),
            slack=BoxFacts(self.context, index).slack_text(self.context.analysis.slack[index].per_tail_m),
        )

    def _device(self, placed: PlacedDevice) -> WiredDevice:
        """A device with its stations."""
        stations = tuple(
            WiredStation(
                str(station.number), fmt.told(station.lead, self.context.units), self._solenoid(station),
                station.has_long_lead, station.name,
            )
            for station in placed.stations
        )  # fmt: skip
        size = fmt.conductor_label(placed.device.leads.conductor)
        return WiredDevice(placed.device.title, placed.address, size, stations)

    def _solenoid(self, station: PlacedStation) -> str:
        """The solenoid of a station by its currents."""
        name = station.solenoid
        return solenoid_current(self.context.job.solenoids[name]) if name else "not named"
