"""Read-only tables over one sheet: the same that the PDF and the workbook print."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QFont, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QTableView,
    QWidget,
)

from evenbarrel.appraisal.results import State
from evenbarrel.desk.help.topics import TopicRole
from evenbarrel.desk.style.plain import for_people, to_clipboard
from evenbarrel.desk.style.state_marks import MARK_SIZE
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.desk.tables.broken_cells import Lines, broken_cells
from evenbarrel.desk.tables.plain_cells import BESIDE
from evenbarrel.desk.tables.state_cells import MARK_GAP, StateDelegate
from evenbarrel.wording.help.glossary import key_of
from evenbarrel.wording.sheets.sheet import Cell, Sheet
from evenbarrel.wording.words.visible import visible

Index = QModelIndex | QPersistentModelIndex

StateRole = Qt.ItemDataRole.UserRole + 1
"""The State of a cell, or None."""
ReferenceRole = Qt.ItemDataRole.UserRole + 2
"""What a cell opens, or None."""
_ROLES = frozenset(
    (
        Qt.ItemDataRole.DisplayRole,
        Qt.ItemDataRole.ToolTipRole,
        Qt.ItemDataRole.TextAlignmentRole,
        StateRole,
        ReferenceRole,
        TopicRole,
    )
)
"""What is told of a cell."""

_EMPTY = Sheet("", "", (), ())
_MIDDLE = Qt.AlignmentFlag.AlignVCenter
_ALIGNMENTS = {
    "left": Qt.AlignmentFlag.AlignLeft | _MIDDLE,
    "right": Qt.AlignmentFlag.AlignRight | _MIDDLE,
    # On paper a mark stands above its word, here before it: both begin at the left.
    "centre": Qt.AlignmentFlag.AlignLeft | _MIDDLE,
}
_WIDEST_NAMES = 320
_NARROWED, _SCROLLED, _LONGEST_HEADING = 136, 240, 208
"""How far a column of words gives way so that all columns are seen, and how far where they have to
be scrolled all the same; but its heading stays whole."""
_PADDING = 10
_ROW_AIR = 6
_SHORT, _LONG = 12, 24
_ROWS_MEASURED = 60
"""How many rows decide how wide a column is."""
_ROWS_SEEN = 6
"""A table in which fewer than so many rows are seen is low."""


class SheetModel(QAbstractTableModel):
    """A sheet as Qt reads it; columns are its headings."""

    def __init__(self, sheet: Sheet = _EMPTY, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.sheet = sheet
        self.naming = 0
        """How many leading cells name their row."""

    def set_sheet(self, sheet: Sheet, in_sight: range = range(0)) -> None:
        """Show another sheet; one of the same shape keeps selection and scrolling.

        Rows `in_sight` that look as before are not painted anew; others are not made to find out.
        """
        same_shape = sheet.headings == self.sheet.headings and len(sheet.rows) == len(
            self.sheet.rows
        )
        if same_shape:
            before, self.sheet = self.sheet, sheet
            end, rows = len(sheet.rows), in_sight
            changed = [row for row in rows if _look(before.rows[row]) != _look(sheet.rows[row])]
            for first, last in (
                (0, rows.start - 1),
                *((row, row) for row in changed),
                (rows.stop, end - 1),
            ):
                if first <= last:
                    ends = self.index(first, 0), self.index(last, len(sheet.headings) - 1)
                    self.dataChanged.emit(*ends)
            return
        self.beginResetModel()
        self.sheet = sheet
        self.endResetModel()

    def cell(self, index: Index) -> Cell:
        """Return the cell at a valid index."""
        return self.sheet.rows[index.row()][index.column()]

    def alignment(self, column: int) -> Qt.AlignmentFlag:
        """Return how the cells of a column lie."""
        return _ALIGNMENTS[self.sheet.headings[column].align]

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many rows the sheet has."""
        return 0 if parent.isValid() else len(self.sheet.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many headings the sheet has."""
        return 0 if parent.isValid() else len(self.sheet.headings)

    @for_people
    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return text, tip, alignment, state or reference of a cell."""
        # What Qt asks of every cell it paints, and no cell of a sheet has: fonts, colours, checks.
        if role not in _ROLES or not index.isValid():
            return None
        cell = self.cell(index)
        if role == Qt.ItemDataRole.DisplayRole:
            return cell.text
        if role == Qt.ItemDataRole.ToolTipRole:
            # A column that gave way shows no more than this of a text.
            return cell.told() or (cell.text if len(cell.text) > _SHORT else None)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return self.alignment(index.column())
        if role == StateRole:
            return cell.state
        if role == ReferenceRole:
            return cell.reference
        if role == TopicRole:
            return None if cell.reference is None else key_of(cell.reference)
        return None

    @for_people
    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a heading with its unit below, and its tip; a row is called by its first cells."""
        if orientation == Qt.Orientation.Vertical:
            return self._row_name(section) if role == Qt.ItemDataRole.DisplayRole else None
        if section >= len(self.sheet.headings):
            return None
        heading = self.sheet.headings[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return f"{heading.title}\n{heading.unit}" if heading.unit else heading.title
        if role == Qt.ItemDataRole.ToolTipRole:
            # A column gives a long heading no more room than this.
            return heading.tip or (heading.title if len(heading.title) > _LONG else None)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _ALIGNMENTS[heading.align]
        return None

    def _row_name(self, row: int) -> str | None:
        if not self.naming or row >= len(self.sheet.rows):
            return None
        return ", ".join(cell.text for cell in self.sheet.rows[row][: self.naming])


class SheetView(QTableView):
    """Shows a sheet; a click or Enter on a number opens it, Ctrl+C copies the selection."""

    opened = Signal(object)
    """Carries the Reference of the cell a person opened."""
    rows_fitted = Signal()
    """The rows take another height than before."""

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.sheet_model = SheetModel(parent=self)
        self._wanted: tuple[int, ...] = ()
        self._headings: tuple[int, ...] = ()
        self._lines: dict[tuple[int, int], Lines] = {}
        self._spared: int | None = None
        self._is_broken = True
        self._fitted: object | None = None
        """What the columns were fitted to."""
        self.setModel(self.sheet_model)
        self.setItemDelegate(StateDelegate(theme, self))
        theme.changed.connect(self.viewport().update)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setAlternatingRowColors(True)
        self.setTabKeyNavigation(False)
        self.setWordWrap(False)
        self.verticalHeader().hide()
        # Rows are as high as one line and its mark, those of texts that are broken set higher.
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.verticalHeader().setDefaultSectionSize(
            max(MARK_SIZE, self.fontMetrics().height()) + _ROW_AIR
        )
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        header.setResizeContentsPrecision(_ROWS_MEASURED)
        header.setSectionsClickable(False)
        font = QFont(header.font())
        font.setBold(True)
        header.setFont(font)
        self.clicked.connect(self._open)

    def keep_in_sight(self, columns: int) -> None:
        """Let the leading columns name the rows at the left edge, whatever is scrolled."""
        self.sheet_model.naming = columns
        header = self.verticalHeader()
        header.setVisible(columns > 0)
        # A name may be of any length: the numbers beside it must stay in sight.
        header.setMaximumWidth(_WIDEST_NAMES)
        header.setTextElideMode(Qt.TextElideMode.ElideRight)
        header.setSectionsClickable(False)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)

    def spare(self, column: int) -> None:
        """Leave a column out where there is no room for all: the others tell as much."""
        self._spared = column

    def keep_rows_low(self) -> None:
        """Leave each row one line, cut: what one says is told in full beside, rows count more."""
        self._is_broken = False

    def set_sheet(self, sheet: Sheet) -> None:
        """Show a sheet; columns are fitted where its shape is another."""
        before = self.sheet_model.sheet
        self.sheet_model.set_sheet(sheet, self._rows_in_sight())
        # An empty table was fitted to its headings alone.
        if before.headings != sheet.headings or not before.rows:
            self.fit_columns()
        else:
            self._fit_rows()

    def lines_at(self, index: Index) -> Lines:
        """Return the lines in which the text of a cell stands."""
        lines = self._lines.get((index.row(), index.column()))
        return (self.sheet_model.cell(index).text,) if lines is None else lines

    def _rows_in_sight(self) -> range:
        first, last = self.rowAt(0), self.rowAt(self.viewport().height() - 1)
        if first < 0 or not self.isVisible():
            return range(0)
        return range(first, 1 + last if last >= 0 else self.sheet_model.rowCount())

    def fit_columns(self) -> None:
        """Make every column as wide as its text, if all have room; the last takes what is left."""
        told = self._measured()
        if told is not None and told == self._fitted:
            return
        self._fitted = told
        self.resizeColumnsToContents()
        self._wanted = tuple(
            self.columnWidth(column) + _PADDING for column in range(self.sheet_model.columnCount())
        )
        header = self.horizontalHeader()
        self._headings = tuple(
            min(header.sectionSizeHint(column), _LONGEST_HEADING)
            for column in range(len(self._wanted))
        )
        for column in range(len(self._wanted)):
            self.setColumnHidden(column, column < self.sheet_model.naming)
        self._share_out()

    def _measured(self) -> object | None:
        """Return what the widths hang on, None where not all rows are measured."""
        sheet = self.sheet_model.sheet
        if len(sheet.rows) > _ROWS_MEASURED:
            return None
        rows = [_look(row) for row in sheet.rows]
        return sheet.headings, self.sheet_model.naming, QFont(self.font()), rows

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the width out again."""
        super().resizeEvent(event)
        self._share_out()

    def _share_out(self) -> None:
        """Give each column what it wants; where that is too much, wide ones give way alike.

        The last takes what is left over. Texts that lack room go on in lines below.
        """
        columns = [*range(self.sheet_model.naming, len(self._wanted))]
        room = self.viewport().width()
        if self._spared is not None and self._spared in columns:
            tight = sum(self._wanted) > room
            self.setColumnHidden(self._spared, tight)
            if tight:
                columns.remove(self._spared)
        widest = max(_NARROWED, min(room, max((self._wanted[c] for c in columns), default=0)))
        while widest > _NARROWED and sum(self._given(c, widest) for c in columns) > room:
            widest = max(_NARROWED, widest - GRID)
        if sum(self._given(c, widest) for c in columns) > room:
            widest = _SCROLLED
        for column in columns:
            self.setColumnWidth(column, self._given(column, widest))
        if columns:
            last = columns[-1]
            free = room - sum(self.columnWidth(column) for column in columns[:-1])
            self.setColumnWidth(last, max(self.columnWidth(last), free))
        self._fit_rows()

    def _fit_rows(self) -> None:
        """Make each row as high as its lines.

        In a low table rows count more, and in one that scrolls sideways a row would be high for
        what is out of sight: each row has one line there.
        """
        sheet, metrics = self.sheet_model.sheet, self.fontMetrics()
        usual, rooms = self.verticalHeader().defaultSectionSize(), {}
        is_low = self.viewport().height() < min(len(sheet.rows), _ROWS_SEEN) * usual
        scrolls = self.horizontalHeader().length() > self.viewport().width()
        is_broken = self._is_broken and not is_low and not scrolls
        if is_broken and len(sheet.rows) <= _ROWS_MEASURED:
            for column in range(self.sheet_model.naming, len(self._wanted)):
                width = self.columnWidth(column)
                if 0 < width < self._wanted[column]:
                    rooms[column] = width - 1 - 2 * BESIDE
        beside_mark = MARK_SIZE + 3 * MARK_GAP - 2 * BESIDE
        before, self._lines = self._lines, broken_cells(sheet, rooms, beside_mark, metrics)
        if before == self._lines:
            return
        most: dict[int, int] = {}
        for (row, _), lines in self._lines.items():
            most[row] = max(most.get(row, 1), len(lines))
        for row in range(len(sheet.rows)):
            further = (most.get(row, 1) - 1) * metrics.lineSpacing()
            self.setRowHeight(row, usual + further)
        self.rows_fitted.emit()

    def _given(self, column: int, widest: int) -> int:
        return max(self._headings[column], min(self._wanted[column], widest))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open on Enter, copy on Ctrl+C."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._open(self.currentIndex())
        elif event.matches(QKeySequence.StandardKey.Copy):
            to_clipboard(self.selected_text())
        else:
            super().keyPressEvent(event)

    def selected_text(self) -> str:
        """Return the selected cells as tab-separated rows."""
        cells = {(i.row(), i.column()): self.sheet_model.cell(i) for i in self.selectedIndexes()}
        rows = sorted({row for row, _ in cells})
        columns = sorted({column for _, column in cells})
        return "\n".join(
            "\t".join(
                _on_one_line(cells[row, c].text) if (row, c) in cells else "" for c in columns
            )
            for row in rows
        )

    def whole_text(self) -> str:
        """Return the whole table as tab-separated rows below its headings with their units."""
        sheet = self.sheet_model.sheet
        heads = [f"{h.title} [{h.unit}]" if h.unit else h.title for h in sheet.headings]
        lines = [heads, *([cell.text for cell in row] for row in sheet.rows)]
        return "\n".join("\t".join(_on_one_line(text) for text in line) for line in lines)

    def _open(self, index: Index) -> None:
        reference = index.data(ReferenceRole) if index.isValid() else None
        if reference is not None:
            self.opened.emit(reference)


def _look(row: Sequence[Cell]) -> list[tuple[str, State | None]]:
    """Return what is painted of a row."""
    return [(cell.text, cell.state) for cell in row]


def _on_one_line(text: str) -> str:
    return " ".join(visible(text).split())
