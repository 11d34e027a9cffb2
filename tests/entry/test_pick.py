"""What a pick-list offers first."""

from __future__ import annotations

import pytest

from evenbarrel.entry.pick import ranked
from evenbarrel.entry.shapes import Context, read, shapes_of
from evenbarrel.entry.wordings import abbreviation, short_names, squeezed
from evenbarrel.model.job import Job
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


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("PA66-GF30", "pa66_gf30"),
        ("PA 66 GF 30", "pa66_gf30"),
        ("PVC-U", "pvc_u"),
        ("uPVC", "pvc_u"),
        ("HDPE", "pe_hd"),
        ("PE-HD", "pe_hd"),
        ("GPPS", "ps"),
        ("PC/ABS", "pc_abs"),
        ("acetal", "pom"),
    ],
)
def test_a_resin_is_found_as_the_trade_writes_it(typed: str, meant: str) -> None:
    assert ranked(typed, RESINS, short_names())[0][0] == meant
    resin = shapes_of(Job)["resin"]
    assert read(resin, typed, Context(table=dict(RESINS))).value == meant
    # An evaluation that has it under the same key keeps its own.
    assert read(resin, typed, Context(resins={meant: "Ours"})).value == meant


def test_every_resin_of_the_table_has_its_own_abbreviation() -> None:
    assert all(abbreviation(key) for key, _ in RESINS)
    called = [(squeezed(name), key) for key, names in short_names().items() for name in names]
    assert len({name for name, _ in called}) == len(set(called))
    assert short_names().keys() <= dict(RESINS).keys()


def test_a_resin_of_no_known_name_is_told_where_all_are_listed() -> None:
    refused = read(shapes_of(Job)["resin"], "unobtainium", Context(table=dict(RESINS)))
    assert "clear the cell to list them all" in refused.problem


def test_what_fits_nothing_is_not_offered() -> None:
    assert ranked("unobtainium", RESINS) == ()
    assert ranked("", RESINS) == RESINS
