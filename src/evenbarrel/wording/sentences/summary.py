"""The appraisal as plain text: what `evenbarrel appraise` prints."""

from __future__ import annotations

from collections.abc import Sequence

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.decision.decide import Decision
from evenbarrel.wording.sentences.asking.questions import open_counts
from evenbarrel.wording.sentences.cells import binding_words, fit_word
from evenbarrel.wording.sentences.claim_sentences import claim_sentence
from evenbarrel.wording.sentences.deciding.choice import choice_lines
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.criteria import criterion_label
from evenbarrel.wording.words.names import full_name, job_name
from evenbarrel.wording.words.numbers import between, counted, percent, with_unit
from evenbarrel.wording.words.visible import visible_line


def counts_text(appraisal: Appraisal) -> str:
    """Return how many barrels stand where: 12 barrels: 2 inside, 4 near edge, ..."""
    counts = appraisal.counts()
    parts = ", ".join(f"{counts[state]} {word}" for state, word in labels.STATES.items())
    return f"{counted(len(appraisal.barrels), 'barrel')}: {parts}"


def questions_text(appraisal: Appraisal) -> str:
    """Return how many questions are open, and for whom."""
    suppliers, us = open_counts(appraisal)
    return f"Open questions: {suppliers} to suppliers, {us} to us"


def summary_text(
    appraisal: Appraisal, decision: Decision | None = None, flips: Sequence[str] = ()
) -> str:
    """Return the summary a person can read: how much is open, then barrels with fits and claims.

    Then comes what a choice needs, where the `decision` is given, and the lines of what would flip
    it, where they are.
    """
    evaluation = appraisal.evaluation
    lines = [
        evaluation.title or "Evaluation",
        counts_text(appraisal),
        questions_text(appraisal),
        "",
    ]
    if appraisal.planned_range is not None:
        low, high = (
            with_unit(v, "volume", evaluation.display_units) for v in appraisal.planned_range
        )
        lines += [f"Planned shots: {between(low, high)}", ""]
    for state in labels.STATES:
        lines += _barrels_in(appraisal, state)
    for first, second in appraisal.incompatible_pairs:
        pair = f"{job_name(appraisal, first)} and {job_name(appraisal, second)}"
        lines.append(f"Never on one machine: {pair} (halogenated with acetal).")
    if decision is not None:
        lines += ["", *choice_lines(decision)]
    if flips:
        lines += ["", *flips]
    lines += ["", "A screening by calculation, not a guarantee."]
    return "\n".join(map(visible_line, lines)) + "\n"


def _barrels_in(appraisal: Appraisal, state: str) -> list[str]:
    lines = []
    for barrel in appraisal.barrels:
        if appraisal.barrel_states[barrel.id] != state:
            continue
        bound = barrel.swept.bound
        text = labels.STATES[state]
        if bound is not None:
            volume = with_unit(bound.nominal, "volume", appraisal.evaluation.display_units)
            text = f"{volume}, {text}"
        elif state != "not_stated":
            text = f"volume not stated, {text}"
        lines.append(f"{labels.MARKS[state]} {full_name(appraisal, barrel.id)}: {text}")
        lines += _cells(appraisal, barrel.id)
        lines += [
            f"    {CLAIM_WORDS[claim.key].label}: {labels.CLAIM_STATES[claim.state]}. "
            f"{claim_sentence(claim, appraisal.evaluation.display_units)}"
            for claim in barrel.claims
            if claim.state in ("query", "contradicts")
        ]
    return lines


def _cells(appraisal: Appraisal, barrel: str) -> list[str]:
    lines = []
    for job in appraisal.jobs:
        fit = appraisal.fit(barrel, job.id)
        binding = (
            ""
            if fit.binding is None
            else f", {binding_words(criterion_label(fit.binding).lower(), fit.state)}"
        )
        share = fit.criterion("utilisation")
        used = "" if share.value is None else f" at {percent(share.value)} of volume"
        word = fit_word(fit)
        mark = labels.MARKS[fit.state]
        lines.append(f"    {mark} {job_name(appraisal, job.id)}: {word}{used}{binding}")
    return lines
