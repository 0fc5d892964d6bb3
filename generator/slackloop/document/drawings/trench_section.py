"""The trench cut across, to scale."""

from __future__ import annotations

from dataclasses import dataclass

from slackloop.document.drawings.label_placement import spread
from slackloop.document.drawings.lettering import fit, value_lines
from slackloop.document.drawings.svg import INK, SMALL_SIZE, Canvas, Figure
from slackloop.document.drawings.symbols import draw_dimension, draw_ground, draw_scale_bar

DEEPEST_PX = 220.0
WIDEST_PX = 100.0
TOP = 56.0


@dataclass(frozen=True)
class TrenchSize:
    """A trench, all in metres: depth dug is cover + diameter of the pipe (or the cable, alone) + bedding.

    Source: job format, "What the quantities mean". ``pipe_od_m`` is None for a trench of the cable's own;
    ``tape_depth_m`` is None without warning tape.
    """

    width_m: float
    cover_m: float
    cable_od_m: float
    bedding_m: float
    pipe_od_m: float | None = None
    tape_depth_m: float | None = None

    @property
    def widest_m(self) -> float:
        """Diameter that the depth is built on: the pipe's, or the cable's when alone."""
        return self.cable_od_m if self.pipe_od_m is None else self.pipe_od_m

    @property
    def depth_m(self) -> float:
        """Depth dug."""
        return self.cover_m + self.widest_m + self.bedding_m

    @property
    def bed_m(self) -> float:
        """Depth of the bed that pipe and cable lie on."""
        return self.cover_m + self.widest_m

    @property
    def zone_top_m(self) -> float:
        """Depth of the top of the bedding zone, never above grade."""
        return max(0.0, self.cover_m - self.bedding_m)

    @property
    def zone_m(self) -> float:
        """Height of the bedding zone, as dug."""
        return self.depth_m - self.zone_top_m

    @property
    def fits_side_by_side(self) -> bool:
        """Whether pipe and cable lie beside each other within the width."""
        return self.widest_m + (self.cable_od_m if self.pipe_od_m is not None else 0.0) <= self.width_m


@dataclass(frozen=True)
class TrenchLabels:
    """Finished values for the dimension lines, each in both unit systems; an empty one is not written."""

    width: str
    depth: str
    cover: str
    bedding_zone: str
    bedding: str = ""
    pipe: str = ""
    tape: str = ""
    cable: str = ""


def trench_section(id: str, size: TrenchSize, labels: TrenchLabels) -> Figure:
    """Draw the trench to scale with its dimensions. Raises ``ValueError`` for a size of zero or below."""
    if min(size.width_m, size.cover_m, size.cable_od_m, size.widest_m) <= 0 or size.bedding_m < 0:
        raise ValueError("a trench needs a width, a cover and diameters above zero")
    canvas = Canvas(id, "Trench, cut across, to scale", _description(size, labels))
    px_per_m = min(DEEPEST_PX / size.depth_m, WIDEST_PX / size.width_m)
    left = canvas.width / 2 - size.width_m * px_per_m / 2
    right = left + size.width_m * px_per_m
    bottom = TOP + size.depth_m * px_per_m
    _draw_trench(canvas, size, px_per_m, left, right)
    _draw_contents(canvas, size, px_per_m, left, right)
    y = max(bottom, _draw_dimensions(canvas, size, labels, px_per_m, left, right)) + 24
    if not size.fits_side_by_side:
        canvas.text(2, y, "Pipe and cable do not fit side by side in this width.", size=SMALL_SIZE)
        y += 18
    draw_scale_bar(canvas, 2, y, px_per_m, 110)
    canvas.text(canvas.width - 2, y + 18, "To scale", size=SMALL_SIZE, anchor="end")
    return canvas.figure(y + 26)


def _description(size: TrenchSize, labels: TrenchLabels) -> str:
    """Return the section in words."""
    said = [f"Trench {labels.width} wide and {labels.depth} deep. Cover {labels.cover}."]
    if size.pipe_od_m is None:
        said.append("The cable lies alone.")
    else:
        said.append(f"The cable lies beside the pipe{f' ({labels.pipe})' if labels.pipe else ''}.")
        if not size.fits_side_by_side:
            said.append("Pipe and cable do not fit side by side in this width.")
    if size.bedding_m > 0:
        thick = f", {labels.bedding} under and over." if labels.bedding else "."
        said.append(f"Bedding zone {labels.bedding_zone} high{thick}")
    if size.tape_depth_m is not None:
        said.append(f"Warning tape over the cable at {labels.tape}." if labels.tape else "Warning tape over the cable.")
    return " ".join(said)


