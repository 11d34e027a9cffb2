"""Bids: suppliers, injection units and barrels at the left, the form of the chosen one beside."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pydantic import BaseModel
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QGridLayout,
    QMenu,
    QPushButton,
    QSplitter,
    QStackedWidget,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.appraisal.references import DatumRef, Reference, WayOut
from evenbarrel.desk.collecting.area import CollectingArea
from evenbarrel.desk.collecting.collect_menu import fill_offer, fill_ways
from evenbarrel.desk.collecting.ways import Wish
from evenbarrel.desk.collecting.ways_panel import WaysPanel
from evenbarrel.desk.forms.form import Form
from evenbarrel.desk.forms.refused_texts import Typing
from evenbarrel.desk.letters.drafts import PARTS
from evenbarrel.desk.pages.bids.bid_forms import MODELS, BidForms
from evenbarrel.desk.pages.bids.bid_tree import BidTree
from evenbarrel.desk.pages.bids.quote.beside import QuoteBeside
from evenbarrel.desk.pages.bids.room import Room
from evenbarrel.desk.pages.bids.screw_sheet import ScrewSheet
from evenbarrel.desk.pages.page import Page, page_action
from evenbarrel.desk.style.buttons import button_for
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, Theme, heading
from evenbarrel.desk.window.session import Session
from evenbarrel.model import changes
from evenbarrel.model import datum_path as edits
from evenbarrel.model.datum_path import Path, TypedText
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.states.difference import EVERYTHING, Difference
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.sentences.asking import collecting as words
from evenbarrel.wording.words.names import name_at

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_UNIT, _BARREL = 4, 6
"""Parts in the path of a unit, and of a barrel."""
_SCREWS, _OWN_DATA = range(2)
_TREE_WIDTH = 264


class BidsPage(Page):
    """What suppliers offer, typed as printed."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.tree = BidTree(theme)
        self.sheet = ScrewSheet(session, theme)
        self.unit_tabs = QTabWidget()
        self.empty = WaysPanel()
        both = QSplitter(Qt.Orientation.Horizontal)
        self.collecting = CollectingArea(session, theme, both)
        self._forms = BidForms(session, self)
        self.forms = self._forms.made
        self._stack = QStackedWidget()
        self._sheet_of: Path | None = None
        self.quote = QuoteBeside(session, theme, self.sheet, self._forms.put, self._chosen_bid)
        self.quote.join(self.collecting)
        self._make_actions()
        self._lay_out(both)
        self._forms.form_made.connect(self._place_form)
        self.tree.moved.connect(self._moved)
        self.tree.entered.connect(self._enter)
        self.quote.begun.connect(lambda bid: self.open_datum((*bid, "supplier")))
        self.empty.wanted.connect(self.collect)
        self.collecting.taken.connect(self._go_on_at)
        self.collecting.front_changed.connect(lambda: self._enable(self._shown_path()))
        self.collecting.collector.typing_wanted.connect(self._type_offer)

    def show_appraisal(self, appraisal: Appraisal, difference: Difference = EVERYTHING) -> None:
        """Show every bid as it is now, and the form of the chosen one."""
        self.collecting.show_appraisal(appraisal)
        self.tree.show_appraisal(appraisal)
        if not self.tree.chosen_paths() and appraisal.evaluation.bids:
            self.tree.choose(("bids", appraisal.evaluation.bids[0].id))
        self._show_chosen(appraisal)

    def commit(self) -> None:
        """Take what is being typed in the data sheet."""
        self.sheet.view.commit()

    def typing(self) -> tuple[Typing, ...]:
        """Return where a person types on this page."""
        return self.sheet.model.texts, *self.forms.values(), self.collecting

    def take_back(self, typed: TypedText) -> bool:
        """Keep a text as if it had been typed here, in a form that is made for it if need be."""
        model = MODELS.get(len(typed.path) - 1)
        if model is not None and not typed.table:
            self._forms.of(model)
        return super().take_back(typed)

    def choose(self, path: Path) -> None:
        """Choose a supplier, unit or barrel."""
        self.collecting.show_offers()
        self.tree.choose(path)

    def _go_on_at(self, path: Path) -> None:
        """Show what was taken, the keyboard where it does not state anything yet."""
        self.choose(path)
        if self._stack.currentWidget() is self.unit_tabs:
            self.sheet.focus_gap()
        else:
            self._forms.at(path).focus_gap()

    def collect(self, wish: Wish) -> None:
        """Do what a person wants done of collecting bids."""
        self.collecting.collect(wish)

    def show_entries(self) -> None:
        """Show the offers as they are entered; names in the tree and hints follow."""
        self.sheet.show_entries(self._session.evaluation)
        self._forms.show_entries(self._session.evaluation)

    def open_datum(self, path: Path) -> None:
        """Show the supplier, unit or barrel and the field of the datum at `path`; () an extract."""
        if not path:
            self.collecting.back.click()
            return
        if path[2:] in {(part,) for part in PARTS}:
            self._session.letter_wanted.emit(path[1])
            return
        *thing, name = path
        self.choose(tuple(thing))
        self.show_form()
        self._forms.at(tuple(thing)).focus_field(name)

    def point_at(self, shown: Reference | WayOut) -> None:
        """Show a screw's datum on the data sheet of its unit."""
        if isinstance(shown, DatumRef) and len(shown.path) > _BARREL:
            self.choose(shown.path[:_UNIT])
            self.unit_tabs.setCurrentIndex(_SCREWS)
            self.sheet.focus_cell(shown.path[_BARREL - 1], shown.path[_BARREL])

    def show_form(self) -> None:
        """Turn from a unit's data sheet to the form of its own data."""
        if self._stack.currentWidget() is self.unit_tabs:
            self.unit_tabs.setCurrentIndex(_OWN_DATA)

    def _make_actions(self) -> None:
        self.add_bid = page_action(self, pages.ADD_SUPPLIER, "Ctrl+Shift+A", self._add_bid)
        self.add_unit = page_action(self, pages.ADD_UNIT, "Ctrl+Shift+U", self._add_unit)
        self.add_barrel = page_action(self, pages.ADD_BARREL, "Ctrl+Shift+B", self._add_barrel)
        self.duplicate = page_action(self, "Duplicate barrel", "Ctrl+Shift+D", self._duplicate)
        self.remove = page_action(self, "Remove", "Ctrl+Delete", self._remove)
        self.quote.make_actions(self)
        self.ways, self.offer = QPushButton(words.COLLECT_BUTTON), QPushButton(words.OFFER_BUTTON)
        ways, self._of_offer = QMenu(self), QMenu(self)
        fill_ways(ways, self.collect, with_keys=False)
        self._of_offer.aboutToShow.connect(self._offer_menu)
        self.ways.setMenu(ways)
        self.offer.setMenu(self._of_offer)
        self.letter = page_action(self, pages.LETTER, "Ctrl+Shift+L", self._write_letter)

    def _lay_out(self, both: QSplitter) -> None:
        buttons = QGridLayout()
        buttons.setSpacing(4)
        steps = [self.ways, self.offer, *map(button_for, self.actions()[:-4])]
        for place, button in enumerate(steps):
            # The last of an odd number takes both columns.
            across = 2 if place == len(steps) - 1 and place % 2 == 0 else 1
            buttons.addWidget(button, place // 2, place % 2, 1, across)
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, GRID)
        column.addWidget(self.tree, 1)
        nest(column, buttons)
        self._choose_hint = hint = Label(pages.BIDS_CHOOSE)
        hint.setWordWrap(True)
        hint.setAlignment(Qt.AlignmentFlag.AlignTop)
        hint.setMargin(GRID * 2)
        self._stack.addWidget(self.empty)
        self._stack.addWidget(hint)
        for tabs in (self.unit_tabs, self.unit_tabs.tabBar()):
            tabs.setAccessibleName(pages.OF_UNIT)
        self.unit_tabs.setDocumentMode(True)
        self.unit_tabs.addTab(self.sheet, pages.SHEET)
        self._stack.addWidget(self.unit_tabs)
        both.addWidget(left)
        both.addWidget(self._stack)
        both.setStretchFactor(1, 1)
        both.setSizes([_TREE_WIDTH, 3 * _TREE_WIDTH])
        self.room = Room(left, self.collecting, self.quote)
        self.room.wanted.connect(self.room_wanted)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(GRID, GRID, GRID, 0)
        outer.addWidget(heading("Bids", 3.0))
        outer.addWidget(self.room.splitter, 1)

    def _moved(self) -> None:
        path = self.tree.current_path()
        if len(path) == 6:
            # A barrel that counts no more stands on no other page.
            counts = self._session.evaluation.counts(path[-1])
            self._session.selection.choose_barrel(path[-1] if counts else None)
        if self._session.appraisal is not None:
            self._show_chosen(self._session.appraisal)

    def _show_chosen(self, appraisal: Appraisal) -> None:
        barrels, path = self.tree.chosen_barrels(), self.tree.current_path()
        if not appraisal.evaluation.bids:
            self._stack.setCurrentWidget(self.empty)
        elif len(barrels) > 1:
            self._show_sheet(None)
            self.sheet.show_barrels(barrels, appraisal)
        elif not path:
            self._stack.setCurrentWidget(self._choose_hint)
        elif len(path) == _UNIT:
            self._forms.show(path, appraisal)
            self._show_sheet(path)
            self.sheet.show_unit(path, appraisal)
        else:
            self._forms.show(path, appraisal)
            self._stack.setCurrentWidget(self._forms.areas[MODELS[len(path)]])
        self._enable(self._shown_path())
        self.quote.follow()

    def _enter(self) -> None:
        """Put the keyboard into the data of what is chosen."""
        if self.sheet.isVisible():
            self.sheet.view.setFocus(Qt.FocusReason.ShortcutFocusReason)
        elif path := self._shown_path():
            self._forms.at(path).focus_first()

    def _chosen_bid(self) -> str | None:
        path = self._shown_path() or self.tree.current_path()
        return path[1] if len(path) > 1 else None

    def wait(self) -> None:
        """Wait until no page of a quote is read any more."""
        self.quote.wait()

    def _show_sheet(self, unit: Path | None) -> None:
        """Show the data sheet, of a unit with the tab of its own data."""
        if self.unit_tabs.count() > _OWN_DATA:
            self.unit_tabs.setTabVisible(_OWN_DATA, unit is not None)
        if unit != self._sheet_of:
            self._sheet_of = unit
            self.unit_tabs.setCurrentIndex(_SCREWS)
        self._stack.setCurrentWidget(self.unit_tabs)

    def _shown_path(self) -> Path:
        """Return what the form or data sheet in sight shows, () where none is.

        Every step acts on that. Of barrels side by side none is the one that a step would be
        meant for.
        """
        if not self.collecting.offers_in_front:
            return ()
        area = self._stack.currentWidget()
        if area is self.unit_tabs:
            return self._sheet_of or ()
        return self._forms.shown_in(area)

    def _enable(self, path: Path) -> None:
        for action, least in (
            (self.add_unit, 2),
            (self.add_barrel, 4),
            (self.duplicate, 6),
            (self.remove, 2),
        ):
            action.setEnabled(len(path) >= least)
        # Nothing is added to what is not seen.
        self.add_bid.setEnabled(self.collecting.offers_in_front)
        self.offer.setEnabled(len(path) >= 2)
        offers = self._session.evaluation.suppliers_bids
        self.letter.setEnabled(any(path[:2] == ("bids", offer.id) for offer in offers))

    def _place_form(self, model: type[BaseModel], form: Form) -> None:
        self.quote.add_form(form)
        area = self._forms.areas[model]
        if model is InjectionUnit:
            self.unit_tabs.addTab(area, pages.OWN_DATA)
        else:
            self._stack.addWidget(area)

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
            on_sheet = len(path) == _UNIT
            self._append((*path[:4], "barrels"), barrel, pages.ADD_BARREL, on_sheet)

    def _duplicate(self) -> None:
        path = self._shown_path()
        if len(path) == 6:
            evaluation = self._session.evaluation
            unit: InjectionUnit = edits.get(evaluation, path[:4])
            barrel: Barrel = edits.get(evaluation, path)
            copy = changes.copy_of_barrel(evaluation, unit, barrel)
            self._append(path[:5], copy, "Duplicate barrel")

    def _append(self, parent: Path, thing: Any, text: str, on_sheet: bool = False) -> None:
        self._session.edit(text, edits.append(self._session.evaluation, parent, thing))
        if on_sheet:
            self.unit_tabs.setCurrentIndex(_SCREWS)
            self.sheet.focus_cell(thing.id, "label")
            return
        self.tree.choose((*parent, thing.id))
        self.show_form()
        self._forms.of(type(thing)).focus_first()

    def _remove(self) -> None:
        path = self._shown_path()
        if path:
            evaluation = self._session.evaluation
            text = f"Remove {name_at(evaluation, path)}"
            if self._session.try_edit(text, lambda: changes.without_branch(evaluation, path)):
                self.tree.choose(path[:-2])

    def _write_letter(self) -> None:
        path = self._shown_path()
        if path:
            self._session.letter_wanted.emit(path[1])

    def _type_offer(self) -> None:
        self.collecting.show_offers()
        self.add_bid.trigger()

    def _offer_menu(self) -> None:
        path = self._shown_path()
        if len(path) >= 2:
            bid: Bid = edits.get(self._session.evaluation, path[:2])
            fill_offer(self._of_offer, self._session, bid, self.collect)
