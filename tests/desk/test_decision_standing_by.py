"""The steps a proposal stands by, by real keys: flips, ask, acceptance, sign-offs."""

from __future__ import annotations

from threading import Event
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QPlainTextEdit

from evenbarrel.decision.decide import Decision
from evenbarrel.desk.pages.decision.standing_by import flips_panel
from evenbarrel.desk.pages.decision.standing_by.series_dialog import SeriesDialog
from evenbarrel.desk.window.background import Report
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.report import pdf
from evenbarrel.wording.sentences.deciding import standing_by as told
from evenbarrel.wording.sentences.documents import WITHOUT_FLIPS
from evenbarrel.wording.standing_by.flips import NO_TWO
from evenbarrel.wording.standing_by.signatures import STATEMENTS

from .conftest import small_programme, without_name
from .person import CTRL, SHIFT, Person, headings, rows

PATIENCE_MS = 30_000
MASSES = "89.4\n89,5\n89.3\n89.45\n89.38\n89.52\n89.41\n89.44\n89.39\n89.47\n"


@pytest.fixture
def person(same_desk: Person) -> Person:
    """A person before the empty program."""
    return same_desk


@pytest.fixture
def small(person: Person) -> Person:
    """A person before the Decision page of two jobs and two barrels."""
    person.session._open(small_programme())
    person.go_to("Decision")
    return person


@pytest.fixture
def sample(person: Person, unsigned_sample: Evaluation) -> Person:
    """A person before the Decision page of the sample, nothing proposed or signed."""
    person.session._open(unsigned_sample, None)
    person.go_to("Decision")
    return person


def looked(person: Person) -> Any:
    """Turn to the flips, start by the keyboard, wait until they are found."""
    person.step_to("Flips")
    panel = person.page.flips
    panel.look.setFocus()
    person.key(Qt.Key.Key_Space)
    person.qtbot.waitUntil(lambda: not panel.job.is_running, timeout=PATIENCE_MS)
    return panel


def rename(person: Person) -> None:
    evaluation = person.session.evaluation
    person.session.edit("Rename", evaluation.replace(title=f"{evaluation.title} anew"))


def test_flips_are_found_drawn_and_lead_to_their_datum(small: Person) -> None:
    panel = looked(small)
    found = small.session.flips
    assert found is not None
    assert len(rows(panel.table)) == len(found.flips) > 5
    assert f"Each of {found.numbers} numbers" in panel.words.text()
    changes = [abs(flip.change) for flip in found.flips]
    order = [(flip.contradicts, abs(flip.change)) for flip in found.flips]
    assert order == sorted(order)
    # The picture has a bar for each, and below it the half-width where there is one.
    drawn = panel.picture._picture
    thin = [bar for bar in drawn.bars if bar.thin]
    assert [max(bar.high, -bar.low) / 100 for bar in thin] == pytest.approx(changes)
    assert len(drawn.bars) - len(thin) == sum(f.number.half_width is not None for f in found.flips)

    small.click_tab(panel.tabs, "Table")
    place = [row[0] for row in rows(panel.table)].index("Part mass of Cap")
    small.click_cell(panel.table, panel.table.sheet_model.index(place, 0))
    assert small.window.page_list.currentItem().text() == "Shots"
    assert "Part mass" in small.focus().accessibleName()
    small.go_to("Decision")
    limit = next(n for n, row in enumerate(rows(panel.table)) if row[0].startswith("Limit"))
    panel.table.setCurrentIndex(panel.table.sheet_model.index(limit, 1))
    small.click(panel.go)
    assert small.page.limits.view.isVisible()


def test_flips_of_the_state_before_are_never_shown_as_current(small: Person) -> None:
    panel = looked(small)
    rename(small)
    assert panel.words.text() == told.FLIPS_OF_BEFORE
    assert not panel.table.isVisible()
    assert rows(panel.table) == []
    assert small.session.flips is None
    # What was found holds again for the very state it was found of.
    small.undo()
    assert rows(panel.table)
    assert small.session.flips is not None


