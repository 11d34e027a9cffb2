"""Rules of thumb: which cells are outside by one, and a person's decision on many at once."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any, Literal

from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from evenbarrel.appraisal.consequences import basis_of, decidable_criteria, gates_decided, to_decide
from evenbarrel.desk.fields.base import QuietCombo
from evenbarrel.desk.forms.decision_forms import Values, rule_dialog
from evenbarrel.desk.pages.decision.list_panel import chosen_rows, faint_words, rows_view
from evenbarrel.desk.style.heads import MOST_LINES, Head
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.desk.window.session import Session
from evenbarrel.model import changes
from evenbarrel.model.record.decision import Deviation
from evenbarrel.wording.sentences.deciding import consequences, decision
from evenbarrel.wording.sheets.gates.deviations import to_decide_sheet
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import full_name, job_name

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal
    from evenbarrel.appraisal.references import CriterionRef

Refused = Literal[True] | None
_CHOICE_LENGTH = 8
_WANTED = "wanted"
_ALL: dict[str | None, str] = {None: "all"}


class RulesPanel(QWidget):
    """Filters above, the cells they leave, and what accepting or refusing them would change.

    What is decided is about the chosen rows, or about all that are shown while none is chosen.
    """

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._stale = True
        self._cells: tuple[CriterionRef, ...] = ()
        self.criterion, self.barrel, self.job = QuietCombo(), QuietCombo(), QuietCombo()
        self.table = rows_view(theme, "Cells outside by a rule or a resin's limit")
        self.empty = faint_words(decision.NOTHING_TO_DECIDE)
        self.consequence = Head(lines=MOST_LINES)
        self.accept = QPushButton("&Accept…")
        self.refuse = QPushButton("&Refuse…")
        self.take_back = QPushButton("&Take back")
        self.accept.clicked.connect(lambda: self._ask(refused=False))
        self.refuse.clicked.connect(lambda: self._ask(refused=True))
        self.take_back.clicked.connect(self._take_back)
        for combo in (self.criterion, self.barrel, self.job):
            combo.activated.connect(lambda _: self._filter())
        self.table.selectionModel().selectionChanged.connect(lambda *_: self._show_consequence())
        session.opened.connect(self._forget)
        self._lay_out()

    def _lay_out(self) -> None:
        self.filters = QWidget()
        filters = QHBoxLayout(self.filters)
        filters.setContentsMargins(0, 0, 0, 0)
        for text, name, combo in (
            ("&Criterion", "Criterion to decide on", self.criterion),
            ("&Barrel", "Barrels to decide on", self.barrel),
            ("&Job", "Jobs to decide on", self.job),
        ):
            combo.setAccessibleName(name)
            combo.setSizeAdjustPolicy(
                QuietCombo.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            combo.setMinimumContentsLength(_CHOICE_LENGTH)
            title = Label(text)
            title.setBuddy(combo)
            filters.addWidget(title)
            filters.addWidget(combo, 1)
        buttons = QHBoxLayout()
        for button in (self.accept, self.refuse, self.take_back):
            buttons.addWidget(button)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        column.setSpacing(GRID)
        column.addWidget(faint_words(decision.RULES_INTRODUCTION))
        column.addWidget(self.empty)
        column.addWidget(self.filters)
        column.addWidget(self.table, 1)
        column.addWidget(self.consequence)
        nest(column, buttons)
        column.addStretch()

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Show the cells as they are now; at once if they are looked at."""
        self._stale = True
        if self.isVisible():
            self._refresh(appraisal)

    def showEvent(self, event: QShowEvent) -> None:
        """Bring the cells up to date: they are worked out for who looks at them alone."""
        super().showEvent(event)
        if self._stale and self._session.appraisal is not None:
            self._refresh(self._session.appraisal)

    def choose(self, criterion: str, barrel: str) -> None:
        """Show the cells of one criterion and barrel."""
        if self._session.appraisal is not None:
            self._refresh(self._session.appraisal)
        for combo, code in ((self.criterion, criterion), (self.barrel, barrel), (self.job, None)):
            combo.setCurrentIndex(max(0, combo.findData(code)))
        self._filter()
        self.table.setFocus()

    def _refresh(self, appraisal: Appraisal) -> None:
        self._stale = False
        criteria: dict[str | None, str] = {
            key: CRITERION_WORDS[key].label for key in decidable_criteria(appraisal)
        }
        cells = [c for key in decidable_criteria(appraisal) for c in to_decide(appraisal, key)]
        barrels: dict[str | None, str] = {c.barrel: full_name(appraisal, c.barrel) for c in cells}
        jobs: dict[str | None, str] = {c.job: job_name(appraisal, c.job) for c in cells}
        self.filters.setVisible(bool(cells))
        _offer(self.criterion, _ALL | criteria)
        _offer(self.barrel, _ALL | barrels)
        _offer(self.job, _ALL | jobs)
        self._show_cells()

    def _filter(self) -> None:
        for combo in (self.criterion, self.barrel, self.job):
            combo.setProperty(_WANTED, combo.currentData())
        self._show_cells()

    def _forget(self) -> None:
        """What was looked at was of another evaluation."""
        for combo in (self.criterion, self.barrel, self.job):
            combo.setProperty(_WANTED, None)

    def _show_cells(self) -> None:
        appraisal = self._session.appraisal
        if appraisal is None:
            return
        wanted = self.criterion.currentData()
        keys = decidable_criteria(appraisal) if wanted is None else (wanted,)
        barrel, job = self.barrel.currentData(), self.job.currentData()
        self._cells = tuple(
            cell
            for key in keys
            for cell in to_decide(appraisal, key)
            if barrel in (None, cell.barrel) and job in (None, cell.job)
        )
        self.table.set_sheet(to_decide_sheet(appraisal, self._cells))
        self.table.fit_columns()
        self.table.clearSelection()
        self.table.setVisible(bool(self._cells))
        self.empty.setVisible(not self._cells)
        self._show_consequence()

    def cells(self) -> tuple[CriterionRef, ...]:
        """Return the cells that a decision now would be about."""
        chosen = chosen_rows(self.table)
        return tuple(self._cells[row] for row in chosen) or self._cells

    def _show_consequence(self) -> None:
        cells, appraisal = self.cells(), self._session.appraisal
        decided = self._decided(cells)
        self.accept.setEnabled(bool(cells))
        self.refuse.setEnabled(bool(cells) and self._are_rules(cells))
        self.take_back.setEnabled(bool(decided))
        if appraisal is None or not cells:
            self.consequence.setText("")
            return
        chosen = "Chosen" if chosen_rows(self.table) else "All that are shown"
        text = (
            f"{chosen}: {consequences.cells_line(cells)}. If accepted, {self._gates(cells, None)}."
        )
        if self.refuse.isEnabled():
            text += f" If refused, {self._gates(cells, True)}."
        self.consequence.setText(text)

    def _gates(self, cells: tuple[CriterionRef, ...], refused: Refused) -> str:
        appraisal = self._session.appraisal
        if appraisal is None:
            return ""
        then = changes.with_deviations(appraisal.evaluation, _deviations(cells, refused=refused))
        return consequences.gates_line(appraisal, gates_decided(appraisal, then))

    def _are_rules(self, cells: tuple[CriterionRef, ...]) -> bool:
        appraisal = self._session.appraisal
        return appraisal is not None and all(
            basis_of(appraisal, key) == "practice" for key in {cell.criterion for cell in cells}
        )

    def _decided(self, cells: tuple[CriterionRef, ...]) -> set[int]:
        """Return the places of the decisions on these cells, each on one cell."""
        named = {(cell.barrel, cell.job, cell.criterion) for cell in cells}
        entered = self._session.evaluation.deviations
        return {n for n, d in enumerate(entered) if (d.barrel, d.job, d.criterion) in named}

    def _ask(self, *, refused: bool) -> None:
        session, cells = self._session, self.cells()
        if not cells:
            return
        gates = self._gates(cells, True if refused else None)
        verb = "Refuses to waive" if refused else "Accepts"
        names = ", ".join(dict.fromkeys(CRITERION_WORDS[c.criterion].label.lower() for c in cells))
        what = f"{verb}: {names}, {consequences.cells_line(cells)}. Then {gates}."

        def take(values: Values) -> None:
            session.try_edit(
                f"{'Refuse' if refused else 'Accept'} {names} in {len(cells)} cells",
                lambda: changes.with_deviations(
                    session.evaluation,
                    _deviations(cells, refused=True if refused else None, **values),
                ),
            )

        dialog = rule_dialog(what, date.today(), self, refused=refused)
        dialog.answered.connect(take)
        dialog.open()

    def _take_back(self) -> None:
        session, places = self._session, self._decided(self.cells())
        text = f"Take back {len(places)} decisions on rules"
        session.edit(text, changes.without_deviations(session.evaluation, places))


def _deviations(
    cells: tuple[CriterionRef, ...], *, refused: Refused, **said: Any
) -> tuple[Deviation, ...]:
    """Return one decision for each cell, all with the same words."""
    return tuple(
        Deviation(barrel=c.barrel, job=c.job, criterion=c.criterion, refused=refused, **said)
        for c in cells
    )


def _offer(combo: QuietCombo, choices: dict[str | None, str]) -> None:
    """Offer these choices; what a person wants is chosen whenever it is there."""
    combo.clear()
    for code, words in choices.items():
        combo.addItem(words, code)
    combo.setCurrentIndex(max(0, combo.findData(combo.property(_WANTED))))
