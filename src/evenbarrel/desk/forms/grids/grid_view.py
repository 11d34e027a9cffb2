"""A grid that is typed into like a spreadsheet: Tab to the next cell, Enter to the one below."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import (
    QAbstractTableModel,
    QEvent,
    QItemSelection,
    QMimeData,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRect,
    Qt,
    Signal,
)
from PySide6.QtCore import QItemSelectionModel as Selection
from PySide6.QtGui import QAction, QKeyEvent, QKeySequence, QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QLineEdit,
    QStyle,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from evenbarrel.desk.style.plain import on_clipboard, to_clipboard
from evenbarrel.desk.tables.plain_cells import PlainCells
from evenbarrel.desk.tables.roles import Index
from evenbarrel.wording.sentences import blocks

if TYPE_CHECKING:
    from evenbarrel.entry.block import Rows

_TABS = (Qt.Key.Key_Tab, Qt.Key.Key_Backtab)
_CELLS = "application/x-evenbarrel-cells"
"""Cells of a grid of this program without headings: they go where they are put, by place alone."""


@dataclass(frozen=True)
class Area:
    """A block of cells that is marked, first and last row and column."""

    top: int
    left: int
    bottom: int
    right: int

    @property
    def rows(self) -> range:
        """Its rows."""
        return range(self.top, self.bottom + 1)

    @property
    def columns(self) -> range:
        """Its columns."""
        return range(self.left, self.right + 1)


class GridModel(QAbstractTableModel):
    """Entered cells that are copied, put in, filled and cleared as blocks, each in one step."""

    fills = blocks.FILL_DOWN
    """What filling is called: down, or to the right where things stand in columns."""

    def copied(self, area: Area) -> tuple[Rows, Rows]:
        """Return the cells of a block as they read back: with headings, and alone."""
        raise NotImplementedError

    def put_rows(self, rows: Rows, top: int, left: int, named: bool) -> str:
        """Put a block in from that cell on; return what was taken and what was not, in words.

        `named` blocks may bring headings that say which column is which datum.
        """
        raise NotImplementedError

    def fill(self, area: Area) -> str:
        """Give every cell of a block what stands in its first; return what was done."""
        raise NotImplementedError

    def clear_cells(self, area: Area) -> str:
        """Empty the cells of a block; return what was done."""
        raise NotImplementedError

    def begin(self, index: Index, text: str) -> None:
        """Know what is being typed in a cell; nothing is where there is no such cell."""
        raise NotImplementedError


class GridDelegate(PlainCells):
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

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """Return the line for a cell."""
        return self.watched(super().createEditor(parent, option, index), index)

    def watched(self, editor: QWidget, index: Index) -> QWidget:
        """Return an editor of which the table's model knows what is typed in it."""
        view = self.parent()
        if isinstance(editor, QLineEdit) and isinstance(view, GridView):
            editor.textEdited.connect(partial(view.begin, QPersistentModelIndex(index)))
        return editor

    def destroyEditor(self, editor: QWidget, index: Index) -> None:
        """Let the editor go: what was typed in it is taken by now, or given up."""
        view = self.parent()
        if isinstance(view, GridView):
            view.grid.begin(QModelIndex(), "")
        super().destroyEditor(editor, index)

    def close_editor(self, editor: QWidget) -> None:
        """Take what an editor holds, and close it."""
        self.commitData.emit(editor)
        self.closeEditor.emit(editor)


