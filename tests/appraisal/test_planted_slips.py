"""Sound offers are not questioned, and single slips planted in them are found.

`python tests/bench/bench_misprints.py` prints the table of 500 slips.
"""

from __future__ import annotations

from collections import Counter
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from .catalogue import KINDS_OF_SLIP, planted, sound_offer
from .outcomes import asked_about, claims_of, outcome_of

SLIPS_OF_A_KIND = 6


@given(seed=st.integers(0, 2**32 - 1))
def test_a_sound_offer_raises_no_question(seed: int) -> None:
    assert asked_about(sound_offer(Random(seed))) == ()


def test_sound_offers_are_judged_by_every_claim() -> None:
    agreeing = Counter(
        claim.key
        for seed in range(200)
        for claim in claims_of(sound_offer(Random(seed)))
        if claim.state == "agrees"
    )
    assert min(agreeing.values()) > 20
    assert len(agreeing) == 13


@pytest.fixture(scope="module")
def outcomes() -> dict[str, Counter[str]]:
    random = Random(20261126)
    return {
        code: Counter(outcome_of(planted(code, random)) for _ in range(SLIPS_OF_A_KIND))
        for code in KINDS_OF_SLIP
    }


def test_a_planted_slip_is_found(for_each: Any, outcomes: dict[str, Counter[str]]) -> None:
    @for_each(KINDS_OF_SLIP)
    def _(code: str) -> None:
        assert outcomes[code]["alone"] + outcomes[code]["among several"] >= 0.5 * SLIPS_OF_A_KIND


def test_planted_slips_are_found_and_nothing_else_is_blamed(
    outcomes: dict[str, Counter[str]],
) -> None:
    total = sum(outcomes.values(), Counter[str]())
    assert total["alone"] + total["among several"] >= 0.85 * total.total()
    assert total["wrong sole"] <= 0.005 * total.total()
