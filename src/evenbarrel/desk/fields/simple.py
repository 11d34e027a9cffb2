"""Fields of one line or one choice: text, whole number, share, date, choice, resin."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QToolButton

from evenbarrel.desk.fields.base import Field, QuietCombo, TypedField
from evenbarrel.entry.shapes import Context, ParsedText, Shape, read, written
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.words import labels

_NARROW = 176


class ShapeField(TypedField):
    """A line read by the shape of its datum."""

    def __init__(self, shape: Shape, context: Context | None = None) -> None:
        super().__init__(shape.datum.label, shape.datum.help)
        self.shape = shape
        self.context = context or Context()

    def read(self, text: str) -> ParsedText:
        """Return what `text` means for the datum."""
        return read(self.shape, text, self.context, self.shown)

    def written(self, value: object) -> str:
        """Return the value as text that reads back into itself."""
        return written(self.shape, value, self.context)


class TextField(ShapeField):
    """Free text. Emits `edited(str)`."""


class _NarrowField(ShapeField):
    def __init__(self, shape: Shape, context: Context | None = None) -> None:
        super().__init__(shape, context)
        self.line.setFixedWidth(_NARROW)
        self._row.addStretch(1)


class IntegerField(_NarrowField):
    """A whole number within its bounds. Emits `edited(int | None)`."""


class ShareField(_NarrowField):
    """A share, typed as such or in per cent; a change in a year may be below 0.

    Emits `edited(float | None)`.
    """


class NumberField(_NarrowField):
    """A plain number. Emits `edited(float | None)`."""


class DateField(_NarrowField):
    """A date as 2026-03-02, or nothing. Emits `edited(date | None)`."""


class CurrencyField(_NarrowField):
    """A currency by its three letters, or nothing. Emits `edited(str | None)`."""


class ChoiceField(Field):
    """One of a closed list, or "not stated". Emits `edited(str | None)`."""

    def __init__(self, shape: Shape) -> None:
        super().__init__(shape.datum.label, shape.datum.help)
        self.codes: tuple[str, ...] = ()
        self.combo = QuietCombo()
        self.combo.setAccessibleName(self.label)
        self.combo.setMinimumWidth(_NARROW)
        self.combo.activated.connect(lambda _: self.commit())
        self._row.addWidget(self.combo)
        self._row.addStretch(1)
        self.setFocusProxy(self.combo)
        self.offer(shape.choices, tuple(labels.choice(code) for code in shape.choices))

    def offer(self, codes: tuple[str, ...], words: tuple[str, ...]) -> None:
        """Offer these codes under these words; the value shown stays."""
        self.codes = codes
        self.combo.clear()
        self.combo.addItems([pages.NOT_STATED, *words])
        self._display(self.shown)

    def commit(self) -> None:
        """Take the choice as it stands."""
        index = self.combo.currentIndex()
        self._emit(self.codes[index - 1] if index > 0 else None)

    def _display(self, value: object) -> None:
        self.combo.setCurrentIndex(self.codes.index(value) + 1 if value in self.codes else 0)


class ResinField(ChoiceField):
    """One of the evaluation's resins, or of those the shipped table has besides, where a context
    offers them. Emits `edited(str | None)`, or `wanted` for the table.
    """

    wanted = Signal()

    def __init__(self, shape: Shape, context: Context | None = None) -> None:
        super().__init__(shape)
        self._offered: tuple[tuple[str, str], ...] = ()
        self.table = table = QToolButton()
        table.setText("Add from table…")
        table.setAccessibleName(f"{self.label}: add a resin from the table")
        table.clicked.connect(lambda _: self.wanted.emit())
        self._row.insertWidget(1, table)
        # Resins have long names: the choice takes all there is, nothing is left at the end.
        self._row.setStretchFactor(self.combo, 1)
        self._row.setStretch(self._row.count() - 1, 0)
        self.take_context(context or Context())

    def take_context(self, context: Context) -> None:
        """Offer the resins of `context`."""
        more = ((key, f"{name}{pages.FROM_TABLE}") for key, name in context.table.items())
        resins = (*context.resins.items(), *more)
        if resins != self._offered:
            self._offered = resins
            self.offer(tuple(code for code, _ in resins), tuple(name for _, name in resins))
