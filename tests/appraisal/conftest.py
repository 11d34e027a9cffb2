"""Builders of small units: data as printed ("50 mm"), judged as the appraisal judges them."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from typing import Any

import pytest

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.appraisal.claims import barrel_claims
from evenbarrel.appraisal.inputs.stated import StatedUnit, stated_units
from evenbarrel.appraisal.results import Claim, CriterionResult, Fit, ResinResult
from evenbarrel.model.datum import data_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.limits import Limits
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import Resin

Fields = Mapping[str, Any]
MakeUnit = Callable[..., StatedUnit]
Judge = Callable[..., tuple[Mapping[str, Claim], ...]]

SCREWS: Mapping[str, Fields] = {
    "A": {"screw_diameter": "45 mm", "stroke": "200 mm", "swept_volume": "318.1 cm3"},
    "B": {"screw_diameter": "50 mm", "stroke": "200 mm", "swept_volume": "392.7 cm3"},
    "C": {"screw_diameter": "55 mm", "stroke": "200 mm", "swept_volume": "475.2 cm3"},
}
"""Three screws of one unit; geometry, own arithmetic."""

PRESSURES = {"A": "2469 bar", "B": "2000 bar", "C": "1653 bar"}
"""p A is one force for the three: 392.7 kN, size number 785; own arithmetic."""

MASSES = {"A": "289.5 g", "B": "357.4 g", "C": "432.4 g"}
"""V times 0.91 g/cm3, the factor of polystyrene in the trade, no traceable source."""


def _entered(model: type[Barrel] | type[InjectionUnit], fields: Fields) -> dict[str, Any]:
    described = data_of(model)
    entered = {}
    for name, value in fields.items():
        if name in described and described[name].kinds and isinstance(value, str):
            magnitude, unit = value.rsplit(" ", 1)
            value = Quantity(magnitude=magnitude, unit=unit)
        entered[name] = value
    return entered


def _make_unit(*barrels: Fields, **unit: Any) -> StatedUnit:
    made = tuple(
        Barrel(**{"id": f"b{number}", **_entered(Barrel, fields)})
        for number, fields in enumerate(barrels)
    )
    injection_unit = InjectionUnit(id="u", barrels=made, **_entered(InjectionUnit, unit))
    resins = (Resin(id="ps"), Resin(id="pp"))
    evaluation = Evaluation(resins=resins, bids=(Bid(id="bid", units=(injection_unit,)),))
    return next(stated_units(evaluation))


def _resin(name: str, factor: float, melt: float, solid: float, enthalpy: float) -> ResinResult:
    return ResinResult(name, "trade_table", factor, 0.04, (), solid, melt, enthalpy)


RESINS = {
    "ps": _resin("ps", 910.0, 970.0, 1050.0, 370e3),
    "pp": _resin("pp", 730.0, 748.8, 905.0, 580e3),
}
"""Factors of the trade, melt densities near those of the Tait equation, enthalpies from memory."""


@pytest.fixture(scope="session")
def make_unit() -> MakeUnit:
    """Build a unit's facts from its barrels' data and its own."""
    return _make_unit


@pytest.fixture(scope="session")
def resins() -> Mapping[str, ResinResult]:
    """Polystyrene and polypropylene."""
    return RESINS


@pytest.fixture(scope="session")
def judge() -> Judge:
    """Judge a unit: the claims of each barrel by key."""

    def judged(
        *barrels: Fields, limits: Limits | None = None, **unit: Any
    ) -> tuple[Mapping[str, Claim], ...]:
        claims = barrel_claims(_make_unit(*barrels, **unit), RESINS, limits or Limits())
        return tuple({claim.key: claim for claim in own} for own in claims)

    return judged


@pytest.fixture(scope="session")
def three_screws() -> Callable[..., list[dict[str, Any]]]:
    """Give screws A, B and C, sound as printed, with changes by letter."""

    def screws(*also: str, **changes: Fields) -> list[dict[str, Any]]:
        made = []
        for letter, fields in SCREWS.items():
            screw = dict(fields)
            if "pressure" in also:
                screw["injection_pressure"] = PRESSURES[letter]
            if "mass" in also:
                screw |= {"rated_shot_mass": MASSES[letter], "reference_resin": "ps"}
            made.append({**screw, **changes.get("every", {}), **changes.get(letter, {})})
        return made

    return screws


EXACT: Mapping[str, Fields] = {
    "resin": {
        "id": "r",
        "resin_class": "general",
        "output_factor_route": "own",
        "output_factors": {"own": "1 g/cm3 ±0"},
        "melt_density": "1 g/cm3",
        "enthalpy": "500 kJ/kg",
        "melt_temperature": "230 degC",
        "peripheral_speed_limit": "0.9 m/s",
        "residence_limits": [{"temperature": "230 degC", "time": "600 s"}],
        "abrasive": "no",
        "corrosive": "no",
        "compression_low": "2 1",
        "compression_high": "3 1",
    },
    "job": {
        "id": "j",
        "resin": "r",
        "shot_mass": "160 g ±0",
        "cycle_time": "30 s ±0",
        "cooling_time": "20 s ±0",
        "fill_time": "2 s",
        "required_pressure": "100 MPa ±0",
        "shot_mass_tolerance": "0.5 %",
    },
    "unit": {"id": "u", "injection_power": "30 kW", "position_scatter": "0.1 mm"},
    "barrel": {
        "id": "b",
        "screw_diameter": "50.0000000000000 mm",
        "stroke": "200.000000000000 mm",
        "reference_resin": "r",
        "injection_pressure": "160 MPa",
        "injection_rate": "150 cm3/s",
        "plasticising_rate": "20 g/s ±0",
        "plasticising_speed": "120 rev/min",
        "screw_speed_max": "300 rev/min",
        "melt_inventory": "500 cm3 ±0",
        "compression_ratio": "2.5 1",
        "ring_travel": "2 mm",
        "barrel_package": "bimetallic_carbide",
        "screw_package": "bimetallic_carbide",
    },
}
"""One barrel and one job whose numbers leave nothing to ask for: every criterion is inside, but
repeatability, whose value is a lower bound."""

PRINTED = re.compile(r"(?P<magnitude>-?[0-9.]+) (?P<unit>[^ ]+)( ±(?P<half_width>[0-9.]+))?")
"""A number as a test writes it: "10 g", or "10 g ±0.05" with its half-width as a share."""


def _as_filed(value: Any) -> Any:
    """Return a value as a file holds it: printed numbers as quantities, None left out."""
    if isinstance(value, Mapping):
        return {name: _as_filed(part) for name, part in value.items() if part is not None}
    if isinstance(value, list | tuple):
        return [_as_filed(part) for part in value]
    printed = PRINTED.fullmatch(value) if isinstance(value, str) else None
    if printed is None:
        return value
    width = printed["half_width"]
    quantity = {"magnitude": printed["magnitude"], "unit": printed["unit"]}
    return quantity if width is None else {**quantity, "half_width": float(width)}


def _planned(**changes: Any) -> Evaluation:
    filed = {part: {**EXACT[part], **changes.pop(part, {})} for part in EXACT}
    barrels = [{**filed["barrel"], **more} for more in changes.pop("barrels", [{}])]
    jobs = [{**filed["job"], **more} for more in changes.pop("jobs", [{}])]
    units = [{**filed["unit"], "barrels": barrels}]
    bid = {"id": "bid", "supplier": "First supplier", "units": units, **changes.pop("bid", {})}
    whole = {
        "resins": [filed["resin"], *changes.pop("more_resins", [])],
        "jobs": jobs,
        "bids": [bid, *changes.pop("more_bids", [])],
        **changes,
    }
    return Evaluation.model_validate_json(json.dumps(_as_filed(whole)))


@pytest.fixture(scope="session")
def planned() -> Callable[..., Evaluation]:
    """Build an evaluation from EXACT with changes to its resin, job, unit or barrel.

    `barrels` and `jobs` list changes for several, `more_resins` and `more_bids` add whole ones;
    anything else is a field of the evaluation.
    """
    return _planned


@pytest.fixture(scope="session")
def cell() -> Callable[..., Fit]:
    """Appraise such an evaluation and give its first cell."""

    def first(**changes: Any) -> Fit:
        evaluation = _planned(**changes)
        barrel = next(barrel for _, _, barrel in evaluation.barrels())
        return appraise(evaluation).fit(barrel.id, evaluation.jobs[0].id)

    return first


@pytest.fixture(scope="session")
def judged(cell: Callable[..., Fit]) -> Callable[..., CriterionResult]:
    """Give one criterion of such an evaluation's first cell."""

    def one(key: str, **changes: Any) -> CriterionResult:
        return next(c for c in cell(**changes).criteria if c.key == key)

    return one
