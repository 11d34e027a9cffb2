"""A desk for tests: its own folders, answers instead of dialogs, nothing left running."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QDialog,
    QFileDialog,
    QMessageBox,
    QTabWidget,
    QWidget,
)

from evenbarrel.app import begin, build
from evenbarrel.appraisal.appraise import appraise
from evenbarrel.decision.decide import decide
from evenbarrel.desk.pages.all_pages import PAGES
from evenbarrel.desk.pages.decision.steps import Steps
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.window.main_window import HEIGHT, WIDTH, MainWindow
from evenbarrel.desk.window.session import Session
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import OutputFactors, Resin
from evenbarrel.storage.autosave import Autosave
from evenbarrel.storage.files import parse_evaluation
from evenbarrel.storage.personal.recent import RecentFiles

from .person import FileAnswers, Person

TODAY = date(2026, 4, 15)
KEPT = "kept for the tests of a module"


def quantity(magnitude: str, unit: str) -> Quantity:
    return Quantity(magnitude=magnitude, unit=unit)


def without_name(top: QWidget) -> list[str]:
    """The widgets below `top` that the Tab key reaches and that a screen reader cannot name."""
    reached = [
        widget
        for widget in top.findChildren(QWidget)
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.window() is top.window()
    ]
    assert reached
    # A button is named by its text.
    texts = {w: w.text() for w in reached if isinstance(w, QAbstractButton)}
    return [type(w).__name__ for w in reached if not (w.accessibleName() or texts.get(w))]


@cache
def small_programme() -> Evaluation:
    """Two resins, two jobs, one supplier with two screws of one drive."""
    resins = tuple(
        Resin(
            id=name,
            name=called,
            resin_class="general",
            output_factor_route="trade_table",
            output_factors=OutputFactors(
                trade_table=quantity(factor, "g/cm3"), own=quantity("0.75", "g/cm3")
            ),
        )
        for name, called, factor in (("ps", "Polystyrene", "0.91"), ("pp", "Polypropylene", "0.73"))
    )
    barrels = tuple(
        Barrel(
            id=f"n{letter}",
            label=letter.upper(),
            screw_diameter=quantity(diameter, "mm"),
            stroke=quantity("200", "mm"),
        )
        for letter, diameter in (("a", "40"), ("b", "45"))
    )
    unit = InjectionUnit(id="u1", designation="Unit 600", barrels=barrels)
    small = Evaluation(
        title="Small programme",
        as_of=TODAY,
        resins=resins,
        jobs=(
            Job(
                id="cap",
                name="Cap",
                resin="pp",
                part_mass=quantity("9.5", "g"),
                cavities=8,
                runner_kind="none",
            ),
            Job(id="tray", name="Tray", resin="ps", shot_mass=quantity("120", "g")),
        ),
        bids=(Bid(id="n", supplier="Nordquell", units=(unit,)),),
    )
    return opened_often(small)


@pytest.fixture(scope="session")
def unsigned_sample(
    sample_evaluation: Evaluation, unsigned: Callable[[Evaluation], Evaluation]
) -> Evaluation:
    """The sample with nothing proposed or signed."""
    return opened_often(unsigned(sample_evaluation))


def cut_off(session: Session) -> None:
    """End a session as a power cut does: the system drops its locks, its files stay."""
    for lock in (session._file._lock, session._kept._lock):
        if lock is not None and lock._descriptor is not None:
            os.close(lock._descriptor)
            lock._descriptor = None
    session._kept._lock = session._kept._kept = session._file._lock = None


@dataclass
class Answers:
    """Stands for the person in front of the dialogs."""

    to_open: Path | None = None
    to_save: Path | None = None
    to_export: Path | None = None
    about_unsaved: str = "cancel"
    about_holder: str = "read_only"
    about_change: str = "cancel"
    asked: list[tuple[str, tuple[str, ...]]] = field(default_factory=list)

    def file_to_open(self) -> Path | None:
        return self.to_open

    def file_to_save(self, present: Path | None, title: str = "") -> Path | None:
        return self.to_save

    def file_to_write(self, title: str, suggested: str, kinds: str, ending: str) -> Path | None:
        return self.to_export

    def held_by(self, name: str, holder: str) -> str:
        self.asked.append((name, (holder,)))
        return self.about_holder

    def changed_on_disk(self, name: str, lines: tuple[str, ...]) -> str:
        self.asked.append((name, lines))
        return self.about_change

    def unsaved(self, title: str, refused: tuple[str, ...], changed: bool = True) -> str:
        self.asked.append((title, refused))
        return self.about_unsaved


@pytest.fixture(scope="session", autouse=True)
def _opened_once() -> Iterator[None]:
    """What a file of the sample holds and comes to is found once for all windows that open it."""

    def appraise_once(evaluation: Evaluation, before: Any = None, *more: Any) -> Any:
        if before is not None or evaluation.kept.get("shared") is not True:
            return appraise(evaluation, before, *more)
        if "appraisal" not in evaluation.kept:
            evaluation.kept["appraisal"] = appraise(evaluation)
        return evaluation.kept["appraisal"]

    def decide_once(appraisal: Any, before: Any = None) -> Any:
        kept = appraisal.evaluation.kept
        if kept.get("appraisal") is not appraisal:
            return decide(appraisal, before)
        if "decision" not in kept:
            kept["decision"] = decide(appraisal)
        return kept["decision"]

    @cache
    def parse_once(content: bytes, name: str) -> Evaluation:
        return opened_often(parse_evaluation(content, name))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("evenbarrel.appraisal.appraise.appraise", appraise_once)
        patch.setattr("evenbarrel.decision.decide.decide", decide_once)
        patch.setattr("evenbarrel.desk.window.session.parse_evaluation", parse_once)
        yield


def opened_often(evaluation: Evaluation) -> Evaluation:
    """Let an evaluation that tests open again and again be appraised and decided once."""
    evaluation.kept["shared"] = True
    return evaluation


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Where this test's unsaved work and recent files are kept."""
    return tmp_path / "state"


