"""A number with its unit, as it was printed; and an amount of money with its currency."""

from __future__ import annotations

from typing import Any, cast

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QFormLayout, QToolButton, QWidget

from evenbarrel.desk.fields.base import LineEdit, QuietCombo, TypedField
from evenbarrel.desk.fields.provenance import STANDINGS, Provenance, choice_of_standing
from evenbarrel.desk.style.plain import Label, name_window, set_tip
from evenbarrel.desk.style.theme import PROBLEM, faint
from evenbarrel.entry.amount import read_money
from evenbarrel.entry.meant import unit_meant
from evenbarrel.entry.shapes import (
    HALF_WIDTH,
    Context,
    ParsedText,
    read,
    read_quantity,
    read_text,
)
from evenbarrel.model.datum import Datum
from evenbarrel.model.datum_path import Path, TypedText
from evenbarrel.model.quantity import Money, Quantity, Standing
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.words.numbers import rounded, unit_text

_NUMBER_WIDTH = 88
_UNIT_WIDTH = 80
_DETAILS_WIDTH = 400
_HALF_WIDTH_HINT = "The half-width bounds the value; if empty, the usual one for its route is used."


class DetailsDialog(QDialog):
    """Standing, half-width and note of one number."""

    def __init__(self, label: str, quantity: Quantity, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        name_window(self, label)
        self.half_width: float | None = quantity.half_width
        self.note = quantity.note
        text = "" if quantity.half_width is None else f"{rounded(quantity.half_width * 100, 2)} %"
        self.half_line = LineEdit(text)
        self.half_line.setAccessibleName("Half-width, share of the value")
        self.note_line = LineEdit(quantity.note)
        self.note_line.setAccessibleName("Note")
        self.standing = choice_of_standing("Standing")
        self.standing.setCurrentIndex(STANDINGS.index(quantity.standing))
        self._problem = Label()
        self._problem.setForegroundRole(PROBLEM)
        self._problem.setWordWrap(True)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        self.setMinimumWidth(_DETAILS_WIDTH)
        form = QFormLayout(self)
        form.addRow("&Standing", self.standing)
        form.addRow("&Half-width ±", self.half_line)
        form.addRow("&Note", self.note_line)
        hint = faint(Label(_HALF_WIDTH_HINT))
        hint.setWordWrap(True)
        form.addRow(hint)
        form.addRow(self._problem)
        form.addRow(buttons)

    def accept(self) -> None:
        """Close where half-width and note can be taken, else say why not."""
        reading = read(HALF_WIDTH, self.half_line.text(), Context())
        note = read_text(self.note_line.text())
        self._problem.setText(reading.objection or note.objection)
        if not self._problem.text():
            self.half_width, self.note = reading.value, note.value
            super().accept()


class QuantityField(TypedField):
    """Number, unit, where printed, standing; below it what was understood.

    Emits `edited(Quantity | None)`. Text that is no number stays visible with the reason and is
    never written to the model. Another unit reads the same printed number in that unit.
    """

    def __init__(
        self, datum: Datum, context: Context | None = None, standing: Standing = "quoted"
    ) -> None:
        super().__init__(datum.label, datum.help)
        self.datum = datum
        self.context = context or Context()
        self._begins: Standing = standing
        self.line.setFixedWidth(_NUMBER_WIDTH)
        self.line.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.unit: QuietCombo | None = None
        self._add_unit()
        self.provenance = Provenance(self.label, self._row, self.commit, self.place_wanted.emit)
        self.provenance.source.textEdited.connect(self.drafted)
        self.details = QToolButton()
        self.details.setText("…")
        self.details.setAccessibleName(f"{self.label}: half-width and note")
        self.details.clicked.connect(self._open_details)
        # One datum is two stops of the Tab key, number and source: a unit may be typed behind the
        # number, and F4 opens the rest.
        for widget in (self.unit, self.provenance.standing, self.details):
            if widget is not None:
                widget.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        open_more = QAction(self)
        open_more.setShortcut(QKeySequence("F4"))
        open_more.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        open_more.triggered.connect(self._open_details)
        self.addAction(open_more)
        self._row.addWidget(self.details)
        self.provenance.show("", standing)
        self.say(ParsedText())

    def _add_unit(self) -> None:
        units = self.datum.units
        if len(units) == 1:
            only = Label(unit_text(units[0]))
            only.setFixedWidth(_UNIT_WIDTH)
            self._row.addWidget(only)
            return
        self.unit = QuietCombo()
        self.unit.setAccessibleName(f"{self.label}: unit")
        self.unit.addItems([unit_text(unit) or "share" for unit in units])
        self.unit.setFixedWidth(_UNIT_WIDTH)
        self.unit.activated.connect(lambda _: self.commit())
        self._row.addWidget(self.unit)

    @property
    def quantity(self) -> Quantity | None:
        """The model's quantity that the field stands for."""
        return self._shown if isinstance(self._shown, Quantity) else None

    def read(self, text: str) -> ParsedText:
        """Return what `text` means in the unit chosen, with source and standing as set."""
        reading = read_quantity(self.datum, text, self._unit(), self.context, self.quantity)
        return self.provenance.given_to(reading)

    def written(self, value: object) -> str:
        """Return the number alone; its unit stands beside it."""
        return value.magnitude if isinstance(value, Quantity) else ""

    def commit(self) -> None:
        """Take number, unit, source and standing as they stand."""
        super().commit()
        if not self._refused and self.quantity is not None:
            self._show_unit(self.quantity.unit)

    def draft(self, begun: bool = False) -> object | None:
        """Return all that was typed where the number is refused or still missing, or None."""
        alone = self.quantity is None and self.provenance.stands_alone()
        begun = begun and (self.line.isModified() or self.provenance.is_begun)
        if not (self._refused or alone or begun):
            return None
        return self.line.text(), self._unit(), self.provenance.changes()

    def as_typed(self, path: Path, draft: object, over: object) -> TypedText:
        """Return number, unit and source as one text; a unit that would be meant is left out."""
        if isinstance(draft, TypedText):
            return draft
        text, unit, changes = cast("tuple[str, str, dict[str, Any]]", draft)
        meant, before = unit_meant(self.datum, self.context.units), ""
        if isinstance(over, Quantity):
            meant, before = over.unit, over.source
        words = _one_text(text, "" if unit == meant else unit, changes["source"], before)
        return TypedText(path, words, standing=changes["standing"])

    def take_draft(self, draft: object) -> None:
        """Show again what was typed and not taken."""
        if isinstance(draft, TypedText):
            self.provenance.choose(draft.standing)
            super().take_draft(draft)
            return
        text, unit, changes = cast("tuple[str, str, dict[str, Any]]", draft)
        self._show_unit(unit)
        self.provenance.show(**changes)
        super().take_draft(text)

    def _display(self, value: object) -> None:
        quantity = value if isinstance(value, Quantity) else None
        # What is left of a number that was emptied (unit, source) would else belong to another.
        meant = unit_meant(self.datum, self.context.units)
        self._show_unit(meant if quantity is None else quantity.unit)
        if quantity is None:
            self.provenance.show("", self._begins)
        else:
            self.provenance.show(quantity.source, quantity.standing, quantity.place)
        self._show_details()
        super()._display(value)

    def _emit(self, value: object) -> None:
        super()._emit(value)
        self.provenance.source.setModified(False)
        self._show_details()

    def _unit(self) -> str:
        return self.datum.units[0 if self.unit is None else self.unit.currentIndex()]

    def _show_unit(self, unit: str) -> None:
        if self.unit is not None:
            self.unit.setCurrentIndex(self.datum.units.index(unit))

    def _show_details(self) -> None:
        quantity = self.quantity
        self.details.setEnabled(quantity is not None)
        has_more = quantity is not None and (quantity.half_width is not None or quantity.note)
        self.details.setText("…*" if has_more else "…")
        more = quantity and pages.details_tip(quantity.half_width, quantity.note)
        set_tip(self.details, more or "")

    def _open_details(self) -> None:
        self.commit()
        quantity = self.quantity
        if quantity is None or self._refused:
            return
        dialog = DetailsDialog(self.label, quantity, self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.accepted.connect(
            lambda: self._emit(
                quantity.replace(
                    standing=STANDINGS[dialog.standing.currentIndex()],
                    half_width=dialog.half_width,
                    note=dialog.note,
                )
            )
        )
        dialog.accepted.connect(lambda: self.reset(self.quantity))
        dialog.open()


def _one_text(number: str, unit: str, source: str, before: str) -> str:
    """Return what stands in the parts of a field; a source that stood there before is left out."""
    return " ".join(part for part in (number, unit, "" if source == before else source) if part)


class MoneyField(TypedField):
    """Amount, currency, where printed, standing. Emits `edited(Money | None)`."""

    def __init__(self, datum: Datum, context: Context | None = None) -> None:
        super().__init__(datum.label, datum.help)
        self.context = context or Context()
        self.line.setFixedWidth(_NUMBER_WIDTH)
        self.line.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.currency = LineEdit()
        self.currency.setAccessibleName(f"{self.label}: currency")
        self.currency.setFixedWidth(_UNIT_WIDTH)
        self.currency.setPlaceholderText(self.context.currency)
        self.currency.textEdited.connect(self.drafted)
        self.currency.editingFinished.connect(self.commit)
        self._row.addWidget(self.currency)
        self.provenance = Provenance(self.label, self._row, self.commit, self.place_wanted.emit)
        self.provenance.source.textEdited.connect(self.drafted)
        # A currency may be typed beside the amount.
        self.currency.setFocusPolicy(Qt.FocusPolicy.ClickFocus)

    @property
    def money(self) -> Money | None:
        """The model's amount that the field stands for."""
        return self._shown if isinstance(self._shown, Money) else None

    def read(self, text: str) -> ParsedText:
        """Return what `text` means in the currency beside it."""
        currency = self.currency.text().strip().upper() or self.context.currency
        reading = read_money(text, currency, self.money)
        return self.provenance.given_to(reading)

    def written(self, value: object) -> str:
        """Return the amount alone; its currency stands beside it."""
        return value.amount if isinstance(value, Money) else ""

    def commit(self) -> None:
        """Take amount, currency, source and standing as they stand."""
        super().commit()
        if not self._refused and self.money is not None:
            self.currency.show_text(self.money.currency)

    def draft(self, begun: bool = False) -> object | None:
        """Return all that was typed where the amount is refused or still missing, or None."""
        beside = bool(self.currency.text().strip()) or self.provenance.stands_alone()
        alone = self.money is None and beside
        lines = self.line.isModified() or self.currency.isModified()
        begun = begun and (lines or self.provenance.is_begun)
        if not (self._refused or alone or begun):
            return None
        return self.line.text(), self.currency.text(), self.provenance.changes()

    def as_typed(self, path: Path, draft: object, over: object) -> TypedText:
        """Return amount, currency and source as one text."""
        if isinstance(draft, TypedText):
            return draft
        text, currency, changes = cast("tuple[str, str, dict[str, Any]]", draft)
        shown, before = (over.currency, over.source) if isinstance(over, Money) else ("", "")
        words = _one_text(text, "" if currency == shown else currency, changes["source"], before)
        return TypedText(path, words, standing=changes["standing"])

    def take_draft(self, draft: object) -> None:
        """Show again what was typed and not taken."""
        if isinstance(draft, TypedText):
            self.provenance.choose(draft.standing)
            super().take_draft(draft)
            return
        text, currency, changes = cast("tuple[str, str, dict[str, Any]]", draft)
        self.currency.setText(currency)
        self.provenance.show(**changes)
        super().take_draft(text)

    def _display(self, value: object) -> None:
        self.currency.setPlaceholderText(self.context.currency)
        if isinstance(value, Money):
            self.currency.show_text(value.currency)
            self.provenance.show(value.source, value.standing, value.place)
        else:
            self.currency.show_text("")
            self.provenance.show("", "quoted")
        super()._display(value)

    def _emit(self, value: object) -> None:
        super()._emit(value)
        self.provenance.source.setModified(False)
