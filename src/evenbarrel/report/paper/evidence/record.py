"""What the evaluation is based on, and who signed it: assumptions, sources, signatures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from reportlab.platypus import Flowable, Spacer, Table, TableStyle

from evenbarrel.decision.decide import Decision
from evenbarrel.report.paper.evidence.sections import SECTION, Sections
from evenbarrel.report.paper.pages import DEPTH, ROOM
from evenbarrel.report.paper.tables import plain_style, sheet_table, side_by_side
from evenbarrel.wording.paper import sections as words
from evenbarrel.wording.paper.choice import proposed_barrels
from evenbarrel.wording.sheets.assumptions import source_lines
from evenbarrel.wording.sheets.gates.deviations import deviations_sheet
from evenbarrel.wording.sheets.gates.limits import confirmed_limits_sheet, waiting_limits_sheet
from evenbarrel.wording.sheets.gates.pins import pins_sheet
from evenbarrel.wording.sheets.printed import (
    printed_half_widths_sheet,
    printed_limits_sheet,
    printed_resins_sheet,
)
from evenbarrel.wording.sheets.sheet import said_once
from evenbarrel.wording.standing_by.acceptance import acceptance_sheet, guarantee_sheet
from evenbarrel.wording.standing_by.signatures import changed_since, printed_sign_offs_sheet

_COLUMNS, _BETWEEN = 3, 1.0
"""Columns of the literature, and the air between its rows [pt]."""
_HALF_WIDTHS = 310.0
"""Width of the table of half-widths [pt]."""


def assumptions(sections: Sections) -> Iterator[Flowable]:
    """Tell resins, limits, half-widths and literature."""
    writer, appraisal = sections.writer, sections.appraisal
    yield from sections.section("assumptions")
    resins = printed_resins_sheet(appraisal)
    # In one paragraph: most resins have such a line.
    yield from sections.sheet(replace(resins, notes=(" ".join(resins.notes),)), resins.title)
    made, widths = [], (ROOM - _HALF_WIDTHS, _HALF_WIDTHS)
    for sheet, width in zip(
        (printed_limits_sheet(appraisal), printed_half_widths_sheet(appraisal)),
        widths,
        strict=True,
    ):
        titles = [writer.paragraph(sheet.title, "part"), *sections.notes(sheet.notes)]
        made.append([*titles, sheet_table(writer, sheet, width - 12.0)])
    yield Spacer(0, 6)
    yield from side_by_side(made, widths, DEPTH)
    yield from _literature(sections)


def _literature(sections: Sections) -> Iterator[Flowable]:
    """Tell the sources in columns, row by row: a page may end after each."""
    cited = source_lines(sections.appraisal.evaluation)
    lines: list[object] = [sections.writer.paragraph(line, "source") for line in cited]
    lines += [""] * (-len(lines) % _COLUMNS)
    rows = [lines[first : first + _COLUMNS] for first in range(0, len(lines), _COLUMNS)]
    yield from sections.part(words.LITERATURE)
    style = TableStyle(plain_style(0, _BETWEEN / 2))
    yield Table(rows, [ROOM / _COLUMNS] * _COLUMNS, hAlign="LEFT", style=style)


def acceptance(sections: Sections, decision: Decision) -> Iterator[Flowable]:
    """Tell what was weighed, and what the order of the proposed barrels is to guarantee."""
    yield from sections.section("acceptance")
    weighed = acceptance_sheet(sections.appraisal)
    barrels = proposed_barrels(decision)
    if not weighed.rows and not barrels:
        yield sections.writer.paragraph(words.EMPTY["acceptance"])
    if weighed.rows:
        yield from sections.sheet(weighed, weighed.title)
    for barrel in barrels:
        sheet = said_once(guarantee_sheet(sections.appraisal, barrel), "Remedy")
        yield from sections.sheet(sheet, sheet.title)


def sign_off(sections: Sections, results: str) -> Iterator[Flowable]:
    """Tell deviations, limits and signatures, then what changed since any that is stale.

    `results` is the digest that signatures are held against.
    """
    appraisal = sections.appraisal
    yield from sections.section("sign_off", SECTION / 2)
    pins = (pins_sheet(appraisal),) if appraisal.evaluation.assignment else ()
    sheets = (
        deviations_sheet(appraisal),
        waiting_limits_sheet(appraisal),
        confirmed_limits_sheet(appraisal),
        *pins,
        printed_sign_offs_sheet(appraisal, results),
    )
    # What there is none of first: it could not stand alone on a page then.
    nothing = " ".join(words.EMPTY[sheet.key] for sheet in sheets if not sheet.rows)
    yield from sections.notes([nothing] if nothing else [])
    for sheet in sheets:
        if sheet.rows:
            yield from sections.sheet(sheet, sheet.title)
    for title, lines in changed_since(appraisal, results):
        yield from sections.part(title, "minor")
        yield from (sections.writer.paragraph(line, "cell") for line in lines)