class GridView(QTableView):
    """A table that keeps the keyboard: only Ctrl+Tab and F6 lead out of it."""

    reported = Signal(str)
    """Carries what was taken of a block that was put in, filled or cleared, and what was not."""
    begun = Signal()
    """Something is being typed in a cell, and not left yet."""
    row_wanted = Signal()
    """Something is typed where there is no row yet, or Tab leads on from the last cell of all."""

    grows = False
    """Whether a row is added where one is wanted; else Tab goes round to the first cell."""

    def __init__(self, model: GridModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.grid = model
        # It goes with the view: of a model that Python alone holds, what is connected to it stays.
        model.setParent(self)
        self.setModel(model)
        self.setTabKeyNavigation(True)
        self.setItemDelegate(GridDelegate(self))
        self.setSelectionMode(QAbstractItemView.SelectionMode.ContiguousSelection)
        trigger = QAbstractItemView.EditTrigger
        self.setEditTriggers(trigger.AnyKeyPressed | trigger.EditKeyPressed | trigger.DoubleClicked)
        key = QKeySequence.StandardKey
        self._add(blocks.COPY, self.copy, key.Copy)
        self._add(blocks.PASTE, self.paste, key.Paste)
        self._add(model.fills, self.fill, "Ctrl+D", "Ctrl+R")
        self._add(blocks.CLEAR, self.clear_cells, "Del")
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)

    def begin(self, index: QPersistentModelIndex, text: str) -> None:
        """Let the model know what is being typed in a cell."""
        if index.isValid():
            self.grid.begin(self.model().index(index.row(), index.column()), text)
            self.begun.emit()

    def _add(
        self, text: str, act: Callable[[], None], *keys: QKeySequence.StandardKey | str
    ) -> None:
        action = QAction(text, self)
        action.setShortcuts([QKeySequence(key) for key in keys])
        # While something is typed in a cell these keys are its own.
        action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
        action.triggered.connect(lambda: act())
        self.addAction(action)

    def area(self) -> Area | None:
        """Return the block that is marked, else the cell in focus; None where there is neither."""
        marked = self.selectionModel().selection().toList()
        current = self.currentIndex()
        if not marked:
            if not current.isValid():
                return None
            return Area(current.row(), current.column(), current.row(), current.column())
        return Area(
            min(one.top() for one in marked),
            min(one.left() for one in marked),
            max(one.bottom() for one in marked),
            max(one.right() for one in marked),
        )

    def copy(self) -> None:
        """Copy the marked cells: with headings for others, by place for this program."""
        area = self.area()
        if area is None:
            return
        # Loaded with the first block.
        from evenbarrel.entry.block import joined

        headed, alone = self.grid.copied(area)
        # One value is wanted for itself, without its heading.
        is_one = len(area.rows) == len(area.columns) == 1
        to_clipboard(alone[0][0] if is_one else joined(headed), _CELLS, joined(alone).encode())

    def paste(self) -> None:
        """Put in what is on the clipboard, from the cell in focus on, or say why not."""
        from evenbarrel.entry.block import MOST_CHARACTERS, split

        # A grid without any cell yet takes a block too.
        area = self.area() or Area(0, 0, 0, 0)
        data = on_clipboard()
        own = data.hasFormat(_CELLS)
        text = bytes(data.data(_CELLS).data()).decode() if own else data.text()
        if not own and not (data.hasText() and text.strip()):
            self.reported.emit(_why_nothing(data))
        elif len(text) > MOST_CHARACTERS:
            self.reported.emit(blocks.TOO_LONG)
        else:
            rows = split(text)
            self.reported.emit(self.grid.put_rows(rows, area.top, area.left, named=not own))
            self._mark(area.top, area.left, len(rows), max(len(row) for row in rows))

    def fill(self) -> None:
        """Give the marked cells what stands in the first of them."""
        area = self.area()
        if area is not None:
            self.reported.emit(self.grid.fill(area))

    def clear_cells(self) -> None:
        """Empty the marked cells."""
        area = self.area()
        if area is not None:
            self.reported.emit(self.grid.clear_cells(area))

    def _mark(self, top: int, left: int, rows: int, columns: int) -> None:
        model, selection = self.model(), self.selectionModel()
        first = model.index(top, left)
        last = model.index(
            min(top + rows, model.rowCount()) - 1, min(left + columns, model.columnCount()) - 1
        )
        selection.setCurrentIndex(first, Selection.SelectionFlag.ClearAndSelect)
        block = QItemSelection(first, last)
        selection.select(block, Selection.SelectionFlag.ClearAndSelect)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Show the keyboard at the first cell to come where there is no row yet to type in."""
        super().paintEvent(event)
        if not (self.grows and self.hasFocus()) or self.model().rowCount():
            return
        option, flags = QStyleOptionViewItem(), QStyle.StateFlag
        self.initViewItemOption(option)
        option.state |= flags.State_Selected | flags.State_HasFocus | flags.State_Active
        height = self.verticalHeader().defaultSectionSize()
        # A pixel less, as a cell has: there the lines between cells will run.
        width, left = self.columnWidth(0) - 1, self.columnViewportPosition(0)
        option.rect = QRect(left, 0, width, height - 1)
        painter = QPainter(self.viewport())
        item = QStyle.ControlElement.CE_ItemViewItem
        self.style().drawControl(item, option, painter, self)
        painter.end()

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
            if self.grows and not self.model().rowCount():
                self.row_wanted.emit()
            else:
                self.enter(self.currentIndex())
        elif held & Qt.KeyboardModifier.ControlModifier and key in _TABS:
            self.leave(key == Qt.Key.Key_Tab)
        elif key == Qt.Key.Key_Tab and self._is_last(self.currentIndex()):
            self.row_wanted.emit()
        else:
            if self.grows and not self.model().rowCount() and event.text().strip():
                self.row_wanted.emit()
            super().keyPressEvent(event)

    def _is_last(self, index: Index) -> bool:
        """Say whether a grid that grows has no cell after this one."""
        last = self.model().rowCount() - 1, self.model().columnCount() - 1
        return self.grows and index.isValid() and (index.row(), index.column()) == last

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Keep the keyboard in the table; Enter leads to the cell below."""
        hints = QAbstractItemDelegate.EndEditHint
        at_end = hint == hints.EditNextItem and self._is_last(self.currentIndex())
        super().closeEditor(editor, hints.NoHint if at_end else hint)
        # A pick-list's own window may have had the keyboard, so that Qt would not hand it back.
        if self.state() != QAbstractItemView.State.EditingState:
            self.setFocus(Qt.FocusReason.OtherFocusReason)
        if hint == hints.SubmitModelCache:
            self.step_down()
        if at_end:
            self.row_wanted.emit()

    def leave(self, forward: bool) -> None:
        """Take the keyboard on to the control after the table, or back to the one before."""
        self.setTabKeyNavigation(False)
        self.focusNextPrevChild(forward)
        self.setTabKeyNavigation(True)

    def step_down(self) -> None:
        """Go to the cell below, if there is one."""
        here = self.currentIndex()
        rows = range(here.row() + 1, self.model().rowCount())
        below = next((row for row in rows if not self.isRowHidden(row)), None)
        if below is not None:
            self.setCurrentIndex(here.siblingAtRow(below))

    def abandon(self) -> None:
        """Leave what is being typed in a cell: something else is put there."""
        editor = self.indexWidget(self.currentIndex())
        if editor is not None and self.state() == QAbstractItemView.State.EditingState:
            self.closeEditor(editor, QAbstractItemDelegate.EndEditHint.RevertModelCache)

    def commit(self) -> None:
        """Take what is being typed in a cell."""
        editor = self.indexWidget(self.currentIndex())
        if editor is not None and self.state() == QAbstractItemView.State.EditingState:
            self.commitData(editor)


def _why_nothing(data: QMimeData) -> str:
    if data.hasHtml():
        return blocks.WEB_PAGE
    return blocks.PICTURE if data.hasImage() else blocks.NO_TEXT
