"""The one window: pages along the left edge, drawers at the right, how the barrels stand below."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from importlib import import_module
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QCloseEvent, QFont, QKeySequence, QPalette, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QMainWindow,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.fields.base import commit_focused
from evenbarrel.desk.pages.bids.screw_sheet import Hints
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.desk.window.documents import Documents
from evenbarrel.desk.window.exports import EXPORTS, Export
from evenbarrel.desk.window.file_dialogs import Dialogs
from evenbarrel.desk.window.menus import Menus
from evenbarrel.desk.window.notice import Notice
from evenbarrel.desk.window.session import Session
from evenbarrel.wording.sentences import pages

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

PAGES = ("Shots", "Bids", "Claims", "Fit", "Decision")
WIDTH, HEIGHT = 1400, 900
_LIST_WIDTH = 112
_ITEM_HEIGHT = 4 * GRID
_DRAWER_WIDTH = 288
_MESSAGE_MS = 12_000

Factory = Callable[[Session, Theme], QWidget]
"""Makes a page; it has `show_appraisal(appraisal)`."""


def _class_of(title: str) -> Factory | None:
    # A page's module is loaded when the page is first shown, not before.
    module = f"evenbarrel.desk.pages.{title.lower()}.page"
    if find_spec(module) is None:
        return None

    def make(session: Session, theme: Theme) -> QWidget:
        page: QWidget = getattr(import_module(module), f"{title}Page")(session, theme)
        return page

    return make


def page_factories(hints: Hints | None = None) -> Mapping[str, Factory]:
    """Return what makes each page, by its title, in the order of the work."""
    factories = {title: factory for title in PAGES if (factory := _class_of(title)) is not None}

    def bids(session: Session, theme: Theme) -> QWidget:
        from evenbarrel.desk.pages.bids.page import BidsPage

        return BidsPage(session, theme, hints)

    return factories | {"Bids": bids}


class MainWindow(QMainWindow):
    """Lays out pages and drawers and keeps the visible ones up to date."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        hints: Hints | None = None,
        exports: tuple[Export, ...] = EXPORTS,
        dialogs: Dialogs | None = None,
    ) -> None:
        super().__init__()
        self._session = session
        self._theme = theme
        self._factories = page_factories(hints)
        self._pages: dict[str, Any] = {}
        self._stale: set[str] = set()
        self._shown_choice: dict[str, tuple[str | None, str | None]] = {}
        self._drawers: list[Any] = []
        self.notice = Notice()
        self.page_list = QListWidget()
        self.stack = QStackedWidget()
        self.standing = QLabel()
        self.documents = Documents(
            session, self.notice, dialogs or Dialogs(self), self.commit, self.refused, self
        )
        self._menus = Menus(
            self, session, theme, self.documents, exports, tuple(self._factories), self.go_to
        )
        self._lay_out()
        self._connect()
        self.resize(WIDTH, HEIGHT)
        self.go_to(0)
        self._show_title()

    @property
    def page(self) -> Any:
        """The visible page."""
        return self._pages[self._title()]

    def set_drawers(self, questions: QWidget, working: QWidget) -> None:
        """Put the two drawers at the right edge; each may have `show_appraisal(appraisal)`."""
        self._drawers = [questions, working]
        for widget in (questions, working):
            self._drawer_area.addWidget(widget)
        self._drawer_area.setVisible(self._menus.drawers.isChecked())
        self._body.setSizes([WIDTH - _LIST_WIDTH - _DRAWER_WIDTH, _DRAWER_WIDTH])
        if self._session.appraisal is not None:
            self._show_in_drawers(self._session.appraisal)

    def go_to(self, place: int) -> None:
        """Show the page at that place of the list."""
        self.commit()
        self.page_list.setCurrentRow(place)

    def commit(self) -> None:
        """Take what stands typed and not yet left."""
        commit_focused()
        if self._pages:
            commit = getattr(self.page, "commit", None)
            if commit is not None:
                commit()

    def refused(self) -> tuple[str, ...]:
        """Return what was typed on any page and not taken."""
        told = (getattr(page, "refused", None) for page in self._pages.values())
        return tuple(text for tell in told if tell is not None for text in tell())

    def closeEvent(self, event: QCloseEvent) -> None:
        """Close where nothing is lost by it."""
        if not self.documents.may_leave():
            event.ignore()
            return
        self.documents.exporter.wait()
        self._session.close()
        super().closeEvent(event)

    def _lay_out(self) -> None:
        self.page_list.setAccessibleName("Pages")
        self.page_list.setFixedWidth(_LIST_WIDTH)
        self.page_list.setFrameShape(QListWidget.Shape.NoFrame)
        self.page_list.setSpacing(2)
        font = QFont(self.page_list.font())
        font.setPointSizeF(font.pointSizeF() + 2.0)
        self.page_list.setFont(font)
        # On the window's own ground: a list of places, not a table of data.
        self.page_list.viewport().setBackgroundRole(QPalette.ColorRole.Window)
        for title in self._factories:
            item = QListWidgetItem(title, self.page_list)
            item.setSizeHint(QSize(0, _ITEM_HEIGHT))
        self._drawer_area = QSplitter(Qt.Orientation.Vertical)
        self._drawer_area.hide()
        self._body = QSplitter(Qt.Orientation.Horizontal)
        self._body.addWidget(self.stack)
        self._body.addWidget(self._drawer_area)
        self._body.setStretchFactor(0, 1)
        right = QVBoxLayout()
        right.setSpacing(0)
        right.addWidget(self.notice)
        right.addWidget(self._body, 1)
        centre = QWidget()
        row = QHBoxLayout(centre)
        row.setContentsMargins(GRID, GRID, 0, 0)
        row.setSpacing(0)
        row.addWidget(self.page_list)
        row.addLayout(right, 1)
        self.setCentralWidget(centre)
        self.standing.setContentsMargins(GRID, 0, GRID, 0)
        self.standing.setAccessibleName("How the barrels stand")
        self.statusBar().addPermanentWidget(self.standing)

    def _connect(self) -> None:
        self.page_list.currentRowChanged.connect(lambda _: self._show_page())
        self._session.changed.connect(self._show_appraisal)
        self._session.chosen.connect(lambda *_: self._follow_choice())
        self._session.file_changed.connect(self._show_title)
        self._session.refused.connect(self._show_message)
        drawers = self._menus.drawers
        drawers.toggled.connect(self._drawer_area.setVisible)
        # Who opens a number wants to see its working.
        self._session.show_working.connect(lambda _: drawers.setChecked(True))
        for keys, step in (("Ctrl+PgDown", 1), ("Ctrl+PgUp", -1)):
            QShortcut(QKeySequence(keys), self).activated.connect(partial(self._turn, step))
        QShortcut(QKeySequence("F6"), self).activated.connect(self._next_area)

    def _show_message(self, text: str) -> None:
        self.statusBar().showMessage(text, _MESSAGE_MS)

    def _turn(self, step: int) -> None:
        self.go_to((self.page_list.currentRow() + step) % self.page_list.count())

    def _next_area(self) -> None:
        """Take the keyboard on to the page list, the page, and each drawer in turn."""
        drawers = [one for one in self._drawers if one.isVisible()]
        areas = [self.page_list, self.stack, *drawers]
        focus = self.focusWidget()
        inside = [a is focus or (focus is not None and a.isAncestorOf(focus)) for a in areas]
        place = inside.index(True) + 1 if any(inside) else 0
        area = areas[place % len(areas)]
        first = area if area is self.page_list else _first_reachable(area)
        first.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _title(self) -> str:
        item = self.page_list.currentItem()
        return item.text()

    def _show_page(self) -> None:
        title = self._title()
        if title not in self._pages:
            page = self._factories[title](self._session, self._theme)
            self._pages[title] = page
            self._stale.add(title)
            self.stack.addWidget(page)
        page = self._pages[title]
        # Before it is seen: what was chosen or changed elsewhere must be what it shows.
        if self._session.appraisal is not None and (
            title in self._stale or self._shown_choice.get(title) != self._choice()
        ):
            self._update(title, self._session.appraisal)
        self.stack.setCurrentWidget(page)
        self._menus.show_page_actions(page.actions())

    def _show_appraisal(self, appraisal: Appraisal) -> None:
        self._stale = set(self._pages)
        self._update(self._title(), appraisal)
        self._show_in_drawers(appraisal)
        self.standing.setText(pages.standing_line(appraisal.counts()))
        self._show_title()

    def _update(self, title: str, appraisal: Appraisal) -> None:
        self._pages[title].show_appraisal(appraisal)
        self._stale.discard(title)
        self._shown_choice[title] = self._choice()

    def _choice(self) -> tuple[str | None, str | None]:
        """Return the barrel and job chosen now."""
        return self._session.chosen_barrel, self._session.chosen_job

    def _follow_choice(self) -> None:
        """The visible page follows a choice by itself; the others do when they are shown."""
        if self._pages:
            self._shown_choice[self._title()] = self._choice()

    def _show_in_drawers(self, appraisal: Appraisal) -> None:
        for drawer in self._drawers:
            drawer.show_appraisal(appraisal)

    def _show_title(self) -> None:
        session = self._session
        name = session.evaluation.title or pages.UNTITLED
        of_file = "" if session.path is None else f" ({session.path.name})"
        reading = " – to read" if session.read_only else ""
        self.setWindowTitle(f"{name}{of_file}[*]{reading} – Evenbarrel")
        self.setWindowModified(session.is_modified)


def _first_reachable(area: QWidget) -> QWidget:
    """Return the first widget inside that the Tab key would reach."""
    for widget in area.findChildren(QWidget):
        reachable = widget.focusPolicy() & Qt.FocusPolicy.TabFocus
        if reachable and widget.isVisible() and widget.isEnabled():
            return widget
    return area
