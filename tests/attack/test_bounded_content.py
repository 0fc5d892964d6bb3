"""A firm's content is bounded before it is read and while it is rendered, and nothing of it is passed over unsaid."""

from __future__ import annotations

import dataclasses
import os
from pathlib import Path

import pytest

from attack.runs import BASE, REPOSITORY, answer
from samples import DEMO
from slackloop.document.context import Context
from slackloop.document.tables.registry import known
from slackloop.document.worked import work
from slackloop.sections.checker import check_content
from slackloop.sections.content import read_content
from slackloop.sections.raw_html import tags_as_text
from slackloop.sections.template import MOST_CHARACTERS, Renderer, template_findings
from slackloop.sections.values import CableView
from slackloop.site.reader import read_job
from slackloop.source.source_file import LARGEST_BYTES, read_source

OURS = REPOSITORY / "content"
NAME = "trouble/wet-reel-end.md"
GOOD = (OURS / NAME).read_text(encoding="utf-8")


def firm(folder: Path, text: str = GOOD, name: str = NAME) -> Path:
    """A folder with a job and one content file of the firm's own."""
    place = folder / "content" / name
    place.parent.mkdir(parents=True)
    place.write_text(text, encoding="utf-8")
    (folder / "job.yml").write_text(BASE, encoding="utf-8")
    return folder


