"""What else the work takes, as a job file states it: materials by box, device, run and so on."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from slackloop.site.fields import MaterialAmount, NonEmptyText, PositiveCount, Text
from slackloop.site.specification import Part

Per = Literal["box", "device", "electrode", "crossing", "run", "cable end", "reel", "metre", "job"]


class OrderLine(Part):
    """One material of the job's own."""

    title: NonEmptyText = Field(description="What it is called on the order.")
    per: Per = Field(
        description="What it is counted by: box, device, electrode, crossing, run, cable end, reel, metre (of trench) "
        "or job; only what is new counts."
    )
    quantity: MaterialAmount = Field(description="How much for each, as 2, 3 m or 0.05 m3.")
    pack: PositiveCount | None = Field(default=None, description="How many a pack holds.")
    part: Text = Field(default="", description="The order number that the job uses for it.")
