"""Where a check is done, in words, with a link to the first box whose record has it."""

from __future__ import annotations

from slackloop.handbook.addresses import box_uri, relative
from slackloop.handbook.due_boxes import ON_RUNS
from slackloop.handbook.material import Material, with_condition
from slackloop.handbook.section import Check
from slackloop.handbook.section_words import WHERE_WORDS
from slackloop.handbook.text import Trusted, join, link, trusted

RECORDS = dict.fromkeys(ON_RUNS, "checks-run")
"""The part of a box's page that holds a check; ``checks-box`` for all others."""


def place_of_check(material: Material, check: Check, page: str) -> Trusted:
    """``Each box with a device, first B01``, as it stands on the page ``page``; no link where no box has the check."""
    words = WHERE_WORDS[check.where]
    box = material.first_box(check.where)
    if box:
        record = relative(f"{box_uri(box)}#{RECORDS.get(check.where, 'checks-box')}", page)
        words = f"{words}, first {link(box, record)}"
    rings = [link(run, relative(f"{box_uri(run)}#checks-run", page)) for run in material.ring_runs(check)]
    if rings:
        words += f"; ring {'run' if len(rings) == 1 else 'runs'} {join(rings)}"
    return with_condition(material, trusted(words), check.applies)
