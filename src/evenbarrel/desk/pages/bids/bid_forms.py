"""The forms of Bids: of a supplier, a unit and a barrel, with the name of what each shows."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from pydantic import BaseModel
from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from evenbarrel.desk.forms.add_resin import ask_for_resin
from evenbarrel.desk.forms.cell_edits import with_datum
from evenbarrel.desk.forms.form import Form, context_of, scrolled
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import heading
from evenbarrel.desk.window.session import Session
from evenbarrel.entry.shapes import shapes_of
from evenbarrel.model import datum_path as edits
from evenbarrel.model.datum_path import Path
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.words.names import name_at

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

MODELS: Mapping[int, type[BaseModel]] = {2: Bid, 4: InjectionUnit, 6: Barrel}
"""What is shown, by how many parts its path has."""


class BidForms(QObject):
    """Makes each form when it is first wanted, and puts into the evaluation what is typed there.

    `made` holds those that are there, by what they show; each stands in its area, below the name
    of the thing.
    """

    form_made = Signal(object, object)
    """Carries what a new form shows, and the form: its area is to be put on the page."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session, self._page = session, parent
        self.made: dict[type[BaseModel], Form] = {}
        self.areas: dict[type[BaseModel], QWidget] = {}
        self._titles: dict[type[BaseModel], Label] = {}

    def of(self, model: type[BaseModel]) -> Form:
        """Return the form of a model."""
        if model not in self.made:
            form, title = Form(model), heading("", 1.0)
            form.edited.connect(lambda subject, *edit: self.put(subject.path, *edit))
            form.resin_wanted.connect(self._want_resin)
            form.drafted.connect(self._session.keep_soon)
            self.made[model], self._titles[model] = form, title
            self.areas[model] = scrolled(form, title)
            self.form_made.emit(model, form)
        return self.made[model]

    def at(self, path: Path) -> Form:
        """Return the form of the thing at a path."""
        return self.of(MODELS[len(path)])

    def shown_in(self, area: QWidget | None) -> Path:
        """Return the path of what the form in an area shows; () where there is none."""
        shown = (self.made[model].subject for model, one in self.areas.items() if one is area)
        subject = next(shown, None)
        return () if subject is None else subject.path

    def show(self, path: Path, appraisal: Appraisal) -> None:
        """Show a thing in its form, a barrel with the hints of its numbers."""
        evaluation = appraisal.evaluation
        form, thing = self.at(path), edits.get(evaluation, path)
        above = (name_at(evaluation, path[:end]) for end in range(2, len(path) + 1, 2))
        self._titles[type(thing)].setText("  ›  ".join(above))
        self._show(form, edits.thing_at(path), evaluation)
        if isinstance(thing, Barrel):
            # Loaded with the first form that wants it: it brings numpy along.
            from evenbarrel.wording.sentences.hints import barrel_hints

            form.show_hints(barrel_hints(appraisal, thing.id))

    def show_entries(self, evaluation: Evaluation) -> None:
        """Show what is in sight as it is entered; names and hints follow."""
        for form in self.made.values():
            if form.subject is not None and form.isVisible():
                self._show(form, form.subject, evaluation)

    def _show(self, form: Form, subject: edits.ThingPath, evaluation: Evaluation) -> None:
        bid: Bid = edits.get(evaluation, subject.path[:2])
        thing = edits.get(evaluation, subject.path)
        form.show_thing(thing, subject, context_of(evaluation, bid.currency))

    def put(self, path: Path, name: str, value: object, step: str = "") -> bool:
        """Put a value into a thing's field as one step; say whether the evaluation took it."""
        evaluation = self._session.evaluation
        thing: BaseModel = edits.get(evaluation, path)
        label = shapes_of(type(thing))[name].datum.label
        text = step or pages.changed_datum(label, name_at(evaluation, path))
        if self._session.try_edit(text, lambda: with_datum(evaluation, (*path, name), value)):
            return True
        self.made[type(thing)].refuse(edits.thing_at(path), name, getattr(thing, name))
        return False

    def _want_resin(self, subject: edits.ThingPath, name: str) -> None:
        ask_for_resin(self._session, self._page, lambda resin: self.put(subject.path, name, resin))
