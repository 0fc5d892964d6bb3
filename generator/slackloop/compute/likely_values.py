"""Values of a job that are possible and hardly meant, by our own bounds."""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.compute.ground.electrodes import ElectrodeAnswer
from slackloop.reference.tables import ReferenceTables
from slackloop.site.models import Job
from slackloop.source.finding import Finding
from slackloop.units.figure import percent, stated, temperature, written

TABLE = "likely_values"
_WITHIN = 1e-9


def likely_findings(job: Job, tables: ReferenceTables, electrodes: ElectrodeAnswer) -> Iterator[Finding]:
    """A warning for each value beyond its bound, which says that the bound is our own."""
    bounds = {name: row.value for name, row in tables.constants[TABLE].rows.items()}
    tests, units = job.rules.tests, job.job.units
    if tests.insulation.volts.si > bounds["insulation-volts"] * (1.0 + _WITHIN):
        yield Finding("warning", "insulation-volts-high",
                      f"The job tests insulation at {written(tests.insulation.volts.text)}. More than "
                      f"{bounds['insulation-volts']:g} V can break the insulation of such a cable (our own bound).",
                      ("rules", "tests", "insulation", "volts"), expected=f"{bounds['insulation-volts']:g} V or less",
                      asks="the maker of the cable")  # fmt: skip
    if tests.loop_tolerance.si < bounds["loop-tolerance"] - _WITHIN:
        least = percent(bounds["loop-tolerance"], "nearest").text(units)
        yield Finding("warning", "loop-tolerance-small",
                      f"The loop of a good run may be {written(tests.loop_tolerance.text)} off, the meter's error "
                      f"aside. Cable differs by more than that, so good runs fail; {least} is the least (our own "
                      "bound).", ("rules", "tests", "loop_tolerance"), expected=f"{least} or more",
                      asks="the designer")  # fmt: skip
    soil = job.conditions.soil_temperature
    if soil.low.si < bounds["soil-coldest"] - _WITHIN or soil.high.si > bounds["soil-hottest"] + _WITHIN:
        coldest, hottest = (temperature(bounds[f"soil-{end}"], "nearest").text(units) for end in ("coldest", "hottest"))
        yield Finding("warning", "soil-temperature-unlikely",
                      f"The soil is {stated(soil.low, 'nearest').text(units)} to "
                      f"{stated(soil.high, 'nearest').text(units)} at the depth of the cable. Soil there is hardly "
                      f"outside {coldest} to {hottest} (our own bounds).", ("conditions", "soil_temperature"),
                      expected="the coldest and the hottest soil at the depth of the cable, not the air",
                      hint="Write degF where degrees Fahrenheit are meant.")  # fmt: skip
    target, out_of_reach = job.rules.earthing.target, electrodes.ohms_each and electrodes.rods_for_target is None
    if target.si < bounds["electrode-target"] * (1.0 - _WITHIN) and not out_of_reach:
        yield Finding("warning", "electrode-target-small",
                      f"One electrode must reach {written(target.text)}. Less than "
                      f"{bounds['electrode-target']:g} Ω is hardly reached with rods (our own bound).",
                      ("rules", "earthing", "target"), expected=f"{bounds['electrode-target']:g} ohm or more",
                      asks="the designer")  # fmt: skip
