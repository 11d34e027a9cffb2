"""Files that are not what they say, or are too much: refused whole, in one sentence, at once."""

from __future__ import annotations

import sys
from io import BytesIO
from types import FrameType
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
from openpyxl import Workbook

from evenbarrel.intake.files import extract_file, extract_text
from evenbarrel.intake.tables.cells import MOST_CELLS, MOST_ROWS, TableRefused
from evenbarrel.intake.tables.workbook_cells import MOST_PARTS, MOST_UNPACKED
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.file_errors import FileRefused

from .conftest import saved


def plain_book() -> bytes:
    book = Workbook()
    book.worksheets[0].append(["Screw diameter [mm]", 40])
    return saved(book)


def with_parts(**parts: bytes) -> bytes:
    """Return a workbook with parts put in the place of its own, or added; `__` is a slash."""
    named = {name.replace("__", "/").replace("_dot_", "."): data for name, data in parts.items()}
    out = BytesIO()
    with ZipFile(BytesIO(plain_book())) as old, ZipFile(out, "w", ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(name, named.pop(name, None) or old.read(name))
        for name, data in named.items():
            new.writestr(name, data)
    return out.getvalue()


def sheet_xml(cells: str, after: str = "") -> bytes:
    return (
        '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
        f"<sheetData>{cells}</sheetData>{after}</worksheet>"
    ).encode()


def many_parts() -> bytes:
    return with_parts(**{f"part{number}": b"x" for number in range(MOST_PARTS + 1)})


FAR = '<row r="1"><c r="A1"><v>1</v></c></row><row r="{row}"><c r="B{row}"><v>1</v></c></row>'

REFUSED = {
    "empty": (b"", "not a workbook"),
    "another format under the name": (b"%PDF-1.7 ...", "not a workbook"),
    "an archive": (with_parts()[:200], "not a workbook"),
    "cut off": (plain_book()[:-30], "not a workbook"),
    "password": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "password"),
    "macros": (with_parts(xl__vbaProject_dot_bin=b"\1\2"), "macros"),
    "many parts": (many_parts(), "more than 500 files"),
    "bomb": (with_parts(xl__media__a_dot_bin=b"\0" * (MOST_UNPACKED + 1)), "unpacks to more"),
    "entities": (
        with_parts(
            xl__worksheets__sheet1_dot_xml=b'<!DOCTYPE a [<!ENTITY b "c">]>' + sheet_xml("")
        ),
        "XML entities",
    ),
    "another encoding": (
        with_parts(xl__worksheets__sheet1_dot_xml=sheet_xml("").decode().encode("utf-16")),
        "encoding",
    ),
    "broken XML": (with_parts(xl__worksheets__sheet1_dot_xml=b"<worksheet><sheet"), "damaged"),
    "merged over everything": (
        with_parts(
            xl__worksheets__sheet1_dot_xml=sheet_xml(
                "", '<mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>'
            )
        ),
        "rows",
    ),
    "rows": (
        with_parts(xl__worksheets__sheet1_dot_xml=sheet_xml(FAR.format(row=MOST_ROWS + 1))),
        f"at most {MOST_ROWS} rows",
    ),
    "cells": (
        with_parts(
            xl__worksheets__sheet1_dot_xml=sheet_xml(FAR.format(row=9000).replace('r="B', 'r="H'))
        ),
        f"at most {MOST_CELLS} cells",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_workbook_that_is_none_is_refused(no_bids: Evaluation, name: str) -> None:
    data, words = REFUSED[name]
    with pytest.raises(FileRefused, match=words) as refused:
        extract_file(no_bids, "offer.xlsx", data)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("offer.txt", b"a\0b", "not text"),
        ("offer.csv", b"a;1\n" * (MOST_ROWS + 1), "rows"),
        ("offer.csv", (b";" * 20 + b"\n") * 5000, "cells"),
        ("offer.txt", b"x" * 30_000, "lines"),
        ("offer.pdf", b"%PDF", "not a PDF"),
        ("offer.docx", b"PK", "what is read"),
        ("offer.bid.json", b"{", "ends in the middle"),
    ],
)
def test_texts_and_other_files_are_refused(
    no_bids: Evaluation, name: str, data: bytes, words: str
) -> None:
    with pytest.raises(FileRefused, match=words):
        extract_file(no_bids, name, data)


def test_a_bid_that_is_not_there_is_refused(no_bids: Evaluation) -> None:
    with pytest.raises(FileRefused, match="no offer"):
        extract_file(no_bids, "offer.txt", b"Stroke: 200 mm", "b9")


def test_a_table_just_small_enough_is_read(no_bids: Evaluation) -> None:
    rows = "Stroke [mm]\t200\n" + "x\ty\n" * (MOST_ROWS - 1)
    assert len(extract_text(no_bids, rows).lines) == 1 + 2 * (MOST_ROWS - 1)
    with pytest.raises(TableRefused):
        extract_text(no_bids, rows + "x\ty\n")


def test_old_encodings_are_read(no_bids: Evaluation) -> None:
    text = "Rückstromsperre: Gleitring\nHub: 200 mm"
    for encoding in ("utf-8", "utf-8-sig", "utf-16", "cp1252"):
        lines = extract_file(no_bids, "offer.txt", text.encode(encoding)).lines
        assert [line.value for line in lines if line.field == "ring_kind"] == ["sliding"]


def test_the_largest_table_takes_work_in_step_with_its_rows(no_bids: Evaluation) -> None:
    def steps(rows: int) -> int:
        # Labels of its own each time: what was read before is remembered.
        labels = (f"label {rows} of {n}" for n in range(rows))
        text = "Stroke [mm]\t200\n" + "".join(f"{label}\tmm\t7\n" for label in labels)
        counted = 0

        def count(frame: FrameType, event: str, argument: object) -> None:
            nonlocal counted
            counted += 1

        sys.setprofile(count)
        try:
            extract_text(no_bids, text)
        finally:
            sys.setprofile(None)
        return counted

    steps(100)
    # Counted, not timed: four times the rows are about four times the calls.
    assert steps(2000) < 6 * steps(500)
