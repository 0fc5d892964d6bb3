"""What a PDF says, as PDFium reads it: the text of each page, and the size that each letter is set in."""

from __future__ import annotations

import ctypes
from collections import defaultdict
from functools import lru_cache
from pathlib import Path

import pypdfium2
from pypdfium2 import raw

NO_TEXT = str.maketrans({"\r": None, "\u200b": None, "\ufffe": "-"})
"""What PDFium adds or keeps that no reader sees; a hyphen at the end of a line it gives as U+FFFE."""


@lru_cache(maxsize=64)
def texts_of(data: bytes) -> tuple[str, ...]:
    """The text of every page, read once for the same bytes."""
    document = pypdfium2.PdfDocument(data)
    try:
        return tuple(page.get_textpage().get_text_range().translate(NO_TEXT) for page in document)
    finally:
        document.close()


def text_of(path: Path) -> str:
    """The text of all pages of a file, a line between two pages."""
    return "\n".join(texts_of(path.read_bytes()))


@lru_cache(maxsize=8)
def sizes_of(data: bytes) -> tuple[dict[float, str], ...]:
    """The letters of every page by the size in points that they are printed in; a space parts one run from the next."""
    document = pypdfium2.PdfDocument(data)
    try:
        return tuple(_sizes(page.get_textpage()) for page in document)
    finally:
        document.close()


def _sizes(text: pypdfium2.PdfTextPage) -> dict[float, str]:
    found: dict[float, list[str]] = defaultdict(list)
    matrix, before = raw.FS_MATRIX(), 0.0
    for index in range(text.count_chars()):
        letter = chr(raw.FPDFText_GetUnicode(text, index))
        if letter.isspace() or letter == "\u200b" or raw.FPDFText_IsGenerated(text, index):
            before = 0.0
            continue
        assert raw.FPDFText_GetMatrix(text, index, ctypes.byref(matrix))
        size = round(abs(raw.FPDFText_GetFontSize(text, index) * matrix.d), 1)
        if size != before and found[size]:
            found[size].append(" ")
        found[size].append(letter.translate(NO_TEXT))
        before = size
    return {size: "".join(letters) for size, letters in found.items()}
