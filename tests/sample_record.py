"""Gives the sample its proposal and its two signatures, by the program's own functions.

    python tests/sample_record.py

The process engineer signs an earlier proposal, which purchasing then changes and signs: the first
signature is stale, the second holds. To be run after `make_sample_quotes.py`, and again where the
sample, or what it comes to, is other than when it was signed: `tests/test_sample.py` says so.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.model.changes import with_proposal
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.report.sign_offs import signed
from evenbarrel.storage.files import evaluation_bytes, parse_evaluation

SAMPLE = Path(__file__).parent.parent / "sample_quotes" / "irrigation-parts.evenbarrel.json"
BARREL, OWN_MACHINE = "b1u1b", "b6u1a"
STAY = ("j1", "j3")
"""The jobs that stay on the plant's own machine."""
EARLIER = "No objection to it in any of the eight jobs."
REASON = (
    "No objection to it in any job it runs. It costs about 5 % more over ten years than the set "
    "with Model 18 1.75, but its offer leaves no cost open, and it is delivered four weeks "
    "earlier. Drippers and POM gears stay on machine 14: POM and PVC-U never share a machine."
)
BUYER, ENGINEER = "buyer of the sample", "process engineer of the sample"


def without_record(evaluation: Evaluation) -> Evaluation:
    """Return the evaluation without a proposal and signatures."""
    return evaluation.replace(proposal=None, sign_offs=(), signed_states=())


def with_record(evaluation: Evaluation) -> Evaluation:
    """Return the evaluation with its proposal, a stale signature and one that holds."""
    jobs = tuple(job.id for job in evaluation.jobs)
    bare = without_record(evaluation)
    earlier = with_proposal(bare, {BARREL: jobs}, EARLIER, BUYER, date(2026, 10, 30))
    once = signed(
        appraise(earlier),
        {
            "role": "process_engineering",
            "person": ENGINEER,
            "date": date(2026, 10, 30),
            "statement": "Fits and claims read; the limits confirmed are those we run by.",
            "conditions": "Air shots at acceptance.",
        },
    )
    others = tuple(job for job in jobs if job not in STAY)
    jobs_of = {BARREL: others, OWN_MACHINE: STAY}
    final = with_proposal(once, jobs_of, REASON, BUYER, date(2026, 11, 2))
    return signed(
        appraise(final),
        {
            "role": "purchase",
            "person": BUYER,
            "date": date(2026, 11, 2),
            "statement": "Prices and terms as in the offers named.",
            "conditions": "",
        },
    )


if __name__ == "__main__":
    sample = parse_evaluation(SAMPLE.read_bytes(), SAMPLE.name)
    SAMPLE.write_bytes(evaluation_bytes(with_record(sample)))