@pytest.fixture
def empty_session(qapp: QApplication, folder: Path) -> Iterator[Session]:
    """A session with an empty evaluation, not yet appraised."""
    session = Session(Autosave(folder), RecentFiles(folder), lambda: TODAY)
    yield session
    session.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


@pytest.fixture
def session(empty_session: Session) -> Session:
    """A session that holds the small programme, appraised and unmodified."""
    empty_session.evaluation = small_programme()
    empty_session.begin()
    return empty_session


@pytest.fixture
def sample(empty_session: Session) -> Session:
    """A session with the sample programme, appraised."""
    empty_session.begin()
    empty_session.open_sample()
    return empty_session


@pytest.fixture
def shown(qtbot: Any) -> Callable[..., Any]:
    """Show a page of a session, followed by its appraisals."""

    def show(page: Any, session: Session) -> Any:
        qtbot.addWidget(page)
        session.changed.connect(page.show_appraisal)
        page.resize(1100, 900)
        page.show()
        page.show_appraisal(session.appraisal)
        return page

    return show


@pytest.fixture
def theme(qapp: QApplication) -> Theme:
    theme = Theme()
    theme.apply(qapp)
    return theme


@pytest.fixture
def answers() -> Answers:
    return Answers()


@pytest.fixture
def make_window(
    qtbot: Any, session: Session, theme: Theme, answers: Answers
) -> Callable[..., MainWindow]:
    """Opens the window on the small programme; closing it at the end asks nothing."""

    def make(**more: Any) -> MainWindow:
        window = MainWindow(session, theme, dialogs=answers, **more)  # type: ignore[arg-type]
        qtbot.addWidget(window, before_close_func=lambda _: _give_up(answers))
        window.show()
        session.begin()
        window.activateWindow()
        return window

    return make


def _give_up(answers: Answers) -> None:
    answers.about_unsaved = "discard"


@pytest.fixture
def window(make_window: Callable[..., MainWindow]) -> MainWindow:
    return make_window()


def _answered(box: QMessageBox) -> QMessageBox.StandardButton:
    """The person replaces files, and gives unsaved changes up."""
    button = QMessageBox.StandardButton
    return button.Yes if box.standardButtons() & button.Yes else button.Discard


