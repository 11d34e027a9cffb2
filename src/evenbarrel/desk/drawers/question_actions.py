"""What can be done with questions: mark them, answer one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from evenbarrel.desk.forms.form import context_of
from evenbarrel.desk.window.session import Session
from evenbarrel.entry import answers
from evenbarrel.entry.shapes import Shape
from evenbarrel.model import datum_path as edits
from evenbarrel.model.record.decision import QuestionState
from evenbarrel.wording.sentences.asking import listing
from evenbarrel.wording.sentences.asking.questions import question_text

if TYPE_CHECKING:
    from evenbarrel.appraisal.results import Question
    from evenbarrel.desk.forms.decision_forms import AskDialog, Values


def mark(
    session: Session,
    questions: Sequence[Question],
    state: answers.AnswerState,
    day: date | None = None,
    answer_by: date | None = None,
) -> None:
    """Mark questions as asked, accepted or open again as one step, by the person who asks.

    Where no `day` is given it is today.
    """
    ended = QuestionState(
        state=state,
        person=session.person,
        date=None if state == "open" else day or session.today(),
        answer_by=answer_by,
    )
    session.try_edit(
        listing.marking_step(len(questions), state),
        lambda: answers.with_states(session.evaluation, questions, ended),
    )


def answer(session: Session, question: Question, parent: QWidget) -> AskDialog | None:
    """Open the dialog that takes an answer: each datum it gives, and what was said."""
    # Loaded with the first answer: it brings along what a signature is judged by.
    from evenbarrel.desk.forms.decision_forms import DATE, PERSON, AskDialog, text_shape

    appraisal = session.appraisal
    if appraisal is None:
        return None
    places = tuple(answers.places_of(question, session.evaluation))
    before = {path: edits.get(session.evaluation, path) for path, _ in places}
    fields: dict[str, tuple[Shape, object]] = {
        f"{number}": (_named(shape, listing.place_name(appraisal, path)), before[path])
        for number, (path, shape) in enumerate(places)
    }
    who = replace(PERSON, datum=replace(PERSON.datum, help=listing.WHO))
    fields |= {
        "text": (text_shape("text", "Answer", "What was said, and in which letter"), ""),
        "person": (who, session.person),
        "date": (DATE, session.today()),
    }
    sentence, context = question_text(question, appraisal), context_of(session.evaluation)
    dialog = AskDialog("Answer", sentence, fields, {}, parent, context)

    def take(values: Values) -> None:
        given = {path: values[f"{number}"] for number, path in enumerate(before)}
        changed = {path: value for path, value in given.items() if value != before[path]}
        text, person = values["text"] or "", values["person"] or ""
        session.person = person
        session.try_edit(
            "Answer question",
            lambda: answers.answered(
                session.evaluation, question, changed, text, values["date"], person
            ),
        )

    dialog.answered.connect(take)
    dialog.open()
    return dialog


def _named(shape: Shape, of: str) -> Shape:
    """Return a shape whose label says whose datum it is."""
    return replace(shape, datum=replace(shape.datum, label=f"{shape.datum.label}, {of}"))


class QuestionActions(QWidget):
    """A row of buttons for one question; hidden where there is none."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._question: Question | None = None
        self.asked = QPushButton("Mark &asked")
        self.answered = QPushButton("A&nswered…")
        self.accepted = QPushButton("Accept as it &is")
        self.reopened = QPushButton("&Open again")
        self.asked.clicked.connect(lambda: self._mark("asked"))
        self.accepted.clicked.connect(lambda: self._mark("accepted_as_is"))
        self.reopened.clicked.connect(lambda: self._mark("open"))
        self.answered.clicked.connect(self._answer)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        for button in (self.asked, self.answered, self.accepted, self.reopened):
            row.addWidget(button)
        row.addStretch(1)
        self.show_question(None)

    def show_question(self, question: Question | None) -> None:
        """Offer what can be done with a question as it stands."""
        self._question = question
        self.setVisible(question is not None)
        if question is not None:
            self.asked.setEnabled(question.state != "asked")
            self.accepted.setEnabled(question.state != "accepted_as_is")
            self.reopened.setEnabled(question.state != "open")

    def _mark(self, state: answers.AnswerState) -> None:
        if self._question is not None:
            mark(self._session, [self._question], state)

    def _answer(self) -> None:
        if self._question is not None:
            answer(self._session, self._question, self)
