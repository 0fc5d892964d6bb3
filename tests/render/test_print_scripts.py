"""Any script and any sign is printed, in text and in drawings, or replaced and told; never refused."""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path

import pytest
import typst
from hypothesis import given, settings
from hypothesis import strategies as st

from book_samples import book_of
from pdf_text import texts_of
from samples import job_text
from slackloop.pipeline.editions import Copy, printed_parts
from slackloop.pipeline.handbook_folder import cover_of, document_time
from slackloop.render.typst.print_fonts import clusters, print_fonts
from slackloop.render.typst.print_glyphs import glyphs_for, outline_labels, print_svg
from slackloop.render.typst.print_text import literal

PRINTED = {
    "warning sign with selector": "Pump ⚠️ well",
    "tick with selector": "✔️ checked",
    "Hindi": "नियंत्रण वाल्व क्षेत्र",
    "Arabic with vowels": "مُحَمَّدٌ",
    "Vietnamese, decomposed": unicodedata.normalize("NFD", "Cấp nước đường"),
    "family of three": "a 👨\u200d👩\u200d👧 b",
    "flag": "🇬🇧",
    "key cap": "1\ufe0f\u20e3",
    "skin tone": "👍🏽",
    "Thai": "น้ำ",
    "Hebrew with vowels": "שָׁלוֹם",
    "Tamil": "நீர் வால்வு",
    "Cyrillic": "Клапан й",
    "Greek": "βαλβίδα",
    "joiner alone": "a\u200db",
}
REPLACED = {"Chinese": "中文", "unassigned": "x\U0001fbffy", "private use": "a\ue000b", "turned": "\u202eevil\u202c"}


def archived(text: str) -> list[str]:
    """Warnings of printing ``text`` in a line and in a drawing; Typst refuses an archival PDF with a glyph amiss."""
    glyphs, warnings = glyphs_for({"page": [text]}, print_fonts(), "printed handbook")
    shown = glyphs.shown(text)
    marked = re.sub(r"[&<>]", "", text)
    label = f'<text x="45" y="20" font-size="12" text-anchor="middle" font-family="sans-serif">{marked}</text>'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 90 40">{label}</svg>'
    drawn = outline_labels(glyphs.shown(print_svg(svg)))
    families = "".join(literal(name) + "," for name in print_fonts().families)
    source = f'#set document(title:"t")\n#set text(font:({families}))\n#{literal(shown)}\n#image("a.svg",alt:"a")\n'
    files = {"main.typ": source.encode(), "a.svg": drawn.encode("utf-8", "replace")}
    compiler = typst.Compiler(input=files, font_paths=print_fonts().loaded)
    assert compiler.compile(format="pdf", pdf_standards=["a-3a"])
    return [finding.message for finding in warnings]


@pytest.mark.parametrize("text", PRINTED.values(), ids=PRINTED)
def test_a_text_of_any_script_is_printed_as_it_stands(text: str) -> None:
    assert archived(text) == []


@pytest.mark.parametrize("text", REPLACED.values(), ids=REPLACED)
def test_what_no_font_has_is_replaced_and_told(text: str) -> None:
    (told,) = archived(text)
    odd = next(character for character in text if not character.isascii())
    assert f"U+{ord(odd):04X}" in told
    assert "[U+" in told


@settings(max_examples=40, deadline=None)
@given(st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=12))
def test_no_text_is_refused(text: str) -> None:
    archived(text)


@given(st.text(max_size=40))
def test_clusters_lose_nothing(text: str) -> None:
    assert "".join(clusters(text)) == text


def test_a_label_of_joined_letters_keeps_its_place_and_colour() -> None:
    svg = outline_labels(
        '<svg viewBox="0 0 90 40"><text x="45" y="20" font-size="12" text-anchor="end" fill="#123456">क्षेत्र</text>'
        '<text x="1" y="2">plain é</text></svg>'
    )
    assert "क्षेत्र" not in svg
    assert '<text x="1" y="2">plain é</text>' in svg
    place = re.search(r'<g transform="translate\(([0-9.]+) ([0-9.]+)\) scale\(0\.12000\)">', svg)
    assert place is not None
    assert 0 < float(place[1]) < 45
    assert 0 < float(place[2]) < 20
    assert 'fill="#123456"' in svg
    assert "#000000" not in svg


@pytest.mark.slow
def test_a_job_in_many_scripts_is_printed(tmp_path: Path) -> None:
    every = " ".join(PRINTED.values())
    box = f"{{id: B01, from: controller, run: 40 m, surface: lawn, device: two, stations: [1], name: '{every}'}}"
    job = job_text([box]).replace("Two-output decoder", f"'{every}'")
    (tmp_path / "job.yml").write_text(job, encoding="utf-8")
    book = book_of(tmp_path / "job.yml")
    copy = Copy(book.pages, book.header, cover_of(book.context), "a4", document_time(book.job), {})
    (document,) = printed_parts(book.pages, separate=False, what="printed handbook")
    printing = document.prepare(copy, tmp_path)
    assert printing.warnings == ()
    text = "\n".join(texts_of(printing.data()))
    assert "वाल्व" in text
    assert "Клапан" in text