@contextmanager
def before_the_desk(qapp: QApplication, home: Path) -> Iterator[Callable[[Any], Person]]:
    """Give what opens the whole program as it is built for a person, over a folder of its own."""
    files = FileAnswers()
    opened: list[Person] = []
    themes: list[Theme] = []

    def open_one(qtbot: Any) -> Person:
        session, theme, window = build(qapp)
        themes.append(theme)
        window.show()
        begin(session, theme, window)
        opened.append(Person(qtbot, session, window, files))
        return opened[-1]

    with pytest.MonkeyPatch.context() as patch:
        for kind in ("CONFIG", "STATE"):
            patch.setenv(f"XDG_{kind}_HOME", str(home))
        for name, answer in (
            ("getOpenFileName", lambda *_: (str(files.to_open or ""), "")),
            ("getSaveFileName", lambda *_, **__: (str(files.to_write or ""), "")),
        ):
            patch.setattr(QFileDialog, name, staticmethod(answer))
        patch.setattr(QMessageBox, "exec", _answered)
        yield open_one
        for person in opened:
            person.window.close()
            person.session.deleteLater()
        for theme in themes:
            theme.deleteLater()


@pytest.fixture
def open_desk(qtbot: Any, qapp: QApplication, tmp_path: Path) -> Iterator[Callable[[], Person]]:
    """Opens the whole program, a window of its own for this test."""
    with before_the_desk(qapp, tmp_path / "home") as open_one:

        def open_and_look() -> Person:
            person = open_one(qtbot)
            qtbot.addWidget(person.window)
            person.come_to_front()
            return person

        yield open_and_look


@pytest.fixture(scope="module")
def _kept_desk(
    qapp: QApplication, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[list[Person]]:
    with before_the_desk(qapp, tmp_path_factory.mktemp("desk")) as open_one:
        person = open_one(None)
        person.window.setProperty(KEPT, True)
        yield [person]
        # To be closed it may ask nothing of what stands open.
        person.session.new()
        person.window.deleteLater()


@pytest.fixture
def same_desk(qtbot: Any, _kept_desk: list[Person]) -> Iterator[Person]:
    """A person before an empty evaluation, in the one window of all tests of a module.

    Others worked in it before: it shows what it was begun with, pages are built already.
    """
    person = replace(_kept_desk[0], qtbot=qtbot)
    window = person.window
    person.files.to_open = person.files.to_write = None
    window.resize(WIDTH, HEIGHT)
    window.setUpdatesEnabled(True)
    person.come_to_front()
    window.page_list.setFocus()
    yield person
    _leave(person)


@pytest.fixture
def same_session(same_desk: Person) -> Session:
    """The session of that window with the small programme open, unmodified."""
    session = same_desk.session
    session.today = lambda: TODAY
    session._open(small_programme())
    return session


def _leave(person: Person) -> None:
    """Close what stands open beside the window, and begin anew, seen by nobody."""
    window = person.window
    window.setUpdatesEnabled(False)
    while (popup := QApplication.activePopupWidget()) is not None:
        popup.close()
    for dialog in QApplication.topLevelWidgets():
        if isinstance(dialog, QDialog) and dialog.isVisible():
            dialog.reject()
    for one in (window.documents.exporter, *window._pages.values()):
        one.wait()
    person.session.new()
    # Kept for whoever opens what decides alike, as the next test does.
    person.session._flips = None
    window.notice.hide()
    window._menus.drawers.setChecked(True)
    for steps in window.findChildren(Steps):
        steps.list.setCurrentRow(0)
    for tabs in window.findChildren(QTabWidget):
        tabs.setCurrentIndex(0)
    # Each page sees that nothing stands there, and forgets what was chosen.
    for place, entry in enumerate(PAGES):
        if entry.key in window._pages:
            window.go_to(place)
    window.go_to(0)
    QApplication.processEvents()


@pytest.fixture
def person(open_desk: Callable[[], Person]) -> Person:
    """A person before the empty program."""
    return open_desk()


@pytest.fixture(scope="session", autouse=True)
def _nothing_copied_left(qapp: QApplication) -> Iterator[None]:
    """Qt would free at the very end what a test copied, when Python is gone, and crash."""
    yield
    qapp.clipboard().clear()


@pytest.fixture(autouse=True)
def _no_widget_left(qapp: QApplication) -> Iterator[None]:
    """Fail a test that leaves a window or a dialog open."""
    yield
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    visible = [one for one in QApplication.topLevelWidgets() if one.isVisible()]
    assert [type(one).__name__ for one in visible if not one.property(KEPT)] == []
