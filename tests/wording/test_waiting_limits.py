"""Limits that wait for confirmation, as they are listed."""

from __future__ import annotations

import pytest

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.record.decision import ConfirmedLimit
from evenbarrel.model.resin import ResidenceLimit
from evenbarrel.resources import read_sample
from evenbarrel.storage.files import parse_evaluation
from evenbarrel.wording.sheets.gates.limits import MOST_NAMED, waiting_limits_sheet

SAMPLE = "irrigation-parts.evenbarrel.json"


def with_limit(field, value):
    """Return the sample with one limit of every resin replaced, and from memory."""
    sample: Evaluation = parse_evaluation(read_sample(SAMPLE), SAMPLE)
    changed = (
        resin.replace(**{field: value}, origins={**resin.origins, field: "from_memory"})
        for resin in sample.resins
    )
    return sample.replace(resins=tuple(changed))


def quantity(magnitude, unit):
    return Quantity(magnitude=magnitude, unit=unit)


SHORT = (ResidenceLimit(temperature=quantity("300", "degC"), time=quantity("12", "s")),)


@pytest.mark.parametrize(
    ("field", "value", "printed", "criterion"),
    [
        ("peripheral_speed_limit", quantity("0.01", "m/s"), "0.01 m/s", "screw_speed"),
        ("residence_limits", SHORT, "12 s at 300 °C", "residence"),
        ("utilisation_high", quantity("5", "%"), "5 %", "utilisation"),
    ],
)
def test_a_limit_that_waits_is_a_row(field, value, printed, criterion):
    appraisal = appraise(with_limit(field, value))
    waiting = [one for one in appraisal.waiting_limits if one.limit.field == field]
    sheet = waiting_limits_sheet(appraisal)
    assert len(sheet.rows) == len(appraisal.waiting_limits)
    assert waiting
    for one in waiting:
        row = sheet.rows[appraisal.waiting_limits.index(one)]
        assert {cell.criterion for cell in one.cells} == {criterion}
        assert row[1].text == appraisal.evaluation.resin(one.limit.resin).name
        assert row[2].text == printed
        assert row[3].text.startswith("from memory, not looked up")
        counted, cells = row[4].text.split(": ", 1)
        assert counted.startswith(f"{len(one.cells)} cell")
        more = len(one.cells) > MOST_NAMED
        assert len(cells.split("; ")) == (MOST_NAMED + 1 if more else len(one.cells))
        assert cells.endswith(f"and {len(one.cells) - MOST_NAMED} more") == more
        shuts = row[5].text
        assert shuts.startswith(f"{len(one.shuts)}: " if one.shuts else "no barrel")


def test_a_confirmed_limit_leaves_the_list():
    evaluation = with_limit("peripheral_speed_limit", quantity("0.01", "m/s"))
    confirmed = tuple(
        ConfirmedLimit(
            resin=resin.id, field="peripheral_speed_limit", value=quantity("0.01", "m/s")
        )
        for resin in evaluation.resins
    )
    before, after = (
        {one.limit.field for one in appraise(each).waiting_limits}
        for each in (evaluation, evaluation.replace(confirmed_limits=confirmed))
    )
    assert before - after == {"peripheral_speed_limit"}