def _draw_trench(canvas: Canvas, size: TrenchSize, px_per_m: float, left: float, right: float) -> None:
    """Draw grade, walls, floor and the bedding zone."""
    bottom = TOP + size.depth_m * px_per_m
    draw_ground(canvas, 2, left, TOP, name="grade-left")
    draw_ground(canvas, right, canvas.width - 2, TOP, name="grade-right")
    canvas.line((left, TOP), (right, TOP), dash="5 4", width=0.8)
    canvas.rect(left, TOP, right - left, bottom - TOP, stroke="none", fill=INK, opacity=0.05, name="trench")
    canvas.polyline([(left, TOP), (left, bottom), (right, bottom), (right, TOP)], width=1.6)
    if size.bedding_m <= 0:
        return
    top = TOP + size.zone_top_m * px_per_m
    canvas.rect(left, top, right - left, bottom - top, stroke="none", fill=INK, opacity=0.07, name="bedding-zone")
    canvas.line((left, top), (right, top), width=0.8, dash="2 2")
    y, odd = top + 6, False
    while y < bottom - 3:
        x = left + (8 if odd else 4)
        while x < right - 3:
            canvas.circle((x, y), 0.8, fill=INK, stroke="none")
            x += 8
        y, odd = y + 7, not odd


@dataclass(frozen=True)
class _Places:
    """Where the centres of pipe and cable stand across the trench (drawing units)."""

    pipe_x: float
    cable_x: float


def _places(size: TrenchSize, px_per_m: float, left: float, right: float) -> _Places:
    """Return the centres across: the pipe to the right, the cable to its left, spare width shared."""
    cable_px = size.cable_od_m * px_per_m / 2
    if size.pipe_od_m is None:
        return _Places((left + right) / 2, (left + right) / 2)
    pipe_px = size.pipe_od_m * px_per_m / 2
    spare = max(0.0, right - left - 2 * pipe_px - 2 * cable_px)
    pipe_x = right - pipe_px - spare / 3
    return _Places(pipe_x, max(pipe_x - pipe_px - spare / 3 - cable_px, left + cable_px))


def _draw_contents(canvas: Canvas, size: TrenchSize, px_per_m: float, left: float, right: float) -> None:
    """Draw pipe, cable and tape: both lie on the bed, and the higher of the two has the cover over it."""
    cable_px = size.cable_od_m * px_per_m / 2
    cover_y = TOP + size.cover_m * px_per_m
    shape = _places(size, px_per_m, left, right)
    if size.pipe_od_m is not None:
        pipe_px = size.pipe_od_m * px_per_m / 2
        centre = (shape.pipe_x, cover_y + pipe_px)
        canvas.circle(centre, pipe_px, fill="#ffffff", width=1.6, name="pipe")
        canvas.circle(centre, pipe_px * 0.84, stroke="#101010", width=0.7)
    cable = shape.cable_x, TOP + size.bed_m * px_per_m - cable_px
    canvas.circle(cable, cable_px, fill="#303030", width=1, name="cable")
    if size.tape_depth_m is not None:
        y = TOP + size.tape_depth_m * px_per_m
        inset = (right - left) * 0.18
        canvas.line((left + inset, y), (right - inset, y), width=3, dash="7 2.5", name="tape")


