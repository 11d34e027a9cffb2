"""The words of the two pages that come first: for who decides, before any evidence."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.gate_results import Gate, GateKind, GateState
from evenbarrel.appraisal.references import ClaimRef
from evenbarrel.appraisal.results import SEVERITY, CriterionResult, Fit, State
from evenbarrel.wording.pictures.board import GATE_MARKS
from evenbarrel.wording.pictures.label_layout import fitted
from evenbarrel.wording.sentences.asking.questions import open_counts
from evenbarrel.wording.sentences.cells import (
    CAUTIONS,
    against_limit,
    listed,
    separated,
)
from evenbarrel.wording.sentences.deciding.decision import ALL_JOBS, APART_BECAUSE
from evenbarrel.wording.sentences.deciding.gate import BEST_FIRST, sole_stop_line
from evenbarrel.wording.sheets.gates.deviations import deviation_name
from evenbarrel.wording.standing_by.masking import SUPPLIERS_MASKED, suppliers_masked
from evenbarrel.wording.standing_by.signatures import STATEMENTS
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import barrel_name, bid_called, job_name, supplier_name
from evenbarrel.wording.words.numbers import ABSENT, between, counted, with_unit

SAFETY = "Safety"
NOT_KNOWN = "What is not known"
STANDING = "Where each barrel stands, and what would move it"
BOARD = "Every barrel along the ruler of shot volume, and against every job"
SIGN_HERE = "To be signed"
SIGNED = "Recorded so far"
NOBODY_SIGNED = "No signature is recorded yet."
WORDS = "Words used"
LONGEST_NAME = 50
"""Characters of a name on the first two pages; the evidence has it whole."""
_MOST_NAMES = 12
_MOST_CRITERIA = 6
"""Criteria that are named of those not assessed, most cells first; the rest are counted."""

GATE_MEANS: Mapping[GateState | None, str] = {
    "no_objection": "no objection: nothing that was assessed stands against it",
    "waits": "waits: for a person's decision or a supplier's number",
    "shut": "shut: outside what physics or a resin allows",
    None: "not judged",
}

_WAITS: Mapping[GateKind, str] = {
    "outside": "Outside: {what}",
    "rule": "Outside by rule, for a named person to accept or refuse: {what}",
    "open": "A number is missing to assess {what}",
    "beyond_unconfirmed": "Beyond a limit from memory, to be confirmed or changed: {what}",
    "unsettled": "Two numbers give two volumes: a person decides which is right",
    "disputed": "A printed number is in doubt until answered: {what}",
    "incompatible": "Must never share a machine: {what}",
}
"""What a barrel waits for, or what shuts it, by the kind of reason."""

_REFUSED = "Outside a rule that a named person has refused to waive: {what}"


@dataclass(frozen=True, slots=True)
class Tile:
    """One gate with the number of barrels that stand there."""

    gate: GateState | None
    mark: State
    count: int
    words: str


def short(name: str) -> str:
    """Return a name cut to what the first pages have room for."""
    return fitted(name, LONGEST_NAME, len)


NUMBERED = "Their numbers: next page."


def compared_text(appraisal: Appraisal) -> str:
    """Return what is compared, and for which jobs, in a sentence."""
    barrels, jobs = len(appraisal.barrels), len(appraisal.jobs)
    units = len({barrel.unit for barrel in appraisal.barrels})
    text = (
        f"Compared: {counted(barrels, 'barrel')} of {counted(units, 'injection unit')}, from "
        f"{_offers(appraisal)}, each as the only machine for {counted(jobs, 'planned job')}"
    )
    if appraisal.evaluation.assignment:
        text += " (a job pinned to one barrel counts there only)"
    if appraisal.planned_range is None:
        return f"{text}; no planned shot can be converted to a volume yet."
    units_shown = appraisal.evaluation.display_units
    low, high = (with_unit(end, "volume", units_shown) for end in appraisal.planned_range)
    return f"{text}, with shots from {between(low, high)}."


def _offers(appraisal: Appraisal) -> str:
    """Return how many offers are compared; the plant's own machines are none."""
    bids = appraisal.evaluation.counting_bids
    own = [bid for bid in bids if bid.is_own]
    text = counted(len(bids) - len(own), "offer")
    if not own:
        return text
    machines = sum(len(bid.units) for bid in own)
    return f"{text} and the plant's own machine{'' if machines == 1 else 's'}"


