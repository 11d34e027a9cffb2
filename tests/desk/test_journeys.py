"""Whole journeys through the real window: what a buyer does from the sample to the decision."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import QEvent, QObject, QPoint, QPointF, Qt
from PySide6.QtWidgets import QApplication, QToolButton

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.references import ClaimRef
from evenbarrel.desk.drawers.questions import QuestionsDrawer
from evenbarrel.desk.drawers.working import WorkingDrawer
from evenbarrel.desk.forms.add_resin import TableDialog
from evenbarrel.desk.pages.fit.board_model import RULER
from evenbarrel.model.job import Job
from evenbarrel.model.offers.bid import Barrel

from .conftest import quantity
from .person import CTRL, SHIFT, Person, cell_of, lines, rows

# What the platform without a screen says when a menu opens.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)

IN3_AS_CM3 = "b4u1b"
"""Velthornax, Unit 586 B: 20.4 in³ printed as cm³; 48 mm and 185 mm sweep 334.8 cm³."""


class MouseWatch(QObject):
    """Counts what a mouse does."""

    pressed = 0

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        self.pressed += event.type() in (QEvent.Type.MouseButtonPress, QEvent.Type.MouseMove)
        return False


def appraisal_of(person: Person) -> Appraisal:
    assert person.session.appraisal is not None
    return person.session.appraisal


def barrel_of(person: Person, name: str) -> Barrel:
    return next(b for _, _, b in person.session.evaluation.barrels() if b.id == name)


def job_of(person: Person) -> Job:
    """The job entered last."""
    return person.session.evaluation.jobs[-1]


def questions_of(person: Person) -> list[str]:
    (drawer,) = person.window.findChildren(QuestionsDrawer)
    return lines(drawer.tree)


def gate_of(person: Person, barrel: str) -> list[str]:
    """The gate's row of a barrel, the decision page being shown."""
    return next(row for row in rows(person.page.gate) if row[1] == barrel)


def grid_row(person: Person, barrel: str) -> list[str | None]:
    """The states in a barrel's row of the fit grid, the fit page being shown."""
    picture = person.page.board.board_model.picture
    return next([cell.state for cell in row.cells] for row in picture.rows if row.name == barrel)


def states_of(person: Person, job: str) -> list[str | None]:
    """The states in a job's column of the fit grid, the fit page being shown."""
    picture = person.page.board.board_model.picture
    column = [one.name for one in picture.jobs].index(job)
    return [row.cells[column].state for row in picture.rows]


def named_in_picture(person: Person) -> list[str]:
    rows = person.page.board.board_model.picture.rows
    return [f"{row.supplier} {row.name}, {row.size}" for row in rows]


def flown_in_picture(person: Person) -> list[str]:
    return [job.name for job in person.page.board.board_model.picture.jobs]


def unsettled_in_picture(person: Person) -> int:
    return [row.doubt for row in person.page.board.board_model.picture.rows].count("unsettled")


@pytest.fixture
def sample(person: Person) -> Person:
    """A person who has opened the sample from the menu."""
    person.menu("File", "Open sample")
    return person


def test_a_wrong_claim_is_found_corrected_and_everything_follows(sample: Person) -> None:
    opened = sample.session.evaluation
    assert sample.window.gate_counts.text() == "14 barrels: 2 no objection, 3 wait, 9 shut"
    sample.go_to("Fit")
    assert sample.page.rules.words.text().startswith("Of 112 cells: outside by physics 5")
    printed = grid_row(sample, "Unit 586 B")
    unsettled = unsettled_in_picture(sample)
    sample.go_to("Decision")
    assert sample.page.words.text().startswith(
        "14 barrels, each for every planned job: no objection to 2, 3 wait, 9 are shut."
    )
    assert any("Swept volume" in line and "Unit 586 B" in line for line in questions_of(sample))

    sample.go_to("Claims")
    grid, panel = sample.page.grid, sample.page.panel
    sample.click_cell(grid, cell_of(grid, ClaimRef(IN3_AS_CM3, "volume_geometry")))
    assert panel.title.text().endswith("Unit 586 B, contradicts")
    assert "Quoted 20.4 cm³; diameter and stroke give 334.8 cm³" in panel.sentence.text()
    assert "in³ was printed as cm³" in panel.cause.text()
    sample.click(panel.go)
    assert sample.window.page_list.currentItem().text() == "Bids"
    assert sample.focus().accessibleName() == "Swept volume"
    # Slipped once more: now no single slip explains it, and all that depends on it is unsure.
    sample.type_over("30 in3")
    sample.go_to("Fit")
    assert grid_row(sample, "Unit 586 B") != printed
    sample.go_to("Bids")
    sample.tab_to("Swept volume")
    sample.type_over("20.4 in3")

    corrected = barrel_of(sample, IN3_AS_CM3).swept_volume
    assert corrected == quantity("20.4", "in3").replace(source="data sheet 12, converted edition")
    result = appraisal_of(sample).barrel(IN3_AS_CM3)
    assert result.claim("volume_geometry").state == "agrees"
    assert not result.swept.unsettled
    assert not any(line.startswith("Swept volume\nUnit 586 B") for line in questions_of(sample))
    sample.go_to("Claims")
    assert panel.title.text().endswith("Unit 586 B, agrees")
    sample.go_to("Fit")
    assert unsettled_in_picture(sample) == unsettled - 1
    assert grid_row(sample, "Unit 586 B") == printed

    sample.undo()
    assert grid_row(sample, "Unit 586 B") != printed
    sample.undo()
    assert sample.session.evaluation is opened
    assert any("Swept volume" in line and "Unit 586 B" in line for line in questions_of(sample))


