"""A sheet as Qt's tables read it."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, Qt
from PySide6.QtGui import QFont

from evenbarrel.appraisal.results import State
from evenbarrel.desk.help.topics import TopicRole
from evenbarrel.desk.style.plain import for_people
from evenbarrel.desk.tables.column_widths import in_two
from evenbarrel.desk.tables.roles import Index, ReferenceRole, StateRole
from evenbarrel.wording.help.glossary import key_of
from evenbarrel.wording.sheets.sheet import Cell, Sheet

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
_SHORT, _LONG = 12, 24
_CENTRE = Qt.AlignmentFlag.AlignCenter
_NARROW, _SMALLER = 8, 1.0
"""Letters that a line of a heading above marks that stand alone may always have, and how much
smaller they are [pt]."""


class SheetModel(QAbstractTableModel):
    """A sheet as Qt reads it; columns are its headings."""

    def __init__(self, sheet: Sheet = _EMPTY, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.sheet = sheet
        self.naming = 0
        """How many leading cells name their row."""
        self.in_two: frozenset[int] = frozenset()
        """Columns whose title stands on two lines."""
        self.marks_alone = False
        """Whether marks stand without their words, below headings in short lines."""

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
            changed = [row for row in rows if look_of(before.rows[row]) != look_of(sheet.rows[row])]
            for first, last in (
                (0, rows.start - 1),
                *((row, row) for row in changed),
                (rows.stop, end - 1),
            ):
                if first <= last:
                    ends = self.index(first, 0), self.index(last, len(sheet.headings) - 1)
                    self.dataChanged.emit(*ends)
            for row in changed:
                if self._named(before, row) != self._named(sheet, row):
                    self.headerDataChanged.emit(Qt.Orientation.Vertical, row, row)
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
            return cell.tip_text() or (cell.text if len(cell.text) > _SHORT else None)
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
            roles = (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole)
            return self._row_name(section) if role in roles else None
        if section >= len(self.sheet.headings):
            return None
        heading = self.sheet.headings[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return self._headed(section)
        if role == Qt.ItemDataRole.FontRole:
            return _smaller() if self.marks_alone else None
        if role == Qt.ItemDataRole.ToolTipRole:
            # A column gives a long heading no more room than this.
            return heading.tip or (heading.title if len(heading.title) > _LONG else None)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _CENTRE if self.marks_alone else _ALIGNMENTS[heading.align]
        return None

    def _headed(self, section: int) -> str:
        heading = self.sheet.headings[section]
        if self.marks_alone:
            words = heading.title.split()
            return "\n".join(wrap(" ".join(words), max(_NARROW, *map(len, words))))
        title = in_two(heading.title) if section in self.in_two else heading.title
        return f"{title}\n{heading.unit}" if heading.unit else title

    def _row_name(self, row: int) -> str | None:
        if not self.naming or row >= len(self.sheet.rows):
            return None
        return self._named(self.sheet, row)

    def _named(self, sheet: Sheet, row: int) -> str:
        return ", ".join(cell.text for cell in sheet.rows[row][: self.naming])


def _smaller() -> QFont:
    font = QFont()
    font.setPointSizeF(font.pointSizeF() - _SMALLER)
    font.setBold(False)
    return font


def look_of(row: Sequence[Cell]) -> list[tuple[str, State | None]]:
    """Return what is painted of a row."""
    return [(cell.text, cell.state) for cell in row]
