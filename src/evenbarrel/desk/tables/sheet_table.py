"""Read-only tables over one sheet: the same that the PDF and the workbook print."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QFont, QKeyEvent, QKeySequence, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QTableView,
    QWidget,
)

from evenbarrel.desk.style.plain import to_clipboard
from evenbarrel.desk.style.state_marks import MARK_SIZE
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.tables.broken_cells import Lines, broken_cells
from evenbarrel.desk.tables.column_widths import Wants, share_out
from evenbarrel.desk.tables.fitting import only_to_look_at
from evenbarrel.desk.tables.plain_cells import BESIDE
from evenbarrel.desk.tables.roles import Index, ReferenceRole
from evenbarrel.desk.tables.sheet_model import SheetModel, look_of
from evenbarrel.desk.tables.state_cells import MARK_GAP, StateDelegate
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words.visible import visible

_WIDEST_NAMES, _NAMES_SHARE = 320, 3
"""Names at the left edge take no more than this [px], and one of so many parts of the table."""
_LONGEST_HEADING = 300
"""A heading asks for no more than this [px]."""
_PADDING, _HEAD_AIR = 10, 4
"""Added to what contents and headings take, and to what headings on two lines do [px]."""
_ROW_AIR = 6
_ROWS_MEASURED = 60
"""How many rows decide how wide a column is."""
_UNBOUNDED = 16_777_215
"""The greatest height that Qt knows [px]."""
_MARK_ALONE = MARK_SIZE + 2 * MARK_GAP
_LEAST_NAMES = 176
"""Beside marks that stand alone names keep this, if they need it [px]."""
_ROWS_SEEN = 6
"""A table in which fewer than so many rows are seen is low."""


class SheetView(QTableView):
    """Shows a sheet; a click or Enter on a number opens it, Ctrl+C copies the selection."""

    opened = Signal(object)
    """Carries the Reference of the cell a person opened."""
    rows_fitted = Signal()
    """Rows or headings take another height, or the bar that scrolls sideways came or went."""
    left_out_changed = Signal()
    """Other columns are left out than before, or they say something else."""

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.sheet_model = SheetModel(parent=self)
        self._wants: dict[int, Wants] = {}
        self._lines: dict[tuple[int, int], Lines] = {}
        self._left_out: tuple[int, ...] = ()
        self._is_broken, self._seen = True, 0
        self._may_narrow = False
        self._narrow: dict[int, Wants] = {}
        """What the columns take with marks alone, where these may stand so."""
        self._scrolled, self._shared = False, 0
        self._fitted: object | None = None
        """What the columns were fitted to."""
        self.setModel(self.sheet_model)
        self.setItemDelegate(StateDelegate(theme, self))
        theme.changed.connect(self.viewport().update)
        # Rows are as high as one line and its mark, those of texts that are broken set higher.
        only_to_look_at(self, max(MARK_SIZE, self.fontMetrics().height()) + _ROW_AIR)
        header = self.horizontalHeader()
        header.setResizeContentsPrecision(_ROWS_MEASURED)
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
        self._bound_names()
        header.setTextElideMode(Qt.TextElideMode.ElideRight)
        header.setSectionsClickable(False)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)

    def left_out(self, row: int) -> tuple[tuple[Heading, Cell], ...]:
        """Return what the columns say of a row for which there is no room."""
        sheet = self.sheet_model.sheet
        return tuple((sheet.headings[place], sheet.rows[row][place]) for place in self._left_out)

    def keep_rows_low(self) -> None:
        """Leave each row one line, cut: what one says is told in full beside, rows count more."""
        self._is_broken = False

    def narrow_to_marks(self) -> None:
        """Let marks stand without their words where these have no room; every column has one."""
        self._may_narrow = True

    def end_with_rows(self, seen: int) -> None:
        """Be no higher than all rows, and no lower than so many of them, as far as there are."""
        self._seen = seen
        self.rows_fitted.connect(self._take_height)

    def _take_height(self) -> None:
        row, rows = self.verticalHeader().defaultSectionSize(), self.verticalHeader().length()
        bar = self.horizontalScrollBar().sizeHint().height() * self.scrolls_sideways()
        head = self.horizontalHeader().sizeHint().height()
        frame = head + bar + 2 * self.frameWidth() + 2
        self.setMinimumHeight(min(rows, self._seen * row) + frame)
        self.setMaximumHeight(rows + frame)

    def set_sheet(self, sheet: Sheet) -> None:
        """Show a sheet; columns are fitted where its shape is another."""
        before = self.sheet_model.sheet
        self.sheet_model.set_sheet(sheet, self._rows_in_sight())
        # An empty table was fitted to its headings alone.
        if before.headings != sheet.headings or not before.rows:
            self.fit_columns()
        else:
            self._fit_rows()
        if self._seen and len(before.rows) != len(sheet.rows):
            self._take_height()
        if self._left_out:
            self.left_out_changed.emit()

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
        measured = self._measured()
        if measured is not None and measured == self._fitted:
            return
        self._fitted = measured
        model, header, heads = self.sheet_model, self.horizontalHeader(), []
        columns, before = range(model.columnCount()), model.in_two
        for column in columns:
            # What is hidden asks for nothing.
            self.setColumnHidden(column, False)
        for model.in_two in (frozenset(), frozenset(columns)):
            heads.append([min(header.sectionSizeHint(c), _LONGEST_HEADING) for c in columns])
        model.in_two = before
        self._wants = {
            column: Wants(
                self.sizeHintForColumn(column) + _PADDING,
                heads[0][column] + _PADDING,
                heads[1][column] + _HEAD_AIR,
                model.sheet.headings[column].yields,
                model.sheet.headings[column].align == "left",
            )
            for column in columns[model.naming :]
        }
        if self._may_narrow:
            self._narrow = self._narrowed(columns[model.naming :])
        self._bound_names()
        self._share_out()

    def _narrowed(self, columns: range) -> dict[int, Wants]:
        model, header = self.sheet_model, self.horizontalHeader()
        before, model.marks_alone = model.marks_alone, True
        heads = {column: header.sectionSizeHint(column) for column in columns}
        model.marks_alone = before
        return {column: Wants(_MARK_ALONE, head, head) for column, head in heads.items()}

    def _measured(self) -> object | None:
        """Return what the widths hang on, None where not all rows are measured."""
        sheet = self.sheet_model.sheet
        if len(sheet.rows) > _ROWS_MEASURED:
            return None
        rows = [look_of(row) for row in sheet.rows]
        return sheet.headings, self.sheet_model.naming, QFont(self.font()), rows

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the width out again."""
        super().resizeEvent(event)
        self._bound_names()
        self._share_out()

    def showEvent(self, event: QShowEvent) -> None:
        """Share the width out where it is another: of some sizes Qt tells nothing before."""
        super().showEvent(event)
        if self._shared != self.viewport().width():
            self._share_out()

    def sizeHint(self) -> QSize:
        """Return the usual size, or the height of all rows where it is to be no higher."""
        size, most = super().sizeHint(), self.maximumHeight()
        return size if most >= _UNBOUNDED else QSize(size.width(), most)

    def _bound_names(self) -> None:
        names, most = self.verticalHeader(), min(_WIDEST_NAMES, self.width() // _NAMES_SHARE)
        if self._narrow:
            most = self._beside_marks(min(names.sizeHint().width(), most), most)
        if self.sheet_model.naming and most != names.maximumWidth():
            names.setMaximumWidth(most)
            self.updateGeometries()

    def _beside_marks(self, wanted: int, most: int) -> int:
        """Say whether marks stand alone beside names that want so much; return what names get."""
        model, bar = self.sheet_model, self.verticalScrollBar().sizeHint().width()
        room = self.width() - 2 * self.frameWidth() - bar
        taken = sum(one.whole(tight=True) for one in self._wants.values())
        alone = wanted + taken > room
        if alone != model.marks_alone:
            model.marks_alone = alone
            across = Qt.Orientation.Horizontal
            model.headerDataChanged.emit(across, 0, model.columnCount() - 1)
            self.rows_fitted.emit()
        left = room - sum(one.whole(tight=True) for one in self._narrow.values())
        return max(min(wanted, _LEAST_NAMES), min(most, left)) if alone else most

    def _share_out(self) -> None:
        """Give each column its share of the width; texts that lack room go on in lines below."""
        if not self._wants:
            return
        model, self._shared = self.sheet_model, self.viewport().width()
        # As if a bar stood beside the rows: what it takes would make others of them, and these
        # might need none.
        room = self.maximumViewportSize().width() - self.verticalScrollBar().sizeHint().width()
        alone = model.marks_alone
        wants = self._narrow if alone else self._wants
        shared = share_out(wants, room, self._shared, may_break=self._is_broken, alike=alone)
        if model.in_two != shared.in_two:
            model.in_two = shared.in_two
            across = Qt.Orientation.Horizontal
            model.headerDataChanged.emit(across, 0, model.columnCount() - 1)
            self.rows_fitted.emit()
        for column in range(model.columnCount()):
            self.setColumnHidden(column, column not in shared.widths)
        for column, width in shared.widths.items():
            self.setColumnWidth(column, width)
        left_out = tuple(column for column in self._wants if column not in shared.widths)
        if left_out != self._left_out:
            self._left_out = left_out
            self.left_out_changed.emit()
        self._fit_rows()

    def scrolls_sideways(self) -> bool:
        """Say whether the columns have no room beside each other."""
        return self.horizontalHeader().length() > self.viewport().width()

    def _fit_rows(self) -> None:
        """Make each row as high as its lines.

        In a low table rows count more, and in one that scrolls sideways a row would be high for
        what is out of sight: each row has one line there.
        """
        sheet, metrics = self.sheet_model.sheet, self.fontMetrics()
        usual, rooms = self.verticalHeader().defaultSectionSize(), {}
        is_low = self.viewport().height() < min(len(sheet.rows), _ROWS_SEEN) * usual
        scrolls = self.scrolls_sideways()
        is_broken = self._is_broken and not (is_low or scrolls or self.sheet_model.marks_alone)
        if is_broken and len(sheet.rows) <= _ROWS_MEASURED:
            for column, wants in self._wants.items():
                width = self.columnWidth(column)
                if 0 < width < wants.whole(tight=column in self.sheet_model.in_two):
                    # Of a part of a pixel Qt counts less here than where it cuts.
                    rooms[column] = width - 2 - 2 * BESIDE
        beside_mark = MARK_SIZE + 3 * MARK_GAP - 2 * BESIDE
        before, self._lines = self._lines, broken_cells(sheet, rooms, beside_mark, metrics)
        if before == self._lines and scrolls == self._scrolled:
            return
        self._scrolled = scrolls
        most: dict[int, int] = {}
        for (row, _), lines in self._lines.items():
            most[row] = max(most.get(row, 1), len(lines))
        for row in range(len(sheet.rows)):
            further = (most.get(row, 1) - 1) * metrics.lineSpacing()
            self.setRowHeight(row, usual + further)
        self.rows_fitted.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open on Enter, copy on Ctrl+C."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._open(self.currentIndex())
        elif event.matches(QKeySequence.StandardKey.Copy):
            to_clipboard(self.selected_text())
        else:
            super().keyPressEvent(event)

    def selected_text(self) -> str:
        """Return the selected cells as tab-separated rows, of columns without room too."""
        chosen = self.selectionModel().selectedIndexes()
        cells = {(i.row(), i.column()): self.sheet_model.cell(i) for i in chosen}
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


def _on_one_line(text: str) -> str:
    return " ".join(visible(text).split())
