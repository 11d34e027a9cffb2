"""Puts the drawers into the window, and takes a person from where a datum is told to its field."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

from evenbarrel.desk.drawers.questions import QuestionsDrawer
from evenbarrel.desk.drawers.working import WorkingDrawer
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.window.main_window import PAGES
from evenbarrel.desk.window.session import Session
from evenbarrel.model.datum_path import Path

if TYPE_CHECKING:
    from evenbarrel.desk.window.main_window import MainWindow


def furnish(window: MainWindow, session: Session, theme: Theme) -> None:
    """Give the window its two drawers and tie every way to a datum."""
    questions, working = QuestionsDrawer(session, theme), WorkingDrawer(session, theme)
    window.set_drawers(questions, working)

    def go(path: Path) -> None:
        go_to_datum(window, session, path)

    def tie(place: int) -> None:
        wanted = getattr(window.stack.widget(place), "datum_wanted", None)
        if wanted is not None:
            wanted.connect(go)

    for drawer in (questions, working):
        drawer.datum_wanted.connect(go)
    for place in range(window.stack.count()):
        tie(place)
    # A page is made when it is first shown.
    window.stack.widgetAdded.connect(tie)


def go_to_datum(window: MainWindow, session: Session, path: Path) -> None:
    """Show the page, the thing and the field of the datum at `path`."""
    *thing, name = path
    window.go_to(PAGES.index("Bids" if thing[0] == "bids" else "Shots"))
    page = window.page
    if thing[0] == "resins":
        page.resins.show_resin(thing[1])
        page.resins.open_data(path)
        return
    if thing[0] == "jobs":
        session.choose(session.chosen_barrel, thing[1])
        forms = (page.form,)
    else:
        page.choose(tuple(thing))
        page.show_form()
        forms = tuple(page.forms.values())
    for form in forms:
        field = form.fields.get(name)
        if field is not None and form.isVisible():
            field.setFocus(Qt.FocusReason.OtherFocusReason)
