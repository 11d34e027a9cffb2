"""An offer beside the one it replaces: numbers, verdicts and price that differ."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QStackedWidget,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.help.topics import explain
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, Theme, faint, heading
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.wording.sentences.asking import collecting as words

if TYPE_CHECKING:
    from evenbarrel.decision.revision import Revision

_KEYS = ("numbers", "verdicts", "prices")


class RevisionView(QWidget):
    """Three sheets behind tabs; each says in its tab how much of it changed."""

    closed = Signal()
    opened = Signal(object)
    """Carries the Reference of a number a person opened."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.title = heading("", 2.0)
        self.unpaired = faint(Label())
        self.unpaired.setWordWrap(True)
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        for tabs in (self.tabs, self.tabs.tabBar()):
            tabs.setAccessibleName(words.WHAT_CHANGED)
        self.sheets = {key: SheetView(theme, words.REVISION_SHEETS[key]) for key in _KEYS}
        self._stacks: list[QStackedWidget] = []
        self._nothing: list[Label] = []
        for view in self.sheets.values():
            view.opened.connect(self.opened)
            stack, nothing = QStackedWidget(), Label()
            nothing.setMargin(2 * GRID)
            stack.addWidget(view)
            stack.addWidget(nothing)
            self.tabs.addTab(stack, "")
            self._stacks.append(stack)
            self._nothing.append(nothing)
        self.back = QPushButton(words.BACK_TO_OFFERS)
        self.back.setAutoDefault(True)
        self.back.clicked.connect(self.closed)
        explain(self, "place.revisions")
        top = QHBoxLayout()
        top.addWidget(self.title, 1)
        top.addWidget(self.back)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, GRID, GRID)
        nest(column, top)
        column.addWidget(self.unpaired)
        column.addWidget(self.tabs, 1)

    def show_revision(self, revision: Revision) -> None:
        """Show an offer beside the one before."""
        from evenbarrel.wording.sheets import revisions

        self.title.setText(revisions.revision_title(revision))
        self.unpaired.setText(revisions.unpaired_line(revision))
        self.unpaired.setVisible(bool(self.unpaired.text()))
        for place, sheet in enumerate(revisions.revision_sheets(revision)):
            self.sheets[sheet.key].set_sheet(sheet)
            self.sheets[sheet.key].fit_columns()
            self.tabs.setTabText(place, revisions.tab_title(sheet, revision))
            self._nothing[place].setText(revisions.NONE_CHANGED[sheet.key])
            self._stacks[place].setCurrentIndex(0 if sheet.rows else 1)