def _draw_dimensions(
    canvas: Canvas, size: TrenchSize, labels: TrenchLabels, px_per_m: float, left: float, right: float
) -> float:
    """Draw the dimension lines: width above, depth to the left, cover and zone to the right; return the lowest y."""
    bottom = TOP + size.depth_m * px_per_m
    cover_y = TOP + size.cover_m * px_per_m
    draw_dimension(canvas, (left, TOP - 14), (right, TOP - 14), name="dim-width", reach=(TOP - 3, TOP - 3))
    width = fit(f"Trench width {labels.width}", SMALL_SIZE, canvas.width - 4)
    canvas.text((left + right) / 2, TOP - 24, width, size=SMALL_SIZE, anchor="middle")
    draw_dimension(canvas, (left - 12, TOP), (left - 12, bottom), name="dim-depth", reach=(left, left - 3))
    draw_dimension(canvas, (right + 12, TOP), (right + 12, cover_y), name="dim-cover", reach=(right, right + 3))
    word = "Cover" if size.pipe_od_m is None else "Cover, at least"
    notes = [_note(canvas, (TOP + cover_y) / 2, right + 36, word, labels.cover)]
    if size.bedding_m > 0:
        zone_top = TOP + size.zone_top_m * px_per_m
        draw_dimension(
            canvas, (right + 26, zone_top), (right + 26, bottom), name="dim-zone", reach=(right + 3, right + 3)
        )
        notes.append(_note(canvas, (zone_top + bottom) / 2, right + 36, "Bedding zone", labels.bedding_zone))
    lowest = _write_notes(canvas, notes, right + 36, "", bottom)
    callouts = _callouts(canvas, size, labels, px_per_m, left, right)
    return max(lowest, _write_notes(canvas, callouts, left - 22, "end", bottom))


def _callouts(
    canvas: Canvas, size: TrenchSize, labels: TrenchLabels, px_per_m: float, left: float, right: float
) -> list[_Note]:
    """Return what is written to the left: depth, tape, pipe and cable."""
    room = left - 24
    cover_y = TOP + size.cover_m * px_per_m
    shape = _places(size, px_per_m, left, right)
    notes = []
    if size.tape_depth_m is not None:
        y = TOP + size.tape_depth_m * px_per_m
        notes.append(_note(canvas, y, room, "Warning tape", labels.tape, (left + (right - left) * 0.2, y)))
    cable = (shape.cable_x, TOP + (size.bed_m - size.cable_od_m / 2) * px_per_m)
    notes.append(_note(canvas, cable[1], room, "Cable", labels.cable, cable))
    if size.pipe_od_m is not None:
        pipe_px = size.pipe_od_m * px_per_m / 2
        point = (shape.pipe_x - pipe_px * 0.6, cover_y + pipe_px * 0.7)
        notes.append(_note(canvas, point[1], room, "Pipe", labels.pipe, point))
    middle = TOP + (size.tape_depth_m or 0.0) * px_per_m / 2 + size.cover_m * px_per_m / 2
    depth = _note(canvas, middle, room, "Depth dug", labels.depth)
    return sorted([*notes, depth], key=lambda note: note.target)


@dataclass(frozen=True)
class _Note:
    """Lines of text wanted at height ``target``; a leader runs to ``point`` when there is one."""

    target: float
    lines: tuple[str, ...]
    point: tuple[float, float] | None = None


def _note(
    canvas: Canvas, target: float, edge: float, title: str, value: str, point: tuple[float, float] | None = None
) -> _Note:
    """Return a title and its value, wrapped to the room between ``edge`` and the drawing's border."""
    room = min(edge, canvas.width - edge) - 4
    return _Note(target, (*value_lines(title, SMALL_SIZE, room), *value_lines(value, SMALL_SIZE, room)), point)


def _write_notes(canvas: Canvas, notes: list[_Note], x: float, anchor: str, bottom: float) -> float:
    """Write notes one under the other, with leaders to what they name; return where the last one ends."""
    line = SMALL_SIZE * 1.2
    heights = [len(note.lines) * line + 7 for note in notes]
    centres = spread([note.target for note in notes], heights, TOP + 8, bottom)
    for note, middle, height in zip(notes, centres, heights, strict=True):
        y = middle - height / 2 + 3 + SMALL_SIZE * 0.85
        if note.point is not None:
            elbow = x + 7
            canvas.polyline([(x + 3, middle), (elbow, middle), note.point], width=0.6)
            canvas.circle(note.point, 1.8, fill=INK, stroke="none")
        for text in note.lines:
            canvas.text(x, y, text, size=SMALL_SIZE, anchor=anchor)
            y += line
    return max(middle + height / 2 for middle, height in zip(centres, heights, strict=True))