def test_a_supplier_with_three_screws_is_entered_by_keyboard_only(
    qtbot: Any, qapp: QApplication, person: Person
) -> None:
    mouse = MouseWatch()
    qapp.installEventFilter(mouse)
    person.key(Qt.Key.Key_F, Qt.KeyboardModifier.AltModifier)
    qtbot.keyClick(QApplication.activePopupWidget(), Qt.Key.Key_M)
    person.come_to_front()
    person.go_to("Bids")
    person.key(Qt.Key.Key_A, CTRL | SHIFT)
    person.type_over("Tesk & Daughters")
    person.key(Qt.Key.Key_U, CTRL | SHIFT)
    person.type_over("Unit 700")
    for diameter, mass in (("40 mm", "6.5 oz"), ("1 3/4 in", "8.2oz"), ("50mm", "0.66 lb")):
        person.key(Qt.Key.Key_B, CTRL | SHIFT)
        # Down the column of the data sheet: designation, L/D and swept volume are passed by.
        for text in ("", diameter, "200 mm", "", "", mass):
            person.type(text)
            person.key(Qt.Key.Key_Return)

    bid = person.session.evaluation.bids[-1]
    (unit,) = bid.units
    assert (bid.supplier, unit.designation) == ("Tesk & Daughters", "Unit 700")
    assert [barrel.label for barrel in unit.barrels] == ["A", "B", "C"]
    assert [barrel.screw_diameter for barrel in unit.barrels] == [
        quantity("40", "mm"),
        quantity("1.75", "in"),
        quantity("50", "mm"),
    ]
    assert {barrel.stroke for barrel in unit.barrels} == {quantity("200", "mm")}
    assert [barrel.rated_shot_mass for barrel in unit.barrels] == [
        quantity("6.5", "oz"),
        quantity("8.2", "oz"),
        quantity("0.66", "lb"),
    ]
    # pi / 4 x diameter^2 x 200 mm, exact
    assert lines(person.page.tree)[-5:] == [
        "Tesk & Daughters",
        "Unit 700",
        "A   251 cm³",
        "B   310 cm³",
        "C   393 cm³",
    ]
    person.go_to("Fit")
    picture = person.page.board.board_model.picture
    assert [row.name for row in picture.rows][-3:] == [f"Unit 700 {n}" for n in "ABC"]
    assert named_in_picture(person)[-3:] == [
        "Tesk & Daughters Unit 700 A, 40 mm",
        "Tesk & Daughters Unit 700 B, 1.75 in",
        "Tesk & Daughters Unit 700 C, 50 mm",
    ]
    assert person.window.gate_counts.text().startswith("17 barrels: ")
    assert mouse.pressed == 0


