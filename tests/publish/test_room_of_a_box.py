"""What a box takes of the website is the same on a short path and on a long one."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmarks.publish import path_job
from slackloop.handbook.assemble import book_of
from slackloop.handbook.worked import work
from slackloop.publish.schedules import schedule_files
from slackloop.publish.website import build_website


@pytest.mark.slow
def test_thirty_boxes_more_take_the_same_room_from_twenty_on_as_from_fifty_on(tmp_path: Path) -> None:
    def size(boxes: int) -> int:
        book = book_of(work(path_job(boxes, tmp_path)))
        site = tmp_path / str(boxes)
        build_website(book, site, files=schedule_files(book))
        return sum(path.stat().st_size for path in site.rglob("*") if path.is_file())

    small, middle, large = size(20), size(50), size(80)
    assert (large - middle) / (middle - small) == pytest.approx(1.0, abs=0.2)
