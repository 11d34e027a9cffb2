"""What a decision would come to, told before it is taken."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.consequences import ChangedGate, TriedReading
from evenbarrel.appraisal.references import CriterionRef
from evenbarrel.appraisal.results import Bound, Reading
from evenbarrel.model.offers.barrel import Settled
from evenbarrel.wording.sentences.cells import date_text, few_of
from evenbarrel.wording.sentences.deciding.gate import gate_words
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import full_name
from evenbarrel.wording.words.numbers import ABSENT, DisplayUnits, counted, with_unit

_WAYS: Mapping[str, str] = {
    "as_printed": "Geometry",
    "diameter": "Quoted volume, diameter wrong",
    "stroke": "Quoted volume, stroke wrong",
    "unknown": "Quoted volume, one length wrong",
}
_WAYS_BY_SLIP: Mapping[str, str] = {
    "geometry": "Geometry: {slip}",
    "quoted": "Quoted volume: {slip}",
}
_DIGITS = 3


def gates_line(appraisal: Appraisal, changed: Sequence[ChangedGate]) -> str:
    """Return which gates a decision changes: "2 gates change: A and B, waits to shut"."""
    if not changed:
        return "no gate changes"
    moves: dict[tuple[str, str], list[str]] = {}
    for one in changed:
        move = labels.GATES[one.before], labels.GATES[one.after]
        moves.setdefault(move, []).append(full_name(appraisal, one.barrel))
    text = "; ".join(f"{few_of(names)}, {old} to {new}" for (old, new), names in moves.items())
    return f"{counted(len(changed), 'gate')} change{'s' if len(changed) == 1 else ''}: {text}"


def cells_line(cells: Sequence[CriterionRef]) -> str:
    """Return how many cells of how many barrels and jobs: "6 cells of 1 barrel in 6 jobs"."""
    barrels, jobs = {cell.barrel for cell in cells}, {cell.job for cell in cells}
    counts = counted(len(cells), "cell"), counted(len(barrels), "barrel"), counted(len(jobs), "job")
    return f"{counts[0]} of {counts[1]} in {counts[2]}"


def way_word(way: Settled) -> str:
    """Return what a decision on a barrel's size says: which printed number is wrong."""
    key = way.reading or ("as_printed" if way.route == "geometry" else "unknown")
    if key in _WAYS:
        return _WAYS[key]
    return _WAYS_BY_SLIP[way.route].format(slip=labels.CAUSES[key])


def reading_line(tried: TriedReading, units: DisplayUnits) -> str:
    """Return what a reading comes to: sizes, verdicts, gate."""
    sizes = " or ".join(_sizes(reading, units) for reading in tried.readings)
    gate, jobs = labels.GATES[tried.gate.state], len(tried.gate.stopped_jobs)
    if jobs:
        gate += f" for {jobs} of {counted(len(tried.gate.jobs), 'job')}"
    taken = "taken: " if tried.taken else ""
    return f"{taken}{sizes}: {_verdicts(tried)}; {gate}"


def _shown(bound: Bound | None, kind: str, units: DisplayUnits) -> str:
    return ABSENT if bound is None else with_unit(bound.nominal, kind, units, _DIGITS)


def reading_sizes(reading: Reading, units: DisplayUnits) -> str:
    """Return the diameter and the stroke of a reading, and whether no machine has such ones."""
    sizes = (reading.diameter, reading.stroke)
    text = " × ".join(_shown(size, "length", units) for size in sizes)
    return text if reading.plausible else f"{text}; not a plausible size, not included"


def _sizes(reading: Reading, units: DisplayUnits) -> str:
    sizes = " × ".join(_shown(s, "length", units) for s in (reading.diameter, reading.stroke))
    text = f"{sizes}, {_shown(reading.volume, 'volume', units)}"
    return text if reading.plausible else f"{text} (not a plausible size)"


def _verdicts(tried: TriedReading) -> str:
    counts = Counter(tried.states.values())
    parts = (f"{counts[state]} {word}" for state, word in labels.STATES.items() if counts[state])
    return ", ".join(parts) or "no jobs yet"


def reading_tip(tried: TriedReading, appraisal: Appraisal) -> str:
    """Return the gate that a reading comes to, with all its counts."""
    line = reading_line(tried, appraisal.evaluation.display_units)
    return f"{line}\nGate: {gate_words(tried.gate, appraisal)}"


def decided_by(settled: Settled) -> str:
    """Return who decided on a barrel's size, when and why."""
    day = "" if settled.date is None else f" on {date_text(settled.date)}"
    reason = f": {settled.reason}" if settled.reason else "; no reason given yet"
    return f"decided by {settled.person or 'an unnamed person'}{day}{reason}"
