"""What the evaluation is about, in a dialog once there are planned jobs."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtWidgets import QVBoxLayout, QWidget

from evenbarrel.desk.forms.form import Form, FormDialog, context_of
from evenbarrel.desk.style.buttons import close_button, size_window
from evenbarrel.desk.style.plain import name_window
from evenbarrel.desk.window.session import Session
from evenbarrel.model import datum_path as edits
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.wording.words import labels


class ProgrammeDialog(FormDialog):
    """What the evaluation is about: title, buyer, site, and the date offers are judged on.

    `typed` was typed where the same is asked before there are jobs, and not taken.
    """

    def __init__(
        self,
        session: Session,
        typed: Iterable[edits.TypedText] = (),
        parent: QWidget | None = None,
    ) -> None:
        self.form = Form(Evaluation)
        for one in typed:
            self.form.take_back(one, session.evaluation)
        super().__init__(session, (self.form,), parent)
        name_window(self, "Programme")
        size_window(self, 560, 300)
        buttons = close_button(self)
        column = QVBoxLayout(self)
        column.addWidget(self.form)
        column.addWidget(buttons)
        self.form.edited.connect(
            lambda _, name, value: session.put((name,), value, labels.datum(name))
        )
        session.changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        evaluation = self._session.evaluation
        self.form.show_thing(evaluation, edits.ProgrammePath(), context_of(evaluation))
