"""A small good section and the words it names, for tests to break in one place at a time."""

from __future__ import annotations

from pathlib import Path

from slackloop.source.codes import FOLDER

SECTION = (FOLDER / "sample_section.md").read_text(encoding="utf-8")

WORDS = {
    "tools": "jacket-scorer: {name: Scorer, use: Scores.}\n",
    "protective": "gloves: {name: Gloves, sign: M009, when: Always.}\n",
    "hazards": 'sharp-blade: {title: Blade, harm: A cut., controls: [Cut away], severity: "3", before: C, after: D}\n',
    "cautions": "sharp-blade: {title: Sharp, text: Cut away from you., sign: W022}\n",
    "deferrals": "cable-maker-decides: {title: The maker decides, text: Read the sheet.}\n",
}


def write_content(folder: Path, section: str = SECTION, words: dict[str, str] = WORDS) -> Path:
    """A content folder with one section."""
    (folder / "method").mkdir(parents=True)
    (folder / "method" / "opening.md").write_text(section, encoding="utf-8")
    (folder / "words").mkdir()
    for name, text in words.items():
        (folder / "words" / f"{name}.yml").write_text(text, encoding="utf-8")
    return folder
