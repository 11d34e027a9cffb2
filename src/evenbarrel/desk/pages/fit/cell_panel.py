"""One barrel and one job: what each criterion allows, in a picture and in words."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QMenu,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.appraisal.consequences import has_readings, tried_readings
from evenbarrel.desk.forms.decision_forms import Values, decide_reading, deviation_dialog
from evenbarrel.desk.plots.lanes_plot import LanesPlot
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, set_tip
from evenbarrel.desk.style.scrolling import scroll_area
from evenbarrel.desk.style.theme import GRID, Theme, heading
from evenbarrel.desk.window.session import Session
from evenbarrel.model import changes
from evenbarrel.model.record.decision import Deviation
from evenbarrel.wording.pictures.criterion_lanes import lanes
from evenbarrel.wording.sentences.cells import fit_sentences, fit_word
from evenbarrel.wording.sentences.deciding import decision
from evenbarrel.wording.sentences.deciding.consequences import way_word
from evenbarrel.wording.words import labels

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_WORDS_WIDTH = 216


class CellPanel(QWidget):
    """The second picture with the cell in words beside it, and what may be accepted."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._theme = theme
        self._shown: tuple[str, str] | None = None
        self.title = heading(decision.CHOOSE_CELL, lines=2)
        self.plot = LanesPlot()
        # The keyboard reaches the picture as a whole, not the canvas inside it.
        self.plot.plot.viewport().setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.plot.opened.connect(session.show_working)
        self.words = Label()
        self.words.setWordWrap(True)
        self.words.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.words.setAccessibleName("The cell in words")
        self.words.setContentsMargins(GRID, GRID, GRID, GRID)
        self.accept_deviation = QPushButton("&Accept deviation…")
        self.accept_deviation.clicked.connect(self._accept)
        self.choose_reading = QPushButton("Choose a readi&ng")
        self.readings = QMenu(self.choose_reading)
        self.readings.aboutToShow.connect(self._offer_readings)
        self.choose_reading.setMenu(self.readings)
        self._lay_out()

    def _lay_out(self) -> None:
        words = scroll_area(self.words, framed=True)
        words.setMinimumWidth(_WORDS_WIDTH)
        beside = QVBoxLayout()
        beside.addWidget(words, 1)
        beside.addWidget(self.choose_reading)
        beside.addWidget(self.accept_deviation)
        row = QHBoxLayout()
        row.addWidget(self.plot, 5)
        nest(row, beside, 2)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, GRID)
        column.setSpacing(GRID)
        column.addWidget(self.title)
        nest(column, row, 1)

    def show_cell(self, appraisal: Appraisal, barrel: str | None, job: str | None) -> None:
        """Show one cell as it is now; without both, what to choose."""
        chosen = barrel is not None and job is not None
        self.plot.setVisible(chosen)
        self.words.setVisible(chosen)
        self._shown = None
        if barrel is None or job is None:
            self.title.setText(decision.CHOOSE_CELL)
            self.accept_deviation.setEnabled(False)
            self.choose_reading.hide()
            return
        self._shown = barrel, job
        units = appraisal.evaluation.display_units
        picture, fit = lanes(appraisal, barrel, job, units), appraisal.fit(barrel, job)
        mark = labels.MARKS[fit.state]
        self.title.setText(f"{mark} {picture.title}: {fit_word(fit)}")
        self.plot.show_picture(picture, self._theme.colours)
        # The verdict stands in the title already.
        self.plot.notes.hide()
        self.words.setText("\n\n".join(fit_sentences(fit, units)))
        self.choose_reading.setVisible(has_readings(appraisal, barrel))
        can = bool(fit.acceptable)
        self.accept_deviation.setEnabled(can)
        set_tip(self.accept_deviation, "" if can else decision.NOT_ACCEPTABLE)

    def _offer_readings(self) -> None:
        """Offer each reading of the barrel's size, with what this cell would be by it."""
        appraisal, shown = self._session.appraisal, self._shown
        self.readings.clear()
        if appraisal is None or shown is None:
            return
        barrel, job = shown
        for tried in tried_readings(appraisal, barrel):
            text = f"{way_word(tried.settled)}: {labels.STATES[tried.states[job]]}"
            action = self.readings.addAction(text)
            action.setCheckable(True)
            action.setChecked(tried.taken)
            action.triggered.connect(partial(decide_reading, self._session, barrel, tried))

    def _accept(self) -> None:
        session = self._session
        appraisal, shown = session.appraisal, self._shown
        if appraisal is None or shown is None:
            return
        # The cell that is seen, whatever was chosen elsewhere since.
        barrel, job = shown
        fit = appraisal.fit(barrel, job)
        criteria = fit.acceptable
        if not criteria:
            return

        def take(values: Values) -> None:
            others = {name: value for name, value in values.items() if name != "scope"}
            of_job = job if values["scope"] == "job" else None
            session.try_edit(
                "Accept deviation",
                lambda: changes.with_deviations(
                    session.evaluation, (Deviation(barrel=barrel, job=of_job, **others),)
                ),
            )

        question = decision.deviation_question(appraisal, fit)
        dialog = deviation_dialog(criteria, question, date.today(), self)
        dialog.answered.connect(take)
        dialog.open()