def safety_lines(appraisal: Appraisal) -> tuple[str, ...]:
    """Return what may hurt somebody: jobs that must never meet, resins that overheat."""
    hot = (CAUTIONS[f"overheated_{group}"] for group in appraisal.grid.overheated)
    return (*_apart(appraisal), *hot)


def _apart(appraisal: Appraisal) -> Iterator[str]:
    """Say which jobs must never share a machine: those of the same partners in one sentence."""
    partners: dict[str, set[str]] = {}
    for one, other in appraisal.incompatible_pairs:
        partners.setdefault(one, set()).add(other)
        partners.setdefault(other, set()).add(one)
    numbers = _numbers(appraisal)
    alike: dict[tuple[str, ...], list[str]] = {}
    for job in sorted(partners, key=numbers.__getitem__):
        alike.setdefault(tuple(sorted(partners[job], key=numbers.__getitem__)), []).append(job)
    for others, jobs in alike.items():
        mutual = alike.get(tuple(jobs)) == list(others)
        if not mutual or numbers[jobs[0]] < numbers[others[0]]:
            sides = (_side(appraisal, side, numbers) for side in (jobs, others))
            yield f"Never on one machine: {' and '.join(sides)}. {APART_BECAUSE}"


def _side(appraisal: Appraisal, jobs: Sequence[str], numbers: Mapping[str, int]) -> str:
    where = jobs_text(jobs, numbers)
    return (
        f"{where} ({short(job_name(appraisal, jobs[0]))})" if len(jobs) == 1 else f"any of {where}"
    )


def _numbers(appraisal: Appraisal) -> Mapping[str, int]:
    """Return the number that each job carries on the board."""
    return {job.id: number for number, job in enumerate(appraisal.jobs, start=1)}


def tiles(appraisal: Appraisal) -> tuple[Tile, ...]:
    """Return how many barrels stand at each gate, best first; not judged only where there are."""
    counts = Counter(appraisal.gates.states.values())
    return tuple(
        Tile(gate, GATE_MARKS[gate], counts[gate], GATE_MEANS[gate])
        for gate in BEST_FIRST
        if gate is not None or counts[gate]
    )


def sole_stop_lines(appraisal: Appraisal) -> tuple[str, ...]:
    """Return each criterion that alone stops every barrel, with what would remain without it."""
    return tuple(sole_stop_line(stop) for stop in appraisal.gates.sole_stops)


def not_known_lines(appraisal: Appraisal) -> tuple[str, ...]:
    """Return what is open, in doubt, unconfirmed and asked: one line each, none where nothing."""
    lines = [*_not_assessed(appraisal), *_in_doubt(appraisal)]
    waiting = len(appraisal.waiting_limits)
    if waiting:
        lines.append(f"Limits from memory that a barrel exceeds, to be confirmed: {waiting}.")
    suppliers, us = open_counts(appraisal)
    lines.append(f"Open questions in all: {suppliers} to suppliers, {us} to us.")
    if suppliers_masked(appraisal):
        lines.insert(0, SUPPLIERS_MASKED)
    return tuple(lines)


def _not_assessed(appraisal: Appraisal) -> Iterator[str]:
    fits = [appraisal.fit(b.id, j.id) for b in appraisal.barrels for j in appraisal.jobs]
    counts = Counter(key for fit in fits for key in fit.open)
    if counts:
        most = counts.most_common(_MOST_CRITERIA)
        text = ", ".join(f"{_lower(key)} in {number}" for key, number in most)
        if len(counts) > len(most):
            text += f", and {counted(len(counts) - len(most), 'other criterion', 'other criteria')}"
        yield (
            f"Each barrel with each job: {counted(len(fits), 'verdict')}. Not assessed "
            f"because a number is missing: {text}."
        )


