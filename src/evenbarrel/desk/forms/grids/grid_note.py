"""What a grid tells of a block that was put in, filled or cleared."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPlainTextEdit, QPushButton

from evenbarrel.desk.forms.grids.grid_view import GridView


class GridNote(QFrame):
    """What was taken of a block and what was not, below its grid until it is closed."""

    _LEAST_LINES, _MOST_LINES = 2, 6

    def __init__(self, view: GridView) -> None:
        super().__init__()
        self.text = QPlainTextEdit()
        self.text.setReadOnly(True)
        self.text.setTabChangesFocus(True)
        self.text.setFrameShape(QFrame.Shape.NoFrame)
        self.text.setAccessibleName("What was taken and what was not")
        close = QPushButton("Close")
        close.setAccessibleName("Close what was taken and what was not")
        close.clicked.connect(self.hide)
        close.clicked.connect(view.setFocus)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.text, 1)
        row.addWidget(close, 0, Qt.AlignmentFlag.AlignTop)
        self.hide()
        view.reported.connect(self.show_text)

    def show_text(self, text: str) -> None:
        """Show what was taken and what was not."""
        self.text.setPlainText(text)
        lines = min(max(text.count("\n") + 1, self._LEAST_LINES), self._MOST_LINES)
        height = lines * self.text.fontMetrics().lineSpacing()
        self.setFixedHeight(height + 4 * int(self.text.document().documentMargin()))
        self.show()
