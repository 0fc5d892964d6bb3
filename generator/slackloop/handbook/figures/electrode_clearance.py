"""An earth rod and how far it stands from the cable, in section and in plan, to scale."""

from __future__ import annotations

from dataclasses import dataclass

from slackloop.handbook.figures.lettering import fit, value_lines
from slackloop.handbook.figures.measured import draw_dimension, draw_ground, draw_scale_bar
from slackloop.handbook.figures.svg import INK, SMALL_SIZE, WIDTH_PX, Canvas, Figure

SECTION_TOP = 74.0
ROD_X = 96.0


@dataclass(frozen=True)
class ElectrodeLabels:
    """Finished values in both unit systems."""

    rod: str
    clear: str
    cover: str


def electrode_clearance(
    id: str, rod_m: float, cover_m: float, clear_m: float, labels: ElectrodeLabels, *, width_px: float = WIDTH_PX
) -> Figure:
    """Draw rod length, clearance and cover to scale (metres, all above 0, else ``ValueError``)."""
    if min(rod_m, cover_m, clear_m) <= 0:
        raise ValueError("rod, cover and clearance must be above zero")
    description = (
        f"In section, a rod {labels.rod} long is driven {labels.clear} or more to the side of the cable, which lies "
        f"under {labels.cover} of cover. In plan, the cable stays outside a circle of {labels.clear} round the rod."
    )
    canvas = Canvas(id, "Earth rod clear of the cable, to scale", description, width_px)
    y = _draw_section(canvas, rod_m, cover_m, clear_m, labels)
    y = _draw_plan(canvas, clear_m, labels, y + 34)
    canvas.text(2, y, "To scale, but for the thickness of rod and cable.", size=SMALL_SIZE)
    return canvas.figure(y + 6)


def _draw_section(canvas: Canvas, rod_m: float, cover_m: float, clear_m: float, labels: ElectrodeLabels) -> float:
    """Draw the section; return where it ends."""
    canvas.heading("Section")
    deepest = max(rod_m, cover_m)
    px_per_m = min((canvas.width - ROD_X - 92) / clear_m, 210 / deepest)
    cable = (ROD_X + clear_m * px_per_m, SECTION_TOP + cover_m * px_per_m)
    draw_ground(canvas, 2, canvas.width - 2, SECTION_TOP)
    rod_end = SECTION_TOP + rod_m * px_per_m
    canvas.line((ROD_X, SECTION_TOP - 3), (ROD_X, rod_end - 6), width=4)
    canvas.polygon([(ROD_X - 2, rod_end - 6), (ROD_X + 2, rod_end - 6), (ROD_X, rod_end)], fill=INK, stroke="none")
    canvas.circle(cable, 4.5, fill=INK, stroke="none", name="cable")
    y = SECTION_TOP - 16
    draw_dimension(canvas, (ROD_X, y), (cable[0], y), name="dim-clear", reach=(SECTION_TOP - 6, SECTION_TOP - 4))
    canvas.line((cable[0], SECTION_TOP), (cable[0], cable[1] - 6), width=0.5, dash="3 3")
    words = fit(f"at least {labels.clear}", SMALL_SIZE, canvas.width - ROD_X - 4)
    canvas.text(ROD_X, y - 10, words, size=SMALL_SIZE)
    x = ROD_X - 14
    draw_dimension(canvas, (x, SECTION_TOP), (x, rod_end), name="dim-rod", reach=(ROD_X - 4, ROD_X - 4))
    lines = ["Rod", *value_lines(labels.rod, SMALL_SIZE, x - 10)]
    first = max((SECTION_TOP + rod_end) / 2 - 10, SECTION_TOP + 22)
    low = canvas.lines(x - 8, first, lines, size=SMALL_SIZE, anchor="end")
    x = cable[0] + 14
    draw_dimension(canvas, (x, SECTION_TOP), (x, cable[1]), name="dim-cover", reach=(x, cable[0] + 6))
    lines = ["Cover", *value_lines(labels.cover, SMALL_SIZE, canvas.width - x - 10)]
    low = max(low, canvas.lines(x + 8, SECTION_TOP + 24, lines, size=SMALL_SIZE))
    room = canvas.width - cable[0]
    cable_words_y = max(cable[1] + 22, low + 4)
    canvas.text(cable[0], cable_words_y, fit("Cable", SMALL_SIZE, room), size=SMALL_SIZE, anchor="middle")
    canvas.line((cable[0], cable[1] + 6), (cable[0], cable_words_y - 11), width=0.5)
    bar_y = max(rod_end, cable_words_y, low) + 16
    draw_scale_bar(canvas, 2, bar_y, px_per_m, 100, name="section-scale-bar")
    return bar_y + 20


def _draw_plan(canvas: Canvas, clear_m: float, labels: ElectrodeLabels, top: float) -> float:
    """Draw the plan; return where it ends."""
    canvas.heading("Plan", top)
    radius = 74.0
    centre = (ROD_X + 20, top + radius + 16)
    cable_y = centre[1] + radius
    canvas.circle(centre, radius, width=0.9, dash="5 4", name="clear-circle")
    canvas.circle(centre, 4, fill=INK, stroke="none")
    canvas.text(centre[0], centre[1] - 10, "Rod", size=SMALL_SIZE, anchor="middle")
    canvas.line((2, cable_y + 2), (canvas.width - 2, cable_y + 2), width=4, name="plan-cable")
    canvas.text(canvas.width - 2, cable_y - 7, "Cable", size=SMALL_SIZE, anchor="end")
    draw_dimension(canvas, (centre[0], centre[1]), (centre[0], cable_y), name="dim-plan-clear")
    x = centre[0] + radius + 12
    lines = ["No cable inside", "this circle:", *value_lines(labels.clear, SMALL_SIZE, canvas.width - x - 4)]
    canvas.lines(x, centre[1] - 30, lines, size=SMALL_SIZE)
    draw_scale_bar(canvas, 2, cable_y + 18, radius / clear_m, 100, name="plan-scale-bar")
    return cable_y + 60
