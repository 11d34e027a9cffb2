"""Fit: the board of barrels against planned jobs, and below it why one cell is as it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QSizePolicy,
    QSplitter,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.appraisal.references import CriterionRef, Reference, WayOut
from evenbarrel.desk.fields.base import QuietCombo
from evenbarrel.desk.help.topics import explain
from evenbarrel.desk.pages.fit.board_key import JobKey, Legend
from evenbarrel.desk.pages.fit.board_view import BoardView
from evenbarrel.desk.pages.fit.cell_panel import CellPanel
from evenbarrel.desk.pages.fit.rule_panel import RulePanel
from evenbarrel.desk.pages.page import Page
from evenbarrel.desk.plots.ruler_plot import RulerPlot
from evenbarrel.desk.style.heads import MOST_LINES, Head
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, set_tip
from evenbarrel.desk.style.theme import GRID, Theme, faint, headed
from evenbarrel.desk.window.session import Session
from evenbarrel.model.states.difference import EVERYTHING, Difference
from evenbarrel.wording.pictures.board import Filter, Order, arranged, board
from evenbarrel.wording.pictures.ruler import ruler
from evenbarrel.wording.pictures.scales import Scale, ScaleKey
from evenbarrel.wording.sentences.deciding import decision
from evenbarrel.wording.sentences.fit import who_fits
from evenbarrel.wording.words.names import bid_called, job_called, resin_called

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

SCALES: tuple[tuple[ScaleKey, str], ...] = (
    ("volume_log", "Volume, logarithmic"),
    ("volume", "Volume, linear"),
    ("share", "Share of swept volume"),
    ("diameters", "Screw diameters"),
    ("mass", "Mass in a resin"),
)
ORDERS: tuple[tuple[Order, str], ...] = (
    ("programme", "as entered"),
    ("gate", "best verdict first"),
    ("margin", "most room first"),
    ("supplier", "by supplier"),
)
_CELL, _RULER, _CHANGED = range(3)
_SHARES = (520, 300)
_MOST_PINNED = 2
_CHOICE_LENGTH = 4


class FitPage(Page):
    """Words first, then the board; below it one cell in full, once one is opened."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._theme = theme
        self._appraisal: Appraisal | None = None
        self._resins: tuple[str, ...] = ()
        self.words = Head(lines=MOST_LINES)
        self.empty = faint(Label(decision.FIT_EMPTY))
        self.empty.setWordWrap(True)
        self.scale, self.resin = QuietCombo(), QuietCombo()
        self.scale.setAccessibleName("Scale of the ruler")
        self.scale.addItems([text for _, text in SCALES])
        self.resin.setAccessibleName("Resin of the mass scale")
        self.resin.hide()
        self.what_if = QPushButton("What &if…")
        self.rules = RulePanel(theme)
        self.order, self.shown = QuietCombo(), QuietCombo()
        self.order.setAccessibleName("Order of the barrels")
        self.order.addItems([text for _, text in ORDERS])
        self.shown.setAccessibleName("Which barrels are shown")
        self.pin = QPushButton("&Pin")
        self.pin.setCheckable(True)
        set_tip(self.pin, "Keep the chosen barrel at the top: up to two, to compare them")
        self.close_below = QPushButton("&Close")
        set_tip(self.close_below, "Give the whole height back to the board")
        self._pinned: tuple[str, ...] = ()
        self._filters: tuple[Filter, ...] = (Filter(),)
        self._only = Filter()
        """Which barrels a person wants to see; all are shown while there are none of these."""
        self.key, self.legend = JobKey(theme), Legend(theme)
        self.board = BoardView(theme)
        self.plot = RulerPlot()
        # The keyboard reaches the picture as a whole, not the canvas inside it.
        self.plot.plot.viewport().setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.cell = CellPanel(session, theme)
        self._lay_out()
        self._explain()
        self._connect()
        self._show_pin()

    def _bar(self) -> QWidget:
        """Return the row of choices above the board."""
        for combo in (self.scale, self.order, self.shown):
            combo.setSizeAdjustPolicy(
                QuietCombo.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            combo.setMinimumContentsLength(_CHOICE_LENGTH)
            combo.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        choices = QHBoxLayout()
        for text, widgets in (
            ("&Ruler", (self.scale, self.resin)),
            ("&Order", (self.order,)),
            ("&Show", (self.shown,)),
        ):
            title = Label(text)
            title.setBuddy(widgets[0])
            choices.addWidget(title)
            for widget in widgets:
                choices.addWidget(widget, 1)
        choices.addWidget(self.pin)
        choices.addWidget(self.what_if)
        choices.setContentsMargins(0, 0, 0, 0)
        bar = QWidget()
        bar.setLayout(choices)
        return bar

    def _lay_out(self) -> None:
        upper = QWidget()
        inside = QVBoxLayout(upper)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.setSpacing(GRID // 2)
        inside.addWidget(self.key)
        inside.addWidget(self.board, 1)
        inside.addWidget(self.legend)
        self.pictures = QTabWidget()
        self.pictures.setDocumentMode(True)
        self.pictures.setAccessibleName("Below the board")
        self.pictures.tabBar().setAccessibleName("Below the board")
        self.pictures.addTab(self.cell, "One barrel, one job")
        self.pictures.addTab(self.plot, "Ruler to zoom")
        self.pictures.addTab(self.rules.changed_cells, "Under another rule")
        self.pictures.setTabVisible(_CHANGED, False)
        self.pictures.setCornerWidget(self.close_below)
        self.pictures.hide()
        self.splitter = QSplitter(Qt.Orientation.Vertical)
        self.splitter.addWidget(upper)
        self.splitter.addWidget(self.pictures)
        self.splitter.setChildrenCollapsible(False)
        self.splitter.setSizes(list(_SHARES))
        self._choices = self._bar()
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, GRID)
        column.setSpacing(GRID // 2)
        nest(column, headed("Fit", self.words))
        column.addWidget(self.empty)
        column.addWidget(self.rules)
        column.addWidget(self._choices)
        column.addWidget(self.splitter, 1)
        # Where there is nothing to show, the words stay at the top.
        column.addStretch()

    def _explain(self) -> None:
        for part, key in (
            (self.cell, "binds"),
            (self.plot, "place.ruler"),
            (self.scale, "place.ruler"),
            (self.pin, "pin"),
            (self.what_if, "place.what_if"),
            (self.rules, "place.preview"),
        ):
            explain(part, key)

    def _connect(self) -> None:
        self.shown.activated.connect(self._show_only)
        for combo in (self.scale, self.resin, self.order):
            combo.activated.connect(lambda _: self._draw())
        self.pin.clicked.connect(self._pin)
        self.close_below.clicked.connect(self.pictures.hide)
        self.pictures.currentChanged.connect(lambda _: self._draw_below())
        self.what_if.clicked.connect(lambda: self.what_if_wanted.emit())
        self.board.opened.connect(self._session.show_working)
        self.board.cell_chosen.connect(self._choose)
        self.board.selectionModel().currentChanged.connect(lambda *_: self._show_pin())
        self.plot.opened.connect(self._session.show_working)
        self.plot.cell_chosen.connect(self._choose)
        self.rules.changed_cells.opened.connect(self._open)
        self.rules.compared.connect(self._show_changed)
        self._session.selection.changed.connect(self._follow)
        self._session.opened.connect(self._forget)
        self._theme.changed.connect(self._draw)

    def entrance(self) -> QWidget | None:
        """Return the board, where it has a row."""
        return self.board if self.board.board_model.rowCount() else None

    def show_appraisal(self, appraisal: Appraisal, difference: Difference = EVERYTHING) -> None:
        """Show words and board as they are now, and what is open below."""
        self._appraisal = appraisal
        has_cells = bool(appraisal.barrels and appraisal.jobs)
        self.words_alone = not has_cells
        self.empty.setVisible(not has_cells)
        for widget in (self.words, self.rules, self._choices, self.splitter):
            widget.setVisible(has_cells)
        self._offer_resins(appraisal)
        self._offer_filters(appraisal)
        if has_cells:
            self.words.setText(who_fits(appraisal))
            self.rules.show_appraisal(appraisal)
            self._draw()

    def _offer_filters(self, appraisal: Appraisal) -> None:
        """Offer all barrels, those not shut, those of one supplier, those one job can run on."""
        evaluation = appraisal.evaluation
        filters = [("all barrels", Filter()), ("not outside for any job", Filter(not_shut=True))]
        filters += [
            (f"of {bid_called(evaluation, bid)}", Filter(bid=bid.id))
            for bid in evaluation.counting_bids
        ]
        filters += [
            (f"not outside for {number} {job_called(evaluation, job)}", Filter(job=job.id))
            for number, job in enumerate(evaluation.jobs, start=1)
        ]
        texts = [text for text, _ in filters]
        if self.shown.offered() != texts:
            self.shown.clear()
            self.shown.addItems(texts)
        self._filters = tuple(one for _, one in filters)
        there = self._only in self._filters
        self.shown.setCurrentIndex(self._filters.index(self._only) if there else 0)

    def _show_only(self, place: int) -> None:
        self._only = self._filters[place]
        self._draw()

    def _offer_resins(self, appraisal: Appraisal) -> None:
        run = {job.resin for job in appraisal.evaluation.jobs}
        resins = {
            r.id: resin_called(appraisal.evaluation, r)
            for r in appraisal.evaluation.resins
            if r.id in run
        }
        texts = [self.resin.itemText(place) for place in range(self.resin.count())]
        if tuple(resins) == self._resins and list(resins.values()) == texts:
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

    def _shown(self) -> Appraisal | None:
        """Return what the page shows; None while it is behind the session.

        Then nothing is drawn: its choices are of before, and it is refreshed before it is seen.
        """
        appraisal = self._session.appraisal
        return appraisal if appraisal is self._appraisal else None

    def _draw(self) -> None:
        """Draw the board, and what is open below it."""
        appraisal = self._shown()
        self.resin.setVisible(SCALES[self.scale.currentIndex()][0] == "mass")
        for combo in (self.scale, self.resin, self.order, self.shown):
            # In a narrow window a long choice is cut.
            set_tip(combo, combo.currentText())
        if appraisal is None or not (appraisal.barrels and appraisal.jobs):
            return
        only = self._filters[max(0, self.shown.currentIndex())]
        order = ORDERS[self.order.currentIndex()][0]
        barrels = arranged(appraisal, order, only, self._pinned)
        units, before = appraisal.evaluation.display_units, self.board.board_model.picture
        picture = board(appraisal, self._scale(), units, barrels, before)
        self.key.show_jobs(picture.jobs)
        self.legend.show_lanes(picture.lane_names)
        self.board.show_picture(picture)
        self._draw_below()

    def _draw_below(self) -> None:
        """Draw the picture below that is looked at; the others wait until they are."""
        appraisal, session = self._shown(), self._session
        if appraisal is None or not self.pictures.isVisibleTo(self):
            return
        if self.pictures.currentIndex() == _CELL:
            self.cell.show_cell(appraisal, session.selection.barrel, session.selection.job)
        elif self.pictures.currentIndex() == _RULER:
            units = appraisal.evaluation.display_units
            picture = ruler(appraisal, self._scale(), units)
            self.plot.show_picture(picture, self._theme.colours)

    def _follow(self) -> None:
        """Let the board's current cell be what is chosen elsewhere."""
        session = self._session
        if session.selection.barrel is not None and session.selection.job is not None:
            self.board.choose(session.selection.barrel, session.selection.job)
        self._draw_below()

    def _pin(self) -> None:
        place = self.board.current_place()
        if place is not None:
            others = tuple(name for name in self._pinned if name != place[0])
            added = (place[0],) if self.pin.isChecked() else ()
            self._pinned = (*others, *added)[-_MOST_PINNED:]
            self._draw()
        self._show_pin()

    def _show_pin(self) -> None:
        place = self.board.current_place()
        self.pin.setEnabled(place is not None)
        self.pin.setChecked(place is not None and place[0] in self._pinned)

    def _forget(self) -> None:
        """What was tried, pinned or filtered was of the evaluation before."""
        self._pinned, self._only = (), Filter()
        self.shown.setCurrentIndex(0)
        self.rules.reset()

    def _open(self, reference: Reference) -> None:
        if isinstance(reference, CriterionRef):
            self._choose(reference.barrel, reference.job)
        self._session.show_working.emit(reference)

    def _choose(self, barrel: str, job: str) -> None:
        """Choose a barrel and a job together: the second picture opens."""
        self._session.selection.choose(barrel, job)
        self.pictures.show()
        self.pictures.setCurrentIndex(_CELL)
        self._draw_below()

    def point_at(self, shown: Reference | WayOut) -> None:
        """Choose a cell of the board, the whole height given to it, with its working."""
        if isinstance(shown, CriterionRef):
            self.pictures.hide()
            self._session.selection.choose(shown.barrel, shown.job)
            self.board.choose(shown.barrel, shown.job)
            self._session.show_working.emit(shown)

    def _show_changed(self, compared: bool) -> None:
        """Give the changed verdicts a tab as long as another rule is compared."""
        self.pictures.setTabVisible(_CHANGED, compared)
        self.pictures.setVisible(compared or self._session.selection.job is not None)
        self.pictures.setCurrentIndex(_CHANGED if compared else _CELL)
