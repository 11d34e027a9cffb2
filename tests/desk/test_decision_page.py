"""The Decision page: gate, deviations, signatures, limits, half-widths and exports."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton

from evenbarrel.desk.forms.decision_forms import AskDialog
from evenbarrel.desk.forms.grids.grid_view import Area
from evenbarrel.desk.forms.grids.settings_table import NOTE, ORIGIN, VALUE, SettingsTable
from evenbarrel.desk.pages.decision.page import DecisionPage
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.window.files.exports import EXPORTS, Export
from evenbarrel.desk.window.session import Session
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.limits import LimitEntry, limit_origin, limit_value
from evenbarrel.model.settings import value_of
from evenbarrel.model.states.digest import digest

from .conftest import without_name

PATIENCE_MS = 30_000
"""A busy machine takes its time to write a file."""
MakePage = Callable[..., DecisionPage]


@pytest.fixture
def sample(empty_session: Session, unsigned_sample: Evaluation) -> Session:
    """A session with the sample, nothing proposed or signed."""
    empty_session.evaluation = unsigned_sample
    empty_session.begin()
    return empty_session


@pytest.fixture
def make_page(qtbot: Any, sample: Session, theme: Theme) -> Iterator[MakePage]:
    made: list[DecisionPage] = []

    def make(target: Path | None = None, exports: tuple[Export, ...] = EXPORTS) -> DecisionPage:
        page = DecisionPage(sample, theme, exports, lambda *_: target)
        qtbot.addWidget(page)
        sample.changed.connect(page.show_appraisal)
        page.resize(1100, 900)
        page.show()
        page.show_appraisal(sample.appraisal)
        made.append(page)
        return page

    yield make
    for page in made:
        page.exports.exporter.wait()
        page.wait()
        page.close()


@pytest.fixture
def page(make_page: MakePage) -> DecisionPage:
    return make_page()


def press(qtbot: Any, page: DecisionPage, button: QPushButton) -> None:
    page.turn_to(button)
    assert button.isVisible()
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def sign(qtbot: Any, page: DecisionPage, person: str) -> None:
    press(qtbot, page, page.sign)
    dialog = next(d for d in page.findChildren(AskDialog) if d.isVisible())
    role = dialog.fields["role"].combo  # type: ignore[attr-defined]
    role.setCurrentIndex(role.findText("purchasing"))
    dialog.fields["person"].line.setText(person)  # type: ignore[attr-defined]
    dialog.fields["statement"].line.setText("Agreed")  # type: ignore[attr-defined]
    dialog.accept()


def standings(page: DecisionPage) -> list[str]:
    return [row[0].text for row in page.sign_offs.table.sheet_model.sheet.rows]


def type_over(table: SettingsTable, label: str, column: int, text: str) -> bool:
    """Type into a cell of the row with that label; say whether it was taken."""
    row = [setting.label for setting in table.model.rows].index(label)
    index = table.model.index(row, column)
    table.view.setCurrentIndex(index)
    return table.model.setData(index, text)


def shown(table: SettingsTable, label: str, column: int) -> str:
    row = [setting.label for setting in table.model.rows].index(label)
    return str(table.model.index(row, column).data())


def test_the_gate_says_whom_nothing_stands_against_and_what_is_not_judged(
    page: DecisionPage, qtmodeltester: Any
) -> None:
    assert page.words.text().startswith(
        "14 barrels, each for every planned job: no objection to 2, 3 wait, 9 are shut."
    )
    assert page.words.text().endswith(
        "No objection: Brastivel, Unit 604 B; Quillomar, Model 18 1.75."
    )
    gates = [row[-1].text for row in page.gate.sheet_model.sheet.rows]
    assert sum(gate.startswith("no objection") for gate in gates) == 2
    texts = " ".join(label.text() for label in page.findChildren(Label))
    assert "clamp force" in texts
    assert "tie bars" in texts
    assert "screening by calculation" in texts
    qtmodeltester.check(page.gate.sheet_model)


def test_cautions_name_the_standard_and_the_jobs_that_never_meet(page: DecisionPage) -> None:
    page.turn_to(page.cautions)
    assert "ISO 20430" in page.cautions.text()
    assert "Never on one machine: Valve body, two cavities and Sprinkler" in page.cautions.text()


def test_a_deviation_is_listed_removed_and_undone(
    qtbot: Any, page: DecisionPage, sample: Session
) -> None:
    before = sample.evaluation
    page.turn_to(page.deviations)
    (row,) = page.deviations.table.sheet_model.sheet.rows
    assert [cell.text for cell in row[:3]] == [
        "Own plant, Machine 14 40",
        "Sprinkler gear set, 12 cavities",
        "Share of volume",
    ]
    page.deviations.table.setCurrentIndex(page.deviations.table.sheet_model.index(0, 0))
    press(qtbot, page, page.remove_deviation)
    assert sample.evaluation.deviations == ()
    assert page.deviations.empty.isVisible()
    sample.undo_stack.undo()
    assert sample.evaluation == before


def test_a_signature_holds_until_the_evaluation_changes(
    qtbot: Any, page: DecisionPage, sample: Session
) -> None:
    sign(qtbot, page, "A. Buyer")
    (sign_off,) = sample.evaluation.sign_offs
    assert sign_off.person == "A. Buyer"
    assert sign_off.scheme == "c2"
    assert sign_off.digest == digest(sample.evaluation)
    assert len(sign_off.results_digest) == 64
    assert sign_off.program_version
    assert standings(page) == ["holds"]
    sample.put(("title",), "Another title", "Title")
    assert standings(page) == ["stale: the evaluation changed since"]
    sample.undo_stack.undo()
    assert standings(page) == ["holds"]


def test_a_second_signature_does_not_make_the_first_stale(qtbot: Any, page: DecisionPage) -> None:
    sign(qtbot, page, "A. Buyer")
    sign(qtbot, page, "P. Engineer")
    assert standings(page) == ["holds", "holds"]


def test_a_signature_under_other_results_is_told(
    qtbot: Any, page: DecisionPage, sample: Session
) -> None:
    sign(qtbot, page, "A. Buyer")
    (sign_off,) = sample.evaluation.sign_offs
    earlier = sign_off.replace(results_digest="0" * 64)
    sample.edit("as an earlier version", sample.evaluation.replace(sign_offs=(earlier,)))
    assert standings(page) == ["stale: this version of the program computes different results"]


def test_a_signature_without_a_name_is_not_taken(
    qtbot: Any, page: DecisionPage, sample: Session
) -> None:
    press(qtbot, page, page.sign)
    dialog = next(d for d in page.findChildren(AskDialog) if d.isVisible())
    dialog.accept()
    assert dialog.isVisible()
    assert dialog.problem.text()
    assert sample.evaluation.sign_offs == ()
    dialog.reject()


def test_a_signature_is_removed(qtbot: Any, page: DecisionPage, sample: Session) -> None:
    sign(qtbot, page, "A. Buyer")
    page.sign_offs.table.setCurrentIndex(page.sign_offs.table.sheet_model.index(0, 0))
    press(qtbot, page, page.remove_sign_off)
    assert sample.evaluation.sign_offs == ()


@pytest.mark.parametrize("text", ["85 %", "85%", "0.85", "0,85"])
def test_a_limit_typed_over_is_your_own(page: DecisionPage, sample: Session, text: str) -> None:
    label = "General resins, largest share of volume"
    assert shown(page.limits, label, ORIGIN) == "common practice, no source"
    assert type_over(page.limits, label, VALUE, text)
    limit = sample.evaluation.limits.general_high
    assert limit_value(limit) == pytest.approx(0.85)
    assert limit_origin(limit) is None
    assert shown(page.limits, label, VALUE) == "85 %"
    assert shown(page.limits, label, ORIGIN) == "your own"


def test_a_stroke_limit_is_in_diameters(page: DecisionPage, sample: Session) -> None:
    assert type_over(page.limits, "Shot stroke, largest", VALUE, "3,5 D")
    assert limit_value(sample.evaluation.limits.stroke_high) == pytest.approx(3.5)


@pytest.mark.parametrize("text", ["much", "", "0", "-1", "nan", "inf", "900 %", "20 kg", "15 %"])
def test_what_cannot_be_a_limit_is_told_and_changes_nothing(
    qtbot: Any, page: DecisionPage, sample: Session, text: str
) -> None:
    before = sample.evaluation
    with qtbot.waitSignal(sample.refused) as refused:
        # 15 % would cross the smallest share of 20 %.
        type_over(page.limits, "General resins, largest share of volume", VALUE, text)
    assert refused.args[0].strip()
    assert sample.evaluation == before


def test_what_stands_typed_in_a_cell_is_taken_before_saving(
    qtbot: Any, page: DecisionPage, sample: Session
) -> None:
    page.turn_to(page.limits)
    page.activateWindow()
    page.limits.view.setFocus()
    page.limits.view.setCurrentIndex(page.limits.model.index(1, VALUE))
    qtbot.keyClicks(page.limits.view, "7")
    editor = page.limits.view.viewport().focusWidget()
    editor.setText("75 %")
    page.commit()
    assert limit_value(sample.evaluation.limits.general_high) == pytest.approx(0.75)


def test_a_note_is_kept_and_the_usual_value_comes_back(
    qtbot: Any, page: DecisionPage, sample: Session
) -> None:
    before = sample.evaluation.limits.ring_share
    label = "Ring travel, largest share of shot stroke"
    assert type_over(page.limits, label, NOTE, "agreed in October")
    noted = sample.evaluation.limits.ring_share
    assert isinstance(noted, LimitEntry)
    assert (noted.note, noted.origin) == ("agreed in October", "common_practice")
    type_over(page.limits, label, VALUE, "8 %")
    assert shown(page.limits, label, NOTE) == "agreed in October"
    press(qtbot, page, page.limits.back)
    assert sample.evaluation.limits.ring_share == before


def test_a_half_width_is_changed_by_route(qtbot: Any, page: DecisionPage, sample: Session) -> None:
    label = "Output factor, trade table"
    assert type_over(page.half_widths, label, VALUE, "6 %")
    uncertainty = sample.evaluation.uncertainty
    assert uncertainty.half_width("output_factor", "trade_table") == pytest.approx(0.06)
    assert uncertainty.half_width("output_factor", "own") == pytest.approx(0.03)
    assert shown(page.half_widths, label, ORIGIN) == "your own"
    assert shown(page.half_widths, "Output factor, own factor", ORIGIN) != "your own"
    press(qtbot, page, page.half_widths.back)
    assert sample.evaluation.uncertainty.output_factor is None


def test_a_half_width_may_be_nothing(page: DecisionPage, sample: Session) -> None:
    assert type_over(page.half_widths, "Cycle time, as given", VALUE, "0")
    assert sample.evaluation.uncertainty.half_width("cycle_time", "given") == 0.0


def test_half_widths_are_filled_down_and_put_back(page: DecisionPage, sample: Session) -> None:
    table, before = page.half_widths, sample.evaluation
    first, second = (row.key for row in table.model.rows[:2])
    assert type_over(table, table.model.rows[0].label, VALUE, "7 %")
    filled = Area(0, VALUE, 1, VALUE)
    assert table.model.fill(filled)
    assert value_of(sample.evaluation, first) == value_of(sample.evaluation, second) == 0.07
    assert table.model.clear_cells(filled)
    assert value_of(sample.evaluation, second) == value_of(before, second)


def test_the_tables_of_settings_are_models_that_qt_can_read(
    page: DecisionPage, qtmodeltester: Any
) -> None:
    for table in (page.limits, page.half_widths):
        qtmodeltester.check(table.model)


def test_results_are_written_whole(
    qtbot: Any, make_page: MakePage, sample: Session, tmp_path: Path
) -> None:
    page = make_page(tmp_path / "out.json")
    before = sample.evaluation
    with qtbot.waitSignal(page.exports.exporter.job.done, timeout=PATIENCE_MS):
        press(qtbot, page, page.exports.buttons[".json"])
    written = json.loads((tmp_path / "out.json").read_text("utf-8"))
    assert len(written["barrels"]) == 14
    assert page.exports.notice.text.text() == "out.json is written."
    assert sample.evaluation == before
    assert not sample.is_modified


def test_a_path_that_cannot_be_written_is_told(
    qtbot: Any, make_page: MakePage, sample: Session, tmp_path: Path
) -> None:
    page = make_page(tmp_path / "nowhere" / "out.json")
    with qtbot.waitSignal(page.exports.exporter.job.failed, timeout=PATIENCE_MS):
        press(qtbot, page, page.exports.buttons[".json"])
    text = page.exports.notice.text.text()
    assert "out.json" in text
    assert "no such file or folder" in text
    assert text.endswith("The evaluation is unchanged.")
    assert not sample.is_modified


def test_results_never_take_the_place_of_the_evaluation(
    qtbot: Any, make_page: MakePage, sample: Session, tmp_path: Path
) -> None:
    own = tmp_path / "all.json"
    sample.save(own)
    before = own.read_bytes()
    page = make_page(own)
    with qtbot.waitSignal(page.exports.exporter.job.failed, timeout=PATIENCE_MS):
        press(qtbot, page, page.exports.buttons[".json"])
    assert "it holds the evaluation itself" in page.exports.notice.text.text()
    assert own.read_bytes() == before


def test_a_fault_of_the_program_is_told_in_words(
    qtbot: Any, make_page: MakePage, tmp_path: Path
) -> None:
    def broken(appraisal: object) -> bytes:
        raise RuntimeError("stack of internals")

    page = make_page(tmp_path / "out.pdf", (Export("PDF", "PDF", ".pdf", broken),))
    with qtbot.waitSignal(page.exports.exporter.job.failed, timeout=PATIENCE_MS):
        press(qtbot, page, page.exports.buttons[".pdf"])
    assert "fault of the program" in page.exports.notice.text.text()
    assert "internals" not in page.exports.notice.text.text()
    assert not (tmp_path / "out.pdf").exists()


def test_the_appendix_is_chosen_beside_the_pdf(
    qtbot: Any, make_page: MakePage, tmp_path: Path
) -> None:
    exports = (
        Export("PDF", "PDF", ".pdf", lambda _: b"plain", lambda _: b"with workings"),
        Export("Results", "results file", ".json", lambda _: b"results"),
    )
    out = tmp_path / "out.pdf"
    page = make_page(out, exports)
    for chosen, made in ((False, b"plain"), (True, b"with workings")):
        page.exports.workings.setChecked(chosen)
        with qtbot.waitSignal(page.exports.exporter.job.done, timeout=PATIENCE_MS):
            press(qtbot, page, page.exports.buttons[".pdf"])
        assert out.read_bytes() == made
    with qtbot.waitSignal(page.exports.exporter.job.done, timeout=PATIENCE_MS):
        press(qtbot, page, page.exports.buttons[".json"])
    assert out.read_bytes() == b"results"


def test_an_export_can_be_stopped_and_writes_nothing(
    qtbot: Any, make_page: MakePage, tmp_path: Path
) -> None:
    begun, go_on = Event(), Event()

    def slow(appraisal: object) -> bytes:
        begun.set()
        go_on.wait()
        return b"%PDF"

    page = make_page(tmp_path / "out.pdf", (Export("PDF", "PDF", ".pdf", slow),))
    press(qtbot, page, page.exports.buttons[".pdf"])
    begun.wait()
    (stop,) = page.exports.notice.buttons
    assert stop.text() == "Stop"
    qtbot.mouseClick(stop, Qt.MouseButton.LeftButton)
    go_on.set()
    page.exports.exporter.wait()
    assert page.exports.notice.text.text() == "Stopped; nothing was written."
    assert list(tmp_path.glob("out*")) == []


def test_cancelling_the_path_starts_nothing(qtbot: Any, make_page: MakePage) -> None:
    page = make_page(None)
    press(qtbot, page, page.exports.buttons[".json"])
    assert not page.exports.exporter.job.is_running
    assert not page.exports.notice.isVisible()


def test_the_letter_to_the_chosen_supplier_is_opened(
    qtbot: Any, make_page: MakePage, sample: Session
) -> None:
    page = make_page()
    page.turn_to(page.exports)
    assert page.exports.supplier.findText("Own plant") == -1
    page.exports.supplier.setCurrentIndex(page.exports.supplier.findText("Yarvindel"))
    with qtbot.waitSignal(sample.letter_wanted) as wanted:
        press(qtbot, page, page.exports.letter)
    assert wanted.args == ["b5"]


def test_an_empty_evaluation_leaves_nothing_to_sign_against(
    page: DecisionPage, sample: Session
) -> None:
    sample.new()
    assert page.words.text().startswith("No barrel is entered yet")
    assert not page.gate.isVisible()
    page.turn_to(page.exports)
    assert not page.exports.letter.isVisible()


def test_everything_the_keyboard_reaches_has_a_name(page: DecisionPage) -> None:
    assert without_name(page) == []
