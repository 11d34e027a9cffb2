"""A grid that is typed into like a spreadsheet: Tab to the next cell, Enter to the one below."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QStyledItemDelegate,
    QTableView,
    QWidget,
)

from evenbarrel.desk.tables.sheet_table import Index

_TABS = (Qt.Key.Key_Tab, Qt.Key.Key_Backtab)


class GridDelegate(QStyledItemDelegate):
    """Edits cells of a grid; Ctrl+Tab in an editor leaves the grid."""

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        """Let Ctrl+Tab take what is typed and leave the table."""
        if (
            isinstance(event, QKeyEvent)
            and isinstance(editor, QWidget)
            and event.type() == QEvent.Type.KeyPress
            and event.key() in _TABS
            and event.modifiers() & Qt.KeyboardModifier.ControlModifier
        ):
            self.close_editor(editor)
            view = self.parent()
            if isinstance(view, GridView):
                view.leave(event.key() == Qt.Key.Key_Tab)
            return True
        return super().eventFilter(editor, event)

    def close_editor(self, editor: QWidget) -> None:
        """Take what an editor holds, and close it."""
        self.commitData.emit(editor)
        self.closeEditor.emit(editor)


class GridView(QTableView):
    """A table that keeps the keyboard: only Ctrl+Tab and F6 lead out of it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setTabKeyNavigation(True)
        self.setItemDelegate(GridDelegate(self))

    def enter(self, index: Index) -> None:
        """Act on Enter where nothing is being typed: go on to the cell below."""
        self.step_down()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes to the cell below; Ctrl+Tab leaves the table."""
        key, held = event.key(), event.modifiers()
        if self.state() == QAbstractItemView.State.EditingState:
            # The editor has had the key already, and closes in its own turn.
            super().keyPressEvent(event)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.enter(self.currentIndex())
        elif held & Qt.KeyboardModifier.ControlModifier and key in _TABS:
            self.leave(key == Qt.Key.Key_Tab)
        else:
            super().keyPressEvent(event)

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Keep the keyboard in the table; Enter leads to the cell below."""
        super().closeEditor(editor, hint)
        # A pick-list's own window may have had the keyboard, so that Qt would not hand it back.
        if self.state() != QAbstractItemView.State.EditingState:
            self.setFocus(Qt.FocusReason.OtherFocusReason)
        if hint == QAbstractItemDelegate.EndEditHint.SubmitModelCache:
            self.step_down()

    def leave(self, forward: bool) -> None:
        """Take the keyboard on to the control after the table, or back to the one before."""
        self.setTabKeyNavigation(False)
        self.focusNextPrevChild(forward)
        self.setTabKeyNavigation(True)

    def step_down(self) -> None:
        """Go to the cell below, if there is one."""
        below = self.currentIndex().siblingAtRow(self.currentIndex().row() + 1)
        if below.isValid():
            self.setCurrentIndex(below)

    def commit(self) -> None:
        """Take what is being typed in a cell."""
        editor = self.indexWidget(self.currentIndex())
        if editor is not None and self.state() == QAbstractItemView.State.EditingState:
            self.commitData(editor)
