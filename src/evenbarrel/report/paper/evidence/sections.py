"""How sections, parts and tables begin: what every section of the evidence is made with."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from reportlab.platypus import CondPageBreak, Flowable, Paragraph

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.report.paper.front import height_of
from evenbarrel.report.paper.pages import DEPTH, ROOM, Outlined
from evenbarrel.report.paper.tables import LOW, SheetTable, sheet_table
from evenbarrel.report.paper.text import Writer
from evenbarrel.wording.paper import sections as words
from evenbarrel.wording.sheets.printed import with_short_names
from evenbarrel.wording.sheets.sheet import Sheet

START = 80.0
"""What must be left on a page for a table to begin there [pt]."""
SECTION = DEPTH / 6
"""What must be left on a page for a section to begin there [pt]; `headed` asks for more where its
first part does."""
_HEAD = 80.0
"""Titles with an introduction, and no more than that, are as high at most [pt]."""
_MOST = DEPTH / 2
"""On so much of a page at most a table and its titles are kept together [pt]."""
BESIDE = 16.0
"""Between pictures and tables beside each other [pt]."""


class Sections:
    """Numbers the sections, and lays their parts out in one way."""

    def __init__(self, appraisal: Appraisal, writer: Writer) -> None:
        """Begin before the first section."""
        self.appraisal, self.writer = appraisal, writer
        self._sections = 0

    def section(self, key: str, room: float = SECTION) -> Iterator[Flowable]:
        """Begin a section: on a new page, unless `room` [pt] is left on this one."""
        self._sections += 1
        title = f"{self._sections} {words.SECTIONS[key]}"
        yield CondPageBreak(room)
        yield Outlined(key, title, 0)
        yield self.writer.paragraph(title, "section")
        if key in words.INTRODUCTIONS:
            yield self.writer.paragraph(words.INTRODUCTIONS[key])

    def sheet(self, sheet: Sheet, title: str = "", style: str = "part") -> Iterator[Flowable]:
        """Lay a sheet out under its title, or that there is nothing of it."""
        table = sheet_table(self.writer, with_short_names(sheet), ROOM) if sheet.rows else None
        above = [self.writer.paragraph(title, style)] if title else []
        if table is None:
            yield CondPageBreak(START if title else 0.0)
            yield from above
            yield self.writer.paragraph(words.EMPTY.get(sheet.key, words.NOTHING))
            return
        # Above the table: below it a note could stand alone on a page.
        yield from self.begun([*above, *self.notes(sheet.notes)], table)

    def begun(self, above: Sequence[Flowable], table: SheetTable) -> Iterator[Flowable]:
        """Lay a table out with what stands above it, which is never left behind on a page."""
        yield CondPageBreak(height_of(above) + _least(table))
        yield from above
        yield table

    def notes(self, notes: Iterable[str]) -> Iterator[Flowable]:
        """Set notes in small print."""
        for note in notes:
            yield self.writer.paragraph(note, "note")

    def part(self, title: str, style: str = "part") -> Iterator[Flowable]:
        """Begin a part of a section."""
        # Not kept with what follows: that may be a table of many pages.
        yield CondPageBreak(START)
        yield self.writer.paragraph(title, style)

    def bullets(self, texts: Iterable[str]) -> Iterator[Flowable]:
        """Set texts with a dash before each."""
        for text in texts:
            yield self.writer.bulleted(text)


def _least(table: SheetTable) -> float:
    """Return the height that a table needs to begin: its headings and its first rows."""
    heights = table.heights(ROOM)
    # Of three the last would stand alone on a page.
    low = 3 if len(heights) == 1 + 3 else 2
    rows = 1 if heights[1] >= LOW else low
    return min(sum(heights[: rows + 1]), _MOST)


def headed(flowables: Sequence[Flowable]) -> list[Flowable]:
    """Return flowables so that no title stays behind on a page when what it heads moves on.

    Where a place to break comes right after titles alone, the place before them asks for the room
    of both.
    """
    made = list(flowables)
    for place in reversed(range(len(made))):
        if isinstance(made[place], CondPageBreak):
            titles: list[Flowable] = []
            for after in made[place + 1 :]:
                if isinstance(after, CondPageBreak):
                    wanted = min(height_of(titles) + after.height, _MOST)
                    made[place] = CondPageBreak(max(made[place].height, wanted))
                    break
                titles.append(after)
                if not isinstance(after, (Outlined, Paragraph)) or height_of(titles) > _HEAD:
                    break
    return made
