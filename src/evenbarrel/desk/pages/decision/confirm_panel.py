"""Limits that wait for confirmation, and below them those that a named person confirmed."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.consequences import gates_appraised, outside_of
from evenbarrel.appraisal.references import LimitRef
from evenbarrel.desk.forms.decision_forms import Values, confirm_dialog
from evenbarrel.desk.pages.decision.list_panel import chosen_rows, faint_words, rows_view
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, Theme, heading
from evenbarrel.desk.window.session import Session
from evenbarrel.model import changes
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.record.decision import ConfirmedLimit
from evenbarrel.wording.sentences.deciding import consequences, decision
from evenbarrel.wording.sheets.gates.limits import (
    confirmed_limits_sheet,
    confirmed_name,
    waiting_limits_sheet,
)

if TYPE_CHECKING:
    from evenbarrel.appraisal.gate_results import WaitingLimit


class ConfirmPanel(QWidget):
    """Two tables: what waits, with what each limit would shut or free, and what was confirmed."""

    limit_wanted = Signal(object)
    """Carries the LimitRef of a limit to change."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.waiting = rows_view(theme, "Limits that wait for confirmation")
        self.confirmed = rows_view(theme, "Limits that a named person confirmed")
        self.no_waiting = faint_words(decision.NO_WAITING_LIMITS)
        self.no_confirmed = faint_words(decision.NO_CONFIRMED_LIMITS)
        self.consequence = Label()
        self.consequence.setWordWrap(True)
        self.confirm = QPushButton("&Confirm…")
        self.change = QPushButton("Go to the &limit")
        self.take_back = QPushButton("&Take back")
        self.confirm.clicked.connect(self._confirm)
        self.change.clicked.connect(self._change)
        self.take_back.clicked.connect(self._take_back)
        self.waiting.selectionModel().selectionChanged.connect(lambda *_: self._show_buttons())
        self.confirmed.selectionModel().selectionChanged.connect(lambda *_: self._show_buttons())
        self._lay_out()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setSpacing(GRID)
        column.addWidget(faint_words(decision.LIMITS_INTRODUCTION))
        for empty, table, buttons in (
            (self.no_waiting, self.waiting, (self.confirm, self.change)),
            (self.no_confirmed, self.confirmed, (self.take_back,)),
        ):
            row = QHBoxLayout()
            for button in buttons:
                row.addWidget(button)
            row.addStretch(1)
            if table is self.waiting:
                row.insertWidget(len(buttons), self.consequence, 1)
            else:
                column.addWidget(heading("Confirmed"))
            column.addWidget(empty)
            column.addWidget(table, 1)
            nest(column, row)
        column.addStretch()

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Show what waits and what was confirmed as it is now."""
        for table, empty, sheet in (
            (self.waiting, self.no_waiting, waiting_limits_sheet(appraisal)),
            (self.confirmed, self.no_confirmed, confirmed_limits_sheet(appraisal)),
        ):
            table.set_sheet(sheet)
            table.fit_columns()
            table.setVisible(bool(sheet.rows))
            empty.setVisible(not sheet.rows)
        for button in (self.confirm, self.change):
            button.setVisible(bool(appraisal.waiting_limits))
        self.take_back.setVisible(bool(appraisal.evaluation.confirmed_limits))
        self._show_buttons()

    def choose(self, limit: LimitRef) -> None:
        """Choose one of the limits that wait."""
        appraisal = self._session.appraisal
        found = () if appraisal is None else appraisal.waiting_limits
        for row, waiting in enumerate(found):
            if waiting.limit == limit:
                self.waiting.selectRow(row)
        self.waiting.setFocus()

    def _chosen(self) -> tuple[WaitingLimit, ...]:
        appraisal = self._session.appraisal
        if appraisal is None:
            return ()
        limits = appraisal.waiting_limits
        return tuple(limits[row] for row in chosen_rows(self.waiting) if row < len(limits))

    def _show_buttons(self) -> None:
        chosen, appraisal = self._chosen(), self._session.appraisal
        self.confirm.setEnabled(bool(chosen))
        self.change.setEnabled(len(chosen) == 1)
        self.take_back.setEnabled(bool(chosen_rows(self.confirmed)))
        text = decision.CHOOSE_LIMITS if appraisal and appraisal.waiting_limits else ""
        if chosen and appraisal is not None:
            text = f"Confirmed: {self._gates(appraisal, chosen)}."
        self.consequence.setText(text)

    def _gates(self, appraisal: Appraisal, chosen: tuple[WaitingLimit, ...]) -> str:
        then = appraise(_confirmed(appraisal.evaluation, chosen), appraisal)
        cells = outside_of(then, (cell for one in chosen for cell in one.cells))
        gates = consequences.gates_line(appraisal, gates_appraised(appraisal, then))
        line = consequences.cells_line(cells) if cells else "no cell"
        return f"{line} outside, {gates}"

    def _confirm(self) -> None:
        session, chosen = self._session, self._chosen()
        if session.appraisal is None or not chosen:
            return
        name = confirmed_name(session.appraisal, [one.limit for one in chosen])
        gates = self._gates(session.appraisal, chosen)

        def take(values: Values) -> None:
            session.try_edit(
                f"Confirm {name}", lambda: _confirmed(session.evaluation, chosen, **values)
            )

        dialog = confirm_dialog(
            f"{decision.confirming(name, len(chosen))} Then {gates}.", date.today(), self
        )
        dialog.answered.connect(take)
        dialog.open()

    def _change(self) -> None:
        for one in self._chosen():
            self.limit_wanted.emit(one.limit)

    def _take_back(self) -> None:
        session, places = self._session, chosen_rows(self.confirmed)
        if session.appraisal is None or not places:
            return
        entered = session.evaluation.confirmed_limits
        limits = [LimitRef(entered[n].resin, entered[n].field) for n in places]
        name = confirmed_name(session.appraisal, limits)
        after = changes.without_confirmed_limits(session.evaluation, places)
        session.edit(f"Take back the confirmation of {name}", after)


def _confirmed(evaluation: Evaluation, chosen: tuple[WaitingLimit, ...], **said: Any) -> Evaluation:
    """Return the evaluation with these limits confirmed as they stand, all with the same words."""
    return changes.with_confirmed_limits(
        evaluation,
        tuple(
            ConfirmedLimit(resin=o.limit.resin, field=o.limit.field, value=o.value, **said)
            for o in chosen
        ),
    )
