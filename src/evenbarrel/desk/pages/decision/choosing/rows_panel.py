"""A list of what a person entered, each row added, changed and removed as one step."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from pydantic import ValidationError
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from evenbarrel.desk.forms.decision_forms import AskDialog, Values
from evenbarrel.desk.forms.form import context_of
from evenbarrel.desk.pages.decision.list_panel import ListPanel
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.desk.window.session import Session
from evenbarrel.entry.shapes import Shape
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.sentences.deciding import steps
from evenbarrel.wording.sheets.sheet import Sheet

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

Row = TypeVar("Row")
Fields = Mapping[str, tuple[Shape, object]]
Choices = Mapping[str, Mapping[str, str]]


@dataclass(frozen=True)
class RowKind(Generic[Row]):
    """One kind of row: where it stands, how it is shown and what is asked of it."""

    name: str
    """What one of them is called."""
    none: str
    """What is said where there is no row."""
    purpose: str
    """What such a row is for."""
    rows: Callable[[Evaluation], Sequence[Row]]
    put: Callable[[Evaluation, tuple[Row, ...]], Evaluation]
    sheet: Callable[[Appraisal], Sheet]
    ask: Callable[[Appraisal, Row | None], tuple[Fields, Choices]]
    """The fields with what stands in them, and the words of their choices."""
    make: Callable[[Evaluation, Values], Row]
    """Raises ValidationError where the values make no row."""
    wanted: Mapping[str, str]


class RowsPanel(QWidget, Generic[Row]):
    """A table of rows; Enter on one, or a double click, changes it."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        kind: RowKind[Row],
        above: QWidget | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._session, self._kind = session, kind
        self.add = QPushButton(f"&Add {kind.name}…")
        self.change = QPushButton("&Change…")
        self.remove = QPushButton("&Remove")
        self.add.clicked.connect(lambda: self._ask(None))
        self.change.clicked.connect(lambda: self._ask(self._place()))
        self.remove.clicked.connect(self._remove)
        self.list = ListPanel(
            theme,
            f"{kind.name.capitalize()}, list",
            f"{kind.none} {kind.purpose}",
            self.add,
            self.change,
            self.remove,
        )
        self.list.table.activated.connect(lambda index: self._ask(index.row()))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        if above is not None:
            row = QHBoxLayout()
            row.setContentsMargins(GRID, GRID, GRID, 0)
            row.addWidget(above)
            nest(column, row)
        column.addWidget(self.list, 1)

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Show the rows there are."""
        self.list.show_sheet(self._kind.sheet(appraisal))
        there = bool(self._kind.rows(appraisal.evaluation))
        self.change.setEnabled(there)
        self.remove.setEnabled(there)

    def _place(self) -> int:
        return max(0, self.list.table.currentIndex().row())

    def _ask(self, place: int | None) -> None:
        session, kind = self._session, self._kind
        rows = tuple(kind.rows(session.evaluation))
        if session.appraisal is None or (place is not None and place >= len(rows)):
            return
        row = None if place is None else rows[place]
        fields, choices = kind.ask(session.appraisal, row)
        dialog = AskDialog(
            f"{'Add' if row is None else 'Change'} {kind.name}",
            kind.purpose,
            fields,
            kind.wanted,
            self,
            context_of(session.evaluation),
            check=lambda values: self._problem(values, row),
        )
        for name, words in choices.items():
            dialog.name_choices(name, words)
            dialog.fields[name].reset(fields[name][1])
        dialog.answered.connect(lambda values: self._take(values, row))
        dialog.open()

    def _after(self, values: Values, row: Row | None) -> Evaluation:
        kind, evaluation = self._kind, self._session.evaluation
        made, rows = kind.make(evaluation, values), list(kind.rows(evaluation))
        if row is None or row not in rows:
            rows.append(made)
        else:
            rows[rows.index(row)] = made
        return kind.put(evaluation, tuple(rows))

    def _problem(self, values: Values, row: Row | None) -> str:
        """Say why values are not taken, before the dialog closes over them."""
        try:
            after = self._after(values, row)
        except ValidationError as error:
            return pages.not_accepted(error.errors()[0]["msg"])
        rows = list(self._kind.rows(after))
        return steps.ALREADY if any(rows.count(one) > 1 for one in rows) else ""

    def _take(self, values: Values, row: Row | None) -> None:
        text = f"{'Add' if row is None else 'Change'} {self._kind.name}"
        self._session.try_edit(text, lambda: self._after(values, row))

    def _remove(self) -> None:
        session, kind = self._session, self._kind
        places = set(self.list.places())
        rows: Sequence[Any] = kind.rows(session.evaluation)
        kept = tuple(row for place, row in enumerate(rows) if place not in places)
        if len(kept) < len(rows):
            text = f"Remove {kind.name}"
            session.try_edit(text, lambda: kind.put(session.evaluation, kept))