def _in_doubt(appraisal: Appraisal) -> Iterator[str]:
    by_supplier: dict[str, dict[str, None]] = {}
    for barrel in appraisal.barrels:
        for key in appraisal.gate(barrel.id).doubts:
            by_supplier.setdefault(supplier_name(appraisal, barrel.id), {})[key] = None
    names = {bid.id: bid_called(appraisal.evaluation, bid) for bid in appraisal.evaluation.bids}
    for result in appraisal.bids:
        asked = appraisal.question_of(ClaimRef(result.id, "validity"))
        failed = result.claim("validity").state in ("query", "contradicts")
        if failed and (asked is None or asked.state in ("open", "asked")):
            by_supplier.setdefault(names[result.id], {})["validity"] = None
    if by_supplier:
        text = "; ".join(
            f"{short(name)}: {', '.join(CLAIM_WORDS[key].label.lower() for key in keys)}"
            for name, keys in list(by_supplier.items())[:_MOST_NAMES]
        )
        more = len(by_supplier) - _MOST_NAMES
        yield f"Claims in doubt. {text}{f'; and {more} more suppliers' if more > 0 else ''}."


def not_assessed_text(keys: Sequence[str], where: str = "") -> str:
    """Return which criteria are open, and where."""
    named = listed([_lower(key) for key in keys])
    return f"Not assessed{f' {where}' if where else ''}: {named}."


def accepted_lines(appraisal: Appraisal) -> tuple[str, ...]:
    """Return how many deviations named persons accepted, and what the first are about."""
    taken = [one for one in appraisal.evaluation.deviations if not one.refused]
    if not taken:
        return ()
    text = "; ".join(short(deviation_name(appraisal, (one,))) for one in taken[:3])
    more = f"; and {len(taken) - 3} more" if len(taken) > 3 else ""
    return (f"Accepted by a named person, so it stays outside but stops nothing: {text}{more}.",)


def names_text(appraisal: Appraisal, barrels: Sequence[str]) -> str:
    """Return barrels as people list them, each supplier named once; many are counted."""
    by_supplier: dict[str, list[str]] = {}
    for name in barrels[:_MOST_NAMES]:
        supplier = short(supplier_name(appraisal, name))
        by_supplier.setdefault(supplier, []).append(short(barrel_name(appraisal, name)))
    text = "; ".join(
        f"{supplier}: {separated(names)}" if supplier else separated(names)
        for supplier, names in by_supplier.items()
    )
    more = len(barrels) - _MOST_NAMES
    return f"{text}; and {more} more" if more > 0 else text


def jobs_text(jobs: Iterable[str], numbers: Mapping[str, int]) -> str:
    """Return jobs by their numbers: "job 2", "jobs 2, 4 to 7", "all jobs"."""
    named = set(jobs)
    if len(named) == len(numbers) > 1:
        return ALL_JOBS
    return f"job{'' if len(named) == 1 else 's'} {numbers_text(named, numbers)}"


def numbers_text(jobs: Iterable[str], numbers: Mapping[str, int]) -> str:
    """Return the numbers of jobs alone: "2, 4 to 7", "all"."""
    found = sorted({numbers[job] for job in jobs})
    if len(found) == len(numbers) > 1:
        return "all"
    runs: list[list[int]] = []
    for number in found:
        if runs and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs
    )


def why_text(appraisal: Appraisal, gate: Gate) -> str:
    """Return what shuts a barrel, what it waits for, or what stands nearest its limit."""
    numbers = _numbers(appraisal)
    if gate.state is None:
        return "Not judged: no job is planned, or the method does not apply to this kind of unit."
    if gate.state == "no_objection":
        return _nearest(appraisal, gate, numbers)
    sentences = []
    for kind, words in _WAITS.items():
        what = _what(gate, kind, numbers)
        refused = kind == "rule" and gate.state == "shut"
        if any(reason.kind == kind for reason in gate.reasons):
            sentences.append((_REFUSED if refused else words).format(what=what) + ".")
    return " ".join(sentences)


