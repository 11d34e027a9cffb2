"""The board on the desk: walked by keys, opened by a click, copied in words."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import QPoint, QRectF, Qt
from PySide6.QtGui import QFont, QGuiApplication, QPainter
from PySide6.QtTest import QAbstractItemModelTester

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.desk.pages.fit import board_painter
from evenbarrel.desk.pages.fit.board_key import JobKey, Legend
from evenbarrel.desk.pages.fit.board_model import FIRST_JOB, RULER, BoardModel
from evenbarrel.desk.pages.fit.board_view import BoardView
from evenbarrel.desk.style.theme import Theme
from evenbarrel.model.record.decision import Proposal
from evenbarrel.resources import read_sample
from evenbarrel.storage.files import parse_evaluation
from evenbarrel.wording.pictures.board import board
from evenbarrel.wording.pictures.scales import Scale

SAMPLE = "irrigation-parts.evenbarrel.json"


@pytest.fixture(scope="module")
def appraisal() -> Appraisal:
    return appraise(parse_evaluation(read_sample(SAMPLE), SAMPLE))


@pytest.fixture
def view(qtbot: Any, appraisal: Appraisal) -> BoardView:
    made = BoardView(Theme())
    qtbot.addWidget(made)
    made.resize(1000, 760)
    made.show_picture(board(appraisal, Scale()))
    made.show()
    return made


def test_the_model_keeps_qts_rules(appraisal: Appraisal) -> None:
    model = BoardModel()
    tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Warning)
    model.set_picture(board(appraisal, Scale()))
    model.set_picture(board(appraisal, Scale(), barrels=("b1u1b",)))
    assert tester.model() is model
    assert model.rowCount() == 1


def test_all_barrels_of_the_sample_are_seen_at_once(view: BoardView) -> None:
    assert view.verticalScrollBar().maximum() == 0
    assert view.horizontalScrollBar().maximum() == 0


def test_few_barrels_grow_into_the_height_there_is(view: BoardView, appraisal: Appraisal) -> None:
    view.resize(1000, 300)
    low = view.rowHeight(0)
    assert view.verticalScrollBar().maximum() > 0
    view.resize(1000, 3000)
    assert low < view.rowHeight(0) <= 2 * low
    # What lies on the ruler is found where it is drawn.
    row, drawn = view.board_model.row(view.board_model.index(0, RULER)), view.painter()
    assert drawn is not None
    box = QRectF(view.visualRect(view.board_model.index(0, RULER)))
    assert {at.y() for _, at in drawn.marks_in(row, box)}
    assert all(box.contains(at) for _, at in drawn.marks_in(row, box))
    view.resize(1000, 300)
    assert view.rowHeight(0) == low


def test_arrows_walk_the_cells_and_enter_opens_one(qtbot: Any, view: BoardView) -> None:
    view.choose("b1u1b", "j5")
    view.setFocus()
    qtbot.keyClick(view, Qt.Key.Key_Right)
    assert view.current_place() == ("b1u1b", "j6")
    opened: list[Any] = []
    chosen: list[tuple[str, str]] = []
    view.opened.connect(opened.append)
    view.cell_chosen.connect(lambda barrel, job: chosen.append((barrel, job)))
    qtbot.keyClick(view, Qt.Key.Key_Return)
    assert chosen == [("b1u1b", "j6")]
    assert len(opened) == 1


def test_a_mark_on_the_ruler_opens_its_cell(qtbot: Any, view: BoardView) -> None:
    index = view.board_model.place_of("b1u1a", None).siblingAtColumn(RULER)
    drawn = view.painter()
    assert drawn is not None
    box = view.visualRect(index)
    mark, at = drawn.marks_in(view.board_model.row(index), box.toRectF())[-1]
    chosen: list[tuple[str, str]] = []
    view.cell_chosen.connect(lambda barrel, job: chosen.append((barrel, job)))
    point = QPoint(round(at.x()), round(at.y()))
    qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=point)
    assert chosen == [(mark.barrel, mark.job)]


def test_copying_gives_supplier_screw_mould_verdict_and_binding_in_words(
    qtbot: Any, view: BoardView, appraisal: Appraisal
) -> None:
    view.choose("b1u1a", "j2")
    qtbot.keyClick(view, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    heading, line = QGuiApplication.clipboard().text().splitlines()
    assert heading == "Barrel\tJob\tVerdict"
    assert line == "Brastivel, Unit 604 A\tValve body, two cavities\toutside by rule: share"


def test_a_proposed_barrel_is_marked_once_somebody_proposes_it(
    view: BoardView, appraisal: Appraisal
) -> None:
    proposed = appraise(appraisal.evaluation.replace(proposal=Proposal(barrels=("b1u1c",))))
    name = view.board_model.place_of("b1u1c", None)
    box, before = view.visualRect(name), view.viewport().grab().toImage()
    view.show_picture(board(proposed, Scale()))
    after = view.viewport().grab().toImage()
    assert ": proposed; waits" in name.data()
    left, within = box.left() + 1, box.center().x()
    y = box.center().y()
    assert after.pixelColor(left, y) != before.pixelColor(left, y)
    assert after.pixelColor(within, y) == before.pixelColor(within, y)


def test_the_current_cell_stays_where_its_barrel_and_job_are(
    view: BoardView, appraisal: Appraisal
) -> None:
    view.choose("b1u1b", "j6")
    others = tuple(b.id for b in reversed(appraisal.barrels))
    view.show_picture(board(appraisal, Scale(), barrels=others))
    assert view.current_place() == ("b1u1b", "j6")


@pytest.mark.parametrize(
    ("width", "has_words"), [(990, True), (850, True), (770, True), (700, False)]
)
def test_a_word_below_a_mark_is_whole_or_not_there(
    monkeypatch: pytest.MonkeyPatch, view: BoardView, width: int, has_words: bool
) -> None:
    said: list[tuple[str, float, float]] = []

    def note(painter: QPainter, box: QRectF, _flags: Any, text: str) -> None:
        said.append((text, painter.fontMetrics().horizontalAdvance(text), box.width()))

    monkeypatch.setattr(board_painter, "draw_words", note)
    font = QFont(view.font())
    # Other letters than before: nothing drawn so far is kept.
    font.setPointSizeF(9.25)
    view.setFont(font)
    view.resize(width, 760)
    view.grab()
    model, cell = view.board_model, view.columnWidth(FIRST_JOB)
    drawn = {text: wide for text, wide, room in said if abs(room - cell) <= 1.0 and text}
    places = [
        model.cell(model.index(row, column))
        for row in range(model.rowCount())
        for column in range(FIRST_JOB, model.columnCount())
    ]
    words = {place.word for place in places if place and place.word}
    assert "residence" in words
    assert set(drawn) == (words if has_words else set())
    assert all(wide <= cell for wide in drawn.values())


def test_many_jobs_become_marks_alone(qtbot: Any, view: BoardView) -> None:
    view.resize(560, 520)
    assert view.columnWidth(FIRST_JOB) < 48
    assert view.columnWidth(RULER) >= 200
    assert not view.grab().isNull()


def test_key_and_legend_take_the_lines_they_need(qtbot: Any, appraisal: Appraisal) -> None:
    theme = Theme()
    key, legend = JobKey(theme), Legend(theme)
    for widget in (key, legend):
        qtbot.addWidget(widget)
    key.show_jobs(board(appraisal, Scale()).jobs)
    assert key.heightForWidth(2000) < key.heightForWidth(500)
    assert "1 Dripper, 32 cavities" in key.accessibleName()
    assert [text for text, _ in legend.entries][:5] == [
        "inside",
        "near edge",
        "outside by physics or resin",
        "outside by rule",
        "not stated",
    ]
    before = legend.heightForWidth(900)
    legend.show_lanes(board(appraisal, Scale()).lane_names)
    assert legend.entries[-1][0].startswith("lanes: general")
    assert legend.heightForWidth(900) >= before
    legend.resize(900, legend.heightForWidth(900))
    assert not legend.grab().isNull()
