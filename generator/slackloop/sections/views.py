"""Cables, connectors and devices of a job put into words for templates and tables."""

from __future__ import annotations

from slackloop.sections import format as fmt
from slackloop.sections.values import CableView, ConnectorView, DeviceView
from slackloop.site.models import Cable, Connector, Device, Job
from slackloop.site.site_contacts import Emergency, LocalCode, Locates, People

NOT_STATED = "not stated"
AS_THE_PACK_SAYS = "as its pack says"
"""How a connector is closed where the job does not say it in the pack's words."""

TO_FILL_IN = "________"
"""What stands on a page where the job leaves a fact to be filled in by hand."""


def cable_title(cable: Cable) -> str:
    """What a cable is, in words: ``14 AWG solid, orange and grey, polyethylene jacket``."""
    jacket = f"{cable.jacket} jacket" if cable.jacket else "no jacket"
    return f"{fmt.conductor_label(cable.conductor)} {cable.build}, {cable.cores.a} and {cable.cores.b}, {jacket}"


def cable_views(job: Job) -> tuple[CableView, ...]:
    """Every cable of the job."""
    units = job.job.units
    return tuple(
        CableView(
            name=name,
            title=cable_title(cable),
            conductor=fmt.conductor(cable.conductor),
            build=cable.build,
            core_a=cable.cores.a,
            core_b=cable.cores.b,
            jacket=cable.jacket or "none",
            od=fmt.stated(cable.jacket_od, units, "nearest") if cable.jacket_od else NOT_STATED,
            reel=fmt.stated(cable.reel, units, "lowest") if cable.reel else NOT_STATED,
        )
        for name, cable in job.cables.items()
    )


def connector_view(name: str, connector: Connector, units: fmt.Units) -> ConnectorView:
    """One connector in words."""
    return ConnectorView(
        name=name,
        title=connector.title,
        sizes=fmt.written(connector.sizes.text),
        wires=fmt.written(connector.wires.text),
        area=fmt.written(connector.area.text),
        strip=fmt.stated(connector.strip, units, "nearest"),
        listing=connector.listing or NOT_STATED,
        pack=fmt.grouped(connector.pack),
        closing=connector.closing or AS_THE_PACK_SAYS,
    )


def connector_views(job: Job) -> tuple[ConnectorView, ...]:
    """Every connector of the job."""
    return tuple(connector_view(name, connector, job.job.units) for name, connector in job.connectors.items())


def device_view(name: str, device: Device) -> DeviceView:
    """One device in words."""
    return DeviceView(
        name=name,
        title=device.title,
        outputs=fmt.grouped(device.outputs),
        leads=f"{fmt.conductor_label(device.leads.conductor)} {device.leads.build}",
        standby=fmt.written(device.standby.text),
        per_output=fmt.written(device.per_output.text) if device.per_output else "–",
        least_volts=fmt.written(device.least_volts.text),
    )


def device_views(job: Job) -> tuple[DeviceView, ...]:
    """Every device of the job."""
    return tuple(device_view(name, device) for name, device in job.devices.items())


def contact_values(job: Job) -> dict[str, str]:
    """Who is called, who leads and whose code holds; what the job leaves out is a blank to fill in."""
    emergency, people = job.emergency or Emergency(), job.people or People()
    code, search = job.local_code or LocalCode(), job.locates or Locates()
    until = f"good until {search.valid_to}" if search.valid_to else f"good until {TO_FILL_IN}"
    return {
        "emergency_number": emergency.number,
        "emergency_call": emergency.number or TO_FILL_IN,
        "hospital": emergency.hospital,
        "meeting_point": emergency.meeting_point,
        "gas_owner": emergency.gas,
        "power_owner": emergency.power,
        "water_owner": emergency.water,
        "first_aider": people.first_aider,
        "site_lead": people.responsible,
        "named_electrician": people.electrician,
        "local_code": f"{code.authority or TO_FILL_IN}: {code.edition or TO_FILL_IN}",
        "inspector": code.inspector or TO_FILL_IN,
        "utility_search": f"number {search.reference or TO_FILL_IN}, {until}",
    }
