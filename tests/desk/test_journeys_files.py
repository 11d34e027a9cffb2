"""Whole journeys through the real window: files, exports, the keyboard, palettes and units."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader
from pypdfium2 import PdfDocument
from PySide6.QtCore import Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QApplication, QFileDialog, QRadioButton, QWidget

from evenbarrel.appraisal.references import ClaimRef
from evenbarrel.desk.pages.all_pages import PAGES as ENTRIES
from evenbarrel.desk.pages.shots.page import COLUMNS
from evenbarrel.desk.window import session as sessions
from evenbarrel.model.datum_path import TypedText
from evenbarrel.model.offers.barrel import Barrel
from evenbarrel.model.offers.bid import InjectionUnit
from evenbarrel.model.quantity import Money
from evenbarrel.storage.files import read_evaluation, write_evaluation

from .conftest import cut_off as cut_off_session
from .conftest import quantity, small_programme, without_name
from .person import CTRL, SHIFT, Person, cell_of, seen

PAGES = tuple(entry.title for entry in ENTRIES)

# What the platform without a screen says when a menu opens.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)

PATIENCE_MS = 30_000
EDITED = "17.5"
"""Part mass typed over that of the first mould [g]."""


@pytest.fixture
def sample(person: Person) -> Person:
    """A person who has opened the sample from the menu."""
    person.menu("File", "Open sample")
    return person


def change_part_mass(person: Person) -> None:
    """Type over the part mass of the first mould in the table of the first page."""
    person.go_to("Shots")
    person.click_cell(person.page.table, person.page.model.index(0, 2))
    person.type(EDITED)
    person.key(Qt.Key.Key_Return)
    assert person.session.evaluation.jobs[0].part_mass.magnitude == EDITED  # type: ignore[union-attr]


def save(person: Person, path: Path) -> None:
    person.files.to_write = path
    person.key(Qt.Key.Key_S, CTRL)


def test_saved_under_a_name_it_is_opened_again_equal(
    sample: Person, open_desk: Callable[[], Person], tmp_path: Path
) -> None:
    change_part_mass(sample)
    assert sample.window.isWindowModified()
    path = tmp_path / "press"
    save(sample, path)
    written = path.with_name("press.evenbarrel.json")
    assert not sample.window.isWindowModified()
    assert "(press.evenbarrel.json)" in sample.window.windowTitle()
    saved = sample.session.evaluation
    assert read_evaluation(written) == saved

    sample.window.close()
    again = open_desk()
    again.files.to_open = written
    again.key(Qt.Key.Key_O, CTRL)
    assert again.session.evaluation == saved
    assert not again.window.isWindowModified()
    assert EDITED in seen(again.page)


def test_what_was_never_saved_is_given_a_name_after_its_title(
    sample: Person, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    asked: list[str] = []

    def answer(_parent: object, _title: str, suggested: str, *_: object, **__: object) -> Any:
        asked.append(suggested)
        return str(tmp_path / "press"), ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", staticmethod(answer))
    change_part_mass(sample)
    sample.session.edit("Title", sample.session.evaluation.replace(title="Caps / 24 cav., 2027"))
    sample.key(Qt.Key.Key_S, CTRL | SHIFT)
    sample.key(Qt.Key.Key_S, CTRL | SHIFT)
    saved = str(tmp_path / "press.evenbarrel.json")
    assert asked == ["Caps-24-cav-2027.evenbarrel.json", saved]


def test_a_save_that_cannot_be_written_keeps_the_document_and_says_why(
    sample: Person, tmp_path: Path
) -> None:
    first = tmp_path / "first.evenbarrel.json"
    save(sample, first)
    content = first.read_bytes()
    change_part_mass(sample)
    edited = sample.session.evaluation
    folder = tmp_path / "folder.evenbarrel.json"
    folder.mkdir()
    for path in (folder, tmp_path / "nowhere" / "press.evenbarrel.json"):
        sample.files.to_write = path
        sample.key(Qt.Key.Key_S, CTRL | SHIFT)
        assert path.name in sample.window.notice.text.text()
        assert sample.window.notice.isVisible()
        assert sample.session.evaluation is edited
        assert sample.session.path == first
        assert sample.window.isWindowModified()
    assert first.read_bytes() == content
    assert sorted(p.name for p in tmp_path.iterdir() if p.name.startswith("f")) == [
        first.name,
        folder.name,
    ]
    sample.key(Qt.Key.Key_S, CTRL)
    assert read_evaluation(first) == edited


@pytest.fixture
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Unsaved work is kept aside at the next turn of the loop."""
    monkeypatch.setattr(sessions, "AUTOSAVE_AFTER_MS", 0)


