from __future__ import annotations

from datetime import date

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.appraisal.references import ClaimRef, CriterionRef
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.resources import read_sample
from evenbarrel.storage.files import parse_evaluation
from evenbarrel.wording.help.look_steps import steps

SAMPLE = "irrigation-parts.evenbarrel.json"
PAGES = ["shots", "bids", "claims", "fit", "decision"]


def sentences(text: str) -> int:
    return text.count(". ") + text.endswith(".")


def test_each_step_of_the_sample_says_in_two_sentences_what_is_true() -> None:
    appraisal = appraise(parse_evaluation(read_sample(SAMPLE), SAMPLE))
    told = steps(appraisal)
    assert [step.page for step in told] == PAGES
    assert [sentences(step.text.replace("1.75", "").replace("1.50", "")) for step in told] == [
        *(2, 2, 2, 2, 2)
    ]
    claim, cell, best = (step.shown for step in told[2:])
    assert isinstance(claim, ClaimRef)
    assert appraisal.claim(claim).state == "contradicts"
    assert isinstance(cell, CriterionRef)
    fit = appraisal.fit(cell.barrel, cell.job)
    assert (fit.state, fit.by_rule, fit.binding) == ("outside", False, cell.criterion)
    assert isinstance(best, CriterionRef)
    states = appraisal.gates.states
    free = [name for name, state in states.items() if state == "no_objection"]
    least = {name: appraisal.grid.least_margin[appraisal.grid.row(name)] for name in free}
    assert best.barrel == max(free, key=lambda name: least[name])
    margins = [
        result.margin
        for job in appraisal.jobs
        for result in appraisal.fit(best.barrel, job.id).criteria
        if result.margin is not None
    ]
    tight = appraisal.fit(best.barrel, best.job)
    assert next(r.margin for r in tight.criteria if r.key == best.criterion) == min(margins)
    assert f"to {len(free)} of {len(states)} barrels" in told[-1].text


def test_an_empty_programme_is_pointed_at_nowhere() -> None:
    told = steps(appraise(Evaluation(as_of=date(2026, 4, 15))))
    assert [step.page for step in told] == PAGES
    assert [step.shown for step in told] == [None] * 5
