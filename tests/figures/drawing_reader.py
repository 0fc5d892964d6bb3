"""Reads a drawing back: well-formed, and the rules that every drawing keeps."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import combinations

from slackloop.document.drawings.lettering import text_width
from slackloop.document.drawings.svg import Figure
from slackloop.render.typst.print_glyphs import print_svg

SVG = "{http://www.w3.org/2000/svg}"
Box = tuple[float, float, float, float]

HOSTILE = '</text><script>alert(1)</script> | ` {{ x }} "a" \'b\' & <b> ]]> currentColor="currentColor" \x00\x1b'


def root(figure: Figure) -> ET.Element:
    """Return the parsed drawing."""
    return ET.fromstring(figure.svg)


def texts(figure: Figure) -> list[tuple[str, Box]]:
    """Return each line of text with the box it takes up, by the safe widths of ``lettering``."""
    found = []
    for group in [top := root(figure), *top.iter(f"{SVG}g")]:
        for element in group.findall(f"{SVG}text"):
            text = element.text or ""
            size = float(element.get("font-size") or group.attrib["font-size"])
            xs, ys = ([float(each) for each in element.attrib[key].split()] for key in ("x", "y"))
            words = [text] if len(xs) == 1 else list(text)
            for word, x, y in zip(words, xs, ys, strict=True):
                found.append((word, text_box(x, y, word, size, element.get("text-anchor", ""))))
    return found


def overlapping_texts(figure: Figure) -> list[tuple[str, str]]:
    """Return pairs of texts whose boxes overlap by more than half a unit."""
    return [
        (a, b)
        for (a, p), (b, q) in combinations(texts(figure), 2)
        if min(p[2], q[2]) - max(p[0], q[0]) > 0.5 and min(p[3], q[3]) - max(p[1], q[1]) > 0.5
    ]


def texts_outside(figure: Figure) -> list[str]:
    """Return texts that leave the drawing."""
    return [
        text
        for text, (left, top, right, bottom) in texts(figure)
        if left < -0.5 or top < -0.5 or right > figure.width_px + 0.5 or bottom > figure.height_px + 0.5
    ]


def part(figure: Figure, name: str) -> dict[str, str]:
    """Return the attributes of a named part."""
    for element in root(figure).iter():
        if element.get("id") == f"{figure.id}-{name}":
            return dict(element.attrib)
    raise AssertionError(f"{figure.id} has no part {name}")


def length_px(figure: Figure, name: str) -> float:
    """Return the length of a named level or upright line."""
    a = part(figure, name)
    return abs(float(a["x2"]) - float(a["x1"])) + abs(float(a["y2"]) - float(a["y1"]))


def assert_sound(figure: Figure) -> None:
    """Hold a drawing against the rules of every drawing."""
    top = root(figure)
    assert top.tag == f"{SVG}svg"
    assert top.get("role") == "img"
    assert top.get("viewBox") == f"0 0 {top.get('width')} {top.get('height')}"
    assert top.get("aria-labelledby") == f"{figure.id}-title {figure.id}-desc"
    title, desc = top[0], top[1]
    assert (title.tag, desc.tag) == (f"{SVG}title", f"{SVG}desc")
    assert title.text
    assert desc.text
    ids = [element.get("id") for element in top.iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    assert all(name == figure.id or str(name).startswith(f"{figure.id}-") for name in ids)
    assert {element.tag.removeprefix(SVG) for element in top.iter()} <= {
        "svg", "title", "desc", "line", "path", "rect", "circle", "text", "g", "defs", "use",
    }  # fmt: skip
    for element in top.iter():
        assert "class" not in element.attrib
        assert not any(key.startswith("on") or ("href" in key and element.tag != f"{SVG}use") for key in element.attrib)
        assert element.get("href", f"#{figure.id}-").startswith(f"#{figure.id}-"), "nothing but its own wires"
        assert not re.search(r"url\(|nan|inf", " ".join(v for k, v in element.attrib.items() if k != "id"))
        assert float(element.get("font-size", "12")) >= 11
    assert texts_outside(figure) == []
    assert overlapping_texts(figure) == []
    printed = ET.fromstring(print_svg(figure.svg))
    assert not any("currentColor" in value for element in printed.iter() for value in element.attrib.values())
    assert [element.text for element in printed.iter()] == [element.text for element in top.iter()]


def text_box(x: float, y: float, text: str, size: float, anchor: str = "") -> tuple[float, float, float, float]:
    """Return left, top, right, bottom of a line of text with its baseline at ``y`` (drawing units)."""
    width = text_width(text, size)
    left = x - {"middle": width / 2, "end": width}.get(anchor, 0.0)
    return left, y - size * 0.8, left + width, y + size * 0.22
