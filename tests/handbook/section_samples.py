"""A small good section and the words it names, for tests to break in one place at a time."""

from __future__ import annotations

from pathlib import Path

SECTION = """\
---
id: opening
title: Opening the jacket
part: method
order: 10
summary: The jacket comes off.
tools: [scorer]
protective: [gloves]
hazards: [blade]
deferrals: [maker]
requirements:
  - id: R-OPEN-1
    text: The cores are whole over {{ v.strip }}.
    source: job
    clause: rules.strip
  - id: R-OPEN-2
    text: The end is clean.
    source: practice
checks:
  - id: C-OPEN-1
    title: Cores whole
    method: look
    limit: No nick
    proves: [R-OPEN-1]
    where: each-box
  - id: C-OPEN-2
    title: End clean
    method: measure
    measures: strip_m
    limit: "{{ v.strip }}"
    proves: [R-OPEN-2]
    where: each-box
---
Read this first.

## Score

### score-it
Score the {{ v.jacket }} jacket.
- why: A ring snaps.
- reject: A core shows. Start again
  from new cable.
- carries: R-OPEN-1
- check: C-OPEN-1
- tools: scorer
- caution: blade

### clean-it
Wipe the end.
- carries: R-OPEN-2
- check: C-OPEN-2

[[table: runs]]
[[figure: path-diagram]]

After the table.
"""

WORDS = {
    "tools": "scorer: {name: Scorer, use: Scores.}\n",
    "protective": "gloves: {name: Gloves, sign: M009, when: Always.}\n",
    "hazards": 'blade: {title: Blade, harm: A cut., controls: [Cut away], severity: "3", before: C, after: D}\n',
    "cautions": "blade: {title: Sharp, text: Cut away from you., sign: W022}\n",
    "deferrals": "maker: {title: The maker decides, text: Read the sheet.}\n",
}


def write_content(folder: Path, section: str = SECTION, words: dict[str, str] = WORDS) -> Path:
    """A content folder with one section."""
    (folder / "method").mkdir(parents=True)
    (folder / "method" / "opening.md").write_text(section, encoding="utf-8")
    (folder / "words").mkdir()
    for name, text in words.items():
        (folder / "words" / f"{name}.yml").write_text(text, encoding="utf-8")
    return folder
