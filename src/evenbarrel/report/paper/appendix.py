"""The appendix: how each number before it came about, in two columns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reportlab.platypus import Flowable, KeepTogether, Table, TableStyle

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.references import Reference
from evenbarrel.report.paper.pages import COLUMN, Outlined
from evenbarrel.report.paper.tables import plain_style
from evenbarrel.report.paper.text import Writer
from evenbarrel.wording.paper import appendix as words
from evenbarrel.wording.workings.working import working

MOST_CRITERIA = 1000
"""Criteria of cells whose working is printed; a larger evaluation says what was left out."""

_INPUT = 120.0


def appendix(appraisal: Appraisal, writer: Writer) -> Iterator[Flowable]:
    """Tell how the numbers came about, chapter by chapter."""
    found = words.workings_of(appraisal, MOST_CRITERIA)
    if not found.chapters:
        yield writer.paragraph(words.NO_WORKINGS)
        return
    yield writer.paragraph(words.workings_text(found))
    for place, chapter in enumerate(found.chapters):
        head: list[Flowable] = [
            Outlined(f"chapter {place}", writer.line(chapter.title), 1),
            writer.paragraph(chapter.title, "part"),
        ]
        for reference in chapter.references:
            yield KeepTogether([*head, *_working(appraisal, writer, reference)])
            head = []


def _working(appraisal: Appraisal, writer: Writer, reference: Reference) -> Iterator[Flowable]:
    shown = working(appraisal, reference)
    yield writer.paragraph(shown.title, "minor")
    yield writer.paragraph(shown.result, "working")
    if shown.formula:
        yield writer.paragraph(shown.formula, "formula")
    lines = words.working_lines(shown)
    if lines:
        yield _inputs(writer, lines)
    for note in words.working_notes(shown):
        yield writer.paragraph(note, "working")


def _inputs(writer: Writer, lines: Sequence[tuple[str, str]]) -> Table:
    """Return inputs with what they are, without rules."""
    rows = [[writer.paragraph(part, "working") for part in line] for line in lines]
    table = Table(rows, [_INPUT, COLUMN - _INPUT], splitInRow=1, hAlign="LEFT")
    table.setStyle(TableStyle(plain_style(0, 0.3)))
    return table
