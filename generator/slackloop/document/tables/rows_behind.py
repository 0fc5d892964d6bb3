"""The rows of ``site_data`` on which computed figures rest: what tables give as ``rows_used``."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from slackloop.document.context import Context
from slackloop.reference.rows import Row, SoilRow
from slackloop.site.specification import Build
from slackloop.units.quantity import ConductorSize


def once(rows: Iterable[Row]) -> tuple[Row, ...]:
    """Each row once, in the order of first use; rows that read alike are still rows of their own."""
    return tuple({id(row): row for row in rows}.values())


def size_rows(context: Context, size: ConductorSize) -> Iterator[Row]:
    """The row that gives the area of an AWG size; mm² sizes state their own."""
    if size.system == "AWG":
        yield from (row for gauge, row in context.tables.conductors.awg_sizes.items() if gauge == size.number)


def resistance_rows(context: Context, *, largest: bool) -> tuple[Row, ...]:
    """Rows behind the resistance of the job's cables: the largest that they may have, or what a meter reads."""
    sizes = {(cable.conductor, cable.build) for cable in context.job.cables.values()}
    ordered = sorted(sizes, key=lambda each: (each[0].label, each[1]))
    return once(row for size, build in ordered for row in conductor_rows(context, size, build, largest=largest))


def conductor_rows(context: Context, size: ConductorSize, build: Build, *, largest: bool) -> Iterator[Row]:
    """Rows behind the resistance of one conductor; the least that a meter may read is plain copper of its area."""
    tables, copper = context.tables, context.tables.copper.rows
    if size.system == "AWG":
        yield from size_rows(context, size)
        yield copper["conductivity"]
        if build != "solid":
            yield copper["lay-factor"]
        if largest:
            yield copper["largest-over-nominal"]
    else:
        limits = tables.conductors.iec_60228_class_5 if build == "flexible" else tables.conductors.iec_60228
        row = limits.get(size.number)
        if row is not None and not largest:
            yield copper["conductivity"]
        if row is not None:
            yield row
        else:
            yield copper["conductivity"]
            yield from limits.values()
    yield copper["alpha"]


def listed_size_rows(context: Context) -> tuple[Row, ...]:
    """Rows behind the resistance and weight of every listed size in the build of the path's cable."""
    tables, copper = context.tables, context.tables.copper.rows
    own = context.job.cables[context.job.path.cable]
    listed = tables.conductors.iec_60228_class_5 if own.build == "flexible" else tables.conductors.iec_60228
    names = ["conductivity", *(["lay-factor"] if own.build != "solid" else []), "largest-over-nominal", "alpha"]
    constants = (copper[name] for name in (*names, "density"))
    return (*tables.conductors.awg_sizes.values(), *listed.values(), *constants)


def splice_rows(context: Context) -> tuple[Row, ...]:
    """Rows behind the copper areas of every conductor that meets in a splice."""
    job = context.job
    sizes = [cable.conductor for cable in job.cables.values()]
    sizes += [device.leads.conductor for device in job.devices.values()]
    sizes += [solenoid.leads.conductor for solenoid in job.solenoids.values() if solenoid.leads]
    part = job.rules.earthing.surge_part
    sizes += [part.leads.conductor] if part is not None else []
    return once(row for size in sizes for row in size_rows(context, size))


def cover_rows(context: Context) -> tuple[Row, ...]:
    """The rows of the cover table that runs are compared with."""
    cover = context.basis.cover
    if cover is None:
        return ()
    return once(cover.row(run.surface) for run in context.network.all_runs)


def soil_rows(context: Context) -> tuple[SoilRow, ...]:
    """The rows of the job's soil and of the bedding's sand, each once."""
    soils = context.tables.soils
    found = (soils.find(context.job.conditions.soil), soils.find("sand"))
    return tuple({id(row): row for row in found if row is not None}.values())


def electrode_rows(context: Context) -> tuple[Row, ...]:
    """Rows behind rods and soil: groups of rods where the soil is known, else what is needed to measure it."""
    tables, answer = context.tables, context.analysis.electrodes
    formulas = tables.formulas
    if answer.ohms_each is None:
        return (formulas["one-rod"], formulas["four-pins"], formulas["pin-depth"], *tables.resistivity)
    return (formulas["one-rod"], *tables.rod_groups.values())
