"""The evaluation as a PDF: data in, bytes out; equal data give equal bytes."""

from __future__ import annotations

from io import BytesIO

from evenbarrel import __version__
from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.report.pages import Pages
from evenbarrel.report.story import story
from evenbarrel.report.text import Writer
from evenbarrel.wording.sentences.document import UNTITLED, foot_text


def render_pdf(appraisal: Appraisal) -> bytes:
    """Return the side-by-side evaluation, ready to be printed and signed."""
    evaluation, writer, out = appraisal.evaluation, Writer(), BytesIO()
    told = story(appraisal, writer, __version__)
    pages = Pages(
        out,
        writer,
        title=evaluation.title or UNTITLED,
        author=evaluation.buyer,
        foot=foot_text(appraisal, __version__),
    )
    pages.write(told)
    return out.getvalue()
