"""Claims screened on arrays are those that judging one unit after another gives."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from evenbarrel.appraisal.claims import barrel_claims, claims_of_units, failed_claims
from evenbarrel.appraisal.claims.doubt import is_failed
from evenbarrel.appraisal.claims.registry import KEYS
from evenbarrel.appraisal.claims.screening import CHECKS, nothing_failed
from evenbarrel.appraisal.inputs.stated import StatedUnit
from evenbarrel.model.limits import Limits

from .catalogue import KINDS_OF_SLIP, Fields, Offer, planted, sound_offer, to_digits
from .outcomes import RESINS, stated

SEEDS = st.integers(0, 2**32 - 1)


def thinned(offer: Offer, random: Random) -> Offer:
    """Leave data out at random, and print one number in three a little otherwise."""
    share = random.choice((0.0, 0.1, 0.5))

    def some(fields: Fields) -> Fields:
        return {name: value for name, value in fields.items() if random.random() >= share}

    def off(fields: Fields) -> Fields:
        name = random.choice(sorted(fields)) if fields else ""
        number, _, unit = str(fields.get(name)).rpartition(" ")
        if random.random() > 0.3 or not number:
            return fields
        times = random.choice((0.3, 0.9, 0.97, 0.985, 0.995, 1.005, 1.015, 1.03, 1.1, 4.0))
        return {**fields, name: f"{to_digits(float(number) * times, 5, 4)} {unit}"}

    return Offer(tuple(off(some(screw)) for screw in offer.screws), off(some(offer.unit)))


def drawn(random: Random) -> StatedUnit:
    offer = sound_offer(random)
    if random.random() < 0.3:
        offer = planted(random.choice(KINDS_OF_SLIP), random).offer
    offer = thinned(offer, random)
    if random.random() < 0.1:
        offer = replace(offer, unit={**offer.unit, "unit_kind": "plunger"})
    return stated(offer)


@settings(deadline=None, max_examples=15)
@given(seed=SEEDS)
def test_screened_claims_are_those_of_each_unit(seed: int) -> None:
    random = Random(seed)
    units = [drawn(random) for _ in range(12)]
    screened = claims_of_units(units, RESINS, Limits())
    for unit, of_unit in zip(units, screened, strict=True):
        judged = barrel_claims(unit, RESINS, Limits())
        assert tuple(map(tuple, of_unit)) == judged
        for claims, own in zip(of_unit, judged, strict=True):
            assert claims == own
            assert failed_claims(claims) == tuple(filter(is_failed, own))


def test_no_claim_is_passed_unscreened() -> None:
    assert set(CHECKS) == set(KEYS)


def test_most_sound_units_are_passed() -> None:
    units = [stated(sound_offer(Random(seed))) for seed in range(300)]
    assert nothing_failed(units, RESINS, Limits()).mean() > 0.7


def test_a_wider_agreement_passes_no_more_than_it_forgives() -> None:
    random, limits = Random(7), Limits(force_agreement=0.2, rated_basis=0.1)
    units = [drawn(random) for _ in range(120)]
    for unit, of_unit in zip(units, claims_of_units(units, RESINS, limits), strict=True):
        assert tuple(map(tuple, of_unit)) == barrel_claims(unit, RESINS, limits)


def test_no_units_and_units_without_barrels_are_screened() -> None:
    empty = stated(Offer((), {}))
    assert claims_of_units([], RESINS, Limits()) == []
    assert [list(of_unit) for of_unit in claims_of_units([empty], RESINS, Limits())] == [[]]
    both = claims_of_units([empty, stated(sound_offer(Random(1)))], RESINS, Limits())
    assert len(both[1]) > 0
