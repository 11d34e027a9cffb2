"""The tree of suppliers, their injection units and barrels, with the mark of each one's gate."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import TYPE_CHECKING

from PySide6.QtCore import QItemSelectionModel, Qt, Signal
from PySide6.QtGui import QIcon, QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QTreeWidget,
    QTreeWidgetItem,
    QTreeWidgetItemIterator,
    QWidget,
)

from evenbarrel.appraisal.results import SEVERITY, State
from evenbarrel.desk.style.plain import name_item, set_tip, tree_item
from evenbarrel.desk.style.state_marks import mark_icon
from evenbarrel.desk.style.theme import Theme
from evenbarrel.model.datum_path import Path
from evenbarrel.model.offers.bid import InjectionUnit
from evenbarrel.wording.pictures.board import GATE_MARKS
from evenbarrel.wording.sentences.asking.carried import short_offer_name
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import bid_called, bid_line, name_at
from evenbarrel.wording.words.numbers import with_unit

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_PATH = Qt.ItemDataRole.UserRole
_STATE = Qt.ItemDataRole.UserRole + 1
_GATE_TIPS = {mark: labels.GATES[gate] for gate, mark in GATE_MARKS.items()}
_DEEPEST = 6
"""Parts in the path of a barrel."""

Line = tuple[Path, str, State | None]


class BidTree(QTreeWidget):
    """Emits `moved` when a person or a page chooses other things, `entered` on Enter."""

    moved = Signal()
    entered = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._items: dict[Path, QTreeWidgetItem] = {}
        self.setAccessibleName("Suppliers, injection units and barrels")
        self.setHeaderHidden(True)
        self.setUniformRowHeights(True)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.itemSelectionChanged.connect(self.moved)
        theme.changed.connect(self._ink)

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Show every bid; what is chosen stays chosen, else what it was part of."""
        lines = tuple(_lines(appraisal))
        if [path for path, _, _ in lines] != list(self._items):
            self._rebuild(lines)
        for path, text, state in lines:
            item = self._items[path]
            if item.text(0) != text:
                name_item(item, text)
            if item.data(0, _STATE) != state:
                item.setData(0, _STATE, state)
                self._ink_item(item)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Lead by Enter to the data of what is chosen."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.current_path():
            self.entered.emit()
        else:
            super().keyPressEvent(event)

    def current_path(self) -> Path:
        """Return the path of the thing chosen, () where nothing is."""
        paths = self.chosen_paths()
        if paths:
            current = self.currentItem()
            path = () if current is None else current.data(0, _PATH)
            return path if path in paths else paths[0]
        return ()

    def chosen_paths(self) -> tuple[Path, ...]:
        """Return the paths of all things chosen, in the order of the tree."""
        return tuple(path for path, item in self._items.items() if item.isSelected())

    def chosen_barrels(self) -> tuple[Path, ...]:
        """Return the paths of the barrels chosen."""
        return tuple(path for path in self.chosen_paths() if len(path) == _DEEPEST)

    def choose(self, path: Path) -> None:
        """Choose one thing alone."""
        item = self._items.get(path)
        if item is not None:
            # Told in full: else the keys of the shortcut that led here would add to the choice.
            self.setCurrentItem(item, 0, QItemSelectionModel.SelectionFlag.ClearAndSelect)

    def _rebuild(self, lines: tuple[Line, ...]) -> None:
        chosen, current = set(self.chosen_paths()), self.current_path()
        folded = {
            p for p, item in self._items.items() if item.childCount() and not item.isExpanded()
        }
        self.blockSignals(True)
        self.clear()
        self._items = {}
        for path, text, _ in lines:
            parent = self._items.get(path[:-2])
            item = tree_item(self if parent is None else parent, text)
            item.setData(0, _PATH, path)
            item.setExpanded(path not in folded)
            self._items[path] = item
        while current and current not in self._items:
            # What was chosen is gone: the thing it was part of is the next of interest.
            current = current[:-2]
        self.choose(current)
        for path in chosen & set(self._items):
            self._items[path].setSelected(True)
        self.blockSignals(False)
        self.moved.emit()

    def _ink(self) -> None:
        iterator = QTreeWidgetItemIterator(self)
        while iterator.value() is not None:
            self._ink_item(iterator.value())
            iterator += 1

    def _ink_item(self, item: QTreeWidgetItem) -> None:
        state = item.data(0, _STATE)
        item.setIcon(0, QIcon() if state is None else mark_icon(state, self._theme.colours))
        set_tip(item, "" if state is None else _GATE_TIPS[state])


def _lines(appraisal: Appraisal) -> Iterator[Line]:
    suppliers = Counter(bid.supplier for bid in appraisal.evaluation.bids)
    counting = {bid.id for bid in appraisal.evaluation.counting_bids}
    for bid in appraisal.evaluation.bids:
        # Two offers of one supplier are told apart by their numbers.
        one_of_many = suppliers[bid.supplier] > 1 and bool(bid.supplier)
        states = [_of_unit(unit, appraisal) for unit in bid.units]
        path: Path = ("bids", bid.id)
        name = (short_offer_name if one_of_many else bid_called)(appraisal.evaluation, bid)
        line = bid_line(bid, bid.id in counting, name)
        yield path, line, _best([s for s in states if s is not None])
        for unit, state in zip(bid.units, states, strict=True):
            of_unit = (*path, "units", unit.id)
            yield of_unit, name_at(appraisal.evaluation, of_unit), state
            yield from _barrel_lines(of_unit, unit, appraisal)


def _barrel_lines(of_unit: Path, unit: InjectionUnit, appraisal: Appraisal) -> Iterator[Line]:
    units = appraisal.evaluation.display_units
    for barrel in unit.barrels:
        path = (*of_unit, "barrels", barrel.id)
        name = name_at(appraisal.evaluation, path)
        if not appraisal.evaluation.counts(barrel.id):
            yield path, name, None
            continue
        bound = appraisal.barrel(barrel.id).swept.bound
        volume = "" if bound is None else with_unit(bound.nominal, "volume", units)
        gate = appraisal.gates.states[barrel.id]
        yield path, f"{name}   {volume}".rstrip(), GATE_MARKS[gate]


def _of_unit(unit: InjectionUnit, appraisal: Appraisal) -> State | None:
    # A supplier is as good as its best barrel: that is the one that would be bought.
    gates = appraisal.gates.states
    judged = [gates[barrel.id] for barrel in unit.barrels if barrel.id in gates]
    return _best([GATE_MARKS[gate] for gate in judged])


def _best(states: list[State]) -> State | None:
    return max(states, key=SEVERITY.index, default=None)
