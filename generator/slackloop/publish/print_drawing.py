"""A drawing on its way from the web page to paper: black where the theme's colour stood, own fonts."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from dataclasses import dataclass

from slackloop.publish.print_fonts import TEXT_FAMILY
from slackloop.publish.print_lettering import outline_labels

POINTS_A_PIXEL = 0.75
"""A web pixel is 1/96 in and a point 1/72 in (CSS Values and Units Level 3, section 5.2; read from memory)."""

_CURRENT_COLOUR = re.compile(r"""(=["'])currentcolor(?=["'])""", re.IGNORECASE)
"""As the value of an attribute: text that says so stays, as a quote in text is always escaped."""
_VARIABLE = re.compile(r"var\(\s*--[\w-]+\s*(?:,\s*([^()]*(?:\([^()]*\))?[^()]*))?\)")
_FONT_FAMILY = re.compile(r'font-family\s*=\s*("[^"]*"|\'[^\']*\')')
_FONT_FAMILY_STYLE = re.compile(r"font-family\s*:\s*[^;\"'}]+")
_ENTITY = re.compile(r"&([A-Za-z][A-Za-z0-9]*);")
_XML_ENTITIES = frozenset({"amp", "lt", "gt", "quot", "apos"})
_LENGTH = re.compile(r"^\s*([0-9]*\.?[0-9]+)\s*(px)?\s*$")
_NUMBER_CHARACTER = re.compile(r"&#(?:x([0-9a-fA-F]+)|([0-9]+));")


@dataclass(frozen=True, slots=True)
class PrintDrawing:
    """A drawing ready to print: its bytes, its size in points and what it shows in words."""

    svg: bytes
    width_pt: float
    height_pt: float
    description: str


def prepare_drawing(svg: str, shown: Callable[[str], str]) -> PrintDrawing:
    """Make an inline drawing stand alone: name space, black for ``currentColor``, our text face.

    ``shown`` replaces characters that no font can print.
    """
    text = _NUMBER_CHARACTER.sub(_plain_character, _ENTITY.sub(_numbered, svg))
    text = shown(text)
    head_end = text.index(">")
    head, rest = text[:head_end], text[head_end:]
    if "xmlns=" not in head:
        head = head.replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1)
    if "xlink:" in text and "xmlns:xlink" not in head:
        head = head.replace("<svg", '<svg xmlns:xlink="http://www.w3.org/1999/xlink"', 1)
    if "font-family" not in head:
        head = head.replace("<svg", f'<svg font-family="{TEXT_FAMILY}"', 1)
    text = _CURRENT_COLOUR.sub(r"\1black", head + rest)
    text = _VARIABLE.sub(lambda match: (match.group(1) or "black").strip(), text)
    text = _FONT_FAMILY.sub(f'font-family="{TEXT_FAMILY}"', text)
    text = outline_labels(_FONT_FAMILY_STYLE.sub(f"font-family: {TEXT_FAMILY}", text))
    width, height = _size(head)
    return PrintDrawing(text.encode("utf-8", "replace"), width, height, shown(_in_words(svg)))


def _plain_character(match: re.Match[str]) -> str:
    """A character reference as the character, unless XML needs it kept; the same glyph check then sees it."""
    hexadecimal, decimal = match.groups()
    code = int(hexadecimal, 16) if hexadecimal else int(decimal)
    if code < 0x80 or code > 0x10FFFF:
        return match.group(0) if 0x20 <= code < 0x80 or code in (9, 10, 13) else ""
    return chr(code)


def _numbered(match: re.Match[str]) -> str:
    """An HTML entity as the character it names: XML knows only five by name."""
    if match.group(1) in _XML_ENTITIES:
        return match.group(0)
    return html.unescape(match.group(0)).replace("&", "&amp;")


def _size(head: str) -> tuple[float, float]:
    """Width and height in points, from the drawing's own size or else its view box."""
    box = [float(part) for part in re.split(r"[\s,]+", _attribute(head, "viewBox").strip()) if _is_number(part)]
    width, height = _pixels(_attribute(head, "width")), _pixels(_attribute(head, "height"))
    if len(box) == 4 and box[2] > 0 and box[3] > 0:
        if width is None and height is None:
            width, height = box[2], box[3]
        elif height is None and width is not None:
            height = width * box[3] / box[2]
        elif width is None and height is not None:
            width = height * box[2] / box[3]
    return (width or 300.0) * POINTS_A_PIXEL, (height or 150.0) * POINTS_A_PIXEL


def _is_number(text: str) -> bool:
    return re.fullmatch(r"[+-]?[0-9]*\.?[0-9]+", text) is not None


def _pixels(text: str) -> float | None:
    match = _LENGTH.match(text)
    return float(match.group(1)) if match else None


def _attribute(head: str, name: str) -> str:
    match = re.search(rf"\s{name}\s*=\s*(?:\"([^\"]*)\"|'([^']*)')", head)
    return (match.group(1) or match.group(2) or "") if match else ""


def _in_words(svg: str) -> str:
    """The drawing's own title and description, for readers who hear the page."""
    said = []
    for tag in ("title", "desc"):
        match = re.search(rf"<{tag}(?:\s[^>]*)?>(.*?)</{tag}\s*>", svg, re.DOTALL)
        if match:
            said.append(" ".join(html.unescape(re.sub(r"<[^>]+>", "", match.group(1))).split()))
    words = [part.rstrip(".") + "." for part in said if part]
    return " ".join(words) or _attribute(svg[: svg.index(">")], "aria-label") or "Drawing."
