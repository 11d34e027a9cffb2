"""Stated numbers: read once from a thing that never changes, and let go with it."""

from __future__ import annotations

import gc

import pytest

from evenbarrel.appraisal.inputs import stated
from evenbarrel.model.offers.bid import Barrel, InjectionUnit
from evenbarrel.model.quantity import Quantity


def barrel(millimetres: str) -> Barrel:
    return Barrel(id="b", screw_diameter=Quantity(magnitude=millimetres, unit="mm"))


def test_the_same_barrel_gives_the_same_numbers_and_an_equal_one_its_own():
    kept = stated.KeptNumbers()
    first, other = barrel("50"), barrel("50")
    assert kept.of(first) is kept.of(first)
    assert kept.of(other) is not kept.of(first)
    assert kept.of(first)["screw_diameter"].value == 0.05
    assert kept.of(barrel("60"))["screw_diameter"].value == 0.06
    assert kept.of(InjectionUnit(id="u")) == {}


def test_what_is_gone_is_forgotten():
    kept = stated.KeptNumbers()
    for millimetres in range(20, 80):
        assert kept.of(barrel(str(millimetres)))["screw_diameter"].value == pytest.approx(
            millimetres / 1e3
        )
    gc.collect()
    assert len(kept) == 0
