"""Puts the drawers into the window, and ties them and the letters to it."""

from __future__ import annotations

from evenbarrel.desk.drawers.questions import QuestionsDrawer
from evenbarrel.desk.drawers.working import WorkingDrawer
from evenbarrel.desk.letters.drafts import Letters
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session


def add_drawers(window: MainWindow, session: Session, theme: Theme) -> None:
    """Give the window its two drawers; from where a datum is told they lead to its field."""
    Letters(session, theme, window.documents.dialogs.file_to_write, window)
    questions, working = QuestionsDrawer(session, theme), WorkingDrawer(session, theme)
    window.set_drawers(questions, working)
    for drawer in (questions, working):
        drawer.datum_wanted.connect(window.open_datum)
