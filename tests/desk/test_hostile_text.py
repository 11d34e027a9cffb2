"""No text of a person or a supplier is taken for markup, and none hides a character."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QAbstractItemModel, QIdentityProxyModel, QModelIndex, Qt
from PySide6.QtGui import QAction, QGuiApplication
from PySide6.QtGui import Qt as QtGuess
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QDialog,
    QGroupBox,
    QHeaderView,
    QLabel,
    QLineEdit,
    QMenu,
    QMessageBox,
    QStyleOptionViewItem,
    QTabBar,
    QTextBrowser,
    QToolBar,
    QWidget,
)

from evenbarrel.appraisal.references import ClaimRef, FactorRef, ShotRef, VolumeRef
from evenbarrel.desk.fields.quantity import QuantityField
from evenbarrel.desk.letters.letter_window import LetterWindow
from evenbarrel.desk.pages.all_pages import PAGES
from evenbarrel.desk.style.plain import tip
from evenbarrel.desk.window.files.file_dialogs import Dialogs
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.navigation import add_drawers
from evenbarrel.desk.window.session import Session
from evenbarrel.intake.accepting.revising import with_revision
from evenbarrel.intake.bid_file import bid_file_of, extract_bid
from evenbarrel.intake.sources import Source
from evenbarrel.intake.tables.pasted import grid_of
from evenbarrel.intake.tables.table import extract_table
from evenbarrel.storage.file_errors import FileRefused

from .conftest import opened_often
from .hostile import HIDING, HOSTILE, MARKUP, hidden_in, hostile_evaluation

Told = tuple[str, str, bool]
"""Where a text stands, the text, and whether Qt guesses there if it is markup."""

_ROLES = Qt.ItemDataRole
_SAID = (_ROLES.DisplayRole, _ROLES.AccessibleTextRole, _ROLES.AccessibleDescriptionRole)
_GUESSED = (_ROLES.ToolTipRole, _ROLES.StatusTipRole, _ROLES.WhatsThisRole)
_OUR_TAGS = re.compile(r'<p style="white-space: pre-wrap">|</p>')
WIDEST = 1900
"""No text makes the window wider than a usual screen [px]."""


def told(top: QWidget) -> Iterator[Told]:
    """Yield everything that a window says: of itself, of its widgets, items, steps and tips."""
    for widget in (top, *top.findChildren(QWidget)):
        name = f"{type(widget).__name__} {widget.accessibleName()[:40]}"
        yield f"{name}: title", widget.windowTitle(), False
        yield f"{name}: name", widget.accessibleName(), False
        yield f"{name}: description", widget.accessibleDescription(), False
        for told_of in (widget.toolTip(), widget.statusTip(), widget.whatsThis()):
            yield f"{name}: tip", told_of, True
        yield from _own_words(name, widget)
    for action in top.findChildren(QAction):
        yield "step", action.text(), False
    # A tip of a step is made of its words by Qt: nobody may see it.
    assert not any(menu.toolTipsVisible() for menu in top.findChildren(QMenu))
    assert not top.findChildren(QToolBar)


def _own_words(name: str, widget: QWidget) -> Iterator[Told]:
    if isinstance(widget, QLabel):
        yield f"{name}: label", widget.text(), widget.textFormat() != Qt.TextFormat.PlainText
    elif isinstance(widget, QAbstractButton):
        yield f"{name}: button", widget.text(), False
    elif isinstance(widget, QGroupBox):
        yield f"{name}: group", widget.title(), False
    elif isinstance(widget, QLineEdit):
        yield f"{name}: placeholder", widget.placeholderText(), False
        if hidden_in(widget.text()):
            # What is edited is the true text; its tip says that it hides something.
            assert "cannot be seen" in widget.toolTip(), name
    elif isinstance(widget, QComboBox):
        for place in range(widget.count()):
            yield f"{name}: choice", widget.itemText(place), False
            yield f"{name}: tip of a choice", widget.itemData(place, _ROLES.ToolTipRole) or "", True
    elif isinstance(widget, QTabBar):
        for place in range(widget.count()):
            yield f"{name}: tab", widget.tabText(place), False
            yield f"{name}: tip of a tab", widget.tabToolTip(place), True
    elif isinstance(widget, QTextBrowser):
        text = widget.toPlainText()
        yield f"{name}: text", text.replace("\u2028", "\n"), False
        assert "<img" not in widget.toHtml()
    elif isinstance(widget, QAbstractItemView) and not isinstance(widget, QHeaderView):
        # Qt's own models keep some of their methods to themselves; one set before them does not.
        open_model = QIdentityProxyModel()
        open_model.setSourceModel(widget.model())
        yield from _of_model(name, open_model)


def _of_model(
    name: str, model: QAbstractItemModel, under: QModelIndex | None = None
) -> Iterator[Told]:
    parent = under or QModelIndex()
    rows, columns = model.rowCount(parent), model.columnCount(parent)
    for row in range(rows):
        for column in range(columns):
            index = model.index(row, column, parent)
            yield from _of_roles(f"{name} {row},{column}", lambda role, at=index: at.data(role))
            if model.hasChildren(index):
                yield from _of_model(name, model, index)
    for orientation, count in (
        (Qt.Orientation.Horizontal, columns),
        (Qt.Orientation.Vertical, rows),
    ):
        for section in range(count):
            yield from _of_roles(
                f"{name} heading {section}",
                lambda role, at=section, way=orientation: model.headerData(at, way, role),
            )


def _of_roles(name: str, data: Callable[[Qt.ItemDataRole], Any]) -> Iterator[Told]:
    for role in (*_SAID, *_GUESSED):
        text = data(role)
        if isinstance(text, str):
            yield f"{name}: {role.name}", text, role in _GUESSED


def assert_plain(where: str, text: str, guessed: bool) -> None:
    assert not hidden_in(text), f"{where} hides {hidden_in(text)!r}: {text!r}"
    if guessed and QtGuess.mightBeRichText(text):
        inner = _OUR_TAGS.sub("", text)
        assert "<" not in inner, f"{where} is taken for markup: {text!r}"
        if "img" in inner:
            assert '<img src="file:///x.png">' in unescape(inner), where


def look_at(top: QWidget) -> int:
    """Hold everything that a window says; return how many of its texts are hostile."""
    found = 0
    for where, text, guessed in told(top):
        assert_plain(where, text, guessed)
        found += "img" in text
    return found


@pytest.fixture
def desk(make_window: Callable[..., MainWindow], session: Session, theme: Any) -> MainWindow:
    session.evaluation = opened_often(hostile_evaluation())
    window = make_window()
    add_drawers(window, session, theme)
    session.begin()
    return window


def dialogs() -> list[QDialog]:
    tops = QApplication.topLevelWidgets()
    return [one for one in tops if isinstance(one, QDialog) and one.isVisible()]


@pytest.mark.parametrize("page", range(len(PAGES)), ids=[entry.key for entry in PAGES])
def test_no_page_shows_markup_or_hides_a_character(
    desk: MainWindow, session: Session, page: int
) -> None:
    assert session.appraisal is not None
    desk.go_to(page)
    assert look_at(desk) > 20
    assert HIDING not in desk.windowTitle()
    for barrel in session.appraisal.barrels[:3]:
        session.selection.choose(barrel.id, session.appraisal.jobs[-1].id)
        QApplication.processEvents()
        assert look_at(desk) > 20
    assert desk.minimumSizeHint().width() < WIDEST
    assert not desk.grab().isNull()


def test_every_thing_of_every_bid_is_named_plainly(desk: MainWindow, session: Session) -> None:
    desk.open_page("bids")
    page = desk.page
    for path in tuple(page.tree._items):
        page.choose(path)
        look_at(page)
        assert page.minimumSizeHint().width() < WIDEST
    page.tree.selectAll()
    assert look_at(page) > 20


def test_what_is_collected_is_plain(desk: MainWindow, session: Session) -> None:
    evaluation = session.evaluation
    before, table = evaluation.bids[0], f"{HOSTILE}\t{HOSTILE}\nScrew diameter mm\t40\t{HOSTILE}"
    desk.open_page("bids")
    collecting = desk.page.collecting
    offer = extract_bid(evaluation, bid_file_of(evaluation, before.id), "", HOSTILE)
    for extract in (
        offer,
        with_revision(evaluation, offer, before.id),
        extract_table(evaluation, grid_of(table), None, Source(HOSTILE)),
    ):
        collecting.panel.open(evaluation, extract, 0, False)
        collecting._show(collecting.panel)
        for place in range(0, len(extract.lines), 9):
            collecting.panel.table.selectRow(place)
            look_at(collecting.panel.line)
        assert look_at(desk.page) > 5
        assert desk.page.minimumSizeHint().width() < WIDEST
    collecting.panel.take.click()
    look_at(desk)
    collecting.collector._failed(FileRefused(HOSTILE, "", HOSTILE))
    look_at(desk)


def test_every_question_and_working_is_plain(desk: MainWindow, session: Session) -> None:
    assert session.appraisal is not None
    questions, working = desk._drawers
    for question in session.appraisal.questions:
        questions.choose(question.id)
        look_at(questions)
    barrels, jobs = session.appraisal.barrels[:2], session.appraisal.jobs
    references: list[tuple[str, ...]] = [VolumeRef(barrel.id) for barrel in barrels]
    references += [ShotRef(job.id) for job in jobs]
    references += [
        ("criterion", barrel.id, jobs[0].id, one.key)
        for barrel in barrels
        for one in session.appraisal.fit(barrel.id, jobs[0].id).criteria
    ]
    references += [FactorRef(resin.id) for resin in session.evaluation.resins]
    seen = 0
    for reference in references:
        session.show_working.emit(reference)
        seen += look_at(working)
        assert "<b>x</b>" in working.text.toPlainText() or "img" not in working.text.toPlainText()
    assert seen > 5


def test_every_dialog_is_plain(desk: MainWindow, session: Session) -> None:
    looked: list[str] = []

    def look() -> None:
        for dialog in dialogs():
            look_at(dialog)
            assert dialog.minimumSizeHint().width() < WIDEST
            looked.append(type(dialog).__name__)
            dialog.close()

    desk.open_page("shots")
    shots = desk.page
    shots._open_programme()
    look()
    shots._ask_for_resin()
    look()
    shots.resins.open_data()
    look()
    numbers = [one for one in shots.form.fields.values() if isinstance(one, QuantityField)]
    next(one for one in numbers if one.quantity is not None)._open_details()
    look()
    desk.open_page("fit")
    deviation = session.evaluation.deviations[-1]
    session.edit("Take it back", session.evaluation.replace(deviations=()))
    desk.page.pictures.show()
    session.selection.choose(deviation.barrel, deviation.job)
    desk.page.cell._accept()
    look()
    desk.open_page("decision")
    desk.page.sign.click()
    look()
    assert looked == [
        "ProgrammeDialog",
        "TableDialog",
        "ResinDialog",
        "DetailsDialog",
        "AskDialog",
        "AskDialog",
    ]


def test_the_pictures_below_the_board_are_plain(desk: MainWindow, session: Session) -> None:
    assert session.appraisal is not None
    desk.open_page("fit")
    page = desk.page
    page.pictures.show()
    session.selection.choose(session.appraisal.barrels[0].id, session.appraisal.jobs[0].id)
    for tab in range(page.pictures.count()):
        page.pictures.setCurrentIndex(tab)
        QApplication.processEvents()
        assert look_at(page) > 20
        assert not page.pictures.grab().isNull()
        assert desk.minimumSizeHint().width() < WIDEST
    picture = page.cell.plot
    picture.show_tip(HOSTILE)
    assert_plain("what is pointed at", picture.plot.toolTip(), True)
    assert picture.plot.toolTip() == tip(HOSTILE)


def test_what_is_tried_and_claimed_is_plain(desk: MainWindow, session: Session) -> None:
    desk.open_page("fit")
    desk.open_what_if()
    what_if = desk.what_if
    for one in {one.of: one for one in what_if._known.values()}.values():
        what_if.choose(one)
        assert look_at(what_if) > 5
    job = session.evaluation.jobs[0].id
    what_if._try(("jobs", job, "cavities"), 3)
    assert what_if.lines
    assert look_at(what_if) > 20
    assert look_at(desk.what_if_strip) > 0
    what_if.throw_away()
    what_if.close()
    desk.open_page("claims")
    for _, _, barrel in session.evaluation.barrels():
        desk.page.choose(ClaimRef(barrel.id, "volume_geometry"))
        assert look_at(desk.page) > 10


def test_menus_steps_and_what_can_be_undone_are_plain(
    desk: MainWindow, session: Session, tmp_path: Path
) -> None:
    own = tmp_path / f"a&b{HIDING}.evenbarrel.json"
    own.touch()
    session.recent.remember(own)
    for menu in desk.findChildren(QMenu):
        menu.aboutToShow.emit()
    session.put(("jobs", session.evaluation.jobs[0].id, "cavities"), 3, f"Cavities of {HOSTILE}")
    assert "gpj" in session.undo_stack.undoText()
    assert look_at(desk) > 20
    texts = [action.text() for action in desk.findChildren(QAction) if "img" in action.text()]
    assert texts
    assert all("&&amp;" in text for text in texts)


def test_notices_messages_and_boxes_are_plain(
    desk: MainWindow, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    boxes: list[QMessageBox] = []
    monkeypatch.setattr(QMessageBox, "exec", lambda box: boxes.append(box) or 0)
    asks = Dialogs(desk)
    asks.may_replace(HOSTILE)
    asks.held_by(HOSTILE, HOSTILE)
    asks.changed_on_disk(HOSTILE, (HOSTILE, HOSTILE))
    asks.unsaved(HOSTILE, (HOSTILE,))
    asks._show_message(str(FileRefused(HOSTILE, HOSTILE, HOSTILE)))
    assert len(boxes) == 5
    for box in boxes:
        assert look_at(box) >= 1
    desk.notice.show_message(HOSTILE, (f"Close {MARKUP}", lambda: None))
    session.refused.emit(HOSTILE)
    assert desk.statusBar().currentMessage()
    assert not hidden_in(desk.statusBar().currentMessage())
    look_at(desk)


def test_what_is_copied_hides_nothing(desk: MainWindow, session: Session) -> None:
    clipboard = QGuiApplication.clipboard()
    session.letter_wanted.emit(session.evaluation.bids[0].id)
    (letter,) = desk.findChildren(LetterWindow)
    look_at(letter)
    letter.copy.click()
    letter.close()
    assert "⟨U+202E⟩" in clipboard.text()
    assert not hidden_in(clipboard.text())


def test_what_is_edited_stays_as_it_was_typed_and_says_what_it_hides(
    qtbot: Any, desk: MainWindow, session: Session
) -> None:
    before = session.evaluation
    desk.open_page("bids")
    page, bid = desk.page, before.bids[0]
    page.choose(("bids", bid.id))
    field = next(form for form in page.forms.values() if form.isVisible()).fields["warranty"]
    assert field.shown == bid.warranty
    assert "cannot be seen" in field.message.text() or not bid.warranty
    supplier = next(form for form in page.forms.values() if form.isVisible()).fields["supplier"]
    assert supplier.line.text() == bid.supplier
    assert "⟨U+202E⟩" in supplier.message.text()
    supplier.line.setText("Brastivel")
    supplier.commit()
    assert session.evaluation.bids[0].supplier == "Brastivel"
    assert supplier.line.toolTip() == ""
    assert "cannot be seen" not in supplier.message.text()


def test_a_resin_with_a_hostile_name_can_be_chosen_in_a_grid(
    desk: MainWindow, session: Session
) -> None:
    desk.open_page("shots")
    table, model = desk.page.table, desk.page.model
    column = [shape.name for shape in model.shapes].index("resin")
    index = model.index(0, column)
    delegate = table.itemDelegate()
    editor = delegate.createEditor(table, QStyleOptionViewItem(), index)
    delegate.setEditorData(editor, index)
    before = session.evaluation.jobs[0].resin
    keys = [
        editor.list.item(row).data(Qt.ItemDataRole.UserRole) for row in range(editor.list.count())
    ]
    other = next(r.id for r in session.evaluation.resins if r.id != before)
    editor.list.setCurrentRow(keys.index(other))
    delegate.setModelData(editor, model, index)
    assert session.evaluation.jobs[0].resin == other
    editor.deleteLater()
