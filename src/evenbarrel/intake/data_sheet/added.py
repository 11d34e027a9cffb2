"""Worksheets that a supplier added to a data sheet: what their tables and words say, never sure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from pydantic import ValidationError

from evenbarrel.intake.accepting.taking import take, value_at
from evenbarrel.intake.extract import Extract, Finding, FoundAt, Line, same_value
from evenbarrel.intake.sources import Source
from evenbarrel.intake.tables.cells import Grid
from evenbarrel.intake.tables.several import tables_in
from evenbarrel.intake.tables.table import extract_tables
from evenbarrel.model.evaluation import Evaluation


def with_added(
    evaluation: Evaluation, sheet: Extract, added: Mapping[str, Grid], source: Source
) -> Extract:
    """Return what a data sheet holds, and behind it what the worksheets of these titles do.

    Their screws are found among those of the sheet. What the sheet says too is not told again; one
    in which nothing is read is named alone.
    """
    filled = _filled(evaluation, sheet)
    lines = [line for title in added for line in _of(title, added[title], filled, sheet, source)]
    now = [replace(one, now=_standing(evaluation, one)) for one in lines]
    return replace(sheet, lines=(*sheet.lines, *now))


def _filled(evaluation: Evaluation, sheet: Extract) -> Evaluation:
    """Return the evaluation as the sheet would fill it, as far as that goes together."""
    try:
        return take(evaluation, sheet, range(len(sheet.lines)))
    except ValidationError:
        return evaluation


def _of(
    title: str, grid: Grid, filled: Evaluation, sheet: Extract, source: Source
) -> Iterator[Line]:
    has_bid = any(bid.id == sheet.bid.bid for bid in filled.bids)
    found = extract_tables(filled, tables_in(grid), sheet.bid.bid if has_bid else "", source)
    if all(line.value is None for line in found.lines):
        yield Line(FoundAt(1, 0, title), "", title, findings=(Finding("sheet_beside"),))
        return
    lines = {line.goes_to: line for line in sheet.lines if line.value is not None}
    for line in found.lines:
        before = lines.get(line.goes_to)
        if before is None or line.value is None:
            yield _marked(line, Finding("sheet_added"))
        elif not same_value(line.value, before.value):
            conflict = Finding("conflict", f"{before.text} ({before.place})")
            yield _marked(line, Finding("sheet_added"), conflict)


def _marked(line: Line, *findings: Finding) -> Line:
    return replace(line, findings=(*line.findings, *findings))


def _standing(evaluation: Evaluation, line: Line) -> object:
    return None if line.thing is None else value_at(evaluation, line.thing, line.field, line.part)
