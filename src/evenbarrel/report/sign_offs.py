"""Signatures under an evaluation: what exactly a person signs, as digests."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from evenbarrel import __version__
from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.decision.standing_by.signatures import signed_cells
from evenbarrel.model.changes import with_sign_off
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.record.decision import SignOff
from evenbarrel.model.states.digest import SCHEME, signed_state, signs
from evenbarrel.report.results_file import results_digest, results_of
from evenbarrel.wording.sentences.asking.questions import question_texts

_RESULTS = "digest of results"


def results_digest_of(appraisal: Appraisal) -> str:
    """Return the digest of an evaluation's results: what it comes to, not what was entered.

    It is costly to make, and kept with the evaluation: an evaluation has but one appraisal.
    """
    kept = appraisal.evaluation.kept
    if _RESULTS not in kept:
        kept[_RESULTS] = results_digest(results_of(appraisal, question_texts(appraisal)))
    made: str = kept[_RESULTS]
    return made


def results_to_hold(appraisal: Appraisal) -> str:
    """Return the digest of results where a signature is of this very evaluation, else "".

    Only such a signature is held against it, and it is costly to make.
    """
    evaluation = appraisal.evaluation
    held = any(signs(one, evaluation) for one in evaluation.sign_offs)
    return results_digest_of(appraisal) if held else ""


def signed(appraisal: Appraisal, values: Mapping[str, Any]) -> Evaluation:
    """Return the evaluation with a signature under exactly what stands in it now, which is kept.

    `values` gives role, person, date, statement and conditions.
    """
    evaluation = appraisal.evaluation
    state = signed_state(evaluation).replace(cells=signed_cells(appraisal))
    sign_off = SignOff(
        **values,
        scheme=SCHEME,
        digest=state.digest,
        results_digest=results_digest_of(appraisal),
        program_version=__version__,
    )
    return with_sign_off(evaluation, sign_off, state)
