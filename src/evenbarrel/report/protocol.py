"""The acceptance protocol of a barrel as a PDF: cautions, how to measure, room to write."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO

from reportlab.platypus import Flowable, KeepTogether, Spacer, Table, TableStyle

from evenbarrel import __version__
from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.report.paper.pages import ROOM, Pages
from evenbarrel.report.paper.palette import colour
from evenbarrel.report.paper.signing import signature_strip
from evenbarrel.report.paper.tables import sheet_table
from evenbarrel.report.paper.text import Writer
from evenbarrel.wording.paper.first_pages import Signature
from evenbarrel.wording.paper.sections import foot_text
from evenbarrel.wording.sheets.sheet import Sheet
from evenbarrel.wording.standing_by import acceptance as words
from evenbarrel.wording.words.names import full_name

_WIDE, _HAND = 86.0, 19.0
"""Width of a column for words, and height left to write in [pt]."""


def render_protocol(appraisal: Appraisal, barrel: str) -> bytes:
    """Return the protocol to be carried to the machine; raises KeyError for an unknown barrel."""
    writer, out = Writer(), BytesIO()
    title = words.protocol_title(full_name(appraisal, barrel))
    flowables = list(_flowables(appraisal, barrel, writer, title))
    foot = foot_text(appraisal, __version__)
    author = appraisal.evaluation.buyer
    Pages(out, writer, title=title, author=author, foot=foot).write(flowables)
    return out.getvalue()


def _flowables(appraisal: Appraisal, barrel: str, writer: Writer, title: str) -> Iterator[Flowable]:
    yield writer.paragraph(title, "title")
    yield from (writer.bulleted(line) for line in words.CAUTIONS)
    yield _to_fill(writer, words.conditions_to_fill())
    for kind, steps in words.PROTOCOL.items():
        heading = writer.paragraph(words.KINDS[kind].capitalize(), "part")
        lines = [writer.bulleted(step) for step in steps]
        yield KeepTogether([heading, *lines, _to_fill(writer, words.to_fill(kind))])
    sheets = [words.acceptance_sheet(appraisal, barrel)]
    if not appraisal.evaluation.place(barrel)[1].owned_copies:
        sheets.append(words.guarantees_to_show(appraisal, barrel))
    for sheet in sheets:
        if sheet.rows:
            heading = writer.paragraph(sheet.title, "part")
            notes = [writer.paragraph(note, "note") for note in sheet.notes]
            yield KeepTogether([heading, sheet_table(writer, sheet, ROOM), *notes])
    witnesses = [Signature(role, "") for role in words.WITNESSES]
    yield KeepTogether([Spacer(0, 8), signature_strip(writer, witnesses, ROOM)])


def _to_fill(writer: Writer, sheet: Sheet) -> Table:
    """Return a table with room to write: columns for words, then one for each mass."""
    heads = [writer.paragraph(heading.title, "heading") for heading in sheet.headings]
    wide = sum(heading.align == "left" for heading in sheet.headings)
    masses = len(heads) - wide
    width = _WIDE if masses else ROOM / wide
    widths = [width] * wide + [(ROOM - wide * width) / max(1, masses)] * masses
    rows = [[""] * len(heads) for _ in sheet.rows]
    table = Table([heads, *rows], widths, [None, *[_HAND] * len(rows)], hAlign="LEFT")
    line = colour("ruler")
    table.setStyle(TableStyle([("GRID", (0, 0), (-1, -1), 0.4, line)]))
    return table
