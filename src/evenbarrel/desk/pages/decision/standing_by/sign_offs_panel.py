"""Sign-offs: who stands by the evaluation, and what changed since each signature."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from evenbarrel.desk.forms.decision_forms import sign_off_dialog
from evenbarrel.desk.pages.decision.choosing.sheet_step import SheetPart
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.desk.window.session import Session
from evenbarrel.model import changes
from evenbarrel.report import sign_offs
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.sentences.deciding import decision
from evenbarrel.wording.sheets.decision.open_points import signed_text
from evenbarrel.wording.standing_by.signatures import sign_offs_sheet, signature_text

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal


class SignOffsPanel(QWidget):
    """The list of signatures; below it the chosen one in full, with what changed since."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._now = ""
        self.sign, self.remove = QPushButton("&Sign off…"), QPushButton("Remove si&gnature")
        self.sign.clicked.connect(self._sign)
        self.remove.clicked.connect(self._remove)
        self.list = SheetPart(theme, "Signatures", shows_left_out=False)
        self.table = self.list.table
        self.table.setSelectionBehavior(self.table.SelectionBehavior.SelectRows)
        self.table.selectionModel().currentRowChanged.connect(lambda *_: self._show_one())
        self.one = Label()
        self.one.setAccessibleName("The chosen signature in full")
        self.one.setWordWrap(True)
        self.one.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.one.setAlignment(Qt.AlignmentFlag.AlignTop)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID)
        row = QHBoxLayout()
        row.addWidget(self.sign)
        row.addWidget(self.remove)
        row.addStretch(1)
        self.list.lay_into(column)
        nest(column, row)
        column.addWidget(self.one)
        column.addStretch()

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Show each signature with whether it holds now."""
        signed = bool(appraisal.evaluation.sign_offs)
        self._now = sign_offs.results_to_hold(appraisal)
        self.list.show_sheet(sign_offs_sheet(appraisal, self._now), decision.NO_SIGN_OFFS)
        self.remove.setVisible(signed)
        if signed and self.table.currentIndex().row() < 0:
            self.table.setCurrentIndex(self.table.sheet_model.index(0, 0))
        self._show_one()

    def _show_one(self) -> None:
        appraisal, row = self._session.appraisal, self.table.currentIndex().row()
        there = appraisal is not None and 0 <= row < len(appraisal.evaluation.sign_offs)
        self.one.setVisible(there)
        if appraisal is not None and there:
            self.one.setText(signature_text(appraisal, row, self._now))

    def _sign(self) -> None:
        session = self._session

        def take(values: dict[str, object]) -> None:
            appraisal = session.appraisal
            if appraisal is None or not session.is_current:
                session.refused.emit(pages.WAIT_FOR_VERDICTS)
            else:
                session.try_edit("Sign off", lambda: sign_offs.signed(appraisal, values))

        found = session.decision
        signed = decision.NOTHING_PROPOSED_TO_SIGN if found is None else signed_text(found)
        dialog = sign_off_dialog(signed, date.today(), self)
        dialog.answered.connect(take)
        dialog.open()

    def _remove(self) -> None:
        place, session = self.list.row(), self._session
        if place >= 0:
            session.edit("Remove signature", changes.without_sign_off(session.evaluation, place))
