"""Beside each route that is not in use stands what choosing it would change."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from evenbarrel.desk.pages.shots.resin_panel import ResinPanel
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session
from evenbarrel.model import datum_path as edits
from evenbarrel.wording.sentences.pages import would_change

from .conftest import quantity


@pytest.fixture
def panel(session: Session, window: MainWindow) -> ResinPanel:
    """The panel of polypropylene, whose own factor is made to differ much from the trade's."""
    session.put(
        ("resins", "pp", "output_factors", "own"), quantity("0.30", "g/cm3"), "Own output factor"
    )
    found: ResinPanel = window.page.resins
    return found


def verdicts(session: Session) -> list[tuple[str, bool]]:
    appraisal = session.appraisal
    assert appraisal is not None
    fits = [appraisal.fit(b, j) for b in appraisal.grid.barrel_ids for j in appraisal.grid.job_ids]
    return [(fit.state, fit.by_rule) for fit in fits]


def test_it_says_what_then_happens(qtbot: Any, panel: ResinPanel, session: Session) -> None:
    effect = panel.effects["own"]
    qtbot.waitUntil(effect.isVisible)
    before = verdicts(session)
    told = effect.text()
    session.put(("resins", "pp", "output_factor_route"), "own", "Route")
    changed = sum(one != other for one, other in zip(before, verdicts(session), strict=True))
    # 76 g at 0.30 g/cm3 take 253 cm3 of the 251 and 318 cm3 that the two screws sweep.
    assert changed > 0
    assert told.startswith(f"would change {changed} verdict")
    assert not effect.isVisible()
    qtbot.waitUntil(panel.effects["trade_table"].isVisible)


def test_a_route_without_a_factor_says_nothing(qtbot: Any, panel: ResinPanel) -> None:
    qtbot.waitUntil(panel.effects["own"].isVisible)
    shown = {route for route, effect in panel.effects.items() if effect.isVisible()}
    assert shown == {"own"}


def test_it_follows_a_change(qtbot: Any, panel: ResinPanel, session: Session) -> None:
    effect = panel.effects["own"]
    qtbot.waitUntil(effect.isVisible)
    assert effect.text() != would_change([])
    trade = edits.get(session.evaluation, ("resins", "pp", "output_factors", "trade_table"))
    session.put(("resins", "pp", "output_factors", "own"), trade, "Own output factor")
    qtbot.waitUntil(lambda: effect.text() == would_change([]))


def test_another_resin_does_not_show_what_was_told_of_the_last(
    qtbot: Any, panel: ResinPanel
) -> None:
    qtbot.waitUntil(panel.effects["own"].isVisible)
    panel.show_resin("ps")
    assert not panel.effects["own"].isVisible()
    qtbot.waitUntil(panel.effects["own"].isVisible)


def test_nothing_is_computed_while_the_page_is_hidden(
    panel: ResinPanel, window: MainWindow
) -> None:
    window.go_to(1)
    panel.comparing.compare_next()
    assert not panel.comparing._work.is_running
    assert panel.effects["own"].isHidden()


def test_the_sentence_counts_and_says_which_way(session: Session) -> None:
    appraisal = session.appraisal
    assert appraisal is not None
    fit = appraisal.fit("na", "cap")
    near, outside = replace(fit, state="near_edge"), replace(fit, state="outside", by_rule=False)
    assert would_change([]) == "would change no verdict"
    assert would_change([near]) == "would change 1 verdict to near edge"
    assert would_change([near, outside, near]) == (
        "would change 3 verdicts: 2 to near edge, 1 to outside"
    )
