"""A table of entered data that is edited in place, read by the same rules as the forms."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QObject,
    Qt,
    Signal,
)
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from evenbarrel.desk.fields.base import LineEdit, QuietCombo
from evenbarrel.desk.forms.entry_model import EntryModel, ShapeRole
from evenbarrel.desk.tables.sheet_table import Index, ReferenceRole
from evenbarrel.entry.shapes import Shape
from evenbarrel.wording.sentences import pages

_TABS = (Qt.Key.Key_Tab, Qt.Key.Key_Backtab)
_PADDING = 8


class EntryDelegate(QStyledItemDelegate):
    """Edits a cell in a line, or in a choice where the list is closed."""

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """Return the editor for a cell."""
        shape: Shape = index.data(ShapeRole)
        if shape.kind not in ("choice", "resin"):
            line = LineEdit(parent)
            line.setAccessibleName(shape.datum.label)
            return line
        combo = QuietCombo(parent)
        combo.setAccessibleName(shape.datum.label)
        combo.addItem(pages.NOT_STATED)
        model = index.model()
        if isinstance(model, EntryModel):
            combo.addItems(model.choices(shape))
        combo.activated.connect(lambda _: self._close(combo))
        return combo

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Show the cell's text in its editor."""
        text = index.data(Qt.ItemDataRole.EditRole)
        if isinstance(editor, QuietCombo):
            editor.setCurrentIndex(max(0, editor.findText(text)))
        elif isinstance(editor, LineEdit):
            editor.setText(text)
            editor.selectAll()

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        """Hand the typed text over."""
        if isinstance(editor, QuietCombo):
            model.setData(index, editor.currentText() if editor.currentIndex() else "")
        elif isinstance(editor, LineEdit):
            model.setData(index, editor.text())

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        """Let Ctrl+Tab take what is typed and leave the table."""
        if (
            isinstance(event, QKeyEvent)
            and isinstance(editor, QWidget)
            and event.type() == QEvent.Type.KeyPress
            and event.key() in _TABS
            and event.modifiers() & Qt.KeyboardModifier.ControlModifier
        ):
            self._close(editor)
            view = self.parent()
            if isinstance(view, EntryView):
                view.leave(event.key() == Qt.Key.Key_Tab)
            return True
        return super().eventFilter(editor, event)

    def _close(self, editor: QWidget) -> None:
        self.commitData.emit(editor)
        self.closeEditor.emit(editor)


class EntryView(QTableView):
    """Shows an EntryModel; typing edits, Enter on a computed number opens it."""

    opened = Signal(tuple)
    """Carries the Reference of the computed number a person opened."""

    def __init__(self, model: EntryModel, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.entries = model
        self._widths: tuple[int, ...] = ()
        self._growing = 0
        self.setModel(model)
        model.modelReset.connect(self._grow)
        self.setItemDelegate(EntryDelegate(self))
        trigger = QAbstractItemView.EditTrigger
        self.setEditTriggers(trigger.AnyKeyPressed | trigger.EditKeyPressed | trigger.DoubleClicked)
        self.setAlternatingRowColors(True)
        # Tab goes to the next cell, Enter to the one below; Ctrl+Tab and F6 lead out.
        self.setTabKeyNavigation(True)
        self.setWordWrap(False)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.horizontalHeader().setSectionsClickable(False)
        self.horizontalHeader().setHighlightSections(False)
        self.verticalHeader().setSectionsClickable(False)
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.clicked.connect(self._open)

    def share_out(self, widths: Sequence[int], growing: int) -> None:
        """Give each column its width; the first `growing` ones grow to their text if they can."""
        self._widths, self._growing = tuple(widths), growing
        for column, width in enumerate(widths):
            self.setColumnWidth(column, width)
        self._grow()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share out again what is free beyond the columns."""
        super().resizeEvent(event)
        self._grow()

    def _grow(self) -> None:
        free = self.viewport().width() - sum(self._widths)
        for column in range(self._growing):
            width = self._widths[column]
            more = max(0, min(free, self.sizeHintForColumn(column) + _PADDING - width))
            self.setColumnWidth(column, width + more)
            free -= more

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes to the cell below, or opens a computed number; Ctrl+Tab leaves the table."""
        key, held = event.key(), event.modifiers()
        if self.state() == QAbstractItemView.State.EditingState:
            # The editor has had the key already, and closes in its own turn.
            super().keyPressEvent(event)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.currentIndex().data(ReferenceRole) is None:
                self._step_down()
            else:
                self._open(self.currentIndex())
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
            self._step_down()

    def leave(self, forward: bool) -> None:
        """Take the keyboard on to the control after the table, or back to the one before."""
        self.setTabKeyNavigation(False)
        self.focusNextPrevChild(forward)
        self.setTabKeyNavigation(True)

    def _step_down(self) -> None:
        below = self.currentIndex().siblingAtRow(self.currentIndex().row() + 1)
        if below.isValid():
            self.setCurrentIndex(below)

    def commit(self) -> None:
        """Take what is being typed in a cell."""
        editor = self.indexWidget(self.currentIndex())
        if editor is not None and self.state() == QAbstractItemView.State.EditingState:
            self.commitData(editor)

    def _open(self, index: Index) -> None:
        reference = index.data(ReferenceRole) if index.isValid() else None
        if reference is not None:
            self.opened.emit(reference)
