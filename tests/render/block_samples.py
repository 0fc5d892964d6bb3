"""One block of every kind, with hostile text in each place that can hold text."""

from __future__ import annotations

from slackloop.document import blocks as b
from slackloop.document.inline import (
    Break,
    Code,
    Emphasis,
    FileTarget,
    Line,
    Link,
    Mark,
    PageTarget,
    Strong,
    Text,
    Value,
    WebTarget,
    line,
)
from slackloop.document.table import Column, Table, cell, one_part

HOSTILE = "<b>&amp;\"' | * _ ` # [x](y) #let $x$ \\ 👷"
SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10" width="10" height="10" font-family="sans-serif">'
    '<path d="M0 0L9 9" stroke="currentColor"/></svg>'
)


def text() -> Line:
    """A line with every inline part."""
    return (
        Text(HOSTILE), Value(HOSTILE), Strong(line(HOSTILE)), Emphasis(line(HOSTILE)), Code(HOSTILE), Break(),
        Mark("mark"), Link(line(HOSTILE), PageTarget("method/sample", "head")),
        Link(line("file"), FileTarget("f.csv")), Link(line("web"), WebTarget("https://example.org/?a=1&b=2")),
    )  # fmt: skip


def prose() -> b.Blocks:
    return (b.Paragraph(line(HOSTILE)),)


def drawing(verdict: str = "") -> b.Drawing:
    return b.Drawing("d", SVG, 10, 10, HOSTILE, HOSTILE, line(HOSTILE), verdict, "3")  # type: ignore[arg-type]


def sign() -> b.Sign:
    return b.Sign("W001", SVG, HOSTILE, line(HOSTILE))


def table() -> Table:
    rows = [(cell(HOSTILE), cell("1")), (cell("x"), cell("2"))]
    return Table(
        "t", HOSTILE, (Column("a", HOSTILE), Column("b", "B", "count")), one_part(rows), ("job",),
        banner=HOSTILE, intro=line(HOSTILE), notes=(line(HOSTILE),), row_anchors=("row-1", "row-2"),
    )  # fmt: skip


def every_block() -> b.Blocks:
    """One of each kind."""
    step = b.Step(
        "10", "step-a", prose(), HOSTILE, (sign(),), prose(), prose(),
        (b.StepCheck("C-A-1", line(HOSTILE), "measure", "hold", PageTarget("method/sample", "head")),), (drawing(),),
    )  # fmt: skip
    fields = tuple(
        b.FormField(f"C-{kind}", line(HOSTILE), kind, "m", 1.5, 2.5, line(HOSTILE))
        for kind in ("number", "soil", "text", "place", "tick", "sign", "photo", "date", "note")
    )  # fmt: skip
    return (
        b.Heading(2, line(HOSTILE), "head"), b.Paragraph(text()), b.Paragraph(line(HOSTILE), "aim"),
        b.Bullets((prose(), prose())), b.Bullets((prose(),), ordered=True, start=4),
        b.Facts((b.Fact(HOSTILE, line(HOSTILE), line(HOSTILE)),)),
        b.Facts((b.Fact(HOSTILE, line(HOSTILE)),), large=True),
        drawing(), b.DrawingRow((drawing("right"), drawing("wrong"))), b.SignRow(HOSTILE, (sign(),)),
        b.Caution(HOSTILE, prose(), sign(), "caution-a"), b.Note("danger", HOSTILE, prose()),
        b.Note("deferral", HOSTILE, prose()), b.Steps((step,)), b.TableBlock(table(), titled=True),
        b.Form(HOSTILE, fields, "form-a"), b.RecordBar(counted=True), b.BoxFinder(),
        b.BoxWay((HOSTILE, PageTarget("index"))),
        b.Doors(((line(HOSTILE), PageTarget("index"), line("x")),)),
        b.Folded(HOSTILE, prose()), b.Quote(prose()), b.CodeBlock(HOSTILE), b.Rule(), b.RawHtml("<p>own</p>"),
    )  # fmt: skip
