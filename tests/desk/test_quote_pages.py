"""The quote beside the data: real clicks and keys on the pages that the sample's bids came in."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfWriter
from PySide6.QtCore import QMimeData, QPoint, QPointF, QRectF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QImage, QPainter, QPdfWriter
from PySide6.QtWidgets import QApplication, QLineEdit

from evenbarrel import resources
from evenbarrel.desk.collecting.extract_table import ExtractTable
from evenbarrel.desk.pages.bids.page import BidsPage
from evenbarrel.desk.pages.bids.quote.page_view import PageView
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.window.session import Session
from evenbarrel.intake.extract import Extract
from evenbarrel.intake.pages.document import QuotePages
from evenbarrel.intake.pages.words import Box, Word
from evenbarrel.model import datum_path as edits
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Place
from evenbarrel.wording.sentences.asking import quote

UNIT = ("bids", "b1", "units", "b1u1")
B = (*UNIT, "barrels", "b1u1b")
SCARCE = 1140
"""Below so much width data and a page of the quote want the room of the drawers [px]."""
LEFT = Qt.MouseButton.LeftButton


class Desk:
    """Bids with the pages of a quote beside it, and a hand."""

    def __init__(self, qtbot: Any, session: Session, page: BidsPage) -> None:
        self.bot, self.session, self.page = qtbot, session, page
        self.panel = page.quote.panel
        self.view: PageView = self.panel.view

    def settle(self) -> None:
        """Wait until what was asked for is shown."""
        self.bot.waitUntil(lambda: not self.panel._settled.isActive(), timeout=5000)
        loader, attaching = self.panel.loader, self.page.quote.documents._attaching
        self.bot.waitUntil(lambda: not loader.is_busy and not attaching.is_busy, timeout=5000)

    def open(self, number: int = 1) -> None:
        self.page.quote.toggle.trigger()
        self.settle()
        self.panel.turn(number - 1)
        self.settle()

    def word(self, text: str, place: int = 0) -> Word:
        page = self.panel.page
        assert page is not None
        return [word for word in page.words if word.text == text][place]

    def at(self, box: Box) -> QPoint:
        self.view.bring(box)
        return self.view.area_of(box).center().toPoint()

    def click(self, text: str, place: int = 0) -> None:
        self.bot.mouseClick(self.view.viewport(), LEFT, pos=self.at(self.word(text, place).box))

    def drag(self, start: QPoint, end: QPoint) -> None:
        port = self.view.viewport()
        self.bot.mousePress(port, LEFT, pos=start)
        self.bot.mouseMove(port, (start + end) / 2)
        self.bot.mouseMove(port, end)
        self.bot.mouseRelease(port, LEFT, pos=end)

    def drop(self, file: Path) -> None:
        """Drop a file on the pages, as a file manager does."""
        data = QMimeData()
        data.setUrls([QUrl.fromLocalFile(str(file))])
        how = (Qt.DropAction.CopyAction, data, LEFT, Qt.KeyboardModifier.NoModifier)
        QApplication.sendEvent(self.panel, QDragEnterEvent(QPoint(9, 9), *how))
        QApplication.sendEvent(self.panel, QDropEvent(QPointF(9, 9), *how))

    def barrel(self, path: tuple[str, ...] = B) -> Barrel:
        found: Barrel = edits.get(self.session.evaluation, path)
        return found


@pytest.fixture
def desk(qtbot: Any, sample: Session, theme: Theme, shown: Callable[..., Any]) -> Desk:
    page: BidsPage = shown(BidsPage(sample, theme), sample)
    page.resize(1280, 860)
    page.activateWindow()
    page.choose(UNIT)
    made = Desk(qtbot, sample, page)
    page.sheet.focus_cell("b1u1b", "stroke")
    return made


def choose_line(table: ExtractTable, place: int) -> None:
    """Choose the line at that place of the extract."""
    table.selectRow(table.lines.shown.index(place))


def emptied(desk: Desk, *names: str) -> None:
    """Take data out of the bid, as if nothing had been entered yet."""
    barrel = desk.barrel().replace(**dict.fromkeys(names))
    desk.session.edit("emptied", edits.put(desk.session.evaluation, B, barrel))


def test_a_click_puts_the_number_into_the_cell_in_focus_and_goes_on(desk: Desk) -> None:
    emptied(desk, "stroke", "length_ratio", "swept_volume")
    desk.open(3)
    steps = desk.session.undo_stack.count()
    desk.click("190", 1)
    stroke = desk.barrel().stroke
    assert stroke is not None
    assert (stroke.magnitude, stroke.unit, stroke.standing) == ("190", "mm", "quoted")
    assert stroke.source == "brastivel-offer.pdf, p. 3"
    assert stroke.place is not None
    assert stroke.place.page == 3
    word = desk.word("190", 1)
    assert stroke.place.box == pytest.approx(word.box, abs=0.1)
    assert "Stroke of B: 190 mm" in desk.panel.result.text()
    # The next two are taken without a hand on the sheet.
    desk.click("20")
    desk.click("302")
    barrel = desk.barrel()
    assert barrel.length_ratio is not None
    assert barrel.swept_volume is not None
    assert (barrel.length_ratio.magnitude, barrel.swept_volume.unit) == ("20", "cm3")
    assert desk.page.sheet.view.hasFocus()
    assert desk.session.undo_stack.count() == steps + 3
    desk.session.undo_stack.undo()
    assert desk.barrel().swept_volume is None


def test_what_is_typed_in_a_cell_waits_while_the_page_is_turned(desk: Desk) -> None:
    desk.open(3)
    view = desk.page.sheet.view
    desk.bot.keyClicks(view, "1")
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    desk.bot.keyClicks(editor, "7")
    for button in (desk.panel.on, desk.panel.back, desk.panel.into, desk.panel.fit):
        desk.bot.mouseClick(button, LEFT)
        desk.settle()
    desk.bot.mouseClick(desk.view.viewport(), LEFT, pos=QPoint(5, 5))
    assert QApplication.focusWidget() is editor
    assert editor.text() == "17"
    desk.click("302")
    stroke = desk.barrel().stroke
    assert stroke is not None
    assert (stroke.magnitude, view.state()) == ("302", view.State.NoState)


def test_a_click_fills_the_fields_of_a_form_one_after_the_other(desk: Desk) -> None:
    unit: InjectionUnit = edits.get(desk.session.evaluation, UNIT)
    bare = unit.replace(drive_power=None, injection_power=None, price=None)
    desk.session.edit("emptied", edits.put(desk.session.evaluation, UNIT, bare))
    desk.open(3)
    desk.page.unit_tabs.setCurrentIndex(1)
    form = desk.page.forms[InjectionUnit]
    form.focus_field("drive_power")
    names = list(form.fields)
    desk.click("55")
    after = names[names.index("drive_power") + 1]
    assert form.fields[after].isAncestorOf(QApplication.focusWidget())
    form.focus_field("price")
    desk.click("500")
    unit = edits.get(desk.session.evaluation, UNIT)
    assert unit.drive_power is not None
    assert unit.price is not None
    assert (unit.drive_power.magnitude, unit.drive_power.unit) == ("55", "kW")
    assert (unit.price.amount, unit.price.currency) == ("186500", "EUR")
    assert unit.price.place is not None
    # And back: the button beside the price opens its page.
    desk.panel.turn(-2)
    desk.settle()
    desk.bot.mouseClick(form.fields["price"].provenance.place, LEFT)  # type: ignore[attr-defined]
    desk.settle()
    assert desk.view.mark == Box(*(unit.price.place.box or ()))
    assert desk.panel.page is not None
    assert desk.panel.page.number == 3


def test_a_mark_stays_in_sight_where_the_page_grows(desk: Desk) -> None:
    desk.open(3)
    mark = desk.word("604").box
    desk.view.show_marks(mark)
    before = desk.view.scale
    desk.page.resize(desk.page.width() + 700, desk.page.height())
    desk.settle()
    assert desk.view.scale > 1.2 * before
    assert QRectF(desk.view.viewport().rect()).contains(desk.view.area_of(mark))


def test_what_is_no_value_of_the_field_is_said_and_nothing_changes(desk: Desk) -> None:
    desk.open(3)
    before = desk.session.evaluation
    desk.click("melt")
    assert "not accepted for Stroke of B" in desk.panel.result.text()
    desk.bot.mouseClick(desk.view.viewport(), LEFT, pos=QPoint(5, 5))
    assert desk.panel.result.text() == quote.NOT_A_WORD
    assert desk.session.evaluation is before


def test_the_keyboard_alone_takes_a_number(desk: Desk) -> None:
    emptied(desk, "stroke")
    desk.open(3)
    desk.view.setFocus(Qt.FocusReason.TabFocusReason)
    while desk.view.accessibleDescription() != "239":
        desk.bot.keyClick(desk.view, Qt.Key.Key_Right)
    desk.bot.keyClick(desk.view, Qt.Key.Key_Up)
    desk.bot.keyClick(desk.view, Qt.Key.Key_Down)
    desk.bot.keyClick(desk.view, Qt.Key.Key_Right)
    desk.bot.keyClick(desk.view, Qt.Key.Key_Return)
    stroke = desk.barrel().stroke
    assert stroke is not None
    assert stroke.magnitude == "302"
    # What waits next is the cell below, while the keyboard stays on the page.
    assert desk.view.hasFocus()
    assert "L/D of B" in desk.panel.goes_to.text()
    desk.bot.keyClick(desk.view, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    desk.bot.keyClick(desk.view, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert QApplication.clipboard().text() == "302 373"
    desk.bot.keyClick(desk.view, Qt.Key.Key_PageDown)
    desk.settle()
    assert desk.panel.which.text() == "4 of 9"


def test_a_box_round_a_table_is_read(desk: Desk, qtbot: Any) -> None:
    desk.open(3)
    desk.bot.mouseClick(desk.panel.read_table, LEFT)
    first, last = desk.word("Screw", 1), desk.word("465")
    desk.view.bring(last.box)
    start = desk.view.area_of(first.box).topLeft().toPoint() - QPoint(6, 6)
    end = desk.view.area_of(last.box).bottomRight().toPoint() + QPoint(6, 4)
    desk.drag(start, end)
    shown = desk.page.collecting.panel
    qtbot.waitUntil(lambda: shown.is_open, timeout=5000)
    extract: Extract | None = shown.extract
    assert extract is not None
    assert extract.name == "brastivel-offer.pdf, p. 3"
    # The page stays beside what was read of it.
    assert desk.panel.isVisible()
    assert shown.isVisible()
    strokes = [line for line in extract.lines if line.field == "stroke"]
    assert [line.outcome for line in strokes] == ["same"] * 3
    assert {line.value.place.page for line in strokes} == {3}
    assert desk.view.mode == "point"
    # A line that is chosen is marked where it was found.
    place = extract.lines.index(strokes[2])
    choose_line(shown.table, place)
    assert desk.view.mark == Box(*strokes[2].value.place.box)


def test_a_quote_is_read_whole_put_right_by_a_click_taken_and_gone_on_from(
    desk: Desk, qtbot: Any
) -> None:
    """Beginning with nothing but the PDF: two clicks and one key give the offer's data."""
    meant = desk.session.evaluation.bids[0]
    alone = Bid(id="b1", documents=meant.documents)
    desk.session.edit("begin", Evaluation(bids=(alone,)))
    desk.page.choose(("bids", "b1"))
    desk.open(3)
    desk.bot.mouseClick(desk.panel.read_all, LEFT)
    shown = desk.page.collecting.panel
    qtbot.waitUntil(lambda: shown.is_open, timeout=10_000)
    assert desk.session.evaluation.bids == (alone,)
    strokes = [n for n, one in enumerate(shown.extract.lines) if one.field == "stroke"]
    choose_line(shown.table, strokes[1])
    desk.settle()
    assert desk.panel.goes_to.text() == "A click goes to: Stroke"
    desk.click("45")
    put_right = shown.extract.lines[strokes[1]].value
    assert (put_right.magnitude, put_right.place.page) == ("45", 3)
    # What waits next is the line below.
    assert shown.table.current_line() == strokes[2]
    desk.bot.keyClick(shown.table, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    (bid,) = desk.session.evaluation.bids
    assert (bid.supplier, bid.reference, bid.currency) == ("Brastivel", meant.reference, "EUR")
    diameters = [b.screw_diameter.magnitude for b in bid.units[0].barrels]  # type: ignore[union-attr]
    assert diameters == ["40", "45", "50"]
    # The resin that they are rated in came with it: the evaluation had none.
    assert [resin.id for resin in desk.session.evaluation.resins] == ["ps"]
    assert desk.page.sheet.view.hasFocus()
    assert desk.panel.goes_to.text().startswith("A click goes to: ")


def test_a_page_has_room_to_be_read_and_gives_it_back(
    desk: Desk,
    theme: Theme,
    shown: Callable[..., Any],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    lent: list[int] = []
    desk.page.room_wanted.connect(lent.append)
    desk.page.resize(900, 700)
    assert desk.page.tree.isVisible()
    desk.open(3)
    # Narrow: the tree folds away, and the drawers of the window are asked for.
    assert lent == [SCARCE]
    assert not desk.page.tree.isVisible()
    assert desk.panel.width() > 0.5 * desk.page.width()
    desk.page.resize(1200, 700)
    usual = desk.panel.width()
    desk.page.quote.larger.trigger()
    assert desk.panel.width() > usual + 60
    desk.page.quote.larger.trigger()
    assert abs(desk.panel.width() - usual) <= 4
    splitter = desk.page.room.splitter
    middle = splitter.handle(1).rect().center()
    desk.bot.mousePress(splitter.handle(1), LEFT, pos=middle)
    desk.bot.mouseMove(splitter.handle(1), middle + QPoint(60, 0))
    desk.bot.mouseRelease(splitter.handle(1), LEFT, pos=middle + QPoint(60, 0))
    narrower = desk.panel.width()
    assert narrower < usual
    desk.page.quote.toggle.trigger()
    # Once more than any window has, for the enlarged page; then as before, and given back.
    assert [width for width in lent if width < 5000] == [SCARCE, SCARCE, 0]
    assert desk.page.tree.isVisible()
    other: BidsPage = shown(BidsPage(desk.session, theme), desk.session)
    other.resize(desk.page.size())
    other.quote.toggle.trigger()
    assert abs(other.quote.panel.width() - narrower) <= 4


def test_all_pages_are_read_at_once_and_each_line_leads_to_its_page(desk: Desk, qtbot: Any) -> None:
    emptied(desk, "stroke", "swept_volume")
    desk.open(9)
    desk.bot.mouseClick(desk.panel.read_all, LEFT)
    shown = desk.page.collecting.panel
    qtbot.waitUntil(lambda: shown.is_open, timeout=5000)
    extract: Extract | None = shown.extract
    assert extract is not None
    assert extract.name == "brastivel-offer.pdf"
    ticked = [extract.lines[at] for at in sorted(shown.ticked)]
    assert [(line.field, line.text) for line in ticked] == [
        ("stroke", "190"),
        ("swept_volume", "302"),
    ]
    choose_line(shown.table, extract.lines.index(ticked[1]))
    desk.settle()
    assert desk.panel.page is not None
    assert desk.panel.page.number == 3
    assert desk.view.mark == Box(*ticked[1].value.place.box)


def test_words_are_looked_for_on_every_page(desk: Desk) -> None:
    desk.open()
    desk.page.quote.to_words.trigger()
    desk.bot.keyClicks(desk.panel.finder.sought, "Training")
    desk.bot.keyClick(desk.panel.finder.sought, Qt.Key.Key_Return)
    desk.settle()
    assert (desk.panel.which.text(), desk.panel.finder.count.text()) == ("9 of 9", "1 of 1")
    assert desk.view.hit == (desk.word("Training").box,)
    desk.panel.finder.sought.setText("no such words")
    desk.panel.finder.sought.setModified(True)
    desk.bot.keyClick(desk.panel.finder.sought, Qt.Key.Key_Return)
    desk.settle()
    assert desk.panel.finder.count.text() == "not found"


def test_a_document_is_attached_moved_away_changed_and_removed(desk: Desk, tmp_path: Path) -> None:
    (tmp_path / "bids").mkdir()
    desk.session.save(tmp_path / "bids" / "mine.evenbarrel.json")
    offer = tmp_path / "later.pdf"
    offer.write_bytes(resources.read_sample("ondrupek-angebot.pdf"))
    desk.open()
    desk.drop(offer)
    desk.settle()
    bid = desk.session.evaluation.bids[0]
    document = bid.documents[-1]
    assert (document.name, document.path, document.pages) == ("later.pdf", "../later.pdf", 6)
    assert desk.panel.document == document
    assert desk.panel.which.text() == "1 of 6"
    desk.panel.show_place(Place(document=document.id, page=2))
    desk.settle()
    assert desk.panel.which.text() == "2 of 6"
    # Another file under the name.
    offer.write_bytes(resources.read_sample("quillomar-quotation.pdf"))
    desk.panel._show(document)
    desk.settle()
    assert desk.panel.notice.text() == quote.changed_since("later.pdf")
    desk.bot.mouseClick(desk.panel.keep, LEFT)
    desk.settle()
    assert desk.session.evaluation.bids[0].documents[-1].pages == 7
    assert not desk.panel.notice.isVisible()
    offer.unlink()
    desk.panel._show(desk.session.evaluation.bids[0].documents[-1])
    desk.settle()
    assert "there is no such file" in desk.panel.notice.text()
    assert desk.panel.again.isVisible()
    # Without its document a number keeps its words, and no place.
    steps = desk.session.undo_stack.count()
    desk.panel._show(bid.documents[0])
    desk.settle()
    desk.bot.mouseClick(desk.panel.remove, LEFT)
    stroke = desk.barrel().stroke
    assert stroke is not None
    assert (stroke.place, stroke.source) == (None, "offer p. 3, table 2")
    assert desk.session.undo_stack.count() == steps + 1


def test_a_quote_that_is_dropped_begins_a_bid_beside_its_pages(desk: Desk, tmp_path: Path) -> None:
    offer = tmp_path / "new offer.pdf"
    writer = PdfWriter(clone_from=BytesIO(resources.read_sample("ondrupek-angebot.pdf")))
    writer.add_metadata({"/Title": "another copy"})
    with offer.open("wb") as file:
        writer.write(file)
    count, steps = len(desk.session.evaluation.bids), desk.session.undo_stack.count()
    desk.page.collect(lambda collector: collector.read_files([offer]))
    desk.settle()
    bid = desk.session.evaluation.bids[-1]
    assert len(desk.session.evaluation.bids) == count + 1
    assert desk.session.undo_stack.count() == steps + 1
    assert [one.name for one in bid.documents] == ["new offer.pdf"]
    assert desk.panel.which.text() == "1 of 6"
    # The first field waits; so its supplier and number are two clicks.
    desk.click("Ondrupek")
    desk.click("2026/1183-B")
    bid = desk.session.evaluation.bids[-1]
    assert (bid.supplier, bid.reference) == ("Ondrupek", "2026/1183-B")
    # Sent again, it is the same bid.
    desk.page.collect(lambda collector: collector.read_files([offer]))
    desk.settle()
    assert len(desk.session.evaluation.bids) == count + 1
    bad = tmp_path / "bad.pdf"
    bad.write_bytes(b"no")
    desk.page.collect(lambda collector: collector.read_files([bad]))
    desk.settle()
    assert len(desk.session.evaluation.bids) == count + 1
    assert desk.panel.result.text().startswith("bad.pdf: ")


def test_what_cannot_be_shown_is_said_and_not_attached(desk: Desk, tmp_path: Path) -> None:
    desk.open()
    before = desk.session.evaluation
    for name, data, said in (
        ("broken.pdf", b"%PDF-1.7 and no more", quote.REFUSED["broken"]),
        ("letter.pdf", b"Dear Sirs", quote.REFUSED["broken"]),
    ):
        file = tmp_path / name
        file.write_bytes(data)
        desk.drop(file)
        desk.settle()
        assert desk.panel.result.text() == f"{name}: {said}."
    assert desk.session.evaluation is before


def test_on_a_page_without_text_a_typed_number_gets_its_place_by_a_box(
    desk: Desk, tmp_path: Path
) -> None:
    pages = QuotePages(resources.read_sample("brastivel-offer.pdf"), "offer.pdf")
    picture = pages.picture(3, 1.0)
    pages.close()
    scan = tmp_path / "scan.pdf"
    writer = QPdfWriter(str(scan))
    painter = QPainter(writer)
    shape = picture.width, picture.height, picture.bytes_a_row
    painter.drawImage(
        writer.pageLayout().paintRectPixels(writer.resolution()),
        QImage(picture.pixels, *shape, QImage.Format.Format_RGB32),
    )
    painter.end()
    desk.open()
    desk.drop(scan)
    desk.settle()
    scanned = desk.session.evaluation.bids[0].documents[-1]
    desk.panel.show_place(Place(document=scanned.id, page=1))
    desk.settle()
    assert desk.panel.result.text() == quote.SCANNED
    desk.page.sheet.focus_cell("b1u1b", "length_ratio")
    before = desk.barrel().length_ratio
    desk.bot.mouseClick(desk.panel.mark_place, LEFT)
    desk.drag(QPoint(60, 60), QPoint(110, 80))
    after = desk.barrel().length_ratio
    assert before is not None
    assert after is not None
    assert after.place is not None
    assert (after.place.document, after.place.page) == (scanned.id, 1)
    assert after.replace(place=None) == before.replace(place=None)
    assert desk.view.mark is not None
    # An empty field has no number yet whose place could be kept.
    emptied(desk, "length_ratio")
    desk.bot.mouseClick(desk.panel.mark_place, LEFT)
    desk.drag(QPoint(60, 60), QPoint(110, 80))
    assert desk.panel.result.text() == quote.NO_NUMBER_YET


def test_a_bid_without_documents_says_so(desk: Desk) -> None:
    desk.open()
    desk.page.choose(("bids", "b6"))
    assert desk.view.says.text() == quote.NO_DOCUMENT
    desk.page.choose(("bids", "b4"))
    assert desk.view.says.text() == quote.not_pages("velthornax-data-sheet.txt")
