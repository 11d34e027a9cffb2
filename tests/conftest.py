"""The sample programme, appraised once for all tests that only read it."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Callable, Iterable
from typing import Any

import pytest
from hypothesis import settings

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.resources import read_sample
from evenbarrel.storage.files import parse_evaluation

from .sample_record import without_record

# What is compiled is kept for the other worker, for the next run and for the programs that tests
# start, whatever the machine says: the suite takes a good deal longer without.
sys.dont_write_bytecode = False
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

# What is imported and collected stays: looking for garbage in it would take a fifth of the time.
gc.disable()

# Workers, which take this over, keep to a core each: threads of both would wait for each other.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# Windows need no screen here; set it to xcb to watch them on one.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

# How many examples a property is tried with; EVENBARREL_EXAMPLES=200 before the command tries more.
settings.register_profile(
    "suite", max_examples=int(os.environ.get("EVENBARREL_EXAMPLES", "25")), deadline=None
)
settings.load_profile("suite")

SAMPLE = "irrigation-parts.evenbarrel.json"


LONG = ("test_live_workbook.py", "test_no_network.py", "test_random_person.py")
"""What takes long in one piece."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with what takes long in one piece: at the end one worker would wait for another."""
    items.sort(key=lambda item: item.path.name not in LONG)


def pytest_collection_finish() -> None:
    """Spare the collector of garbage what is there before the first test, and small rounds."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)
    gc.enable()


@pytest.fixture(scope="session")
def for_each() -> Callable[[Iterable[Any]], Callable[[Callable[..., None]], None]]:
    """Runs what it decorates on each of many small cases; what fails is listed, all of it.

    A case is an argument, or a tuple of them. Collected by the hundred they would take longer.
    """

    def over(cases: Iterable[Any]) -> Callable[[Callable[..., None]], None]:
        def run(holds: Callable[..., None]) -> None:
            faults = []
            for case in cases:
                try:
                    holds(*(case if isinstance(case, tuple) else (case,)))
                except Exception as fault:
                    name = getattr(case, "__qualname__", case)
                    faults.append(f"{name!s:.80}: {type(fault).__name__}: {fault}")
            assert faults == [], "\n\n".join(faults)

        return run

    return over


@pytest.fixture(scope="session")
def sample_evaluation() -> Evaluation:
    """The sample programme as it is shipped."""
    return parse_evaluation(read_sample(SAMPLE), SAMPLE)


@pytest.fixture(scope="session")
def sample_appraisal(sample_evaluation: Evaluation) -> Appraisal:
    """Its appraisal; frozen, so tests may share it."""
    return appraise(sample_evaluation)


@pytest.fixture(scope="session")
def one_offer(sample_evaluation: Evaluation) -> Evaluation:
    """One offer of it, with all resins and jobs and no decision: enough for what is made of any."""
    sample = sample_evaluation
    return Evaluation(
        title=sample.title,
        resins=sample.resins,
        jobs=sample.jobs,
        limits=sample.limits,
        bids=sample.bids[:1],
    )


@pytest.fixture(scope="session")
def unsigned() -> Callable[[Evaluation], Evaluation]:
    """Takes the proposal and the signatures from an evaluation."""
    return without_record
