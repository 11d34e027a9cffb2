"""Fit: the picture of the job, every barrel against every planned job, and which rule decides."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSplitter,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.fields.base import QuietCombo
from evenbarrel.desk.forms.what_if import WhatIf
from evenbarrel.desk.pages.fit.cell_panel import CellPanel
from evenbarrel.desk.pages.fit.rule_panel import RulePanel
from evenbarrel.desk.plots.ruler_plot import RulerPlot
from evenbarrel.desk.style.theme import GRID, Theme, faint, heading
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.desk.tables.wrapped_headings import narrow
from evenbarrel.desk.window.session import Session
from evenbarrel.wording.pictures.ruler import ruler
from evenbarrel.wording.pictures.scales import Scale, ScaleKey
from evenbarrel.wording.sentences import decision
from evenbarrel.wording.sheets.programme import fit_sheet
from evenbarrel.wording.sheets.sheet import Reference

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

SCALES: tuple[tuple[ScaleKey, str], ...] = (
    ("volume_log", "Shot volume, logarithmic"),
    ("volume", "Shot volume, even"),
    ("share", "Share of swept volume"),
    ("diameters", "Screw diameters"),
    ("mass", "Grams in a resin"),
)
_HEADING_WIDTH = 15
_RULER, _CELL, _CHANGED = range(3)
_SHARES = (500, 300)


class FitPage(QWidget):
    """Words first, then the picture, then the grid."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._theme = theme
        self._resins: tuple[str, ...] = ()
        self.words = QLabel()
        self.words.setWordWrap(True)
        self.empty = faint(QLabel(decision.FIT_EMPTY))
        self.empty.setWordWrap(True)
        self.scale, self.resin = QuietCombo(), QuietCombo()
        self.scale.setAccessibleName("Scale of the ruler")
        self.scale.addItems([text for _, text in SCALES])
        self.resin.setAccessibleName("Resin in which grams are read")
        self.what_if = QPushButton("What &if…")
        self.what_if_dialog: WhatIf | None = None
        self.rules = RulePanel(theme)
        self.plot = RulerPlot()
        # The keyboard reaches the picture as a whole, not the canvas inside it.
        self.plot.plot.viewport().setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.cell = CellPanel(session, theme)
        self.grid = SheetView(theme, "Fit: barrels down, jobs across")
        self.grid.keep_in_sight(2)
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        ruler_page = QWidget()
        inside = QVBoxLayout(ruler_page)
        inside.setContentsMargins(GRID, GRID, GRID, 0)
        choices = QHBoxLayout()
        title = QLabel("&Ruler")
        title.setBuddy(self.scale)
        for widget in (title, self.scale, self.resin):
            choices.addWidget(widget)
        choices.addStretch(1)
        choices.addWidget(self.what_if)
        inside.addLayout(choices)
        inside.addWidget(self.plot, 1)
        self.pictures = QTabWidget()
        self.pictures.setDocumentMode(True)
        self.pictures.setAccessibleName("Pictures")
        self.pictures.tabBar().setAccessibleName("Pictures")
        self.pictures.addTab(ruler_page, "Barrels along the ruler")
        self.pictures.addTab(self.cell, "One barrel, one job")
        self.pictures.addTab(self.rules.changed_cells, "Under another rule")
        self.pictures.setTabVisible(_CHANGED, False)
        self.splitter = QSplitter(Qt.Orientation.Vertical)
        self.splitter.addWidget(self.pictures)
        self.splitter.addWidget(self.grid)
        self.splitter.setChildrenCollapsible(False)
        self.splitter.setSizes(list(_SHARES))
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, GRID)
        column.setSpacing(GRID)
        column.addWidget(heading("Fit", 3.0))
        column.addWidget(self.words)
        column.addWidget(self.empty)
        column.addWidget(self.rules)
        column.addWidget(self.splitter, 1)
        # Where there is nothing to show, the words stay at the top.
        column.addStretch()

    def _connect(self) -> None:
        self.scale.activated.connect(lambda _: self._draw())
        self.resin.activated.connect(lambda _: self._draw())
        self.pictures.currentChanged.connect(lambda _: self._draw())
        self.what_if.clicked.connect(self._open_what_if)
        self.plot.opened.connect(self._session.show_working)
        self.plot.cell_chosen.connect(self._choose)
        self.grid.opened.connect(self._open)
        self.rules.changed_cells.opened.connect(self._open)
        self.rules.compared.connect(self._show_changed)
        self._session.chosen.connect(lambda *_: self._draw())
        self._theme.changed.connect(self._draw)

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Show words, picture and grid as they are now."""
        has_cells = bool(appraisal.barrels and appraisal.jobs)
        self.empty.setVisible(not has_cells)
        for widget in (self.words, self.rules, self.splitter):
            widget.setVisible(has_cells)
        self._offer_resins(appraisal)
        if has_cells:
            sheet = fit_sheet(appraisal)
            self.words.setText(" ".join(sheet.notes))
            self.rules.show_appraisal(appraisal)
            self.grid.set_sheet(narrow(sheet, _HEADING_WIDTH))
            self._draw()

    def _offer_resins(self, appraisal: Appraisal) -> None:
        run = {job.resin for job in appraisal.evaluation.jobs}
        resins = {r.id: r.name or r.id for r in appraisal.evaluation.resins if r.id in run}
        if tuple(resins) == self._resins:
            return
        chosen = self.resin.currentIndex()
        kept = self._resins[chosen] if 0 <= chosen < len(self._resins) else None
        self._resins = tuple(resins)
        self.resin.clear()
        self.resin.addItems(list(resins.values()))
        if kept in self._resins:
            self.resin.setCurrentIndex(self._resins.index(kept))

    def _scale(self) -> Scale:
        key = SCALES[self.scale.currentIndex()][0]
        place = self.resin.currentIndex()
        if key == "mass" and 0 <= place < len(self._resins):
            return Scale(key, self._resins[place])
        return Scale(key)

    def _draw(self) -> None:
        """Draw the picture that is looked at; the other one waits until it is."""
        appraisal, session = self._session.appraisal, self._session
        self.resin.setVisible(SCALES[self.scale.currentIndex()][0] == "mass")
        if appraisal is None or not (appraisal.barrels and appraisal.jobs):
            return
        if self.pictures.currentIndex() == _CELL:
            self.cell.show_cell(appraisal, session.chosen_barrel, session.chosen_job)
        elif self.pictures.currentIndex() == _RULER:
            units = appraisal.evaluation.display_units
            picture = ruler(appraisal, self._scale(), units)
            self.plot.show_picture(picture, self._theme.colours)

    def _open(self, reference: Reference) -> None:
        kind, *names = reference
        if kind == "criterion":
            self._choose(names[0], names[1])
        self._session.show_working.emit(reference)

    def _choose(self, barrel: str, job: str) -> None:
        """Choose a barrel and a job together: the second picture opens."""
        self._session.choose(barrel, job)
        self.pictures.setCurrentIndex(_CELL)

    def _show_changed(self, compared: bool) -> None:
        """Give the changed verdicts a tab as long as another rule is compared."""
        self.pictures.setTabVisible(_CHANGED, compared)
        self.pictures.setCurrentIndex(_CHANGED if compared else _RULER)

    def _open_what_if(self) -> None:
        if self.what_if_dialog is None:
            self.what_if_dialog = WhatIf(self._session, self._theme, self)
        self.what_if_dialog.show()
        self.what_if_dialog.activateWindow()
