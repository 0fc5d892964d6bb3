"""The pages that a handbook has more when it is built with records, and the owner's list of boxes as a file."""

from __future__ import annotations

from dataclasses import dataclass

from slackloop.document.context import Context
from slackloop.document.handover.box_list import BOXES_FILE, MAP_FILE, BoxList
from slackloop.document.handover.built_pages import built_context, built_path_page, differences_page
from slackloop.document.handover.owner_pages import boxes_page, handover_page
from slackloop.document.handover.progress import progress_page
from slackloop.document.handover.year_page import year_page
from slackloop.document.inserts import Inserts
from slackloop.document.page import BookPart, Page
from slackloop.document.table import Table

PART: tuple[BookPart, str] = ("handover", "Part 4. Handover")


@dataclass(frozen=True)
class HandoverPart:
    """The pages of progress and of the owner, and the list of boxes; ``files`` lie beside the pages."""

    pages: tuple[Page, ...] = ()
    boxes: Table | None = None
    files: tuple[str, ...] = ()


NO_HANDOVER = HandoverPart()


def handover_part(context: Context, inserts: Inserts) -> HandoverPart:
    """What records add to a handbook; nothing without records."""
    recorded = context.recorded
    if recorded is None:
        return NO_HANDOVER
    built = built_context(context, recorded)
    box_list = BoxList(context, built, recorded)
    boxes, highest = box_list.table(), max(high for _, high in box_list.bands.values())
    pages = (
        progress_page(context, recorded), handover_page(context, built, recorded), built_path_page(built, recorded),
        boxes_page(boxes), year_page(built, inserts, highest),
        differences_page(context, built, recorded),
    )  # fmt: skip
    files = (BOXES_FILE, MAP_FILE) if recorded.as_built.lon_lat else (BOXES_FILE,)
    return HandoverPart(pages, boxes, files)
