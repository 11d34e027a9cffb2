"""A person at the real window: keys, clicks and typed text, and answers to the system's dialogs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PySide6.QtCore import QAbstractItemModel, QAbstractListModel, QModelIndex, QPoint, Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QTabWidget,
    QTreeWidget,
    QTreeWidgetItemIterator,
    QWidget,
)

from evenbarrel.appraisal.references import Reference
from evenbarrel.desk.forms.decision_forms import AskDialog
from evenbarrel.desk.forms.grids.grid_view import GridView
from evenbarrel.desk.pages.all_pages import PAGES
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session

CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
ALT = Qt.KeyboardModifier.AltModifier
_NONE = Qt.KeyboardModifier.NoModifier
_MOST_TABS = 400


@dataclass
class FileAnswers:
    """What the person answers the system's dialogs with."""

    to_open: Path | None = None
    to_write: Path | None = None


@dataclass
class Person:
    """Acts on one window of the program, the way a hand on keyboard and mouse does."""

    qtbot: Any
    session: Session
    window: MainWindow
    files: FileAnswers

    @property
    def page(self) -> Any:
        """The page in front of the person."""
        return self.window.page

    def come_to_front(self) -> None:
        """Take up the window, as a window manager does once a menu or a dialog is closed."""
        self.window.activateWindow()
        self.wait(self.window.isActiveWindow)

    def focus(self) -> QWidget:
        """Return what the keyboard is in."""
        return QApplication.focusWidget() or self.window

    def key(self, key: Qt.Key, modifiers: Qt.KeyboardModifier = _NONE) -> None:
        self.qtbot.keyClick(self.focus(), key, modifiers)
        # No hand is faster than what the program has put off to the next turn of its loop.
        QApplication.processEvents()

    def tab(self) -> None:
        """Go on to the next control; by Ctrl+Tab out of a grid, where Tab goes to the next cell."""
        widget: QWidget | None = self.focus()
        while widget is not None and not isinstance(widget, GridView):
            widget = widget.parentWidget()
        self.key(Qt.Key.Key_Tab, _NONE if widget is None else CTRL)

    def type(self, text: str) -> None:
        """Type text, each letter into what has the keyboard by then."""
        for letter in text:
            self.qtbot.keyClicks(self.focus(), letter)

    def type_over(self, text: str) -> None:
        """Type over what stands in the line, and leave it by Tab."""
        line = self.focus()
        assert isinstance(line, QLineEdit), line
        self.key(Qt.Key.Key_A, CTRL)
        self.type(text)
        self.key(Qt.Key.Key_Tab)

    def go_to(self, page: str) -> None:
        """Go to a page by its keys."""
        self.key(Qt.Key(Qt.Key.Key_1 + [entry.title for entry in PAGES].index(page)), ALT)

    def tab_to(self, name: str) -> None:
        """Press Tab until the keyboard is in what has that accessible name."""
        for _ in range(_MOST_TABS):
            if self.focus().accessibleName() == name:
                return
            self.tab()
        raise AssertionError(f"Tab never reaches {name!r}")

    def pick(self, combo: QComboBox, text: str) -> None:
        """Choose a line of a combo box by Home and Down."""
        combo.setFocus()
        self.qtbot.keyClick(combo, Qt.Key.Key_Home)
        for _ in range(combo.count()):
            if combo.currentText().startswith(text):
                return
            self.qtbot.keyClick(combo, Qt.Key.Key_Down)
        raise AssertionError(f"{combo.accessibleName()} does not offer {text!r}")

    def click(self, widget: QWidget, at: QPoint | None = None) -> None:
        assert widget.isVisible(), widget
        assert widget.isEnabled(), widget
        self.qtbot.mouseClick(widget, Qt.MouseButton.LeftButton, pos=at or widget.rect().center())
        QApplication.processEvents()

    def click_cell(self, view: QAbstractItemView, index: QModelIndex) -> None:
        view.scrollTo(index)
        self.click(view.viewport(), view.visualRect(index).center())

    def click_tab(self, tabs: QTabWidget, title: str) -> None:
        place = [tabs.tabText(n) for n in range(tabs.count())].index(title)
        self.click(tabs.tabBar(), tabs.tabBar().tabRect(place).center())

    def step_to(self, title: str) -> None:
        """Click a step of the Decision page."""
        steps = self.page.steps.list
        place = [steps.item(n).text() for n in range(steps.count())].index(title)
        self.click(steps.viewport(), steps.visualItemRect(steps.item(place)).center())

    def menu(self, title: str, entry: str) -> None:
        """Click a menu and then its entry."""
        bar = self.window.menuBar()
        head = next(a for a in bar.actions() if a.text().replace("&", "") == title)
        self.click(bar, bar.actionGeometry(head).center())
        menu = head.menu()
        chosen = next(a for a in menu.actions() if a.text().replace("&", "").startswith(entry))
        self.click(menu, menu.actionGeometry(chosen).center())
        self.come_to_front()

    def answer(self, **texts: str) -> None:
        """Fill the small dialog that is open, field by field, and press Enter."""
        dialog = next(d for d in self.window.findChildren(AskDialog) if d.isVisible())
        for name, text in texts.items():
            field: Any = dialog.fields[name]
            if hasattr(field, "combo"):
                self.pick(field.combo, text)
            else:
                field.line.setFocus()
                self.qtbot.keyClicks(field.line, text)
        self.qtbot.keyClick(dialog, Qt.Key.Key_Return)
        self.come_to_front()

    def undo(self) -> None:
        self.key(Qt.Key.Key_Z, CTRL)

    def wait(self, until: Callable[[], bool]) -> None:
        self.qtbot.waitUntil(until)


