"""Large job files: the work of reading grows evenly, findings stay few, and too much is refused."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from job.refusal_samples import BASE, write
from shared import short
from slackloop.site.reader import read_job
from work_count import growth


def big(boxes: int) -> str:
    head = BASE[: BASE.index("  boxes:\n")]
    rows = [
        f"    - {{id: B{i}, from: {f'B{i - 1}' if i else 'controller'}, run: {40 + i % 50} m, surface: lawn, "
        f"device: twin, stations: [{2 * i + 1}, {2 * i + 2}]}}\n"
        for i in range(boxes)
    ]
    return head + "  boxes:\n" + "".join(rows)


def test_the_work_of_reading_grows_with_the_boxes_and_no_faster(tmp_path: Path) -> None:
    def reading_of(boxes: int) -> Callable[[], object]:
        path = tmp_path / f"{boxes}.yml"
        path.write_text(big(boxes), encoding="utf-8")
        assert read_job(path).job is not None
        return lambda: read_job(path)

    assert growth(reading_of, 50, times=4) < 4.5


def wrong(boxes: int) -> str:
    return big(boxes).replace("device: twin", "device: twim").replace(" m, surface", ", surface")


def test_the_work_of_refusing_grows_with_the_boxes_and_no_faster(tmp_path: Path) -> None:
    def reading_of(boxes: int) -> Callable[[], object]:
        path = tmp_path / f"{boxes}.yml"
        path.write_text(wrong(boxes), encoding="utf-8")
        return lambda: read_job(path)

    assert growth(reading_of, 200, times=4) < 5


@pytest.mark.parametrize("boxes", short([2_000, 10_000], 2_000))
def test_findings_of_thousands_of_wrong_boxes_are_few(boxes: int, tmp_path: Path) -> None:
    reading = read_job(write(tmp_path, wrong(boxes)))
    assert reading.job is None
    assert len(reading.findings) == 200
    left_out = [f for f in reading.findings if f.code == "findings-left-out"]
    assert [(f.level, f.message) for f in left_out] == [("note", "only 199 findings are shown; correct these first")]


@pytest.mark.parametrize("item", short(["a", "{}", "[]", "{a: 1}"], "a", "{a: 1}"))
def test_a_list_of_a_million_items_is_refused_before_it_takes_the_memory(tmp_path: Path, item: str) -> None:
    """Each wrong item costs more than a kilobyte where it is told, and two hundred are enough."""
    head = BASE[: BASE.index("  boxes:\n")]
    path = write(tmp_path, f"{head}  boxes: [" + f"{item}, " * 900_000 + f"{item}]\n")
    assert [finding.code for finding in read_job(path).findings] == ["file-too-many-values"]


@pytest.mark.parametrize("boxes", short([4_000, 20_000], 4_000))
def test_thousands_of_boxes_are_read(boxes: int, tmp_path: Path) -> None:
    assert read_job(write(tmp_path, big(boxes))).job is not None
