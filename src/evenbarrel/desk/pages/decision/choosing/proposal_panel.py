"""Proposal: which machines run which jobs, why, and who stands by it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QFormLayout,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.appraisal.references import Reference, WayOut
from evenbarrel.decision.decide import Decision
from evenbarrel.desk.fields.base import QuietCombo
from evenbarrel.desk.forms.decision_forms import AskDialog, Values, proposal_fields
from evenbarrel.desk.pages.decision.choosing.sheet_step import EMPTY, SheetPart
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.scrolling import scroll_area
from evenbarrel.desk.style.theme import GRID, Theme, heading
from evenbarrel.desk.window.session import Session
from evenbarrel.model import changes
from evenbarrel.wording.sentences.deciding import decision as deciding
from evenbarrel.wording.sentences.deciding import steps
from evenbarrel.wording.sheets.decision.open_points import NOTHING_OPEN, open_points_sheet
from evenbarrel.wording.sheets.decision.proposal import (
    JobsOf,
    consequence,
    jobs_of_proposal,
    proposal_sheet,
    proposal_ways_sheet,
)
from evenbarrel.wording.sheets.gates.pins import barrel_line
from evenbarrel.wording.words.names import job_name

_JOBS_HEIGHT, _LEAST_JOBS, _BESIDE_JOBS = 240, 90, 360


class ProposalDialog(AskDialog):
    """Asks which machine runs each job, why, and who proposes it; shows at once the results."""

    def __init__(
        self, decision: Decision, jobs_of: JobsOf, values: Values, parent: QWidget
    ) -> None:
        fields = proposal_fields(values["reason"], values["person"], values["date"])
        wanted = {"reason": deciding.REASON_WANTED, "person": deciding.PERSON_WANTED}
        super().__init__(
            "Propose",
            steps.PROPOSING,
            fields,
            wanted,
            parent,
            check=lambda _: "" if self.jobs_of() else steps.NO_JOB_GIVEN,
        )
        self._decision, self._appraisal = decision, decision.appraisal
        appraisal = decision.appraisal
        self._barrels: tuple[str, ...] = tuple(barrel.id for barrel in appraisal.barrels)
        self.jobs: dict[str, QuietCombo] = {}
        self.consequence = Label()
        self.consequence.setWordWrap(True)
        given = {job: barrel for barrel, jobs in jobs_of.items() for job in jobs}
        rows = QWidget()
        form = QFormLayout(rows)
        form.setContentsMargins(0, 0, GRID, 0)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        for job in appraisal.jobs:
            form.addRow(Label(job_name(appraisal, job.id)), self._combo(job.id, given.get(job.id)))
        area = scroll_area(rows)
        # On a low screen the jobs scroll, so that reason, person and buttons stay in sight.
        room = max(_LEAST_JOBS, self.screen().availableGeometry().height() - _BESIDE_JOBS)
        area.setFixedHeight(min(_JOBS_HEIGHT, rows.sizeHint().height() + GRID, room))
        self.form.insertRow(1, area)
        self.form.insertRow(2, self.consequence)
        self._show_consequence()

    def jobs_of(self) -> JobsOf:
        """Return the barrels that run something, each with its jobs."""
        given: dict[str, list[str]] = {}
        for job, combo in self.jobs.items():
            if combo.currentIndex() > 0:
                given.setdefault(self._barrels[combo.currentIndex() - 1], []).append(job)
        return given

    def _combo(self, job: str, barrel: str | None) -> QuietCombo:
        combo = QuietCombo()
        combo.setAccessibleName(f"Runs {job_name(self._appraisal, job)}")
        combo.addItems(
            [steps.NOBODY, *(barrel_line(self._appraisal, one, (job,)) for one in self._barrels)]
        )
        combo.setSizeAdjustPolicy(QuietCombo.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        combo.setCurrentIndex(self._barrels.index(barrel) + 1 if barrel in self._barrels else 0)
        combo.currentIndexChanged.connect(lambda _: self._show_consequence())
        self.jobs[job] = combo
        return combo

    def _show_consequence(self) -> None:
        self.consequence.setText(consequence(self._decision, self.jobs_of()))
        self.fit()


class ProposalPanel(QWidget):
    """The proposal as it stands, what is in its way, and the buttons that make or withdraw it."""

    opened = Signal(object)
    """Carries the Reference of an amount to be shown in full."""
    wanted = Signal(object)
    """Carries the Reference of the place that answers what stands in the way."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._ways: Sequence[Reference | WayOut] = ()
        self.machines = SheetPart(theme, "Machines of the proposal", 1)
        self.machines.table.opened.connect(self.opened)
        self.ways = SheetPart(theme, "What stands in the way of the proposal")
        self.ways.table.opened.connect(self.wanted)
        self.propose, self.edit = QPushButton("&Propose…"), QPushButton("&Change…")
        self.withdraw, self.go = QPushButton("&Withdraw"), QPushButton("&Go there")
        self.propose.clicked.connect(lambda: self.ask({}))
        self.edit.clicked.connect(self._edit)
        self.withdraw.clicked.connect(self._withdraw)
        self.go.clicked.connect(self._go)
        self.ways_title = heading("What stands in its way")
        self.open_title = heading("What is not known about it")
        self.open = SheetPart(theme, "What is not known about the proposal")
        self.open.table.opened.connect(self.wanted)
        self._lay_out()

    def _lay_out(self) -> None:
        row, below = QHBoxLayout(), QHBoxLayout()
        for button in (self.propose, self.edit, self.withdraw):
            row.addWidget(button)
        row.addStretch(1)
        below.addWidget(self.go)
        below.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID)
        self.machines.lay_into(column)
        nest(column, row)
        column.addWidget(self.ways_title)
        self.ways.lay_into(column)
        nest(column, below)
        column.addWidget(self.open_title)
        self.open.lay_into(column)
        column.addStretch(1)

    def show_decision(self, decision: Decision) -> None:
        """Show the proposal as it stands now."""
        result = decision.proposal
        possible = bool(decision.appraisal.jobs and decision.appraisal.barrels)
        self.propose.setVisible(result is None)
        self.propose.setEnabled(possible)
        for widget in (self.edit, self.withdraw):
            widget.setVisible(result is not None)
        empty = steps.NO_PROPOSAL if possible else steps.NOTHING_TO_PROPOSE
        sheet = EMPTY if result is None else proposal_sheet(decision, result)
        ways = EMPTY if result is None else proposal_ways_sheet(decision.appraisal, result)
        self.machines.show_sheet(sheet, empty)
        self._ways = ways.row_references
        self.ways.show_sheet(ways, "" if result is None else steps.NOTHING_IN_ITS_WAY)
        self.open.show_sheet(
            EMPTY if result is None else open_points_sheet(decision, result),
            "" if result is None else NOTHING_OPEN,
        )
        for title in (self.ways_title, self.open_title):
            title.setVisible(result is not None)
        self.go.setVisible(bool(ways.rows))

    def ask(self, jobs_of: JobsOf) -> None:
        """Ask for a proposal of these barrels with these jobs."""
        session = self._session
        decision = session.decision
        if decision is None or not decision.appraisal.jobs or not decision.appraisal.barrels:
            return
        before = session.evaluation.proposal
        # Why some machines were proposed is no reason for others.
        kept = before is not None and set(before.barrels) == set(jobs_of)
        values = {
            "reason": before.reason if before is not None and kept else "",
            "person": "" if before is None else before.person,
            "date": date.today(),
        }
        dialog = ProposalDialog(decision, jobs_of, values, self)

        def take(given: Values) -> None:
            session.try_edit(
                "Propose" if before is None else "Change the proposal",
                lambda: changes.with_proposal(
                    session.evaluation,
                    dialog.jobs_of(),
                    given["reason"],
                    given["person"],
                    given["date"],
                ),
            )

        dialog.answered.connect(take)
        dialog.open()

    def _edit(self) -> None:
        if self._session.decision is not None:
            self.ask(jobs_of_proposal(self._session.decision))

    def _withdraw(self) -> None:
        evaluation = self._session.evaluation
        self._session.edit("Withdraw the proposal", evaluation.replace(proposal=None))

    def _go(self) -> None:
        place = max(0, self.ways.row())
        if place < len(self._ways):
            self.wanted.emit(self._ways[place])
