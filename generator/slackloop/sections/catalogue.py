"""The word files: tools, protective equipment, hazards, cautions, deferrals and faults, each named by an id."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

from pydantic import Field, RootModel, model_validator

from slackloop.compute.risk import CONTROL_ORDER, Control, in_order, may_reach_f
from slackloop.sections.section import Front, Id, Line

Sign = Annotated[str, Field(pattern=r"^([WMPEF]\d{3})?$")]


class Tool(Front):
    """A tool and what it is used for."""

    name: Line
    use: str = ""


class Protective(Front):
    """Protective equipment, its ISO 7010 sign and when it is worn."""

    name: Line
    sign: Sign = ""
    when: str = ""


class Hazard(Front):
    """What can hurt somebody, how, and what holds it off."""

    title: Line
    harm: Line
    controls: tuple[Line, ...] = Field(min_length=1, strict=False)
    kinds: tuple[Control, ...] = Field(default=(), strict=False)
    """The kind of each control, strongest first (NIOSH); empty where they are not sorted."""
    severity: Literal["", "1", "2", "3", "4"] = ""
    """Step of MIL-STD-882E: 1 catastrophic to 4 negligible."""
    before: Literal["", "A", "B", "C", "D", "E"] = ""
    """Probability with none of the controls: A frequent to E improbable."""
    after: Literal["", "A", "B", "C", "D", "E", "F"] = ""
    """Probability with all of the controls; F (eliminated) only where one of them eliminates."""

    site: tuple[Line, ...] = Field(default=(), strict=False)
    """Words of a site hazard of the job that this hazard scores, as overhead for overhead lines."""

    @property
    def is_scored(self) -> bool:
        """Whether the word file gives severity and both probabilities."""
        return bool(self.severity and self.before and self.after)

    def scores(self, site_hazard: str) -> bool:
        """Whether a site hazard, as the job words it, is scored by this one."""
        return self.is_scored and any(word in site_hazard.lower() for word in self.site)

    @model_validator(mode="after")
    def controls_bear_the_score(self) -> Hazard:
        """Refuse kinds that do not fit the controls, and F without a control that eliminates (MIL-STD-882E)."""
        if self.kinds and len(self.kinds) != len(self.controls):
            raise ValueError("kinds needs one kind for each control")
        if not in_order(self.kinds):
            raise ValueError("controls stand strongest first: " + ", ".join(CONTROL_ORDER))
        if self.after == "F" and not may_reach_f(self.kinds):
            raise ValueError("after is F, and no control eliminates the hazard")
        return self


class Caution(Front):
    """A standing caution, printed before the step it guards."""

    title: Line
    text: Line
    card: Line = ""
    """What to do, in the few words that a line of a card holds; the text where it is empty."""
    sign: Sign = ""


class Deferral(Front):
    """Who decides something that this handbook does not."""

    title: Line
    text: Line


class Fault(Front):
    """A fault that buries trouble, what it does later, and the reading that shows it by its size."""

    title: Line
    harm: Line
    reading: Literal["", "splice", "short", "length", "leak"] = ""


class FigureSource(Front):
    """Figures that stand in the text itself, where they stand, and where they come from."""

    figures: tuple[Line, ...] = Field(min_length=1, strict=False)
    source: Line
    checked: Literal["read in a copy", "from memory, to be checked", "recomputed from its formula", "common practice"]
    sections: tuple[Id, ...] = Field(min_length=1, strict=False)


class Tools(RootModel[dict[Id, Tool]]):
    """tools.yml"""


class ProtectiveList(RootModel[dict[Id, Protective]]):
    """protective.yml"""


class Hazards(RootModel[dict[Id, Hazard]]):
    """hazards.yml"""


class Cautions(RootModel[dict[Id, Caution]]):
    """cautions.yml"""


class Deferrals(RootModel[dict[Id, Deferral]]):
    """deferrals.yml"""


class Faults(RootModel[dict[Id, Fault]]):
    """faults.yml"""


class FigureSources(RootModel[dict[Id, FigureSource]]):
    """figures.yml"""


@dataclass(frozen=True, slots=True)
class Words:
    """Every word file, and the line each id stands on (by file name, then id)."""

    tools: Mapping[str, Tool] = field(default_factory=dict)
    protective: Mapping[str, Protective] = field(default_factory=dict)
    hazards: Mapping[str, Hazard] = field(default_factory=dict)
    cautions: Mapping[str, Caution] = field(default_factory=dict)
    deferrals: Mapping[str, Deferral] = field(default_factory=dict)
    faults: Mapping[str, Fault] = field(default_factory=dict)
    figures: Mapping[str, FigureSource] = field(default_factory=dict)
    places: Mapping[str, Mapping[str, int]] = field(default_factory=dict)
