"""What one edit by real keys changed, as paths: for the tests of edits in the wrong place."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from PySide6.QtCore import QModelIndex, QPoint, Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QLineEdit,
    QWidget,
)

from evenbarrel.desk.forms.form import Form
from evenbarrel.desk.forms.grids.pick_line import PickLine
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session
from evenbarrel.model.base import Frozen

TYPED = ("12", "0.5", "2026-03-02", "EUR", "words")
"""One of these is taken by any field of one line."""
OF_KIND = {"share": "0.5", "date": "2026-03-02", "currency": "EUR"}
"""What a cell of that kind takes; any other takes a number."""


def changed(before: Any, after: Any, place: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Yield where two evaluations differ, as paths of field names and ids."""
    if before == after:
        return
    if isinstance(before, Frozen) and type(before) is type(after):
        for name in type(before).model_fields:
            yield from changed(getattr(before, name), getattr(after, name), (*place, name))
    elif isinstance(before, tuple) and isinstance(after, tuple) and len(before) == len(after):
        for one, other in zip(before, after, strict=True):
            yield from changed(one, other, (*place, getattr(one, "id", "")))
    else:
        yield place


def put_away_drawers(window: MainWindow) -> None:
    """Leave the drawers out, as F9 does, where what is edited does not show there."""
    window._menus.drawers.setChecked(False)


def edits_of(
    form: Form, session: Session, qtbot: Any, whole: bool = False, which: slice = slice(None)
) -> Iterator[tuple[str, set[str]]]:
    """Edit fields of a form once, one after another; yield each name and what was changed.

    With `whole` also what stands beside the value: unit, currency, source and standing. `which`
    are the fields, all of them unless told.
    """
    for name, field in list(form.fields.items())[which]:
        inputs = [w for w in field.findChildren(QWidget) if isinstance(w, QLineEdit | QComboBox)]
        for widget in inputs if whole else inputs[:1]:
            before = session.evaluation
            edit(widget, session, qtbot)
            if session.evaluation is not before:
                paths = tuple(changed(before, session.evaluation))
                assert all(name in path for path in paths), (name, paths)
                yield name, {"/".join(path[: path.index(name)]) for path in paths}
            field.reset(field.shown)


def edit(widget: QWidget, session: Session, qtbot: Any) -> None:
    """Type into a line until something is taken, or choose the next choice, by keys."""
    before = session.evaluation
    if isinstance(widget, QComboBox):
        pick_another(qtbot, widget)
        return
    for text in TYPED:
        type_over(qtbot, widget, text)
        if session.evaluation is not before:
            return


def type_over(qtbot: Any, line: QWidget, text: str) -> None:
    """Type a text over what stands in a line, and press Enter."""
    line.setFocus()
    qtbot.keyClick(line, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(line, text)
    qtbot.keyClick(line, Qt.Key.Key_Return)


def pick_another(qtbot: Any, combo: QComboBox) -> None:
    """Choose the choice below, or above from the last, by its key."""
    combo.setFocus()
    last = combo.currentIndex() >= combo.count() - 1
    qtbot.keyClick(combo, Qt.Key.Key_Up if last else Qt.Key.Key_Down)


def click_cell(qtbot: Any, view: QAbstractItemView, index: QModelIndex) -> None:
    """Click a cell."""
    view.scrollTo(index)
    at = view.visualRect(index).center()
    qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=at)


def type_into_cell(qtbot: Any, view: QAbstractItemView, index: QModelIndex, text: str) -> None:
    """Click a cell of a grid, type over it, and press Enter; a pick-list goes one down."""
    click_cell(qtbot, view, index)
    qtbot.keyClick(view, Qt.Key.Key_F2)
    editor = QApplication.focusWidget()
    if isinstance(editor, QComboBox):
        pick_another(qtbot, editor)
    elif isinstance(editor, PickLine):
        first = editor.list.currentRow() <= 0
        qtbot.keyClick(editor, Qt.Key.Key_Down if first else Qt.Key.Key_Up)
    else:
        qtbot.keyClick(editor, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
        qtbot.keyClicks(editor, text)
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    # An editor closes in its own turn.
    QApplication.processEvents()


def press(qtbot: Any, button: QAbstractButton) -> None:
    """Click a button that a person sees."""
    # What was shown a moment ago has its place once the layout had its turn.
    QApplication.processEvents()
    assert button.isVisible()
    assert button.isEnabled()
    # At the left, where a radio button has its mark.
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton, pos=QPoint(8, button.height() // 2))
