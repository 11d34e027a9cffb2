"""A letter to a supplier as a PDF: data in, bytes out; equal letters give equal bytes."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from typing import Any

from reportlab.lib.pagesizes import A4
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    KeepTogether,
    PageTemplate,
    Spacer,
    Table,
)

from evenbarrel.report.paper.fonts import REGULAR
from evenbarrel.report.paper.palette import colour
from evenbarrel.report.paper.text import Writer
from evenbarrel.wording.paper.sections import page_text
from evenbarrel.wording.sentences.asking.letters import AS_STATED, TO_FILL, Letter
from evenbarrel.wording.sentences.asking.missing import MissingTable

WIDTH, HEIGHT = A4
MARGIN, TOP, FOOT = 62.0, 56.0, 56.0
ROOM = WIDTH - 2 * MARGIN
"""Width of the page's one column [pt]."""

_SMALL = 7.0
_UNIT, _SCREW_LEAST, _SCREW_MOST, _WHAT_LEAST = 44.0, 42.0, 72.0, 150.0
_SIGNING = 30.0
"""Room to sign in, above the name [pt]."""


def render_letter(letter: Letter) -> bytes:
    """Return a letter ready to be sent, on as many pages as it takes."""
    out, writer = BytesIO(), Writer()
    story = list(_story(letter, writer))
    pages = _Pages(
        out,
        pagesize=A4,
        title=writer.line(letter.subject),
        author=writer.line(", ".join(letter.sender)),
        invariant=1,
        lang="en-GB",
        displayDocTitle=1,
        initialFontName=REGULAR,
    )
    pages.build(story, canvasmaker=_Numbered)
    return out.getvalue()


class _Pages(BaseDocTemplate):
    """One column on upright pages."""

    def __init__(self, out: BytesIO, **more: Any) -> None:
        super().__init__(out, **more)
        frame = Frame(MARGIN, FOOT, ROOM, HEIGHT - TOP - FOOT, 0, 0, 0, 0)
        self.addPageTemplates([PageTemplate("letter", [frame], onPage=_hold_number)])


class _Numbered(Canvas):
    """A canvas whose pages say which of how many they are, where there are several."""

    def save(self) -> None:
        """Fill the places that were held, and finish the document."""
        total = self.getPageNumber() - 1
        for page in range(1, total + 1):
            self.beginForm(f"number{page}", 0, 0, WIDTH, HEIGHT)
            if total > 1:
                self.setFont(REGULAR, _SMALL)
                self.setFillColor(colour("faint_text"))
                self.drawRightString(WIDTH - MARGIN, FOOT - 22, page_text(page, total))
            self.endForm()
        super().save()


def _hold_number(canvas: Canvas, _document: BaseDocTemplate) -> None:
    canvas.doForm(f"number{canvas.getPageNumber()}")


def _story(letter: Letter, writer: Writer) -> Iterator[Flowable]:
    for line in (*letter.sender, letter.day):
        if line:
            yield writer.paragraph(writer.line(line), "letter_line")
    yield Spacer(0, 20)
    yield writer.paragraph(writer.line(letter.to), "letter")
    yield writer.paragraph(writer.line(letter.subject), "letter_subject")
    yield from _paragraphs(letter.words, writer)
    if letter.table.rows:
        yield writer.paragraph(TO_FILL, "letter")
        for part in letter.table.parts():
            yield _table(part, writer)
            yield Spacer(0, 4)
        if any(cell for row in letter.table.rows for cell in row.cells):
            yield writer.paragraph(AS_STATED, "note")
        yield Spacer(0, 6)
    end = [*_paragraphs(letter.answer_by, writer), *_paragraphs(letter.closing, writer)]
    regards, *signed = letter.signed
    end += [writer.paragraph(regards, "letter"), Spacer(0, _SIGNING)]
    end += [writer.paragraph(writer.line(line), "letter_line") for line in signed]
    yield KeepTogether(end)


def _paragraphs(words: str, writer: Writer) -> Iterator[Flowable]:
    """Yield a paragraph for each block of lines; an empty line parts them."""
    for block in words.split("\n\n"):
        if block.strip():
            yield writer.paragraph(block.strip("\n"), "letter")


def _table(table: MissingTable, writer: Writer) -> Table:
    """Return one table: what is meant below each datum, boxes to fill, what is stated on grey."""
    screws = len(table.screws)
    each = min(_SCREW_MOST, max(_SCREW_LEAST, (ROOM - _WHAT_LEAST - _UNIT) / screws))
    widths = [ROOM - _UNIT - each * screws, _UNIT, *[each] * screws]
    titles = (writer.title(writer.line(name), each - 8) for name in table.names)
    head = ["", "", *(writer.paragraph(title, "heading") for title in titles)]
    rows: list[list[Any]] = [head]
    style: list[tuple[Any, ...]] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("LINEBELOW", (0, 0), (-1, 0), 0.8, colour("ruler")),
        ("LINEBELOW", (0, 1), (1, -1), 0.3, colour("line")),
        ("LEFTPADDING", (0, 0), (0, -1), 0),
        ("LEFTPADDING", (1, 0), (-1, -1), 4),
        ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ("TOPPADDING", (0, 0), (-1, -1), 3),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
    ]
    for number, row in enumerate(table.rows, 1):
        what = [
            writer.paragraph(row.label, "cell_bold"),
            writer.paragraph(f"{row.meaning} {row.reason}".strip(), "working"),
        ]
        cells = [writer.paragraph(writer.line(cell or ""), "cell_right") for cell in row.cells]
        rows.append([what, writer.paragraph(row.unit, "cell"), *cells])
        for column, cell in enumerate(row.cells, 2):
            place = (column, number)
            style.append(("BOX", place, place, 0.6, colour("ruler" if cell is None else "line")))
            if cell is not None:
                style.append(("BACKGROUND", place, place, colour("raised")))
    return Table(rows, widths, repeatRows=1, hAlign="LEFT", style=style)
