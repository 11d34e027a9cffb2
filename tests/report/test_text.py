"""Words on paper: whatever comes in stands there literally."""

from __future__ import annotations

import ast
from html import unescape
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.platypus import Flowable, Paragraph

import evenbarrel.report
from evenbarrel.report.paper.pictures.strokes import Marked
from evenbarrel.report.paper.tables import sheet_table
from evenbarrel.report.paper.text import Writer, styles
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet


def _names(tree: ast.AST) -> set[str]:
    calls = (node.func for node in ast.walk(tree) if isinstance(node, ast.Call))
    return {
        found.id if isinstance(found, ast.Name) else getattr(found, "attr", "") for found in calls
    }


def _lines(paragraph: Paragraph) -> list[str]:
    """Return the lines of a wrapped paragraph without white space."""
    # Of one fragment a line is its words; of several, words that may be parts of one.
    lines = paragraph.blPara.lines
    words = (line[1] if isinstance(line, tuple) else [w.text for w in line.words] for line in lines)
    return ["".join("".join(line).split()) for line in words]


def test_paragraphs_are_made_in_one_place() -> None:
    folder = Path(evenbarrel.report.__file__).parent
    makers = {
        path.name
        for path in folder.rglob("*.py")
        if {"Paragraph", "Prose", "XPreformatted"}
        & _names(ast.parse(path.read_text(encoding="utf-8")))
    }
    assert makers == {"text.py"}


def test_markup_is_escaped_and_line_ends_are_kept() -> None:
    writer = Writer()
    assert writer.text('a <b> & "c"\r\nd') == 'a &lt;b&gt; &amp; "c"<br/>d'
    assert writer.text("&lt;") == "&amp;lt;"


def test_what_hides_in_a_text_is_printed_as_a_mark_that_the_fonts_have() -> None:
    writer = Writer()
    assert writer.line("a\x00b\x1bc\td\ne\ud800") == "a⟨U+0000⟩b⟨U+001B⟩c d e⟨U+D800⟩"
    assert writer.lacking == ()


def test_lacking_glyphs_are_collected_once_in_code_order() -> None:
    writer = Writer()
    assert writer.line("日中日 Ø ½ ≥ → ³") == "\ufffd\ufffd\ufffd Ø ½ ≥ → ³"
    assert writer.lacking == ("中", "日")


def test_a_short_cell_stays_a_plain_line_and_a_long_one_becomes_a_paragraph() -> None:
    writer = Writer()
    assert writer.cell("12.5", 50.0) == "12.5"
    assert isinstance(writer.cell("far too long for so little room", 50.0), Paragraph)
    assert isinstance(writer.cell("two\nlines", 500.0), Paragraph)


def test_no_line_ends_between_a_number_and_its_unit() -> None:
    paragraph = Writer().paragraph("1.05 g/cm³ rated, 0.91 g/cm³ expected, 12 kg/h ± 4.0 % of it")
    seen = set()
    for room in range(60, 300, 5):
        paragraph.wrap(room, 1000.0)
        lines = _lines(paragraph)
        seen.add(len(lines))
        assert not [line for line in lines[:-1] if line.endswith(tuple("/±0123456789"))]
    assert {1, 2, 3} <= seen


def test_lines_kept_for_one_width_are_broken_anew_for_another_and_after_a_page_had_no_room() -> (
    None
):
    words = "swept volume of the barrel, as printed and as it follows from diameter and stroke"
    kept, marked = Writer().paragraph(words), Marked("near_edge", words)
    for room in (300.0, 300.0, 90.0, 300.0):
        fresh, new = Writer().paragraph(words), Marked("near_edge", words)
        assert kept.wrap(room, 100.0) == fresh.wrap(room, 100.0)
        assert _lines(kept) == _lines(fresh)
        assert marked.wrap(room, 100.0) == new.wrap(room, 100.0)
        assert kept.split(room, 1.0) == []
        kept.wrap(room, 100.0)
        assert _lines(kept) == _lines(fresh)


def test_words_beside_a_mark_are_parted_where_a_page_ends() -> None:
    lines = [f"line{number}" for number in range(40)]
    parts: list[Flowable] = [Marked("near_edge", "\n".join(lines))]
    # A table measures without its padding, and splits with it.
    while parts[-1].wrap(80.0, 100.0)[1] > 100.0:
        assert parts[-1].height > 100.0
        parts[-1:] = parts[-1].split(86.0, 100.0)
    assert len(parts) == 4
    assert [line for part in parts for line in part._lines] == lines


@given(st.text(alphabet=st.characters(codec="utf-8"), max_size=60))
def test_any_text_makes_a_paragraph_that_shows_it(words: str) -> None:
    writer = Writer()
    paragraph = writer.paragraph(words)
    paragraph.wrap(200.0, 1000.0)
    shown = writer.text(words).replace("<br/>", "\n")
    assert "<" not in shown
    assert unescape(shown).count("&") == words.count("&")
    read = Paragraph(writer.text(words), styles()["body"])
    read.wrap(200.0, 1000.0)
    assert _lines(paragraph) == _lines(read)


@pytest.mark.parametrize("rows", range(3, 7))
@pytest.mark.parametrize("low", [True, False])
def test_no_row_is_left_alone_on_a_page(rows: int, low: bool) -> None:
    text = "one line" if low else "more than one line " * 20
    cells = tuple((Cell(text), Cell("open")) for _ in range(rows))
    sheet = Sheet("questions", "Questions", (Heading("Question"), Heading("Status")), cells)
    heights = sheet_table(Writer(), sheet, 400.0).heights(400.0)
    for fit in range(2, rows + 1):
        parts = sheet_table(Writer(), sheet, 400.0).split(400.0, sum(heights[:fit]) + 1.0)
        seen = [part._nrows - part.repeatRows for part in parts]
        assert sum(seen) in (0, rows), fit
        assert all(count > 1 for count in seen[1:]), (fit, seen)
        # One that fills several lines may begin a table.
        assert not low or all(count > 1 for count in seen[:1]), (fit, seen)


def test_no_line_ends_within_an_amount() -> None:
    for room in range(70, 160, 5):
        told = Writer().paragraph("Cost over life is EUR 476\u202f720 for all of the jobs.")
        told.wrap(room, 1000.0)
        lines = [" ".join(words) for _, words in told.blPara.lines]
        assert len(lines) > 1
        assert any("476\u00a0720" in line for line in lines), lines
