"""Named conditions as a standing standard sees them: it holds, it does not, or the job decides."""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType

from slackloop.site.effective_values import LONG_LEAD_M
from slackloop.site.standard import Standard
from slackloop.units.figure import length

Answer = Callable[[Standard], bool | None]
"""True or False where the standard says so; nothing where each job says it for itself."""


def _job(_: Standard) -> None:
    """The job decides."""


def _equal(*keys: str, to: object) -> Answer:
    """Whether a key that the standard states has this value."""
    return lambda standard: None if (found := standard.stated(*keys)) is None else bool(found == to)


def _stated(*keys: str, then: bool) -> Answer:
    """``then`` where the standard states the key."""
    return lambda standard: None if standard.stated(*keys) is None else then


def _hazard(*words: str) -> Answer:
    """True where the standard lists a hazard that holds one of the words; a job may always add one."""

    def answer(standard: Standard) -> bool | None:
        hazards = standard.stated("conditions", "hazards") or ()
        return True if any(word in hazard.lower() for hazard in hazards for word in words) else None

    return answer


def _rock(standard: Standard) -> bool | None:
    """Whether the soil that the standard states is rock."""
    soil = standard.stated("conditions", "soil")
    return None if soil is None else "rock" in str(soil).lower()


def _closing(standard: Standard) -> bool | None:
    """Whether a connector of the standard says how it is closed; a job may always add one that does."""
    return True if any(getattr(each, "closing", "") for each in standard.connectors.values()) else None


_WORDS_AND_ANSWERS: dict[str, tuple[str, Answer]] = {
    "always": ("", lambda standard: True),
    "jacketed-cable": ("the cable has a jacket", _job),
    "unjacketed-cable": ("the cable has no jacket", _job),
    "shared-trench": ("the trench is shared with a pipe", _stated("trench", "shared_with_pipe", then=True)),
    "own-trench": ("the cable has a trench of its own", _stated("trench", "shared_with_pipe", then=False)),
    "warning-tape": ("the job asks for warning tape", _equal("trench", "warning_tape", to=True)),
    "has-branches": ("the path has branches", _job),
    "has-device-boxes": ("a box has a device", _job),
    "has-long-leads": (f"a solenoid is more than {length(LONG_LEAD_M, 'most').text('metric')} from its box", _job),
    "has-electrodes": ("", lambda standard: True),
    "surge-part-stated": ("the job names its surge part", _stated("rules", "earthing", "surge_part", then=True)),
    "surge-part-open": ("the job names no surge part", _stated("rules", "earthing", "surge_part", then=False)),
    "rock-soil": ("the ground is rock", _rock),
    "high-groundwater": ("groundwater is high", _hazard("groundwater", "water table")),
    "frost": ("the ground freezes", _stated("conditions", "frost_depth", then=True)),
    "crossings": ("a run passes under a footpath, paving, a place for vehicles or a building", _job),
    "road-crossing": ("a run passes under a road in a new crossing", _job),
    "driveway-crossing": ("a run passes under a drive in a new crossing", _job),
    "building-crossing": ("a run passes under a building in a new crossing", _job),
    "us-code": ("the job's code basis is that of the US", _job),
    "uk-code": ("the job's code basis is that of the UK", _job),
    "general-code": ("the job's code basis names no country", _job),
    "cover-question": ("it is open which cover rule binds the path", _job),
    "connector-closing-stated": ("the job says in the words of the pack how its connectors are closed", _closing),
    "public-access": ("the public comes near the work", _hazard("public")),
    "overhead-lines": ("power lines hang over the work", _hazard("overhead")),
    "traffic": ("vehicles pass the work", _hazard("traffic", "vehicle")),
    "water-near": ("there is water near the work", _hazard("water", "lake", "river", "pond", "flood")),
    "mixed-conductors": ("runs use conductors of more than one size", _job),
    "slack-per-tail": ("slack is left on each cable end", _equal("rules", "slack", "per", to="tail")),
    "slack-per-box": ("slack is shared in the box", _equal("rules", "slack", "per", to="box")),
    "resistivity-unknown": (
        "nobody has measured the soil's resistivity",
        _stated("conditions", "soil_resistivity", then=False),
    ),
    "ac-supply": ("the supply is ac", _equal("supply", "current", to="ac")),
    "dc-supply": ("the supply is dc", _equal("supply", "current", to="dc")),
    "joins-existing": ("new runs join a path that was there before", _job),
    "ring": ("the path is closed to a ring", _job),
}

CONDITION_WORDS: MappingProxyType[str, str] = MappingProxyType(
    {name: words for name, (words, _) in _WORDS_AND_ANSWERS.items()}
)
"""When a condition holds, as the end of a sentence that starts with "only where"."""
_ANSWERS = {name: answer for name, (_, answer) in _WORDS_AND_ANSWERS.items()}


def standard_holds(name: str, standard: Standard) -> bool | None:
    """What the standard says of a condition; nothing where the job decides. Raises ``KeyError`` for no name."""
    return _ANSWERS[name](standard)
