"""Every row of pictures of work by the name that content uses for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from slackloop.document.blocks import Drawing
from slackloop.document.drawings.work import (
    box_work,
    conductor_work,
    earth_work,
    jacket_work,
    laying_work,
    measuring_work,
    splice_work,
    trench_work,
)
from slackloop.document.drawings.work import trench_work as locating_work
from slackloop.document.drawings.work.hand_tools import painted
from slackloop.document.drawings.work.sketch import WorkValues

WORK_DRAWINGS: Mapping[str, Callable[[WorkValues], tuple[Drawing, ...]]] = MappingProxyType({
    "set-the-scorer": jacket_work.set_the_scorer,
    "score-and-snap": jacket_work.score_and_snap,
    "score-or-cut": jacket_work.score_or_cut,
    "jacket-past-the-wall": jacket_work.jacket_past_the_wall,
    "blade-away": jacket_work.blade_away,
    "part-the-pair": jacket_work.part_the_pair,
    "bare-the-core": conductor_work.bare_the_core,
    "strip-straight": conductor_work.strip_straight,
    "cut-back-wet-end": conductor_work.cut_back_wet_end,
    "cut-past-the-nick": conductor_work.cut_past_the_nick,
    "wires-that-meet": splice_work.wires_that_meet,
    "wires-of-one-core": splice_work.wires_of_one_core,
    "bared-in-the-connector": splice_work.bared_in_the_connector,
    "line-up-the-ends": splice_work.line_up_the_ends,
    "tug-each-wire": splice_work.tug_each_wire,
    "seal-round-each-wire": splice_work.seal_round_each_wire,
    "scan-the-line": locating_work.scan_the_line,
    "read-a-mark": locating_work.read_a_mark,
    "dig-near-a-mark": trench_work.dig_near_a_mark,
    "spoil-back": trench_work.spoil_back,
    "trench-depth": trench_work.trench_depth,
    "bed-the-cable": trench_work.bed_the_cable,
    "layers-and-tape": trench_work.layers_and_tape,
    "turn-the-reel": laying_work.turn_the_reel,
    "over-an-edge": laying_work.over_an_edge,
    "lay-with-waves": laying_work.lay_with_waves,
    "beside-the-pipe": laying_work.beside_the_pipe,
    "cap-the-end": laying_work.cap_the_end,
    "sleeve-past-the-edge": laying_work.sleeve_past_the_edge,
    "smooth-mouth": laying_work.smooth_mouth,
    "fix-the-ends-apart": measuring_work.fix_the_ends_apart,
    "test-to-earth": measuring_work.test_to_earth,
    "short-and-read": measuring_work.short_and_read,
    "read-the-pair": measuring_work.read_the_pair,
    "lock-off": measuring_work.lock_off,
    "prove-it-dead": measuring_work.prove_it_dead,
    "loop-of-slack": box_work.loop_of_slack,
    "cut-the-loop": box_work.cut_the_loop,
    "coil-the-slack": box_work.coil_the_slack,
    "splices-up": box_work.splices_up,
    "lid-flat": box_work.lid_flat,
    "device-off-the-floor": box_work.device_off_the_floor,
    "write-the-address": box_work.write_the_address,
    "two-leads-a-station": box_work.two_leads_a_station,
    "cut-out-the-splice": box_work.cut_out_the_splice,
    "rod-clear-of-cable": earth_work.rod_clear_of_cable,
    "earth-lead-straight": earth_work.earth_lead_straight,
    "rods-apart": earth_work.rods_apart,
    "measure-from-two-points": earth_work.measure_from_two_points,
    "draw-what-lies": earth_work.draw_what_lies,
})  # fmt: skip
"""A row may be empty where the job has no such thing, as a pipe in the trench."""


def work_drawings(name: str, values: WorkValues) -> tuple[Drawing, ...]:
    """The row of pictures called ``name``; raises ``KeyError`` for a name that is none of ``WORK_DRAWINGS``."""
    return tuple(painted(drawing, values.core_a, values.core_b) for drawing in WORK_DRAWINGS[name](values))
