"""The exports as buttons: three kinds of file, and the way to the letter to one supplier."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QCheckBox, QPushButton, QVBoxLayout, QWidget

from evenbarrel.desk.fields.base import QuietCombo
from evenbarrel.desk.style.folding_row import FoldingRow
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, faint
from evenbarrel.desk.window.files.exports import AskPath, Export, Exporter
from evenbarrel.desk.window.files.file_dialogs import Dialogs
from evenbarrel.desk.window.notice import Notice
from evenbarrel.desk.window.session import Session
from evenbarrel.wording.sentences.deciding import decision
from evenbarrel.wording.words.names import bid_called

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_NAME = 24
"""Characters of a supplier's name that the choice has room for."""


class ExportPanel(QWidget):
    """Buttons for every export; how it goes is said below them."""

    def __init__(
        self,
        session: Session,
        exports: tuple[Export, ...],
        ask: AskPath | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._bids: tuple[str, ...] = ()
        self.notice = Notice()
        self.exporter = Exporter(session, self.notice, ask or Dialogs(self).file_to_write, self)
        self.buttons: dict[str, QPushButton] = {}
        self.workings = QCheckBox(decision.WITH_WORKINGS)
        self.supplier = QuietCombo()
        self.supplier.setAccessibleName("Supplier the letter is to")
        # A name of any length leaves the window as wide as it is.
        self.supplier.setSizeAdjustPolicy(
            QuietCombo.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.supplier.setMinimumContentsLength(_NAME)
        self.letter = QPushButton("&Letter…")
        self.letter.clicked.connect(lambda: session.letter_wanted.emit(self.bid()))
        self._lay_out(exports)

    def _lay_out(self, exports: tuple[Export, ...]) -> None:
        for export in exports:
            button = QPushButton(export.text)
            button.clicked.connect(lambda _, export=export: self._start(export))
            self.buttons[export.ending] = button
        title = Label("Letter with the open questions t&o")
        title.setBuddy(self.supplier)
        introduction = faint(Label(decision.EXPORTS_INTRODUCTION))
        introduction.setWordWrap(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID)
        column.addWidget(FoldingRow(*self.buttons.values()))
        column.addWidget(self.workings)
        self.letters = FoldingRow(title, self.supplier, self.letter)
        column.addWidget(self.letters)
        column.addWidget(introduction)
        column.addWidget(self.notice)
        column.addStretch(1)

    def _start(self, export: Export) -> None:
        """Make the file, with its appendix where that is chosen and there is one."""
        if self.workings.isChecked() and export.with_workings is not None:
            export = replace(export, render=export.with_workings)
        self.exporter.start(export)

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Offer the suppliers there are."""
        bids = appraisal.evaluation.suppliers_bids
        chosen = self.bid()
        self._bids = tuple(bid.id for bid in bids)
        self.supplier.clear()
        self.supplier.addItems([bid_called(appraisal.evaluation, bid) for bid in bids])
        if chosen in self._bids:
            self.supplier.setCurrentIndex(self._bids.index(chosen))
        self.letters.setVisible(bool(bids))

    def bid(self) -> str:
        """Return the offer whose letter is chosen, "" where there is none."""
        place = self.supplier.currentIndex()
        return self._bids[place] if 0 <= place < len(self._bids) else ""
