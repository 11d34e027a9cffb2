"""The board: barrels as rows that scroll with their rulers and their cells."""

from __future__ import annotations

from PySide6.QtCore import (
    QItemSelectionRange,
    QLineF,
    QModelIndex,
    QPoint,
    QRect,
    QRectF,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QColor,
    QHelpEvent,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QTableView,
    QWidget,
)

from evenbarrel.desk.pages.fit.board_header import BoardHeader
from evenbarrel.desk.pages.fit.board_model import FIRST_JOB, NAME, RULER, BoardModel, Index
from evenbarrel.desk.pages.fit.board_painter import MARK, BoardPainter, RulerBox, row_height
from evenbarrel.desk.style.plain import point_out, to_clipboard
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.tables.roles import ReferenceRole
from evenbarrel.wording.pictures.board import BoardPicture
from evenbarrel.wording.pictures.traces import Mark

_NAME_WIDTH, _LEAST_NAME = 184, 120
_LEAST_RULER = 220
_CELL, _LEAST_CELL = 55, 24
_NEAR = MARK * 0.8
_MOST_GROWN = 1.75
"""How much higher than need be a row is where there is room."""


class BoardView(QTableView):
    """Shows a board picture; a click or Enter opens a cell, a mark or a barrel."""

    opened = Signal(object)
    """Carries the Reference of what a person opened."""
    cell_chosen = Signal(str, str)
    """Carries barrel and job of a cell or mark a person opened."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.board_model = BoardModel(self)
        self.drawn: BoardPainter | None = None
        self.setModel(self.board_model)
        self._heading = BoardHeader(theme, self)
        self.setHorizontalHeader(self._heading)
        self.setAccessibleName("Board: barrels down, their rulers, one column for each job")
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setMouseTracking(True)
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(8)
        self.clicked.connect(self._clicked_cell)
        theme.changed.connect(self._repaint)

    def show_picture(self, picture: BoardPicture) -> None:
        """Show a board; the current cell stays where its barrel and job do."""
        kept = self.current_place()
        rows = self.board_model.rowCount()
        self.board_model.set_picture(picture, self._rows_in_sight())
        if kept is not None:
            self.choose(*kept)
        self._share_height()
        if rows != len(picture.rows) or self.columnWidth(RULER) < _LEAST_RULER:
            self._share_out()
        self._heading.fit_flags()
        self._heading.show_ruler(picture)
        barrels, jobs = len(picture.rows), len(picture.jobs)
        self.setAccessibleDescription(f"{barrels} barrels against {jobs} planned jobs")

    def painter(self) -> BoardPainter | None:
        """Return what draws the present picture in the present palette; None without one."""
        picture, colours, font = self.board_model.picture, self._theme.colours, self.font()
        ratio = self.devicePixelRatioF()
        if picture is None:
            return None
        if self.drawn is None or not self.drawn.is_of(colours, font, ratio):
            self.drawn = BoardPainter(colours, font, ratio)
        self.drawn.show(picture)
        return self.drawn

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the names, the rulers and the cells that are to be seen anew."""
        drawn, picture = self.painter(), self.board_model.picture
        if drawn is None or picture is None:
            return
        area, region, chosen = event.rect(), event.region(), self._chosen()
        page = self._theme.colours.page
        rows, columns = self._rows_in(area.top(), area.bottom()), self._columns_in(area)
        painter, rulers, in_parts = QPainter(self.viewport()), [], region.rectCount() > 1
        # Hatching scrolls with its row, of which a part alone may be painted.
        painter.setBrushOrigin(self.columnViewportPosition(RULER), self.rowViewportPosition(0))
        for place in rows:
            row = picture.rows[place]
            top, height = self.rowViewportPosition(place), self.rowHeight(place)
            for column, left, width in columns:
                if in_parts and not region.intersects(QRect(left, top, width, height)):
                    continue
                box = QRectF(left, top, width, height)
                ground = self._ground_of(place, column, chosen) if chosen else page
                if column >= FIRST_JOB:
                    drawn.paint_cell(painter, box, row.cells[column - FIRST_JOB], ground)
                elif column == RULER:
                    rulers.append(RulerBox(row, box, ground))
                else:
                    drawn.paint_name(painter, box, row, ground)
        drawn.paint_rulers(painter, rulers)
        self._paint_lines(painter, rows)
        painter.end()

    def _rows_in_sight(self) -> range:
        return self._rows_in(0, self.viewport().height() - 1) if self.isVisible() else range(0)

    def _rows_in(self, top: int, bottom: int) -> range:
        """Return the rows that lie between two heights of the viewport."""
        first, last = self.rowAt(top), self.rowAt(bottom)
        if first < 0:
            return range(0)
        return range(first, 1 + last if last >= 0 else self.board_model.rowCount())

    def _columns_in(self, area: QRect) -> list[tuple[int, int, int]]:
        """Return the columns that reach into an area of the viewport, each with left and width."""
        all_columns = (
            (column, self.columnViewportPosition(column), self.columnWidth(column))
            for column in range(self.board_model.columnCount())
        )
        return [
            (column, left, width)
            for column, left, width in all_columns
            if left <= area.right() and left + width > area.left()
        ]

    def _chosen(self) -> list[QItemSelectionRange]:
        chosen = self.selectionModel().selection()
        return [chosen.at(place) for place in range(chosen.count())]

    def _ground_of(self, row: int, column: int, chosen: list[QItemSelectionRange]) -> str:
        colours = self._theme.colours
        selected = any(
            one.top() <= row <= one.bottom() and one.left() <= column <= one.right()
            for one in chosen
        )
        return colours.selection if selected else colours.page

    def _paint_lines(self, painter: QPainter, rows: range) -> None:
        """Paint a line above the first barrel of each supplier, and a frame round what is open."""
        picture, colours = self.board_model.picture, self._theme.colours
        if picture is None:
            return
        right = self.columnViewportPosition(self.board_model.columnCount() - 1)
        right += self.columnWidth(self.board_model.columnCount() - 1)
        left = self.columnViewportPosition(0)
        above = [self.rowViewportPosition(row) for row in rows if picture.rows[row].first]
        painter.setPen(QPen(QColor(colours.line), 1.0))
        painter.drawLines([QLineF(left, y + 0.5, right, y + 0.5) for y in above])
        focused = self.hasFocus() or self.viewport().hasFocus()
        if focused and self.currentIndex().isValid():
            box = QRectF(self.visualRect(self.currentIndex()))
            painter.setPen(QPen(QColor(colours.focus), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(box.adjusted(1.0, 1.0, -1.0, -1.0))

    def current_place(self) -> tuple[str, str | None] | None:
        """Return barrel and job of the current cell; the job None on a name or ruler."""
        index = self.currentIndex()
        if not index.isValid():
            return None
        cell = self.board_model.cell(index)
        return self.board_model.row(index).barrel, None if cell is None else cell.job

    def choose(self, barrel: str, job: str | None) -> None:
        """Make a barrel's cell current and bring it into sight; nothing where it is not shown."""
        index = self.board_model.place_of(barrel, job)
        if index.isValid() and index != self.currentIndex():
            self.setCurrentIndex(index)

    def selected_text(self) -> str:
        """Return the selected cells in words, each with supplier, screw and job."""
        model, lines = self.board_model, ["Barrel\tJob\tVerdict"]
        if model.picture is None:
            return ""
        names = {job.id: job.name for job in model.picture.jobs}
        for index in sorted(self.selectedIndexes(), key=lambda i: (i.row(), i.column())):
            row, cell = model.row(index), model.cell(index)
            if cell is not None:
                lines.append(f"{row.full_name}\t{names[cell.job]}\t{model.picture.cell_text(cell)}")
            elif index.column() == NAME:
                lines.append(f"{row.full_name}\t\t{model.picture.gate_text(row)}")
        return "\n".join(lines)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the room out again."""
        # First, else a bar that scrolls comes for rows that are about to be lower, and goes again.
        self._share_height()
        super().resizeEvent(event)
        self._share_out()

    def _share_height(self) -> None:
        """Let few rows grow into the height there is; many are as low as they may be."""
        picture = self.board_model.picture
        heights = [] if picture is None else [row_height(one) for one in picture.ruler.barrels]
        room = self.viewport().height() / max(1, sum(heights))
        grown = [int(height * max(1.0, min(_MOST_GROWN, room))) for height in heights]
        header = self.verticalHeader()
        if len(set(grown)) == 1:
            # It would lay all rows out anew, whether they are as high already or not.
            if header.defaultSectionSize() != grown[0]:
                header.setDefaultSectionSize(grown[0])
        else:
            for place, height in enumerate(grown):
                self.setRowHeight(place, height)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open on Enter, copy in words on Ctrl+C."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._open(self.currentIndex())
        elif event.matches(QKeySequence.StandardKey.Copy):
            to_clipboard(self.selected_text())
        else:
            super().keyPressEvent(event)

    def mark_at(self, point: QPoint) -> Mark | None:
        """Return the mark nearest to a point of the viewport, within reach of it."""
        index, drawn = self.indexAt(point), self.painter()
        if drawn is None or not index.isValid() or index.column() != RULER:
            return None
        box = QRectF(self.visualRect(index))
        marks = drawn.marks_in(self.board_model.row(index), box)
        near = [
            (abs(at.x() - point.x()) + abs(at.y() - point.y()), place, mark)
            for place, (mark, at) in enumerate(marks)
        ]
        # Of two that lie on each other the one drawn last is seen.
        distance, _, mark = min(near, key=lambda one: (one[0], -one[1]), default=(1e9, 0, None))
        return mark if distance <= _NEAR else None

    def viewportEvent(self, event: object) -> bool:
        """Say what is under the pointer: a mark before the barrel it lies on."""
        if isinstance(event, QHelpEvent):
            mark, picture = self.mark_at(event.pos()), self.board_model.picture
            if mark is not None and picture is not None:
                row = self.board_model.row(self.indexAt(event.pos()))
                point_out(event.globalPos(), picture.cell_tip(row, mark.job), self)
                return True
        return super().viewportEvent(event)  # type: ignore[arg-type]

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Open a mark that was clicked on a ruler; everything else is the table's."""
        mark = self.mark_at(event.position().toPoint())
        if mark is not None and event.button() == Qt.MouseButton.LeftButton:
            self.opened.emit(mark.reference)
            self.cell_chosen.emit(mark.barrel, mark.job)
            return
        super().mouseReleaseEvent(event)

    def _clicked_cell(self, index: QModelIndex) -> None:
        self._open(index)

    def _open(self, index: Index) -> None:
        if not index.isValid():
            return
        cell = self.board_model.cell(index)
        self.opened.emit(index.data(ReferenceRole))
        if cell is not None:
            self.cell_chosen.emit(self.board_model.row(index).barrel, cell.job)

    def _repaint(self) -> None:
        self.viewport().update()
        self.horizontalHeader().viewport().update()

    def _share_out(self) -> None:
        """Give names and cells what they need and the ruler the rest, cells shrinking first."""
        jobs = self.board_model.columnCount() - FIRST_JOB
        if jobs < 0:
            return
        room = self.viewport().width()
        least_names = max(_LEAST_NAME, min(_NAME_WIDTH, room // 6))
        names = _NAME_WIDTH if room > 900 else least_names
        cell = _CELL
        if jobs:
            free = room - names - max(_LEAST_RULER, room // 3)
            cell = max(_LEAST_CELL, min(_CELL, free // jobs))
        # The last pixels come from the names: a bar that scrolls by a few is not due.
        names = max(_LEAST_NAME, min(names, room - _LEAST_RULER - jobs * cell))
        ruler = max(_LEAST_RULER, room - names - jobs * cell)
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        self.setColumnWidth(NAME, names)
        self.setColumnWidth(RULER, ruler)
        for column in range(FIRST_JOB, FIRST_JOB + jobs):
            self.setColumnWidth(column, cell)
        self._heading.fit_flags()
