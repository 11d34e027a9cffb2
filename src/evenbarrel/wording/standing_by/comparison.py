"""Two evaluations side by side, in words: data, verdicts, prices, who leads."""

from __future__ import annotations

from collections.abc import Sequence

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.decision.decide import Decision
from evenbarrel.decision.standing_by.comparison import ChangedResult, Comparison, Of
from evenbarrel.wording.sentences.cells import fit_word
from evenbarrel.wording.sheets.decision.cells import UNKNOWN
from evenbarrel.wording.standing_by.changed import change_lines
from evenbarrel.wording.standing_by.signatures import cell_words
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.names import full_name, job_name
from evenbarrel.wording.words.numbers import ABSENT, currency_amount, signed_percent

ALIKE = "No entered data differ, and no result differs."
SAME_DATA = "No entered data differ."
SAME_VERDICTS = "No verdict and no gate differs."
_NOT_THERE = "not there"


def comparison_lines(comparison: Comparison, most: int | None = None) -> list[str]:
    """Return what differs, part by part, one line each; at most so many fields and cells."""
    if not (comparison.fields or comparison.results or comparison.cells or comparison.claims):
        return [ALIKE]
    data = change_lines(comparison.fields, comparison.old_data, comparison.new_data, most)
    lines = [f"Entered data that differ ({len(comparison.fields)}):" if data else SAME_DATA]
    lines += [f"    {line}" for line in data]
    for title, part in (
        ("Gates:", _results(comparison, "gate")),
        ("Verdicts:", _cells(comparison, most)),
        ("Claims:", _claims(comparison)),
        ("Prices, landed:", _results(comparison, "price")),
        ("Cost over life:", _results(comparison, "present_cost")),
        ("Ranks:", _results(comparison, "rank")),
    ):
        if part:
            lines += [title, *(f"    {line}" for line in part)]
    if not comparison.cells and not comparison.results_of("gate"):
        lines.append(SAME_VERDICTS)
    leaders = [_leaders(one) for one in (comparison.old, comparison.new)]
    if leaders[0] != leaders[1]:
        lines.append(f"First in the order: {leaders[0]} → {leaders[1]}.")
    return lines


def _name(comparison: Comparison, barrel: str) -> str:
    return full_name(_knowing(comparison, barrel), barrel)


def _knowing(comparison: Comparison, barrel: str) -> Appraisal:
    """Return the newer appraisal that has a barrel."""
    new = comparison.new.appraisal
    known = any(one.id == barrel for one in new.barrels)
    return new if known else comparison.old.appraisal


def _results(comparison: Comparison, of: Of) -> list[str]:
    return [
        f"{_name(comparison, one.barrel)}: {_change_words(comparison, one)}"
        for one in comparison.results_of(of)
    ]


def _change_words(comparison: Comparison, one: ChangedResult) -> str:
    if one.of == "gate":
        present = [
            any(b.id == one.barrel for b in side.appraisal.barrels)
            for side in (comparison.old, comparison.new)
        ]
        words = [
            labels.GATES[gate] if there else _NOT_THERE
            for gate, there in zip((one.old, one.new), present, strict=True)
        ]
        return " → ".join(words)
    if one.of == "rank":
        return " → ".join(ABSENT if rank is None else str(rank) for rank in (one.old, one.new))
    return _money_words(comparison, one)


def _money_words(comparison: Comparison, one: ChangedResult) -> str:
    """Return a price or a cost in both, and by how much it rose where both are of the same."""
    sides = (comparison.old, comparison.new)
    currencies = [side.appraisal.evaluation.currency for side in sides]
    amounts = " → ".join(
        currency_amount(amount, currency) + (UNKNOWN if _lacks(side, one) else "")
        for side, amount, currency in zip(sides, (one.old, one.new), currencies, strict=True)
    )
    if not one.old or not one.new or currencies[0] != currencies[1]:
        return amounts
    before, now = (side.cost[one.barrel].jobs for side in sides)
    if one.of == "present_cost" and before != now:
        jobs = f"{len(before)} and {len(now)}" if len(before) != len(now) else f"{len(now)}"
        return f"{amounts}, for other jobs ({jobs}): not to be compared"
    return f"{amounts} ({signed_percent(one.new / one.old - 1.0)})"


def _lacks(side: Decision, one: ChangedResult) -> bool:
    """Say whether a part of an amount is not stated, in one of the two."""
    if one.barrel not in side.offers:
        return False
    price, cost = side.offers[one.barrel].price, side.cost[one.barrel].present
    found = price if one.of == "price" else cost
    return found.value is not None and bool(found.missing)


def _cells(comparison: Comparison, most: int | None) -> list[str]:
    rows = []
    for cell in comparison.cells[:most]:
        appraisal = _knowing(comparison, cell.barrel)
        known = {job.id for job in appraisal.jobs}
        of = appraisal if cell.job in known else comparison.old.appraisal
        where = f"{_name(comparison, cell.barrel)}, {job_name(of, cell.job)}"
        words = [
            _NOT_THERE
            if found is None
            else cell_words(found, fit_word(side.appraisal.fit(cell.barrel, cell.job)))
            for side, found in ((comparison.old, cell.signed), (comparison.new, cell.now))
        ]
        rows.append(f"{where}: {' → '.join(words)}")
    rest = len(comparison.cells) - len(rows)
    return [*rows, f"and {rest} more"] if rest else rows


def _claims(comparison: Comparison) -> list[str]:
    return [
        f"{_name(comparison, one.barrel)}, {CLAIM_WORDS[one.claim].label.lower()}: "
        + " → ".join(
            _NOT_THERE if state is None else labels.CLAIM_STATES[state]
            for state in (one.old, one.new)
        )
        for one in comparison.claims
    ]


def _leaders(decision: Decision) -> str:
    first: Sequence[str] = [line.barrel for line in decision.order if line.rank == 1]
    return "; ".join(full_name(decision.appraisal, barrel) for barrel in first) or "none"
