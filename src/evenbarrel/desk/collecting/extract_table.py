"""The lines of an extract as a table: ticked by Space, many at once where many are marked."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QItemSelectionModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QTableView, QWidget

from evenbarrel.desk.style.plain import for_people, to_clipboard
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.desk.tables.fitting import only_to_look_at
from evenbarrel.desk.tables.roles import Index
from evenbarrel.desk.tables.ticks import Ticks
from evenbarrel.intake.accepting.ticks import may_be_ticked
from evenbarrel.intake.extract import Extract
from evenbarrel.intake.in_words import WordedLine, is_measured
from evenbarrel.wording.sentences.asking import collecting as words
from evenbarrel.wording.sentences.asking import extracts

TICK, PLACE, FOUND, DATUM, SCREW, VALUE, NOW, WHY = range(8)
_WIDEST, _LEAST_WHY = 176, 160
_ROWS_MEASURED = 60


class ExtractModel(QAbstractTableModel):
    """Emits `ticks_wanted` when a person ticks; what is ticked is shown, never kept, here."""

    ticks_wanted = Signal(object, bool)
    """Carries places of lines in the extract, and whether they are to be taken."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._extract: Extract | None = None
        self._worded: Sequence[WordedLine] = ()
        self._ticked: frozenset[int] = frozenset()
        self.shown: tuple[int, ...] = ()

    def show_lines(
        self,
        extract: Extract | None,
        worded: Sequence[WordedLine],
        ticked: frozenset[int],
        shown: Sequence[int],
    ) -> None:
        """Show those lines of an extract that stand at the places `shown`."""
        same = self.shown == tuple(shown)
        if not same:
            self.beginResetModel()
        self._extract, self._worded, self._ticked = extract, worded, ticked
        self.shown = tuple(shown)
        if not same:
            self.endResetModel()
        elif self.shown:
            last = self.index(len(self.shown) - 1, WHY)
            self.dataChanged.emit(self.index(0, 0), last)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many lines are shown."""
        return 0 if parent.isValid() else len(self.shown)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(words.COLUMNS)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return that lines with a value are ticked."""
        flags = super().flags(index)
        if self._extract is None or not index.isValid() or index.column() != TICK:
            return flags
        ticks = may_be_ticked(self._extract.lines[self.shown[index.row()]])
        return flags | Qt.ItemFlag.ItemIsUserCheckable if ticks else flags

    @for_people
    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return text, tick, tip, colour or reading aloud of a cell."""
        if not index.isValid() or self._extract is None:
            return None
        place = self.shown[index.row()]
        line, worded = self._extract.lines[place], self._worded[place]
        if role == Qt.ItemDataRole.CheckStateRole and index.column() == TICK:
            if not may_be_ticked(line):
                return None
            return Qt.CheckState.Checked if place in self._ticked else Qt.CheckState.Unchecked
        if role == Qt.ItemDataRole.AccessibleTextRole and index.column() == TICK:
            return words.row_name(worded.datum, worded.screw, worded.value or worded.found)
        text = self._texts(worded, line.sure)[index.column()]
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return text or None
        if role == Qt.ItemDataRole.ForegroundRole:
            colours = self._theme.colours
            if not may_be_ticked(line):
                return QColor(colours.faint_text)
            doubted = index.column() == WHY and not line.sure
            return QColor(colours.warning) if doubted else None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            right = index.column() in (VALUE, NOW) and is_measured(line)
            flag = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
            return flag | Qt.AlignmentFlag.AlignVCenter
        return None

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Ask for a line to be ticked, or no longer."""
        if role != Qt.ItemDataRole.CheckStateRole or not index.isValid():
            return False
        on = Qt.CheckState(value) == Qt.CheckState.Checked
        self.ticks_wanted.emit((self.shown[index.row()],), on)
        return True

    @for_people
    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return what a column is called."""
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return words.COLUMNS[section]
        return None

    @property
    def anything_stands(self) -> bool:
        """Whether there is already a value where a line goes."""
        lines = () if self._extract is None else self._extract.lines
        return any(line.now not in (None, "", ()) for line in lines)

    def is_ticked(self, place: int) -> bool:
        """Say whether the line at that place of the extract is ticked."""
        return place in self._ticked

    def _texts(self, one: WordedLine, sure: bool) -> tuple[str, ...]:
        why = f"{extracts.MARKS[sure]}: {one.why}"
        screw = one.screw or ("" if one.datum == "?" else words.OF_THE_OFFER)
        datum = words.NO_DATUM if one.datum == "?" else one.datum
        return "", one.place, one.found, datum, screw, one.value, one.now, why


class ExtractTable(QTableView):
    """Space ticks what is marked, Enter goes on to put the line right, Ctrl+C copies the lines."""

    correct_wanted = Signal()
    moved = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.lines = ExtractModel(theme, self)
        self.setModel(self.lines)
        self.setItemDelegateForColumn(TICK, Ticks(self))
        self.setAccessibleName("What was read, line by line")
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        only_to_look_at(self, self.fontMetrics().height() + GRID)
        header = self.horizontalHeader()
        header.setResizeContentsPrecision(_ROWS_MEASURED)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        theme.changed.connect(self.viewport().update)
        self.selectionModel().currentRowChanged.connect(lambda *_: self.moved.emit())
        self.doubleClicked.connect(lambda _: self.correct_wanted.emit())

    def fit_columns(self) -> None:
        """Make columns as wide as their texts; the widest give way until why has room."""
        # Of a new offer nothing stands yet.
        self.setColumnHidden(NOW, not self.lines.anything_stands)
        self.resizeColumnsToContents()
        wanted = [self.columnWidth(column) for column in range(WHY)]
        room, widest = self.viewport().width() - _LEAST_WHY, _WIDEST
        while widest > 8 * GRID and sum(_within(widest, wanted)) > room:
            widest -= GRID
        widths = _within(widest, wanted)
        for column, width in enumerate(widths):
            self.setColumnWidth(column, width)
        self.setColumnWidth(WHY, max(_LEAST_WHY, self.viewport().width() - sum(widths)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the columns to the new width."""
        super().resizeEvent(event)
        if event.oldSize().width() != event.size().width():
            self.fit_columns()

    def current_line(self) -> int | None:
        """Return the place in the extract of the line in focus, None where there is none."""
        row = self.currentIndex().row()
        return self.lines.shown[row] if 0 <= row < len(self.lines.shown) else None

    def marked_lines(self) -> tuple[int, ...]:
        """Return the places in the extract of the lines that are marked, else of that in focus."""
        rows = sorted({index.row() for index in self.selectionModel().selectedRows()})
        if rows:
            return tuple(self.lines.shown[row] for row in rows)
        current = self.current_line()
        return () if current is None else (current,)

    def selectRow(self, row: int) -> None:
        """Choose one line alone, though the keys that led here may still be held."""
        how = QItemSelectionModel.SelectionFlag
        index = self.lines.index(row, max(0, self.currentIndex().column()))
        self.selectionModel().setCurrentIndex(index, how.ClearAndSelect | how.Rows)

    def step_down(self) -> None:
        """Go to the line below, where there is one."""
        row = self.currentIndex().row() + 1
        if 0 < row < len(self.lines.shown):
            self.selectRow(row)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Tick by Space, go on by Enter, copy by Ctrl+C."""
        if event.key() == Qt.Key.Key_Space:
            marked = self.marked_lines()
            on = any(not self.lines.is_ticked(place) for place in marked)
            self.lines.ticks_wanted.emit(marked, on)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.correct_wanted.emit()
        elif event.matches(QKeySequence.StandardKey.Copy):
            to_clipboard(self.marked_text())
        else:
            super().keyPressEvent(event)

    def marked_text(self) -> str:
        """Return the marked lines as tab-separated rows with their headings."""
        columns = range(PLACE, WHY + 1)
        rows = [index.row() for index in self.selectionModel().selectedRows()]
        texts = [
            [str(self.lines.index(row, c).data() or "") for c in columns] for row in sorted(rows)
        ]
        table = [[words.COLUMNS[c] for c in columns], *texts]
        return "\n".join("\t".join(row) for row in table)


def _within(widest: int, wanted: Sequence[int]) -> list[int]:
    """Return the widths of columns where they must be narrow: what it is is told longest."""
    return [
        min(width, 2 * widest if column == DATUM else widest) for column, width in enumerate(wanted)
    ]
