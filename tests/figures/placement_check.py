"""Reads the labels of a picture of work back and tells what is wrong with where they stand."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from itertools import combinations

from drawing_reader import text_box

from slackloop.document.blocks import Drawing

SVG = "{http://www.w3.org/2000/svg}"
BOLD = 1.06
"""Bold letters are that much wider than the widths in ``lettering``, which are those of a broad face."""
BADGE = (26.0, 18.0)
"""Upper left corner that the number of the step covers."""
MARGIN = 2.0
SAME = 1.5
Box = tuple[float, float, float, float]
Point = tuple[float, float]


@dataclass(frozen=True)
class Label:
    """One label of one or more lines: its text, where it stands, and the mark that it is for."""

    text: str
    box: Box
    mark: Point


def labels_of(drawing: Drawing) -> list[Label]:
    """Every label of a picture; lines that follow one another and are for one mark are one label."""
    found: list[Label] = []
    for element in ET.fromstring(drawing.svg).iter(f"{SVG}text"):
        x, y, size = (float(element.attrib[key]) for key in ("x", "y", "font-size"))
        left, top, right, bottom = text_box(x, y, element.text or "", size, element.get("text-anchor", ""))
        if element.get("font-weight") == "bold":
            more = (right - left) * (BOLD - 1)
            share = {"middle": 0.5, "end": 1.0}.get(element.get("text-anchor", ""), 0.0)
            left, right = left - more * share, right + more * (1 - share)
        across, down = element.attrib["data-mark"].split()
        mark = float(across), float(down)
        if found and found[-1].mark == mark and abs(top - found[-1].box[3]) < size:
            last = found.pop()
            box = min(left, last.box[0]), min(top, last.box[1]), max(right, last.box[2]), max(bottom, last.box[3])
            found.append(Label(f"{last.text} {element.text}", box, mark))
        else:
            found.append(Label(element.text or "", (left, top, right, bottom), mark))
    return found


def faults(drawing: Drawing) -> list[str]:
    """What is wrong with the places of the labels, in words; nothing for a sound picture."""
    labels = labels_of(drawing)
    said = [f"{each.text!r} leaves the frame by {_outside(each.box, drawing):.1f}" for each in labels
            if _outside(each.box, drawing) > 0]  # fmt: skip
    said += [f"{each.text!r} lies under the step's number" for each in labels
             if each.box[0] < BADGE[0] and each.box[1] < BADGE[1]]  # fmt: skip
    said += [f"{a.text!r} and {b.text!r} overlap" for a, b in combinations(labels, 2) if _overlap(a.box, b.box)]
    for each in labels:
        own = distance(each.box, each.mark)
        for other in labels:
            apart = math.dist(each.mark, other.mark)
            if apart > SAME and distance(each.box, other.mark) <= own and own > 0:
                said.append(f"{each.text!r} is nearer the mark of {other.text!r} than its own")
    for start, end in lines_of(drawing):
        for each in labels:
            if math.dist(end, each.mark) > SAME and crosses(each.box, start, end):
                said.append(f"a line crosses {each.text!r}")
    return said


def _outside(box: Box, drawing: Drawing) -> float:
    wide, tall = drawing.width_px - MARGIN, drawing.height_px - MARGIN
    return max(MARGIN - box[0], MARGIN - box[1], box[2] - wide, box[3] - tall)


def _overlap(a: Box, b: Box) -> bool:
    return min(a[2], b[2]) - max(a[0], b[0]) > 0.5 and min(a[3], b[3]) - max(a[1], b[1]) > 0.5


def distance(box: Box, point: Point) -> float:
    """How far a point is from a box; nothing inside it."""
    return math.hypot(max(box[0] - point[0], point[0] - box[2], 0), max(box[1] - point[1], point[1] - box[3], 0))


def lines_of(drawing: Drawing) -> list[tuple[Point, Point]]:
    """Thin straight lines to marks, dimension lines and straight arrows of a picture."""
    found: list[tuple[Point, Point]] = []
    for element in ET.fromstring(drawing.svg).iter():
        if element.tag == f"{SVG}line" and float(element.get("stroke-width", "1")) < 1:
            a = element.attrib
            found.append(((float(a["x1"]), float(a["y1"])), (float(a["x2"]), float(a["y2"]))))
        plain = re.fullmatch(r"M(\S+) ([\d.-]+)L(\S+) ([\d.-]+)", element.get("d", ""))
        if plain and element.get("stroke-width") in ("0.9", "4"):
            x, y, across, down = (float(each) for each in plain.groups())
            found.append(((x, y), (across, down)))
    return found


def crosses(box: Box, start: Point, end: Point, steps: int = 60) -> bool:
    """Whether a line enters a box by more than a unit."""
    inner = box[0] + 1, box[1] + 1, box[2] - 1, box[3] - 1
    for step in range(steps + 1):
        x = start[0] + (end[0] - start[0]) * step / steps
        y = start[1] + (end[1] - start[1]) * step / steps
        if inner[0] < x < inner[2] and inner[1] < y < inner[3]:
            return True
    return False
