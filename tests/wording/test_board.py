"""The board: one row a barrel, numbered shots, rows arranged as a person asks."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.model.quantity import Quantity
from evenbarrel.resources import read_sample
from evenbarrel.storage.files import parse_evaluation
from evenbarrel.wording.pictures.board import BoardPicture, Filter, arranged, board
from evenbarrel.wording.pictures.label_layout import side_by_side
from evenbarrel.wording.pictures.scales import Scale
from evenbarrel.wording.sentences.deciding.gate import BEST_FIRST

SAMPLE = "irrigation-parts.evenbarrel.json"


@pytest.fixture(scope="module")
def appraisal() -> Appraisal:
    return appraise(parse_evaluation(read_sample(SAMPLE), SAMPLE))


@pytest.fixture(scope="module")
def picture(appraisal: Appraisal) -> BoardPicture:
    return board(appraisal, Scale())


def test_every_barrel_is_a_row_and_every_job_a_numbered_cell(
    appraisal: Appraisal, picture: BoardPicture
) -> None:
    assert [row.barrel for row in picture.rows] == [b.id for b in appraisal.barrels]
    assert [job.number for job in picture.jobs] == list(range(1, len(appraisal.jobs) + 1))
    for row in picture.rows:
        assert [cell.job for cell in row.cells] == [job.id for job in picture.jobs]
        for cell in row.cells:
            fit = appraisal.fit(row.barrel, cell.job)
            assert (cell.state, cell.by_rule, cell.open) == (fit.state, fit.by_rule, len(fit.open))


def test_a_supplier_is_named_once_above_its_barrels(picture: BoardPicture) -> None:
    suppliers = [row.supplier for row in picture.rows if row.first]
    assert suppliers == list(dict.fromkeys(row.supplier for row in picture.rows))


def test_a_cell_says_its_verdict_and_what_binds_in_words(picture: BoardPicture) -> None:
    row = next(row for row in picture.rows if row.barrel == "b1u1a")
    cell = next(cell for cell in row.cells if cell.by_rule)
    assert picture.cell_text(cell).startswith("outside by rule: share")
    assert row.full_name in picture.cell_tip(row, cell.job).replace(" · ", " ").replace(
        "Brastivel ", "Brastivel, "
    )


def test_a_barrel_without_a_volume_says_so(picture: BoardPicture) -> None:
    row = next(row for row in picture.rows if row.trace.full is None)
    assert row.ruler_words == "swept volume not stated"
    assert row.full_text == ""


def test_rows_are_sorted_filtered_and_pinned(appraisal: Appraisal) -> None:
    gates, everything = appraisal.gates.states, tuple(b.id for b in appraisal.barrels)
    assert arranged(appraisal, "programme", Filter()) == everything
    by_gate = [BEST_FIRST.index(gates[name]) for name in arranged(appraisal, "gate", Filter())]
    assert by_gate == sorted(by_gate)
    named = [appraisal.barrel(n).supplier for n in arranged(appraisal, "supplier", Filter())]
    assert named == sorted(named, key=str.casefold)
    assert sorted(arranged(appraisal, "margin", Filter())) == sorted(everything)
    free = arranged(appraisal, "programme", Filter(not_shut=True))
    assert free
    assert all(gates[name] != "shut" for name in free)
    one = arranged(appraisal, "programme", Filter(bid="b4"))
    assert {appraisal.barrel(name).bid for name in one} == {"b4"}
    fitting = arranged(appraisal, "programme", Filter(job="j1"))
    assert all(appraisal.fit(name, "j1").state != "outside" for name in fitting)
    last = everything[-1]
    pinned = arranged(appraisal, "programme", Filter(bid="b1"), (last, "gone"))
    assert pinned[0] == last
    assert "gone" not in pinned


@given(
    places=st.lists(st.floats(0.0, 500.0), max_size=30).map(sorted),
    width=st.floats(4.0, 40.0),
)
def test_numbers_stand_side_by_side_in_order_and_within_the_ruler(
    places: list[float], width: float
) -> None:
    middles = side_by_side(places, width, 0.0, 500.0)
    assert len(middles) == len(places)
    taken = min(width, 500.0 / max(1, len(places)))
    assert all(b - a >= taken * (1 - 1e-9) for a, b in pairwise(middles))
    assert all(taken / 2 - 1e-6 <= middle <= 500.0 - taken / 2 + 1e-6 for middle in middles)


def test_a_number_alone_stands_above_its_line() -> None:
    assert side_by_side([100.0, 300.0], 20.0, 0.0, 500.0) == (100.0, 300.0)


def test_the_lanes_of_a_barrel_are_told_where_there_are_several(appraisal: Appraisal) -> None:
    told = board(appraisal, Scale()).lane_names
    assert told == "lanes: general 20–80 %; engineering 30–50 %"
    alike = tuple(one.replace(resin_class="general") for one in appraisal.evaluation.resins)
    alone = appraise(appraisal.evaluation.replace(resins=alike))
    assert board(alone, Scale()).lane_names == ""
    assert board(appraisal, Scale(), barrels=()).lane_names == ""


def test_a_resin_with_a_window_of_its_own_names_its_lane(appraisal: Appraisal) -> None:
    ends = {"utilisation_low": Quantity(magnitude="25", unit="%")}
    ends["utilisation_high"] = Quantity(magnitude="65", unit="%")
    resins = tuple(
        resin.replace(**ends) if resin.id == "pc" else resin
        for resin in appraisal.evaluation.resins
    )
    told = board(appraise(appraisal.evaluation.replace(resins=resins)), Scale()).lane_names
    assert told.endswith("; Polycarbonate (bisphenol A) 25–65 %")
