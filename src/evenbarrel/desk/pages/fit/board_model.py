"""The board as Qt reads it: barrels down; a name, a ruler and one column for each job across."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from evenbarrel.desk.help.topics import TopicRole
from evenbarrel.desk.style.plain import for_people
from evenbarrel.desk.tables.sheet_table import ReferenceRole
from evenbarrel.wording.help.glossary import key_of
from evenbarrel.wording.pictures.board import BoardCell, BoardPicture, BoardRow

Index = QModelIndex | QPersistentModelIndex

NAME, RULER, FIRST_JOB = range(3)


class BoardModel(QAbstractTableModel):
    """A read-only projection of one board picture."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.picture: BoardPicture | None = None

    def set_picture(self, picture: BoardPicture) -> None:
        """Show another picture; the same rows and jobs keep selection and scrolling."""
        same = self.picture is not None and (
            self.picture.barrels == picture.barrels
            and [job.id for job in self.picture.jobs] == [job.id for job in picture.jobs]
        )
        if same:
            self.picture = picture
            if picture.rows:
                last = self.index(self.rowCount() - 1, self.columnCount() - 1)
                self.dataChanged.emit(self.index(0, 0), last)
                self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, self.columnCount() - 1)
            return
        self.beginResetModel()
        self.picture = picture
        self.endResetModel()

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
            return row.trace.reference if cell is None else cell.reference
        if role == TopicRole:
            own = "mark.gates" if index.column() == NAME else "mark.comfortable"
            return own if cell is None else key_of(cell.reference)
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
