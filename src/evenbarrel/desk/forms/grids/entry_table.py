"""A table of entered data that is edited in place, read by the same rules as the forms."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QPainter, QPalette, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyleOptionViewItem,
    QWidget,
)

from evenbarrel.desk.fields.base import LineEdit
from evenbarrel.desk.forms.grids.entered_cells import ShapeRole
from evenbarrel.desk.forms.grids.entry_model import EntryModel
from evenbarrel.desk.forms.grids.frozen import FrozenNames
from evenbarrel.desk.forms.grids.grid_view import GridDelegate, GridView
from evenbarrel.desk.forms.grids.pick_line import PickLine
from evenbarrel.desk.tables.plain_cells import BESIDE
from evenbarrel.desk.tables.roles import Index, ReferenceRole
from evenbarrel.entry.shapes import Shape
from evenbarrel.entry.wordings import abbreviation, short_names
from evenbarrel.wording.sentences import pages

_PADDING = 8
_LOOKED_AT = 100
"""How many rows beyond those in sight a column is fitted to."""


class EntryDelegate(GridDelegate):
    """Edits a cell in a line, or in a choice where the list is closed."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw the text of a cell that has nothing else, the rest as Qt does."""
        model = index.model()
        plain = model.plain(index) if isinstance(model, EntryModel) else None
        if plain is None or self.stands_out(option, plain[0]):
            super().paint(painter, option, index)
            return
        text, lies, bold = plain
        box, ink = option.rect, option.palette.color(QPalette.ColorRole.Text)
        across = box.left() + BESIDE, box.right() - BESIDE
        self.draw_text(painter, option, across, text, lies, ink, bold=bold)

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """Return the editor for a cell."""
        shape: Shape = index.data(ShapeRole)
        if shape.kind not in ("choice", "resin"):
            line = LineEdit(parent=parent)
            line.setAccessibleName(shape.datum.label)
            return self.watched(line, index)
        model = index.model()
        offers = model.offered(shape) if isinstance(model, EntryModel) else ()
        is_resin = shape.kind == "resin"
        short, new = (short_names(), pages.new_resin) if is_resin else ({}, None)
        pick = PickLine(offers, _remarks(shape, model), parent, short, new)
        pick.setAccessibleName(shape.datum.label)
        pick.picked.connect(lambda: self.close_editor(pick))
        return pick

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Show the cell's text in its editor."""
        text = index.data(Qt.ItemDataRole.EditRole)
        if isinstance(editor, PickLine):
            editor.begin(text)
        elif isinstance(editor, LineEdit):
            editor.setText(text)
            editor.selectAll()

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        """Hand the typed text over."""
        if isinstance(editor, PickLine) and editor.is_new and isinstance(model, EntryModel):
            model.name_resin(index, editor.text().strip())
        elif isinstance(editor, PickLine):
            model.setData(index, editor.answer())
        elif isinstance(editor, LineEdit):
            model.setData(index, editor.text())


def _remarks(shape: Shape, model: QAbstractItemModel) -> dict[str, str]:
    """Return what stands behind the words of a pick-list: a resin in short, and where it is."""
    if shape.kind != "resin" or not isinstance(model, EntryModel):
        return {}
    return {
        key: pages.resin_offer(abbreviation(key), model.has_resin(key))
        for key, _ in model.offered(shape)
    }


class EntryView(GridView):
    """Shows an EntryModel; typing edits, Enter on a computed number opens it."""

    opened = Signal(object)
    """Carries the Reference of the computed number a person opened."""

    def __init__(self, model: EntryModel, name: str, parent: QWidget | None = None) -> None:
        super().__init__(model, parent)
        self.setAccessibleName(name)
        self.entries = model
        self._widths: tuple[int, ...] = ()
        self._growing = 0
        self._frozen: FrozenNames | None = None
        model.modelReset.connect(self._grow)
        self.setItemDelegate(EntryDelegate(self))
        self.setAlternatingRowColors(True)
        self.setWordWrap(False)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.horizontalHeader().setSectionsClickable(False)
        self.horizontalHeader().setHighlightSections(False)
        self.verticalHeader().setSectionsClickable(False)
        # One line each: fitting every row to its text would take seconds where there are thousands.
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.horizontalHeader().setResizeContentsPrecision(_LOOKED_AT)
        self._set_row_height()
        self.clicked.connect(self._open)

    def share_out(self, widths: Sequence[int], growing: int) -> None:
        """Give each column its width; the first `growing` ones grow to their text if they can.

        What is left then goes to all alike.
        """
        self._widths, self._growing = tuple(widths), growing
        self._grow()

    def freeze_names(self) -> None:
        """Keep the first column in sight while the others are scrolled."""
        self._frozen = FrozenNames(self)

    def scrollTo(
        self,
        index: Index,
        hint: QAbstractItemView.ScrollHint = QAbstractItemView.ScrollHint.EnsureVisible,
    ) -> None:
        """Bring a cell into sight, not below the names."""
        super().scrollTo(index, hint)
        covered = 0 if self._frozen is None or not index.column() else self._frozen.covered
        below = covered - self.visualRect(index).left()
        if covered and below > 0:
            bar = self.horizontalScrollBar()
            bar.setValue(bar.value() - below)

    def moveCursor(
        self, action: QAbstractItemView.CursorAction, modifiers: Qt.KeyboardModifier
    ) -> QModelIndex:
        """Go on by Tab to the next cell that can be typed into; the arrows reach every cell."""
        index = super().moveCursor(action, modifiers)
        actions = QAbstractItemView.CursorAction
        step = {actions.MoveNext: 1, actions.MovePrevious: -1}.get(action, 0)
        while step and index.isValid() and not index.flags() & Qt.ItemFlag.ItemIsEditable:
            beside = index.siblingAtColumn(index.column() + step)
            if not beside.isValid():
                break
            index = beside
        return index

    def changeEvent(self, event: QEvent) -> None:
        """Keep rows as high as the text where its size is changed."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._set_row_height()

    def _set_row_height(self) -> None:
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + _PADDING)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share out again what is free beyond the columns."""
        super().resizeEvent(event)
        self._grow()

    def _grow(self) -> None:
        widths = list(self._widths)
        free = max(0, self.viewport().width() - sum(widths))
        for column in range(self._growing):
            more = max(0, min(free, self.sizeHintForColumn(column) + _PADDING - widths[column]))
            widths[column] += more
            free -= more
        for column, width in enumerate(widths):
            self.setColumnWidth(column, width + free // len(widths))

    def enter(self, index: Index) -> None:
        """Open a computed number; go on to the cell below from an entered one."""
        if index.data(ReferenceRole) is None:
            super().enter(index)
        else:
            self._open(index)

    def _open(self, index: Index) -> None:
        reference = index.data(ReferenceRole) if index.isValid() else None
        if reference is not None:
            self.opened.emit(reference)
