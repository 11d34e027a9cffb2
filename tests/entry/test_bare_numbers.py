"""Counts, shares and changes in a year as people type them."""

from __future__ import annotations

import pytest

from evenbarrel.entry.shapes import Context, read, shapes_of, written
from evenbarrel.model.cost import Cost

SHAPES = shapes_of(Cost)


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("discount_rate", "7", 0.07),
        ("discount_rate", "0.07", 0.07),
        ("discount_rate", "-1,5 %", -0.015),
        ("discount_rate", "−2 %", -0.02),
        ("discount_rate", "0", 0.0),
        ("oee", "85", 0.85),
        ("turnovers", "4", 4.0),
        ("turnovers", "0,5", 0.5),
        ("horizon_years", "10", 10),
    ],
)
def test_a_number_without_a_unit_is_read_and_reads_back(name: str, text: str, value: float) -> None:
    reading = read(SHAPES[name], text, Context())
    assert reading.problem == ""
    assert reading.value == pytest.approx(value)
    again = written(SHAPES[name], reading.value, Context())
    assert read(SHAPES[name], again, Context()).value == pytest.approx(value)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("discount_rate", "-100 %"),
        ("discount_rate", "100 %"),
        ("discount_rate", "-"),
        ("discount_rate", "much"),
        ("oee", "-5 %"),
        ("oee", "120 %"),
        ("turnovers", "often"),
        ("horizon_years", "0"),
        ("horizon_years", "61"),
        ("horizon_years", "2.5"),
    ],
)
def test_what_can_be_no_such_number_is_told(name: str, text: str) -> None:
    reading = read(SHAPES[name], text, Context())
    assert reading.value is None
    assert reading.problem
