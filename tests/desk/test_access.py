"""Sizes and access: all the keyboard reaches is named, text is legible, a low window suffices."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import product
from typing import Any

import pytest
from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtGui import QAccessible, QColor, QFont, QPalette
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QDialog,
    QLabel,
    QMenu,
    QScrollArea,
    QTableView,
    QTabWidget,
    QWidget,
)

from evenbarrel.appraisal.references import ClaimRef
from evenbarrel.desk.forms.form import Form
from evenbarrel.desk.pages.all_pages import PAGES
from evenbarrel.desk.style.heads import Head, cut_to_lines
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import (
    ACCENT,
    FAINT,
    NAMES,
    PROBLEM,
    WARNING,
    load,
)
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.model.evaluation import Evaluation

from .person import Person

SMALLEST = (1280, 720)
LARGE_TEXT = (853, 480)
"""That window where text is half as large again: Qt enlarges all alike."""
TWICE_THE_TEXT = (640, 360)
AIR = 3
"""What a button may lack of the air round its words [px]."""
LEGIBLE = 4.5
"""Contrast of text: WCAG 2.2, success criterion 1.4.3, level AA."""
LEAST_PICTURE = 3.0
"""Contrast of marks and of the focus: WCAG 2.2, success criterion 1.4.11."""

ROLE = QPalette.ColorRole
INKS = (ROLE.WindowText, ROLE.Text, ROLE.ButtonText, FAINT, PROBLEM, WARNING, ACCENT)
"""Every role that words are written with."""
GROUNDS = (
    ROLE.Window,
    ROLE.Base,
    ROLE.AlternateBase,
    ROLE.Button,
    ROLE.Highlight,
    ROLE.ToolTipBase,
)
"""Every role that words may stand on: page, tables and their other rows, fields, choice, tip."""


def luminance(colour: QColor) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = (colour.redF(), colour.greenF(), colour.blueF())
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: QColor, other: QColor) -> float:
    """Contrast ratio as WCAG 2.2 defines it, 1 to 21."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_contrast_is_that_of_the_guideline() -> None:
    assert contrast(QColor("black"), QColor("white")) == pytest.approx(21.0)
    # Worked example of the guideline's own text: #777777 on white is just short of 4.5.
    assert contrast(QColor("#777777"), QColor("white")) == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("name", NAMES)
def test_text_is_legible_on_every_ground(name: str) -> None:
    palette = load(name).palette()
    weak = {
        (ink.name, ground.name): round(contrast(palette.color(ink), palette.color(ground)), 2)
        for ink in INKS
        for ground in GROUNDS
        if contrast(palette.color(ink), palette.color(ground)) < LEGIBLE
    }
    assert weak == {}


@pytest.mark.parametrize("name", NAMES)
def test_words_and_marks_in_pictures_are_legible(name: str) -> None:
    colours = load(name)
    grounds = [QColor(colour) for colour in (colours.page, colours.tint)]
    for ground in grounds:
        for ink in (colours.text, colours.faint_text, colours.accent, colours.warning):
            assert contrast(QColor(ink), ground) >= LEGIBLE, ink
        assert contrast(QColor(colours.ruler), ground) >= LEAST_PICTURE
    # Marks stand on the page, and in a picture on a disc of its colour.
    for state in ("inside", "near_edge", "outside", "not_stated"):
        assert contrast(colours.of_state(state), QColor(colours.page)) >= LEAST_PICTURE, state
    # The number of a shot stands on a badge of the accent.
    assert contrast(QColor(colours.page), QColor(colours.accent)) >= LEGIBLE


@pytest.mark.parametrize("name", NAMES)
def test_the_focus_is_seen_on_every_ground(name: str) -> None:
    colours = load(name)
    for ground in (colours.window, colours.page, colours.raised):
        assert contrast(QColor(colours.focus), QColor(ground)) >= LEAST_PICTURE


def stops(top: QWidget) -> list[QWidget]:
    """Every widget of a window that the Tab key reaches now, in the order it reaches them."""
    found, widget = [], top.nextInFocusChain()
    while widget is not top:
        tabbed = widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isVisibleTo(top)
        # What a widget hands its focus on to is the stop.
        if tabbed and widget.focusProxy() is None and widget.isEnabled() and widget.window() is top:
            found.append(widget)
        widget = widget.nextInFocusChain()
    return found


