"""What a what-if would change: gates, verdicts, margin, rank and cost, each old beside new."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.comparison import ComparedBarrel
from evenbarrel.appraisal.references import CriterionRef
from evenbarrel.appraisal.results import Fit
from evenbarrel.decision.trials import Tried
from evenbarrel.wording.on_demand import OnDemand
from evenbarrel.wording.pictures.board import GATE_MARKS
from evenbarrel.wording.sentences.cells import fit_sentences
from evenbarrel.wording.sentences.deciding.choice import jobs_text
from evenbarrel.wording.sentences.deciding.decision import verdict_text
from evenbarrel.wording.sentences.deciding.what_if import outcome_line
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import full_name, job_name
from evenbarrel.wording.words.numbers import ABSENT, percent, whole_amount

THE_GATE = "gate, all its jobs"
KEPT = "kept"
OTHER_JOBS = "{}; for other jobs {}"


def worth_words(tried: Tried, barrel: str) -> tuple[tuple[str, str], tuple[str, str]]:
    """Return rank and levelled cost of a barrel in words, each before and after."""
    lines = tried.order_before.get(barrel), tried.order_after.get(barrel)
    rank = [ABSENT if line is None else str(line.rank or KEPT) for line in lines]
    cost = [whole_amount(None if line is None else line.levelled) for line in lines]
    return (rank[0], rank[1]), (cost[0], cost[1])


def worth_differs(tried: Tried, barrel: str) -> bool:
    """Say whether rank or levelled cost of a barrel would be told otherwise."""
    return any(old != new for old, new in worth_words(tried, barrel))


def outcome_words(tried: Tried) -> str:
    """Return in one sentence how much would be other."""
    return outcome_line(tried, sum(worth_differs(tried, one.barrel) for one in tried.barrels))


def what_if_sheet(tried: Tried) -> Sheet:
    """Return one row for the gate of each barrel, and below it one for each verdict that changes.

    Barrels of which anything changes come first, each kind in the order of the file.
    """
    headings = (
        Heading("Barrel"),
        Heading("For", tip="The gate of the barrel for its jobs, or one job"),
        Heading("As entered"),
        Heading("As tried", tip="On a copy: nothing is decided"),
        Heading("Least margin", tip="By what factor a value may still change, as entered → tried"),
        Heading("Jobs run", "", "right", "As entered → tried"),
        Heading("Rank", "", "right", "In the order of single barrels, as entered → tried"),
        Heading(
            "Levelled cost",
            tried.after.evaluation.currency,
            "right",
            "Including what an offer does not state, as entered → tried",
        ),
    )
    changed = [one for one in tried.barrels if one.is_other or worth_differs(tried, one.barrel)]
    names = {one.barrel for one in changed}
    rest = [one for one in tried.barrels if one.barrel not in names]
    places = [(one, job) for one in (*changed, *rest) for job in (None, *one.jobs)]
    return Sheet(
        "what_if",
        "What if: as entered and as tried",
        headings,
        OnDemand(len(places), lambda place: _row(tried, *places[place])),
    )


def _row(tried: Tried, one: ComparedBarrel, job: str | None) -> tuple[Cell, ...]:
    name = Cell(full_name(tried.before, one.barrel))
    if job is not None:
        return (name, *_of_cell(tried, one.barrel, job), Cell(""), Cell(""), Cell(""))
    rank, cost = worth_words(tried, one.barrel)
    lines = tried.order_before.get(one.barrel), tried.order_after.get(one.barrel)
    margins = [None if line is None else line.least_margin for line in lines]
    work = [((), ()) if line is None else line.work for line in lines]
    text = _then(*cost)
    if work[0] != work[1] and cost[0] != cost[1]:
        # Costs of unlike jobs are never compared: a barrel is not cheaper that runs fewer.
        text = OTHER_JOBS.format(*cost)
    return (
        name,
        Cell(THE_GATE),
        Cell(labels.GATES[one.before], state=GATE_MARKS[one.before]),
        Cell(labels.GATES[one.after], state=GATE_MARKS[one.after]),
        Cell(_then(*(percent(margin) for margin in margins))),
        Cell(_then(*(jobs_text(*map(len, jobs)) for jobs in work))),
        Cell(_then(*rank)),
        Cell(text),
    )


def _of_cell(tried: Tried, barrel: str, job: str) -> Sequence[Cell]:
    before, after = tried.before.fit(barrel, job), tried.after.fit(barrel, job)
    reference = CriterionRef(barrel, job, before.binding or "capacity")
    return (
        Cell(job_name(tried.before, job)),
        Cell(
            verdict_text(before),
            state=before.state,
            reference=reference,
            tip=partial(_tip, before, tried.before),
        ),
        Cell(verdict_text(after), state=after.state, tip=partial(_tip, after, tried.after)),
        Cell(_then(_margin(before), _margin(after))),
    )


def _tip(fit: Fit, appraisal: Appraisal) -> str:
    return "\n".join(fit_sentences(fit, appraisal.evaluation.display_units))


def _margin(fit: Fit) -> str:
    return percent(None if fit.bound_by is None else fit.bound_by.margin)


def _then(old: str, new: str) -> str:
    return old if old == new else f"{old} → {new}"
