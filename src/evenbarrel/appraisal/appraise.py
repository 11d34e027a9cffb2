"""The appraisal of an evaluation: the one way in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations

from evenbarrel.appraisal import claims
from evenbarrel.appraisal.asked import ended_questions
from evenbarrel.appraisal.claims.doubt import datum_to_ask, is_failed, question_id
from evenbarrel.appraisal.criteria.definition import Flags
from evenbarrel.appraisal.gate_results import Gate, WaitingLimit
from evenbarrel.appraisal.inputs import shots
from evenbarrel.appraisal.inputs.confirmed import Confirmed
from evenbarrel.appraisal.inputs.resins import appraise_resins
from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedUnit, stated_units
from evenbarrel.appraisal.inputs.swept_volume import BarrelVolume, barrel_volume, shot_masses
from evenbarrel.appraisal.job_results import JobResult
from evenbarrel.appraisal.kept import (
    KnownUnit,
    asking_of,
    confirmed_of,
    known_jobs,
    known_offers,
    known_resins,
    known_units,
    rows_and_inputs,
)
from evenbarrel.appraisal.progress import Report, report_nothing
from evenbarrel.appraisal.questions import Asked, ask, with_answers
from evenbarrel.appraisal.references import ClaimRef, CriterionRef
from evenbarrel.appraisal.results import (
    SEVERITY,
    BarrelResult,
    BidResult,
    Claim,
    Fit,
    Question,
    ResinResult,
    State,
)
from evenbarrel.appraisal.verdicts.assessments import Assessments
from evenbarrel.appraisal.verdicts.deviations import Deviations
from evenbarrel.appraisal.verdicts.disputes import (
    Disputes,
    claims_in_doubt,
    disputed_flags,
    disputes_of,
)
from evenbarrel.appraisal.verdicts.gate import Gates
from evenbarrel.appraisal.verdicts.grid import Grid, required_criteria
from evenbarrel.appraisal.verdicts.table import Table
from evenbarrel.appraisal.verdicts.waiting_limits import waiting_limits
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.trade.formula import silently

NEVER_TOGETHER = ("halogenated", "acetal")
"""Resins of these two groups must never meet on one machine."""


_JOBS_DONE, _BIDS_DONE, _TABLE_DONE = 0.05, 0.5, 0.6
"""About how much of the work each part is."""
_UNITS_BETWEEN = 20
"""Units judged between two reports: a few milliseconds."""


HOLDS = Claim("volume_geometry", "agrees", "swept_volume")
"""Stands for a claim that did not fail and that nobody has judged yet."""


@dataclass(frozen=True)
class Appraisal:
    """What the program computes from an evaluation; never stored as input."""

    evaluation: Evaluation
    confirmed: Confirmed
    """The resins and limits that it is judged by."""
    resins: Mapping[str, ResinResult]
    jobs: tuple[JobResult, ...]
    barrels: tuple[BarrelResult, ...]
    bids: tuple[BidResult, ...]
    grid: Grid
    gates: Gates
    planned_range: tuple[float, float] | None
    incompatible_pairs: tuple[tuple[str, str], ...]
    """Jobs that must never run on one machine."""
    masks: Appraisal | None = None
    """What this is a masked copy of: its digest is printed, its signatures are judged."""
    asked_before: Asked | None = field(default=None, repr=False, compare=False)
    """Questions of an earlier state, to be taken over where the same raises them."""

    @property
    def unmasked(self) -> Appraisal:
        """What people signed: the appraisal itself, or the one that it masks."""
        return self.masks or self

    @cached_property
    def asked(self) -> Asked:
        """Every question, whatever was said of it, with what raised them."""
        table, before = self.grid.table, self.asked_before
        return ask(table, self.barrels, self.bids, self.jobs, self.evaluation, before)

    @property
    def asked_last(self) -> Asked | None:
        """The questions that were drawn up last: its own, or those of an appraisal before it."""
        return self.asked if "asked" in vars(self) else self.asked_before

    @cached_property
    def questions(self) -> tuple[Question, ...]:
        """Every question, to suppliers and to us, with what became of it."""
        asked = tuple(with_answers(self.asked.questions, self.evaluation))
        if self.masks is None:
            return asked
        # What is masked is stated all the same: nobody has to be asked for it.
        of_all = {question.id for question in self.masks.questions}
        return tuple(one for one in asked if one.bid is not None or one.id in of_all)

    @cached_property
    def waiting_limits(self) -> tuple[WaitingLimit, ...]:
        """Limits that wait for confirmation, with what each would shut or free."""
        return waiting_limits(self.evaluation, self.gates)

    @cached_property
    def limits_awaited(self) -> Mapping[CriterionRef, WaitingLimit]:
        """The limit that waits for confirmation, for each criterion of a cell that is beyond it."""
        return {cell: waiting for waiting in self.waiting_limits for cell in waiting.cells}

    @cached_property
    def _barrel_at(self) -> Mapping[str, BarrelResult]:
        return {barrel.id: barrel for barrel in self.barrels}

    @cached_property
    def _job_at(self) -> Mapping[str, JobResult]:
        return {job.id: job for job in self.jobs}

    @cached_property
    def _bid_at(self) -> Mapping[str, BidResult]:
        return {bid.id: bid for bid in self.bids}

    @cached_property
    def _question_at(self) -> Mapping[str, Question]:
        return {question.id: question for question in self.questions}

    def barrel(self, name: str) -> BarrelResult:
        """Return the barrel of that id; raises KeyError."""
        return self._barrel_at[name]

    def job(self, name: str) -> JobResult:
        """Return the job of that id; raises KeyError."""
        return self._job_at[name]

    def claim(self, reference: ClaimRef) -> Claim:
        """Return a claim of a barrel or of a bid; raises KeyError."""
        return self._owner(reference.owner).claim(reference.key)

    @cached_property
    def worst_claim(self) -> ClaimRef | None:
        """The barrel's claim to look at first: a contradiction before a query, explained first."""
        failed = [
            (claim.state != "contradicts", claim.sole_cause is None, place, claim.key)
            for place, barrel in enumerate(self.barrels)
            for claim in claims.failed_claims(barrel.claims)
        ]
        if not failed:
            return None
        *_, place, key = min(failed)
        return ClaimRef(self.barrels[place].id, key)

    def question_of(self, reference: ClaimRef) -> Question | None:
        """Return the question whose answer would decide a claim, or None; raises KeyError.

        It is about the datum that a failed claim puts in doubt, or about the first that a claim
        which is not stated lacks, and it concerns the claim's own barrel or bid.
        """
        owner, claim = self._owner(reference.owner), self.claim(reference)
        if claim.state == "agrees":
            return None
        datum = datum_to_ask(claim) if is_failed(claim) else next(iter(claim.missing), "")
        bid = owner.bid if isinstance(owner, BarrelResult) else owner.id
        question = self._question_at.get(question_id(bid, datum))
        if question is None or isinstance(owner, BidResult):
            return question
        return question if owner.id in question.barrels else None

    def _owner(self, name: str) -> BarrelResult | BidResult:
        return self._barrel_at.get(name) or self._bid_at[name]

    def gate(self, barrel: str) -> Gate:
        """Return a barrel's gate over every job not pinned to another; raises KeyError."""
        return self.gates.of(barrel)

    def fit(self, barrel: str, job: str) -> Fit:
        """Return one cell of the grid in full; raises KeyError."""
        if (barrel, job) not in self._fits:
            gate = self.gates.cell(barrel, job)
            self._fits[barrel, job] = self.grid.fit(barrel, job, gate)
        return self._fits[barrel, job]

    @cached_property
    def _fits(self) -> dict[tuple[str, str], Fit]:
        """Cells read so far: several views read each of them."""
        return {}

    @cached_property
    def barrel_states(self) -> Mapping[str, State]:
        """Programme state of each barrel: the worst over its jobs."""
        codes = self.grid.barrel_state()
        return {b.id: SEVERITY[code] for b, code in zip(self.barrels, codes, strict=True)}

    def counts(self) -> Mapping[State, int]:
        """Return how many barrels are in each state."""
        counted = Counter(self.barrel_states.values())
        return {state: counted.get(state, 0) for state in SEVERITY}