def nameless(top: QWidget) -> list[str]:
    """What a screen reader is told nothing of, among the stops of the Tab key."""
    told = [(one, QAccessible.queryAccessibleInterface(one)) for one in stops(top)]
    assert told
    return [
        f"{type(one).__name__} in {type(one.parent()).__name__}"
        for one, interface in told
        if interface is None or not interface.text(QAccessible.Text.Name).strip()
    ]


def every_view(window: MainWindow) -> Iterator[str]:
    """Show every page, and every tab of each, one after another."""
    for place, entry in enumerate(PAGES):
        window.go_to(place)
        QApplication.processEvents()
        yield entry.key
        for tabs in window.page.findChildren(QTabWidget):
            for tab in range(tabs.count()):
                tabs.setCurrentIndex(tab)
                QApplication.processEvents()
                yield f"{entry.key}, {tabs.tabText(tab)}"


@pytest.fixture
def of_sample(same_desk: Person) -> MainWindow:
    """The window as it is built for a person, with the sample."""
    same_desk.session.open_sample()
    QApplication.processEvents()
    return same_desk.window


@pytest.fixture
def told_window(person: Person) -> MainWindow:
    """A window of its own with the sample: what is told of it to a screen reader goes with it."""
    person.session.open_sample()
    QApplication.processEvents()
    return person.window


def test_every_stop_of_the_keyboard_is_named(told_window: MainWindow) -> None:
    found = {view: nameless(told_window) for view in every_view(told_window)}
    assert {view: names for view, names in found.items() if names} == {}


def test_every_stop_of_an_empty_evaluation_is_named(person: Person) -> None:
    found = {view: nameless(person.window) for view in every_view(person.window)}
    assert {view: names for view, names in found.items() if names} == {}


def test_the_page_comes_first_and_the_drawers_last(of_sample: MainWindow) -> None:
    for view in every_view(of_sample):
        areas = [area_of(of_sample, one) for one in stops(of_sample)]
        # Tab goes round: told from the list of pages on.
        first = areas.index("list")
        order = [*areas[first:], *areas[:first]]
        runs = [area for at, area in enumerate(order) if at == 0 or order[at - 1] != area]
        assert runs == ["list", "page", "questions", "working"], view


def test_a_page_that_is_asked_for_by_its_key_has_the_keyboard(same_desk: Person) -> None:
    same_desk.window.page_list.setFocus()
    for page in ("Bids", "Claims", "Fit", "Decision", "Shots"):
        same_desk.window.page_list.setFocus()
        same_desk.go_to(page)
        assert same_desk.window.stack.isAncestorOf(same_desk.focus()), page


def settle() -> None:
    """Let what is put off to the next turns of the loop be done."""
    for _ in range(3):
        QApplication.processEvents()


def area_of(window: MainWindow, widget: QWidget) -> str:
    """Which part of the window a widget belongs to."""
    questions, working = window._drawers
    for area, name in ((window.stack, "page"), (questions, "questions"), (working, "working")):
        if area.isAncestorOf(widget):
            return name
    return "list" if widget is window.page_list else type(widget).__name__


def test_the_sample_fits_the_smallest_window(of_sample: MainWindow) -> None:
    of_sample.resize(*SMALLEST)
    for view in every_view(of_sample):
        settle()
        assert (of_sample.width(), of_sample.height()) == SMALLEST, view
        sideways = [
            type(area.widget()).__name__
            for area in of_sample.page.findChildren(QScrollArea)
            if area.isVisible() and area.horizontalScrollBar().maximum() > 0
        ]
        assert sideways == [], view


def test_no_table_scrolls_sideways_in_the_usual_window(of_sample: MainWindow) -> None:
    of_sample.resize(1400, 900)
    sideways = {
        f"{view}: {table.accessibleName()}"
        for view in (*every_view(of_sample), *every_step(of_sample))
        for table in of_sample.page.findChildren(QTableView)
        if table.isVisible() and table.horizontalScrollBar().maximum() > 0
    }
    assert sideways == set()


def test_large_text_leaves_nothing_cut_off(of_sample: MainWindow) -> None:
    of_sample.resize(*LARGE_TEXT)
    window, faults = of_sample, {}
    for view in (*every_view(window), *every_step(window)):
        settle()
        assert (window.width(), window.height()) == LARGE_TEXT, view
        assert not window._drawers[0].isVisible()
        assert window.body.view.horizontalScrollBar().maximum() == 0, view
        faults[view] = cut_off(window)
    assert {view: cut for view, cut in faults.items() if cut} == {}
    window.resize(1400, 900)
    assert window._drawers[0].isVisible()