def cut_off(person: Person) -> None:
    """End a session without a word, as a power cut does: its unsaved work is on the disk."""
    person.session.blockSignals(True)
    person.window.hide()
    # A field that is hidden is left: what it says of that is kept before the cut.
    QApplication.processEvents()
    cut_off_session(person.session)


def kept_in(folder: Path) -> list[Path]:
    return list(folder.rglob("*.autosave"))


@pytest.mark.usefixtures("at_once")
def test_work_that_was_cut_off_is_offered_and_taken_up_again(
    sample: Person, open_desk: Callable[[], Person], tmp_path: Path
) -> None:
    change_part_mass(sample)
    sample.wait(lambda: bool(kept_in(tmp_path)))
    cut_off(sample)

    again = open_desk()
    assert again.session.evaluation.jobs == ()
    assert "Unsaved work on “Irrigation parts" in again.window.notice.text.text()
    again.click(next(b for b in again.window.notice.buttons if b.text() == "&Restore"))
    assert again.session.evaluation == sample.session.evaluation
    assert again.window.isWindowModified()
    assert EDITED in seen(again.page)
    save(again, tmp_path / "press.evenbarrel.json")
    assert not again.window.isWindowModified()
    assert kept_in(tmp_path) == []


@pytest.mark.usefixtures("at_once")
def test_work_on_a_file_that_was_cut_off_is_offered_with_the_file(
    sample: Person, open_desk: Callable[[], Person], tmp_path: Path
) -> None:
    path = tmp_path / "press.evenbarrel.json"
    save(sample, path)
    saved = sample.session.evaluation
    change_part_mass(sample)
    sample.wait(lambda: bool(kept_in(tmp_path)))
    cut_off(sample)

    again = open_desk()
    assert not again.window.notice.isVisible()
    again.files.to_open = path
    again.key(Qt.Key.Key_O, CTRL)
    assert again.session.evaluation == saved
    again.click(next(b for b in again.window.notice.buttons if b.text() == "&Discard"))
    assert again.session.evaluation == saved
    assert kept_in(tmp_path) == []


