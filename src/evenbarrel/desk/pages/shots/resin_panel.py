"""Resin data: every route of the output factor side by side, and the shipped table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QRadioButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.appraisal.references import FactorRef
from evenbarrel.desk.fields.base import QuietCombo
from evenbarrel.desk.forms.add_resin import ask_for_resin, window_lines
from evenbarrel.desk.forms.form import Form, FormDialog, context_of, scrolled
from evenbarrel.desk.pages.shots.route_effects import ROUTES, RouteEffects
from evenbarrel.desk.style.buttons import close_button, size_window
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, name_window, set_tip
from evenbarrel.desk.style.theme import GRID, faint, heading
from evenbarrel.desk.window.session import Session
from evenbarrel.model import datum_path as edits
from evenbarrel.model.resin import OutputFactors, Resin
from evenbarrel.storage.resin_table import entry_of
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.sentences.resins import tait_line
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.hint import Hint
from evenbarrel.wording.words.names import resin_called
from evenbarrel.wording.words.numbers import percent, with_unit

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal
    from evenbarrel.appraisal.results import ResinResult

_ROWS_OF_ROUTE = 3


class ResinDialog(FormDialog):
    """All data of one resin, generated; every change is a step of its own."""

    def __init__(self, session: Session, resin: str, parent: QWidget | None = None) -> None:
        self.factors = Form(OutputFactors)
        self.form = Form(Resin)
        super().__init__(session, (self.factors, self.form), parent)
        self._resin = resin
        size_window(self, 760, 640)
        both = QWidget()
        # Only as high as its rows: what is left of the height goes below all of them.
        self.factors.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        column = QVBoxLayout(both)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.factors)
        column.addWidget(self.form)
        buttons = close_button(self)
        outer = QVBoxLayout(self)
        outer.addWidget(scrolled(both))
        outer.addWidget(buttons)
        self.form.edited.connect(self._put)
        self.factors.edited.connect(self._put)
        session.changed.connect(self._show)
        self._show()

    def _put(self, subject: edits.ResinPath, name: str, value: object) -> None:
        resin: Resin = edits.get(self._session.evaluation, ("resins", subject.resin))
        text = pages.changed_datum(
            labels.datum_of(Resin, name), resin_called(self._session.evaluation, resin)
        )
        before = getattr(edits.get(self._session.evaluation, subject.path), name)
        if not self._session.put((*subject.path, name), value, text):
            form = self.factors if subject.part else self.form
            form.refuse(subject, name, before)

    def _show(self) -> None:
        evaluation = self._session.evaluation
        resin = evaluation.resin(self._resin)
        if resin is None:
            self.close()
            return
        name_window(self, resin_called(evaluation, resin))
        context = context_of(evaluation)
        self.form.show_thing(resin, edits.ResinPath(resin.id), context)
        appraisal = self._session.appraisal
        if appraisal is not None:
            line = tait_line(resin, appraisal.resins[resin.id], evaluation.display_units)
            hint = Hint(line, "near_edge" if line else None)
            self.form.show_hints({"melt_temperature": hint})
        factors = edits.ResinPath(resin.id, "output_factors")
        self.factors.show_thing(resin.output_factors, factors, context)


class ResinPanel(QWidget):
    """One resin with every route of its output factor; which one is used is chosen here."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._ids: tuple[str, ...] = ()
        self.resin: str | None = None
        self.choice = QuietCombo()
        self.choice.setAccessibleName("Resin shown")
        self.choice.activated.connect(lambda place: self.show_resin(self._ids[place]))
        self.add = QPushButton("Add from table…")
        self.add.clicked.connect(lambda: ask_for_resin(session, self, self.show_resin))
        self.edit = QPushButton("All data…")
        self.edit.clicked.connect(lambda: self.open_data())
        self.remove = QPushButton("Remove")
        self.remove.clicked.connect(self._remove)
        self._empty = faint(Label())
        self._empty.setWordWrap(True)
        self._windows = faint(Label())
        self._windows.setWordWrap(True)
        self._table = QWidget()
        self._routes: dict[str, tuple[QRadioButton, QPushButton, Label]] = {}
        self.effects: dict[str, Label] = {}
        self._compared: tuple[str, str | None] = ("", None)
        self._group = QButtonGroup(self)
        self.comparing = RouteEffects(session, self)
        self.comparing.compared.connect(self._show_effect)
        self._lay_out()

    def showEvent(self, event: QShowEvent) -> None:
        """Compare the routes shortly after they are looked at."""
        super().showEvent(event)
        self.comparing.begin()

    def show_resin(self, resin: str | None) -> None:
        """Show a resin of the evaluation, or none."""
        self.resin = resin
        if self._session.appraisal is not None:
            self.show_appraisal(self._session.appraisal)

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Show the chosen resin as it is now."""
        resins = appraisal.evaluation.resins
        names = [resin_called(appraisal.evaluation, resin) for resin in resins]
        if self.choice.offered() != names:
            self.choice.clear()
            self.choice.addItems(names)
        self._ids = tuple(resin.id for resin in resins)
        if self.resin not in self._ids:
            self.resin = self._ids[0] if self._ids else None
        chosen = appraisal.evaluation.resin(self.resin)
        for widget in (self._table, self.edit, self.remove, self.choice, self._windows):
            widget.setVisible(chosen is not None)
        self._empty.setText("" if chosen else pages.RESINS_NONE)
        self._empty.setVisible(chosen is None)
        self.comparing.forget()
        if chosen is not None:
            self.choice.setCurrentIndex(self._ids.index(chosen.id))
            self._show_routes(chosen, appraisal.resins[chosen.id], appraisal)
            self._compare(appraisal.resins[chosen.id])

    def open_data(self, path: edits.Path = ()) -> None:
        """Open all data of the resin, the keyboard in the field at `path`."""
        if self.resin is None:
            return
        dialog = ResinDialog(self._session, self.resin, self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.show()
        form = dialog.factors if "output_factors" in path else dialog.form
        if path and path[-1] in form.fields:
            form.fields[path[-1]].setFocus(Qt.FocusReason.OtherFocusReason)

    def _compare(self, result: ResinResult) -> None:
        """Compare the routes; until then what is told of this one in use stays."""
        self.comparing.compare(result)
        same = (result.id, result.route) == self._compared
        self._compared = result.id, result.route
        for route, effect in self.effects.items():
            if not same or route not in self.comparing.waiting:
                effect.hide()

    def _show_effect(self, route: str, text: str) -> None:
        self.effects[route].setText(text)
        self.effects[route].show()

    def _lay_out(self) -> None:
        buttons = QHBoxLayout()
        for button in (self.add, self.edit, self.remove):
            buttons.addWidget(button)
        buttons.addStretch(1)
        rows = QGridLayout(self._table)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setVerticalSpacing(1)
        rows.setColumnStretch(0, 1)
        rows.addWidget(faint(Label(f"Output factor: {pages.RATED_FACTOR_NOTE}")), 0, 0, 1, 2)
        for place, route in enumerate(ROUTES):
            self._routes[route] = self._add_route(rows, _ROWS_OF_ROUTE * place + 1, route)
        self._solid = Label()
        self._solid.setAlignment(Qt.AlignmentFlag.AlignRight)
        last = _ROWS_OF_ROUTE * len(ROUTES) + 1
        rows.addWidget(_indented(Label("Solid density")), last, 0)
        rows.addWidget(self._solid, last, 1)
        rows.addWidget(_indented(faint(Label(pages.SOLID_DENSITY))), last + 1, 0, 1, 2)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID)
        column.addWidget(heading("Resin"))
        column.addWidget(self.choice)
        nest(column, buttons)
        column.addWidget(self._empty)
        column.addWidget(self._table)
        column.addWidget(self._windows)
        column.addStretch(1)

    def _add_route(
        self, rows: QGridLayout, row: int, route: str
    ) -> tuple[QRadioButton, QPushButton, Label]:
        radio = QRadioButton(labels.ROUTES[route])
        radio.clicked.connect(lambda: self._use(route))
        self._group.addButton(radio)
        number = QPushButton()
        number.setFlat(True)
        set_tip(number, "Open the working")
        number.clicked.connect(lambda: self._open(route))
        note = _indented(faint(Label()))
        note.setWordWrap(True)
        rows.addWidget(radio, row, 0)
        rows.addWidget(number, row, 1, Qt.AlignmentFlag.AlignRight)
        effect = _indented(faint(Label()))
        effect.setWordWrap(True)
        effect.hide()
        self.effects[route] = effect
        rows.addWidget(note, row + 1, 0, 1, 2)
        rows.addWidget(effect, row + 2, 0, 1, 2)
        return radio, number, note

    def _show_routes(self, resin: Resin, result: ResinResult, appraisal: Appraisal) -> None:
        units = appraisal.evaluation.display_units
        known = {one.route: one for one in result.routes}
        entry = entry_of(resin)
        self._group.setExclusive(False)
        for route, (radio, number, note) in self._routes.items():
            one = known.get(route)
            factor = None if one is None else one.factor
            radio.setEnabled(factor is not None)
            radio.setChecked(route == result.route)
            spread = "" if one is None or factor is None else f" ± {percent(one.half_width)}"
            number.setText(f"{with_unit(factor, 'density', units)}{spread}")
            number.setAccessibleName(f"{labels.ROUTES[route]}: {number.text()}")
            number.setEnabled(factor is not None)
            is_stated = one is not None and factor is not None
            shipped = entry is not None and _same_factor(entry.resin, resin, route)
            note.setText(
                pages.route_note(one.leak_share, one.notes, is_shipped=shipped)
                if is_stated and one
                else ""
            )
            note.setVisible(is_stated)
        self._group.setExclusive(True)
        self._solid.setText(with_unit(result.solid_density, "density", units))
        lines = () if entry is None else window_lines(entry)
        self._windows.setText("\n".join(("Known share-of-volume windows:", *lines)))
        self._windows.setVisible(bool(lines))

    def _use(self, route: str) -> None:
        text = f"Use {labels.ROUTES[route]}"
        self._session.put(("resins", self.resin or "", "output_factor_route"), route, text)

    def _open(self, route: str) -> None:
        self._session.show_working.emit(FactorRef(self.resin or ""))

    def _remove(self) -> None:
        resin = self.resin
        if resin is not None:
            self._session.try_edit(
                "Remove resin", lambda: edits.remove(self._session.evaluation, ("resins", resin))
            )


def _same_factor(shipped: Resin, resin: Resin, route: str) -> bool:
    """Say whether a factor, or the density it is computed from, is still the shipped one."""
    owners = [one if route == "melt_density" else one.output_factors for one in (shipped, resin)]
    first, second = (getattr(owner, route, None) for owner in owners)
    return first is not None and first == second


def _indented(label: Label) -> Label:
    """Return a label that begins where the words beside a radio button do."""
    label.setIndent(GRID * 3 - 2)
    return label
