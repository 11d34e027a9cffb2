"""What is still to be asked: one question for each bid and datum, and those for us."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal, NamedTuple

import numpy as np

from evenbarrel.appraisal.asked import is_of, paths_asked
from evenbarrel.appraisal.claims import failed_claims
from evenbarrel.appraisal.claims.doubt import datum_to_ask, is_asked, question_id
from evenbarrel.appraisal.criteria import ALL
from evenbarrel.appraisal.inputs.barrel_inputs import Row
from evenbarrel.appraisal.inputs.intervals import READINGS, SHOTS
from evenbarrel.appraisal.job_results import JobResult
from evenbarrel.appraisal.results import BarrelResult, BidResult, Cause, Claim, Question
from evenbarrel.appraisal.unpriced import PRICE, Unpriced, unpriced
from evenbarrel.appraisal.verdicts.table import Table
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit

SUPPLIERS = {*Barrel.model_fields, *InjectionUnit.model_fields, *Bid.model_fields}
"""Data that a supplier states; everything else is ours to find out."""

MISSING = "missing"
"""Code of the plainest question: please state it."""

Rank = tuple[int, bool]
"""How grave a reason is, then whether it is about another datum: the least gives the words."""

_GRAVITY = {"contradicts": 0, "query": 1, "not_stated": 2}
NOT_STATED: Rank = (_GRAVITY["not_stated"], False)
QUERY: Rank = (_GRAVITY["query"], False)


class _OfBarrel(NamedTuple):
    """A datum of a barrel, or of its unit or bid, that a criterion needs and nobody stated."""

    bid: str
    barrel: str
    datum: str
    criterion: str


class _OfJob(NamedTuple):
    """A datum of a job that is asked for, with the code of the question and what raised it."""

    job: str
    datum: str
    rank: Rank
    key: str
    raised_by: str


@dataclass(frozen=True, slots=True)
class Reasons:
    """All that questions are raised by: where it is the same, so are the questions.

    `own` are the bids that list machines of the plant; `undated` barrel and criterion of a
    deviation that has an end, where the evaluation has no day.
    """

    own: frozenset[str]
    barrels: tuple[BarrelResult, ...]
    bids: tuple[BidResult, ...]
    of_barrels: tuple[_OfBarrel, ...]
    of_jobs: tuple[_OfJob, ...]
    undated: tuple[tuple[str, str], ...]
    unpriced: tuple[Unpriced, ...]


@dataclass(frozen=True, slots=True)
class Asked:
    """Questions, and what raised them."""

    reasons: Reasons
    questions: tuple[Question, ...]


@dataclass(slots=True)
class _Draft:
    """A question while its reasons are gathered."""

    to: Literal["supplier", "us"]
    bid: str | None
    datum: str
    rank: Rank
    key: str
    claim: str | None = None
    barrels: dict[str, None] = field(default_factory=dict)
    jobs: dict[str, None] = field(default_factory=dict)
    raised_by: dict[str, None] = field(default_factory=dict)
    causes: dict[Cause, None] = field(default_factory=dict)

    def question(self) -> Question:
        return Question(
            id=question_id(self.bid, self.datum),
            to=self.to,
            bid=self.bid,
            barrels=tuple(self.barrels),
            jobs=tuple(self.jobs),
            datum=self.datum,
            key=self.key,
            raised_by=tuple(self.raised_by),
            causes=tuple(self.causes),
            claim=self.claim,
        )


class _Drafts:
    """Gathers reasons under one question for each bid and datum; the gravest gives its words.

    `own` are the bids that list machines of the plant: what is not known of these is for us.
    """

    def __init__(self, own: Collection[str]) -> None:
        self.own = own
        self._drafts: dict[tuple[str | None, str], _Draft] = {}

    def add(
        self,
        bid: str | None,
        datum: str,
        rank: Rank,
        key: str,
        raised_by: str,
        claim: str | None = None,
    ) -> _Draft:
        draft = self._drafts.get((bid, datum))
        if draft is None:
            to: Literal["supplier", "us"] = "us" if bid is None or bid in self.own else "supplier"
            self._drafts[bid, datum] = draft = _Draft(to, bid, datum, rank, key, claim)
        elif rank < draft.rank:
            draft.rank, draft.key, draft.claim = rank, key, claim
        draft.raised_by[raised_by] = None
        return draft

    def questions(self, bids: Sequence[str]) -> tuple[Question, ...]:
        """Return the questions, suppliers' first in the order of the bids, the gravest first."""
        order = {bid: place for place, bid in enumerate(bids)}

        def place(draft: _Draft) -> tuple[int, Rank]:
            ours = draft.to == "us"
            return len(order) if ours else order[draft.bid or ""], draft.rank

        return tuple(draft.question() for draft in sorted(self._drafts.values(), key=place))


