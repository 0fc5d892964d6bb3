"""The languages that the crew of a job reads, and who has checked the text of each."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from pydantic import Field

from slackloop.site.fields import IsoDate, NonEmptyText
from slackloop.site.specification import Part

Language = Literal["en", "es"]
NAMES: dict[str, str] = {"en": "English", "es": "Español"}
"""Each language as its own readers call it."""


class TranslationCheck(Part):
    """Who has checked a translation."""

    checked_by: NonEmptyText = Field(description="Who has compared the text with the English.")
    date: IsoDate = Field(description="When, as 2026-03-02.")


def checked_words(translation: Mapping[Language, TranslationCheck], language: str) -> str:
    """Who has checked the text of a language, and when; or that nobody has."""
    check = next((each for name, each in translation.items() if name == language), None)
    return f"translation checked by {check.checked_by}, {check.date}" if check else "translation not yet checked"
