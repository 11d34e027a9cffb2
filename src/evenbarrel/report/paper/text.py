"""Words on paper: one way from any text to a paragraph that shows it literally."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from functools import cache, partial
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.enums import TA_CENTER, TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase.pdfmetrics import getFont, stringWidth
from reportlab.platypus import Paragraph

from evenbarrel.report.paper.fonts import BOLD, MISSING, OBLIQUE, REGULAR, register
from evenbarrel.report.paper.palette import colour
from evenbarrel.wording.pictures.label_layout import fitted
from evenbarrel.wording.words.lines import with_units_kept, with_whole_parts
from evenbarrel.wording.words.visible import marks_of, visible

_SPACES = re.compile("[ \t\n]+")
_MOST_TITLE_LINES = 12
"""Of a heading, which no page can break: what is longer is a name that somebody typed."""


def _style(name: str, size: float, leading: float, **more: Any) -> ParagraphStyle:
    usual: dict[str, Any] = {
        "fontName": REGULAR,
        "fontSize": size,
        "leading": leading,
        "textColor": colour("text"),
    }
    return ParagraphStyle(name, **(usual | {"splitLongWords": 1} | more))


@cache
def styles() -> Mapping[str, ParagraphStyle]:
    """Return the paragraph styles by name; the fonts are known from then on."""
    register()
    faint = colour("faint_text")
    made = (
        _style("title", 17, 22, fontName=BOLD, spaceAfter=2),
        _style("fact", 7.5, 10, textColor=faint),
        _style("headline", 13, 17, fontName=BOLD, spaceAfter=6),
        _style("count", 24, 28, fontName=BOLD),
        _style("boxed", 8, 10.5),
        _style("strong", 8.5, 12, fontName=BOLD, spaceBefore=5),
        _style("hint", 6, 7.5, textColor=faint),
        _style("section", 13, 17, fontName=BOLD, spaceBefore=12, spaceAfter=4),
        _style("supplier", 11, 14, fontName=BOLD, spaceBefore=10, spaceAfter=3),
        _style("part", 9.5, 12, fontName=BOLD, spaceBefore=8, spaceAfter=3),
        _style("band", 8, 10, fontName=BOLD),
        _style("minor", 7.5, 10, fontName=BOLD, spaceBefore=5, spaceAfter=2),
        _style("body", 8.5, 12, spaceAfter=5),
        _style("caution", 8.5, 11.5, spaceAfter=4, leftIndent=10, bulletFontName=REGULAR),
        _style("note", 7, 9.2, textColor=faint, spaceBefore=2, spaceAfter=2),
        _style("source", 6.3, 7.8, leftIndent=10, firstLineIndent=-10, rightIndent=8, spaceAfter=1),
        _style("cell", 7, 9),
        _style("cell_right", 7, 9, alignment=TA_RIGHT),
        _style("cell_centre", 7, 9, alignment=TA_CENTER),
        _style("cell_bold", 7, 9, fontName=BOLD),
        _style("heading", 7, 9, fontName=BOLD),
        _style("heading_right", 7, 9, fontName=BOLD, alignment=TA_RIGHT),
        _style("heading_centre", 7, 9, fontName=BOLD, alignment=TA_CENTER),
        _style("heading_small", 6.2, 7.8, fontName=BOLD),
        _style("heading_small_right", 6.2, 7.8, fontName=BOLD, alignment=TA_RIGHT),
        _style("heading_small_centre", 6.2, 7.8, fontName=BOLD, alignment=TA_CENTER),
        _style("working", 6.5, 8.6, spaceAfter=1.5),
        _style("letter", 9.2, 13, spaceAfter=7),
        _style("letter_line", 9.2, 13),
        _style("letter_subject", 9.6, 14, fontName=BOLD, spaceBefore=14, spaceAfter=10),
        _style("formula", 6.5, 8.6, fontName=OBLIQUE, spaceAfter=1.5),
    )
    return {style.name: style for style in made}


@cache
def _printable() -> frozenset[int]:
    """Return the code points that each of the fonts has that people's words are set in."""
    styles()
    fonts: tuple[Any, ...] = tuple(getFont(name) for name in (REGULAR, BOLD))
    return frozenset.intersection(*(frozenset(font.face.charToGlyph) for font in fonts))


