"""Collecting bids at the real window: what was sent is looked through, put right and taken."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QGuiApplication
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit

from evenbarrel.desk.collecting.extract_table import FOUND, WHY
from evenbarrel.desk.forms.add_resin import TableDialog
from evenbarrel.intake.bid_file import bid_file_of
from evenbarrel.intake.data_sheet.writer import render_sheet
from evenbarrel.model.changes import with_deviations
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel
from evenbarrel.model.record.decision import Deviation
from evenbarrel.storage.files import bid_bytes

from .conftest import small_programme, without_name
from .person import CTRL, SHIFT, Person, headings, lines, rows, seen

# What the platform without a screen says when a menu opens.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)

PATIENCE_MS = 30_000
TABLE = """Injection unit\tUnit 610
Screw\tA / B
Screw diameter mm\t40 / 45
Stroke mm\t200
Swept volume cm3\t251 / 318
Injection pressure bar\t2.400 / 1896
Ring life\t3 years
"""


@pytest.fixture
def person(same_desk: Person) -> Person:
    """A person before the empty program."""
    return same_desk


@pytest.fixture
def desk(person: Person) -> Person:
    """A person who has the small programme open: one supplier, two screws."""
    person.session.edit("Begin", small_programme())
    person.session.undo_stack.setClean()
    return person


def collecting(person: Person) -> Any:
    return person.page.collecting


def drop(person: Person, *paths: Path) -> None:
    """Drop files on the window, as a file manager does."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    how = (Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton)
    entered = QDragEnterEvent(QPointF(9, 9).toPoint(), *how, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(person.window, entered)
    assert entered.isAccepted()
    event = QDropEvent(QPointF(9, 9), *how, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(person.window, event)


def wait_for_extract(person: Person, name: str) -> Any:
    """Wait until what was read under that name is in front; return its panel."""

    def shown() -> bool:
        page: Any = person.page
        if not hasattr(page, "collecting"):
            return False
        panel = page.collecting.panel
        return panel.isVisible() and panel.extract.name == name

    person.qtbot.waitUntil(shown, timeout=PATIENCE_MS)
    return collecting(person).panel


def paste(person: Person, text: str) -> Any:
    QGuiApplication.clipboard().setText(text)
    person.key(Qt.Key.Key_V, CTRL | SHIFT)
    return wait_for_extract(person, "pasted")


def at_line(person: Person, panel: Any, found: str, field: str = "") -> int:
    """Go down the table by its keys to the line with that text; return its place."""
    panel.table.setFocus()
    person.key(Qt.Key.Key_Home, CTRL)
    for _ in range(len(panel.table.lines.shown)):
        line = panel.extract.lines[panel.table.current_line()]
        if line.text == found and field in ("", line.field):
            return int(panel.table.current_line())
        person.key(Qt.Key.Key_Down)
    raise AssertionError(f"no line says {found!r}")


def barrels(evaluation: Evaluation, bid: int = -1) -> list[Barrel]:
    return [barrel for unit in evaluation.bids[bid].units for barrel in unit.barrels]


def test_a_data_sheet_goes_out_is_filled_dropped_put_right_taken_and_undone(
    qtbot: Any, desk: Person, tmp_path: Path
) -> None:
    sheet = desk.files.to_write = tmp_path / "nordland.xlsx"
    before = desk.session.evaluation
    desk.menu("Collect", "Blank data sheet")
    desk.wait(sheet.exists)
    page: Any = (book := load_workbook(sheet))["Data"]
    row = {cell.value: cell.row for cell in page["A"]}
    screws = [cell.column for cell in page[1] if cell.value == "screw"][:2]
    for key, values in {
        "bid.supplier": ("Nordland",),
        "unit.designation": ("Unit 610", "Unit 610"),
        "barrel.label": ("A", "B"),
        "barrel.screw_diameter": (40, 45),
        "barrel.stroke": ("172,5", "1,725"),
    }.items():
        for column, value in zip(screws, values, strict=False):
            page.cell(row[key], column).value = value
    book.save(sheet)
    desk.go_to("Claims")
    drop(desk, sheet)
    panel = wait_for_extract(desk, "nordland.xlsx")
    assert desk.session.evaluation is before
    doubted = at_line(desk, panel, "1,725")
    assert doubted not in panel.ticked
    assert "check:" in panel.table.lines.index(panel.table.currentIndex().row(), WHY).data()
    desk.key(Qt.Key.Key_Return)
    desk.type_over("172.5")
    assert doubted in panel.ticked
    assert desk.session.evaluation is before
    desk.key(Qt.Key.Key_Return, CTRL)
    one, other = barrels(desk.session.evaluation)
    assert (one.stroke.magnitude, other.stroke.magnitude) == ("172.5", "172.5")  # type: ignore[union-attr]
    assert other.stroke.place is not None  # type: ignore[union-attr]
    place = other.stroke.place.cell  # type: ignore[union-attr]
    assert place == f"Data!{'ABCDEFGH'[screws[1] - 1]}{row['barrel.stroke']}"
    # What was taken stands on Bids with the place it was found at.
    desk.page.open_datum((*desk.session.evaluation.barrel_path(other.id), "stroke"))
    assert f"nordland.xlsx, {place}" in seen(desk.page)
    desk.undo()
    assert desk.session.evaluation == before


def test_a_sheet_that_comes_back_answers_what_was_asked_in_the_same_step(
    desk: Person, tmp_path: Path
) -> None:
    desk.wait(lambda: desk.session.is_current)
    before = desk.session.evaluation
    sheet = tmp_path / "back.xlsx"
    sheet.write_bytes(render_sheet(desk.session.appraisal, before.bids[0].id))
    page: Any = (book := load_workbook(sheet))["Data"]
    row = next(cell.row for cell in page["A"] if cell.value == "barrel.injection_pressure")
    for column in (cell.column for cell in page[1] if cell.value == "screw"):
        page.cell(row, column).value = 1850
    book.save(sheet)
    drop(desk, sheet)
    wait_for_extract(desk, "back.xlsx")
    desk.key(Qt.Key.Key_Return, CTRL)
    (answer,) = desk.session.evaluation.answers
    asked = ("injection_pressure", "answered", desk.session.today())
    assert (answer.datum, answer.state, answer.date) == asked
    pressures = [barrel.injection_pressure for barrel in barrels(desk.session.evaluation)]
    assert {one and one.standing for one in pressures} == {"confirmed"}
    desk.undo()
    assert desk.session.evaluation == before


def test_a_pasted_table_is_ticked_and_put_right_by_keys_alone(desk: Person) -> None:
    desk.go_to("Shots")
    before = desk.session.evaluation
    panel = paste(desk, TABLE)
    # The first line is chosen, though the keys that pasted may still be held.
    assert [one.row() for one in panel.table.selectionModel().selectedRows()] == [0]
    doubted = at_line(desk, panel, "2.400")
    assert doubted not in panel.ticked
    desk.key(Qt.Key.Key_Space)
    assert doubted in panel.ticked
    # What was not understood may be said to be a datum, of the screw it is said to be of.
    unknown = at_line(desk, panel, "3 years")
    assert panel.extract.lines[unknown].thing is None
    desk.pick(panel.line.datum, "Screw: Ring travel")
    assert panel.extract.lines[unknown].field == "ring_travel"
    desk.pick(panel.line.datum, "not known")
    assert panel.extract.lines[unknown].thing is None
    panel.notes.setFocus()
    desk.key(Qt.Key.Key_Space)
    desk.key(Qt.Key.Key_Return, CTRL)
    # Nobody says whose offer it is: it is asked where it can be typed, and Enter goes on.
    assert desk.session.evaluation is before
    assert "Not there yet: supplier, offer number and machine price" in seen(panel)
    desk.type("Ostmark")
    for said in ("offer number and machine price", "offer number and machine price", ""):
        desk.key(Qt.Key.Key_Return)
        assert f"Not there yet: {said}" in seen(panel) or not said
    bid = desk.session.evaluation.bids[-1]
    assert (bid.supplier, bid.reference) == ("Ostmark", "")
    one, other = barrels(desk.session.evaluation)
    assert [b.screw_diameter.magnitude for b in (one, other)] == ["40", "45"]  # type: ignore[union-attr]
    assert [b.swept_volume.magnitude for b in (one, other)] == ["251", "318"]  # type: ignore[union-attr]
    assert one.injection_pressure.magnitude == "2400"  # type: ignore[union-attr]
    assert one.injection_pressure.source == "pasted, row 6, column 2"  # type: ignore[union-attr]
    assert "Ring life" in bid.notes
    desk.undo()
    assert desk.session.evaluation == before


def test_a_line_of_the_scope_is_put_right_by_keys(desk: Person) -> None:
    panel = paste(desk, f"{TABLE}\nThe price includes hot runner control.\nColour: white\n")
    said = at_line(desk, panel, "The price includes hot runner control", "scope")
    desk.key(Qt.Key.Key_Return)
    assert panel.line.field.line.text() == "hot runner control: included"
    desk.type_over("extra 3800 EUR")
    assert said in panel.ticked
    other = at_line(desk, panel, "Colour: white")
    desk.pick(panel.line.datum, "Offer: Scope")
    panel.line.field.setFocus()
    desk.type_over("colour: perhaps")
    assert "enter an item and what the offer says of it" in seen(panel)
    assert panel.extract.lines[other].value is None
    panel.line.field.setFocus()
    desk.type_over("colour: missing")
    assert other in panel.ticked
    # Tab goes on to what is below the value, by which it is taken.
    assert panel.isAncestorOf(desk.focus())
    for _ in range(2):
        desk.key(Qt.Key.Key_Return, CTRL)
    scope = desk.session.evaluation.bids[-1].scope
    assert [(one.item, one.state, one.amount and one.amount.amount) for one in scope] == [
        ("hot runner control", "extra", "3800"),
        ("colour", "missing", None),
    ]


def kept_offer(folder: Path, evaluation: Evaluation, name: str, **changes: Any) -> Path:
    """Write the first offer of an evaluation as a bid file of its own, changed."""
    path = folder / f"{name}.bid.json"
    offer = bid_file_of(evaluation, evaluation.bids[0].id)
    path.write_bytes(bid_bytes(offer.replace(**changes)))
    return path


def test_two_bid_files_are_looked_at_one_after_the_other(desk: Person, tmp_path: Path) -> None:
    evaluation = desk.session.evaluation
    first = kept_offer(tmp_path, evaluation, "first", supplier="Ostmark")
    # The second is a later copy of the same offer: it is held against what was taken by then.
    second = kept_offer(tmp_path, evaluation, "second", supplier="Ostmark", delivery="9 weeks")
    desk.go_to("Bids")
    drop(desk, first, second)
    panel = wait_for_extract(desk, "first.bid.json")
    assert "1 more to come" in panel.title.text()
    desk.key(Qt.Key.Key_Return, CTRL)
    panel = wait_for_extract(desk, "second.bid.json")
    taken = desk.session.evaluation
    assert [bid.supplier for bid in taken.bids] == ["Nordquell", "Ostmark"]
    ids = [barrel.id for _, _, barrel in taken.barrels()]
    assert len(ids) == len(set(ids)) == 4
    assert [panel.extract.lines[n].field for n in panel.ticked] == ["delivery"]
    desk.click(panel.leave)
    assert desk.session.evaluation is taken
    assert not panel.is_open


def test_a_extract_waits_while_other_things_are_done(desk: Person) -> None:
    panel = paste(desk, TABLE)
    at_line(desk, panel, "2.400")
    desk.key(Qt.Key.Key_Return)
    desk.type_over("2350 bar")
    desk.go_to("Claims")
    desk.window.open_datum(("bids", "n", "units", "u1", "barrels", "na", "stroke"))
    assert not panel.isVisible()
    assert "What was pasted is not taken yet" in seen(desk.page)
    # A supplier that is added meanwhile has the id that the extract had in mind for its own.
    desk.key(Qt.Key.Key_A, CTRL | SHIFT)
    desk.type_over("Ostmark")
    added = desk.session.evaluation.bids[-1]
    desk.key(Qt.Key.Key_Delete, CTRL)
    desk.undo()
    desk.click(collecting(desk).back)
    assert panel.isVisible()
    before = desk.session.evaluation
    # No step of the page reaches what is not seen.
    desk.key(Qt.Key.Key_Delete, CTRL)
    assert desk.session.evaluation is before
    for _ in range(2):
        desk.key(Qt.Key.Key_Return, CTRL)
    after = desk.session.evaluation
    assert after.bids[:-1] == before.bids
    assert after.bids[1] == added
    assert after.bids[1].supplier == "Ostmark"
    assert barrels(after)[0].injection_pressure.magnitude == "2350"  # type: ignore[union-attr]


def test_a_resin_that_nobody_has_is_added_from_its_line(desk: Person) -> None:
    panel = paste(desk, f"{TABLE}Shot weight g\t210 / 266\nReference resin\tXylopren 4\n")
    place = at_line(desk, panel, "Xylopren 4")
    assert place not in panel.ticked
    desk.key(Qt.Key.Key_Return)
    desk.click(panel.line.field.table)
    (dialog,) = panel.findChildren(TableDialog)
    # What it is called there is sought, and for want of it offered as a new one.
    assert dialog.search.text() == "Xylopren 4"
    desk.key(Qt.Key.Key_Return)
    desk.come_to_front()
    assert place in panel.ticked
    for _ in range(2):
        desk.key(Qt.Key.Key_Return, CTRL)
    after = desk.session.evaluation
    added = next(resin for resin in after.resins if resin.name == "Xylopren 4")
    assert [barrel.reference_resin for barrel in barrels(after)] == [added.id, None]
    desk.undo()
    assert added not in desk.session.evaluation.resins


def test_another_document_puts_a_extract_away_and_says_so(desk: Person) -> None:
    panel = paste(desk, TABLE)
    at_line(desk, panel, "2.400")
    desk.key(Qt.Key.Key_Space)
    assert [one.text for one in desk.window.typed.not_taken()] == ["what was pasted"]
    desk.menu("File", "Open sample")
    desk.go_to("Bids")
    assert not panel.is_open
    assert "what was pasted was discarded" in seen(desk.page)
    assert desk.window.typed.not_taken() == ()


def test_a_new_offer_stands_in_for_the_one_before_and_carries_nothing_silently(
    desk: Person, tmp_path: Path
) -> None:
    accepted = Deviation(barrel="na", criterion="utilisation", person="A. Person")
    desk.session.edit("Accept", with_deviations(desk.session.evaluation, (accepted,)))
    evaluation = desk.session.evaluation
    unit = evaluation.bids[0].units[0]
    one, other = unit.barrels
    longer = one.replace(stroke=one.stroke.replace(magnitude="220"))  # type: ignore[union-attr]
    newer = kept_offer(
        tmp_path,
        evaluation,
        "newer",
        reference="R2",
        units=(unit.replace(barrels=(longer, other)),),
    )
    drop(desk, newer)
    panel = wait_for_extract(desk, "newer.bid.json")
    assert "Nordquell already has an offer here" in seen(panel)
    desk.pick(panel.offer.before, "Nordquell")
    QApplication.processEvents()
    left = [line for n, line in enumerate(panel.extract.lines) if n not in panel.ticked]
    assert [line.field for line in left] == ["deviations"]
    desk.key(Qt.Key.Key_Return, CTRL)
    after = desk.session.evaluation
    bid = after.bids[-1]
    assert bid.revises == "n"
    assert [barrel.revises for barrel in barrels(after)] == ["na", "nb"]
    assert after.deviations == (accepted,)

    desk.page.tree.choose(("bids", bid.id))
    desk.click(desk.page.offer)
    menu = desk.page.offer.menu()
    compare = next(a for a in menu.actions() if "Compare" in a.text())
    desk.click(menu, menu.actionGeometry(compare).center())
    desk.come_to_front()
    revisions = collecting(desk).revisions
    assert revisions.isVisible()
    assert rows(revisions.sheets["numbers"]) == [
        ["the offer", "Offer number", "–", "R2", ""],
        ["screw A", "Stroke", "200 mm", "220 mm", "+10 %"],
    ]
    assert headings(revisions.sheets["verdicts"])[-2:] == ["Before", "Now"]
    desk.undo()
    assert not revisions.isVisible()
    assert desk.session.evaluation is evaluation


def test_an_offer_that_stands_may_be_said_to_stand_in_for_another(
    desk: Person, tmp_path: Path
) -> None:
    drop(desk, kept_offer(tmp_path, desk.session.evaluation, "other", reference="R2"))
    panel = wait_for_extract(desk, "other.bid.json")
    desk.key(Qt.Key.Key_Return, CTRL)
    bid = desk.session.evaluation.bids[-1]
    assert bid.revises is None
    collecting(desk).collector.revision_wanted.emit(bid.id, "n")
    assert not panel.offer.bid.isEnabled()
    # What is dropped meanwhile waits for its turn.
    drop(desk, kept_offer(tmp_path, desk.session.evaluation, "late", supplier="Ostmark"))
    QApplication.processEvents()
    assert panel.title.text().startswith("What Nordquell R2 replaces")
    desk.key(Qt.Key.Key_Return, CTRL)
    assert desk.session.evaluation.bid(bid.id).revises == "n"
    assert lines(desk.page.tree)[0] == "Nordquell   revised"
    assert "Nordquell R2" in lines(desk.page.tree)
    desk.click(wait_for_extract(desk, "late.bid.json").leave)


def test_what_cannot_be_read_is_told_in_a_sentence_and_the_rest_is_shown(
    desk: Person, tmp_path: Path
) -> None:
    broken, good = tmp_path / "broken.xlsx", tmp_path / "offer.txt"
    broken.write_bytes(b"no workbook at all")
    good.write_text(TABLE, encoding="utf-8")
    before = desk.session.evaluation
    drop(desk, broken, good)
    panel = wait_for_extract(desk, "offer.txt")
    told = collecting(desk).notice.text.text()
    assert told.startswith("broken.xlsx: ")
    assert "Traceback" not in told
    desk.click(panel.leave)
    QGuiApplication.clipboard().setText("  ")
    desk.key(Qt.Key.Key_V, CTRL | SHIFT)
    assert "no text" in collecting(desk).notice.text.text().lower()
    assert desk.session.evaluation is before


def test_lines_that_contradict_each_other_are_not_taken_together(desk: Person) -> None:
    panel = paste(desk, TABLE)
    one, other = (at_line(desk, panel, text, "swept_volume") for text in ("251", "318"))
    desk.key(Qt.Key.Key_Up, SHIFT)
    assert panel.table.marked_lines() == (one, other)
    # Both are said to be of one screw: only one of them can be taken.
    desk.pick(panel.line.screw, "Unit 610 B")
    QApplication.processEvents()
    assert {panel.extract.lines[n].thing for n in (one, other)} == {
        panel.extract.lines[other].thing
    }
    assert len({one, other} & panel.ticked) == 1
    at_line(desk, panel, "318", "swept_volume")
    desk.key(Qt.Key.Key_Space)
    assert other not in panel.ticked or one not in panel.ticked


def test_files_are_asked_for_and_ways_stand_side_by_side(person: Person, tmp_path: Path) -> None:
    offer = tmp_path / "offer.txt"
    offer.write_text(TABLE, encoding="utf-8")
    person.go_to("Bids")
    ways = person.page.empty
    assert set(ways.buttons) == {
        *("data_sheet", "table", "quote", "paste", "bid_file", "typing", "blank"),
    }
    person.click(ways.buttons["table"])
    (dialog,) = person.page.findChildren(QFileDialog)
    dialog.findChild(QLineEdit, "fileNameEdit").setText(str(offer))
    dialog.accept()
    person.come_to_front()
    panel = wait_for_extract(person, "offer.txt")
    assert without_name(panel) == []
    assert panel.table.lines.index(0, FOUND).data() == "Unit 610"
    person.click(panel.leave)
    person.click(ways.buttons["typing"])
    assert person.focus().accessibleName() == "Supplier"
    assert len(person.session.evaluation.bids) == 1


def test_what_is_typed_and_not_understood_is_never_lost(desk: Person) -> None:
    panel = paste(desk, TABLE)
    before = desk.session.evaluation
    place = at_line(desk, panel, "251", "swept_volume")
    desk.key(Qt.Key.Key_Return)
    desk.type_over("12 furlongs")
    desk.key(Qt.Key.Key_Return, CTRL)
    assert desk.session.evaluation is before
    assert "Swept volume" in panel.problem.text()
    at_line(desk, panel, "318", "swept_volume")
    assert [one.text for one in desk.window.typed.not_taken()] == [
        "Swept volume: “12 furlongs” (what was pasted)"
    ]
    # What was typed stands in the line it was typed for.
    assert at_line(desk, panel, "251", "swept_volume") == place
    assert panel.line.field.line.text() == "12 furlongs"
    # It is meant for whatever datum the line is said to be.
    offered = {one.key.field: one.text for one in panel.line._keys}
    for datum in ("injection_rate", "unit_kind", "swept_volume"):
        desk.pick(panel.line.datum, offered[datum])
    assert panel.line.field.line.text() == "12 furlongs"
    panel.line.field.setFocus()
    desk.type_over("252")
    assert panel.extract.lines[place].value.magnitude == "252"
    desk.key(Qt.Key.Key_Return, CTRL)
    # Nobody says whose offer it is: asked once, and it may be taken without.
    assert desk.session.evaluation is before
    desk.key(Qt.Key.Key_Return, CTRL)
    assert barrels(desk.session.evaluation)[0].swept_volume.magnitude == "252"  # type: ignore[union-attr]


def test_what_it_stood_in_for_may_go_meanwhile(desk: Person, tmp_path: Path) -> None:
    drop(desk, kept_offer(tmp_path, desk.session.evaluation, "newer", reference="R2"))
    panel = wait_for_extract(desk, "newer.bid.json")
    desk.pick(panel.offer.before, "Nordquell")
    QApplication.processEvents()
    desk.click(panel.look)
    desk.page.tree.choose(("bids", "n"))
    desk.key(Qt.Key.Key_Delete, CTRL)
    desk.click(collecting(desk).back)
    desk.key(Qt.Key.Key_Return, CTRL)
    (bid,) = desk.session.evaluation.bids
    assert (bid.reference, bid.revises) == ("R2", None)
