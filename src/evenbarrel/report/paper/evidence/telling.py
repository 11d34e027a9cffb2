"""How sections, parts and tables begin: what every section of the evidence is told with."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from reportlab.platypus import CondPageBreak, Flowable

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.report.paper.pages import DEPTH, ROOM, Outlined
from evenbarrel.report.paper.tables import sheet_table
from evenbarrel.report.paper.text import Writer
from evenbarrel.wording.paper import sections as words
from evenbarrel.wording.sheets.document import with_short_names
from evenbarrel.wording.sheets.sheet import Sheet

START = 80.0
"""What must be left on a page for a table to begin there [pt]."""
SECTION = DEPTH / 4
"""What must be left on a page for a section to begin there [pt]."""
_NOTE = 14.0
"""Height of a note [pt]."""
BESIDE = 16.0
"""Between pictures and tables beside each other [pt]."""


class Telling:
    """Numbers the sections, and tells their parts in one way."""

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
        """Tell a sheet under its title, or that there is nothing of it."""
        if title:
            # A title with its notes is never left behind by its table.
            yield CondPageBreak(START + _NOTE * len(sheet.notes))
            yield from self.part(title, style)
        if not sheet.rows:
            yield self.writer.paragraph(words.EMPTY.get(sheet.key, words.NOTHING))
            return
        # Above the table: below it a note could stand alone on a page.
        yield from self.notes(sheet.notes)
        yield sheet_table(self.writer, with_short_names(sheet), ROOM)

    def notes(self, notes: Iterable[str]) -> Iterator[Flowable]:
        """Tell notes in small print."""
        for note in notes:
            yield self.writer.paragraph(note, "note")

    def part(self, title: str, style: str = "part") -> Iterator[Flowable]:
        """Begin a part of a section."""
        # Not kept with what follows: that may be a table of many pages.
        yield CondPageBreak(START)
        yield self.writer.paragraph(title, style)

    def bullets(self, texts: Iterable[str]) -> Iterator[Flowable]:
        """Tell texts with a dash before each."""
        for text in texts:
            yield self.writer.bulleted(text)