def _incompatible(evaluation: Evaluation) -> tuple[tuple[str, str], ...]:
    groups = {resin.id: set(resin.hazard_groups) for resin in evaluation.resins}
    pairs = []
    # Few jobs are of either group; of thousands that are of none, no pair is looked at.
    risky = [
        job for job in evaluation.jobs if groups.get(job.resin or "", set()) & {*NEVER_TOGETHER}
    ]
    for first, second in combinations(risky, 2):
        of_first, of_second = (groups.get(job.resin or "", set()) for job in (first, second))
        one, other = NEVER_TOGETHER
        if (one in of_first and other in of_second) or (other in of_first and one in of_second):
            pairs.append((first.id, second.id))
    return tuple(pairs)


def _barrel_result(
    unit: StatedUnit,
    stated: StatedBarrel,
    settled: BarrelVolume,
    judged: Sequence[Claim],
    evaluation: Evaluation,
    resins: Mapping[str, ResinResult],
) -> BarrelResult:
    swept = settled.swept
    implied, basis = claims.rated_basis(stated, unit, resins, evaluation.limits)
    return BarrelResult(
        id=stated.barrel.id,
        bid=unit.bid.id,
        supplier=unit.bid.supplier,
        unit=unit.unit.id,
        label=stated.barrel.label,
        applies=unit.is_reciprocating,
        swept=swept,
        implied_factor=implied,
        rated_basis=basis,
        shot_masses=shot_masses(swept, resins),
        claims=judged,
    )


Settled = tuple[StatedUnit, StatedBarrel, BarrelVolume]


