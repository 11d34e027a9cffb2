"""Two evaluations side by side as JSON: what `compare --json` writes."""

from __future__ import annotations

from pydantic import JsonValue

from evenbarrel.decision.standing_by.comparison import Comparison
from evenbarrel.model.record.decision import SignedCell
from evenbarrel.model.states.digest import digest
from evenbarrel.report.results_base import Published
from evenbarrel.wording.standing_by.changed import change_line


class PublishedChange(Published):
    """A field, `path` by names and ids, with its old and its new value."""

    path: tuple[str | int, ...]
    old: JsonValue
    new: JsonValue
    text: str


class PublishedChangedCell(Published):
    """A cell with its state in both; null where it is not there."""

    barrel: str
    job: str
    old: SignedCell | None
    new: SignedCell | None


class PublishedChangedResult(Published):
    """A barrel's gate, rank, landed price or present cost in both."""

    barrel: str
    of: str
    old: str | float | None
    new: str | float | None


class PublishedChangedClaim(Published):
    """A claim's state in both."""

    barrel: str
    claim: str
    old: str | None
    new: str | None


class PublishedComparison(Published):
    """Everything that differs between two evaluations."""

    comparison_version: int = 1
    old_digest: str
    new_digest: str
    fields: tuple[PublishedChange, ...]
    results: tuple[PublishedChangedResult, ...]
    cells: tuple[PublishedChangedCell, ...]
    claims: tuple[PublishedChangedClaim, ...]


def comparison_json(comparison: Comparison) -> bytes:
    """Return what differs as UTF-8 JSON, one level of indentation a step."""
    published = PublishedComparison(
        old_digest=digest(comparison.old.appraisal.evaluation),
        new_digest=digest(comparison.new.appraisal.evaluation),
        fields=tuple(
            PublishedChange(
                path=one.path,
                old=one.old,
                new=one.new,
                text=change_line(one, comparison.old_data, comparison.new_data),
            )
            for one in comparison.fields
        ),
        results=tuple(
            PublishedChangedResult(
                barrel=one.barrel, of=one.of, old=_number(one.old), new=_number(one.new)
            )
            for one in comparison.results
        ),
        cells=tuple(
            PublishedChangedCell(barrel=one.barrel, job=one.job, old=one.signed, new=one.now)
            for one in comparison.cells
        ),
        claims=tuple(
            PublishedChangedClaim(barrel=one.barrel, claim=one.claim, old=one.old, new=one.new)
            for one in comparison.claims
        ),
    )
    return (published.model_dump_json(indent=1) + "\n").encode("utf-8")


def _number(value: str | float | None) -> str | float | None:
    return float(value) if isinstance(value, int) else value
