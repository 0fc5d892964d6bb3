"""What is wrong or doubtful about the splices of a job."""

from __future__ import annotations

from collections.abc import Sequence

from slackloop.compute.cable.splices import Splice
from slackloop.compute.cable.tails import box_tails
from slackloop.compute.job_places import JobPlaces, boxes_in_order, some_of
from slackloop.site.models import Job
from slackloop.site.network import Network
from slackloop.source.finding import Finding

_HINT = "Name another connector for this box, or check the maker's sheet for this combination."


BoxSplices = Sequence[Sequence[Splice]]


def splice_findings(
    job: Job, network: Network, splices: BoxSplices, solenoid_splices: BoxSplices
) -> tuple[Finding, ...]:
    """All findings about splices: connectors that do not fit, boxes without purpose."""
    return (
        *_path_misfits(job, network, splices),
        *_station_misfits(job, network, solenoid_splices),
        *_purpose(job, network),
    )


def _path_misfits(job: Job, network: Network, per_box: BoxSplices) -> list[Finding]:
    findings: list[Finding] = []
    places = JobPlaces(job)
    for box_id, splices in zip(network.boxes, per_box, strict=True):
        bad = next((splice for splice in splices if splice.fits is False), None)
        if bad is not None:
            title = job.connectors[bad.connector].title
            findings.append(
                Finding(
                    level="error",
                    code="connector-misfit",
                    message=f"{box_id}: {title} does not fit the path splice ({_sizes(bad)}): "
                    f"{'; '.join(bad.reasons)}.",
                    at=places.box(box_id, "connector"),
                    box=box_id,
                    expected="a connector listed for these conductors",
                    hint=_HINT,
                )
            )
    return findings


def _station_misfits(job: Job, network: Network, per_box: BoxSplices) -> list[Finding]:
    """An error a box where sizes are given; one warning a combination where the solenoid's lead is assumed."""
    findings: list[Finding] = []
    places = JobPlaces(job)
    doubtful: dict[tuple[str, str, tuple[str, ...]], list[str]] = {}
    for box_id, splices in zip(network.boxes, per_box, strict=True):
        known = next((s for s in splices if s.fits is False and not s.rests_on_assumed_size), None)
        if known is not None:
            title = job.connectors[known.connector].title
            findings.append(
                Finding(
                    level="error",
                    code="connector-misfit-solenoid",
                    message=f"{box_id}: {title} does not fit the splice {known.cores} ({_sizes(known)}): "
                    f"{'; '.join(known.reasons)}.",
                    at=places.box(box_id, "solenoid_connector"),
                    box=box_id,
                    expected="a connector listed for these conductors",
                    hint="Name another solenoid_connector for this box.",
                )
            )
        for splice in splices:
            if splice.fits is False and splice.rests_on_assumed_size:
                boxes = doubtful.setdefault((splice.connector, _sizes(splice), splice.reasons), [])
                if box_id not in boxes:
                    boxes.append(box_id)
    for (connector, sizes, reasons), boxes in doubtful.items():
        findings.append(
            Finding(
                level="warning",
                code="connector-misfit-solenoid",
                message=f"{job.connectors[connector].title} may not fit the solenoid splice ({sizes}, the solenoid's "
                f"lead taken as the device's): {'; '.join(reasons)}. Boxes: {some_of(boxes)}.",
                at=places.box(boxes[0]),
                box=boxes[0],
                expected="leads of the solenoid, as {conductor: 18 AWG, build: stranded}",
                hint="Give the solenoid's own leads, or name a solenoid_connector that fits.",
                asks="the supplier of the solenoids",
                of=tuple(boxes),
            )
        )
    return findings


def _purpose(job: Job, network: Network) -> list[Finding]:
    """Boxes without a device that are no branch: a splice nobody needs, or a cable end with nothing on it."""
    findings: list[Finding] = []
    places = JobPlaces(job)
    boxes = boxes_in_order(job, network.boxes)
    for box, tails in zip(boxes, box_tails(network), strict=True):
        if box.fitted or box.existing or len(tails) > 2:
            continue
        if len(tails) == 2:
            code, message = "splice-without-purpose", "2 cable ends meet here, with no device and no branch"
            hint = "Take the cable through without a cut, add the device, or say in note why the splice is needed."
        else:
            code, message = "end-without-device", "the path ends here with no device"
            hint = "Add the device, or take this run out."
        findings.append(
            Finding("warning", code, f"{box.id}: {message}.", at=places.box(box.id), box=box.id,
                    expected="a device, or a branch", hint=hint)
        )  # fmt: skip
    return findings


def _sizes(splice: Splice) -> str:
    return " + ".join(wire.conductor_label for wire in splice.wires)
