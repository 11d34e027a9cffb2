"""Whether an offer says enough, and whether it still holds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from evenbarrel.appraisal.claims import missing_by_criterion, offer_claims
from evenbarrel.model.offers.bid import Bid

COMPLETE = {
    "screw_diameter": "50 mm",
    "stroke": "200 mm",
    "ring_travel": "3 mm",
    "melt_inventory": "500 cm3",
    "plasticising_rate": "20 g/s",
    "plasticising_resin": "ps",
    "plasticising_speed": "150 rev/min",
    "screw_speed_max": "300 rev/min",
    "injection_pressure": "2000 bar",
    "injection_rate": "200 cm3/s",
    "barrel_package": "bimetallic_iron",
    "screw_package": "nitrided",
    "length_ratio": "20 1",
    "compression_ratio": "2.4 1",
}
OF_UNIT = {"injection_power": "40 kW", "position_scatter": "0.05 mm"}


def completeness(unit, required=("capacity", "utilisation", "stroke")):
    return offer_claims(unit.bid, (unit,), None, required)[0]


def validity(as_of, **bid):
    return offer_claims(Bid(id="bid", **bid), (), as_of)[1]


def test_a_complete_offer_agrees(make_unit):
    claim = completeness(make_unit(COMPLETE, **OF_UNIT))
    assert (claim.key, claim.state, claim.missing) == ("completeness", "agrees", ())


@pytest.mark.parametrize("name", COMPLETE)
def test_each_datum_of_a_barrel_is_missed(make_unit, name):
    unit = make_unit(COMPLETE, {**COMPLETE, name: None}, **OF_UNIT)
    claim = completeness(unit)
    assert claim.state == ("not_stated" if name in ("screw_diameter", "stroke") else "query")
    assert name in claim.missing
    assert any(name in names for names in missing_by_criterion((unit,)).values())


@pytest.mark.parametrize("name", OF_UNIT)
def test_each_datum_of_a_unit_is_missed(make_unit, name):
    claim = completeness(make_unit(COMPLETE, **{**OF_UNIT, name: None}))
    assert (claim.state, claim.missing) == ("query", (name,))


def test_any_two_of_diameter_stroke_and_volume_are_enough(make_unit):
    for left_out in ("screw_diameter", "stroke"):
        barrel = {**COMPLETE, left_out: None, "swept_volume": "392.7 cm3"}
        assert completeness(make_unit(barrel, **OF_UNIT)).state == "agrees"
    alone = {**COMPLETE, "screw_diameter": None, "stroke": None, "swept_volume": "392.7 cm3"}
    claim = completeness(make_unit(alone, **OF_UNIT))
    assert (claim.state, claim.missing) == ("not_stated", ("screw_diameter", "stroke"))


def test_a_required_criterion_makes_its_data_necessary(make_unit):
    unit = make_unit({**COMPLETE, "injection_pressure": None}, **OF_UNIT)
    assert completeness(unit).state == "query"
    assert completeness(unit, ("pressure",)).state == "not_stated"
    assert missing_by_criterion((unit,)) == {"pressure": ("injection_pressure",)}


def test_one_of_several_routes_suffices(make_unit):
    geometry = {"feed_depth": "6 mm", "metering_depth": "3 mm", "length_ratio": "20 1"}
    zones = {"feed": 0.6, "compression": 0.2, "metering": 0.2}
    barrel = {**COMPLETE, **geometry, "zones": zones, "melt_inventory": None}
    assert completeness(make_unit(barrel, **OF_UNIT)).state == "agrees"
    without = make_unit({**barrel, "zones": None}, **OF_UNIT)
    assert completeness(without).missing == ("melt_inventory",)


def test_an_unknown_package_is_not_stated(make_unit):
    unit = make_unit({**COMPLETE, "barrel_package": "unknown"}, **OF_UNIT)
    assert completeness(unit).missing == ("barrel_package",)


def test_a_plunger_needs_its_volume_only(make_unit):
    unit = make_unit({"swept_volume": "400 cm3"}, unit_kind="plunger")
    assert completeness(unit).state == "agrees"


def test_an_offer_without_barrels_says_nothing(make_unit):
    assert completeness(make_unit()).missing == ("barrels",)


@pytest.mark.parametrize(
    ("as_of", "state", "note"),
    [
        (date(2026, 3, 30), "agrees", None),
        (date(2026, 3, 31), "agrees", None),
        (date(2026, 4, 1), "contradicts", "expired"),
        (date(2026, 3, 2), "agrees", None),
        (date(2026, 3, 1), "query", "dated_later"),
    ],
)
def test_an_offer_holds_to_its_last_day(as_of, state, note):
    claim = validity(as_of, date=date(2026, 3, 2), valid_until=date(2026, 3, 31))
    assert (claim.key, claim.state, claim.note) == ("validity", state, note)


def test_an_offer_that_ends_before_its_date(make_unit):
    claim = validity(date(2026, 1, 1), date=date(2026, 3, 2), valid_until=date(2026, 3, 1))
    assert (claim.state, claim.note) == ("contradicts", "ends_first")


def test_validity_names_what_it_lacks():
    assert validity(None).missing == ("valid_until", "as_of")
    assert validity(date(2026, 3, 2)).missing == ("valid_until",)
    assert validity(None, valid_until=date(2026, 3, 2)).missing == ("as_of",)


def test_units_of_several_machines_are_joined(make_unit):
    one = make_unit(COMPLETE, **OF_UNIT)
    other = replace(make_unit({**COMPLETE, "ring_travel": None}, **OF_UNIT), bid=one.bid)
    assert offer_claims(one.bid, (one, other), None)[0].missing == ("ring_travel",)