@pytest.mark.usefixtures("at_once")
def test_what_was_typed_and_not_taken_comes_back_after_a_cut_off(
    person: Person, open_desk: Callable[[], Person], tmp_path: Path
) -> None:
    """Though nothing else is unsaved: one text in a cell, one in a form of another page."""
    path = tmp_path / "press.evenbarrel.json"
    write_evaluation(small_programme(), path)
    person.files.to_open = path
    person.key(Qt.Key.Key_O, CTRL)
    table = person.page.table
    table.setFocus()
    table.setCurrentIndex(table.model().index(1, COLUMNS.index("part_mass")))
    person.type("12x4")
    person.key(Qt.Key.Key_Return)
    person.window.open_datum(("bids", "n", "units", "u1", "barrels", "na", "stroke"))
    person.type_over("two hundred")
    person.pick(person.page.forms[Barrel].fields["stroke"].provenance.standing, "measured")
    person.window.open_datum(("bids", "n", "units", "u1", "price"))
    person.type_over("eighty")
    person.pick(person.page.forms[InjectionUnit].fields["price"].provenance.standing, "confirmed")
    person.window.open_datum(("jobs", "cap", "cavities"))
    person.page.table.setFocus()
    person.page.table.setCurrentIndex(table.model().index(0, COLUMNS.index("part_mass")))
    # What is still being typed is kept too.
    person.type("9.6")
    person.wait(lambda: any('"9.6"' in one.read_text() for one in tmp_path.rglob("*.typed")))
    person.key(Qt.Key.Key_Escape)
    person.session.autosave()
    assert not person.window.isWindowModified()
    cut_off(person)

    again = open_desk()
    again.files.to_open = path
    again.key(Qt.Key.Key_O, CTRL)
    notice = again.window.notice
    assert "with 3 texts that no file has" in notice.text.text()
    again.click(next(b for b in notice.buttons if b.text() == "&Restore"))
    assert again.session.evaluation == small_programme()
    told = notice.text.text()
    assert "Tray, Part mass: “12x4”; Nordquell, Unit 600, A, Stroke: “two hundred”" in told
    again.click(notice.buttons[0])
    assert again.page.table.currentIndex().data() == "12x4"
    again.key(Qt.Key.Key_Return)
    again.type("12.4")
    again.key(Qt.Key.Key_Return)
    again.window.open_datum(("bids", "n", "units", "u1", "barrels", "na", "stroke"))
    field = again.page.forms[Barrel].fields["stroke"]
    assert field.line.text() == "two hundred"
    assert "Not accepted" in field.message.text()
    # The standing that was chosen for it came back with it.
    again.type_over("210")
    measured = quantity("210", "mm").replace(standing="measured")
    assert again.session.evaluation.barrel("na").stroke == measured
    again.window.open_datum(("bids", "n", "units", "u1", "price"))
    again.type_over("80000")
    price = again.session.evaluation.bids[0].units[0].price
    assert price == Money(amount="80000", currency="EUR", standing="confirmed")
    part_mass = again.session.evaluation.jobs[1].part_mass
    assert part_mass is not None
    assert part_mass.magnitude == "12.4"
    assert again.window.typed.not_taken() == ()
    save(again, path)
    assert kept_in(tmp_path) == list(tmp_path.rglob("*.typed")) == []


@pytest.mark.usefixtures("at_once")
def test_what_stands_open_to_be_taken_comes_back_after_a_cut_off(
    person: Person, open_desk: Callable[[], Person], tmp_path: Path
) -> None:
    """With what was put right, ticked, typed and chosen in it, and to be read for another offer."""
    QApplication.clipboard().setText(
        "Screw\tA\nStroke mm\t200\nSwept volume cm3\t251\nColour\tred\n"
    )
    person.key(Qt.Key.Key_V, CTRL | SHIFT)
    panel = person.page.collecting.panel
    person.wait(lambda: panel.is_open)

    def at(panel: Any, text: str) -> int:
        return [line.text for line in panel.extract.lines].index(text)

    for text, typed in (("200", "205"), ("251", "12 furlongs")):
        panel.table.selectRow(panel.table.lines.shown.index(at(panel, text)))
        panel.line.focus_value()
        person.type_over(typed)
        person.key(Qt.Key.Key_Return)
    person.pick(panel.line.field.provenance.standing, "measured")
    supplier = next(f for one, f in panel.particulars.fields.items() if one.field == "supplier")
    supplier.setFocus()
    person.type("Aldermark")
    panel.notes.setFocus()
    person.key(Qt.Key.Key_Space)
    person.wait(lambda: any(b"Aldermark" in one.read_bytes() for one in tmp_path.rglob("*.open")))
    person.session.autosave()
    left, ticked = panel.extract, panel.ticked
    cut_off(person)

    again = open_desk()
    notice = again.window.notice
    assert "with what was read and not taken yet" in notice.text.text()
    again.click(next(b for b in notice.buttons if b.text() == "&Restore"))
    panel = again.page.collecting.panel
    assert (panel.extract, panel.ticked) == (left, ticked)
    assert (panel.isVisible(), panel.notes.isChecked()) == (True, True)
    assert panel.table.current_line() == at(panel, "251")
    assert panel.line.field.line.text() == "12 furlongs"
    panel.line.focus_value()
    again.type_over("252")
    assert panel.extract.lines[at(panel, "251")].value.standing == "measured"
    panel.offer_wanted.emit("")
    again.wait(lambda: not again.page.collecting.collector.job.is_running)
    again.key(Qt.Key.Key_Return, CTRL)
    (bid,) = again.session.evaluation.bids
    (barrel,) = bid.units[0].barrels
    assert (bid.supplier, bid.notes) == ("Aldermark", "Colour | red")
    assert (barrel.stroke.magnitude, barrel.swept_volume.magnitude) == ("205", "252")
    again.session.autosave()
    assert [*tmp_path.rglob("*.open"), *tmp_path.rglob("*.sent")] == []