@pytest.fixture
def lid(qtbot: Any, sample: Person) -> Person:
    """A person who has added a job in a resin of the table: 8 x 12.5 g and a runner of 6.25 g."""
    sample.key(Qt.Key.Key_J, CTRL | SHIFT)
    sample.type("Lid")
    sample.key(Qt.Key.Key_Return)
    field = sample.page.form.fields["resin"]
    sample.click(field.findChild(QToolButton))
    (dialog,) = sample.window.findChildren(TableDialog)
    qtbot.keyClicks(dialog.search, "methacrylate")
    qtbot.keyClick(dialog.search, Qt.Key.Key_Return)
    sample.come_to_front()
    for name, text in (("Part mass", "12,5"), ("Cavities", "8")):
        sample.tab_to(name)
        sample.type_over(text)
    sample.pick(sample.page.form.fields["runner_kind"].combo, "cold")
    sample.tab_to("Runner mass")
    sample.type_over("6,25 g")
    return sample


def test_a_job_is_added_and_its_resin_route_moves_the_verdicts(qtbot: Any, lid: Person) -> None:
    assert job_of(lid).resin == "pmma"
    # Nobody quoted us our own mould.
    assert job_of(lid).part_mass == quantity("12.5", "g").replace(standing="assumed")
    assert job_of(lid).cavities == 8
    assert job_of(lid).runner_mass == quantity("6.25", "g").replace(standing="assumed")
    shots = lid.page
    lid.go_to("Fit")
    assert "Lid" in flown_in_picture(lid)
    before = states_of(lid, "Lid")
    assert len(before) == 14

    lid.go_to("Shots")
    told = shots.resins.effects["melt_density"]
    lid.wait(lambda: told.isVisible() and told.text().startswith("would change 2 verdicts"))
    route = next(b for b in shots.resins._group.buttons() if b.text().startswith("melt density"))
    lid.click(route, QPoint(8, route.height() // 2))
    pmma = lid.session.evaluation.resin("pmma")
    assert pmma is not None
    assert pmma.output_factor_route == "melt_density"
    lid.go_to("Fit")
    after = states_of(lid, "Lid")
    assert sum(one != other for one, other in zip(before, after, strict=True)) == 2
    lid.undo()
    assert states_of(lid, "Lid") == before


def test_a_route_is_tried_dropped_tried_again_and_kept(lid: Person) -> None:
    before = lid.session.evaluation
    lid.key(Qt.Key.Key_F8)
    dialog = lid.window.what_if
    assert dialog is not None
    for press in (dialog.drop, dialog.keep):
        lid.type("route used methyl methacr")
        lid.key(Qt.Key.Key_Return)
        lid.pick(dialog.field.combo, "melt density")
        assert "2 of 126 verdicts would be different" in dialog.count.text()
        changed = [row for row in rows(dialog.changes) if "Lid" in row]
        assert len(changed) == 2
        assert lid.session.evaluation is before
        lid.click(press)
        assert not dialog.changes.isVisible()
        dialog.open()
    lid.key(Qt.Key.Key_Escape)
    lid.come_to_front()
    pmma = lid.session.evaluation.resin("pmma")
    assert pmma is not None
    assert pmma.output_factor_route == "melt_density"
    lid.undo()
    assert lid.session.evaluation is before


def test_everything_is_undone_to_the_opened_evaluation_and_done_again(sample: Person) -> None:
    opened, stack = sample.session.evaluation, sample.session.undo_stack
    sample.key(Qt.Key.Key_J, CTRL | SHIFT)
    sample.type("Lid & cap")
    sample.key(Qt.Key.Key_Return)
    for key in (Qt.Key.Key_Right, Qt.Key.Key_Right):
        sample.key(key)
    sample.type("12")
    sample.key(Qt.Key.Key_Return)
    edit = sample.window.menuBar().actions()[1].menu()
    assert edit.actions()[0].text() == "&Undo Part mass of Lid && cap"
    sample.menu("View", "US units")
    sample.go_to("Bids")
    sample.page.tree.setFocus()
    sample.key(Qt.Key.Key_Down)
    sample.key(Qt.Key.Key_Down)
    sample.key(Qt.Key.Key_D, CTRL | SHIFT)
    sample.tab_to("Screw diameter")
    sample.type_over("1 1/2 in")
    sample.page.tree.setFocus()
    sample.key(Qt.Key.Key_Delete, CTRL)
    sample.go_to("Decision")
    sample.click_tab(sample.page.tabs, "Limits")
    limits = sample.page.limits
    sample.click_cell(limits.view, limits.model.index(1, 1))
    sample.type("75 %")
    sample.key(Qt.Key.Key_Return)
    last, steps = sample.session.evaluation, stack.count()
    assert steps == 8
    while stack.canUndo():
        sample.undo()
    assert sample.session.evaluation is opened
    assert sample.window.gate_counts.text() == "14 barrels: 2 no objection, 3 wait, 9 shut"
    assert not sample.window.isWindowModified()
    for _ in range(steps):
        sample.key(Qt.Key.Key_Z, CTRL | SHIFT)
    assert sample.session.evaluation is last
    assert sample.window.isWindowModified()


def test_a_barrel_and_a_job_open_the_second_picture_and_their_working(
    qtbot: Any, sample: Person
) -> None:
    sample.go_to("Fit")
    page = sample.page
    (working,) = sample.window.findChildren(WorkingDrawer)
    index = page.board.board_model.place_of("b1u1a", None).siblingAtColumn(RULER)
    box = page.board.visualRect(index).toRectF()
    marks = page.board.painter().marks_in(page.board.board_model.row(index), box)
    at = next(at for mark, at in marks if mark.job == "j5")
    # Marks that lie on each other are told apart to the right of the heap.
    sample.click(page.board.viewport(), at.toPoint())

    assert page.cell.isVisible()
    assert not page.plot.isVisible()
    assert "Unit 604 · A, 40 mm" in page.cell.title.text()
    assert "Manifold, three or four ports: outside by rule" in page.cell.title.text()
    assert "limited by share of volume" in page.cell.words.text()
    assert any("Share of volume" in n.second + n.text for n in page.cell.plot.names.names())
    text = working.text.toPlainText()
    assert "Share of volume: Unit 604 A" in text
    assert "shot mass / output factor" in text

    working.text.setFocus()
    sample.key(Qt.Key.Key_Tab)
    sample.key(Qt.Key.Key_Return)
    assert working.text.toPlainText().startswith("Planned shot: Manifold, three or four ports")
    sample.click(working.back)
    assert working.text.toPlainText() == text
    assert not working.back.isEnabled()


def _scene(plot: Any, at: QPointF) -> QPointF:
    scene: QPointF = plot.box.mapViewToScene(at)
    return scene


def test_an_accepted_deviation_opens_the_gate_and_a_change_makes_a_signature_stale(
    sample: Person,
) -> None:
    sample.go_to("Decision")
    decision = sample.page
    # A rule of thumb never shuts: it waits for the engineer.
    assert gate_of(sample, "Unit 604 C")[-1].startswith("waits: outside by rule in 1 of 8 jobs")
    gate = sample.page.gate
    row = [cells[1] for cells in rows(gate)].index("Unit 604 C")
    sample.click_cell(gate, gate.sheet_model.index(row, 0))
    share, ring = rows(sample.page.ways.table)
    assert share[0].startswith("Share of volume: outside by rule")
    assert ring[0].startswith("Ring travel")
    assert ring[0].endswith("outside by rule")
    assert share[1] == ring[1] == "1: Dripper, 32 cavities"
    sample.go_to("Fit")
    fit = sample.page
    sample.click_cell(fit.board, fit.board.board_model.place_of("b1u1c", "j1"))
    for criterion in ("utilisation", "ring_share"):
        sample.click(fit.cell.accept_deviation)
        sample.answer(reason="A long stay is harmless here", person="P. Engineer", role="process")
        deviation = sample.session.evaluation.deviations[-1]
        assert (deviation.barrel, deviation.job) == ("b1u1c", "j1")
        assert deviation.criterion == criterion
    assert not fit.cell.accept_deviation.isEnabled()
    sample.go_to("Decision")
    assert gate_of(sample, "Unit 604 C")[-1].startswith("no objection")
    assert decision.words.text().startswith(
        "14 barrels, each for every planned job: no objection to 3, 2 wait, 9 are shut."
    )

    sample.step_to("Sign-offs")
    sample.click(decision.sign)
    sample.answer(role="process", person="P. Engineer", statement="Fit for the planned jobs")
    signature = sample.session.evaluation.sign_offs[-1]
    assert (signature.role, signature.person) == ("process_engineering", "P. Engineer")
    assert rows(decision.sign_offs.table)[-1][0] == "holds"

    sample.go_to("Shots")
    sample.click_cell(sample.page.table, sample.page.model.index(0, 2))
    sample.type("1.15")
    sample.key(Qt.Key.Key_Return)
    sample.go_to("Decision")
    assert rows(decision.sign_offs.table)[-1][0] == "stale: the evaluation changed since"
    sample.undo()
    assert rows(decision.sign_offs.table)[-1][0] == "holds"
