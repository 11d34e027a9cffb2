"""Small dialogs in which a person decides: fields that are read by the same typed parser."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QFormLayout, QVBoxLayout, QWidget

from evenbarrel.appraisal.consequences import TriedReading
from evenbarrel.desk.fields.base import BESIDE_LINE, Field
from evenbarrel.desk.fields.make import field_for
from evenbarrel.desk.fields.simple import ChoiceField
from evenbarrel.desk.help.glossary_window import explain_by_f1
from evenbarrel.desk.style.buttons import size_window, within_window
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, name_window
from evenbarrel.desk.style.scrolling import Scrolling
from evenbarrel.desk.style.theme import GRID, PROBLEM
from evenbarrel.desk.window.session import Session
from evenbarrel.entry.shapes import Context, Shape
from evenbarrel.model import changes
from evenbarrel.model.datum import Datum
from evenbarrel.wording.sentences.deciding import decision, steps
from evenbarrel.wording.standing_by.signatures import STATEMENTS
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import full_name

ROLES = ("purchase", "process_engineering", "maintenance", "safety")
SCOPES: Mapping[str, str] = {"job": "this job", "all": decision.ALL_JOBS}
_WIDTH = 720

Values = Mapping[str, Any]
Problem = Callable[[Values], str]
"""Returns why values are not taken, or ""."""


def text_shape(name: str, label: str, help_text: str = "") -> Shape:
    """Return the shape of a line of free text."""
    return Shape(name, "text", Datum(label, help_text))


def date_shape(name: str, label: str, help_text: str = "") -> Shape:
    """Return the shape of a date that may be left empty."""
    return Shape(name, "date", Datum(label, help_text))


def choice_shape(name: str, label: str, choices: tuple[str, ...]) -> Shape:
    """Return the shape of a choice."""
    return Shape(name, "choice", Datum(label), choices)


PERSON = text_shape("person", "Person", "Who decides")
DATE = date_shape("date", "Date", "Such as 2026-03-02; may be left empty")
CONDITION = text_shape("condition", "Condition", "Under which it applies")
UNTIL = date_shape("until", "Until", "Such as 2026-03-02; leave empty for no end date")


def _first_missing(values: Values, wanted: Mapping[str, str]) -> str:
    return next((words for name, words in wanted.items() if not values.get(name)), "")


class AskDialog(QDialog):
    """Asks for a few values. `answered` carries them by name once all are taken.

    Nothing is taken while a field refuses its text or a value in `wanted` is missing; `wanted`
    gives for each name the sentence that then asks for it. `check` says why the values together
    are not taken.
    """

    answered = Signal(object)

    def __init__(
        self,
        title: str,
        explained: str,
        fields: Mapping[str, tuple[Shape, object]],
        wanted: Mapping[str, str],
        parent: QWidget,
        context: Context | None = None,
        check: Problem | None = None,
    ) -> None:
        super().__init__(parent)
        self._check = check
        name_window(self, title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        explain_by_f1(self)
        self._wanted = wanted
        self.fields: dict[str, Field] = {}
        self.problem = Label()
        self.problem.setForegroundRole(PROBLEM)
        self.problem.setWordWrap(True)
        self.problem.hide()
        # In a window lower than it what is asked scrolls; what can be done stays in sight.
        inside, self._below = QWidget(), QVBoxLayout()
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(GRID)
        outer.addWidget(Scrolling(inside), 1)
        nest(outer, self._below)
        form = QFormLayout(inside)
        form.setContentsMargins(GRID * 2, GRID * 2, GRID * 2, 0)
        form.setVerticalSpacing(GRID)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
        words = Label(explained)
        words.setWordWrap(True)
        form.addRow(words)
        self.form = form
        for name, (shape, value) in fields.items():
            field = field_for(shape, context or Context())
            field.reset(value)
            self.fields[name] = field
            self.add_row(shape.datum.label, field)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        self._below.setContentsMargins(GRID * 2, 0, GRID * 2, GRID * 2)
        self._below.setSpacing(GRID)
        self._below.addWidget(self.problem)
        self._below.addWidget(buttons)

    def add_row(self, label: str, field: QWidget) -> None:
        """Add what is asked below what is asked already, its label beside its first line."""
        words = Label(label)
        words.setContentsMargins(0, BESIDE_LINE, 0, 0)
        words.setAlignment(Qt.AlignmentFlag.AlignTop)
        words.setBuddy(field)
        self.form.addRow(words, field)

    def showEvent(self, event: QShowEvent) -> None:
        """Begin as high as what is asked."""
        super().showEvent(event)
        self.fit()

    def fit(self) -> None:
        """Be as high as what is asked, where the window it belongs to is as high."""
        width = within_window(self, QSize(max(_WIDTH, self.width()), 0)).width()
        least = max(self.form.minimumSize().height(), self.form.totalMinimumHeightForWidth(width))
        asked = max(least, self.form.totalHeightForWidth(width))
        # Buttons alone are as high at every width, and say so by -1.
        below = max(self._below.totalSizeHint().height(), self._below.totalHeightForWidth(width))
        size_window(self, width, asked + GRID + below)

    def _show_problem(self, problem: str) -> None:
        self.problem.setText(problem)
        self.problem.setVisible(bool(problem))

    def name_choices(self, name: str, words: Mapping[str, str]) -> None:
        """Offer the codes of one choice under these words."""
        field = self.fields[name]
        if isinstance(field, ChoiceField):
            field.offer(tuple(words), tuple(words.values()))

    def values(self) -> dict[str, Any]:
        """Return what stands in the fields, by name."""
        return {name: field.shown for name, field in self.fields.items()}

    def accept(self) -> None:
        """Take all fields and close, or say what is in the way and stay."""
        for field in self.fields.values():
            field.commit()
        refused = next((f.label for f in self.fields.values() if f.draft() is not None), "")
        problem = f"{refused}: not accepted." if refused else ""
        problem = problem or _first_missing(self.values(), self._wanted)
        if not problem and self._check is not None:
            problem = self._check(self.values())
        self._show_problem(problem)
        if problem:
            self.fit()
        else:
            self.answered.emit(self.values())
            super().accept()


def naming_dialog(person: str, reason: str, day: date | None, parent: QWidget) -> AskDialog:
    """Return the dialog in which a decision on a barrel's size gets its name and its reason."""
    fields: dict[str, tuple[Shape, object]] = {
        "reason": (text_shape("reason", "Reason", "Why this reading is right"), reason),
        "person": (PERSON, person),
        "date": (DATE, day),
    }
    wanted = {"reason": decision.REASON_WANTED, "person": decision.PERSON_WANTED}
    return AskDialog("Name and reason", decision.NAMING, fields, wanted, parent)


