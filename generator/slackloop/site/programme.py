"""When the work is done, by the job's own rates: the first day, what a crew does in a day, the days of the week."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from slackloop.site.fields import IsoDate, Length, PositiveCount
from slackloop.site.specification import Part

Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
WEEK: tuple[Weekday, ...] = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


class Programme(Part):
    """The programme of the work."""

    start: IsoDate = Field(description="The first day of work, as 2026-03-09.")
    boxes_a_day: PositiveCount = Field(description="Boxes that the crew finishes in a day.")
    trench_a_day: Length = Field(description="Trench that the crew digs, lays and fills in a day.")
    days: tuple[Weekday, ...] = Field(
        default=("mon", "tue", "wed", "thu", "fri"), min_length=1, description="Days of the week on which work is done."
    )
