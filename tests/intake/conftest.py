"""Evaluations to take extracts into."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from io import BytesIO
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook

from evenbarrel.intake.extract import Extract, Line
from evenbarrel.intake.files import extract_file
from evenbarrel.model.evaluation import Evaluation


@pytest.fixture(scope="session")
def no_bids(sample_evaluation: Evaluation) -> Evaluation:
    """The sample's resins, and nothing offered yet."""
    return Evaluation(resins=sample_evaluation.resins)


@pytest.fixture
def book_of() -> Callable[[Mapping[str, list[list[Any]]]], Workbook]:
    """Give a workbook with the rows of each worksheet."""

    def made(sheets: Mapping[str, list[list[Any]]]) -> Workbook:
        book = Workbook()
        book.remove(book.worksheets[0])
        for title, rows in sheets.items():
            page = book.create_sheet(title)
            for row in rows:
                page.append(row)
        return book

    return made


def saved(book: Workbook) -> bytes:
    """Return the bytes of a workbook."""
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def opened(data: bytes) -> Workbook:
    """Return the workbook in bytes."""
    return load_workbook(BytesIO(data))


def extract_of(evaluation: Evaluation, book: Workbook, name: str = "offer.xlsx") -> Extract:
    """Return the extract that a workbook comes to."""
    return extract_file(evaluation, name, saved(book))


def lines_of(extract: Extract, field: str) -> list[Line]:
    """Return the lines of one datum."""
    return [line for line in extract.lines if line.field == field]


def codes(line: Line) -> list[str]:
    """Return the codes of what was noticed of a line."""
    return [finding.code for finding in line.findings]
