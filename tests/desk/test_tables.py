"""Sheets on the screen: text, mark, reference and copy of every cell."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QGuiApplication, QImage, QPainter
from PySide6.QtWidgets import QStyleOptionViewItem

from evenbarrel.appraisal.references import CriterionRef, VolumeRef
from evenbarrel.appraisal.results import SEVERITY, State
from evenbarrel.desk.style.plain import cut_short, draw_words
from evenbarrel.desk.style.state_marks import draw_mark
from evenbarrel.desk.style.theme import NAMES, Theme, load
from evenbarrel.desk.tables.column_widths import Wants, in_two, share_out
from evenbarrel.desk.tables.left_out import LeftOut
from evenbarrel.desk.tables.plain_cells import PlainCells
from evenbarrel.desk.tables.roles import ReferenceRole, StateRole
from evenbarrel.desk.tables.sheet_model import SheetModel
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words.visible import visible

STROKE = CriterionRef("na", "cap", "stroke")
SHEET = Sheet(
    "grid",
    "Fit",
    (Heading("Barrel"), Heading("Swept volume", "cm³", "right"), Heading("Cap", tip="76 g")),
    (
        (
            Cell("Nordquell A"),
            Cell("251", 251.3, reference=VolumeRef("na")),
            Cell("share 41 %", state="inside", tip="<b>rule</b>", reference=STROKE),
        ),
        (
            Cell("Nordquell B"),
            Cell("318", 318.1, reference=VolumeRef("nb")),
            Cell("share\n33 %", state="outside"),
        ),
    ),
)


@pytest.fixture
def view(qtbot: Any, theme: Theme) -> SheetView:
    view = SheetView(theme, "Fit grid")
    qtbot.addWidget(view)
    view.set_sheet(SHEET)
    view.show()
    return view


def test_the_model_is_sound(qtmodeltester: Any) -> None:
    qtmodeltester.check(SheetModel(SHEET))


def test_the_model_stays_sound_when_the_sheet_changes(qtmodeltester: Any) -> None:
    model = SheetModel()
    qtmodeltester.check(model)
    model.set_sheet(SHEET)
    model.set_sheet(Sheet("grid", "Fit", SHEET.headings, SHEET.rows[:1]))
    model.set_sheet(Sheet("grid", "Fit", (), ()))
    assert model.rowCount() == 0


def test_a_cell_tells_its_text_state_and_reference() -> None:
    model = SheetModel(SHEET)
    cell = model.index(0, 2)
    assert cell.data() == "share 41 %"
    assert cell.data(StateRole) == "inside"
    assert cell.data(ReferenceRole) == STROKE
    number = model.index(0, 1).data(Qt.ItemDataRole.TextAlignmentRole)
    assert number & Qt.AlignmentFlag.AlignRight


def test_what_looks_like_markup_is_shown_as_it_stands() -> None:
    model = SheetModel(SHEET)
    tip = model.index(0, 2).data(Qt.ItemDataRole.ToolTipRole)
    assert "&lt;b&gt;rule&lt;/b&gt;" in tip


def test_a_heading_has_its_unit_below() -> None:
    model, across = SheetModel(SHEET), Qt.Orientation.Horizontal
    assert model.headerData(1, across) == "Swept volume\ncm³"
    assert model.headerData(0, across) == "Barrel"
    assert model.headerData(2, across, Qt.ItemDataRole.ToolTipRole) == "76 g"


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Enter])
def test_enter_opens_a_number(qtbot: Any, view: SheetView, key: Qt.Key) -> None:
    view.setCurrentIndex(view.sheet_model.index(1, 1))
    with qtbot.waitSignal(view.opened) as told:
        qtbot.keyClick(view, key)
    assert told.args == [VolumeRef("nb")]


def test_a_click_opens_a_number(qtbot: Any, view: SheetView) -> None:
    place = view.visualRect(view.sheet_model.index(0, 1)).center()
    with qtbot.waitSignal(view.opened) as told:
        qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert told.args == [VolumeRef("na")]


def test_a_cell_without_reference_opens_nothing(qtbot: Any, view: SheetView) -> None:
    view.setCurrentIndex(view.sheet_model.index(0, 0))
    with qtbot.assertNotEmitted(view.opened):
        qtbot.keyClick(view, Qt.Key.Key_Return)


def test_the_selection_is_copied_as_rows_with_tabs(qtbot: Any, view: SheetView) -> None:
    view.selectAll()
    qtbot.keyClick(view, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert QGuiApplication.clipboard().text() == (
        "Nordquell A\t251\tshare 41 %\nNordquell B\t318\tshare 33 %"
    )


def test_an_equal_shape_keeps_the_place(view: SheetView) -> None:
    view.setCurrentIndex(view.sheet_model.index(1, 2))
    rows = (SHEET.rows[0], (*SHEET.rows[1][:2], Cell("share 34 %", state="near_edge")))
    view.set_sheet(Sheet("grid", "Fit", SHEET.headings, rows))
    assert view.currentIndex().data() == "share 34 %"


def test_a_row_that_is_named_otherwise_is_painted_so(qtbot: Any, view: SheetView) -> None:
    view.keep_in_sight(1)
    rows = ((Cell("Someone else"), *SHEET.rows[0][1:]), SHEET.rows[1])
    with qtbot.waitSignal(view.sheet_model.headerDataChanged) as told:
        view.set_sheet(Sheet("grid", "Fit", SHEET.headings, rows))
    assert told.args == [Qt.Orientation.Vertical, 0, 0]


def inked(state: str, palette: str) -> tuple[bool, ...]:
    """Say of each pixel of a mark whether it is inked, in whatever colour."""
    image = QImage(36, 36, QImage.Format.Format_ARGB32)
    image.fill(Qt.GlobalColor.transparent)
    painter = QPainter(image)
    draw_mark(painter, QRectF(2, 2, 32, 32), state, load(palette))
    painter.end()
    places = ((x, y) for x in range(36) for y in range(36))
    return tuple(image.pixelColor(x, y).alpha() > 127 for x, y in places)


@pytest.mark.parametrize("palette", NAMES)
def test_marks_are_told_apart_without_colour(qapp: object, palette: str) -> None:
    assert len({inked(state, palette) for state in SEVERITY}) == len(SEVERITY)


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize(
    "text", ["Nordquell", "12.5 ± 0.1", "שלום 12 עולם", "<b>a</b> &amp; b", "a\tb", "a word " * 30]
)
@pytest.mark.parametrize("lies", ["AlignLeft", "AlignRight", "AlignHCenter"])
def test_a_text_that_was_laid_out_once_stands_where_it_always_would(
    view: SheetView, lies: str, text: str, bold: bool
) -> None:
    at = Qt.AlignmentFlag[lies] | Qt.AlignmentFlag.AlignVCenter
    option, delegate = QStyleOptionViewItem(), view.itemDelegate()
    option.rect, option.font = QRect(5, 6, 201, 23), view.font()
    font = QFont(view.font())
    font.setBold(bold)
    metrics = QFontMetrics(font)
    cut = metrics.elidedText(text, Qt.TextElideMode.ElideRight, 193)
    box = QRect(8, 6 + (23 - metrics.height()) // 2, 193, metrics.height())

    def painted(paint: Callable[[QPainter], None]) -> QImage:
        image = QImage(220, 40, QImage.Format.Format_RGB32)
        image.fill(Qt.GlobalColor.white)
        painter = QPainter(image)
        painter.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
        painter.setFont(font)
        paint(painter)
        painter.end()
        return image

    assert isinstance(delegate, PlainCells)
    once = painted(
        lambda p: delegate.draw_text(p, option, (8, 200), text, at, QColor("black"), bold=bold)
    )
    assert once == painted(lambda p: draw_words(p, box, at, cut))


@pytest.mark.parametrize("name", NAMES)
def test_a_bar_shows_how_far_a_table_is_scrolled(view: SheetView, theme: Theme, name: str) -> None:
    theme.switch(name)
    view.set_sheet(Sheet("grid", "Fit", SHEET.headings, SHEET.rows * 30))
    view.resize(400, 200)
    QGuiApplication.processEvents()
    bar = view.verticalScrollBar()

    def inks_at(share: float) -> set[str]:
        image = bar.grab().toImage()
        row = round(share * (image.height() - 1))
        return {image.pixelColor(x, row).name() for x in range(image.width())}

    assert bar.isVisible()
    handle, ground = inks_at(0.15), inks_at(0.85)
    assert len(handle) == 2
    assert ground < handle
    bar.setValue(bar.maximum())
    assert (inks_at(0.15), inks_at(0.85)) == (ground, handle)
    theme.switch(NAMES[0])


def test_a_joined_script_is_cut_without_a_mark_of_its_own(qapp: object) -> None:
    metrics = QFontMetrics(QFont())
    name = "\N{ARABIC LETTER NOON}\N{ARABIC LETTER ALEF}\N{ARABIC LETTER MEEM}" * 20
    for width in range(40, 90):
        cut = cut_short(metrics, name, width)
        assert visible(cut) == cut
        assert cut.endswith("…")
    assert cut_short(metrics, "a\N{ZERO WIDTH JOINER}b", 500) == visible("a\N{ZERO WIDTH JOINER}b")


LONG = "waits: outside by rule in 6 of 8 jobs; 4 criteria not assessed in 1 cell"


@pytest.mark.parametrize("state", [None, "near_edge"])
def test_a_text_goes_on_in_lines_below_only_where_no_width_is_free(
    view: SheetView, state: State | None
) -> None:
    headings = tuple(Heading(title) for title in ("Barrel", "Gate", "Way out"))
    rows = ((Cell("Unit A"), Cell(LONG, state=state), Cell("–")), (Cell("B"), Cell("–"), Cell("–")))
    view.set_sheet(Sheet("gate", "Gate", headings, rows))
    index, heights = view.sheet_model.index(0, 1), []
    view.rows_fitted.connect(lambda: heights.append(view.rowHeight(0)))
    view.resize(1200, 300)
    assert view.lines_at(index) == (LONG,)
    assert view.rowHeight(0) == view.rowHeight(1)
    view.resize(400, 300)
    lines = view.lines_at(index)
    assert 1 < len(lines) <= 4
    assert " ".join(lines) == LONG
    assert view.rowHeight(0) > view.rowHeight(1)
    assert view.rowHeight(0) == heights[-1] >= len(lines) * view.fontMetrics().lineSpacing()
    assert all(view.fontMetrics().horizontalAdvance(one) < view.columnWidth(1) for one in lines)
    # A low table shows rows rather than whole texts.
    view.resize(400, view.horizontalHeader().height() + view.rowHeight(1))
    assert view.rowHeight(0) == view.rowHeight(1)


def test_a_row_is_not_high_for_what_is_out_of_sight(view: SheetView) -> None:
    headings = tuple(Heading(f"Column {n}") for n in range(9))
    view.set_sheet(Sheet("order", "Order", headings, ((Cell(LONG),) * 9, (Cell("–"),) * 9)))
    view.resize(400, 300)
    assert view.horizontalScrollBar().maximum() > 0
    assert view.rowHeight(0) == view.rowHeight(1)
    assert view.lines_at(view.sheet_model.index(0, 0)) == (LONG,)


def test_rows_that_are_to_stay_low_have_one_line_in_any_width(view: SheetView) -> None:
    headings = (Heading("Barrel"), Heading("Gate"))
    view.keep_rows_low()
    rows = ((Cell("Unit A"), Cell(LONG)), (Cell("B"), Cell("–")))
    view.set_sheet(Sheet("gate", "Gate", headings, rows))
    view.resize(400, 300)
    assert view.columnWidth(1) < view.fontMetrics().horizontalAdvance(LONG)
    assert view.rowHeight(0) == view.rowHeight(1)


def test_a_chosen_cell_has_its_text_where_it_was(view: SheetView) -> None:
    headings = (Heading("Barrel"), Heading("Gate"))
    view.set_sheet(Sheet("gate", "Gate", headings, ((Cell("Unit A"), Cell(LONG)),)))
    view.resize(300, 300)
    box = view.visualRect(view.sheet_model.index(0, 1))

    def inked_rows() -> list[bool]:
        image = view.viewport().grab(box).toImage()
        ground = image.pixelColor(image.width() - 4, 3)
        across = range(4, image.width() - 4)
        down = range(3, image.height() - 3)
        return [any(image.pixelColor(x, y) != ground for x in across) for y in down]

    before = inked_rows()
    view.selectRow(0)
    assert inked_rows() == before
    # Two lines of text at least, and white between them.
    assert before.index(False, before.index(True)) < len(before) - 1 - before[::-1].index(True)


NUMBER, TEXT = Wants(60, 90, 50), Wants(400, 40, 40, is_words=True)


def test_columns_give_way_step_by_step() -> None:
    """First words, then headings, then columns that yield, the highest number first."""
    wants = {0: NUMBER, 1: TEXT, 2: replace(NUMBER, yields=1), 3: replace(TEXT, yields=2)}
    whole = share_out(wants, 1000, 1014)
    assert (whole.widths, whole.in_two) == ({0: 90, 1: 400, 2: 90, 3: 434}, frozenset())
    narrow = share_out(wants, 600, 600)
    assert narrow.widths.keys() == wants.keys()
    assert sum(narrow.widths.values()) == 600
    assert narrow.in_two == frozenset()
    broken = share_out(wants, 530, 530)
    assert broken.widths.keys() == wants.keys()
    assert broken.in_two == {0, 2}
    assert [*share_out(wants, 330, 330).widths] == [0, 1, 2]
    assert [*share_out(wants, 270, 270).widths] == [0, 1]
    # What never yields is scrolled to.
    assert [*share_out(wants, 100, 100).widths] == [0, 1]
    # Where lines may not break, what yields goes before a text is cut.
    assert [*share_out(wants, 600, 600, may_break=False).widths] == [0, 1, 2]


def test_marks_stand_alone_where_their_words_have_no_room(qtbot: Any, view: SheetView) -> None:
    states = ("inside", "outside", "not_stated")
    heads = ("Volume against geometry", "Common stroke", "Injection speed")
    cells = (Cell(f"a word for {state}", state=state) for state in states)
    sheet = Sheet(
        "of marks",
        "",
        (Heading("Barrel"), *(Heading(head, align="centre") for head in heads)),
        ((Cell("Nordquell A"), *cells),),
    )
    view.keep_in_sight(1)
    view.narrow_to_marks()
    view.resize(900, 200)
    view.set_sheet(sheet)
    across, model = Qt.Orientation.Horizontal, view.sheet_model
    assert model.headerData(1, across) == heads[0]
    view.resize(360, 200)
    assert model.headerData(1, across) == "Volume\nagainst\ngeometry"
    assert not view.scrolls_sideways()
    assert view.verticalHeader().width() > 0
    # No word is painted, but each is still told and copied.
    mark = view.visualRect(model.index(0, 2))
    assert mark.width() < view.fontMetrics().horizontalAdvance("a word for outside")
    view.selectRow(0)
    assert "a word for not_stated" in view.selected_text()
    view.resize(900, 200)
    assert model.headerData(1, across) == heads[0]


@pytest.mark.parametrize(
    ("title", "lines"),
    [("Gate", "Gate"), ("Valid until", "Valid\nuntil"), ("Filled in by us", "Filled\nin by us")],
)
def test_a_title_stands_on_two_lines_alike(title: str, lines: str) -> None:
    assert in_two(title) == lines


def test_what_has_no_room_is_told_of_the_row_in_focus(qtbot: Any, view: SheetView) -> None:
    headings = (
        *(Heading(f"Barrel {n}") for n in range(3)),
        Heading("Screw", "EUR", "right", yields=1),
        Heading("Delivery", yields=2),
    )
    first = (*(Cell(LONG),) * 3, Cell("1 400", 1400.0), Cell("22 weeks"))
    second = (*(Cell("–"),) * 3, Cell("–"), Cell("12 weeks"))
    told = LeftOut(view)
    qtbot.addWidget(told)
    view.resize(1600, 300)
    view.set_sheet(Sheet("offers", "Offers", headings, (first, second)))
    assert told.isHidden()
    view.resize(450, 300)
    assert not view.scrolls_sideways()
    assert "Screw; Delivery" in told.text()
    view.selectRow(0)
    assert told.text() == "Screw, EUR: 1 400\nDelivery: 22 weeks"
    view.selectRow(1)
    assert told.text() == "Screw, EUR: –\nDelivery: 12 weeks"
    # What is copied has all columns.
    assert view.selected_text().endswith("12 weeks")
    view.resize(1600, 300)
    assert told.isHidden()