def test_words_alone_are_scrolled_only_where_they_have_no_room(same_desk: Person) -> None:
    window = same_desk.window
    bars = (window.body.view.verticalScrollBar(), window.body.view.horizontalScrollBar())
    for size in (LARGE_TEXT, TWICE_THE_TEXT):
        window.resize(*size)
        for key in ("claims", "fit", "decision"):
            window.open_page(key)
            settle()
            assert [bar.maximum() for bar in bars] == [0, 0], (size, key)
            assert cut_off(window) == []
    # What stands there once something is entered needs its room again.
    same_desk.session.open_sample()
    settle()
    assert all(bar.maximum() > 0 for bar in bars)


@pytest.mark.parametrize("size", [SMALLEST, LARGE_TEXT], ids=["usual", "large text"])
def test_the_field_that_is_gone_to_is_seen(of_sample: MainWindow, size: tuple[int, int]) -> None:
    of_sample.resize(*size)
    for path in (
        ("jobs", "j3", "required_pressure"),
        ("bids", "b1", "notes"),
        ("cost", "change_time"),
    ):
        of_sample.open_datum(path)
        settle()
        shown = of_sample.focusWidget()
        assert shown is not None
        assert not shown.visibleRegion().isEmpty(), path


def every_step(window: MainWindow) -> Iterator[str]:
    """Turn to every step of Decision, one after another."""
    window.open_page("decision")
    steps = window.page.steps.list
    for place in range(steps.count()):
        steps.setCurrentRow(place)
        QApplication.processEvents()
        yield f"decision, step {steps.item(place).text()}"


def cut_off(window: QWidget) -> list[str]:
    """The words of labels and buttons in sight that have less room than they take."""
    found = []
    for one in window.findChildren(QWidget):
        if not isinstance(one, QLabel | QAbstractButton) or not one.text():
            continue
        # What is cut may be told by a tip; a head may not be without need.
        if one.toolTip() and not isinstance(one, Head):
            continue
        if not one.isVisible() or one.window() is not window:
            continue
        wanted = one.sizeHint()
        if isinstance(one, QLabel) and one.wordWrap():
            wanted = QSize(0, one.heightForWidth(one.width()))
        elif isinstance(one, QAbstractButton):
            wanted -= QSize(2 * AIR, 2 * AIR)
        cut = isinstance(one, Head) and one.shown() != one.text()
        if cut or one.width() < wanted.width() or one.height() < wanted.height():
            found.append(one.text())
    return found


def whole_rows(view: Any) -> int:
    """How many rows of a table are seen whole."""
    rows = (view.visualRect(view.model().index(n, 0)) for n in range(view.model().rowCount()))
    return sum(box.top() >= 0 and box.bottom() < view.viewport().height() for box in rows)


def in_sight(widget: QWidget, area: QScrollArea) -> bool:
    """Whether all of a widget lies in what is scrolled to."""
    box = QRect(widget.mapTo(area.viewport(), QPoint(0, 0)), widget.size())
    return area.viewport().rect().contains(box)


def area_round(widget: QWidget) -> QScrollArea:
    """The scroll area that a widget is in."""
    while not isinstance(widget, QScrollArea):
        widget = widget.parentWidget()
    return widget


def test_what_is_looked_at_is_seen_in_the_smallest_window(
    of_sample: MainWindow, same_desk: Person, many: Evaluation
) -> None:
    of_sample.resize(*SMALLEST)
    of_sample.open_claim(ClaimRef("b4u1b", "volume_geometry"))
    settle()
    buttons = [b for b in of_sample.page.panel.readings.buttons if b.isVisible()]
    assert len(buttons) == 5
    assert all(in_sight(button, area_round(button)) for button in buttons)
    of_sample.open_page("fit")
    settle()
    assert whole_rows(of_sample.page.board) >= 10
    jobs = tuple(job.replace(id=f"{job.id}x{again}") for job in many.jobs for again in range(3))
    same_desk.session.edit("Many", many.replace(jobs=jobs[:20]))
    settle()
    assert whole_rows(of_sample.page.board) >= 10
    # A resin without a job yet.
    of_sample.open_page("shots")
    same_desk.session.edit("A resin", Evaluation(resins=many.resins[:1]))
    settle()
    panel = of_sample.page.resins
    assert panel.isVisible()
    assert area_round(panel).verticalScrollBar().maximum() == 0


