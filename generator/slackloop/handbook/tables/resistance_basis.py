"""On which resistance a table rests: the nominal one for readings, the largest for volts. No table mixes the two."""

from __future__ import annotations

from slackloop.handbook import format as fmt
from slackloop.handbook.context import Context

NOMINAL_SOURCE = (
    "Resistance: nominal for AWG sizes (ASTM B258 and IEC 60028 copper, read in a copy), the IEC 60228 limit for mm² "
    "sizes."
)


def largest_source(context: Context) -> str:
    """Where the resistance that volts are worked out with comes from."""
    copper, flexible = context.tables.copper, any(c.build == "flexible" for c in context.job.cables.values())
    row = copper.rows["largest-over-nominal"]
    text = (
        f"Resistance: the largest that a conductor may have. AWG sizes: nominal (ASTM B258 and IEC 60028 copper, read "
        f"in a copy) × {row.value:g} ({row.source}, {row.checked}); mm² sizes: the IEC 60228 limit (read in a copy)"
    )
    return f"{text}, class 5 from memory, to be checked." if flexible else f"{text}."


def volts_basis(context: Context) -> str:
    """At what the volts of a table are worked out: supply, soil and conductor, in one sentence."""
    supply, units = context.job.supply, context.units
    stated = supply.lowest or supply.volts
    always = fmt.listing([str(station) for station in supply.always_on])
    hottest = fmt.stated(context.job.conditions.soil_temperature.high, units, "highest")
    return (
        f"All volts: {fmt.written(stated.text)} at the controller{', its lowest' if supply.lowest else ''}; soil at "
        f"its hottest, {hottest}; the largest resistance that the conductors may have; slack in the boxes counted"
        + (f"; station {always} always in operation" if len(supply.always_on) == 1 else "")
        + (f"; stations {always} always in operation" if len(supply.always_on) > 1 else "")
        + "."
    )
