"""Bids: suppliers, injection units and barrels at the left, the form of the chosen one beside."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, Any

from pydantic import BaseModel
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFileDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.forms.entry_model import EntryModel
from evenbarrel.desk.forms.entry_table import EntryView
from evenbarrel.desk.forms.form import Form, context_of, scrolled
from evenbarrel.desk.pages.bids.bid_tree import BidTree
from evenbarrel.desk.pages.shots.resin_panel import ask_for_resin
from evenbarrel.desk.style.buttons import button_for, page_action
from evenbarrel.desk.style.theme import GRID, Theme, heading
from evenbarrel.desk.window.session import Session
from evenbarrel.entry.shapes import shapes_of
from evenbarrel.model import changes
from evenbarrel.model import datum_path as edits
from evenbarrel.model.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.datum_path import Path
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.words.names import name_at

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

Hints = Callable[["Appraisal", str], Mapping[str, str]]
"""What the other numbers of a barrel imply, by field name."""

MOST_COMPARED = 3
_MODELS: Mapping[int, type[BaseModel]] = {2: Bid, 4: InjectionUnit, 6: Barrel}
"""The model by the length of a path."""
_TREE_WIDTH = 264


class BidsPage(QWidget):
    """What suppliers offer, typed as printed."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        hints: Hints | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._hints = hints
        self.tree = BidTree(theme)
        self.compared = EntryModel(Barrel, tuple(shapes_of(Barrel)), theme, across=True)
        self.comparison = EntryView(self.compared, "Barrels side by side")
        self.empty = QLabel(pages.BIDS_EMPTY)
        self.forms: dict[type[BaseModel], Form] = {}
        self._areas: dict[type[BaseModel], QWidget] = {}
        self._titles: dict[type[BaseModel], QLabel] = {}
        self._stack = QStackedWidget()
        self._make_actions()
        self._lay_out()
        self.tree.moved.connect(self._moved)
        self.compared.edited.connect(self._put_compared)
        self.compared.refused.connect(session.refused)

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Show every bid as it is now, and the form of the chosen one."""
        self.tree.show_appraisal(appraisal)
        if not self.tree.chosen_paths() and appraisal.evaluation.bids:
            self.tree.choose(("bids", appraisal.evaluation.bids[0].id))
        self._show_chosen(appraisal)

    def commit(self) -> None:
        """Take what is being typed in the comparison."""
        self.comparison.commit()

    def refused(self) -> tuple[str, ...]:
        """Return what was typed on this page and not taken."""
        of_forms = (text for form in self.forms.values() for text in form.refused())
        return (*self.compared.refused_texts(), *of_forms)

    def choose(self, path: Path) -> None:
        """Choose a supplier, unit or barrel."""
        self.tree.choose(path)

    def _make_actions(self) -> None:
        self.add_bid = page_action(self, pages.ADD_SUPPLIER, "Ctrl+Shift+A", self._add_bid)
        self.add_unit = page_action(self, pages.ADD_UNIT, "Ctrl+Shift+U", self._add_unit)
        self.add_barrel = page_action(self, pages.ADD_BARREL, "Ctrl+Shift+B", self._add_barrel)
        self.duplicate = page_action(self, "Duplicate barrel", "Ctrl+D", self._duplicate)
        self.remove = page_action(self, "Remove", "Ctrl+Delete", self._remove)
        self.add_file = page_action(self, "Add a bid file…", "Ctrl+Shift+I", self._ask_bid_file)

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(heading("Bids", 3.0))
        top.addStretch(1)
        buttons = QGridLayout()
        buttons.setSpacing(4)
        for place, action in enumerate(self.actions()):
            buttons.addWidget(button_for(action), place // 2, place % 2)
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, GRID)
        column.addWidget(self.tree, 1)
        column.addLayout(buttons)
        hint = QLabel(pages.BIDS_CHOOSE)
        for label in (self.empty, hint):
            label.setWordWrap(True)
            label.setAlignment(Qt.AlignmentFlag.AlignTop)
            label.setMargin(GRID * 2)
        self._stack.addWidget(self.empty)
        self._stack.addWidget(hint)
        self._stack.addWidget(self.comparison)
        self._choose_hint = hint
        both = QSplitter(Qt.Orientation.Horizontal)
        both.addWidget(left)
        both.addWidget(self._stack)
        both.setStretchFactor(1, 1)
        both.setSizes([_TREE_WIDTH, 3 * _TREE_WIDTH])
        outer = QVBoxLayout(self)
        outer.setContentsMargins(GRID, GRID, GRID, 0)
        outer.addLayout(top)
        outer.addWidget(both, 1)

    def _moved(self) -> None:
        path = self.tree.current_path()
        if len(path) == 6:
            self._session.choose(path[-1], self._session.chosen_job)
        if self._session.appraisal is not None:
            self._show_chosen(self._session.appraisal)

    def _show_chosen(self, appraisal: Appraisal) -> None:
        barrels, path = self.tree.chosen_barrels(), self.tree.current_path()
        if not appraisal.evaluation.bids:
            self._stack.setCurrentWidget(self.empty)
        elif len(barrels) > 1:
            self._show_comparison(barrels[:MOST_COMPARED], appraisal)
        elif not path:
            self._stack.setCurrentWidget(self._choose_hint)
        else:
            self._show_form(path, appraisal)
        self._enable(self._shown_path())

    def _shown_path(self) -> Path:
        """Return what the form in sight shows, () where none is: every step acts on that.

        Of barrels side by side none is the one that a step would be meant for.
        """
        area = self._stack.currentWidget()
        shown = (self.forms[model].subject for model, one in self._areas.items() if one is area)
        subject = next(shown, None)
        return () if subject is None else subject.path

    def _enable(self, path: Path) -> None:
        for action, least in (
            (self.add_unit, 2),
            (self.add_barrel, 4),
            (self.duplicate, 6),
            (self.remove, 2),
        ):
            action.setEnabled(len(path) >= least)

    def _show_form(self, path: Path, appraisal: Appraisal) -> None:
        evaluation = appraisal.evaluation
        thing = edits.get(evaluation, path)
        model = type(thing)
        form = self._form(model)
        bid: Bid = edits.get(evaluation, path[:2])
        above = (_called(evaluation, path[:end]) for end in range(2, len(path) + 1, 2))
        self._titles[model].setText("  ›  ".join(above))
        form.show_thing(thing, edits.thing_at(path), context_of(evaluation, bid.currency))
        if model is Barrel:
            form.show_hints({} if self._hints is None else self._hints(appraisal, thing.id))
        self._stack.setCurrentWidget(self._areas[model])

    def _form(self, model: type[BaseModel]) -> Form:
        if model not in self.forms:
            form, title = Form(model), heading("", 1.0)
            form.edited.connect(lambda subject, *edit: self._put(subject.path, *edit))
            form.resin_wanted.connect(self._want_resin)
            self.forms[model], self._titles[model] = form, title
            self._areas[model] = scrolled(form, title)
            self._stack.addWidget(self._areas[model])
        return self.forms[model]

    def _show_comparison(self, paths: tuple[Path, ...], appraisal: Appraisal) -> None:
        evaluation = appraisal.evaluation
        barrels = [edits.get(evaluation, path) for path in paths]
        titles = [f"{_called(evaluation, path[:2])}\n{_called(evaluation, path)}" for path in paths]
        before = self.compared.columnCount()
        self.compared.show_things(barrels, context_of(evaluation), titles)
        if before != len(barrels):
            for column in range(len(barrels)):
                self.comparison.setColumnWidth(column, _TREE_WIDTH - 64)
        self._stack.setCurrentWidget(self.comparison)

    def _put(self, path: Path, name: str, value: object) -> bool:
        evaluation = self._session.evaluation
        thing: BaseModel = edits.get(evaluation, path)
        label = shapes_of(type(thing))[name].datum.label
        text = pages.changed_datum(label, _called(evaluation, path))
        if self._session.put((*path, name), value, text):
            return True
        form = self.forms[type(thing)]
        if form.subject == edits.thing_at(path):
            form.fields[name].reset(getattr(thing, name))
        return False

    def _put_compared(self, barrel: str, name: str, value: object) -> None:
        evaluation = self._session.evaluation
        path = evaluation.barrel_path(barrel)
        label = shapes_of(Barrel)[name].datum.label
        text = pages.changed_datum(label, _called(evaluation, path))
        self._session.put((*path, name), value, text)

    def _add_bid(self) -> None:
        bid = changes.new_bid(self._session.evaluation)
        self._append(("bids",), bid, pages.ADD_SUPPLIER)

    def _add_unit(self) -> None:
        path = self._shown_path()
        if len(path) >= 2:
            unit = changes.new_unit(self._session.evaluation)
            self._append((*path[:2], "units"), unit, pages.ADD_UNIT)

    def _add_barrel(self) -> None:
        path = self._shown_path()
        if len(path) >= 4:
            unit: InjectionUnit = edits.get(self._session.evaluation, path[:4])
            barrel = changes.new_barrel(self._session.evaluation, unit)
            self._append((*path[:4], "barrels"), barrel, pages.ADD_BARREL)

    def _duplicate(self) -> None:
        path = self._shown_path()
        if len(path) == 6:
            evaluation = self._session.evaluation
            unit: InjectionUnit = edits.get(evaluation, path[:4])
            barrel: Barrel = edits.get(evaluation, path)
            copy = changes.copy_of_barrel(evaluation, unit, barrel)
            self._append(path[:5], copy, "Duplicate barrel")

    def _append(self, parent: Path, thing: Any, text: str) -> None:
        self._session.edit(text, edits.append(self._session.evaluation, parent, thing))
        self.tree.choose((*parent, thing.id))
        self._form(type(thing)).focus_first()

    def _remove(self) -> None:
        path = self._shown_path()
        if path:
            neighbour = path[:-2]
            evaluation = self._session.evaluation
            text = f"Remove {_called(evaluation, path)}"
            if self._session.try_edit(text, lambda: changes.without_branch(evaluation, path)):
                self.tree.choose(neighbour)

    def _want_resin(self, subject: edits.ThingPath, name: str) -> None:
        path = subject.path
        ask_for_resin(self._session, self, lambda resin: self._put(path, name, resin))

    def _ask_bid_file(self) -> None:
        dialog = QFileDialog(self, "Add a bid file", "", "Bids (*.bid.json);;All files (*)")
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.fileSelected.connect(self.read_file)
        dialog.open()

    def read_file(self, name: str) -> None:
        """Add the bid in the file of that name, or tell why not."""
        try:
            bid = self._session.read_bid(FilePath(name))
        except FileRefused as refusal:
            self._session.refused.emit(str(refusal))
        else:
            self.tree.choose(("bids", bid.id))


def _called(evaluation: Evaluation, path: Path) -> str:
    if len(path) > 2:
        return name_at(evaluation, path)
    bid: Bid = edits.get(evaluation, path)
    return bid.supplier or bid.id