def _what(gate: Gate, kind: GateKind, numbers: Mapping[str, int]) -> str:
    """Return the criteria of one kind of reason, those of the same jobs together."""
    jobs_of: dict[str, dict[str, None]] = {}
    for reason in (one for one in gate.reasons if one.kind == kind):
        of_criterion = jobs_of.setdefault(reason.criterion or "", {})
        of_criterion |= {job: None for job in (reason.job, reason.other_job) if job}
    together: dict[tuple[str, ...], list[str]] = {}
    for criterion, jobs in jobs_of.items():
        together.setdefault(tuple(jobs), []).append(criterion)
    return "; ".join(_criteria_in(keys, jobs, numbers) for jobs, keys in together.items())


def _criteria_in(keys: list[str], jobs: Sequence[str], numbers: Mapping[str, int]) -> str:
    where = jobs_text(jobs, numbers)
    named = [_lower(key) for key in keys if key]
    return f"{', '.join(named)} in {where}" if named else where


def _nearest(appraisal: Appraisal, gate: Gate, numbers: Mapping[str, int]) -> str:
    """Return how a barrel without objection stands, and where it has least room."""
    fits = [appraisal.fit(gate.barrel, job) for job in gate.jobs]
    near = sum(fit.state == "near_edge" for fit in fits)
    text = "Inside for every job."
    if near:
        text = f"Near an edge in {near} of {counted(len(fits), 'job')}."
    bound = [(fit, one) for fit in fits for one in [fit.bound_by] if one is not None]
    if not bound:
        return text
    fit, found = min(bound, key=_room_left)
    units = appraisal.evaluation.display_units
    value = ""
    if found.value is not None:
        value = f", {against_limit(found, units)}"
    return f"{text} Nearest a limit: {_lower(found.key)} in job {numbers[fit.job]}{value}."


def _room_left(pair: tuple[Fit, CriterionResult]) -> tuple[int, float]:
    fit, criterion = pair
    return SEVERITY.index(fit.state), 0.0 if criterion.margin is None else criterion.margin


def range_text(counts: Iterable[int]) -> str:
    """Return what numbers span: "4", "5 to 8", – for nothing but zeros."""
    low, high = min(found := list(counts)), max(found)
    if high == 0:
        return ABSENT
    return str(high) if low == high else f"{low} to {high}"


def meaning_lines(appraisal: Appraisal, most: int = 6) -> tuple[str, ...]:
    """Return what the criteria mean that stop a barrel, at most so many."""
    named = dict.fromkeys(
        reason.criterion
        for barrel in appraisal.barrels
        for reason in appraisal.gate(barrel.id).reasons
        if reason.criterion is not None
    )
    text = "; ".join(f"{_lower(key)}: {CRITERION_WORDS[key].meaning}" for key in list(named)[:most])
    return (f"{WORDS}. {text}.",) if text else ()


def _lower(key: str) -> str:
    return CRITERION_WORDS[key].label.lower()


def left_out_line(groups: int, barrels: int, section: str) -> str:
    """Return what of the table did not fit the page."""
    return f"{counted(barrels, 'more barrel')} in {counted(groups, 'more group')}: see {section}."


def board_part_line(shown: int, total: int, section: str) -> str:
    """Return how many of the barrels a cut board shows."""
    return f"The first {shown} of {total} barrels, best first; for all of them see {section}."


def jobs_part_line(shown: int, total: int, section: str) -> str:
    """Return which jobs have no column on a cut board."""
    return f"Jobs {shown + 1} to {total} have no column here: see {section}."


def key_part_line(shown: int, total: int, section: str) -> str:
    """Return that not every job has its name here."""
    return f"For the names of jobs {shown + 1} to {total} see {section}."


@dataclass(frozen=True, slots=True)
class Signature:
    """One line to sign: who, and what the signature answers for."""

    role: str
    statement: str


SIGNATURES: tuple[Signature, ...] = tuple(
    Signature(labels.choice(role).capitalize(), statement) for role, statement in STATEMENTS.items()
)
SIGNATURE_FIELDS = ("Name, date", "Signature")
