"""Who answers for the work, who is called, whose code holds and what the utility search says: blanks are filled in.

The languages that the crew of a job reads, and who has checked the text of each.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from pydantic import Field

from slackloop.site.plain_fields import IsoDate, NonEmptyText, Text
from slackloop.site.specification import Part, optional

_BLANK = "left out: a line to fill in."


class People(Part):
    """Who answers for the work."""

    responsible: Text = Field(default="", description=f"The site manager; {_BLANK}")
    competent_person: Text = Field(default="", description=f"Who says whether a trench is safe; {_BLANK}")
    electrician: Text = Field(default="", description=f"Who does the mains side; {_BLANK}")
    first_aider: Text = Field(default="", description=f"Who gives first aid; {_BLANK}")


class Emergency(Part):
    """Who is called in an emergency, and where."""

    number: Text = Field(default="", description=f"Number of the emergency services, in quotes; {_BLANK}")
    hospital: Text = Field(default="", description=f"Nearest hospital that takes emergencies; {_BLANK}")
    meeting_point: Text = Field(default="", description=f"Meeting place of the crew; {_BLANK}")
    gas: Text = Field(default="", description=f"Owner of the gas pipes, with number; {_BLANK}")
    power: Text = Field(default="", description=f"Owner of the power lines, with number; {_BLANK}")
    water: Text = Field(default="", description=f"Owner of the water mains, with number; {_BLANK}")


class LocalCode(Part):
    """The local code that comes before this handbook."""

    authority: Text = Field(default="", description=f"Who enforces it; {_BLANK}")
    edition: Text = Field(default="", description=f"Its edition, with amendments; {_BLANK}")
    inspector: Text = Field(default="", description=f"Who inspects; {_BLANK}")


class Locates(Part):
    """The search for buried utilities, or their marking."""

    reference: Text = Field(default="", description=f"Number of the search or notice; {_BLANK}")
    valid_to: IsoDate | None = optional(f"The last day on which it holds; {_BLANK}")


Contacts = tuple[tuple[str, str], ...]
"""What is asked for, in the words of a form, and what the job states; empty where it is to be filled in."""


def called(emergency: Emergency | None) -> Contacts:
    """Who and what a call for help needs."""
    given = emergency or Emergency()
    return (
        ("Emergency services", given.number), ("Nearest hospital that takes emergencies", given.hospital),
        ("Meeting place of the crew", given.meeting_point), ("Gas: owner of the pipes", given.gas),
        ("Electricity: owner of the lines", given.power), ("Water: owner of the pipes", given.water),
    )  # fmt: skip


def roles(people: People | None, electrician: str) -> Contacts:
    """Who answers for what; ``electrician`` is the word of the job's country."""
    given = people or People()
    return (
        ("Site manager", given.responsible), ("Competent person for the trench", given.competent_person),
        (electrician.capitalize(), given.electrician), ("First-aider", given.first_aider),
    )  # fmt: skip


def authorities(code: LocalCode | None, locates: Locates | None) -> Contacts:
    """The local code, who inspects, and the search for buried utilities."""
    given, search = code or LocalCode(), locates or Locates()
    return (
        ("Local code: who enforces it", given.authority), ("Local code: edition", given.edition),
        ("Inspector", given.inspector), ("Search for buried utilities: number", search.reference),
        ("Search for buried utilities: last day", str(search.valid_to) if search.valid_to else ""),
    )  # fmt: skip


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
