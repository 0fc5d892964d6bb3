"""The id of the page of each box."""

from __future__ import annotations

from slackloop.sections.addresses import slug

LIST_PAGE = "boxes/all"


def box_page_id(box_id: str) -> str:
    """The id of the page of a box."""
    return f"boxes/{slug(box_id)}"
