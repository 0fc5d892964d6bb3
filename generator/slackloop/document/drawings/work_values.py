"""What pictures of work take from the job: each value as its text, told by whoever asks for the picture."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class WorkValues:
    """Texts with their units, as ``16 mm (5/8 in)``; an empty one is unknown, and the picture says where to look."""

    strip: str = ""
    """Bare copper of each wire."""
    slack: str = ""
    """Slack of one end, from the box wall to its cut."""
    cover: str = ""
    """Top of the cable to the finished ground."""
    depth: str = ""
    """Dug depth of the trench."""
    tape_depth: str = ""
    """Warning tape below the finished ground; empty where the job lays none."""
    bedding: str = ""
    """Bedding under and over the cable."""
    trench_width: str = ""
    spoil_back: str = ""
    """Spoil and machines from the edge."""
    clear_of_cable: str = ""
    """Earth rod to cable."""
    insulation_volts: str = ""
    jacket: str = ""
    """What the jacket is made of."""
    core_a: str = ""
    core_b: str = ""
    """Colour words of the cores, as on the reel."""
    with_pipe: bool = True
    """Whether a pipe shares the trench."""
