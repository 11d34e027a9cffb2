"""The sample programme appraised, larger and stranger evaluations made from it, PDF text."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from tests.printed import page_texts

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.model.cost import Cost
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.report.pdf import render_pdf
from evenbarrel.resources import read_sample
from evenbarrel.storage.files import parse_evaluation

SAMPLE = "irrigation-parts.evenbarrel.json"


@pytest.fixture(scope="session")
def evaluation() -> Evaluation:
    """The sample programme."""
    return parse_evaluation(read_sample(SAMPLE), SAMPLE)


@pytest.fixture(scope="session")
def few(evaluation: Evaluation) -> Evaluation:
    """Two offers of it with all that was decided about them: what is printed of any is here too."""
    return evaluation.replace(bids=(evaluation.bids[0], evaluation.bids[-1]), answers=())


@pytest.fixture(scope="session")
def appraisal(evaluation: Evaluation) -> Appraisal:
    """The sample programme, appraised."""
    return appraise(evaluation)


@pytest.fixture(scope="session")
def pdf(appraisal: Appraisal) -> bytes:
    """The sample programme's evaluation."""
    return render_pdf(appraisal)


def _told(data: bytes) -> str:
    return " ".join(page_texts(data))


@pytest.fixture(scope="session")
def told() -> Callable[[bytes], str]:
    """Return the whole text of a PDF, every run of white space made one space."""
    return _told


@pytest.fixture(scope="session")
def grown(evaluation: Evaluation) -> Callable[[int, int], Evaluation]:
    """Make an evaluation of so many barrels and jobs by repeating those of the sample."""

    def grow(barrels: int, jobs: int) -> Evaluation:
        offers = []
        entered = list(evaluation.barrels())
        for number in range(barrels):
            bid, unit, barrel = entered[number % len(entered)]
            one = barrel.replace(id=f"barrel{number}")
            # Only what fits is told of them: prices would be compared for seconds.
            alone = unit.replace(id=f"unit{number}", barrels=(one,), price=None)
            offers.append(bid.replace(id=f"bid{number}", units=(alone,), price=None))
        moulds = tuple(
            evaluation.jobs[number % len(evaluation.jobs)].replace(
                id=f"job{number}", name=f"Mould {number + 1}"
            )
            for number in range(jobs)
        )
        return evaluation.replace(
            bids=tuple(offers),
            jobs=moulds,
            deviations=(),
            answers=(),
            proposal=None,
            cost=Cost(),
            acceptance=(),
        )

    return grow
