"""What a narrow table has no columns for, said below it of the row in focus."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt

from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.wording.sheets.sheet import Cell, Heading


class LeftOut(Label):
    """Numbers on one line, each text on a line of its own; hidden where all columns are seen."""

    def __init__(self, table: SheetView) -> None:
        super().__init__()
        self._table = table
        self.setAccessibleName("What else is known of the chosen row")
        self.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.setWordWrap(True)
        self.hide()
        table.left_out_changed.connect(self.show_row)
        table.selectionModel().currentRowChanged.connect(lambda *_: self.show_row())

    def show_row(self) -> None:
        """Tell it of the row in focus."""
        row, rows = self._table.currentIndex().row(), self._table.sheet_model.rowCount()
        row = row if rows > 1 else rows - 1
        cells = self._table.left_out(max(0, row)) if rows else ()
        self.setText(_row_text(cells) if 0 <= row < rows else _titles_text(cells))
        self.setVisible(bool(cells) and not self._table.isHidden())


def _row_text(cells: Sequence[tuple[Heading, Cell]]) -> str:
    numbers = ";  ".join(_cell_text(*one) for one in cells if one[0].align == "right")
    texts = (_cell_text(*one) for one in cells if one[0].align != "right")
    return "\n".join(filter(None, (numbers, *texts)))


def _titles_text(cells: Sequence[tuple[Heading, Cell]]) -> str:
    titles = "; ".join(heading.title for heading, _ in cells)
    return f"Choose a row to see what has no room above: {titles}." if cells else ""


def _cell_text(heading: Heading, cell: Cell) -> str:
    unit = "" if cell.text.endswith(heading.unit) else f", {heading.unit}"
    return f"{heading.title}{unit}: {cell.text}".replace("\n", " ")