def confirm_dialog(what: str, today: date, parent: QWidget) -> AskDialog:
    """Return the dialog in which a named person confirms limits."""
    fields: dict[str, tuple[Shape, object]] = {
        "person": (PERSON, ""),
        "date": (DATE, today),
        "reason": (text_shape("reason", "Reason", decision.WHY_CONFIRMED), ""),
    }
    wanted = {"person": decision.PERSON_WANTED, "reason": decision.REASON_WANTED}
    return AskDialog("Confirm limits", what, fields, wanted, parent)


def rule_dialog(what: str, today: date, parent: QWidget, *, refused: bool) -> AskDialog:
    """Return the dialog in which a named person accepts cells that are outside, or refuses to."""
    why = decision.WHY_REFUSED if refused else decision.WHY_ACCEPTED
    fields: dict[str, tuple[Shape, object]] = {
        "person": (PERSON, ""),
        "reason": (text_shape("reason", "Reason", why), ""),
        "role": (choice_shape("role", "Role", ROLES), None),
        "date": (DATE, today),
    }
    if not refused:
        fields |= {"condition": (CONDITION, ""), "until": (UNTIL, None)}
    wanted = {"person": decision.PERSON_WANTED, "reason": decision.REASON_WANTED}
    title = "Refuse to waive" if refused else "Accept deviations"
    return AskDialog(title, what, fields, wanted, parent)


