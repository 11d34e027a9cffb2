"""Pages that other programs write: reportlab, Qt's own printer, PDFs written here byte by byte.

Rotated pages are held against what pdfium draws of them; encryption is pypdf's.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader, PdfWriter
from PySide6.QtCore import QMarginsF, QRectF, QSizeF
from PySide6.QtGui import QFont, QGuiApplication, QImage, QPageSize, QPainter, QPdfWriter
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from evenbarrel import resources
from evenbarrel.entry.shapes import Context, shapes_of
from evenbarrel.intake.pages.boxed import extract_box, grids_in
from evenbarrel.intake.pages.document import MOST_PAGES, Picture, QuotePages
from evenbarrel.intake.pages.numbers import value_at
from evenbarrel.intake.pages.search import search
from evenbarrel.intake.pages.words import Box, Page, Word
from evenbarrel.intake.sources import Source
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel
from evenbarrel.report.paper.fonts import REGULAR, register
from evenbarrel.storage.file_errors import FileRefused

TABLE = (
    ("Screw", "", "A", "B"),
    ("Screw diameter", "mm", "40", "45"),
    ("Stroke", "mm", "190", "190"),
    ("Swept volume", "cm³", "239", "302"),
    ("Injection pressure", "bar", "2530", "2000"),
)
WHOLE = Box(0, 0, 5000, 5000)


def opened(data: bytes) -> QuotePages:
    return QuotePages(data, "quote.pdf")


def page_of(data: bytes, number: int = 1) -> Page:
    pages = opened(data)
    page = pages.page(number)
    pages.close()
    return page


def refusal(data: bytes) -> str:
    with pytest.raises(FileRefused) as refused:
        opened(data)
    return str(refused.value)


def by_reportlab(turns: int = 0, lines: Sequence[Sequence[str]] = TABLE) -> bytes:
    """Return a page of a table that is upright however the page is turned and cut."""
    register()
    out = BytesIO()
    page = Canvas(out, pagesize=(500, 400), invariant=1)
    page.setFont(REGULAR, 8)
    # So that the table is upright on the page as it is shown, turned clockwise.
    for turn in range(turns):
        page.transform(0, 1, -1, 0, 400 if turn % 2 else 500, 0)
    for row, cells in enumerate(lines):
        for column, text in enumerate(cells):
            page.drawString(60 + column * 95, 250 - row * 18, text)
    page.showPage()
    page.save()
    writer = PdfWriter(clone_from=BytesIO(out.getvalue()))
    writer.pages[0].rotate(90 * turns)
    turned = BytesIO()
    writer.write(turned)
    return turned.getvalue()


def written(*objects: bytes) -> bytes:
    """Return a PDF of these objects, the first of which is its catalogue."""
    out, places = bytearray(b"%PDF-1.4\n"), []
    for number, body in enumerate(objects, 1):
        places.append(len(out))
        out += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    start = len(out)
    out += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    out += b"".join(b"%010d 00000 n \n" % place for place in places)
    out += b"trailer\n<< /Size %d /Root 1 0 R >>\n" % (len(objects) + 1)
    return bytes(out + b"startxref\n%d\n%%%%EOF\n" % start)


def stream(content: bytes, more: bytes = b"") -> bytes:
    return b"<< /Length %d %s >>\nstream\n%s\nendstream" % (len(content), more, content)


def empty_pages(count: int) -> bytes:
    kids = b" ".join(b"%d 0 R" % number for number in range(3, 3 + count))
    page = b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 200 200] >>"
    return written(
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [%s] /Count %d >>" % (kids, count),
        *[page] * count,
    )


def one_page(content: bytes, font: bytes, *more: bytes, size: int = 2000) -> bytes:
    return written(
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 %d %d] /Contents 4 0 R"
        b" /Resources << /Font << /F1 5 0 R >> >> >>" % (size, size),
        stream(content),
        font,
        *more,
    )


HELVETICA = b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>"


def texts(page: Page, box: Box = WHOLE) -> list[list[str]]:
    return [[cell.text for cell in row] for grid in grids_in(page, box) for row in grid]


def ink(picture: Picture) -> np.ndarray:
    """Return which pixels of a page are dark."""
    rows = np.frombuffer(picture.pixels, np.uint8).reshape(picture.height, -1)
    pixels = rows[:, : picture.width * 4].reshape(picture.height, picture.width, 4)
    return np.asarray(pixels[:, :, :3].mean(axis=2) < 128)


@pytest.mark.parametrize("turns", [0, 1, 2, 3])
def test_words_lie_where_they_are_drawn_however_the_page_is_turned(turns: int) -> None:
    pages = opened(by_reportlab(turns))
    page, dark = pages.page(1), ink(pages.picture(1, 2.0))
    pages.close()
    assert (page.width, page.height) == ((500, 400) if turns % 2 == 0 else (400, 500))
    assert texts(page) == [list(row) for row in TABLE]
    left = dark.copy()
    for word in page.words:
        box = word.box.grown(1.0)
        rows = slice(round(2 * (page.height - box.top)), round(2 * (page.height - box.bottom)))
        columns = slice(round(2 * box.left), round(2 * box.right))
        assert dark[rows, columns].any(), word
        left[rows, columns] = False
    assert dark.sum() > 500
    assert not left.any()


def test_a_cut_page_counts_from_its_own_corner() -> None:
    writer = PdfWriter(clone_from=BytesIO(by_reportlab()))
    writer.pages[0].cropbox.lower_left = (40, 100)
    out = BytesIO()
    writer.write(out)
    whole, cut = page_of(by_reportlab()), page_of(out.getvalue())
    assert (cut.width, cut.height) == (460, 300)
    for one, other in zip(whole.words, cut.words, strict=True):
        assert one.text == other.text
        moved = Box(*(a - b for a, b in zip(one.box, (40, 100, 40, 100), strict=True)))
        assert other.box == pytest.approx(moved, abs=0.01)


def test_a_page_of_qt_s_printer_is_read(qapp: QGuiApplication, tmp_path: Path) -> None:
    file = tmp_path / "qt.pdf"
    writer = QPdfWriter(str(file))
    writer.setPageSize(QPageSize(QSizeF(150, 100), QPageSize.Unit.Millimeter))
    writer.setPageMargins(QMarginsF(0, 0, 0, 0))
    writer.setResolution(300)
    painter = QPainter(writer)
    painter.setFont(QFont("DejaVu Sans", 9))
    for row, cells in enumerate(TABLE):
        for column, text in enumerate(cells):
            painter.drawText(QRectF(80 + column * 400, 100 + row * 80, 600, 80), text)
    painter.end()
    assert texts(page_of(file.read_bytes())) == [list(row) for row in TABLE]


def test_a_scanned_page_is_said_to_be_a_picture(qapp: QGuiApplication, tmp_path: Path) -> None:
    pages = opened(by_reportlab())
    picture = pages.picture(1, 1.0)
    pages.close()
    image = QImage(
        picture.pixels,
        picture.width,
        picture.height,
        picture.bytes_a_row,
        QImage.Format.Format_RGB32,
    )
    scan = tmp_path / "scan.png"
    assert image.save(str(scan))
    out = BytesIO()
    paper = Canvas(out, pagesize=(500, 400), invariant=1)
    paper.drawImage(ImageReader(str(scan)), 0, 0, 500, 400)
    paper.save()
    page = page_of(out.getvalue())
    assert page.is_picture
    stroke = shapes_of(Barrel)["stroke"]
    assert value_at(page, 250, 200, stroke, Context()) is None


def test_the_unit_of_a_number_is_found_where_tables_print_it() -> None:
    """Behind it, in its row, in its label's brackets, and above it."""
    across = (
        ("Stroke, mm", "190", "0"),
        ("Hub [mm]", "191", "0"),
        ("Swept volume", "239 cm³", "0"),
        ("Course", "mm", "192"),
        ("", "", ""),
        ("Screw", "Stroke", "Pressure"),
        ("", "in", "psi"),
        ("A", "7.50", "37400"),
    )
    page = page_of(by_reportlab(lines=across))
    shapes = shapes_of(Barrel)
    for text, datum, wanted in (
        ("190", "stroke", ("190", "mm")),
        ("191", "stroke", ("191", "mm")),
        ("192", "stroke", ("192", "mm")),
        ("239", "swept_volume", ("239", "cm3")),
        ("7.50", "stroke", ("7.50", "in")),
        ("37400", "injection_pressure", ("37400", "psi")),
    ):
        word = next(word for word in page.words if word.text == text)
        found = value_at(page, *word.box.middle, shapes[datum], Context())
        assert found is not None
        assert (found.reading.value.magnitude, found.reading.value.unit) == wanted
        assert "unit_missing" not in [one.code for one in found.reading.findings]
        assert found.box.left <= word.box.left


