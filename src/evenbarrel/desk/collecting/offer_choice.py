"""Which offer an extract is for, and which earlier one that replaces."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from evenbarrel.desk.fields.base import QuietCombo
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, WARNING
from evenbarrel.intake.accepting.revising import may_revise, revised_by, supplier_of
from evenbarrel.intake.extract import Extract
from evenbarrel.intake.tables.synonyms import squeezed
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.wording.sentences.asking import collecting as words
from evenbarrel.wording.sentences.asking.carried import offer_name

_LEAST = 12
"""Letters that a choice shows at least."""


class OfferChoice(QWidget):
    """Two choices in a row, and a line that asks where a supplier has an offer here already."""

    offer_wanted = Signal(object)
    """Carries the id of a bid, "" for a new one."""
    revision_wanted = Signal(object)
    """Carries the id of the bid that it replaces, None for none."""

    def __init__(self) -> None:
        super().__init__()
        self.fixed = False
        """Whether the extract can be for no other offer."""
        self.bid, self.before = QuietCombo(), QuietCombo()
        self.bid.setAccessibleName("Which offer it is for")
        self.before.setAccessibleName("Which earlier offer it replaces")
        self.asked = Label()
        self.asked.setForegroundRole(WARNING)
        self._bids: tuple[str, ...] = ()
        self._befores: tuple[str | None, ...] = ()
        self.bid.activated.connect(lambda place: self.offer_wanted.emit(self._bids[place]))
        self.before.activated.connect(lambda place: self.revision_wanted.emit(self._befores[place]))
        self.asked.setWordWrap(True)
        row = QHBoxLayout()
        row.setSpacing(GRID)
        self._stands_in = Label(words.STANDS_IN)
        for title, combo in ((Label(words.FOR), self.bid), (self._stands_in, self.before)):
            title.setBuddy(combo)
            combo.keep_narrow(_LEAST)
            row.addWidget(title)
            row.addWidget(combo, 1)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID // 2)
        nest(column, row)
        column.addWidget(self.asked)

    def show_extract(self, evaluation: Evaluation, extract: Extract) -> None:
        """Show whose extract it is; new offers of a known supplier are asked about."""
        bid = extract.bid.bid
        self._bids = ("", *(one.id for one in evaluation.bids))
        self.bid.clear()
        self.bid.addItems(
            [words.A_NEW_OFFER, *(offer_name(evaluation, one) for one in evaluation.bids)]
        )
        self.bid.setCurrentIndex(self._bids.index(bid) if bid in self._bids else 0)
        self.bid.setEnabled(not self.fixed)
        is_new = bid not in self._bids
        supplier = squeezed(supplier_of(evaluation, extract))
        offered = sorted(
            may_revise(evaluation, bid), key=lambda one: squeezed(one.supplier) != supplier
        )
        self._befores = (None, *(one.id for one in offered))
        self.before.clear()
        self.before.addItems([words.NO_EARLIER, *(offer_name(evaluation, one) for one in offered)])
        chosen = revised_by(extract)
        self.before.setCurrentIndex(self._befores.index(chosen) if chosen in self._befores else 0)
        for widget in (self._stands_in, self.before):
            widget.setVisible(bool(offered))
        known = bool(supplier) and bool(offered) and squeezed(offered[0].supplier) == supplier
        asked = known and is_new and chosen is None
        self.asked.setVisible(asked)
        self.asked.setText(words.known_supplier(offered[0].supplier) if asked else "")
