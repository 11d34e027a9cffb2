"""The board as Qt reads it: barrels down; a name, a ruler and one column for each job across."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from operator import itemgetter
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from evenbarrel.appraisal.references import CriterionRef, Reference
from evenbarrel.desk.help.topics import TopicRole
from evenbarrel.desk.style.plain import for_people
from evenbarrel.desk.tables.roles import ReferenceRole
from evenbarrel.wording.help.glossary import key_of
from evenbarrel.wording.pictures.board import BoardCell, BoardPicture, BoardRow

Index = QModelIndex | QPersistentModelIndex

NAME, RULER, FIRST_JOB = range(3)


class BoardModel(QAbstractTableModel):
    """A read-only projection of one board picture."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.picture: BoardPicture | None = None

    def set_picture(self, picture: BoardPicture, in_sight: range = range(0)) -> None:
        """Show another picture; the same rows and jobs keep selection and scrolling.

        What looks as before in the rows `in_sight` is not painted anew; others are not made to
        find out.
        """
        before, self.picture = self.picture, picture
        if before is None or _shape(before) != _shape(picture):
            # Told before and after, as Qt asks for it.
            self.picture = before
            self.beginResetModel()
            self.picture = picture
            self.endResetModel()
            return
        last = self.columnCount() - 1
        for rows in (range(in_sight.start), range(in_sight.stop, len(picture.rows))):
            if rows:
                self._cells_changed(rows, 0, last)
        looks = [(_look(before, row), _look(picture, row)) for row in in_sight]
        for column in range(last + 1):
            other = [looks[n][0][column] != looks[n][1][column] for n in range(len(in_sight))]
            for rows in _together(in_sight, other):
                self._cells_changed(rows, column, column)
        for column, (old, new) in enumerate(zip(_heads(before), _heads(picture), strict=True)):
            if old != new:
                self.headerDataChanged.emit(Qt.Orientation.Horizontal, column, column)

    def _cells_changed(self, rows: range, first: int, last: int) -> None:
        self.dataChanged.emit(self.index(rows[0], first), self.index(rows[-1], last))

    def row(self, index: Index) -> BoardRow:
        """Return the row at a valid index."""
        assert self.picture is not None
        return self.picture.rows[index.row()]

    def cell(self, index: Index) -> BoardCell | None:
        """Return the cell at a valid index; None in the columns of names and rulers."""
        return None if index.column() < FIRST_JOB else self.row(index).cells[index.column() - 2]

    def place_of(self, barrel: str, job: str | None) -> QModelIndex:
        """Return the index of a barrel's cell, of its name without a job; invalid where gone."""
        if self.picture is None:
            return QModelIndex()
        rows = self.picture.barrels
        jobs = [one.id for one in self.picture.jobs]
        if barrel not in rows or (job is not None and job not in jobs):
            return QModelIndex()
        column = NAME if job is None else FIRST_JOB + jobs.index(job)
        return self.index(rows.index(barrel), column)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many barrels are shown."""
        return 0 if parent.isValid() or self.picture is None else len(self.picture.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return two columns and one for each job."""
        empty = parent.isValid() or self.picture is None
        return 0 if empty else FIRST_JOB + len(self.picture.jobs)  # type: ignore[union-attr]

    @for_people
    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return a cell in words, its tip, and what it opens."""
        if not index.isValid() or self.picture is None:
            return None
        row, cell = self.row(index), self.cell(index)
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            if cell is not None:
                return self.picture.cell_text(cell)
            if index.column() == NAME:
                return f"{row.full_name}: {self.picture.gate_text(row)}"
            return row.ruler_words
        if role == Qt.ItemDataRole.ToolTipRole:
            picture = self.picture
            tip = picture.ruler.tip(row.trace) if cell is None else picture.cell_tip(row, cell.job)
            if index.column() == NAME:
                tip = f"{tip}\n{picture.gate_text(row)}"
            return tip
        if role == ReferenceRole:
            return _opened(row, cell)
        if role == TopicRole:
            own = "mark.gates" if index.column() == NAME else "mark.comfortable"
            return own if cell is None else key_of(_opened(row, cell))
        return None

    @for_people
    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return what a column shows; a job by its name, whatever number it carries."""
        if orientation == Qt.Orientation.Vertical or self.picture is None:
            return None
        if section >= self.columnCount():
            return None
        if section < FIRST_JOB:
            titles = ("Barrel", self.picture.ruler.axis.title)
            return titles[section] if role == Qt.ItemDataRole.DisplayRole else None
        job = self.picture.jobs[section - FIRST_JOB]
        if role == Qt.ItemDataRole.DisplayRole:
            return job.name
        if role == Qt.ItemDataRole.ToolTipRole:
            return f"{job.number}  {job.name}\n{job.shot}"
        if role == ReferenceRole:
            return job.reference
        return None


def _opened(row: BoardRow, cell: BoardCell | None) -> Reference:
    """Return what a cell opens, or a name or a ruler: the barrel's volume."""
    return row.trace.reference if cell is None else CriterionRef(row.barrel, cell.job, cell.key)


def _shape(picture: BoardPicture) -> tuple[object, ...]:
    return picture.barrels, [job.id for job in picture.jobs]


def _look(picture: BoardPicture, place: int) -> tuple[object, ...]:
    """Return for each column what is painted of a row, as what is equal where it looks alike."""
    row, ruler = picture.rows[place], picture.ruler
    name = (row.first, row.supplier, row.name, row.size, row.gate, row.proposed)
    cells = [(cell.state, cell.by_rule, cell.open, cell.word) for cell in row.cells]
    along = (row.first, ruler.axis, ruler.tint, ruler.shots, row.trace, row.full_text, row.doubt)
    return (name, (*along, [cell[:2] for cell in cells]), *((row.first, *cell) for cell in cells))


def _heads(picture: BoardPicture) -> tuple[object, ...]:
    """Return what each column is called."""
    return "", picture.ruler.axis.title, *(job.name for job in picture.jobs)


def _together(rows: range, wanted: Sequence[bool]) -> Iterator[range]:
    """Yield the wanted rows, those that follow on each other as one."""
    for is_wanted, run in groupby(zip(rows, wanted, strict=True), key=itemgetter(1)):
        places = [row for row, _ in run]
        if is_wanted:
            yield range(places[0], places[-1] + 1)
