"""Masses of a series as people paste them: one a line, side by side, with either decimal mark."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as some

from evenbarrel.entry.masses import MOST_MASSES, read_masses, written_masses


@pytest.mark.parametrize(
    ("text", "magnitudes"),
    [
        ("89.4\n89.5\n", ["89.4", "89.5"]),
        ("89,4\t89,5\r\n89,6", ["89.4", "89.5", "89.6"]),
        ("89.4, 89.5, 89.6", ["89.4", "89.5", "89.6"]),
        ("89.4; 89.5 g;0.0896 kg", ["89.4", "89.5", "0.0896"]),
        # A space parts masses: three shots of about a hundred grams, not one of 100 t.
        ("100 101 102", ["100", "101", "102"]),
        (" \n\n", []),
    ],
)
def test_masses_are_read_in_their_order(text: str, magnitudes: list[str]) -> None:
    read = read_masses(text, "g")
    assert read.problem == ""
    assert [mass.magnitude for mass in read.masses] == magnitudes
    assert {mass.standing for mass in read.masses} <= {"measured"}


@pytest.mark.parametrize("text", ["heavy", "89.4\n-3", "89.4 mm", "≈ 89", "89.4 ± 0.1", "nan"])
def test_what_is_no_mass_is_refused_with_its_line_and_nothing_taken(text: str) -> None:
    read = read_masses(text, "g")
    assert read.masses == ()
    assert read.problem.startswith(f"Line {text.count(chr(10)) + 1}, “")


def test_a_series_without_end_is_refused() -> None:
    assert read_masses("1 " * (MOST_MASSES + 1), "g").problem


@given(some.lists(some.decimals("0.01", "5000", places=3), min_size=1, max_size=40))
def test_what_is_written_reads_back(values: list[Decimal]) -> None:
    read = read_masses("\n".join(map(str, values)), "g")
    assert [Decimal(mass.magnitude) for mass in read.masses] == values
    assert read_masses(written_masses(read.masses, "g"), "g").masses == read.masses


@given(some.text())
def test_no_text_is_an_error(text: str) -> None:
    read = read_masses(text, "g")
    assert not (read.masses and read.problem)