REFUSED_TEMPLATES = {
    "a list": ("{{ v.cables }}", "value-is-list"),
    "all values": ("{{ v }}", "value-unknown"),
    "an item of a list": ("{% for c in v.cables %}{{ c }}{% endfor %}", "value-unknown"),
    "letters of a text": ("{% for c in v.number %}{{ c.title }}{% endfor %}", "value-unknown"),
    "a loop in place of v": ("{% for v in v.cables %}{{ v.title }}{% endfor %}", "template-not-allowed"),
    "an item out of its loop": ("{% for c in v.cables %}{% endfor %}{{ c.title }}", "value-unknown"),
    "one variable twice": (
        "{% for c in v.cables %}{% for c in v.devices %}{{ c.leads }}{% endfor %}{% endfor %}", "template-not-allowed",
    ),
    "eight loops": ("{% for a in v.cables %}" * 8 + "{% endfor %}" * 8, "template-not-allowed"),
    "deep brackets": ("{{ " + "(" * 5_000 + "v" + ")" * 5_000 + " }}", "template-not-allowed"),
    "an item called otherwise in two loops": (
        "{% for a in v.cables %}{% for b in v.devices %}{{ b.conductor }}{% endfor %}{% endfor %}", "value-unknown",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("text", "code"), REFUSED_TEMPLATES.values(), ids=REFUSED_TEMPLATES)
def test_check_refuses_what_a_build_could_not_show(text: str, code: str) -> None:
    assert [each.code for each in template_findings(text, "a.md", 1)][:1] == [code]


def test_eight_loops_are_told_at_their_line_by_check(tmp_path: Path) -> None:
    looped = "".join(f"{{% for a{n} in v.cables %}}" for n in range(8)) + "x" * 100 + "{% endfor %}" * 8
    outcome = answer("check", "job.yml", cwd=firm(tmp_path, f"{GOOD}\n{looped}\n"))
    assert outcome.status == 2
    assert f"{NAME}:{GOOD.count(chr(10)) + 2}:" in outcome.told


def test_the_work_and_the_room_of_a_text_are_bounded() -> None:
    worked = work(DEMO)
    content = read_content(OURS)
    values = Context(worked.job, worked.analysis, worked.tables, content, worked.reading).values
    many = CableView("", "", "", "", "", "", "", "", "")
    long = CableView("", "x" * (MOST_CHARACTERS // 2), "", "", "", "", "", "", "")
    busy = Renderer(dataclasses.replace(values, cables=(many,) * 400))
    twice = "{% for a in v.cables %}{% for b in v.cables %}{% endfor %}{% endfor %}"
    assert busy.render(twice, "a.md", 3) == ""
    assert [(each.line, each.code) for each in busy.findings] == [(3, "template-failed")]
    assert "160,400 turns" in busy.findings[0].message
    large = Renderer(dataclasses.replace(values, cables=(long,) * 3))
    assert large.render("{% for a in v.cables %}{{ a.title }}{% endfor %}", "a.md", 4) == ""
    assert "characters" in large.findings[0].message


NOT_PLAIN = {"a pipe": lambda path: os.mkfifo(path), "a device": lambda path: path.symlink_to("/dev/zero"),
             "six gigabytes": lambda path: (path.touch(), os.truncate(path, 6_000_000_000))}  # fmt: skip


@pytest.mark.parametrize("make", NOT_PLAIN.values(), ids=NOT_PLAIN)
@pytest.mark.parametrize("name", [NAME, "words/tools.yml"])
def test_a_content_file_is_looked_at_before_it_is_read(tmp_path: Path, name: str, make) -> None:  # type: ignore[no-untyped-def]
    firm(tmp_path, name=name)
    (tmp_path / "content" / name).unlink()
    make(tmp_path / "content" / name)
    outcome = answer("check", "job.yml", cwd=tmp_path)
    assert outcome.status == 2
    assert f"content/{name}:1:1" in outcome.told
    assert "file-unreadable" in outcome.told or "file-too-large" in outcome.told


@pytest.mark.parametrize("make", NOT_PLAIN.values(), ids=NOT_PLAIN)
def test_a_job_or_a_standard_is_looked_at_before_it_is_read(tmp_path: Path, make) -> None:  # type: ignore[no-untyped-def]
    make(tmp_path / "house.yml")
    source, (finding,) = read_source(tmp_path / "house.yml", "house.yml")
    assert source is None
    assert finding.code in ("file-unreadable", "file-too-large")
    (tmp_path / "job.yml").write_text(BASE + "standard: house.yml\n", encoding="utf-8")
    codes = {"file-unreadable", "file-too-large", "standard-missing", "standard-outside"}
    assert codes & {each.code for each in read_job(tmp_path / "job.yml").findings}
    assert LARGEST_BYTES < 6_000_000_000


MISNAMED = {
    "content/metod/wet-reel-end.md": "did you mean method",
    "content/words/tool.yml": "did you mean tools.yml",
    "content/Words/tools.yml": "did you mean words",
    "content/trouble/wet-reel-end.markdown": "did you mean wet-reel-end.md",
    "content/trouble/wet-reel-end.MD": "did you mean wet-reel-end.md",
}


@pytest.mark.parametrize(("name", "hint"), MISNAMED.items(), ids=MISNAMED)
def test_a_misnamed_folder_or_file_is_an_error_with_the_near_name(tmp_path: Path, name: str, hint: str) -> None:
    outcome = answer("check", "job.yml", cwd=firm(tmp_path, name=name.removeprefix("content/")))
    assert outcome.status == 2
    assert "content-not-read" in outcome.told
    assert hint in outcome.told


def test_what_is_nobodys_section_is_told_or_left(tmp_path: Path) -> None:
    firm(tmp_path, name="notes/plan.txt")
    (tmp_path / "content" / ".DS_Store").write_bytes(b"\x00")
    (tmp_path / "content" / "trouble").mkdir()
    (tmp_path / "content" / "trouble" / "wet-reel-ends.md").write_text(
        GOOD.replace("id: wet-reel-end", "id: wet-reel-ends"), encoding="utf-8"
    )
    found = {(each.file, each.code, each.level) for each in read_content(OURS, tmp_path / "content").findings}
    assert ("notes", "content-not-read", "warning") in found
    assert ("trouble/wet-reel-ends.md", "content-name-near", "warning") in found
    assert not [each for each in found if ".DS_Store" in each[0]]


def test_a_tag_is_text_unless_the_section_allows_it(tmp_path: Path) -> None:
    assert tags_as_text("a <b>x</b> <!-- y --> `<i>` 3 < 4") == "a &lt;b>x&lt;/b> &lt;!-- y --> `<i>` 3 < 4"
    worked = work(DEMO)
    context = Context(worked.job, worked.analysis, worked.tables, read_content(OURS), worked.reading)
    assert Renderer(context.values).render("<b>{{ v.number }}</b>", "a.md", 1).startswith("&lt;b>")
    assert Renderer(context.values, frozenset({"a.md"})).render("<b>x</b>", "a.md", 1) == "<b>x</b>"


LOADS = [
    "<script>x</script>", "<img src='http://e.example/a.png'>", "<img src=a.png>", "<p onclick='x()'>a</p>",
    "<p style='background:url(//e.example)'>a</p>", "<iframe></iframe>", "<a href='javascript:x()'>a</a>",
    "<svg><image href='a.png'/></svg>", "<svg><use xlink:href='//e.example/a#b'/></svg>",
    "<rect fill='url(//e.example/a)'/>", "<link rel=stylesheet href=a.css>", "text{: style='color:red' }",
    "text{: onmouseover='x()' }", "[a]: http://e.example/a.png",
]  # fmt: skip


@pytest.mark.parametrize("text", LOADS)
def test_raw_html_that_loads_runs_or_sends_is_refused(tmp_path: Path, text: str) -> None:
    allowed = GOOD.replace("id: wet-reel-end", "id: wet-reel-end\nraw_html: true", 1)
    firm(tmp_path, f"{allowed}\n{text}\n")
    found = check_content(read_content(OURS, tmp_path / "content"), known(work(DEMO).tables))
    assert sorted({each.line for each in found if each.code == "html-loads"}) == [allowed.count("\n") + 2]


def test_plain_raw_html_is_allowed_where_the_section_says_so(tmp_path: Path) -> None:
    harmless = "<p class='note'>Keep <b>clear</b>. <a href='#checks'>Checks</a></p>"
    allowed = GOOD.replace("id: wet-reel-end", "id: wet-reel-end\nraw_html: true", 1)
    firm(tmp_path, f"{allowed}\n{harmless}\n")
    found = check_content(read_content(OURS, tmp_path / "content"), known(work(DEMO).tables))
    assert not [each for each in found if each.code.startswith("html")]
    plain = check_content(read_content(OURS, firm(tmp_path / "b", f"{GOOD}\n{harmless}\n") / "content"),
                          known(work(DEMO).tables))  # fmt: skip
    assert [(each.code, each.level) for each in plain if each.code.startswith("html")] == [("html-as-text", "warning")]


def test_a_section_in_the_folder_of_another_part_is_told_its_place(tmp_path: Path) -> None:
    """It would be added beside the standing section, and the crew would read both."""
    for folder, text in (("method", GOOD.replace("part: trouble", "part: method")), ("safety", GOOD)):
        where = tmp_path / folder
        where.mkdir()
        (where / "nicked-core.md").write_text(text.replace("wet-reel-end", "nicked-core"), encoding="utf-8")
    found = [(each.file, each.code) for each in read_content(OURS, tmp_path).findings]
    assert found == [
        ("method/nicked-core.md", "content-not-read"),
        ("safety/nicked-core.md", "content-not-read"),
        ("safety/nicked-core.md", "part-not-folder"),
    ]


def test_a_firm_replaces_a_section_of_any_part(tmp_path: Path) -> None:
    (tmp_path / "trouble").mkdir()
    standing = (OURS / "trouble" / "nicked-core.md").read_text(encoding="utf-8")
    own = standing.replace("Any nick counts.", "Any nick at all.")
    (tmp_path / "trouble" / "nicked-core.md").write_text(own, encoding="utf-8")
    content = read_content(OURS, tmp_path)
    assert content.findings == ()
    (section,) = [each for each in content.part("trouble") if each.front.id == "nicked-core"]
    assert (section.ours, section.overrides) == (False, True)
