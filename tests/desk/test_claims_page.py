"""The Claims page: a person reads a claim, settles a volume, answers a question."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton, QWidget

from evenbarrel.appraisal.references import ClaimRef
from evenbarrel.desk.forms.decision_forms import AskDialog
from evenbarrel.desk.pages.claims.page import ClaimsPage
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.tables.roles import ReferenceRole
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.desk.window.session import Session
from evenbarrel.model import changes
from evenbarrel.model import datum_path as edits
from evenbarrel.model.quantity import Quantity

from .conftest import without_name

B = ("bids", "b4", "units", "b4u1", "barrels", "b4u1b")


@pytest.fixture
def page(shown: Callable[..., Any], sample: Session, theme: Theme) -> ClaimsPage:
    return shown(ClaimsPage(sample, theme), sample)


def cell(view: SheetView, row_words: str, heading: str) -> Any:
    """Return the index of a cell by words of its row and the title of its column."""
    sheet = view.sheet_model.sheet
    titles = [h.title.replace("\n", " ") for h in sheet.headings]
    rows = [" ".join(c.text for c in row[:2]) for row in sheet.rows]
    return view.sheet_model.index(rows.index(row_words), titles.index(heading))


def click(qtbot: Any, view: SheetView, index: Any) -> None:
    view.scrollTo(index)
    where = view.visualRect(index).center()
    qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=where)


def press(qtbot: Any, button: QPushButton) -> None:
    assert button.isVisible()
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def dialog_of(widget: QWidget) -> AskDialog:
    return next(d for d in widget.window().findChildren(AskDialog) if d.isVisible())


def type_into(dialog: AskDialog, name: str, text: str) -> None:
    dialog.fields[name].line.setText(text)  # type: ignore[attr-defined]


def choose_volume_claim(qtbot: Any, page: ClaimsPage) -> None:
    click(qtbot, page.grid, cell(page.grid, "Velthornax Unit 586 B", "Volume against geometry"))


def test_the_grids_are_models_that_qt_can_read(page: ClaimsPage, qtmodeltester: Any) -> None:
    qtmodeltester.check(page.grid.sheet_model)
    qtmodeltester.check(page.offers.sheet_model)


def test_a_cell_opens_its_two_numbers_the_cause_and_the_question(
    qtbot: Any, page: ClaimsPage
) -> None:
    choose_volume_claim(qtbot, page)
    panel = page.panel
    assert "Velthornax, Unit 586 B, contradicts" in panel.title.text()
    assert "Quoted 20.4 cm³; diameter and stroke give 334.8 cm³" in panel.sentence.text()
    assert "in³ was printed as cm³" in panel.cause.text()
    assert panel.question.text().startswith("Question (open): The quoted swept volume")
    rows = [[c.text for c in row] for row in panel.printed.sheet_model.sheet.rows]
    assert ["Swept volume", "20.4 cm³"] in [row[:2] for row in rows]
    assert "data sheet 12" in rows[0][2]


def test_an_offer_opens_its_validity(qtbot: Any, page: ClaimsPage) -> None:
    click(qtbot, page.offers, cell(page.offers, "Yarvindel AN 7731", "Validity"))
    assert "Yarvindel, contradicts" in page.panel.title.text()
    assert "had expired" in page.panel.sentence.text()


def settled_of(session: Session) -> Any:
    return edits.get(session.evaluation, (*B, "settled"))


def reading(page: ClaimsPage, words: str) -> QPushButton:
    shown = [button for button in page.panel.readings.buttons if button.isVisible()]
    return next(button for button in shown if button.text() == words)


def told_beside(page: ClaimsPage, words: str) -> str:
    panel = page.panel.readings
    place = panel.buttons.index(reading(page, words))
    label = panel.layout().itemAtPosition(place + 1, 1).widget()
    return str(label.text())


def test_each_reading_tells_what_it_comes_to_and_one_click_decides(
    qtbot: Any, page: ClaimsPage, sample: Session
) -> None:
    before = sample.evaluation
    choose_volume_claim(qtbot, page)
    slip = "Geometry: in³ was printed as cm³"
    assert "48.0 mm × 185 mm, 335 cm³: 1 inside" in told_beside(page, slip)
    assert "not a plausible size" in told_beside(page, "Quoted volume, diameter wrong")
    assert "shut for 8 of 8 jobs" in told_beside(page, "Quoted volume, stroke wrong")
    press(qtbot, reading(page, slip))
    settled = settled_of(sample)
    assert (settled.route, settled.reading) == ("geometry", "in3_as_cm3")
    assert settled.date == date.today()
    assert reading(page, slip).isChecked()
    assert not reading(page, "Geometry").isChecked()
    assert told_beside(page, slip).startswith("taken: 48.0 mm")
    assert "decided by an unnamed person" in page.panel.decision.text()
    assert edits.get(sample.evaluation, (*B, "swept_volume")).magnitude == "20.4"
    assert sample.appraisal is not None
    assert not sample.appraisal.barrel("b4u1b").swept.unsettled
    sample.undo_stack.undo()
    assert sample.evaluation == before
    assert not page.panel.decision.text()
    assert not reading(page, slip).isChecked()


def test_what_a_reading_tells_is_what_it_then_comes_to(
    qtbot: Any, page: ClaimsPage, sample: Session
) -> None:
    choose_volume_claim(qtbot, page)
    for tried in page.panel.readings.tried:
        sample.edit("Settle", changes.settled(sample.evaluation, "b4u1b", tried.settled))
        now = sample.appraisal
        assert now is not None
        assert now.gate("b4u1b").reasons == tried.gate.reasons
        for job, state in tried.states.items():
            assert now.fit("b4u1b", job).state == state


def test_another_reading_takes_the_place_of_the_first(
    qtbot: Any, page: ClaimsPage, sample: Session
) -> None:
    choose_volume_claim(qtbot, page)
    press(qtbot, reading(page, "Geometry"))
    press(qtbot, reading(page, "Quoted volume, one length wrong"))
    assert (settled_of(sample).route, settled_of(sample).reading) == ("quoted", "unknown")
    # The one that is taken already takes no step.
    steps = sample.undo_stack.count()
    press(qtbot, reading(page, "Quoted volume, one length wrong"))
    assert sample.undo_stack.count() == steps
    assert reading(page, "Quoted volume, one length wrong").isChecked()


def test_a_decision_gets_its_name_and_reason_and_can_be_taken_back(
    qtbot: Any, page: ClaimsPage, sample: Session
) -> None:
    choose_volume_claim(qtbot, page)
    assert not page.panel.unsettle.isVisible()
    press(qtbot, reading(page, "Geometry"))
    press(qtbot, page.panel.name)
    dialog = dialog_of(page)
    dialog.accept()
    assert dialog.isVisible()
    assert "reason" in dialog.problem.text()
    type_into(dialog, "reason", "Drawing seen")
    type_into(dialog, "person", "A. Buyer")
    type_into(dialog, "date", "yesterday")
    dialog.accept()
    assert dialog.problem.text() == "Date: not accepted."
    type_into(dialog, "date", "")
    dialog.accept()
    settled = settled_of(sample)
    assert (settled.reading, settled.reason, settled.date) == ("as_printed", "Drawing seen", None)
    assert "decided by A. Buyer: Drawing seen" in page.panel.decision.text()
    press(qtbot, page.panel.unsettle)
    assert settled_of(sample) is None


def test_a_claim_without_a_choice_offers_no_reading(qtbot: Any, page: ClaimsPage) -> None:
    page.choose(ClaimRef("b1u1a", "volume_geometry"))
    assert not page.panel.readings.isVisible()
    page.choose(ClaimRef("b4u1b", "drive_force"))
    assert not page.panel.readings.isVisible()


def test_an_answered_number_becomes_the_datum_and_the_printed_one_stays(
    qtbot: Any, page: ClaimsPage, sample: Session
) -> None:
    before = sample.evaluation
    choose_volume_claim(qtbot, page)
    press(qtbot, page.panel.asking.answered)
    dialog = dialog_of(page)
    labels = [field.label for field in dialog.fields.values()]
    assert labels[:2] == ["Swept volume, Unit 586 B", "Swept volume, Unit 586 C, on request"]
    type_into(dialog, "0", "20.4 in3")
    type_into(dialog, "text", "Read as in³, letter of 2026-11-20")
    type_into(dialog, "date", "2026-11-20")
    dialog.accept()
    volume = edits.get(sample.evaluation, (*B, "swept_volume"))
    assert (volume.magnitude, volume.unit, volume.standing) == ("20.4", "in3", "confirmed")
    (answer,) = [a for a in sample.evaluation.answers if a.question == "b4.swept_volume"]
    assert answer.state == "answered"
    assert answer.date == date(2026, 11, 20)
    assert answer.quantity is not None
    assert (answer.quantity.magnitude, answer.quantity.unit) == ("20.4", "cm3")
    assert page.panel.title.text().endswith("agrees")
    sample.undo_stack.undo()
    assert sample.evaluation == before


def test_several_answered_numbers_leave_all_printed_ones_in_the_answer(
    qtbot: Any, page: ClaimsPage, sample: Session
) -> None:
    page.choose(ClaimRef("b2u1a", "drive_force"))
    press(qtbot, page.panel.asking.answered)
    dialog = dialog_of(page)
    type_into(dialog, "0", "2100")
    type_into(dialog, "1", "1700")
    dialog.accept()
    (answer,) = [a for a in sample.evaluation.answers if a.question == "b2.injection_pressure"]
    assert answer.quantity is None
    assert [(one.of, one.quantity.magnitude) for one in answer.replaced if one.quantity] == [
        ("b2u1a", "1800"),
        ("b2u1b", "1800"),
    ]


def test_an_answer_that_cannot_be_read_changes_nothing(
    qtbot: Any, page: ClaimsPage, sample: Session
) -> None:
    before = sample.evaluation
    choose_volume_claim(qtbot, page)
    press(qtbot, page.panel.asking.answered)
    dialog = dialog_of(page)
    type_into(dialog, "0", "about twenty")
    dialog.accept()
    assert dialog.isVisible()
    assert "not accepted" in dialog.problem.text()
    assert sample.evaluation == before
    dialog.reject()


@pytest.mark.parametrize(("button", "state"), [("asked", "asked"), ("accepted", "accepted_as_is")])
def test_a_question_is_marked_and_opened_again(
    qtbot: Any, page: ClaimsPage, sample: Session, button: str, state: str
) -> None:
    choose_volume_claim(qtbot, page)
    press(qtbot, getattr(page.panel.asking, button))
    (answer,) = [a for a in sample.evaluation.answers if a.question == "b4.swept_volume"]
    assert answer.state == state
    assert f"Question ({state.replace('accepted_as_is', 'accepted as it is')} 2026-04-15" in (
        page.panel.question.text()
    )
    press(qtbot, page.panel.asking.reopened)
    assert page.panel.question.text().startswith("Question (open)")


def test_going_to_the_datum_names_where_it_stands(qtbot: Any, page: ClaimsPage) -> None:
    choose_volume_claim(qtbot, page)
    with qtbot.waitSignal(page.datum_wanted) as wanted:
        press(qtbot, page.panel.go)
    assert wanted.args == [(*B, "swept_volume")]


def test_a_datum_of_the_unit_is_found_there(qtbot: Any, page: ClaimsPage, sample: Session) -> None:
    unit = ("bids", "b1", "units", "b1u1")
    number = Quantity(magnitude="650", unit="1")
    sample.edit("Size", edits.put(sample.evaluation, (*unit, "size_number"), number))
    page.choose(ClaimRef("b1u1a", "size_number"))
    with qtbot.waitSignal(page.datum_wanted) as wanted:
        press(qtbot, page.panel.go)
    assert wanted.args == [(*unit, "size_number")]


def test_the_datum_that_would_explain_a_claim_is_gone_to(qtbot: Any, page: ClaimsPage) -> None:
    page.choose(ClaimRef("b4u1a", "size_number"))
    with qtbot.waitSignal(page.datum_wanted) as wanted:
        press(qtbot, page.panel.go)
    assert wanted.args == [(*B[:5], "b4u1a", "injection_pressure")]


def test_a_claim_whose_barrel_is_gone_gives_way_to_the_worst_one(
    qtbot: Any, page: ClaimsPage, sample: Session
) -> None:
    choose_volume_claim(qtbot, page)
    sample.edit("Remove", edits.remove(sample.evaluation, B))
    assert sample.appraisal is not None
    assert page.panel.reference == sample.appraisal.worst_claim
    assert page.panel.go.isVisible()
    assert page.panel.printed.isVisible()
    assert B[-1] not in page.panel.title.text()


def test_without_offers_the_page_says_what_to_enter(
    qtbot: Any, page: ClaimsPage, sample: Session
) -> None:
    sample.new()
    assert page.empty.isVisible()
    assert not page.grid.isVisible()


def test_everything_the_keyboard_reaches_has_a_name(page: ClaimsPage) -> None:
    assert without_name(page) == []


@pytest.mark.parametrize(
    "claim", [ClaimRef("b4u1b", "volume_geometry"), ClaimRef("b5u1b", "reference_resin")]
)
def test_the_claim_that_is_told_is_seen_among_the_others(page: ClaimsPage, claim: ClaimRef) -> None:
    """Opened from elsewhere, the cell may lie below or beside what is in sight."""
    page.choose(claim)
    index = page.grid.currentIndex()
    assert index.data(ReferenceRole) == claim
    assert page.grid.viewport().rect().contains(page.grid.visualRect(index))


def test_an_offers_claim_is_seen_among_the_others(page: ClaimsPage) -> None:
    page.choose(ClaimRef("b5", "validity"))
    assert page.offers.currentIndex().data(ReferenceRole) == ClaimRef("b5", "validity")


def test_the_worst_claim_is_open_from_the_start(page: ClaimsPage, sample: Session) -> None:
    worst = page.panel.reference
    assert worst == sample.appraisal.worst_claim
    claim = sample.appraisal.claim(worst)
    assert claim.state == "contradicts"
    assert claim.sole_cause is not None
    assert page.panel.title.text().endswith("contradicts")