def rows(view: SheetView) -> list[list[str]]:
    """Every cell of a sheet that is shown, as text."""
    return [[cell.text for cell in row] for row in view.sheet_model.sheet.rows]


def headings(view: SheetView) -> list[str]:
    """The headings of a sheet that is shown, on one line each."""
    return [" ".join(h.title.split()) for h in view.sheet_model.sheet.headings]


def cell_of(view: SheetView, reference: Reference) -> QModelIndex:
    """The cell of a sheet that opens that reference."""
    for row, cells in enumerate(view.sheet_model.sheet.rows):
        for column, cell in enumerate(cells):
            if cell.reference == reference:
                return view.sheet_model.index(row, column)
    raise KeyError(reference)


def lines(tree: QTreeWidget) -> list[str]:
    """Every line of a tree."""
    found, iterator = [], QTreeWidgetItemIterator(tree)
    while iterator.value() is not None:
        item = iterator.value()
        # What stands below an item's first line is read aloud with it.
        found.append(item.data(0, Qt.ItemDataRole.AccessibleTextRole) or item.text(0))
        iterator += 1
    return found


def seen(top: QWidget) -> str:
    """All words and numbers that stand on a page: labels, lines, tables, trees."""
    found: list[str] = []
    for widget in top.findChildren(QWidget):
        if not widget.isVisible():
            continue
        if isinstance(widget, QLabel | QLineEdit):
            found.append(widget.text())
        elif isinstance(widget, QTreeWidget):
            found += lines(widget)
        elif isinstance(widget, QAbstractItemView) and widget.model() is not None:
            found += _of_model(widget.model())
    return "\n".join(found)


def _of_model(model: QAbstractItemModel) -> list[str]:
    # A list has one column, and does not say so.
    across = range(1 if isinstance(model, QAbstractListModel) else model.columnCount())
    down = range(model.rowCount())
    heads = [model.headerData(column, Qt.Orientation.Horizontal) for column in across]
    cells = [model.index(row, column).data() for row in down for column in across]
    return [str(text) for text in (*heads, *cells)]