def test_type_3_fonts_are_read_and_drawn() -> None:
    glyph = b"500 0 0 0 400 700 d1 0 0 400 700 re f"
    font = (
        b"<< /Type /Font /Subtype /Type3 /FontBBox [0 0 500 700] /FontMatrix [.001 0 0 .001 0 0]"
        b" /CharProcs << /one 6 0 R /nine 6 0 R >> /Encoding << /Type /Encoding"
        b" /Differences [49 /one 57 /nine] >> /FirstChar 49 /LastChar 57"
        b" /Widths [500 500 500 500 500 500 500 500 500] /Resources << >> >>"
    )
    data = one_page(b"BT /F1 20 Tf 100 100 Td (191) Tj ET", font, stream(glyph), size=300)
    pages = opened(data)
    (word,) = pages.page(1).words
    assert word.text == "191"
    assert ink(pages.picture(1, 1.0)).any()
    pages.close()


def test_text_from_right_to_left_is_found_and_harms_nothing(sample_evaluation: Evaluation) -> None:
    lines = (("שבר", "190 mm", "", ""), ("ضغط", "2000 bar", "", ""))
    page = page_of(by_reportlab(lines=lines))
    hebrew = [word for word in page.words if "ש" in word.text]
    assert len(hebrew) == 1
    assert hebrew[0].box.left < page.words[-1].box.left
    extract = extract_box(sample_evaluation, page, WHOLE, "b1", Source("quote.pdf"))
    assert [line.outcome for line in extract.lines] == ["not_read"] * len(extract.lines)
    assert {"190 mm", "2000 bar"} <= {line.text for line in extract.lines}


