"""Puts the drawers into the window, and ties them and the letters to it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from evenbarrel.desk.drawers.questions import QuestionsDrawer
from evenbarrel.desk.drawers.working import WorkingDrawer
from evenbarrel.desk.letters.drafts import Letters
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session


def add_drawers(window: MainWindow, session: Session, theme: Theme) -> None:
    """Give the window its two drawers; from where a datum is told they lead to its field."""
    letters = Letters(session, theme, window.documents.dialogs.file_to_write, window)
    window.typed.beside.append(letters)
    questions, working = QuestionsDrawer(session, theme), WorkingDrawer(session, theme)
    window.set_drawers(questions, working)
    _reach_last(window, window.page_list)
    for drawer in (questions, working):
        drawer.datum_wanted.connect(window.open_datum)


def _reach_last(window: QWidget, widget: QWidget) -> None:
    """Let the Tab key reach a widget after all there is, so what is made later comes next to it.

    From the list of pages it then leads into a page that was made after the drawers.
    """
    last = _stop_before(window)
    # Qt leaves alone what follows already, if only by going round: so first away, then back.
    QWidget.setTabOrder(_stop_before(last), widget)
    QWidget.setTabOrder(last, widget)


def _stop_before(widget: QWidget) -> QWidget:
    """Return the stop of the Tab key before a widget, itself where there is none."""
    before = widget.previousInFocusChain()
    while before is not None and before is not widget:
        if before.focusPolicy() & Qt.FocusPolicy.TabFocus and before.isEnabled():
            return before
        before = before.previousInFocusChain()
    return widget
