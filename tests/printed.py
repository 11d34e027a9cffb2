"""What a reader of a PDF finds in it, of the whole document or of a part laid out alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache
from io import BytesIO

from pypdfium2 import PdfDocument
from reportlab.platypus import Flowable

from evenbarrel import __version__
from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.decision.flips.search import Flips
from evenbarrel.report.paper.front import Front
from evenbarrel.report.paper.pages import Pages
from evenbarrel.report.paper.text import Writer


@cache
def page_texts(data: bytes) -> tuple[str, ...]:
    """Return the text of each page, every run of white space made one space."""
    with PdfDocument(data) as document:
        return tuple(" ".join(page.get_textpage().get_text_bounded().split()) for page in document)


def front_pages(appraisal: Appraisal, flips: Flips | None = None) -> tuple[str, ...]:
    """Lay out what stands before the evidence alone; return the text of each page."""
    return laid_out(lambda writer: Front(appraisal, writer, __version__, flips=flips).tell())


def laid_out(part: Callable[[Writer], Iterable[Flowable]]) -> tuple[str, ...]:
    """Lay out one part of the document alone; return the text of each page."""
    out, writer = BytesIO(), Writer()
    Pages(out, writer, title="", author="", foot="").write(list(part(writer)))
    return page_texts(out.getvalue())
