from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel, ValidationError

from evenbarrel.model.datum import Datum, data_of, quantities, si_of
from evenbarrel.model.evaluation import BidFile, Evaluation
from evenbarrel.model.offers.bid import Barrel
from evenbarrel.model.quantity import Quantity
from evenbarrel.units import KINDS

LENGTH = Datum("Stroke", kinds=("length",), low=0.01, high=2.5)
RATE = Datum("Injection rate", kinds=("volume_rate", "mass_rate"))
TEMPERATURE = Datum("Melt temperature", kinds=("temperature",))
CUSHION = Datum("Cushion", kinds=("length",), sign="non_negative")


def models_within(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
        for info in annotation.model_fields.values():
            yield from models_within(info.annotation)
    for part in get_args(annotation):
        yield from models_within(part)


MODELS = sorted({*models_within(Evaluation), *models_within(BidFile)}, key=lambda m: m.__name__)


def test_every_description_is_complete(for_each: Any) -> None:
    @for_each(MODELS)
    def _(model: type[BaseModel]) -> None:
        for datum in data_of(model).values():
            assert datum.label == datum.label.strip() != ""
            assert set(datum.kinds) <= set(KINDS)
            assert datum.low is None or datum.high is None or datum.low < datum.high
            # A unit that two kinds of one datum shared would leave open which of them is meant.
            assert len(set(datum.units)) == len(datum.units)


def test_every_quantity_of_the_evaluation_knows_its_kind() -> None:
    without = {
        (model.__name__, name)
        for model in MODELS
        for name, info in model.model_fields.items()
        if Quantity in (info.annotation, *get_args(info.annotation))
        if name not in data_of(model) or not data_of(model)[name].kinds
    }
    # Of these the kind is that of whatever datum was asked for, confirmed or guaranteed.
    assert without == {
        ("Answer", "quantity"),
        ("QuestionState", "quantity"),
        ("Stood", "quantity"),
        ("ConfirmedLimit", "value"),
        ("Guarantee", "tolerance"),
        ("Guarantee", "value"),
    }


@pytest.mark.parametrize(
    ("datum", "magnitude", "unit", "problem"),
    [
        (LENGTH, "1", "bar", "'bar' is not a unit it can have; it takes mm, cm, in"),
        (LENGTH, "0", "mm", "must be above zero"),
        (LENGTH, "-0.0", "mm", "must be above zero"),
        (LENGTH, "-3", "mm", "must be above zero"),
        (CUSHION, "-3", "mm", "cannot be negative"),
        (LENGTH, "1" + "0" * 16, "mm", "out of all proportion"),
        (CUSHION, "0." + "0" * 16 + "1", "mm", "out of all proportion"),
        (TEMPERATURE, "-273.16", "degC", "below absolute zero"),
        (TEMPERATURE, "-459.68", "degF", "below absolute zero"),
    ],
)
def test_an_impossible_number_is_told(
    datum: Datum, magnitude: str, unit: str, problem: str
) -> None:
    told = datum.problem(magnitude, unit)
    assert told is not None
    assert problem in told


@pytest.mark.parametrize(
    ("datum", "magnitude", "unit"),
    [
        (LENGTH, "180.0", "mm"),
        (CUSHION, "0", "mm"),
        (TEMPERATURE, "-40", "degC"),
        (TEMPERATURE, "-459.67", "degF"),
        (RATE, "5", "oz/s"),
        (Datum("Growth", kinds=("share",), sign="any"), "-3", "%"),
    ],
)
def test_a_possible_number_passes_however_unusual(datum: Datum, magnitude: str, unit: str) -> None:
    assert datum.problem(magnitude, unit) is None


def test_the_usual_range_includes_its_ends_and_may_be_open() -> None:
    assert [LENGTH.is_usual(si) for si in (0.0099, 0.01, 2.5, 2.6)] == [False, True, True, False]
    assert RATE.is_usual(1e9)


def test_a_datum_of_two_kinds_takes_the_units_of_both() -> None:
    assert RATE.units == KINDS["volume_rate"].units + KINDS["mass_rate"].units
    assert RATE.kind_of("in3/s") == "volume_rate"
    assert RATE.kind_of("kg/h") == "mass_rate"


@given(st.sampled_from(sorted({unit for kind in KINDS.values() for unit in kind.units})))
def test_a_barrel_takes_a_stroke_in_units_of_length_only(unit: str) -> None:
    quantity = Quantity(magnitude="180", unit=unit)
    if unit in KINDS["length"].units:
        assert Barrel(id="a", stroke=quantity).stroke == quantity
    else:
        with pytest.raises(ValidationError, match="is not a unit it can have"):
            Barrel(id="a", stroke=quantity)


def test_entered_quantities_are_listed_in_order_and_read_in_si() -> None:
    barrel = Barrel(
        id="a",
        label="A",
        stroke=Quantity(magnitude="180", unit="mm"),
        screw_diameter=Quantity(magnitude="2", unit="in"),
        injection_rate=Quantity(magnitude="36", unit="kg/h"),
    )
    assert [name for name, _, _ in quantities(barrel)] == [
        "screw_diameter",
        "stroke",
        "injection_rate",
    ]
    # The inch is 25.4 mm: NIST SP 811 (2008), appendix B.8.
    assert si_of(barrel, "screw_diameter") == pytest.approx(0.0508, rel=1e-12)
    assert si_of(barrel, "injection_rate") == pytest.approx(0.01, rel=1e-12)
    assert si_of(barrel, "swept_volume") is None
    assert si_of(barrel, "label") is None


def test_the_schema_carries_label_help_and_units() -> None:
    published = Barrel.model_json_schema()["properties"]["feed_depth"]
    assert published["title"] == "Feed depth"
    assert published["description"] == "Channel depth in the feed zone"
    assert published["x-units"] == ["mm", "cm", "in"]
