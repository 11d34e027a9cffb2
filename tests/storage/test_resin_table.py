"""The shipped resin table as the program reads it."""

from __future__ import annotations

from evenbarrel.model.resin import Resin
from evenbarrel.storage.resin_table import entry_of, table


def test_every_entry_is_a_resin_with_an_id_of_its_own() -> None:
    ids = [entry.resin.id for entry in table()]
    assert len(ids) > 20
    assert len(set(ids)) == len(ids)


def test_no_window_of_the_table_is_applied_by_adding_a_resin() -> None:
    assert {(e.resin.utilisation_low, e.resin.utilisation_high) for e in table()} == {(None, None)}


def test_windows_are_shares_in_order_and_say_where_they_come_from() -> None:
    windows = [window for entry in table() for window in entry.windows]
    assert windows
    assert all(window.low < window.high for window in windows)
    assert all(window.applies_to and window.source for window in windows)


def test_a_copied_resin_finds_its_entry_again() -> None:
    first = table()[0]
    assert entry_of(first.resin.replace(name="Our own name")) is first
    assert entry_of(Resin(id="ours")) is None
