"""The words that front matter stands for, as a reader sees them."""

from __future__ import annotations

from slackloop.sections.page_source import PageSource

PART_MENU = {
    "scope": ("Install", "Before you start"),
    "method": ("Install", "Method"),
    "safety": ("Install", "Safety"),
    "trouble": ("Install", "If something is wrong"),
}
SOURCE_WORDS = {
    "job": "Job specification",
    "code": "Code basis",
    "maker": "Maker's sheet",
    "practice": "Common practice, no published source",
    "standard": "Standard",
}
WHERE_WORDS = {
    "each-box": "Each box",
    "device-box": "Each box with a device",
    "branch-box": "Each box where the path branches",
    "end-box": "Each end box",
    "electrode-box": "Each place with an electrode",
    "joining-box": "Each box where a new run joins an existing one",
    "each-run": "Each run",
    "each-crossing": "Each run under a footpath, paving, a place for vehicles or a building",
    "each-reel": "Each reel, before it is used",
    "each-day": "Each day",
    "job": "Once for the job",
}
HOLD_WORDS = {"none": "", "witness": "Witness point", "hold": "Hold point: stop until it is signed off"}


def requirement_source(source: str, clause: str, material: PageSource) -> str:
    """Where a requirement is asked, in words: the clause of the code basis by its printed number."""
    words = SOURCE_WORDS[source]
    if source == "code":
        return "; ".join(material.code_clauses(clause)) or SOURCE_WORDS["practice"]
    if source == "standard":
        return "; ".join(material.cited(clause)) or SOURCE_WORDS["practice"]
    return f"{words}: {clause}" if clause else words
