"""Numbers as people read them."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.wording.words import numbers


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (392.69908, 3, "393"),
        (392.69908, 4, "392.7"),
        (0.0123456, 3, "0.0123"),
        (12345.6, 3, "12346"),
        (0.0, 3, "0"),
        (-0.5, 2, "−0.50"),
        (-1e-12, 2, "−0.0000000000010"),
        (None, 3, "–"),
        (float("nan"), 3, "–"),
        (float("inf"), 3, "–"),
        (0.7999999999999998, 2, "0.80"),
    ],
)
def test_rounding_keeps_whole_digits(value: float | None, digits: int, text: str) -> None:
    assert numbers.rounded(value, digits) == text


@given(st.floats(1e-9, 1e12), st.integers(1, 6))
def test_a_rounded_number_is_near_the_number(value: float, digits: int) -> None:
    text = numbers.rounded(value, digits)
    assert abs(float(text) / value - 1.0) <= 0.5 * 10.0 ** (1 - digits) * (1 + 1e-9)


@given(st.floats(1e-6, 1e9))
def test_what_is_compared_ends_in_no_idle_zero(value: float) -> None:
    text = numbers.compared(value, "ratio", "metric")
    assert not ("." in text and text.endswith(("0", ".")))
    assert float(text) == pytest.approx(value, rel=1e-3)


def test_display_units_change_the_number_and_its_unit() -> None:
    assert numbers.with_unit(16.387064e-6, "volume", "metric") == "16.4 cm³"
    assert numbers.with_unit(16.387064e-6, "volume", "us") == "1.00 in³"
    assert numbers.with_unit(473.15, "temperature", "metric") == "200 °C"


def test_the_ends_of_a_range_have_their_unit_once_where_it_is_the_same() -> None:
    assert numbers.between("157 g", "163 g") == "157 to 163 g"
    assert numbers.between("4.2 fl oz", "5.0 fl oz") == "4.2 to 5.0 fl oz"
    assert numbers.between("55 s", "1.2 min") == "55 s to 1.2 min"
    assert numbers.between("5 m", "9 mm") == "5 m to 9 mm"
    assert numbers.between("1.8", "2.4") == "1.8 to 2.4"


def test_shares_are_told_in_per_cent() -> None:
    assert numbers.percent(0.564) == "56 %"
    assert numbers.percent(None) == "–"
    assert numbers.signed_percent(-0.94) == "−94 %"
    assert numbers.signed_percent(0.152) == "+15 %"


@given(st.decimals(0, 10**9, places=2))
def test_what_was_printed_stays_as_printed(magnitude: Decimal) -> None:
    quantity = Quantity(magnitude=str(magnitude), unit="cm3")
    assert numbers.printed(quantity) == f"{magnitude} cm³"


def test_money_keeps_its_decimals_and_parts_its_thousands() -> None:
    assert numbers.money(Money(amount="148500.00", currency="EUR")) == "EUR 148\u202f500.00"
    assert numbers.money(None) == "–"
