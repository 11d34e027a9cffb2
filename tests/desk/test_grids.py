"""Entry in grids: blocks copied, put in, filled and cleared by real keys, each in one step."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QMimeData, Qt
from PySide6.QtGui import QGuiApplication, QImage

from evenbarrel.desk.forms.grids.frozen import FrozenNames
from evenbarrel.desk.forms.grids.grid_view import Area, GridView
from evenbarrel.desk.forms.grids.pick_line import PickLine
from evenbarrel.desk.pages.shots.page import COLUMNS, ShotsPage
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session
from evenbarrel.entry.block import split
from evenbarrel.model.evaluation import MOST_JOBS, Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.quantity import Quantity

from . import conftest
from .person import CTRL, SHIFT, Person

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)

RESIN, PART_MASS = COLUMNS.index("resin"), COLUMNS.index("part_mass")
CAVITIES, RUNNER = COLUMNS.index("cavities"), COLUMNS.index("runner_kind")


@pytest.fixture
def session(same_session: Session) -> Session:
    """A session that holds the small programme, appraised and unmodified."""
    return same_session


@pytest.fixture
def window(same_desk: Person, session: Session) -> MainWindow:
    """The window on it."""
    return same_desk.window


@pytest.fixture
def page(window: MainWindow) -> ShotsPage:
    found: ShotsPage = window.page
    return found


def quantity(magnitude: str, unit: str) -> Quantity:
    """A number of our own mould: assumed until somebody measured it."""
    return conftest.quantity(magnitude, unit).replace(standing="assumed")


def put_on_clipboard(text: str) -> None:
    QGuiApplication.clipboard().setText(text)


def stand(view: GridView, row: int, column: int) -> None:
    """Put the keyboard into a cell."""
    view.setFocus()
    view.setCurrentIndex(view.model().index(row, column))


def press(qtbot: Any, view: GridView, key: Qt.Key, held: Any = CTRL) -> None:
    qtbot.keyClick(view, key, held)


def told(page: Any) -> str:
    assert page.note.isVisible()
    text: str = page.note.text.toPlainText()
    return text


def test_a_block_of_a_spreadsheet_adds_jobs_in_one_step(
    qtbot: Any, page: ShotsPage, session: Session
) -> None:
    before = session.evaluation
    put_on_clipboard(
        "Mould\tResin\tPart mass [g]\tCavities\tCycle time\n"
        "Valve\tpom\t12,5\t4\t18 s\n"
        "Lever\tPP\t0.5 oz\t2\tsoon\n"
    )
    stand(page.table, 1, 0)
    press(qtbot, page.table, Qt.Key.Key_V)
    cap, valve, lever = session.evaluation.jobs
    assert cap == before.jobs[0]
    assert (valve.id, valve.name, valve.resin, valve.cavities) == ("tray", "Valve", "pom", 4)
    assert valve.part_mass == quantity("12.5", "g")
    assert valve.shot_mass == before.jobs[1].shot_mass
    assert (lever.name, lever.resin, lever.part_mass) == ("Lever", "pp", quantity("0.5", "oz"))
    assert lever.cycle_time is None
    # The resin that only the table had came along.
    assert [resin.id for resin in session.evaluation.resins] == ["ps", "pp", "pom"]
    head, listed = told(page).split("\n")
    assert head.startswith("9 cells taken, 1 job added, 1 entry not taken")
    assert "Cycle time, line 3 “soon”" in listed
    assert page.table.hasFocus()
    session.undo_stack.undo()
    assert session.evaluation is before
    assert not page.note.isVisible()


def test_a_list_of_moulds_is_put_into_an_empty_programme(
    qtbot: Any, page: ShotsPage, session: Session
) -> None:
    session.new()
    put_on_clipboard("Cap; pp; 9,5 g; 8\nLid; PE_HD; 11 g; 4")
    page.table.setFocus()
    press(qtbot, page.table, Qt.Key.Key_V)
    assert [(job.name, job.resin, job.cavities) for job in session.evaluation.jobs] == [
        ("Cap", "pp", 8),
        ("Lid", "pe_hd", 4),
    ]
    session.undo_stack.undo()
    assert session.evaluation.jobs == ()
    assert session.evaluation.resins == ()


def test_an_empty_job_asks_for_resin_and_mass_first(page: ShotsPage, session: Session) -> None:
    session.new()
    page.add_job.trigger()
    assert session.appraisal is not None
    assert [one.datum for one in session.appraisal.questions] == ["resin", "part_mass", "cavities"]
    hints = page.form.fields["resin"].hint, page.form.fields["part_mass"].hint
    assert all(hint.isVisible() and "needed first" in hint.text() for hint in hints)


def test_what_is_copied_has_headings_units_and_words(
    qtbot: Any, page: ShotsPage, session: Session
) -> None:
    stand(page.table, 0, 0)
    for key in (*[Qt.Key.Key_Right] * RUNNER, Qt.Key.Key_Down):
        press(qtbot, page.table, key, SHIFT)
    press(qtbot, page.table, Qt.Key.Key_C)
    assert split(QGuiApplication.clipboard().text()) == (
        ("Mould", "Resin", "Part mass", "Cavities", "Runner"),
        ("Cap", "Polypropylene", "9.5 g", "8", "none"),
        ("Tray", "Polystyrene", "", "", ""),
    )
    # Put in below, it makes the same two jobs again.
    stand(page.table, 1, 0)
    put_on_clipboard(QGuiApplication.clipboard().text())
    page.add_job.trigger()
    stand(page.table, 2, 0)
    press(qtbot, page.table, Qt.Key.Key_V)
    *_, cap, tray = session.evaluation.jobs
    assert cap.part_mass == quantity("9.5", "g")
    assert (cap.name, cap.resin, cap.cavities, cap.runner_kind) == ("Cap", "pp", 8, "none")
    assert (tray.name, tray.resin) == ("Tray", "ps")


def test_one_cell_is_copied_without_its_heading_and_goes_where_it_is_put(
    qtbot: Any, page: ShotsPage, session: Session
) -> None:
    stand(page.table, 0, PART_MASS)
    press(qtbot, page.table, Qt.Key.Key_C)
    assert QGuiApplication.clipboard().text() == "9.5 g"
    stand(page.table, 1, COLUMNS.index("runner_mass"))
    press(qtbot, page.table, Qt.Key.Key_V)
    assert session.evaluation.jobs[1].runner_mass == quantity("9.5", "g")


MASSES = st.builds(
    Quantity,
    magnitude=st.decimals(1, 999, places=2).map(str),
    unit=st.sampled_from(["g", "kg", "oz", "lb"]),
    standing=st.just("assumed"),
)
NAMES = st.text(st.characters(blacklist_categories=("Cs", "Cc", "Z")), min_size=1, max_size=12)
JOBS = st.lists(
    st.builds(
        dict,
        name=NAMES,
        resin=st.sampled_from([None, "ps", "pp"]),
        part_mass=st.none() | MASSES,
        cavities=st.none() | st.integers(1, 1024),
        runner_kind=st.sampled_from([None, "none", "cold", "hot", "mixed"]),
        cycle_time=st.none() | st.just(quantity("12.50", "s")),
    ),
    min_size=1,
    max_size=5,
)


@given(JOBS)
@settings(suppress_health_check=list(HealthCheck))
def test_what_is_copied_is_the_same_when_it_is_put_in_again(
    page: ShotsPage, session: Session, data: list[dict[str, Any]]
) -> None:
    jobs = tuple(Job(id=f"j{n}", **fields) for n, fields in enumerate(data))
    session.edit("Jobs", session.evaluation.replace(jobs=jobs))
    area = Area(0, 0, len(jobs) - 1, page.model.columnCount() - 1)
    for rows, named in zip(page.model.copied(area), (True, False), strict=True):
        page.model.put_rows(rows, 0, 0, named)
        assert session.evaluation.jobs == jobs
        session.edit("Fewer", session.evaluation.replace(jobs=(Job(id="one"),)))
        page.model.put_rows(rows, 0, 0, named)
        again = tuple(
            one.replace(id=job.id) for one, job in zip(session.evaluation.jobs, jobs, strict=True)
        )
        assert again == jobs
        session.edit("Jobs", session.evaluation.replace(jobs=jobs))


def test_marked_cells_are_filled_and_cleared_in_one_step_each(
    qtbot: Any, page: ShotsPage, session: Session
) -> None:
    before = session.evaluation
    stand(page.table, 0, PART_MASS)
    press(qtbot, page.table, Qt.Key.Key_Right, SHIFT)
    press(qtbot, page.table, Qt.Key.Key_Down, SHIFT)
    press(qtbot, page.table, Qt.Key.Key_D)
    tray = session.evaluation.jobs[1]
    assert (tray.part_mass, tray.cavities) == (before.jobs[0].part_mass, 8)
    press(qtbot, page.table, Qt.Key.Key_Delete, Qt.KeyboardModifier.NoModifier)
    assert [(job.part_mass, job.cavities) for job in session.evaluation.jobs] == [(None, None)] * 2
    assert told(page) == "4 cells changed in one step."
    session.undo_stack.undo()
    session.undo_stack.undo()
    assert session.evaluation is before


def test_marking_with_the_mouse_makes_a_block(
    qtbot: Any, page: ShotsPage, session: Session
) -> None:
    table, left = page.table, Qt.MouseButton.LeftButton
    for row, column, held in ((0, PART_MASS, Qt.KeyboardModifier.NoModifier), (1, CAVITIES, SHIFT)):
        at = table.visualRect(page.model.index(row, column)).center()
        qtbot.mouseClick(table.viewport(), left, held, at)
    assert table.area() == Area(0, PART_MASS, 1, CAVITIES)


def bad_clipboards() -> dict[str, tuple[QMimeData, str]]:
    picture, page, nothing = QMimeData(), QMimeData(), QMimeData()
    picture.setImageData(QImage(4, 4, QImage.Format.Format_RGB32))
    page.setHtml("<table><tr><td>12</td></tr></table>")
    nothing.setText("  \n")
    return {
        "picture": (picture, "holds a picture and no text"),
        "web page": (page, "holds a web page without plain text"),
        "nothing": (nothing, "holds no text"),
    }


@pytest.mark.parametrize("what", ["picture", "web page", "nothing"])
def test_what_is_no_text_is_told_in_one_sentence(
    qtbot: Any, page: ShotsPage, session: Session, what: str
) -> None:
    before = session.evaluation
    data, words = bad_clipboards()[what]
    QGuiApplication.clipboard().setMimeData(data)
    stand(page.table, 0, 0)
    press(qtbot, page.table, Qt.Key.Key_V)
    assert words in told(page)
    assert "nothing was taken" in told(page)
    assert session.evaluation is before


def test_ten_thousand_rows_are_taken_as_far_as_there_is_room(
    qtbot: Any, page: ShotsPage, session: Session
) -> None:
    before = session.evaluation
    put_on_clipboard("\n".join(f"Mould {n}\tps\t{n + 1} g\tmany" for n in range(10_000)))
    stand(page.table, 0, 0)
    press(qtbot, page.table, Qt.Key.Key_V)
    assert len(session.evaluation.jobs) == MOST_JOBS
    text = told(page)
    assert f"{MOST_JOBS - 2} jobs added" in text
    assert f"the last {10_000 - MOST_JOBS} lines: no more than {MOST_JOBS} fit here." in text
    # 2,000 alike are not 2,000 lines.
    assert len(text.split("\n")) < 20
    session.undo_stack.undo()
    assert session.evaluation is before


def test_typing_in_an_empty_resin_cell_offers_the_whole_table(same_desk: Person) -> None:
    same_desk.key(Qt.Key.Key_J, CTRL | SHIFT)
    table = same_desk.page.table
    stand(table, 0, RESIN)
    same_desk.type("p")
    line = same_desk.focus()
    assert isinstance(line, PickLine)
    same_desk.type("p")
    assert line.list.isVisible()
    assert line.list.item(0).text() == "Polypropylene, isotactic  ·  PP  (from the table)"
    before = same_desk.session.evaluation
    steps = same_desk.session.undo_stack.count()
    same_desk.key(Qt.Key.Key_Return)
    (job,), (resin,) = same_desk.session.evaluation.jobs, same_desk.session.evaluation.resins
    assert (job.resin, resin.id) == ("pp", "pp")
    assert same_desk.session.undo_stack.count() == steps + 1
    assert table.hasFocus()
    same_desk.undo()
    assert same_desk.session.evaluation is before

    same_desk.type("pp")
    same_desk.key(Qt.Key.Key_Down)
    same_desk.key(Qt.Key.Key_Tab)
    assert same_desk.session.evaluation.jobs[0].resin == "pp_t20"
    assert table.currentIndex().column() == RESIN + 1
    same_desk.type("c")
    same_desk.key(Qt.Key.Key_Return)
    assert same_desk.session.evaluation.jobs[0].runner_kind is None
    assert [one.text for one in same_desk.page.refused()] == ["c"]


def test_a_resin_that_nobody_has_is_added_from_its_cell_by_one_key(same_desk: Person) -> None:
    same_desk.key(Qt.Key.Key_J, CTRL | SHIFT)
    table = same_desk.page.table
    stand(table, 0, RESIN)
    before = same_desk.session.evaluation
    same_desk.type("Xylopren 4")
    line = same_desk.focus()
    assert isinstance(line, PickLine)
    assert [line.list.item(n).text() for n in range(line.list.count())] == [
        "New resin “Xylopren 4”"
    ]
    # Not by Enter alone, which may follow a slip of the finger.
    same_desk.key(Qt.Key.Key_Return)
    assert same_desk.session.evaluation is before
    stand(table, 0, RESIN)
    same_desk.type("Xylopren 4")
    same_desk.key(Qt.Key.Key_Down)
    same_desk.key(Qt.Key.Key_Return)
    (job,), (resin,) = same_desk.session.evaluation.jobs, same_desk.session.evaluation.resins
    assert (job.resin, resin.name) == (resin.id, "Xylopren 4")
    assert same_desk.page.refused() == ()
    same_desk.undo()
    assert same_desk.session.evaluation is before


def test_a_pick_list_is_left_by_escape_and_emptied_by_an_empty_line(same_desk: Person) -> None:
    same_desk.menu("File", "Open sample")
    table = same_desk.page.table
    before = same_desk.session.evaluation
    stand(table, 0, RESIN)
    same_desk.type("pom")
    same_desk.key(Qt.Key.Key_Escape)
    assert same_desk.session.evaluation is before
    assert table.hasFocus()
    same_desk.key(Qt.Key.Key_F2)
    line = same_desk.focus()
    assert isinstance(line, PickLine)
    assert line.list.isVisible()
    same_desk.key(Qt.Key.Key_Return)
    assert same_desk.session.evaluation is before
    stand(table, 0, RESIN)
    same_desk.key(Qt.Key.Key_F2)
    same_desk.key(Qt.Key.Key_Backspace)
    same_desk.key(Qt.Key.Key_Return)
    assert same_desk.session.evaluation.jobs[0].resin is None


def test_limits_take_a_block_that_fits_only_as_a_whole(same_desk: Person) -> None:
    same_desk.menu("File", "Open sample")
    same_desk.go_to("Decision")
    same_desk.click_tab(same_desk.page.tabs, "Limits")
    limits = same_desk.page.limits
    said: list[str] = []
    same_desk.session.refused.connect(said.append)
    before: Evaluation = same_desk.session.evaluation
    first = next(i for i, row in enumerate(limits.model.rows) if row.key.name.endswith("_low"))
    same_desk.click_cell(limits.view, limits.model.index(first, 1))
    same_desk.type("0.15")
    same_desk.key(Qt.Key.Key_Return)
    # A number below 1 is a share of one, and that it was read so is told.
    assert limits.model.index(first, 1).data() == "15 %"
    assert said[-1].endswith("write 0.15 % if meant)")
    same_desk.undo()
    same_desk.click_cell(limits.view, limits.model.index(first, 1))
    put_on_clipboard("0.30\n31 %\n32 %\n33 %\nfast")
    same_desk.key(Qt.Key.Key_V, CTRL)
    values = [limits.model.index(first + n, 1).data() for n in range(4)]
    assert values[1:3] == ["31 %", "32 %"]
    assert "fast" in told(limits)
    same_desk.undo()
    assert same_desk.session.evaluation is before
    same_desk.key(Qt.Key.Key_Down, SHIFT)
    same_desk.key(Qt.Key.Key_C, CTRL)
    assert QGuiApplication.clipboard().text().startswith("Value\n")


def test_tab_passes_what_is_computed_and_the_names_stay_in_sight(same_desk: Person) -> None:
    same_desk.menu("File", "Open sample")
    same_desk.window.resize(1280, 720)
    table = same_desk.page.table
    names = table.findChild(FrozenNames)
    assert names is not None
    assert not names.isVisible()
    largest = COLUMNS.index("largest_shot_mass")
    stand(table, 0, largest)
    same_desk.key(Qt.Key.Key_Tab)
    behind = table.currentIndex()
    assert behind.column() == largest + 3
    assert behind.flags() & Qt.ItemFlag.ItemIsEditable
    same_desk.key(Qt.Key.Key_Backtab, SHIFT)
    assert table.currentIndex().column() == largest
    # An arrow reaches a computed number, and Enter opens its working.
    same_desk.key(Qt.Key.Key_Right)
    with same_desk.qtbot.waitSignal(same_desk.session.show_working):
        same_desk.key(Qt.Key.Key_Return)
    for _ in range(len(COLUMNS)):
        same_desk.key(Qt.Key.Key_Right)
    assert names.isVisible()
    assert names.model().index(0, 0).data() == same_desk.session.evaluation.jobs[0].name
    # Whatever cell is gone to, it is not below the names.
    for _ in range(len(COLUMNS)):
        same_desk.key(Qt.Key.Key_Left)
        index = table.currentIndex()
        assert not index.column() or table.visualRect(index).left() >= names.covered
    assert not names.isVisible()