def _from_claim(drafts: _Drafts, bid: str, claim: Claim) -> _Draft:
    datum = datum_to_ask(claim)
    rank = (_GRAVITY[claim.state], datum != claim.subject)
    return drafts.add(bid, datum, rank, f"claim.{claim.key}", claim.key, claim.key)


def _from_claims(
    drafts: _Drafts, barrels: Sequence[BarrelResult], bids: Sequence[BidResult]
) -> None:
    for barrel in barrels:
        for claim in filter(is_asked, failed_claims(barrel.claims)):
            draft = _from_claim(drafts, barrel.bid, claim)
            draft.barrels[barrel.id] = None
            draft.causes |= dict.fromkeys(replace(cause, value=None) for cause in claim.causes)
    for bid in bids:
        for claim in bid.claims:
            if bid.id in drafts.own:
                # Nobody offers us what we have: it does not end on a day.
                continue
            if claim.key == "validity" and claim.state == "not_stated":
                drafts.add(bid.id, "valid_until", NOT_STATED, MISSING, claim.key)
            elif claim.key == "validity" and claim.state != "agrees":
                _from_claim(drafts, bid.id, claim)


def _from_ratings(drafts: _Drafts, barrels: Sequence[BarrelResult]) -> None:
    """Ask what a mass is rated in, and for the volume where only a rated mass gives it."""
    for barrel in barrels:
        if barrel.claim("reference_resin").missing == ("reference_resin",):
            draft = drafts.add(
                barrel.bid, "reference_resin", NOT_STATED, MISSING, "reference_resin"
            )
            draft.barrels[barrel.id] = None
        if barrel.swept.route == "rated_mass" and barrel.rated_basis == "not_stated":
            draft = drafts.add(barrel.bid, "swept_volume", NOT_STATED, MISSING, "rated_mass_basis")
            draft.barrels[barrel.id] = None


@dataclass(frozen=True, slots=True)
class _Need:
    """An input that a criterion needs, and the data to ask for where it is not to be had."""

    criterion: str
    name: str
    data: tuple[str, ...]

    @property
    def is_suppliers(self) -> bool:
        return set(self.data) <= SUPPLIERS


_NEEDS = tuple(
    _Need(criterion.key, name, data) for criterion in ALL for name, data in criterion.needs.items()
)
_OF_SUPPLIERS = tuple(need for need in _NEEDS if need.is_suppliers)
_OURS = tuple(need for need in _NEEDS if not need.is_suppliers)


def _unknown(table: Table, needs: Sequence[_Need], axis: int) -> Mapping[str, Sequence[int]]:
    """Return by input the places of the barrels, or of the jobs, for which it is not known."""
    names = list(dict.fromkeys(need.name for need in needs))
    counts = (table.barrels, table.jobs)
    flags = np.zeros((len(names), counts[axis]), dtype=np.bool_)
    for place, name in enumerate(names):
        # An input that is the same along an axis has the length 1 there.
        values = np.isnan(table.inputs[name].nominal[: counts[0], : counts[1]])
        flags[place] = values.reshape(-1) if values.shape[1 - axis] == 1 else values.any(1 - axis)
    found: dict[str, list[int]] = {name: [] for name in names}
    of_names, positions = (places.tolist() for places in np.nonzero(flags))
    for place, position in zip(of_names, positions, strict=True):
        found[names[place]].append(position)
    return found


def _needed_of_barrels(table: Table) -> Iterator[tuple[Row, str, str]]:
    """Yield row, datum and criterion for what a supplier has not stated and a criterion needs."""
    unknown, applies = _unknown(table, _OF_SUPPLIERS, READINGS), table.applies[:, 0].tolist()
    needed = {name for name, places in unknown.items() if places}
    needed = {name for name in needed if not _needed_by_no_job(table, name)}
    for need in _OF_SUPPLIERS:
        for position in unknown[need.name] if need.name in needed else ():
            row = table.rows[position]
            for datum in row.missing.get(need.name, need.data) if applies[position] else ():
                yield row, datum, need.criterion
    assumed = table.inputs["rated_speed_assumed"].nominal[: table.barrels, 0] > 0
    for position in np.flatnonzero(assumed & table.applies[:, 0]).tolist():
        row = table.rows[position]
        yield row, "plasticising_speed", "screw_speed"
        entered = row.stated.barrel
        if entered.plasticising_rate is not None and entered.plasticising_resin is None:
            # A rate without its speed is a rate in passing: its resin is asked for as well.
            yield row, "plasticising_resin", "recovery"


def _needed_by_no_job(table: Table, name: str) -> bool:
    return bool(table.columns) and all(c.missing.get(name) == () for c in table.columns)


