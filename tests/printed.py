"""What a reader of a PDF finds in it."""

from __future__ import annotations

from functools import cache

from pypdfium2 import PdfDocument


@cache
def page_texts(data: bytes) -> tuple[str, ...]:
    """Return the text of each page, every run of white space made one space."""
    with PdfDocument(data) as document:
        return tuple(" ".join(page.get_textpage().get_text_bounded().split()) for page in document)