class Prose(Paragraph):
    """A paragraph broken into lines once for a width: tables ask for its height many times."""

    _taken: tuple[float, tuple[float, float]] | None = None

    def wrap(self, room: float, height: float) -> tuple[float, float]:
        """Return the place it takes."""
        # Where a page has no room for any of its lines, splitting it forgets them.
        if self._taken is None or self._taken[0] != room or not hasattr(self, "blPara"):
            self._taken = room, super().wrap(room, height)
        return self._taken[1]


@cache
def _alone(style: str) -> Any:
    """Return the one fragment that words without a mark come to when they are read as markup."""
    return Paragraph("words", styles()[style]).frags[0]


class Writer:
    """Makes paragraphs and cells of words, and remembers what the fonts could not show."""

    def __init__(self) -> None:
        self._lacking: dict[str, None] = {}
        self.hidden = False
        """Whether a character was met that cannot be seen."""
        self._styles = styles()

    @property
    def lacking(self) -> tuple[str, ...]:
        """Return the characters met that the fonts lack, in code order."""
        return tuple(sorted(self._lacking))

    def literal(self, words: str) -> str:
        """Return words that can be printed: nothing hidden in them, every glyph in the fonts."""
        shown = visible(words)
        self.hidden = self.hidden or (shown != words and bool(marks_of(words)))
        words = unicodedata.normalize("NFC", shown)
        if words.isascii():
            return words
        have = _printable()
        absent = {c for c in words if ord(c) not in have and c not in "\n\t"}
        self._lacking |= dict.fromkeys(absent)
        return words.translate({ord(c): MISSING for c in absent}) if absent else words

    def text(self, words: str) -> str:
        """Return words as paragraph markup that shows them literally, line ends kept."""
        return escape(self._to_break(words)).replace("\n", "<br/>")

    def _to_break(self, words: str) -> str:
        return with_units_kept(self.literal(words))

    def line(self, words: str) -> str:
        """Return words as one literal line."""
        return _SPACES.sub(" ", self.literal(words)).strip()

    def paragraph(self, words: str, style: str = "body", lead: str = "") -> Prose:
        """Return a paragraph; `lead` stands before the words in bold."""
        # A paragraph breaks lines at the narrow space of an amount, at the usual one it does not.
        words = words.replace("\u202f", "\u00a0")
        if words and not lead and "\n" not in words:
            # Most are words alone, which need no reader of markup.
            alone = _alone(style).clone(text=self._to_break(words))
            return Prose("", self._styles[style], frags=[alone])
        markup = self.text(words)
        if lead:
            markup = f'<font name="{BOLD}">{self.text(lead)}</font> {markup}'
        return Prose(markup, self._styles[style])

    def bulleted(self, words: str) -> Prose:
        """Return a paragraph with a dash before it."""
        return Prose(self.text(words), self._styles["caution"], bulletText="–")

    def width(self, words: str, style: str = "cell") -> float:
        """Return how wide words are on one line [pt]."""
        found = self._styles[style]
        return float(stringWidth(words, found.fontName, found.fontSize))

    def title(self, words: str, room: float) -> str:
        """Return a column's title, cut where it would fill a page rather than head it."""
        line, most = self.line(words), _MOST_TITLE_LINES * room
        measure = partial(self.width, style="heading")
        return words if measure(line) <= most else fitted(line, most, measure)

    def cell(self, words: str, room: float, align: str = "left") -> str | Prose:
        """Return a table cell: a plain line where it fits the room [pt], else a paragraph."""
        line = self.line(words)
        if "\n" not in words.strip():
            if self.width(line) <= room:
                return line
            words = with_whole_parts(line, room, self.width)
        return self.paragraph(words, "cell" if align == "left" else f"cell_{align}")
