"""The appendix: how each number before it came about, in two columns."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

from reportlab.platypus import Flowable, KeepTogether, Table, TableStyle

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.report.paper.pages import COLUMN, Outlined
from evenbarrel.report.paper.tables import plain_style
from evenbarrel.report.paper.text import Writer
from evenbarrel.wording.paper import appendix as words
from evenbarrel.wording.workings.line import Working
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
    every = (reference for chapter in found.chapters for reference in chapter.references)
    shown = {reference: working(appraisal, reference) for reference in every}
    shared = words.shared_notes(shown.items())
    yield from _shared(writer, shared)
    for place, chapter in enumerate(found.chapters):
        head = _head(writer, f"chapter {place}", chapter.title)
        for reference in chapter.references:
            once = shared.get(words.kind_of(reference), ())
            yield KeepTogether([*head, *_working(writer, shown[reference], once)])
            head = []


def _head(writer: Writer, key: str, title: str) -> list[Flowable]:
    return [Outlined(key, writer.line(title), 1), writer.paragraph(title, "part")]


def _shared(writer: Writer, shared: Mapping[str, Sequence[str]]) -> Iterator[Flowable]:
    """Tell once what all workings of a kind have in common."""
    head = _head(writer, "shared", words.SHARED)
    for kind, notes in shared.items():
        lines = [writer.paragraph(note, "working") for note in notes]
        yield KeepTogether([*head, writer.paragraph(kind, "minor"), *lines])
        head = []


def _working(writer: Writer, shown: Working, once: Collection[str]) -> Iterator[Flowable]:
    """Tell a working, without the notes that stand `once` for all of its kind."""
    yield writer.paragraph(shown.title, "minor")
    yield writer.paragraph(shown.result, "working")
    if shown.formula:
        yield writer.paragraph(shown.formula, "formula")
    lines = words.working_lines(shown)
    if lines:
        yield _inputs(writer, lines)
    for note in words.working_notes(shown):
        if note not in once:
            yield writer.paragraph(note, "working")


def _inputs(writer: Writer, lines: Sequence[tuple[str, str]]) -> Table:
    """Return inputs with what they are, without rules."""
    rows = [[writer.paragraph(part, "working") for part in line] for line in lines]
    table = Table(rows, [_INPUT, COLUMN - _INPUT], splitInRow=1, hAlign="LEFT")
    table.setStyle(TableStyle(plain_style(0, 0.3)))
    return table
