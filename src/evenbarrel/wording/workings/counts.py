"""How a count came about: which jobs, cells, claims, barrels or machines it counts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import isnan, pi

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.gate_results import GateState
from evenbarrel.appraisal.references import (
    ClaimRef,
    CountRef,
    CriterionRef,
    GatesRef,
    JobHoursRef,
    MachineRef,
    RunsRef,
    ShotRef,
    SizeRef,
)
from evenbarrel.appraisal.results import SEVERITY, Fit
from evenbarrel.decision.asking.ask import Ask
from evenbarrel.decision.asking.sizes import BY_SIZE, size_tried
from evenbarrel.decision.decide import Decision
from evenbarrel.model.limits import CRITERIA
from evenbarrel.wording.sentences.cells import criterion_sentence, fit_word, missing_words
from evenbarrel.wording.sentences.claim_sentences import claim_sentence
from evenbarrel.wording.sentences.deciding.choice import known_and_undecided
from evenbarrel.wording.standing_by.ask import SIZES_NOTE
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import full_name, job_name
from evenbarrel.wording.words.numbers import counted, with_unit
from evenbarrel.wording.workings.line import Line, Working, literature

_TITLES: Mapping[str, str] = {
    **{state: f"Jobs {word}" for state, word in labels.STATES.items()},
    "not_assessed": "Criteria not assessed",
    "doubts": "Claims in doubt",
}


def count_working(appraisal: Appraisal, reference: CountRef) -> Working:
    """Return what is counted of a barrel; raises KeyError where it is gone."""
    gate, of = appraisal.gate(reference.barrel), reference.of
    jobs = counted(len(gate.jobs), "job")
    if of == "doubts":
        lines = tuple(_doubts(appraisal, reference.barrel))
        result, formula = counted(len(lines), "claim"), "claims that are queries or contradict"
    elif of == "not_assessed":
        lines = tuple(_not_assessed(appraisal, reference.barrel))
        result = f"{gate.not_assessed}, in {gate.open_cells} of {jobs}"
        formula = "criteria that lack a number, each counted once for each job"
    else:
        fits = (appraisal.fit(reference.barrel, job) for job in gate.jobs)
        lines = tuple(_of_cell(appraisal, fit) for fit in fits if fit.state == of)
        result = f"{len(lines)} of {jobs}"
        formula = "jobs by the state of the cell: the worst of its criteria"
    return Working(
        title=f"{_TITLES[of]}: {full_name(appraisal, reference.barrel)}",
        result=result,
        formula=formula,
        lines=lines,
        literature=(literature("definition"),),
    )


def _of_cell(appraisal: Appraisal, fit: Fit, label: str = "") -> Line:
    """Return a cell with what decides it; it opens that criterion."""
    binding = fit.binding or "capacity"
    decides = criterion_sentence(
        fit.criterion(binding), appraisal.evaluation.display_units, cautioned=False
    )
    reference = CriterionRef(fit.barrel, fit.job, binding)
    name = label or job_name(appraisal, fit.job)
    return Line(name, fit_word(fit), decides if fit.binding else "", reference)


def _not_assessed(appraisal: Appraisal, barrel: str) -> Iterator[Line]:
    """Yield each criterion that is open, with how many jobs it is open for and what lacks."""
    fits = [appraisal.fit(barrel, job) for job in appraisal.gate(barrel).jobs]
    for key in CRITERIA:
        open_in = [fit for fit in fits if key in fit.open]
        if open_in:
            missing = dict.fromkeys(m for fit in open_in for m in fit.criterion(key).missing)
            lacking = f"missing: {missing_words(tuple(missing))}" if missing else ""
            reference = CriterionRef(barrel, open_in[0].job, key)
            count = counted(len(open_in), "job")
            yield Line(CRITERION_WORDS[key].label, count, lacking, reference)


def _doubts(appraisal: Appraisal, barrel: str) -> Iterator[Line]:
    for key in appraisal.gate(barrel).doubts:
        claim = appraisal.barrel(barrel).claim(key)
        state = labels.CLAIM_STATES[claim.state]
        sentence = claim_sentence(claim, appraisal.evaluation.display_units)
        yield Line(CLAIM_WORDS[key].label, state, sentence, ClaimRef(barrel, key))


def gates_working(appraisal: Appraisal, reference: GatesRef) -> Working:
    """Return which barrels have a gate for one job alone; raises KeyError where it is gone."""
    job, name = reference.job, job_name(appraisal, reference.job)
    cells = (appraisal.fit(barrel.id, job) for barrel in appraisal.barrels)
    lines = tuple(
        _of_cell(appraisal, fit, full_name(appraisal, fit.barrel))
        for fit in cells
        if fit.gate == reference.gate
    )
    return Working(
        title=f"{_gate(reference.gate)} for this job alone: {name}",
        result=f"{len(lines)} of {counted(len(appraisal.barrels), 'barrel')}",
        formula="barrels by the gate that they would have with no other job",
        lines=lines,
        literature=(literature("definition"),),
    )


def _gate(gate: GateState) -> str:
    return labels.GATES[gate].capitalize()


def runs_working(decision: Decision, reference: RunsRef) -> Working:
    """Return which jobs machines run, or of how many that takes; raises KeyError for one gone."""
    appraisal, machines = decision.appraisal, [_full(decision, m) for m in reference.machines]
    lines = [line for machine in machines for line in _runs(decision, machine)]
    names = "; ".join(full_name(appraisal, machine.barrel) for machine in machines)
    if reference.of == "machines":
        result = counted(sum(machine.copies or 0 for machine in machines), "machine")
        formula = "as few as have the hours for the jobs, none shared by jobs that must never meet"
        title, notes = "Machines needed", [_apart(decision, machine) for machine in machines]
    else:
        run = {job for machine in machines for job in machine.jobs or ()}
        rest = (job.id for job in appraisal.jobs if job.id not in run)
        lines += [_not_run(appraisal, job, machines) for job in rest]
        text = known_and_undecided(decision, ((one.barrel, one.jobs or ()) for one in machines))
        result = f"{text} of {counted(len(appraisal.jobs), 'job')}"
        formula = "jobs that a machine may run and that are not pinned to another"
        title, notes = "Jobs run", []
    return Working(
        title=f"{title}: {names}" if names else title,
        result=result,
        formula=formula,
        lines=tuple(lines),
        notes=tuple(filter(None, notes)),
        literature=(literature("definition"),),
    )


def _not_run(appraisal: Appraisal, job: str, machines: Sequence[MachineRef]) -> Line:
    """Return a job that no machine runs; of one machine alone with its verdict on it."""
    if len(machines) != 1:
        return Line(job_name(appraisal, job), "not run", "", ShotRef(job))
    found = _of_cell(appraisal, appraisal.fit(machines[0].barrel, job))
    return replace(found, value=f"not run, {found.value}")


def _full(decision: Decision, machine: MachineRef) -> MachineRef:
    """Return a machine with its jobs and copies: those it has alone where none are given."""
    alone = decision.costs.of_alone(machine.barrel)
    jobs = alone.jobs if machine.jobs is None else machine.jobs
    return MachineRef(machine.barrel, jobs, machine.copies or alone.copies)


def _runs(decision: Decision, machine: MachineRef) -> Iterator[Line]:
    """Yield each job of a machine with the hours it takes there."""
    programme = decision.costs.programme
    row = programme.row_of(machine.barrel)
    copies = f"on {machine.copies} × {full_name(decision.appraisal, machine.barrel)}"
    for job in machine.jobs or ():
        column = decision.appraisal.grid.column(job)
        hours = float(programme.hours[row, column])
        is_partial = isnan(hours) or bool(programme.unlimited[column])
        value = "hours not stated" if is_partial else f"{hours:.0f} h a year"
        name = job_name(decision.appraisal, job)
        undecided = "; undecided whether it fits" if programme.undecided[row, column] else ""
        yield Line(name, value, f"{copies}{undecided}", JobHoursRef(machine.barrel, job))


def _apart(decision: Decision, machine: MachineRef) -> str:
    """Return why more machines than the hours need stand there; empty where none do."""
    cost = decision.costs.of_alone(machine.barrel)
    as_alone = (machine.jobs, machine.copies) == (cost.jobs, cost.copies)
    if not as_alone or not decision.costs.kept_apart(cost):
        return ""
    name = full_name(decision.appraisal, machine.barrel)
    return f"{name}: its hours need fewer, but some of its jobs must never share a machine."


def size_working(ask: Ask, reference: SizeRef) -> Working:
    """Return what each job makes of a usual size."""
    units = ask.appraisal.evaluation.display_units
    diameter, stroke = reference.diameter, reference.stroke
    tried = size_tried(ask, diameter, stroke)
    barrel = tried.barrels[0].id
    lines = [_of_size(tried, tried.fit(barrel, job.id)) for job in tried.jobs]
    counts = Counter(line.value for line in lines)
    volume = with_unit(pi / 4.0 * diameter**2 * stroke, "volume", units)
    text = ", ".join(f"{counts[word]} {word}" for word in labels.STATES.values() if counts[word])
    ends = " × ".join(with_unit(end, "length", units) for end in (diameter, stroke))
    return Working(
        title=f"Usual size: {ends}",
        result=f"{volume}; of {counted(len(lines), 'job')} {text}",
        formula="swept volume = π / 4 × diameter² × stroke",
        lines=tuple(lines),
        notes=(SIZES_NOTE,),
        literature=(literature("definition"),),
    )


def _of_size(tried: Appraisal, fit: Fit) -> Line:
    """Return the worst that a size comes to for one job, and the criteria that do."""
    judged = [fit.criterion(key) for key in BY_SIZE]
    worst = next(s for s in SEVERITY if any(one.state == s for one in judged))
    # Of one that is inside its share of volume tells the most.
    worst_ones = [one for one in judged if one.state == worst and worst != "inside"]
    worst_ones = worst_ones or [fit.criterion("utilisation")]
    units = tried.evaluation.display_units
    text = " ".join(criterion_sentence(one, units, cautioned=False) for one in worst_ones)
    return Line(job_name(tried, fit.job), labels.STATES[worst], text, ShotRef(fit.job))
