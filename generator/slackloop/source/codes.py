"""Every code of a finding: its levels, what it means, what to do, which tables it spoils, and a sample of it.

The table itself is data: the files ``*_codes.yml`` of the folder ``findings``, by what finds fault: the reading of a
job, its figures, a firm's own content, the build, the import of a survey.
``check --explain``, the answers of a job, banners and tests read it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, Literal, get_args

import yaml

from slackloop.source.finding import Level
from slackloop.source.sample import Sample, sample_of

FOLDER = Path(__file__).parent / "findings"
Kind = Literal["job", "figure", "content", "build", "survey"]


@dataclass(frozen=True, slots=True)
class Code:
    """One code. ``spoils`` are the ids of the tables that nobody may build from while an error has it."""

    code: str
    kind: Kind
    levels: tuple[Level, ...]
    means: str
    mend: str
    sample: Sample
    spoils: tuple[str, ...] = ()


@cache
def codes() -> Mapping[str, Code]:
    """Every code by its name, in the order of the files. Raises ``ValueError`` where one is listed twice."""
    found: dict[str, Code] = {}
    for kind in get_args(Kind):
        text = (FOLDER / f"{kind}_codes.yml").read_text(encoding="utf-8")
        for name, row in yaml.load(text, Loader=yaml.CSafeLoader).items():
            if name in found:
                raise ValueError(f"{name} is listed twice in {FOLDER}")
            found[name] = _code(name, kind, **row)
    return MappingProxyType(found)


def _code(
    name: str, kind: Kind, *, level: str | list[str], means: str, mend: str, sample: Any, spoils: tuple[str, ...] = ()
) -> Code:
    """A row of a file; a key that is not known raises ``TypeError``."""
    levels: Any = (level,) if isinstance(level, str) else tuple(level)
    return Code(name, kind, levels, means, mend, sample_of(sample), tuple(spoils))
