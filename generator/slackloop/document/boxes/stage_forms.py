"""The stages of a box as forms: values with their limits, ticks, what is seen, holds, and the signature."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Literal

from slackloop.document.blocks import Form, FormField
from slackloop.document.boxes.stage_work import Entry, Said, SoilBand, StageWork
from slackloop.document.inline import Break, Inline, Line, line, link, strong
from slackloop.document.target import PageTarget

TAGS = {"HOLD": "Hold. ", "WITNESS": "Witness. ", "": ""}


def stage_forms(works: Iterable[StageWork]) -> tuple[Form, ...]:
    """A form for each stage."""
    return tuple(_form(work) for work in works)


def _form(work: StageWork) -> Form:
    fields = (*_entries(work), *(_tick(each) for each in work.ticks), *_signatures(work))
    return Form(
        work.title, fields, f"stage-{work.id}", _about(work), _bands(work.bands), _seen(work.seen), work.codes
    )  # fmt: skip


def _about(work: StageWork) -> Line:
    """What the stage is about, and one link to the section that says how."""
    return line(work.about, " " if work.about else "", link("How", PageTarget(work.section)))


def _entries(work: StageWork) -> Iterator[FormField]:
    """The values with their limits; those that go by the soil temperature are told before the fields."""
    for each in work.entries:
        kind: Literal["number", "text"] = "text" if each.kind == "text" else "number"
        label = line(strong(TAGS[each.tag]), each.label) if each.tag else line(each.label)
        yield FormField(each.ids[0], label, kind, each.unit, each.least, each.most, _limit(each))


def _limit(each: Entry) -> Line:
    return line(strong(each.limit), f" {each.after}" if each.after else "") if each.limit else line(each.after)


def _bands(bands: Iterable[SoilBand]) -> Line:
    """The loop limits, a line for each soil temperature."""
    parts: list[str | Inline | Line] = []
    for each in bands:
        parts += [Break()] if parts else []
        parts += [f"Soil {each.soil}: ", strong(each.passes), f", about {each.about}"]
    return line(*parts)


def _tick(said: Said) -> FormField:
    return FormField(said.id, line(strong(TAGS[said.tag]), said.text) if said.tag else line(said.text), "tick")


def _seen(seen: tuple[Said, ...]) -> Line:
    parts: list[str | Inline | Line] = []
    for each in seen:
        parts.append("; " if parts else "Seen: ")
        parts.append(each.text)
        if each.tag:
            parts += [" ", strong(each.tag.lower())]
    return line(*parts, ".") if parts else ()


def _signatures(work: StageWork) -> Iterator[FormField]:
    """The signature of the stage, then one for each hold."""
    yield FormField(f"sign-{work.id}", line("Signed by"), "sign")
    for each in work.holds:
        yield FormField(each.id, line(strong("Hold, do not fill. "), each.text), "sign")
