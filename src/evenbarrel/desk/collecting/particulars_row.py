"""What an offer would be taken without: said, and typed there before it is taken."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from evenbarrel.desk.fields.simple import ShapeField
from evenbarrel.desk.help.topics import explain_shape
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, WARNING
from evenbarrel.entry.shapes import Context
from evenbarrel.intake.accepting.left_open import GivenBeside
from evenbarrel.intake.accepting.particulars import Particular, lacking, particulars, read_of
from evenbarrel.intake.extract import Extract
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.wording.sentences.asking import collecting as words

_NARROWEST = 120


class ParticularsRow(QWidget):
    """One field for each of supplier, offer number and price that is not there.

    Enter takes what is typed and goes on to the next field, from the last one to taking.
    """

    typed = Signal(object, object)
    """Carries the Particular and its value."""
    drafted = Signal()
    """What was typed is not taken, or is gone again."""
    passed = Signal()
    """Enter in the last field: the person goes on."""

    def __init__(self) -> None:
        super().__init__()
        self.doubt = Label()
        self.doubt.setForegroundRole(WARNING)
        self.doubt.setWordWrap(True)
        self.fields: dict[Particular, ShapeField] = {}
        self._typed: frozenset[Particular] = frozenset()
        self._to_take_back: dict[Particular, str] = {}
        """What was typed and not taken in an earlier window, until its field is made."""
        self._row = QHBoxLayout()
        self._row.setSpacing(GRID)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID // 2)
        column.addWidget(self.doubt)
        nest(column, self._row)

    def forget(self) -> None:
        """Forget what was typed for another extract."""
        self._typed, self._to_take_back = frozenset(), {}
        self._make(())

    def show_extract(
        self,
        evaluation: Evaluation,
        extract: Extract,
        ticked: frozenset[int],
        context: Context,
    ) -> None:
        """Say what would not be there; a field that was typed in stays for the extract."""
        missing = lacking(evaluation, extract, ticked)
        wanted = particulars(evaluation, extract)
        shown = tuple(one for one in wanted if one in missing or one in self._typed)
        if shown != tuple(self.fields):
            self._make(shown)
        for one, field in self.fields.items():
            field.context = context
            field.show_value(read_of(extract, one))
            if one in self._to_take_back:
                field.take_draft(self._to_take_back.pop(one))
        self.doubt.setText(words.taken_without([one.shape.datum.label for one in missing]))
        self.doubt.setVisible(bool(missing))
        self.setVisible(bool(shown))

    def begin(self, name: str) -> bool:
        """Take the keyboard to the field of that datum; False where it is there."""
        for one, field in self.fields.items():
            if one.field == name and one not in self._typed:
                self._go_to(field)
                return True
        return False

    def refused(self) -> tuple[str, ...]:
        """Return what was typed and cannot be taken."""
        return tuple(label for label, _ in self.drafts())

    def drafts(self) -> tuple[tuple[str, str], ...]:
        """Return what was typed and cannot be taken, each with what it is for."""
        return tuple((self.fields[one].label, text) for one, text in self._refused().items())

    def _refused(self, begun: bool = False) -> dict[Particular, str]:
        fields = self.fields.items()
        return {one: field.line.text() for one, field in fields if field.draft(begun) is not None}

    def given(self) -> tuple[GivenBeside, ...]:
        """Return which particulars were typed, with what was typed and cannot be taken."""
        refused = self._refused(begun=True)
        return tuple(
            GivenBeside(
                thing=one.thing.path,
                field=one.field,
                taken=one in self._typed,
                refused=refused.get(one),
            )
            for one in dict.fromkeys((*self._typed, *refused))
        )

    def take_back(self, given: Iterable[GivenBeside]) -> None:
        """Keep particulars as if they had been typed here, before an extract is shown."""
        for one in given:
            particular = Particular(one.bid_or_unit, one.field)
            if one.taken:
                self._typed |= {particular}
            if one.refused is not None:
                self._to_take_back[particular] = one.refused

    def _make(self, shown: tuple[Particular, ...]) -> None:
        before, self.fields = self.fields, {}
        for one in shown:
            self.fields[one] = before.pop(one) if one in before else self._field(one)
        for field in before.values():
            self._row.removeWidget(field)
            field.hide()
            field.deleteLater()
        for place, field in enumerate(self.fields.values()):
            self._row.insertWidget(place, field, 1)

    def _field(self, one: Particular) -> ShapeField:
        field = ShapeField(one.shape)
        field.line.setMinimumWidth(_NARROWEST)
        field.line.setPlaceholderText(one.shape.datum.label)
        explain_shape(field, one.shape)
        field.drafted.connect(self.drafted)
        field.edited.connect(lambda value: self._take(one, value))
        field.line.returnPressed.connect(lambda: self._go_on(one))
        return field

    def _take(self, one: Particular, value: object) -> None:
        stated = value not in (None, "")
        if stated or one in self._typed:
            self._typed |= {one}
            self.typed.emit(one, value if stated else None)

    def _go_on(self, one: Particular) -> None:
        field = self.fields[one]
        if field.draft() is not None:
            return
        if one not in self._typed and field.shown not in (None, ""):
            # What was read and not sure is confirmed by Enter.
            self._take(one, field.shown)
        later = list(self.fields)
        later = later[later.index(one) + 1 :]
        if later:
            self._go_to(self.fields[later[0]])
        else:
            self.passed.emit()

    def _go_to(self, field: ShapeField) -> None:
        field.line.setFocus()
        field.line.selectAll()
