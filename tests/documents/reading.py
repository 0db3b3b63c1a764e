"""Reads a PDF with another program than the one that wrote it."""

from __future__ import annotations

import ctypes
import math
from collections.abc import Iterator

import pypdfium2
import pypdfium2.raw as pdfium
from PIL import Image

DPI = 200


def squash(text: str) -> str:
    """The text without any white space: how words are spaced on paper is the layout's business."""
    return "".join(text.split())


HYPHENS = str.maketrans("\x02\ufffe", "--")
"""What the reader makes of a hyphen at a line's end."""


def pages(content: bytes) -> list[str]:
    """The squashed text of each page."""
    with pypdfium2.PdfDocument(content) as document:
        return [squash(page.get_textpage().get_text_range()).translate(HYPHENS) for page in document]


def type_sizes(content: bytes) -> Iterator[float]:
    """The height of each character's type in points, as it stands on the page."""
    with pypdfium2.PdfDocument(content) as document:
        for page in document:
            text = page.get_textpage()
            for index in range(text.count_chars()):
                matrix = pdfium.FS_MATRIX()
                if pdfium.FPDFText_GetUnicode(text, index) <= ord(" ") or not pdfium.FPDFText_GetMatrix(
                    text, index, ctypes.byref(matrix)
                ):
                    continue
                yield pdfium.FPDFText_GetFontSize(text, index) * math.hypot(matrix.c, matrix.d)


def beyond_the_edge(content: bytes) -> int:
    """How many characters lie outside their page, wholly or in part."""
    found = 0
    with pypdfium2.PdfDocument(content) as document:
        for page in document:
            width, height = page.get_size()
            text = page.get_textpage()
            for index in range(text.count_chars()):
                left, bottom, right, top = text.get_charbox(index)
                found += right > left and not (left >= 0 and right <= width and bottom >= 0 and top <= height)
    return found


def one_bit(content: bytes, number: int) -> Image.Image:
    """One page as a photocopier sees it: every dot black or white."""
    with pypdfium2.PdfDocument(content) as document:
        grey = document[number].render(scale=DPI / 72, grayscale=True).to_pil()
    return grey.point(lambda level: 255 if level > 127 else 0)


def long_rules(picture: Image.Image) -> list[int]:
    """Thickness in dots of each horizontal rule that runs over most of the page, from the top."""
    width, height = picture.size
    dots = picture.tobytes()
    thick: list[int] = []
    inside = False
    for y in range(height):
        black = dots[y * width : (y + 1) * width].count(0)
        if black > width * 0.8:
            thick = [*thick[:-1], thick[-1] + 1] if inside else [*thick, 1]
            inside = True
        else:
            inside = False
    return thick
