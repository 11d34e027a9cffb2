"""The gate in words: what shuts it, what it waits for, what is not known."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.gate_results import GATES, Gate, GateKind, GateReason, GateState, SoleStop
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import full_name
from evenbarrel.wording.words.numbers import counted

BEST_FIRST: tuple[GateState | None, ...] = (*GATES[::-1], None)
"""What a buyer looks for first comes first."""

NO_BARRELS = "No barrel is entered yet: enter the offers on the Bids page."

_KINDS: Mapping[GateKind, str] = {
    "outside": "outside by physics or a resin's limit in {of_jobs}",
    "rule": "outside by rule in {of_jobs}",
    "open": "a required criterion is not assessed in {of_jobs}",
    "beyond_unconfirmed": "a limit from memory to be confirmed in {of_jobs}",
    "unsettled": "its swept volume is not settled",
    "disputed": "a printed number is in doubt in {of_jobs}",
    "incompatible": "two jobs that must never share a machine are on one",
}


def best_first(appraisal: Appraisal) -> tuple[str, ...]:
    """Return the barrels by their gates, those of one gate in the order of the file."""
    states = appraisal.gates.states
    names = (barrel.id for barrel in appraisal.barrels)
    return tuple(sorted(names, key=lambda name: BEST_FIRST.index(states[name])))


def gate_line(appraisal: Appraisal) -> str:
    """Return the gates in words: how many barrels stand where, and what stops all of them."""
    if not appraisal.barrels:
        return NO_BARRELS
    states = appraisal.gates.states
    counts = Counter(states.values())
    line = (
        f"{counted(len(appraisal.barrels), 'barrel')}, each for every planned job: no objection to "
        f"{counts['no_objection']}, {waiting_and_shut(counts)}."
    )
    if counts[None]:
        line += f" Not judged: {counts[None]}."
    free = [full_name(appraisal, b) for b, state in states.items() if state == "no_objection"]
    stops = [sole_stop_line(stop) for stop in appraisal.gates.sole_stops]
    return " ".join([line, *stops, *([f"No objection: {'; '.join(free)}."] if free else [])])


def waiting_and_shut(counts: Mapping[GateState | None, int]) -> str:
    """Return how many barrels wait and how many are shut: "3 wait, 1 is shut"."""
    waits, shut = counts["waits"], counts["shut"]
    return (
        f"{waits} {'waits' if waits == 1 else 'wait'}, {shut} {'is' if shut == 1 else 'are'} shut"
    )


def sole_stop_line(stop: SoleStop) -> str:
    """Return which criterion alone stops every barrel, with what would remain without it."""
    counts = Counter(stop.remain.values())
    remain = ", ".join(
        f"{labels.GATES[gate]} {counts[gate]}" for gate in GATES[::-1] if counts[gate]
    )
    name = CRITERION_WORDS[stop.criterion].label
    return f"{name} alone stops every barrel; without it: {remain}."


def gate_words(gate: Gate, appraisal: Appraisal) -> str:
    """Return a gate with its counts: "shut as the only machine by 2 of 8 jobs"."""
    if gate.state is None:
        return labels.GATES[None]
    of_all = len(gate.jobs) == len(appraisal.jobs)
    words = labels.GATES[gate.state]
    if gate.state == "shut":
        only = " as the only machine" if of_all else ""
        words += f"{only} by {_of_jobs(gate, gate.reasons)}"
    elif gate.state == "waits":
        words += f": {', '.join(_waits_for(gate))}"
    unknown = ", ".join(_not_known(gate))
    return f"{words}; {unknown}" if unknown else words


def _waits_for(gate: Gate) -> Iterator[str]:
    for kind, words in _KINDS.items():
        reasons = tuple(reason for reason in gate.reasons if reason.kind == kind)
        if reasons:
            yield words.format(of_jobs=_of_jobs(gate, reasons))


def _of_jobs(gate: Gate, reasons: tuple[GateReason, ...]) -> str:
    return f"{len({reason.job for reason in reasons})} of {counted(len(gate.jobs), 'job')}"


def _not_known(gate: Gate) -> Iterator[str]:
    if gate.open_criteria:
        criteria = (
            "1 criterion"
            if len(gate.open_criteria) == 1
            else (f"{len(gate.open_criteria)} criteria")
        )
        yield f"{criteria} not assessed in {counted(gate.open_cells, 'cell')}"
    if gate.doubts:
        yield f"{counted(len(gate.doubts), 'claim')} in doubt"
