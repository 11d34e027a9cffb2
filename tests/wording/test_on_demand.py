"""Rows made on demand are the same rows, each made once."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenbarrel.wording.on_demand import Deferred, OnDemand


@given(st.lists(st.integers()), st.slices(12))
def test_they_are_the_rows_that_a_tuple_holds(items: list[int], part: slice) -> None:
    whole = tuple(items)
    for lazy in (OnDemand(len(whole), whole.__getitem__), Deferred(lambda: whole)):
        assert lazy == whole
        assert whole == tuple(lazy)
        assert lazy[part] == whole[part]
        assert len(lazy) == len(whole)
        assert [lazy[place] for place in range(-len(whole), len(whole))] == [*whole, *whole]
        with pytest.raises(IndexError):
            lazy[len(whole)]
    assert OnDemand(len(whole), whole.__getitem__) == Deferred(lambda: whole)


def test_a_row_is_made_when_it_is_looked_at_and_only_then() -> None:
    made: list[int] = []

    def make(place: int) -> str:
        made.append(place)
        return f"row {place}"

    rows = OnDemand(1_000, make)
    assert (len(rows), made) == (1_000, [])
    assert rows[3] == rows[3] == "row 3"
    assert rows[-1] == "row 999"
    assert made == [3, 999]
