"""A form generated from the descriptions of a model's data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from pydantic import BaseModel
from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QPalette, QResizeEvent
from PySide6.QtWidgets import (
    QDialog,
    QFrame,
    QGridLayout,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.fields.base import BESIDE_LINE, Field, TypedField, commit_focused
from evenbarrel.desk.fields.make import field_for, give_context
from evenbarrel.desk.fields.simple import ResinField
from evenbarrel.desk.help.glossary_window import explain_by_f1
from evenbarrel.desk.help.topics import explain_shape
from evenbarrel.desk.style.plain import Label, set_tip
from evenbarrel.desk.style.scrolling import Scrolling
from evenbarrel.desk.style.theme import GRID, heading
from evenbarrel.desk.window.session import Session
from evenbarrel.entry.shapes import Context, Shape, shapes_of
from evenbarrel.model.datum_path import Path, ThingPath, TypedText, get, thing_at
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.wording.help.glossary import F1
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.hint import NO_HINT, Hint
from evenbarrel.wording.words.names import names_of_resins

_LABEL_WIDTH = 128
_READABLE = 8 * GRID
"""What a field wants beyond its least beside a label, for where it is printed to be read [px]."""
_LABEL, _FIELD = range(2)


def context_of(evaluation: Evaluation, currency: str | None = None) -> Context:
    """Return what fields need to know of the evaluation."""
    return Context(
        evaluation.display_units, currency or evaluation.currency, names_of_resins(evaluation)
    )


class Form(QWidget):
    """One row for each datum: label, field, and a hint of what the other numbers imply.

    A form has one subject, the thing it shows: every edit says what it is an edit of, whatever is
    chosen elsewhere. `show_thing` never emits. What was typed and not taken is kept for each thing
    and shown again when the form comes back to it. Where it is narrow, labels stand above fields.
    """

    edited = Signal(object, str, object)
    """Carries the ThingPath of the subject, the field's name and its new value."""
    drafted = Signal()
    """What was typed into a field is not taken, or is gone again."""
    resin_wanted = Signal(object, str)
    """Carries the ThingPath of the subject and the field for which a resin is wanted."""
    place_wanted = Signal(object, object)
    """Carries the ThingPath of the subject and the Place of a number that is to be shown."""

    def __init__(
        self,
        model: type[BaseModel],
        names: Sequence[str] | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._model = model
        self.fields: dict[str, Field] = {}
        self.shapes: dict[str, Shape] = {}
        self._labels: dict[str, Label] = {}
        self._row_of: dict[str, int] = {}
        self._above = False
        self._narrowest: tuple[int, int] | None = None
        """What fields take, and what they want with labels beside them [px]; None: not measured."""
        self._drafts: dict[tuple[ThingPath, str], tuple[object, object]] = {}
        """What waits for the form to come back to its thing, and the value it was typed over."""
        self._subject: ThingPath | None = None
        self._context = Context()
        self._rows = QGridLayout(self)
        self._rows.setHorizontalSpacing(GRID)
        self._rows.setVerticalSpacing(4)
        self._rows.setColumnMinimumWidth(_LABEL, _LABEL_WIDTH)
        self._rows.setColumnStretch(_FIELD, 1)
        shapes = shapes_of(model)
        wanted = [shapes[name] for name in names or shapes]
        # A group is one block, wherever its data stand in the model.
        order = {group: place for place, group in reversed(list(enumerate(_groups(wanted))))}
        wanted.sort(key=lambda shape: order[shape.datum.group])
        for group, members in groupby(wanted, key=lambda shape: shape.datum.group):
            self._add_group(group)
            for shape in members:
                self._add_row(shape)
        self._rows.setRowStretch(self._rows.rowCount(), 1)

    @property
    def subject(self) -> ThingPath | None:
        """What the form shows, None before anything was shown."""
        return self._subject

    def show_thing(self, thing: BaseModel, subject: ThingPath, context: Context) -> None:
        """Show the thing that stands at `subject`."""
        moved = subject != self._subject
        if moved:
            self._drafts |= self._drafts_on_show(begun=True)
            self._subject = subject
        again = context != self._context
        self._context = context
        for name, field in self.fields.items():
            give_context(field, context)
            value = getattr(thing, name)
            if moved or (again and field.draft(begun=True) is None):
                field.reset(value)
            else:
                field.show_value(value)
        if moved:
            self._bring_drafts(subject)
        self._share_out()

    def show_hints(self, hints: Mapping[str, Hint]) -> None:
        """Say beside each row what the other numbers imply; nothing beside the rest."""
        for name, field in self.fields.items():
            field.show_hint(hints.get(name, NO_HINT))

    def refused(self) -> tuple[str, ...]:
        """Return the labels of fields in which something is typed that was not taken."""
        return tuple(field.label for field in self.fields.values() if field.draft() is not None)

    def not_taken(self, evaluation: Evaluation) -> Iterator[TypedText]:
        """Yield what was typed and not taken, of every thing that the form ever showed.

        And what is being typed: a window that is cut off would lose it.
        """
        drafts = {**self._drafts, **self._drafts_on_show(begun=True)}
        for (subject, name), (draft, over) in drafts.items():
            thing = self._thing(subject.path, evaluation)
            if thing is not None and getattr(thing, name) == over:
                yield self.fields[name].as_typed((*subject.path, name), draft, over)

    def take_back(self, typed: TypedText, evaluation: Evaluation) -> bool:
        """Keep a text for when its thing is shown; False where this form has no such field."""
        *owner, name = typed.path
        thing = self._thing(tuple(owner), evaluation)
        if typed.table or thing is None or name not in self.fields:
            return False
        self._drafts[thing_at(tuple(owner)), name] = typed, getattr(thing, name)
        return True

    def refuse(self, subject: ThingPath, name: str, before: object) -> None:
        """Keep what was typed for a field, told as refused: the evaluation would not take it."""
        if subject == self._subject:
            self.fields[name].refuse(before, pages.DOES_NOT_FIT)

    def forget_gone(self, evaluation: Evaluation) -> None:
        """Forget what was typed into things that are gone: their ids may be given again."""
        kept = {s for s, _ in self._drafts if self._thing(s.path, evaluation) is not None}
        self._drafts = {key: draft for key, draft in self._drafts.items() if key[0] in kept}
        if self._subject and self._thing(self._subject.path, evaluation) is None:
            self._leave()

    def forget_typed(self) -> None:
        """Forget all that was typed, and the subject: another document is opened."""
        self._drafts = {}
        self._leave()

    def _leave(self) -> None:
        for _, name in self._drafts_on_show():
            self.fields[name].reset(self.fields[name].shown)
        self._subject = None

    def _thing(self, path: Path, evaluation: Evaluation) -> object | None:
        """Return what stands at `path`, None where there is nothing that this form shows."""
        try:
            thing = get(evaluation, path)
        except (KeyError, AttributeError):
            return None
        return thing if type(thing) is self._model else None

    def focus_first(self) -> None:
        """Put the keyboard into the first field."""
        first = next(iter(self.fields.values()))
        first.setFocus(Qt.FocusReason.ShortcutFocusReason)
        if isinstance(first, TypedField):
            # A stack that turns its page may have put the keyboard there with nothing marked.
            first.line.selectAll()

    def focus_gap(self) -> None:
        """Put the keyboard into the first field that states nothing, else into the first one."""
        empty = (name for name, field in self.fields.items() if field.shown in (None, "", ()))
        self.focus_field(next(empty, next(iter(self.fields))))

    def focus_field(self, name: str) -> None:
        """Put the keyboard into the field of that name, where the form has one."""
        field = self.fields.get(name)
        if field is not None:
            field.setFocus(Qt.FocusReason.OtherFocusReason)

    def minimumSizeHint(self) -> QSize:
        """Return the least size, labels standing above their fields."""
        return QSize(self._widths()[0], super().minimumSizeHint().height())

    def event(self, event: QEvent) -> bool:
        """Measure again where what stands in the form is of another size, once it is seen."""
        done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest:
            before, self._narrowest = self._narrowest, None
            if self.isVisible() and self._widths() != before:
                self.updateGeometry()
                self._share_out()
        elif event.type() == QEvent.Type.Show and self._narrowest is None:
            self._share_out()
        return done

    def _widths(self) -> tuple[int, int]:
        if self._narrowest is None:
            margins = self._rows.contentsMargins()
            fields = max(field.minimumSizeHint().width() for field in self.fields.values())
            least = fields + margins.left() + margins.right()
            labels = max(label.sizeHint().width() for label in self._labels.values())
            self._narrowest = least, least + _READABLE + max(_LABEL_WIDTH, labels) + GRID
        return self._narrowest

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share out the width again."""
        super().resizeEvent(event)
        self._share_out()

    def _share_out(self) -> None:
        """Put labels above their fields where there is no room beside them."""
        above = self.width() < self._widths()[1]
        if above != self._above:
            self._above = above
            self._rows.setColumnMinimumWidth(_LABEL, 0 if above else _LABEL_WIDTH)
            for name, field in self.fields.items():
                label = self._labels[name]
                for widget in (label, field):
                    self._rows.removeWidget(widget)
                self._place(label, field, self._row_of[name])
            self.updateGeometry()

    def _add_group(self, group: str) -> None:
        title = heading(labels.GROUPS.get(group, group.capitalize()))
        row = self._rows.rowCount()
        if row > 1:
            self._rows.setRowMinimumHeight(row, GRID)
            row += 1
        self._rows.addWidget(title, row, _LABEL, 1, 2)
        line = QFrame()
        line.setFrameShape(QFrame.Shape.HLine)
        line.setForegroundRole(QPalette.ColorRole.Mid)
        self._rows.addWidget(line, row + 1, _LABEL, 1, 2)

    def _add_row(self, shape: Shape) -> None:
        field = field_for(shape, self._context)
        explain_shape(field, shape)
        name = shape.name
        field.edited.connect(lambda value, name=name: self.edited.emit(self._subject, name, value))
        field.drafted.connect(self.drafted)
        field.place_wanted.connect(lambda place: self.place_wanted.emit(self._subject, place))
        if isinstance(field, ResinField):
            field.wanted.connect(lambda name=name: self.resin_wanted.emit(self._subject, name))
        label = Label(shape.datum.label)
        set_tip(label, f"{shape.datum.help}\n{F1}".strip())
        label.setBuddy(field)
        label.setContentsMargins(0, BESIDE_LINE, 0, 0)
        self.fields[name], self._labels[name] = field, label
        self.shapes[name] = shape
        self._row_of[name] = self._rows.rowCount()
        self._place(label, field, self._row_of[name])

    def _place(self, label: Label, field: Field, row: int) -> None:
        top = Qt.AlignmentFlag.AlignTop
        if self._above:
            self._rows.addWidget(label, row, _LABEL, 1, 2)
            self._rows.addWidget(field, row + 1, _LABEL, 1, 2, top)
        else:
            self._rows.addWidget(label, row, _LABEL, top)
            # The row below is kept for the field of a narrow form.
            self._rows.addWidget(field, row, _FIELD, 2, 1, top)

    def _drafts_on_show(
        self, begun: bool = False
    ) -> dict[tuple[ThingPath, str], tuple[object, object]]:
        subject = self._subject
        if subject is None:
            return {}
        drafts = ((name, field, field.draft(begun)) for name, field in self.fields.items())
        return {(subject, name): (d, field.shown) for name, field, d in drafts if d is not None}

    def _bring_drafts(self, subject: ThingPath) -> None:
        for name, field in self.fields.items():
            draft, over = self._drafts.pop((subject, name), (None, None))
            # It stands over the value it was typed over; another value replaces it.
            if draft is not None and over == field.shown:
                field.take_draft(draft)


def _groups(shapes: Sequence[Shape]) -> list[str]:
    return [shape.datum.group for shape in shapes]


def scrolled(form: QWidget, *above: QWidget) -> Scrolling:
    """Return a scroll area that holds a form under what stands `above` it."""
    page = QWidget()
    column = QVBoxLayout(page)
    column.setContentsMargins(GRID * 2, GRID, GRID, GRID)
    column.setSpacing(GRID)
    for widget in above:
        column.addWidget(widget)
    column.addWidget(form, 1)
    return Scrolling(page)


class FormDialog(QDialog):
    """A dialog of forms; closing tells what stands typed in them and could not be taken."""

    def __init__(
        self, session: Session, forms: Sequence[Form], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._forms = tuple(forms)
        explain_by_f1(self)

    def done(self, result: int) -> None:
        """Close, and tell what was refused."""
        commit_focused()
        refused = tuple(text for form in self._forms for text in form.refused())
        if refused:
            self._session.refused.emit(pages.left_as_it_was(refused))
        super().done(result)