def _barrel_results(
    evaluation: Evaluation,
    units: Sequence[StatedUnit],
    resins: Mapping[str, ResinResult],
    known: Mapping[int, KnownUnit],
    report: Report,
) -> tuple[list[Settled], list[BarrelResult]]:
    settled: list[Settled] = []
    results: list[BarrelResult] = []
    new = [unit for unit in units if id(unit.unit) not in known]
    judged = iter(claims.claims_of_units(new, resins, evaluation.limits))
    for place, unit in enumerate(units):
        if place % _UNITS_BETWEEN == 0:
            report(_JOBS_DONE + (_BIDS_DONE - _JOBS_DONE) * place / len(units))
        of_before = known.get(id(unit.unit))
        if of_before is not None:
            settled += (
                (unit, *of_barrel)
                for of_barrel in zip(unit.barrels, of_before.settled, strict=True)
            )
            results += of_before.of_bid(unit.bid)
            continue
        for stated, of_barrel in zip(unit.barrels, next(judged), strict=True):
            failed = {claim.key: claim for claim in claims.failed_claims(of_barrel)}
            one = barrel_volume(stated, failed.get("volume_geometry", HOLDS), resins)
            settled.append((unit, stated, one))
            results.append(_barrel_result(unit, stated, one, of_barrel, evaluation, resins))
    return settled, results


def _bid_results(
    evaluation: Evaluation, units: Sequence[StatedUnit], before: Appraisal | None
) -> tuple[BidResult, ...]:
    known = known_offers(before, evaluation)
    of_bid: dict[str, list[StatedUnit]] = {bid.id: [] for bid in evaluation.counting_bids}
    required = required_criteria(evaluation.limits.required)
    for unit in units:
        of_bid[unit.bid.id].append(unit)
    return tuple(
        known.get(id(bid))
        or BidResult(
            bid.id,
            claims.offer_claims(bid, tuple(of_bid[bid.id]), evaluation.as_of, required),
        )
        for bid in evaluation.counting_bids
    )


@silently()
def appraise(
    evaluation: Evaluation, before: Appraisal | None = None, report: Report = report_nothing
) -> Appraisal:
    """Return the appraisal of an evaluation; pure, and never stopped by missing data.

    `before` may be the appraisal of an earlier state: what cannot have changed is taken from it.
    The result is the same without it, only later. `report` is told the share done, 0 to 1, every
    few milliseconds; what it raises stops the work.
    """
    resins = appraise_resins(evaluation, known_resins(before, evaluation))
    jobs = shots.appraise_jobs(evaluation, resins, known_jobs(before, evaluation))
    report(_JOBS_DONE)
    units = tuple(stated_units(evaluation))
    known = known_units(before, evaluation, resins)
    settled, barrels = _barrel_results(evaluation, units, resins, known, report)
    disputes, doubts = _in_doubt(evaluation, barrels)
    report(_BIDS_DONE)
    confirmed, disputed = confirmed_of(before, evaluation), disputed_flags(disputes)
    grid = _grid(evaluation, confirmed, settled, jobs, resins, disputed, report, before)
    incompatible = _incompatible(evaluation)
    return Appraisal(
        evaluation=evaluation,
        confirmed=confirmed,
        resins=resins,
        jobs=jobs,
        barrels=tuple(barrels),
        bids=_bid_results(evaluation, units, before),
        grid=grid,
        gates=Gates(grid, disputes, doubts, evaluation.assignment, incompatible),
        planned_range=shots.planned_range(jobs),
        incompatible_pairs=incompatible,
        asked_before=None if before is None else before.asked_last,
    )


def _in_doubt(
    evaluation: Evaluation, results: Sequence[BarrelResult]
) -> tuple[list[Disputes], list[tuple[str, ...]]]:
    """Return for each barrel what its claims dispute, and its claims that failed and hold."""
    ended = ended_questions(evaluation)
    entered = [barrel for _, _, barrel in evaluation.counting_barrels()]
    pairs = list(zip(results, entered, strict=True))
    in_doubt = [tuple(claims_in_doubt(result, barrel, ended)) for result, barrel in pairs]
    disputes = [
        disputes_of(result, barrel, of_barrel)
        for (result, barrel), of_barrel in zip(pairs, in_doubt, strict=True)
    ]
    return disputes, [tuple(claim.key for claim in claims) for claims in in_doubt]


def _grid(
    evaluation: Evaluation,
    confirmed: Confirmed,
    settled: Sequence[Settled],
    jobs: Sequence[JobResult],
    resins: Mapping[str, ResinResult],
    disputed: Mapping[str, Flags],
    report: Report,
    before: Appraisal | None,
) -> Grid:
    rows, of_barrels = rows_and_inputs(before, evaluation, settled, resins)
    columns, of_jobs = asking_of(before, evaluation, confirmed, jobs, resins)
    uncertainty = evaluation.uncertainty
    table = Table(rows, columns, of_barrels, of_jobs, resins, uncertainty, disputed)
    rest = 1.0 - _TABLE_DONE
    assessments = Assessments(
        table,
        lambda share: report(_TABLE_DONE + rest * share),
        None if before is None else before.grid.assessments,
    )
    return Grid(
        table,
        assessments,
        tuple(stated.barrel.id for _, stated, _ in settled),
        tuple(job.id for job in jobs),
        required_criteria(evaluation.limits.required),
        Deviations(evaluation.deviations, evaluation.as_of),
    )
