"""After any edits a page shows what a window opened on the same file shows, and paints it."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError
from PySide6.QtCore import QEvent, QModelIndex, QObject, Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QHeaderView,
    QLabel,
    QLineEdit,
    QListView,
    QScrollBar,
    QTableView,
    QWidget,
)

from evenbarrel.desk.forms.grids.frozen import FrozenNames
from evenbarrel.desk.pages.all_pages import PAGES as ALL_PAGES
from evenbarrel.desk.pages.decision.page import DecisionPage
from evenbarrel.desk.pages.shots.page import ShotsPage
from evenbarrel.desk.tables.roles import StateRole
from evenbarrel.model.changes import copy_of_job, without_job
from evenbarrel.model.datum_path import Path as Place
from evenbarrel.model.datum_path import append, put
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.storage.files import write_evaluation

from .person import Person

PAGES = {"Shots": 0, "Bids": 1, "Decision": 4}
"""Fit and Claims have a test of their own: `test_painted_anew.py`."""
ACTS = 20


def data_of(thing: BaseModel, place: Place = ()) -> Iterator[tuple[Place, Any]]:
    """Yield every number and amount of a thing with its place."""
    for name, value in thing:
        if isinstance(value, Quantity | Money):
            yield (*place, name), value
        elif isinstance(value, BaseModel):
            yield from data_of(value, (*place, name))
        elif isinstance(value, tuple):
            for one in value:
                if isinstance(one, BaseModel) and hasattr(one, "id"):
                    yield from data_of(one, (*place, name, one.id))


def other(dice: random.Random, value: Any) -> Any:
    """Return another number near this one, or nothing."""
    factor = dice.choice((0.4, 0.9, 1.1, 3.0, None))
    if factor is None:
        return None
    field = "magnitude" if isinstance(value, Quantity) else "amount"
    number = float(getattr(value, field)) * factor
    return value.replace(**{field: f"{number:.6f}".rstrip("0").rstrip(".")})


def any_edit(dice: random.Random, evaluation: Evaluation) -> Evaluation:
    """Return the evaluation after an edit of anything; raises ValidationError."""
    jobs = evaluation.jobs
    if dice.random() < 0.75 or len(jobs) < 3:
        # As many edits of jobs and of offers as there are of the many data of resins.
        kind = dice.choice(("jobs", "bids", "resins", "cost"))
        place, value = dice.choice([one for one in data_of(evaluation) if one[0][0] == kind])
        return put(evaluation, place, other(dice, value))
    job = dice.choice(jobs)
    return dice.choice(
        (
            lambda: put(evaluation, ("jobs", job.id, "resin"), dice.choice(evaluation.resins).id),
            lambda: put(evaluation, ("jobs", job.id, "name"), f"Part {dice.randrange(99)}"),
            lambda: append(evaluation, ("jobs",), copy_of_job(evaluation, job)),
            lambda: without_job(evaluation, job.id),
            lambda: put(evaluation, ("limits", "general_high"), dice.choice((0.5, 0.7, 0.8))),
            lambda: evaluation.replace(display_units=dice.choice(("us", "metric"))),
            lambda: evaluation.replace(currency=dice.choice(("EUR", "USD"))),
        )
    )()


def act(dice: random.Random, person: Person) -> None:
    """Edit something, take it back or do it again, turn to a page, choose a job or a barrel."""
    session, window = person.session, person.window
    kind = dice.randrange(10)
    if kind < 5:
        before = session.evaluation
        try:
            session.edit("any", any_edit(dice, before))
        except ValidationError:
            assert session.evaluation is before
    elif kind == 5:
        session.undo_stack.undo()
    elif kind == 6:
        session.undo_stack.redo()
    elif kind == 7:
        window.go_to(dice.choice(list(PAGES.values())))
    elif kind == 8:
        barrels = [barrel.id for _, _, barrel in session.evaluation.counting_barrels()]
        jobs = [job.id for job in session.evaluation.jobs]
        session.selection.choose(dice.choice(barrels), dice.choice(jobs))
    elif isinstance(person.page, DecisionPage):
        steps = person.page.steps.list
        steps.setCurrentRow(dice.randrange(steps.count()))


def cells(view: QAbstractItemView) -> Iterator[object]:
    """Yield what every cell of a table or tree tells."""
    model = view.model()

    def columns(parent: QModelIndex) -> int:
        return 1 if isinstance(view, QListView) else model.columnCount(parent)

    def below(parent: QModelIndex) -> Iterator[object]:
        for row in range(model.rowCount(parent)):
            for column in range(columns(parent)):
                index = model.index(row, column, parent)
                hidden = isinstance(view, QTableView) and view.isColumnHidden(column)
                yield index.data(), index.data(StateRole), index.data(Qt.ItemDataRole.ToolTipRole)
                yield hidden, index.data(Qt.ItemDataRole.ForegroundRole)
            yield from below(model.index(row, 0, parent))

    yield from below(QModelIndex())
    if isinstance(view, QTableView):
        for way, count in (
            (Qt.Orientation.Horizontal, columns(QModelIndex())),
            (Qt.Orientation.Vertical, model.rowCount()),
        ):
            yield [model.headerData(place, way) for place in range(count)]


def seen(page: QWidget) -> list[object]:
    """Return what stands in every widget of a page that is shown, in their order."""
    told: list[object] = []
    told_later = list(page.resins.effects.values()) if isinstance(page, ShotsPage) else []
    for widget in page.findChildren(QWidget):
        if not widget.isVisible() or isinstance(widget, QHeaderView | FrozenNames):
            continue
        if widget in told_later:
            continue
        holds: object = None
        if isinstance(widget, QAbstractItemView):
            holds = list(cells(widget))
        elif isinstance(widget, QLabel):
            holds = widget.text(), widget.foregroundRole()
        elif isinstance(widget, QAbstractButton):
            holds = widget.text(), widget.isChecked()
        elif isinstance(widget, QComboBox):
            holds = widget.currentText(), widget.count()
        elif isinstance(widget, QLineEdit):
            holds = widget.text(), widget.placeholderText()
        if holds is not None:
            name = widget.accessibleName()
            told.append((type(widget).__name__, name, widget.isEnabled(), widget.toolTip(), holds))
    return told


def views(person: Person) -> Iterator[tuple[str, QWidget]]:
    """Turn to every page, step and tab in turn."""
    for title, place in PAGES.items():
        person.window.go_to(place)
        page = person.page
        QApplication.processEvents()
        if not isinstance(page, DecisionPage):
            yield title, page
        else:
            for tab in range(page.tabs.count()):
                page.turn_to(page.gate_step)
                page.tabs.setCurrentIndex(tab)
                QApplication.processEvents()
                yield f"{title}, {page.tabs.tabText(tab)}", page
            for step in range(page.steps.list.count()):
                page.steps.list.setCurrentRow(step)
                person.wait(lambda page=page: not page.cover.job.is_running)
                yield f"{title}, {page.steps.list.item(step).text()}", page


def same_choice(first: Person, other: Person) -> None:
    """Let the other choose what the first has chosen: it is nothing of the evaluation."""
    for one in (first, other):
        one.window.go_to(PAGES["Decision"])
        one.page.turn_to(one.page.gate_step)
        one.page.gate.setCurrentIndex(one.page.gate.model().index(0, 0))
        one.window.go_to(PAGES["Bids"])
        one.page.tree.choose(("bids", one.session.evaluation.bids[0].id))
    other.session.selection.choose(*first.session.selection.pair)


def test_every_page_shows_what_a_window_opened_afresh_shows(
    open_desk: Callable[[], Person], tmp_path: Path
) -> None:
    dice, person = random.Random(3), open_desk()
    person.session.open_sample()
    person.window.go_to(PAGES["Decision"])
    for _ in range(ACTS):
        act(dice, person)
    file = tmp_path / "now.evenbarrel.json"
    write_evaluation(person.session.evaluation, file)
    afresh = open_desk()
    afresh.session.open(file)
    same_choice(person, afresh)
    for (told, page), (_, other_page) in zip(views(person), views(afresh), strict=True):
        for one, its in zip(seen(page), seen(other_page), strict=True):
            assert one == its, told


def test_what_an_edit_changes_is_painted_and_nothing_else_is_left(
    open_desk: Callable[[], Person],
) -> None:
    dice, person = random.Random(3), open_desk()
    person.session.open_sample()
    window, screen = person.window, person.window.screen()
    for turn in range(len(PAGES)):
        window.go_to(list(PAGES.values())[turn])
        for _ in range(2):
            act(dice, person)
        for _ in range(3):
            # What is laid out in one turn of the loop is painted in the next.
            QApplication.processEvents()
        painted = screen.grabWindow(window.winId()).toImage()
        anew = window.grab().toImage().convertToFormat(painted.format())
        assert painted == anew, turn


class Painted(QObject):
    """Counts how often each widget is painted."""

    def __init__(self) -> None:
        super().__init__()
        self.times: Counter[QObject] = Counter()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint:
            self.times[watched] += 1
        return False


def test_what_is_turned_to_is_painted_once(open_desk: Callable[[], Person]) -> None:
    person, painted = open_desk(), Painted()
    person.session.open_sample()
    turns = [partial(person.window.go_to, place) for place in range(len(ALL_PAGES))]
    for turn in turns:
        turn()
        QApplication.processEvents()
    QApplication.instance().installEventFilter(painted)
    for turn in turns:
        painted.times.clear()
        turn()
        QApplication.processEvents()
        assert len(painted.times) > 10
        twice = [type(one) for one, times in painted.times.items() if times > 1]
        assert set(twice) <= {QScrollBar}, person.page
    QApplication.instance().removeEventFilter(painted)
