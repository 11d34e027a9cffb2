"""Which rule decides: verdicts under other windows, and what a person may accept."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.appraisal.comparison import (
    alternative_windows,
    changed_cells,
    compare_window,
    concerns,
    under_window,
)
from evenbarrel.appraisal.results import Fit
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.resin import AlternativeWindow, Resin

# 220 g at 1 g/cm3 in a screw of 50 mm x 200 mm (392.7 cm3) is 56 % of the swept volume.
FIFTY_SIX = {"shot_mass": "220 g ±0"}
ENGINEERING = {"resin_class": "engineering"}


def window(low: float, high: float, applies_to: str = "any resin") -> AlternativeWindow:
    return AlternativeWindow(
        low=low,
        high=high,
        applies_to=applies_to,
        origin="common_practice",
        source="common practice, no source",
    )


def test_the_shipped_windows_are_shares_with_an_origin() -> None:
    windows = alternative_windows()
    assert all(0.0 < one.low < one.high <= 1.0 and one.source for one in windows)
    # Common practice, no source: 20-80 % general, 30-50 % engineering.
    ends = {(one.low, one.high, one.applies_to) for one in windows}
    assert {(0.2, 0.8, "general-purpose resins"), (0.3, 0.5, "engineering resins")} <= ends


def test_what_was_made_for_test_specimens_is_offered_last() -> None:
    words = [one.applies_to.split(":")[0] for one in alternative_windows()]
    assert words.index("test specimens") == len(words) - 1


def test_fifty_six_per_cent_is_outside_by_one_rule_and_inside_by_another(
    planned: Callable[..., Evaluation],
) -> None:
    # Common practice, no source: 30-50 % against 30-65 %.
    now = appraise(planned(resin=ENGINEERING, job=FIFTY_SIX))
    changed = compare_window(now, window(0.30, 0.65, "engineering resins"))
    assert [(c.barrel, c.job) for c in changed] == [("b", "j")]
    assert changed[0].before.state == "outside"
    assert changed[0].before.by_rule
    assert changed[0].after.state == "inside"


def test_comparing_changes_nothing(planned: Callable[..., Evaluation]) -> None:
    evaluation = planned(resin=ENGINEERING, job=FIFTY_SIX)
    before = evaluation.model_dump_json()
    compare_window(appraise(evaluation), window(0.1, 0.9))
    assert evaluation.model_dump_json() == before


def test_a_window_for_other_resins_changes_no_verdict(planned: Callable[..., Evaluation]) -> None:
    now = appraise(planned(job=FIFTY_SIX))
    assert compare_window(now, window(0.30, 0.50, "engineering resins")) == ()
    assert len(compare_window(now, window(0.30, 0.50, "any resin"))) == 1


@pytest.mark.parametrize(
    ("applies_to", "resin"),
    [
        ("general-purpose resins", {"resin_class": "general"}),
        ("engineering resins", {"resin_class": "engineering"}),
        ("thermoplastic polyurethane", {"family": "TPU"}),
        ("PEEK and sulfones", {"family": "PSU"}),
        ("any resin", {}),
    ],
)
def test_a_window_concerns_the_resins_it_names(applies_to: str, resin: dict[str, str]) -> None:
    assert concerns(window(0.2, 0.6, applies_to), Resin(id="r", **resin))
    plain = Resin(id="r", family="PP")
    assert concerns(window(0.2, 0.6, applies_to), plain) == (applies_to == "any resin")


def test_a_window_from_memory_puts_nothing_outside(planned: Callable[..., Evaluation]) -> None:
    recalled = window(0.7, 0.9).replace(origin="from_memory", source="from memory")
    now = appraise(planned(job=FIFTY_SIX))
    (changed,) = compare_window(now, recalled)
    assert changed.after.state == "near_edge"
    assert changed.after.reasons == ("beyond_unconfirmed",)


def test_the_window_stands_on_every_resin_it_is_meant_for(
    planned: Callable[..., Evaluation],
) -> None:
    evaluation = under_window(planned(), window(0.25, 0.75))
    (resin,) = evaluation.resins
    assert resin.utilisation_low is not None
    assert resin.utilisation_low.si("share") == pytest.approx(0.25)
    assert resin.origins["utilisation_high"] == "common_practice"


def test_a_cell_that_only_one_side_has_is_not_compared(planned: Callable[..., Evaluation]) -> None:
    one = appraise(planned(job=FIFTY_SIX))
    other = appraise(planned(job={"id": "other", "shot_mass": "10 g"}))
    assert changed_cells(one, other) == ()


def test_practice_can_be_accepted_and_physics_cannot(cell: Callable[..., Fit]) -> None:
    by_rule = cell(resin=ENGINEERING, job=FIFTY_SIX)
    assert by_rule.acceptable == ("utilisation",)
    too_much = cell(job={"shot_mass": "500 g ±0"})
    assert "capacity" not in too_much.acceptable
    assert next(c for c in too_much.criteria if c.key == "capacity").state == "outside"


def test_what_is_accepted_already_is_not_offered_again(cell: Callable[..., Fit]) -> None:
    deviations = [{"barrel": "b", "criterion": "utilisation"}]
    assert cell(resin=ENGINEERING, job=FIFTY_SIX, deviations=deviations).acceptable == ()


def test_overheated_acetal_is_a_hazard_and_never_offered(cell: Callable[..., Fit]) -> None:
    long_stay = {"melt_inventory": "90000 cm3 ±0"}
    plain = cell(barrel=long_stay)
    acetal = cell(barrel=long_stay, resin={"hazard_groups": ["acetal"]})
    assert "residence" in plain.acceptable
    assert "residence" not in acetal.acceptable