def test_flips_stand_through_a_signature(small: Person) -> None:
    found = looked(small)._session.flips
    small.step_to("Sign-offs")
    small.click(small.page.sign)
    small.answer(role="purchasing", person="B. Buyer")
    assert small.session.evaluation.sign_offs
    assert found is not None
    assert small.session.flips is found
    small.step_to("Flips")
    assert rows(small.page.flips.table)


def test_a_signature_does_not_stop_the_search_and_an_export_says_that_it_runs(
    small: Person, tmp_path: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    signed, search = Event(), flips_panel.flips_of

    def held(decision: Decision, report: Report) -> Any:
        assert signed.wait(PATIENCE_MS / 1000.0)
        return search(decision, report)

    monkeypatch.setattr(flips_panel, "flips_of", held)
    small.step_to("Flips")
    panel = small.page.flips
    small.click(panel.look)
    small.step_to("Sign-offs")
    small.click(small.page.sign)
    small.answer(role="purchasing", person="B. Buyer")
    assert panel.job.is_running
    small.step_to("Exports")
    exports = small.page.exports
    small.files.to_write = tmp_path / "out.json"
    small.click(exports.buttons[".json"])
    small.qtbot.waitUntil(lambda: not exports.exporter.job.is_running, timeout=PATIENCE_MS)
    assert WITHOUT_FLIPS in exports.notice.text.text()
    signed.set()
    small.qtbot.waitUntil(lambda: not panel.job.is_running, timeout=PATIENCE_MS)
    assert small.session.flips is not None
    small.step_to("Flips")
    assert rows(panel.table)


def test_the_document_is_given_the_flips_that_stand(
    small: Person, tmp_path: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    given: list[object] = []

    def render(_: object, workings: bool = False, flips: object = None) -> bytes:
        given.append(flips)
        return b"%PDF"

    monkeypatch.setattr(pdf, "render_pdf", render)
    found = looked(small)._session.flips
    small.step_to("Exports")
    panel = small.page.exports
    small.files.to_write = tmp_path / "out.pdf"
    for _ in range(2):
        small.click(panel.buttons[".pdf"])
        small.qtbot.waitUntil(lambda: not panel.exporter.job.is_running, timeout=PATIENCE_MS)
        rename(small)
    assert found is not None
    assert given == [found, None]


def test_a_search_is_stopped_by_the_person_and_by_an_edit(
    small: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    over = Event()

    def endless(_: Decision, report: Report) -> None:
        try:
            while True:
                report(0.25)
                over.wait(0.01)
        finally:
            over.set()

    monkeypatch.setattr(flips_panel, "flips_of", endless)
    small.step_to("Flips")
    panel = small.page.flips
    assert panel.words.text() == told.FLIPS_INTRODUCTION
    small.click(panel.look)
    small.wait(lambda: panel.bar.value() == 25)
    assert panel.look.text() == "&Stop"
    small.click(panel.look)
    assert panel.words.text() == told.FLIPS_STOPPED
    small.wait(over.is_set)
    over.clear()
    small.click(panel.look)
    small.wait(lambda: panel.bar.value() == 25)
    rename(small)
    assert panel.words.text() == told.FLIPS_CUT_SHORT
    assert not panel.bar.isVisible()
    small.wait(over.is_set)


def test_one_barrel_has_nothing_to_flip_against(small: Person) -> None:
    evaluation = small.session.evaluation
    (unit,) = evaluation.bids[0].units
    one = evaluation.bids[0].replace(units=(unit.replace(barrels=unit.barrels[:1]),))
    small.session.edit("One", evaluation.replace(bids=(one,)))
    assert looked(small).words.text() == NO_TWO


def test_what_to_ask_is_copied_and_narrowed_to_chosen_jobs(sample: Person) -> None:
    sample.step_to("Ask")
    panel = sample.page.ask
    assert rows(panel.table)[-1][0] == "All jobs"
    assert panel.picture._picture.band is not None
    assert "No single volume makes both" in panel.jobs.notes.text()
    sample.click(panel.copy)
    lines = QGuiApplication.clipboard().text().split("\n")
    assert lines[0].split("\t")[:2] == ["Job", "Volume, inside [cm³]"]
    assert [line.split("\t")[0] for line in lines[1:]] == [row[0] for row in rows(panel.table)]

    panel.table.setCurrentIndex(panel.table.sheet_model.index(4, 1))
    panel.table.setFocus()
    sample.key(Qt.Key.Key_Down, SHIFT)
    assert rows(panel.chosen.table)[0][0] == "The 2 chosen"
    assert panel.picture._picture.rows[-1].name == "The 2 chosen"
    # What two jobs have in common is no narrower than what all have.
    common = sample.session.decision.ask.programme.asked.volume_not_outside
    two = sample.session.decision.ask.of(("j5", "j6")).asked.volume_not_outside
    assert two.low <= common.low
    assert two.high >= common.high


def test_what_to_ask_leads_to_the_data_sheet(sample: Person, tmp_path: Any) -> None:
    sample.files.to_write = tmp_path / "sheet.xlsx"
    sample.step_to("Ask")
    sample.click(sample.page.ask.sheet)
    assert sample.window.page_list.currentItem().text() == "Bids"
    sample.qtbot.waitUntil(sample.files.to_write.exists, timeout=PATIENCE_MS)


def dialog_of(person: Person) -> SeriesDialog:
    return next(d for d in person.window.findChildren(SeriesDialog) if d.isVisible())


def paste(person: Person, into: QPlainTextEdit, text: str) -> None:
    QGuiApplication.clipboard().setText(text)
    into.setFocus()
    person.qtbot.keyClick(into, Qt.Key.Key_V, CTRL)


def test_a_pasted_series_gives_a_factor_that_is_taken_and_undone(sample: Person) -> None:
    opened = sample.session.evaluation
    sample.step_to("Acceptance")
    panel = sample.page.acceptance
    assert "ISO 20430" in panel.cautions.text()
    assert panel.cautions.isVisible()
    sample.pick(panel.barrel, "Brastivel, Unit 604 B")
    sample.click(panel.add)
    dialog = dialog_of(sample)
    assert without_name(dialog) == []
    assert not dialog.fields["time"].isVisible()
    for name, text in (("stroke", "100"), ("scale_resolution", "0,01"), ("resin", "Polypropylene")):
        field: Any = dialog.fields[name]
        if name == "resin":
            sample.pick(field.combo, text)
            field.commit()
        else:
            field.line.setFocus()
            sample.qtbot.keyClicks(field.line, text)
    paste(sample, dialog.masses, "89.4 g 89,5 heavy")
    assert "heavy" in dialog.echo.text()
    sample.qtbot.keyClick(dialog, Qt.Key.Key_Return)
    assert dialog.isVisible()
    assert sample.session.evaluation is opened
    dialog.masses.clear()
    paste(sample, dialog.masses, MASSES)
    assert dialog.echo.text() == "Read as 10 masses, 89.3 to 89.52 g."
    dialog.accept()
    sample.come_to_front()
    assert sample.session.undo_stack.count() == 1

    names = headings(panel.table)
    place = next(n for n, row in enumerate(rows(panel.table)) if row[2] == "10" and "604" in row[0])
    verdict = rows(panel.table)[place][names.index("Verdict")]
    assert verdict in ("accept", "reject", "within uncertainty: undecided")
    panel.table.setCurrentIndex(panel.table.sheet_model.index(place, 1))
    assert "output factor of Polypropylene" in panel.one.text()
    sample.click(panel.take)
    resin = sample.session.evaluation.resin("pp")
    assert resin.output_factor_route == "air_shot"
    factor = resin.output_factors.air_shot
    assert factor.standing == "measured"
    assert "Unit 604 B" in factor.source
    sample.undo()
    assert sample.session.evaluation.resin("pp") == opened.resin("pp")
    sample.undo()
    assert sample.session.evaluation is opened


def test_a_series_is_changed_and_removed(sample: Person) -> None:
    before = sample.session.evaluation
    sample.step_to("Acceptance")
    panel = sample.page.acceptance
    panel.table.setFocus()
    panel.table.setCurrentIndex(panel.table.sheet_model.index(0, 1))
    sample.click(panel.change)
    dialog = dialog_of(sample)
    assert len(dialog.read().masses) == len(before.acceptance[0].tests[0].masses)
    paste(sample, dialog.masses, "89.40\n")
    dialog.accept()
    sample.come_to_front()
    after = sample.session.evaluation.acceptance[0].tests
    assert len(after[0].masses) == len(before.acceptance[0].tests[0].masses) + 1
    assert after[1:] == before.acceptance[0].tests[1:]
    sample.undo()
    sample.click(panel.remove)
    assert sample.session.evaluation.acceptance[0].tests == before.acceptance[0].tests[1:]


def test_the_protocol_is_written_beside_the_window(sample: Person, tmp_path: Any) -> None:
    sample.files.to_write = tmp_path / "protocol.pdf"
    sample.step_to("Acceptance")
    panel = sample.page.acceptance
    sample.click(panel.protocol)
    sample.qtbot.waitUntil(lambda: not panel.exporter.job.is_running, timeout=PATIENCE_MS)
    assert sample.files.to_write.read_bytes().startswith(b"%PDF")
    assert "protocol.pdf" in panel.notice.text.text()


def test_a_claim_that_decides_is_recorded_as_guaranteed(sample: Person) -> None:
    sample.step_to("Acceptance")
    panel = sample.page.acceptance
    sample.pick(panel.barrel, "Brastivel, Unit 604 B")
    sample.click_tab(panel.tabs, "To be guaranteed")
    table = panel.guarantees.sheet.table
    place = [row[0] for row in rows(table)].index("Plasticising rate")
    table.setCurrentIndex(table.sheet_model.index(place, 1))
    sample.click(panel.guarantees.agree)
    sample.answer()
    (agreed,) = sample.session.evaluation.bids[0].guarantees
    assert (agreed.barrel, agreed.datum) == ("b1u1b", "plasticising_rate")
    assert any("(agreed)" in row[1] for row in rows(table))
    sample.pick(panel.barrel, "Own plant")
    assert panel.guarantees.sheet.empty.text() == told.OWN_MACHINE


def test_each_role_reads_its_statement_before_it_signs(sample: Person) -> None:
    sample.step_to("Sign-offs")
    panel = sample.page.sign_offs
    sample.click(panel.sign)
    sample.answer(role="safety", person="S. Guard", conditions="Guards fitted first")
    (signed,) = sample.session.evaluation.sign_offs
    assert signed.statement == STATEMENTS["safety"]
    assert "On condition: Guards fitted first" in panel.one.text()
    assert "Safety, S. Guard: holds" in panel.one.text()
    rename(sample)
    assert "stale" in panel.one.text()
    assert "title" in panel.one.text()


def test_an_empty_evaluation_teaches_what_comes_first(person: Person) -> None:
    person.go_to("Decision")
    for step in ("Flips", "Ask", "Acceptance"):
        person.step_to(step)
    page = person.page
    assert page.flips.words.text() == told.FLIPS_EMPTY
    assert not page.flips.look.isEnabled()
    assert page.ask.jobs.empty.text() == told.ASK_EMPTY
    assert page.acceptance.none.text() == told.ACCEPTANCE_NO_BARREL
    assert not page.acceptance.add.isVisible()
