"""What a pick-list offers first."""

from __future__ import annotations

import pytest

from evenbarrel.entry.pick import ranked
from evenbarrel.storage.resin_table import names

RESINS = tuple(names().items())


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("pp", "pp"),
        ("PP", "pp"),
        ("polypropylene", "pp"),
        ("pe", "pe_ld"),
        ("pa66", "pa66"),
        ("glass", "pp_gf30"),
        ("high impact", "hips"),
        ("carbonate", "pc"),
    ],
)
def test_the_exact_match_comes_first_then_what_begins_so(typed: str, first: str) -> None:
    assert ranked(typed, RESINS)[0][0] == first


def test_what_fits_nothing_is_not_offered() -> None:
    assert ranked("unobtainium", RESINS) == ()
    assert ranked("", RESINS) == RESINS