def _of_barrels(table: Table) -> Iterator[_OfBarrel]:
    for row, datum, criterion in _needed_of_barrels(table):
        yield _OfBarrel(row.unit.bid.id, row.stated.barrel.id, datum, criterion)


def _needed_of_jobs(table: Table) -> Iterator[tuple[str, str, str]]:
    """Yield job, datum and criterion for what we have not stated and a criterion needs."""
    unknown = _unknown(table, _OURS, SHOTS)
    if table.barrels and not table.applies.any():
        # What no barrel is judged by nobody needs.
        return
    for need in _OURS:
        for position in unknown[need.name]:
            column = table.columns[position]
            for datum in table.asked_of_job(need.name, need.data, column):
                yield column.entered.id, datum, need.criterion


def _of_jobs(table: Table, jobs: Sequence[JobResult]) -> Iterator[_OfJob]:
    # Without resin and mass nothing can be said of a job: these come first.
    for datum in ("resin", "part_mass", "cavities"):
        for result in jobs:
            if datum in result.missing:
                yield _OfJob(result.id, datum, NOT_STATED, MISSING, "capacity")
    for job, datum, criterion in _needed_of_jobs(table):
        yield _OfJob(job, datum, NOT_STATED, MISSING, criterion)
    noted = {
        "runner_not_stated": "runner_mass",
        "smallest_ignored": "smallest_shot_mass",
        "largest_ignored": "largest_shot_mass",
        "window_beyond_cycle": "cycle_time",
    }
    for result in jobs:
        for note in result.notes:
            # What a shot was computed without is no question where there is no shot.
            if note in noted and result.nominal is not None:
                yield _OfJob(result.id, noted[note], QUERY, note, note)


def with_answers(questions: Iterable[Question], evaluation: Evaluation) -> Iterator[Question]:
    """Yield questions with what became of each; one about another number is open again."""
    answers = {answer.question: answer for answer in evaluation.answers}
    for question in questions:
        answer = answers.get(question.id)
        if answer is None or answer.state == "open":
            yield question
            continue
        paths = paths_asked(question, evaluation)
        others = [path for path in paths if not is_of(answer, evaluation, path)]
        if not others:
            yield replace(question, state=answer.state)
        else:
            known = {stood.of for stood in answer.about}
            more = all(path[-2] not in known for path in others)
            yield replace(question, changed="more" if more else "number")


def _undated(evaluation: Evaluation) -> Iterator[tuple[str, str]]:
    """Yield barrel and criterion of each deviation that has an end and no day to hold it against.

    Without the day of the evaluation none of them runs.
    """
    if evaluation.as_of is None:
        for deviation in evaluation.deviations:
            if deviation.until is not None and evaluation.counts(deviation.barrel):
                yield deviation.barrel, deviation.criterion


def ask(
    table: Table,
    barrels: Sequence[BarrelResult],
    bids: Sequence[BidResult],
    jobs: Sequence[JobResult],
    evaluation: Evaluation,
    before: Asked | None = None,
) -> Asked:
    """Return every question, stable in id and order, whatever was said of it.

    Those `before` are returned where they were raised by the same.
    """
    reasons = Reasons(
        own=frozenset(bid.id for bid in evaluation.counting_bids if bid.is_own),
        barrels=tuple(barrels),
        bids=tuple(bids),
        of_barrels=tuple(_of_barrels(table)),
        of_jobs=tuple(_of_jobs(table, jobs)),
        undated=tuple(_undated(evaluation)),
        unpriced=tuple(unpriced(evaluation)),
    )
    if before is not None and before.reasons == reasons:
        return before
    return Asked(reasons, _raised_by(reasons))


def _raised_by(reasons: Reasons) -> tuple[Question, ...]:
    drafts = _Drafts(reasons.own)
    _from_claims(drafts, reasons.barrels, reasons.bids)
    _from_ratings(drafts, reasons.barrels)
    for lacks in reasons.of_barrels:
        draft = drafts.add(lacks.bid, lacks.datum, NOT_STATED, MISSING, lacks.criterion)
        draft.barrels[lacks.barrel] = None
    for one in reasons.of_jobs:
        drafts.add(None, one.datum, one.rank, one.key, one.raised_by).jobs[one.job] = None
    for barrel, criterion in reasons.undated:
        drafts.add(None, "as_of", NOT_STATED, MISSING, criterion).barrels[barrel] = None
    for price in reasons.unpriced:
        key = MISSING if price.key == PRICE else price.key
        draft = drafts.add(price.bid, price.datum, NOT_STATED, key, "cost")
        draft.barrels |= dict.fromkeys(price.barrels)
        draft.jobs |= dict.fromkeys(price.jobs)
    return drafts.questions([bid.id for bid in reasons.bids])
