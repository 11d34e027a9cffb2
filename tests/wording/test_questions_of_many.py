"""A question of a large programme names a few of its jobs and counts the rest."""

from __future__ import annotations

import pytest

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.quantity import Quantity
from evenbarrel.wording.sentences.asking.listing import question_groups
from evenbarrel.wording.sentences.asking.questions import question_texts

LONGEST = 420
"""Characters that a person reads in a drawer before turning away."""


def many(count: int) -> Appraisal:
    """So many moulds that leave out alike what we ask ourselves, with windows beyond the cycle."""

    def seconds(magnitude: str) -> Quantity:
        return Quantity(magnitude=magnitude, unit="s")

    jobs = tuple(
        Job(
            id=f"j{number}",
            name=f"Mould {number}",
            part_mass=Quantity(magnitude="10", unit="g"),
            cavities=2,
            cycle_time=seconds("10"),
            hold_time=seconds("4"),
            cooling_time=seconds("30"),
            mould_motion_time=seconds("3"),
        )
        for number in range(1, count + 1)
    )
    return appraise(Evaluation(jobs=jobs))


def test_a_question_of_forty_jobs_names_three_and_counts_the_rest() -> None:
    appraisal = many(40)
    texts = question_texts(appraisal)
    assert texts
    told = {q.key or q.datum: texts[q.id] for q in appraisal.questions if len(q.jobs) == 40}
    assert "window_beyond_cycle" in told
    assert told["window_beyond_cycle"].count("Mould ") == 3
    assert "37 more jobs" in told["window_beyond_cycle"]
    rest = [text for key, text in told.items() if key != "window_beyond_cycle"]
    assert rest
    assert all("Mould 1, Mould 2, Mould 3 and 37 more" in text for text in rest)
    assert all(len(text) <= LONGEST for text in texts.values())
    for group in question_groups(appraisal, None):
        assert all(len(one.line.whose) <= LONGEST for one in group.questions)


@pytest.mark.parametrize(("count", "names"), [(3, 3), (4, 4), (5, 3)])
def test_a_rest_of_one_is_named(count: int, names: int) -> None:
    appraisal = many(count)
    (text,) = (
        text
        for key, text in question_texts(appraisal).items()
        if text.startswith("What does the cold runner")
    )
    assert text.count("Mould") == names