def test_many_offers_leave_the_window_small(same_desk: Person, many: Evaluation) -> None:
    same_desk.session.edit("Many offers", many)
    window = same_desk.window
    window.resize(*SMALLEST)
    for view in every_view(window):
        assert (window.width(), window.height()) == SMALLEST, view
    window.open_page("claims")
    QApplication.processEvents()
    assert window.page.grid.height() > window.page.grid.rowHeight(0) * 3


@pytest.fixture
def many(same_desk: Person) -> Evaluation:
    """The sample's offers four times over."""
    same_desk.session.open_sample()
    sample = same_desk.session.evaluation
    bids = []
    for again in range(4):
        for bid in sample.bids:
            units = tuple(
                unit.replace(
                    id=f"{unit.id}x{again}",
                    barrels=tuple(b.replace(id=f"{b.id}x{again}") for b in unit.barrels),
                )
                for unit in bid.units
            )
            bids.append(bid.replace(id=f"{bid.id}x{again}", units=units))
    return Evaluation(resins=sample.resins, jobs=sample.jobs, bids=tuple(bids))


LONG = "a name that only a paste from elsewhere brings, and " * 38


def under_long_names(sample: Evaluation) -> Evaluation:
    """The sample under names as long as names may be."""
    bids = []
    for bid in sample.bids:
        units = tuple(
            unit.replace(
                designation=LONG, barrels=tuple(b.replace(label=LONG) for b in unit.barrels)
            )
            for unit in bid.units
        )
        bids.append(bid.replace(supplier=LONG, units=units))
    jobs = tuple(job.replace(name=LONG) for job in sample.jobs)
    return sample.replace(title=LONG, jobs=jobs, bids=tuple(bids))


def test_very_long_names_leave_a_page_its_room(of_sample: MainWindow, same_desk: Person) -> None:
    of_sample.resize(*SMALLEST)
    session = same_desk.session
    session.edit("Long names", under_long_names(session.evaluation))
    session.selection.choose("b1u1b", "j6")
    for view in (*every_view(of_sample), *every_step(of_sample)):
        settle()
        assert (of_sample.width(), of_sample.height()) == SMALLEST, view
        heads = [one for one in of_sample.page.findChildren(Head) if one.isVisible()]
        assert sum(head.height() for head in heads) < SMALLEST[1] / 2, view
        for head in heads:
            if LONG in head.text():
                # The whole stands in the tip, as no name has room.
                assert head.shown().endswith("…"), view
                assert head.text() in head.toolTip(), view
    of_sample.open_page("fit")
    settle()
    assert whole_rows(of_sample.page.board) >= 4
    of_sample.open_page("decision")
    of_sample.page.turn_to(of_sample.page.gate)
    settle()
    assert whole_rows(of_sample.page.gate) >= 3


