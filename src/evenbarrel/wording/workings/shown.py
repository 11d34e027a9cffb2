"""What stands around a working: where there is none, and what is gone."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal
    from evenbarrel.appraisal.references import Reference
    from evenbarrel.decision.decide import Decision
    from evenbarrel.wording.workings.line import Line, Working

NOTHING_OPEN = (
    "Click a number, a mark or a cell, or press Enter on it, to see here its formula, its "
    "inputs, where each was printed and what is assumed."
)
COSTING = "The costs of this state are being computed; the working opens by itself."
GONE = "What was shown here is no longer part of the evaluation."


def working_or_none(
    appraisal: Appraisal, reference: Reference, decision: Decision | None = None
) -> Working | None:
    """Return how a number came about, or None where it is no longer there."""
    # Loaded with the first number that is opened: a working may be of the decision too.
    from evenbarrel.wording.workings.working import working

    try:
        return working(appraisal, reference, decision)
    except (KeyError, ValueError):
        return None


def way_in(line: Line) -> str:
    """Return what the way to the field of a line is called, "" where there is none."""
    if not line.path:
        return ""
    return "change" if line.is_entered else "enter"


def sources(literature: tuple[str, ...]) -> str:
    """Return the literature a working rests on."""
    return f"Source: {'; '.join(literature)}."