def test_a_list_of_typed_texts_from_elsewhere_does_no_harm(
    person: Person, open_desk: Callable[[], Person], tmp_path: Path
) -> None:
    """Places that are none are left out, whatever is written is shown as it is."""
    hostile = "<b>x</b>\u202e" + "9" * 5_000
    stroke = ("bids", "n", "units", "u1", "barrels", "na", "stroke")
    person.session._kept.keep(
        small_programme(),
        None,
        (
            TypedText(("jobs", "nobody", "part_mass"), "lost", table=True),
            TypedText(("jobs", "cap", "id"), "lost", table=True),
            TypedText(("jobs", "cap", "part_mass", "magnitude"), "lost"),
            TypedText(("bids", "n", "units", "u1", "barrels", "na", "replace"), "lost"),
            TypedText(("nowhere",), "lost"),
            TypedText(stroke, hostile),
            TypedText(stroke, hostile, table=True),
        ),
    )
    cut_off(person)
    again = open_desk()
    again.click(next(b for b in again.window.notice.buttons if b.text() == "&Restore"))
    standing = again.window.typed.not_taken()
    assert [(one.path, one.text) for one in standing] == 2 * [(stroke, hostile)]
    assert "<b>x</b>⟨U+202E⟩999" in again.window.notice.text.text()
    again.click(again.window.notice.buttons[0])
    assert again.page.sheet.view.currentIndex().data().startswith("<b>x</b>⟨U+202E⟩999")


def export_panel(person: Person) -> Any:
    person.go_to("Decision")
    person.step_to("Exports")
    return person.page.exports


def text_of(path: Path) -> str:
    with PdfDocument(path) as document:
        return "\n".join(page.get_textpage().get_text_bounded() for page in document)


def test_exports_are_valid_files_and_hold_the_changed_number(
    qtbot: Any, sample: Person, tmp_path: Path
) -> None:
    change_part_mass(sample)
    before = sample.session.evaluation
    panel = export_panel(sample)
    for ending in (".pdf", ".xlsx"):
        sample.files.to_write = tmp_path / f"evaluation{ending}"
        with qtbot.waitSignal(panel.exporter.job.done, timeout=PATIENCE_MS):
            sample.click(panel.buttons[ending])
        assert panel.notice.text.text() == f"evaluation{ending} is written."
    # 32 x 17.5 g and a runner of 6.2 g
    assert "566.2" in text_of(tmp_path / "evaluation.pdf")
    book = load_workbook(tmp_path / "evaluation.xlsx", data_only=True)
    cells = {cell.value for sheet in book for row in sheet.iter_rows() for cell in row}
    assert any(isinstance(cell, float) and round(cell, 1) == 566.2 for cell in cells)

    sample.files.to_write = tmp_path / "menu.pdf"
    with qtbot.waitSignal(sample.window.documents.exporter.job.done, timeout=PATIENCE_MS):
        sample.key(Qt.Key.Key_E, CTRL)
    assert sample.window.notice.text.text() == "menu.pdf is written."
    assert len(PdfReader(tmp_path / "menu.pdf").pages) == len(
        PdfReader(tmp_path / "evaluation.pdf").pages
    )
    assert sample.session.evaluation is before


