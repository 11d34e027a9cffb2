"""What is seen of Fit and Claims is what a window would show that was opened just now.

Pages paint anew only what changed; here all is held against all of it painted anew: the pixels of
the screen against the same window drawn whole, and at the end against pages that know nothing of
what was before.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import QModelIndex
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtWidgets import QApplication, QLabel, QWidget

from evenbarrel.desk.pages.claims.page import ClaimsPage
from evenbarrel.desk.pages.fit.page import FitPage
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session
from evenbarrel.model.datum_path import put
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Quantity
from evenbarrel.storage.autosave import Autosave
from evenbarrel.storage.personal.recent import RecentFiles

from .conftest import TODAY, quantity

CLAIMS, FIT = 2, 3
STEPS = 25
EDGE_PIXELS = 6
"""Soft edges may be rounded otherwise where a part alone is painted."""


@pytest.fixture
def theme_of_test(theme: Theme) -> Any:
    yield theme
    theme.switch("paper")


def on_screen(window: QWidget) -> QImage:
    """What stands on the screen, painted bit by bit as it came."""
    return QGuiApplication.primaryScreen().grabWindow(window.winId()).toImage()


def steps(session: Session, window: MainWindow, theme: Theme, chance: Random) -> list[Any]:
    """What a person may do to what both pages show."""

    def write(value: Callable[[], Any], *path: str) -> None:
        session.edit("a step", put(session.evaluation, path, value()))

    def a_number(unit: str, most: int) -> Callable[[], Quantity]:
        return lambda: quantity(f"{chance.randint(1, most)}.{chance.randint(0, 9)}", unit)

    def other(*values: str) -> Callable[[], str]:
        return lambda: chance.choice(values)

    evaluation = session.evaluation
    job, last = evaluation.jobs[0].id, evaluation.jobs[-1].id
    bid, unit, one = chance.choice(tuple(evaluation.barrels()))
    barrel = ("bids", bid.id, "units", unit.id, "barrels", one.id)
    units = ("metric", "us")
    return [
        lambda: write(a_number("g", 9), "jobs", job, "part_mass"),
        lambda: write(a_number("g", 400), "jobs", last, "part_mass"),
        lambda: write(other("Cap", "Lid", "A name of many, many letters"), "jobs", job, "name"),
        lambda: write(a_number("cm3", 1999), *barrel, "swept_volume"),
        lambda: write(a_number("mm", 300), *barrel, "stroke"),
        lambda: write(lambda: None, *barrel, "screw_diameter"),
        lambda: write(other("Nordquell", "Someone else"), "bids", bid.id, "supplier"),
        lambda: write(other(*units), "display_units"),
        session.undo_stack.undo,
        session.undo_stack.undo,
        session.undo_stack.redo,
        lambda: theme.switch(chance.choice(("paper", "slate"))),
        lambda: window.go_to(chance.choice((CLAIMS, FIT, 0))),
        lambda: window.resize(chance.choice((1280, 1400)), chance.choice((720, 900))),
        lambda: window.go_to(FIT),
        lambda: choose(window, chance),
    ]


def choose(window: MainWindow, chance: Random) -> None:
    """Put the keyboard on some cell of the page's table."""
    page = window.page
    if isinstance(page, FitPage | ClaimsPage):
        table = page.board if isinstance(page, FitPage) else page.grid
        model = table.model()
        row = chance.randrange(model.rowCount())
        table.setCurrentIndex(model.index(row, chance.randrange(2, model.columnCount())))


def pixels(image: QImage) -> np.ndarray:
    read = image.convertToFormat(QImage.Format.Format_RGB32)
    return np.frombuffer(read.constBits(), np.uint32).reshape(read.height(), read.width())


def alike(one: QImage, other: QImage) -> bool:
    """Whether no word and no mark differs: of any of them many more pixels would."""
    first, second = pixels(one), pixels(other)
    return first.shape == second.shape and np.count_nonzero(first != second) <= EDGE_PIXELS


def told(page: QWidget) -> list[str]:
    """What a page says; columns may be of another width where their words came to be others."""
    tables = [table.whole_text() for table in page.findChildren(SheetView)]
    return [*tables, *(label.text() for label in page.findChildren(QLabel))]


def opened_anew(evaluation: Evaluation, folder: Path, theme: Theme) -> Session:
    """A session that knows nothing but the evaluation as it is now."""
    session = Session(Autosave(folder), RecentFiles(folder), lambda: TODAY)
    session.evaluation = evaluation.model_validate_json(evaluation.model_dump_json())
    session.begin()
    return session


@pytest.mark.parametrize("seed", [1, 2])
def test_what_is_seen_is_what_a_new_window_would_show(
    qtbot: Any,
    session: Session,
    make_window: Callable[..., MainWindow],
    theme_of_test: Theme,
    tmp_path: Path,
    seed: int,
) -> None:
    window, theme, chance = make_window(), theme_of_test, Random(seed)
    session.open_sample()
    window.go_to(FIT)
    for place in range(STEPS):
        chance.choice(steps(session, window, theme, chance))()
        QApplication.processEvents()
        QApplication.processEvents()
        assert alike(on_screen(window), window.grab().toImage()), place
    session.selection.choose(None, None)
    anew = opened_anew(session.evaluation, tmp_path / "anew", theme)
    for kind, place in ((FitPage, FIT), (ClaimsPage, CLAIMS)):
        window.go_to(place)
        page = kind(anew, theme)
        qtbot.addWidget(page)
        page.resize(window.page.size())
        page.show_appraisal(anew.appraisal)
        page.show()
        QApplication.processEvents()
        assert told(page) == told(window.page)
        if isinstance(page, FitPage):
            window.page.board.setCurrentIndex(QModelIndex())
            # A modifier key that an earlier test left held would keep what is selected.
            window.page.board.clearSelection()
            assert alike(page.grab().toImage(), window.page.grab().toImage())
    anew.deleteLater()


def test_a_board_that_scrolls_by_a_pixel_is_the_one_that_is_painted_whole(
    session: Session, make_window: Callable[..., MainWindow], theme_of_test: Theme
) -> None:
    window = make_window()
    window.resize(1280, 720)
    session.open_sample()
    window.go_to(FIT)
    QApplication.processEvents()
    for place in (0, 1, 4, 5):
        window.page.board.verticalScrollBar().setValue(place)
        QApplication.processEvents()
        QApplication.processEvents()
        assert alike(on_screen(window), window.grab().toImage()), place
