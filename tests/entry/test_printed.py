"""What offers print, typed as it is printed."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from evenbarrel.entry.amount import read_money
from evenbarrel.entry.shapes import Context, read, shapes_of
from evenbarrel.model.offers.barrel import Barrel
from evenbarrel.model.offers.bid import Bid
from evenbarrel.model.quantity import Money, Quantity

BARREL, BID = shapes_of(Barrel), shapes_of(Bid)


def typed(name: str, text: str, before: Quantity | None = None) -> Any:
    return read(BARREL[name], text, Context(), before)


@pytest.mark.parametrize(
    ("name", "text", "read_as"),
    [
        # Thirty psi inject nothing; nobody builds a screw of 40 m.
        ("injection_pressure", "30,200 psi", "30200"),
        ("injection_pressure", "2.420 bar", "2420"),
        ("screw_diameter", "40.000 mm", "40.000"),
        ("screw_diameter", "1.750 in", "1.750"),
        ("length_ratio", "22:1", "22"),
        ("length_ratio", "22 D", "22"),
    ],
)
def test_a_number_is_read_as_it_is_printed(name: str, text: str, read_as: str) -> None:
    found = typed(name, text)
    assert (found.problem, found.value.magnitude) == ("", read_as)


def test_what_could_be_thousands_is_told_with_the_way_to_say_otherwise() -> None:
    found = typed("injection_pressure", "30,200 psi")
    assert found.remark == "its mark separates thousands; write 30.2000 if decimals are meant"
    assert typed("injection_pressure", "30.2000 psi").value.magnitude == "30.2000"


def test_the_number_that_stands_there_is_not_read_anew() -> None:
    before = Quantity(magnitude="30.200", unit="psi")
    assert typed("injection_pressure", "30.200", before).value == before
    amount = Money(amount="1.234", currency="EUR")
    assert read_money("1.234", "EUR", amount).value == amount


@pytest.mark.parametrize(
    ("text", "currency", "amount"),
    [
        ("214,900", "EUR", "EUR 214900"),
        ("186.400,-", "EUR", "EUR 186400"),
        ("186.400,50", "EUR", "EUR 186400.50"),
        ("$214,900", "USD", "USD 214900"),
        ("$ 214,900.00", "CAD", "CAD 214900.00"),
        ("214 900 €", "USD", "EUR 214900"),
        ("USD 214,900", "EUR", "USD 214900"),
        ("0.234", "EUR", "EUR 0.234"),
    ],
)
def test_an_amount_is_read_as_it_is_printed(text: str, currency: str, amount: str) -> None:
    found = read_money(text, currency)
    assert found.problem == ""
    assert f"{found.value.currency} {found.value.amount}" == amount


@pytest.mark.parametrize(
    "text",
    [
        "2026-11-12",
        "12.11.2026",
        "12. 11. 2026",
        "12 Nov 2026",
        "12-Nov-2026",
        "Nov 12, 2026",
        "12. November 2026",
        "12th November 2026",
        "12 novembre 2026",
    ],
)
def test_a_day_is_read_as_it_is_printed(text: str) -> None:
    assert read(BID["date"], text, Context()).value == date(2026, 11, 12)


def test_a_day_that_could_be_another_is_refused_with_the_way_to_write_it() -> None:
    assert read(BID["date"], "12/31/2026", Context()).value == date(2026, 12, 31)
    for text in ("11/09/2026", "31.02.2026", "Marble 3", "2026-13-01", "12.2026", "Foo 3, 2026"):
        found = read(BID["date"], text, Context())
        assert (found.value, "2 Mar 2026" in found.problem) == (None, True)