def test_an_export_that_cannot_be_written_says_so_and_writes_nothing(
    qtbot: Any, sample: Person, tmp_path: Path
) -> None:
    before = sample.session.evaluation
    panel = export_panel(sample)
    sample.files.to_write = tmp_path / "nowhere" / "evaluation.xlsx"
    with qtbot.waitSignal(panel.exporter.job.failed, timeout=PATIENCE_MS):
        sample.click(panel.buttons[".xlsx"])
    assert "evaluation.xlsx" in panel.notice.text.text()
    assert panel.notice.text.text().endswith("The evaluation is unchanged.")
    sample.files.to_write = tmp_path / "nowhere" / "evaluation.pdf"
    with qtbot.waitSignal(sample.window.documents.exporter.job.failed, timeout=PATIENCE_MS):
        sample.key(Qt.Key.Key_E, CTRL)
    assert "evaluation.pdf" in sample.window.notice.text.text()
    assert list(tmp_path.rglob("evaluation*")) == []
    assert sample.session.evaluation is before
    assert not sample.window.isWindowModified()


def reachable(top: QWidget) -> set[QWidget]:
    """Every enabled control that is shown and that a person would use."""
    found = set()
    for widget in top.findChildren(QWidget):
        shown = widget.isVisible() and widget.isEnabled() and widget.window() is top
        # The keyboard goes to the proxy, which is counted itself.
        if shown and widget.focusProxy() is None and widget.focusPolicy() & Qt.FocusPolicy.TabFocus:
            found.add(widget)
    # Of a group of radio buttons Tab reaches the one in use; the arrows lead to the others.
    return {w for w in found if not isinstance(w, QRadioButton) or w.isChecked()}


@pytest.mark.parametrize("page", PAGES)
def test_tab_reaches_every_control_and_each_has_a_name(sample: Person, page: str) -> None:
    sample.go_to(page)
    sample.window.page_list.setFocus()
    wanted, reached = reachable(sample.window), set()
    for _ in range(2 * len(wanted)):
        sample.tab()
        reached.add(sample.focus())
    missed = wanted - reached
    assert not {(type(w).__name__, w.accessibleName()) for w in missed}
    assert without_name(sample.window) == []


def test_every_page_is_shown_in_both_palettes(sample: Person) -> None:
    before = QApplication.palette().color(QPalette.ColorRole.Base)
    for palette in ("slate", "paper"):
        sample.menu("View", f"Palette: {palette}")
        for page in PAGES:
            sample.go_to(page)
            sample.window.grab()
        changed = QApplication.palette().color(QPalette.ColorRole.Base) != before
        assert changed == (palette == "slate")


def test_us_units_change_the_numbers_that_are_shown(sample: Person) -> None:
    metric = {}
    sample.go_to("Claims")
    claims = sample.page.grid
    sample.click_cell(claims, cell_of(claims, ClaimRef("b4u1b", "volume_geometry")))
    for page in PAGES:
        sample.go_to(page)
        metric[page] = seen(sample.page)
    sample.menu("View", "US units")
    for page in ("Shots", "Bids", "Claims", "Fit"):
        sample.go_to(page)
        assert seen(sample.page) != metric[page], page
        assert "in³" in seen(sample.page), page
    sample.go_to("Shots")
    # 32 x 1.10 g and a runner of 6.2 g: 41.4 g is 1.46 oz
    assert "1.46" in seen(sample.page)
    assert sample.session.evaluation.jobs[0].part_mass == quantity("1.10", "g").replace(
        source=sample.session.evaluation.jobs[0].part_mass.source  # type: ignore[union-attr]
    )
    sample.undo()
    for page in PAGES:
        sample.go_to(page)
        assert seen(sample.page) == metric[page], page
