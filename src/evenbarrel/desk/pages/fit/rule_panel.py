"""A preview: what another published window would change, verdict beside verdict."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from evenbarrel.appraisal.comparison import alternative_windows, compare_window
from evenbarrel.desk.fields.base import QuietCombo
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, set_tip
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.wording.sentences.deciding import decision
from evenbarrel.wording.sentences.fit import fit_notes
from evenbarrel.wording.sentences.pages import window_line

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_CHOICE_LENGTH = 18


class RulePanel(QWidget):
    """A choice of windows, and in words how the cells stand or what the chosen one would change.

    `changed_cells` shows every changed verdict; whoever lays out the page gives it a place.
    """

    compared = Signal(bool)
    """Carries whether another window is compared now."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._appraisal: Appraisal | None = None
        self.choice = QuietCombo()
        self.choice.setAccessibleName("Preview under another rule")
        set_tip(self.choice, decision.WINDOW_TIP)
        self.choice.addItems([decision.WINDOW_AS_IT_STANDS])
        self.choice.addItems([window_line(w) for w in alternative_windows()])
        self.choice.activated.connect(lambda _: self._chosen())
        self.words = Label()
        self.words.setWordWrap(True)
        self.changed_cells = SheetView(theme, "Verdicts that the other window would change")
        question = Label("Preview under another &rule")
        question.setBuddy(self.choice)
        row = QHBoxLayout()
        row.setSpacing(GRID)
        row.addWidget(question)
        row.addWidget(self.choice)
        row.addWidget(self.words, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID // 2)
        nest(column, row)
        self.choice.setSizeAdjustPolicy(
            QuietCombo.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.choice.setMinimumContentsLength(_CHOICE_LENGTH)
        self.choice.view().setMinimumWidth(self.choice.view().sizeHintForColumn(0) + GRID * 3)

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Compare again with the evaluation as it is now."""
        self._appraisal = appraisal
        self._compare()

    def reset(self) -> None:
        """Go back to the limits as they stand: a preview is of one file."""
        if self.choice.currentIndex() > 0:
            self.choice.setCurrentIndex(0)
            self._chosen()

    def _chosen(self) -> None:
        self._compare()
        self.compared.emit(self.choice.currentIndex() > 0)

    def _compare(self) -> None:
        place = self.choice.currentIndex() - 1
        if self._appraisal is None:
            return
        if place < 0:
            # What the choice is for is in its tip: in a low window rows go before words.
            cells, still_open = fit_notes(self._appraisal)
            self.words.setText(cells)
            set_tip(self.words, still_open)
            return
        set_tip(self.words, "")
        changed = compare_window(self._appraisal, alternative_windows()[place])
        total = len(self._appraisal.barrels) * len(self._appraisal.jobs)
        self.words.setText(decision.changed_line(changed, total))
        self.changed_cells.set_sheet(decision.changed_sheet(self._appraisal, changed))
        self.changed_cells.fit_columns()