@pytest.mark.parametrize("lines", [1, 2, 3])
def test_what_has_room_in_a_head_is_not_cut(qapp: QApplication, lines: int) -> None:
    said = "One two three four five six seven eight nine ten eleven twelve"
    head = Head(said, lines)
    head.resize(head.fontMetrics().horizontalAdvance(said) // lines + 60, 80)
    assert head.shown() == said
    head.resize(head.width() // 2, 80)
    assert head.shown() != said
    assert len(head.shown().split("\n")) == lines
    assert said.startswith(head.shown().replace("\n", " ").rstrip("…").rstrip())
    beyond = "\N{GRINNING FACE} " * 40 + said
    head.setText(beyond)
    assert beyond.startswith(head.shown().replace("\n", " ").rstrip("…").rstrip())
    # A name may be of several lines.
    head.setText("\n".join(said.split()))
    assert len(head.shown().split("\n")) == lines
    assert head.toolTip()


def test_no_line_ends_within_a_unit(qapp: QApplication) -> None:
    said = "1.05 g/cm³ rated, 0.91 g/cm³ expected, 12 kg/h and EUR 412 a year, ± 4.0 % of it"
    font, broken = QApplication.font(), set()
    for width in range(100, 400, 3):
        *lines, _ = cut_to_lines(font, said, width, 3).split("\n")
        broken.add(len(lines))
        assert not [one for one in lines if one.endswith((*"/±0123456789", "EUR"))]
    assert broken == {0, 2}
    assert Label(said).text() == said


def test_columns_take_the_room_when_the_window_grows(of_sample: MainWindow) -> None:
    of_sample.open_page("decision")
    of_sample.resize(*SMALLEST)
    QApplication.processEvents()
    gate = of_sample.page.gate
    last = gate.sheet_model.columnCount() - 1
    before = gate.columnWidth(last)
    of_sample.resize(2560, 1440)
    QApplication.processEvents()
    assert gate.columnWidth(last) > before
    assert gate.horizontalScrollBar().maximum() == 0


def test_labels_go_above_their_fields_where_it_is_narrow(of_sample: MainWindow) -> None:
    of_sample.open_page("shots")
    form = of_sample.page.form
    field, label = form.fields["part_mass"], form._labels["part_mass"]
    of_sample.resize(*SMALLEST)
    QApplication.processEvents()
    assert label.geometry().bottom() < field.geometry().top()
    of_sample.resize(1920, 1080)
    QApplication.processEvents()
    assert label.geometry().right() < field.geometry().left()


def test_where_a_number_is_printed_can_be_read_in_any_window(of_sample: MainWindow) -> None:
    for key, path in (("shots", ("jobs", "j1", "part_mass")), ("bids", ("bids", "b1", "freight"))):
        for width in range(1280, 1930, 50):
            of_sample.resize(width, 900)
            of_sample.open_page(key)  # type: ignore[arg-type]
            of_sample.open_datum(path)
            settle()
            line = of_sample.focusWidget().parent().provenance.source
            assert line.width() >= line.fontMetrics().horizontalAdvance("mould, p. 101"), width


@pytest.fixture
def text_of_size(qapp: QApplication) -> Iterator[Callable[[float], None]]:
    """Sets all text so many times as large as usual."""
    usual = QApplication.font()

    def be(times: float) -> None:
        font = QFont(usual)
        font.setPointSizeF(usual.pointSizeF() * times)
        QApplication.setFont(font)

    yield be
    QApplication.setFont(usual)


def lower_than_needed(form: Form) -> list[str]:
    """The fields of a form of which a part has less height than its words or its line take."""
    low = []
    for name, field in form.fields.items():
        for part in field.findChildren(QWidget):
            words = isinstance(part, QLabel) and part.wordWrap()
            least = part.minimumSizeHint().height()
            needed = part.heightForWidth(part.width()) if words else least
            if part.isVisibleTo(form) and part.height() < needed - 1:
                low.append(name)
    return low


@pytest.mark.parametrize("times", [1.0, 2.0])
def test_no_form_is_squashed_where_it_turns_narrow(
    of_sample: MainWindow, text_of_size: Callable[[float], None], times: float
) -> None:
    text_of_size(times)
    wide, told = (1920, 1080), set()
    for size in (SMALLEST, (1400, 900)):
        for key in ("bids", "decision", "shots"):
            of_sample.open_page("shots")
            of_sample.resize(*wide)
            QApplication.processEvents()
            of_sample.open_page(key)
            of_sample.resize(*size)
            QApplication.processEvents()
            of_sample.open_page("shots")
            QApplication.processEvents()
            form = of_sample.page.form
            assert form.height() >= form.minimumSizeHint().height()
            assert not lower_than_needed(form), (size, key)
            told.add(form._above)
    assert True in told


def test_every_entry_of_every_menu_has_words(of_sample: MainWindow) -> None:
    """A sign alone is understood on the button it stands on, where its tip is at hand."""
    for place in range(of_sample.page_list.count()):
        of_sample.go_to(place)
        for head in of_sample.menuBar().actions():
            menu = head.menu()
            assert isinstance(menu, QMenu)
            for entry in menu.actions():
                assert entry.isSeparator() or any(map(str.isalpha, entry.text())), entry.text()


def test_drawers_fold_and_come_back(of_sample: MainWindow, qtbot: Any) -> None:
    drawers = of_sample._menus.drawers
    questions, _ = of_sample._drawers
    before = of_sample.stack.width()
    assert questions.isVisible()
    drawers.trigger()
    QApplication.processEvents()
    assert not questions.isVisible()
    assert of_sample.stack.width() > before
    drawers.trigger()
    QApplication.processEvents()
    assert questions.isVisible()


def test_the_board_is_walked_by_arrow_keys(of_sample: MainWindow, qtbot: Any) -> None:
    of_sample.open_page("fit")
    QApplication.processEvents()
    board = of_sample.page.board
    board.setFocus()
    board.choose("b1u1a", "j1")
    for key, wanted in (
        (Qt.Key.Key_Right, ("b1u1a", "j2")),
        (Qt.Key.Key_Down, ("b1u1b", "j2")),
        (Qt.Key.Key_Left, ("b1u1b", "j1")),
        (Qt.Key.Key_Up, ("b1u1a", "j1")),
    ):
        qtbot.keyClick(board, key)
        assert board.current_place() == wanted


def test_the_board_shows_where_the_keyboard_is(of_sample: MainWindow) -> None:
    of_sample.open_page("fit")
    QApplication.processEvents()
    board = of_sample.page.board
    board.setFocus()
    board.choose("b1u1a", "j1")
    QApplication.processEvents()
    box = board.visualRect(board.currentIndex())
    here = board.viewport().grab(box).toImage()
    board.choose("b1u1b", "j1")
    QApplication.processEvents()
    assert board.viewport().grab(box).toImage() != here


LEAVING = ("OK", "&OK", "Cancel", "&Cancel", "Close", "&Close")
DIALOGS: dict[str, Callable[[MainWindow], None]] = {
    "programme": lambda window: window.page._open_programme(),
    "resin of the table": lambda window: window.page._ask_for_resin(),
    "sign-off": lambda window: window.page.sign.click(),
    "series": lambda window: window.page.acceptance.add.click(),
    "what-if": lambda window: window.open_what_if(),
    "letter": lambda window: window.documents.write_letter("b2"),
    "details": lambda window: window.page.form.fields["part_mass"].details.click(),
    "method": lambda window: tell_method(window),
    "pin": lambda window: ask_for_a_pin(window),
}
PAGE_OF = {
    "programme": "shots",
    "resin of the table": "shots",
    "sign-off": "decision",
    "series": "decision",
    "what-if": "bids",
    "letter": "bids",
    "details": "shots",
    "method": "fit",
    "pin": "decision",
}


def tell_method(window: MainWindow) -> None:
    """Open what Help says of the method."""
    menu = window.menuBar().actions()[-1].menu()
    next(one for one in menu.actions() if one.text() == "&Method and limits").trigger()


def ask_for_a_pin(window: MainWindow) -> None:
    """Ask on which barrels the first job may run."""
    window.page.turn_to(window.page.pins)
    QApplication.processEvents()
    window.page.pins.list.table.selectRow(0)
    window.page.pins.pin.click()


def test_every_stop_of_a_dialog_is_named(told_window: MainWindow) -> None:
    found = {}
    for name, open_dialog in DIALOGS.items():
        told_window.open_page(PAGE_OF[name])  # type: ignore[arg-type]
        QApplication.processEvents()
        open_dialog(told_window)
        dialog = next(one for one in told_window.findChildren(QDialog) if one.isVisible())
        found[name] = nameless(dialog)
        dialog.reject()
    assert {name: stops for name, stops in found.items() if stops} == {}


def test_a_dialog_is_no_larger_than_a_small_window_and_can_be_left(of_sample: MainWindow) -> None:
    # The what-if stays as large as it was.
    for name, size in product(DIALOGS, (TWICE_THE_TEXT, LARGE_TEXT)):
        of_sample.resize(*size)
        of_sample.open_page(PAGE_OF[name])  # type: ignore[arg-type]
        settle()
        DIALOGS[name](of_sample)
        dialog = next(one for one in of_sample.findChildren(QDialog) if one.isVisible())
        settle()
        assert QSize(*size).expandedTo(dialog.size()) == QSize(*size), (name, size)
        assert cut_off(dialog) == [], (name, size)
        # What closes it stands in sight, whatever scrolls above it.
        leaving = [b for b in dialog.findChildren(QAbstractButton) if b.text() in LEAVING]
        in_sight = (b.visibleRegion().boundingRect() == b.rect() for b in leaving)
        assert any(in_sight), (name, size)
        dialog.reject()
        settle()


def test_a_box_to_be_ticked_in_a_list_is_seen_in_every_palette(of_sample: MainWindow) -> None:
    of_sample.open_page("decision")
    settle()
    of_sample._theme.switch("slate")
    ask_for_a_pin(of_sample)
    dialog = next(one for one in of_sample.findChildren(QDialog) if one.isVisible())
    settle()
    view = dialog.barrels
    # The second line: the first one has the keyboard.
    line = view.viewport().grab(view.visualItemRect(view.item(1))).toImage()
    ground = line.pixelColor(line.width() - 2, line.height() // 2)
    box = (line.pixelColor(x, line.height() // 2) for x in range(12))
    assert max(contrast(colour, ground) for colour in box) >= LEAST_PICTURE
    dialog.reject()
    of_sample._theme.switch("paper")
