"""What to have guaranteed with the order: the claims of a barrel that decide."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from evenbarrel.decision.guarantees import GuaranteeLine, guarantee_lines, with_guarantee
from evenbarrel.desk.forms.decision_forms import AskDialog, text_shape
from evenbarrel.desk.pages.decision.choosing.sheet_step import EMPTY, SheetPart
from evenbarrel.desk.pages.decision.list_panel import faint_words
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import to_clipboard
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.desk.window.session import Session
from evenbarrel.wording.sentences.deciding import standing_by as words
from evenbarrel.wording.standing_by.acceptance import REMEDY, guarantee_sheet, method_of

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal


class GuaranteesPanel(QWidget):
    """The sheet for the order; a line that was agreed on is recorded with its method and remedy."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._lines: tuple[GuaranteeLine, ...] = ()
        self.sheet = SheetPart(theme, "To be guaranteed with the order", 1)
        table = self.sheet.table
        table.setSelectionBehavior(table.SelectionBehavior.SelectRows)
        self.agree, self.copy = QPushButton("Record as &agreed…"), QPushButton("&Copy table")
        self.agree.clicked.connect(self._agree)
        self.copy.clicked.connect(self._copy)
        self.copied = faint_words("")
        row = QHBoxLayout()
        for widget in (self.agree, self.copy, self.copied):
            row.addWidget(widget)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setSpacing(GRID)
        self.sheet.lay_into(column)
        nest(column, row)
        column.addStretch(1)

    def show_barrel(self, appraisal: Appraisal, barrel: str) -> None:
        """Show what to have guaranteed of a barrel; of none, "", nothing."""
        own = bool(barrel) and bool(appraisal.evaluation.place(barrel)[1].owned_copies)
        self._lines = guarantee_lines(appraisal, barrel) if barrel and not own else ()
        shown = guarantee_sheet(appraisal, barrel) if self._lines else EMPTY
        empty = words.OWN_MACHINE if own else words.NOTHING_TO_GUARANTEE
        self.sheet.show_sheet(shown, empty)
        self.copied.setText("")
        for button in (self.agree, self.copy):
            button.setEnabled(bool(self._lines))

    def _copy(self) -> None:
        to_clipboard(self.sheet.table.whole_text())
        self.copied.setText(words.WHOLE_TABLE_COPIED)

    def _agree(self) -> None:
        session, row = self._session, max(0, self.sheet.row())
        if row >= len(self._lines):
            return
        line = self._lines[row]
        agreed = line.agreed
        method = (agreed and agreed.method) or method_of(line.datum)
        remedy = (agreed and agreed.remedy) or REMEDY
        fields = {
            "method": (text_shape("method", "Method", words.WHICH_METHOD), method),
            "remedy": (text_shape("remedy", "Remedy", words.WHICH_REMEDY), remedy),
        }
        dialog = AskDialog("Record a guarantee", words.AGREEING, fields, {}, self)
        dialog.answered.connect(
            lambda values: session.try_edit(
                "Record a guarantee",
                lambda: with_guarantee(
                    session.evaluation, line, values["method"], values["remedy"]
                ),
            )
        )
        dialog.open()
