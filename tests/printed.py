"""What a reader of a PDF finds in it, and in its first pages laid out alone."""

from __future__ import annotations

from functools import cache
from io import BytesIO

from pypdfium2 import PdfDocument

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
    out, writer = BytesIO(), Writer()
    pages = Pages(out, writer, title="", author="", foot="")
    pages.write(Front(appraisal, writer, __version__, flips=flips).flowables())
    return page_texts(out.getvalue())
