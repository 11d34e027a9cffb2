"""The fonts of the report, embedded; a character they lack is replaced where all can see it."""

from __future__ import annotations

from functools import cache, lru_cache
from io import BytesIO
from typing import Any

from reportlab.lib.fonts import addMapping
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from evenbarrel.report.paper.right_to_left import as_set
from evenbarrel.resources import read_bytes
from evenbarrel.wording.pictures.label_layout import one_line

REGULAR, BOLD, OBLIQUE = "DejaVuSans", "DejaVuSans-Bold", "DejaVuSans-Oblique"

MISSING = "\ufffd"
"""What stands for a character that the font lacks."""


_MEASURED = 1 << 14
"""Texts of which a font keeps the width."""


class _Measured(TTFont):
    """A font that measures a text once: the same words stand in many cells and are asked often.

    Every line that is drawn passes it, so here words of the other direction are turned round.
    """

    def __init__(self, name: str, file: BytesIO) -> None:
        super().__init__(name, file)
        self._width = lru_cache(_MEASURED)(super().stringWidth)

    def stringWidth(self, text: str, size: float, encoding: str = "utf8") -> float:
        """Return how wide a text is [pt]."""
        return self._width(text, size, encoding)

    def splitString(self, text: str, doc: object, encoding: str = "utf-8") -> Any:
        """Return the codes of a line as it is set, by the parts of the font they are in."""
        return super().splitString(as_set(text, self.face.charToGlyph), doc, encoding)


@cache
def register() -> None:
    """Make the shipped fonts known to reportlab, once."""
    for name in (REGULAR, BOLD, OBLIQUE):
        pdfmetrics.registerFont(_Measured(name, BytesIO(read_bytes(f"fonts/{name}.ttf"))))
    # Markup in a paragraph asks for the bold and the slanted one by these.
    addMapping(REGULAR, 0, 0, REGULAR)
    addMapping(REGULAR, 1, 0, BOLD)
    addMapping(REGULAR, 0, 1, OBLIQUE)
    addMapping(REGULAR, 1, 1, BOLD)


@cache
def _known(name: str) -> frozenset[int]:
    register()
    font: Any = pdfmetrics.getFont(name)
    return frozenset(font.face.charToGlyph)


def printable(text: str, font: str = REGULAR) -> str:
    """Return a text in one line with every character the font lacks replaced by MISSING."""
    known = _known(font)
    return "".join(c if ord(c) in known else MISSING for c in one_line(text))


def width_of(text: str, font: str, size: float) -> float:
    """Return how wide a text is [pt]."""
    register()
    return float(pdfmetrics.stringWidth(text, font, size))
