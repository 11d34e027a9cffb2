"""The archive of an evaluation: with it, everything that this version makes of it."""

from __future__ import annotations

from evenbarrel import __version__
from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.decision.decide import decide
from evenbarrel.report.pdf import render_pdf
from evenbarrel.report.results_file import results_digest, results_of, to_json
from evenbarrel.report.workbook.book import render_workbook
from evenbarrel.resources import read_bytes
from evenbarrel.storage.archive import archive_bytes
from evenbarrel.wording.sentences.asking.questions import question_texts

RESINS = "resins.json"
"""The resin table of the program, against which an evaluation's own resins can be read."""


def render_archive(appraisal: Appraisal) -> bytes:
    """Return evaluation, results, document, workbook and resin table as one file."""
    results = results_of(appraisal, question_texts(appraisal), decide(appraisal))
    made = {
        "results.json": to_json(results),
        "evaluation.pdf": render_pdf(appraisal),
        "evaluation.xlsx": render_workbook(appraisal),
        RESINS: read_bytes(RESINS),
    }
    return archive_bytes(appraisal.evaluation, made, __version__, results_digest(results))
