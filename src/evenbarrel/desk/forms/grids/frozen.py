"""The first column of a grid, which stays in sight while the others are scrolled."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QAbstractItemView, QFrame, QTableView

from evenbarrel.desk.tables.roles import Index


class FrozenNames(QTableView):
    """Lies over the left edge of a grid where its own first column is scrolled away.

    It is to be seen alone: the keyboard and what is typed stay with the grid; a click leads to the
    name there.
    """

    def __init__(self, grid: QTableView) -> None:
        super().__init__(grid)
        self._grid = grid
        self.setModel(grid.model())
        self.setSelectionModel(grid.selectionModel())
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAlternatingRowColors(True)
        self.setWordWrap(False)
        self.verticalHeader().hide()
        self.horizontalHeader().setSectionsClickable(False)
        self.horizontalHeader().setHighlightSections(False)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        for bar in (self.setHorizontalScrollBarPolicy, self.setVerticalScrollBarPolicy):
            bar(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        grid.horizontalScrollBar().valueChanged.connect(lambda _: self.place())
        grid.verticalScrollBar().valueChanged.connect(self.verticalScrollBar().setValue)
        grid.horizontalHeader().sectionResized.connect(lambda *_: self.place())
        grid.model().modelReset.connect(self._show_first)
        grid.viewport().installEventFilter(self)
        self.clicked.connect(self._lead_to)
        self._show_first()

    @property
    def covered(self) -> int:
        """How much of the grid's width it covers now [px]."""
        return 0 if self.isHidden() else self.width()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the size of the grid."""
        if event.type() in (QEvent.Type.Resize, QEvent.Type.Show):
            self.place()
        return super().eventFilter(watched, event)

    def place(self) -> None:
        """Lie over the grid's first column where that one is out of sight."""
        width = self._grid.columnWidth(0)
        view = self._grid.viewport().geometry()
        # Where the names would take most of the width, nothing else could be seen.
        is_due = self._grid.horizontalScrollBar().value() > 0 and 2 * width < view.width()
        self.setVisible(is_due)
        if is_due:
            head = self._grid.horizontalHeader().height()
            self.horizontalHeader().setFixedHeight(head)
            self.verticalHeader().setDefaultSectionSize(
                self._grid.verticalHeader().defaultSectionSize()
            )
            self.setColumnWidth(0, width)
            self.setGeometry(view.x(), view.y() - head, width, view.height() + head)
            self.verticalScrollBar().setValue(self._grid.verticalScrollBar().value())
            self.raise_()

    def _show_first(self) -> None:
        for column in range(1, self.model().columnCount()):
            self.setColumnHidden(column, True)
        self.place()

    def _lead_to(self, index: Index) -> None:
        self._grid.setFocus(Qt.FocusReason.MouseFocusReason)
        self._grid.setCurrentIndex(index)
