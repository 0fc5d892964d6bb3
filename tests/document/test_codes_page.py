"""The page that explains each code of a finding, and the way to it from the findings."""

from __future__ import annotations

from book_samples import demonstration
from slackloop.document.blocks import CodeBlock, Heading, Paragraph
from slackloop.document.inline import PageTarget, plain
from slackloop.document.page import Page
from slackloop.document.pages.codes_page import PAGE
from slackloop.document.walk import targets, walk
from slackloop.render.html.page import page_html
from slackloop.source.codes import Sample, codes
from slackloop.source.finding import harmless


def page_of(name: str) -> Page:
    return next(page for page in demonstration().pages if page.id == name)


def explained() -> dict[str, list[str]]:
    """What the page says under each of its headings of the third level."""
    found: dict[str, list[str]] = {}
    told: list[str] = []
    for block in walk(page_of(PAGE).blocks):
        if isinstance(block, Heading):
            told = found.setdefault(block.anchor, []) if block.level == 3 else []
        elif isinstance(block, Paragraph):
            told.append(plain(block.line))
        elif isinstance(block, CodeBlock):
            told.append(block.text)
    return found


def test_each_code_is_explained_with_its_level_mend_and_sample() -> None:
    found = explained()
    assert list(found) == list(codes())
    for code in codes().values():
        first, *_, mend, sample = found[code.code]
        assert first.casefold().startswith(code.levels[0])
        assert first.endswith(code.means.replace("`", ""))
        assert mend == f"What to do: {code.mend.replace('`', '')}"
        if code.sample.change and not (code.sample.many[0] or code.sample.section):
            put_in = [line[2:] for line in sample.splitlines() if line.startswith("+ ")]
            taken_out = [line[2:] for line in sample.splitlines() if line.startswith("- ")]
            assert put_in or taken_out, code.code
            both = (code.sample, Sample())
            whole, good = ([harmless(line) for line in each.job_text().splitlines()] for each in both)
            assert all(line in whole for line in put_in), code.code
            assert all(line in good for line in taken_out), code.code
    assert found["volts-low"][1].startswith("While a job has this error, do not build from: Boxes, Solenoids")
    assert "+   volts: 22 V" in found["volts-low"][-1]


def test_a_sample_is_text_and_nothing_else() -> None:
    html = str(page_html(page_of(PAGE)))
    assert "<script" not in html
    raw = [each for each in explained().values() if "<" in each[-1]]
    assert raw, "no sample holds a tag: this test looks at nothing"
    for *_, sample in raw:
        start = sample.index("<")
        assert sample[start : start + 8] not in html


def test_each_finding_leads_to_its_code() -> None:
    book = demonstration()
    led = {each.anchor for each in targets(page_of("design/findings").blocks)
           if isinstance(each, PageTarget) and each.page == PAGE}  # fmt: skip
    assert led == {each.code for each in book.context.findings}
    assert led


def test_it_is_for_the_screen_alone() -> None:
    assert not page_of(PAGE).paper
    assert page_of(PAGE).part == "document"
