"""The first sheet of the workbook: what it is of, what is proposed, what is not known."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenbarrel.decision.decide import Decision
from evenbarrel.wording.paper import first_pages, leaders
from evenbarrel.wording.paper.choice import is_costed
from evenbarrel.wording.paper.sections import SCREENING, UNTITLED
from evenbarrel.wording.sentences.cells import date_text
from evenbarrel.wording.sentences.deciding.decision import NOT_JUDGED_HERE
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet

PROPOSED = "Proposed"
_LONGEST_REASON = 420
"""Letters of the reason, as many as on the first page."""


def overview_sheet(decision: Decision) -> Sheet:
    """Return in words what whoever opens the workbook is to know before its numbers."""
    headings = (Heading("What"), Heading("Content"))
    rows = tuple((Cell(what), Cell(text)) for what, text in _entries(decision))
    return Sheet("overview", "Evaluation", headings, rows)


def _entries(decision: Decision) -> Iterator[tuple[str, str]]:
    appraisal = decision.appraisal
    evaluation = appraisal.evaluation
    yield "Title", evaluation.title or UNTITLED
    for what, text in (("Buyer", evaluation.buyer), ("Site", evaluation.site)):
        if text:
            yield what, text
    yield "As of", date_text(evaluation.as_of)
    yield "Scope", first_pages.compared_text(appraisal)
    yield from _lines(first_pages.SAFETY, first_pages.safety_lines(appraisal))
    yield from _lines(first_pages.NOT_KNOWN, _not_known(decision))
    if is_costed(decision):
        proposed = leaders.proposed_lines(decision, _LONGEST_REASON)
        yield from _lines(PROPOSED, (*proposed, *leaders.offers_lines(decision)))
    yield "Screening", f"{SCREENING} {NOT_JUDGED_HERE}"


def _not_known(decision: Decision) -> Sequence[str]:
    """Return what is not known of what is proposed, of all barrels, and of the costs."""
    found = list(first_pages.not_known_lines(decision.appraisal))
    if is_costed(decision):
        found = [*leaders.proposal_not_known(decision), *found, leaders.costs_not_known(decision)]
    return [line for line in found if line]


def _lines(what: str, lines: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Yield lines below one another, named once."""
    for place, line in enumerate(lines):
        yield ("" if place else what), line
