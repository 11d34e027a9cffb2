"""Evaluations to decide on: sound barrels of one size, and what a test says of money and hours."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

import pytest

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.decision.decide import Decision, decide
from evenbarrel.model.evaluation import Evaluation

Filed = dict[str, Any]


def quantity(text: str) -> Filed:
    magnitude, unit = text.split(" ")
    return {"magnitude": magnitude, "unit": unit}


def money(amount: float | str, currency: str = "EUR", **more: Any) -> Filed:
    text = str(amount)
    return {"amount": text[:-2] if text.endswith(".0") else text, "currency": currency, **more}


RESIN = {
    "id": "r",
    "resin_class": "general",
    "output_factor_route": "own",
    "output_factors": {"own": quantity("1 g/cm3")},
    "melt_density": quantity("1 g/cm3"),
    "enthalpy": quantity("500 kJ/kg"),
    "melt_temperature": quantity("230 degC"),
    "abrasive": "no",
    "corrosive": "no",
    "price_per_kg": money(2),
}
JOB = {
    "resin": "r",
    "shot_mass": quantity("160 g"),
    "cycle_time": quantity("30 s"),
    "cooling_time": quantity("20 s"),
    "fill_time": quantity("2 s"),
    "annual_quantity": 200_000,
    "batches_per_year": 10,
    "clamp_force_needed": quantity("1000 kN"),
}
BARREL = {
    "screw_diameter": quantity("50 mm"),
    "stroke": quantity("200 mm"),
    "rated_shot_mass": quantity("350 g"),
    "reference_resin": "r",
    "injection_pressure": quantity("1600 bar"),
    "injection_rate": quantity("150 cm3/s"),
    "plasticising_rate": quantity("20 g/s"),
    "plasticising_speed": quantity("120 rev/min"),
    "screw_speed_max": quantity("300 rev/min"),
    "melt_inventory": quantity("500 cm3"),
    "barrel_package": "bimetallic_carbide",
    "screw_package": "bimetallic_carbide",
}
UNIT = {"clamp_force": quantity("1500 kN"), "price": money(100_000)}
BID = {"freight": money(4000), "installation": money(6000), "training": money(3000)}
COST = {
    "horizon_years": 10,
    "discount_rate": 0.07,
    "machine_hour_rate": money(40),
    "tariff": money("0.2"),
    "hours_available": quantity("6000 h"),
    "oee": 0.8,
    "energy_per_mass": quantity("1 kWh/kg"),
    "turnovers": 4.0,
    "change_time": quantity("2 h"),
    "residual_share": 0.1,
    "common_resin": "r",
}


def without_nulls(thing: Mapping[str, Any]) -> Filed:
    return {name: value for name, value in thing.items() if value is not None}


def bid(name: str, **changes: Any) -> Filed:
    """Make a bid of one unit; `unit` and `barrel` hold changes, `barrels` those of several."""
    unit = UNIT | changes.pop("unit", {})
    several = changes.pop("barrels", [changes.pop("barrel", {})])
    barrels = [
        without_nulls({"id": f"{name}{'abc'[at]}", **BARREL, **more})
        for at, more in enumerate(several)
    ]
    made = without_nulls({"id": f"{name}u", **unit}) | {"barrels": barrels}
    return without_nulls({"id": name, "supplier": name, **BID, **changes}) | {"units": [made]}


def evaluation(*bids: Filed, jobs: Any = ({},), **changes: Any) -> Evaluation:
    """Make an evaluation of some bids; `jobs` and `cost` are what is changed of each."""
    planned = [without_nulls({"id": f"j{at}", **JOB, **more}) for at, more in enumerate(jobs)]
    cost = without_nulls(COST | changes.pop("cost", {}))
    resins = [RESIN, *changes.pop("more_resins", [])]
    whole = {
        "as_of": "2026-01-15",
        "currency": "EUR",
        "resins": resins,
        "jobs": planned,
        "bids": list(bids),
        "cost": cost,
        **changes,
    }
    return Evaluation.model_validate_json(json.dumps(without_nulls(whole)))


@pytest.fixture(scope="session")
def make_bid() -> Callable[..., Filed]:
    return bid


@pytest.fixture(scope="session")
def as_money() -> Callable[..., Filed]:
    return money


@pytest.fixture(scope="session")
def decided() -> Callable[..., Decision]:
    """Appraise such an evaluation and give what a choice needs."""
    return lambda *bids, **changes: decide(appraise(evaluation(*bids, **changes)))


@pytest.fixture(scope="session")
def sample_decision(sample_appraisal) -> Decision:
    return decide(sample_appraisal)
