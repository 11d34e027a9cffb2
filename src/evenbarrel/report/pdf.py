"""The evaluation as a PDF: data in, bytes out; equal data give equal bytes."""

from __future__ import annotations

from io import BytesIO

from evenbarrel import __version__
from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.decision.flips.search import Flips
from evenbarrel.report.paper.pages import Pages
from evenbarrel.report.paper.story import story
from evenbarrel.report.paper.text import Writer
from evenbarrel.wording.paper.sections import UNTITLED, foot_text


def render_pdf(appraisal: Appraisal, workings: bool = False, flips: Flips | None = None) -> bytes:
    """Return the evaluation, ready to be printed and signed.

    Two pages for who decides, then the evidence; with `workings` an appendix of how each number
    came about. `flips` are those of this appraisal: searching takes seconds, so that without them
    it is said that nobody looked.
    """
    evaluation, writer, out = appraisal.evaluation, Writer(), BytesIO()
    flowables = story(appraisal, writer, __version__, workings, flips)
    pages = Pages(
        out,
        writer,
        title=evaluation.title or UNTITLED,
        author=evaluation.buyer,
        foot=foot_text(appraisal, __version__),
    )
    pages.write(flowables)
    return out.getvalue()