def test_a_page_of_fifty_thousand_words_is_read(sample_evaluation: Evaluation) -> None:
    line = b"(" + b" ".join([b"190"] * 100) + b") Tj 0 -3.5 Td\n"
    content = b"BT /F1 3 Tf 20 1950 Td\n" + line * 500 + b"ET"
    page = page_of(one_page(content, HELVETICA))
    assert len(page.words) == 50_000
    x, y = page.words[25_000].box.middle
    found = value_at(page, x, y, shapes_of(Barrel)["stroke"], Context())
    assert found is not None
    assert "190" in found.text
    extract = extract_box(sample_evaluation, page, WHOLE, "b1", Source("quote.pdf"))
    assert extract.sure_lines() == ()


def test_so_many_pages_are_opened_and_no_more() -> None:
    pages = opened(empty_pages(MOST_PAGES))
    assert pages.count == 2_000
    assert pages.page(2_000).is_picture
    assert search(pages, "stroke") == ()
    pages.close()
    assert refusal(empty_pages(MOST_PAGES + 1)) == "quote.pdf: it has more than 2000 pages"
    assert refusal(empty_pages(0)) == "quote.pdf: it is not a PDF, or it is broken or incomplete"


def test_what_is_locked_or_something_else_is_refused_in_a_sentence() -> None:
    writer = PdfWriter(clone_from=BytesIO(by_reportlab()))
    writer.encrypt("secret", algorithm="RC4-128")
    out = BytesIO()
    writer.write(out)
    assert refusal(out.getvalue()) == (
        "quote.pdf: it asks for a password: save a copy without one and attach that"
    )
    for data in (b"", b"PK\x03\x04 no PDF", b"\0" * 4096, b"%PDF-1.7\n"):
        assert refusal(data) == "quote.pdf: it is not a PDF, or it is broken or incomplete"


def test_after_it_is_closed_nothing_is_read() -> None:
    pages = opened(by_reportlab())
    pages.close()
    with pytest.raises(FileRefused, match="page 1 cannot be read"):
        pages.page(1)
    with pytest.raises(FileRefused, match="page 1 cannot be read"):
        pages.picture(1, 1.0)


QUOTE = resources.read_sample("quillomar-quotation.pdf")


@settings(deadline=5_000)
@given(
    cut=st.integers(0, len(QUOTE)),
    hurt=st.lists(st.tuples(st.integers(0, len(QUOTE) - 1), st.integers(0, 255)), max_size=12),
)
def test_what_is_cut_off_or_damaged_is_read_or_refused(
    cut: int, hurt: list[tuple[int, int]]
) -> None:
    data = bytearray(QUOTE)
    for place, byte in hurt:
        data[place] = byte
    try:
        pages = opened(bytes(data[:cut]))
    except FileRefused:
        return
    for number in range(1, min(pages.count, 3) + 1):
        with suppress(FileRefused):
            assert all(isinstance(word, Word) for word in pages.page(number).words)
            pages.picture(number, 0.2)
    pages.close()


def test_pypdf_reads_the_same_words() -> None:
    theirs = "".join(page.extract_text() for page in PdfReader(BytesIO(QUOTE)).pages)
    pages = opened(QUOTE)
    ours = [word.text for n in range(1, pages.count + 1) for word in pages.page(n).words]
    pages.close()
    squeezed = "".join(theirs.split())
    assert len(ours) > 100
    assert [word for word in ours if word not in squeezed] == []
