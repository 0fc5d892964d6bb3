"""The sheet of a day: what is dug, what is loaded for its boxes, which holds come up, which ends are capped."""

from __future__ import annotations

import re
from pathlib import Path

from slackloop.document.pages.day_sheets import _boxes, day_sections, day_sheets
from slackloop.document.walk import words
from slackloop.document.worked import work
from slackloop.pipeline.handbook_folder import context_of

RETROFIT = Path(__file__).parents[1] / "job" / "retrofit.yml"
PROGRAMME = "programme: {start: 2026-05-04, boxes_a_day: 3, trench_a_day: 90 m}\npath:\n"


def test_the_first_day_joins_the_old_path_and_caps_what_is_begun(tmp_path: Path) -> None:
    """Runs of 40 m from an existing box: two and a quarter a day; two boxes with a device and six connectors each."""
    path = tmp_path / "job.yml"
    path.write_text(RETROFIT.read_text(encoding="utf-8").replace("path:\n", PROGRAMME, 1), encoding="utf-8")
    pages = day_sheets(context_of(work(path)))
    assert [page.id for page in pages] == [f"sheets/day-2026-05-{day:02d}" for day in (4, 5, 6)]
    told = " ".join(words(pages[0].blocks).split())
    assert pages[0].title == "Day 1: Monday 2026-05-04"
    assert "129.0 m" in told, "three runs with the slack of both ends are pulled"
    assert "2 × Two-output decoder" in told
    assert "14 × Gel-filled sealed connector" in told, "two for the old box, six for each new one"
    assert "C-OLD-1 Old path proved before it is joined: B2" in told
    assert "Cap the cable end of run N3" in told


def test_a_day_lists_the_tools_of_its_own_sections_alone(tmp_path: Path) -> None:
    """Tools for a splice stand on a day that finishes a box, and not on one that only digs; each is named once."""
    path = tmp_path / "job.yml"
    slow = PROGRAMME.replace("90 m", "25 m")
    path.write_text(RETROFIT.read_text(encoding="utf-8").replace("path:\n", slow, 1), encoding="utf-8")
    context = context_of(work(path))
    tools = context.content.words.tools
    (splice,) = [each for each in context.sections if each.section.front.id == "waterproof-splice"]
    for plan, page in zip(context.analysis.days, day_sheets(context), strict=True):
        boxes = _boxes(context, plan)
        told = " ".join(words(page.blocks).split())
        due = {each.section.front.id for each in day_sections(context, plan, boxes)}
        assert ("waterproof-splice" in due) == bool(boxes), page.title
        named = {name for each in day_sections(context, plan, boxes) for name in each.named("tools")}
        (line,) = re.findall(r"Tools: (.*?)To wear", told)
        for name in tools:
            assert name not in named or tools[name].name in line, (page.title, name)
        assert "of each section" not in told
    digging = [plan for plan in context.analysis.days if not _boxes(context, plan)]
    assert digging, "a day that only digs"
    only = set(splice.named("tools")) - {
        name for each in day_sections(context, digging[0], ()) for name in each.named("tools")
    }
    assert only, "a splice takes a tool that digging does not"


def test_without_a_programme_there_is_no_sheet() -> None:
    assert day_sheets(context_of(work(RETROFIT))) == ()
