"""The five steps of the guided look, worked out from what is open."""

from __future__ import annotations

from collections.abc import Callable

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.references import (
    ClaimRef,
    CriterionRef,
    DatumRef,
    ShotRef,
)
from evenbarrel.appraisal.results import Fit
from evenbarrel.model.changes import datum_path
from evenbarrel.wording.help.guided_look import WHY, Step
from evenbarrel.wording.pictures.board import Filter, arranged
from evenbarrel.wording.sentences.cells import listed
from evenbarrel.wording.words.criteria import criterion_label
from evenbarrel.wording.words.names import full_name, job_name

_MOST_NAMED = 3
"""Barrels that are named of those without an objection."""


def steps(appraisal: Appraisal) -> tuple[Step, ...]:
    """Return the five steps through a programme; what it does not have is not pointed at."""
    makers: tuple[Callable[[Appraisal], Step], ...] = (_shot, _offer, _claim, _cell, _why)
    return tuple(make(appraisal) for make in makers)


def _shot(appraisal: Appraisal) -> Step:
    job = next(iter(appraisal.jobs), None)
    return Step(
        "shots",
        "What the jobs ask for",
        "Each planned job is a line: parts and runner make the shot mass, and the resin's "
        "output factor turns it into a shot volume. The Working panel at the right shows how "
        "the first one was calculated; pressing Enter on any number shows its working there.",
        None if job is None else ShotRef(job.id),
    )


def _offer(appraisal: Appraisal) -> Step:
    claim = _worst(appraisal)
    doubted = (
        "A marked number disagrees with the others."
        if claim is None
        else f"The marked volume belongs to {full_name(appraisal, claim.owner)}: it disagrees "
        "with the numbers beside it, and stays as printed until somebody decides."
    )
    return Step(
        "bids",
        "What was offered, as printed",
        f"Screws are listed side by side, as the supplier's sheet prints them. {doubted}",
        None
        if claim is None
        else DatumRef(datum_path(appraisal.evaluation, claim.owner, "swept_volume")),
    )


def _claim(appraisal: Appraisal) -> Step:
    return Step(
        "claims",
        "Two numbers that cannot both be true",
        "The same number as a claim: what is printed, what the others imply, the slip that "
        "would explain it, and the question to the supplier. Nothing is corrected silently: "
        "a person settles it here, or the supplier answers.",
        _worst(appraisal),
    )


def _cell(appraisal: Appraisal) -> Step:
    stopped = _stopped(appraisal)
    why = (
        "Click a cell and press Enter to see the reasons below the board."
        if stopped is None
        else f"In the chosen cell {full_name(appraisal, stopped.barrel)} is outside for "
        f"{job_name(appraisal, stopped.job)} by {criterion_label(stopped.criterion)}: its "
        "working is at the right; click the cell and press Enter to see the rest below the "
        "board."
    )
    return Step(
        "fit",
        "Every barrel against every job",
        "Each row is a barrel: its safe window lies along the ruler, each planned shot is a "
        f"vertical line, and the cells at the right show the verdicts. {why}",
        stopped,
    )


def _why(appraisal: Appraisal) -> Step:
    states = appraisal.gates.states
    in_order = arranged(appraisal, "margin", Filter())
    free = [name for name in in_order if states[name] == "no_objection"]
    if not free:
        text = (
            "No barrel is without an objection yet. Choose one: Ways out lists what it waits for, "
            "and who can answer it."
        )
        return Step("decision", WHY, text, None)
    best = free[0]
    tight = _tightest(appraisal, best)
    others = [full_name(appraisal, name) for name in free[1:_MOST_NAMED]]
    beside = f", before {listed(others)}" if others else ""
    nearest = (
        ""
        if tight is None
        else f", and is nearest to an edge in {criterion_label(tight.criterion)} with "
        f"{job_name(appraisal, tight.job)}"
    )
    text = (
        f"No objection to {len(free)} of {len(states)} barrels, whatever the job: "
        f"{full_name(appraisal, best)} leaves the most room{beside}{nearest}. "
        f"{_proposed(appraisal, best) or 'No'} objection is not approval: what was not "
        "assessed is shown in its row, and people decide."
    )
    return Step("decision", WHY, text, tight)


def _proposed(appraisal: Appraisal, best: str) -> str:
    """Return where to read why somebody proposes what leaves less room."""
    proposal = appraisal.evaluation.proposal
    if proposal is None or not proposal.barrels or best in proposal.barrels:
        return ""
    named = listed([full_name(appraisal, barrel) for barrel in proposal.barrels])
    verb = "is" if len(proposal.barrels) == 1 else "are"
    return f"{named} {verb} proposed, for the reason given under Proposal; no"


def _stopped(appraisal: Appraisal) -> CriterionRef | None:
    """Return a cell that is outside by physics or a resin's limit; by capacity where there is."""
    shut = [name for name, state in appraisal.gates.states.items() if state == "shut"]
    found = [
        CriterionRef(name, fit.job, fit.binding)
        for name in shut
        for fit in _fits(appraisal, name)
        if fit.state == "outside" and not fit.by_rule and fit.binding is not None
    ]
    return min(found, key=lambda one: one.criterion != "capacity", default=None)


def _fits(appraisal: Appraisal, barrel: str) -> tuple[Fit, ...]:
    return tuple(appraisal.fit(barrel, job.id) for job in appraisal.jobs)


def _tightest(appraisal: Appraisal, barrel: str) -> CriterionRef | None:
    """Return the criterion of a barrel that comes nearest to its edge, on any job."""
    margins = [
        (result.margin, CriterionRef(barrel, fit.job, result.key))
        for fit in _fits(appraisal, barrel)
        for result in fit.criteria
        if result.margin is not None
    ]
    return min(margins, key=lambda one: one[0], default=(0.0, None))[1]


def _worst(appraisal: Appraisal) -> ClaimRef | None:
    """Return the volume that contradicts its own geometry, or None."""
    key = "volume_geometry"
    return next(
        (
            ClaimRef(barrel.id, key)
            for barrel in appraisal.barrels
            if barrel.claim(key).state == "contradicts"
        ),
        None,
    )