def deviation_dialog(
    criteria: tuple[str, ...], what: str, today: date, parent: QWidget
) -> AskDialog:
    """Return the dialog in which a named person accepts what is outside."""
    fields: dict[str, tuple[Shape, object]] = {
        "criterion": (choice_shape("criterion", "Criterion", criteria), criteria[0]),
        "scope": (choice_shape("scope", "Accepted for", tuple(SCOPES)), "job"),
        "reason": (text_shape("reason", "Reason", decision.WHY_ACCEPTED), ""),
        "person": (PERSON, ""),
        "role": (choice_shape("role", "Role", ROLES), None),
        "date": (DATE, today),
        "condition": (CONDITION, ""),
        "until": (UNTIL, None),
    }
    wanted = {
        "criterion": decision.CRITERION_WANTED,
        "scope": decision.SCOPE_WANTED,
        "reason": decision.REASON_WANTED,
        "person": decision.PERSON_WANTED,
    }
    dialog = AskDialog("Accept deviation", what, fields, wanted, parent)
    dialog.name_choices("criterion", {key: CRITERION_WORDS[key].label for key in criteria})
    dialog.name_choices("scope", SCOPES)
    return dialog


def sign_off_dialog(signed: str, today: date, parent: QWidget) -> AskDialog:
    """Return the dialog in which a person signs; `signed` tells what."""
    fields: dict[str, tuple[Shape, object]] = {
        "role": (choice_shape("role", "Role", ROLES), None),
        "person": (text_shape("person", "Person", decision.WHO_SIGNS), ""),
        "date": (DATE, today),
        "statement": (text_shape("statement", "Statement", "What is agreed to"), ""),
        "conditions": (text_shape("conditions", "Conditions", "Under which it is agreed"), ""),
    }
    wanted = {"role": decision.ROLE_WANTED, "person": decision.PERSON_WANTED}
    dialog = AskDialog("Sign off", f"{signed}\n\n{decision.SIGNING}", fields, wanted, parent)
    _show_statements(dialog)
    return dialog


def _show_statements(dialog: AskDialog) -> None:
    """Show what a role answers for in full, and have it in the field to be worded otherwise."""
    statement, in_full = dialog.fields["statement"], Label()
    in_full.setWordWrap(True)
    dialog.form.insertRow(1, in_full)

    def show_in_full() -> None:
        """A line shows the beginning of a statement; nobody signs what they have not read."""
        in_full.setText(str(statement.shown or decision.STATEMENT_FOLLOWS))
        dialog.fit()

    def show_statement(role: object) -> None:
        """Put what the role answers for to be read and changed; what a person wrote stays."""
        statement.commit()
        if statement.shown in ("", *STATEMENTS.values()):
            statement.reset(STATEMENTS.get(str(role), ""))  # type: ignore[call-overload]
        show_in_full()

    statement.edited.connect(lambda _: show_in_full())
    show_in_full()
    dialog.fields["role"].edited.connect(show_statement)


def proposal_fields(
    reason: str, person: str, day: date | None
) -> Mapping[str, tuple[Shape, object]]:
    """Return the fields in which a person stands by a proposal."""
    return {
        "reason": (text_shape("reason", "Reason", steps.WHY_PROPOSED), reason),
        "person": (PERSON, person),
        "date": (DATE, day),
    }


def decide_reading(session: Session, barrel: str, tried: TriedReading) -> None:
    """Settle a barrel's size by a reading, as one step of today; name and reason may follow."""
    if session.appraisal is None:
        return
    way = tried.settled.replace(date=date.today())
    session.try_edit(
        f"Settle the size of {full_name(session.appraisal, barrel)}",
        lambda: changes.settled(session.evaluation, barrel, way),
    )
