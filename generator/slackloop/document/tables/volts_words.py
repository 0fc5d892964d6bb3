"""At what the volts of a table are worked out, in one sentence."""

from __future__ import annotations

from slackloop.document.context import Context
from slackloop.sections import format as fmt
from slackloop.units.figure import stated as stated_figure


def volts_at(context: Context) -> str:
    """Supply, soil and conductor behind all volts; no table mixes two sets of them."""
    supply = context.job.supply
    stated = supply.lowest or supply.volts
    always = fmt.listing([str(station) for station in supply.always_on])
    hottest = stated_figure(context.job.conditions.soil_temperature.high, "highest").text(context.units)
    words = {0: "", 1: f"; station {always} always in operation"}
    return (
        f"All volts: {fmt.written(stated.text)} at the controller{', its lowest' if supply.lowest else ''}; soil at "
        f"its hottest, {hottest}; the largest resistance that the conductors may have; slack in the boxes counted"
        + words.get(len(supply.always_on), f"; stations {always} always in operation")
        + "."
    )
