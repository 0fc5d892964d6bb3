"""Blocks as HTML, one function a kind; nothing here decides what a page says."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from typing import Any

from markupsafe import Markup, escape

from slackloop.document import blocks as b
from slackloop.document.inline import line
from slackloop.document.pages.section_lead import lower_first
from slackloop.language.messages import said
from slackloop.render.html.inline import (
    Place,
    doors_html,
    finder_html,
    has_only_links,
    line_html,
    tag,
    together,
    way_html,
)
from slackloop.render.html.tables import bar_html, form_html, table_html

PARAGRAPH_CLASS = {
    "text": "", "lead": "lead", "aim": "aim", "small": "small", "source": "table-source", "screen": "small",
    "caution": "caution",
}  # fmt: skip
NOTE_WORD = {"note": "", "warning": "Look into this", "danger": "Not good", "deferral": "Comes first", "own": ""}
STOP_WORD = "Stop if"
MOST_NAMED = 4
"""Pictures in a row that have room for their words under them; the words of more stand on a line of their own."""
HOLD_WORD = {"hold": "Hold point", "witness": "Witness point"}


def blocks_html(blocks: Sequence[b.Block], place: Place) -> Markup:
    """Blocks one after another."""
    return together([block_html(block, place) for block in blocks])


def block_html(block: b.Block, place: Place) -> Markup:
    """One block."""
    return _WRITERS[type(block)](block, place)


def _heading(block: b.Heading, place: Place) -> Markup:
    way = tag("a", "¶", class_="headerlink", href=f"#{block.anchor}", title=said("Link to this place"))
    return tag(f"h{block.level}", line_html(block.line, place), way, id=block.anchor)


def _paragraph(block: b.Paragraph, place: Place) -> Markup:
    if block.role == "bring":  # one line on a phone, opened by a tap
        return tag("details", tag("summary", tag("span", line_html(block.line, place))), class_="bring")
    lone = "lone" if has_only_links(block.line) else ""
    return tag("p", line_html(block.line, place), class_=f"{PARAGRAPH_CLASS[block.role]} {lone}".strip())


def _bullets(block: b.Bullets, place: Place) -> Markup:
    items = [tag("li", _tight(item, place)) for item in block.items]
    return tag("ol", *items, start=block.start if block.start != 1 else None) if block.ordered else tag("ul", *items)


def _tight(blocks: Sequence[b.Block], place: Place) -> Markup:
    """A lone paragraph stands in its item without room around it."""
    if len(blocks) == 1 and isinstance(blocks[0], b.Paragraph):
        return line_html(blocks[0].line, place)
    return blocks_html(blocks, place)


def _facts(block: b.Facts, place: Place) -> Markup:
    pairs = [
        tag(
            "div",
            tag("dt", fact.label),
            tag("dd", line_html(fact.value, place)),
            tag("dd", line_html(fact.more, place), class_="more") if fact.more else Markup(""),
        )
        for fact in block.facts
    ]
    return tag("dl", *pairs, class_="facts large" if block.large else "facts")


def _drawing(block: b.Drawing, place: Place) -> Markup:
    if block.on == "paper":
        return Markup("")
    word = said({"right": "Right. ", "wrong": "Wrong. "}.get(block.verdict, ""))
    caption = line_html(block.caption or line(block.title), place)
    mark = tag("span", block.step, class_="step-of") if block.step else Markup("")
    shown = tag("figcaption", tag("strong", word) if word else Markup(""), caption)
    spots = json.dumps(block.spots) if block.spots else ""
    return tag("figure", mark, Markup(block.svg), shown, class_=f"drawing {block.verdict}".strip(), data_spots=spots)


def _drawing_row(block: b.DrawingRow, place: Place) -> Markup:
    return tag("div", *(_drawing(each, place) for each in block.drawings), class_="drawing-row")


def _sign(sign: b.Sign, place: Place, *, small: bool = False) -> Markup:
    if small:
        return tag("span", Markup(sign.svg), class_="sign small", role="img", aria_label=sign.words)
    more = tag("span", line_html(sign.more, place), class_="more") if sign.more else Markup("")
    picture = tag("span", Markup(sign.svg), class_="sign") if sign.svg else Markup("")
    return tag("li", picture, tag("span", sign.words, class_="words"), more)


def _sign_row(block: b.SignRow, place: Place) -> Markup:
    signs = [_sign(sign, place) for sign in block.signs]
    row = tag("p", block.title, class_="row-title"), tag("ul", *signs, class_="signs")
    if len(signs) <= MOST_NAMED:
        return tag("div", *row, class_="sign-row")
    first, *others = (sign.words for sign in block.signs)
    names = tag("p", ", ".join([first, *map(lower_first, others)]), class_="worn", aria_hidden="true")
    return together([tag("div", *row, class_="sign-row many"), names])


def _caution(block: b.Caution, place: Place) -> Markup:
    sign = tag("span", Markup(block.sign.svg), class_="sign") if block.sign else Markup("")
    title = tag("p", tag("span", f"{said('Caution')}: ", class_="box-kind"), block.title, class_="box-title")
    return tag(
        "div", sign, tag("div", title, blocks_html(block.blocks, place)), class_="box caution", role="note",
        id=block.anchor,
    )  # fmt: skip


def _note(block: b.Note, place: Place) -> Markup:
    word = said(NOTE_WORD[block.kind])
    if block.kind == "deferral":  # who decides is told in the title; a tap tells what
        title = tag("summary", tag("span", tag("strong", f"{word}: "), block.title))
        return tag("details", title, blocks_html(block.blocks, place), class_="folded lead deferral")
    kind = tag("span", f"{word}: " if block.title else word, class_="box-kind") if word else Markup("")
    title = tag("p", kind, block.title, class_="box-title") if word or block.title else Markup("")
    return tag("div", title, blocks_html(block.blocks, place), class_=f"box {block.kind}", role="note")


def _steps(block: b.Steps, place: Place) -> Markup:
    return tag("ol", *(_step(step, place) for step in block.steps), class_="steps")


def _step(step: b.Step, place: Place) -> Markup:
    signs = [_sign(sign, place, small=True) for sign in step.signs]
    only = tag("p", step.only_where, class_="only-where") if step.only_where else Markup("")
    action = tag("div", only, blocks_html(step.blocks, place), class_="action")
    beside = [_beside("why", said("Why"), step.why, place), _beside("stop", said(STOP_WORD), step.stop, place)]
    checks = [_step_check(check, place) for check in step.checks]
    drawn = tag("div", *(_drawing(each, place) for each in step.drawings), class_="drawing-row")
    return tag(
        "li",
        tag("div", tag("span", step.number, class_="step-number"), *signs, class_="step-mark"),
        tag("div", action, *beside, *checks, drawn if step.drawings else Markup(""), class_="step-body"),
        id=step.anchor,
    )


def _beside(kind: str, word: str, blocks: b.Blocks, place: Place) -> Markup:
    if not blocks:
        return Markup("")
    first, *rest = blocks
    if isinstance(first, b.Paragraph):
        opened = tag("p", tag("strong", word), " ", line_html(first.line, place))
        return tag("div", opened, blocks_html(rest, place), class_=f"beside {kind}")
    return tag("div", tag("p", tag("strong", word)), blocks_html(blocks, place), class_=f"beside {kind}")


def _step_check(check: b.StepCheck, place: Place) -> Markup:
    hold = tag("strong", said(HOLD_WORD[check.hold]), class_="hold") if check.hold != "none" else Markup("")
    name: Markup = tag("span", check.id, class_="check-id")
    if check.target:
        name = tag("a", check.id, href=place.address(check.target), class_="check-id")
    mark = tag("span", class_=f"mark {check.record}", aria_hidden="true")
    return tag("p", mark, tag("span", line_html(check.line, place), class_="check-text"), hold, name, class_="check")


def _table(block: b.TableBlock, place: Place) -> Markup:
    if block.on == "paper":
        return Markup("")
    shown = table_html(block.table, place, titled=block.titled, sourced=block.sourced, folded=block.folded)
    if block.full is None:
        return shown
    way = tag("a", said(f"Whole table: {block.table.title}"), href=place.address(block.full))
    return together([shown, tag("p", way)])


def _folded(block: b.Folded, place: Place) -> Markup:
    """A heading that begins what is folded gives its name to the whole."""
    first, *rest = block.blocks
    title = tag("summary", block.title)
    if block.bare and isinstance(first, b.Heading):
        return tag("details", title, blocks_html(rest, place), id=first.anchor, class_="folded lead")
    return tag("details", title, blocks_html(block.blocks, place), class_="folded lead" if block.bare else "folded")


def _quote(block: b.Quote, place: Place) -> Markup:
    return tag("blockquote", blocks_html(block.blocks, place))


def _code(block: b.CodeBlock, place: Place) -> Markup:
    return tag("pre", tag("code", escape(block.text)))


def _rule(block: b.Rule, place: Place) -> Markup:
    return tag("hr")


def _raw(block: b.RawHtml, place: Place) -> Markup:
    return Markup(block.html)


_WRITERS: dict[type[Any], Callable[[Any, Place], Markup]] = {
    b.Heading: _heading,
    b.Paragraph: _paragraph,
    b.Bullets: _bullets,
    b.Facts: _facts,
    b.Drawing: _drawing,
    b.DrawingRow: _drawing_row,
    b.SignRow: _sign_row,
    b.Caution: _caution,
    b.Note: _note,
    b.Steps: _steps,
    b.TableBlock: _table,
    b.Form: form_html,
    b.RecordBar: bar_html,
    b.BoxFinder: finder_html,
    b.BoxWay: way_html,
    b.Doors: doors_html,
    b.Folded: _folded,
    b.Quote: _quote,
    b.CodeBlock: _code,
    b.Rule: _rule,
    b.RawHtml: _raw,
}
