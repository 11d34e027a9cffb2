"""The pictures on the screen show every trace, and answer to pointing, clicking and keys."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QPainterPath, QWheelEvent
from PySide6.QtWidgets import QApplication

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.references import VolumeRef
from evenbarrel.desk.plots.bars_plot import BarsPlot
from evenbarrel.desk.plots.lanes_plot import LanesPlot
from evenbarrel.desk.plots.ruler_plot import RulerPlot
from evenbarrel.desk.plots.symbols import mark_paths
from evenbarrel.desk.style.plain import tip
from evenbarrel.desk.style.theme import load
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.wording.pictures.bars import Bar, BarRow, Bars
from evenbarrel.wording.pictures.criterion_lanes import bars, lanes
from evenbarrel.wording.pictures.ruler import RulerPicture, ruler
from evenbarrel.wording.pictures.scales import Scale

PAPER, SLATE = load("paper"), load("slate")


@pytest.fixture
def plot(qtbot) -> RulerPlot:
    widget = RulerPlot()
    qtbot.addWidget(widget)
    widget.resize(1000, 700)
    widget.show()
    return widget


@pytest.fixture
def second(qtbot) -> LanesPlot:
    widget = LanesPlot()
    qtbot.addWidget(widget)
    widget.resize(1000, 540)
    widget.show()
    return widget


def many(evaluation: Evaluation, barrels: int, jobs: int) -> Appraisal:
    """The programme with its bids and jobs repeated under other names and sizes."""
    base = evaluation.replace(
        deviations=(), assignment=(), answers=(), proposal=None, acceptance=()
    )
    made_jobs = tuple(
        base.jobs[n % len(base.jobs)].replace(id=f"job{n}", name=f"Mould number {n}")
        for n in range(jobs)
    )
    bid, unit, _ = next(base.barrels())
    every = [barrel for _, _, barrel in base.barrels()]
    made = (every[n % len(every)].replace(id=f"barrel{n}") for n in range(barrels))
    # Each on a unit of its own: screws of one unit are held against each other at length.
    units = tuple(unit.replace(id=f"unit{n}", barrels=(one,)) for n, one in enumerate(made))
    return appraise(base.replace(jobs=made_jobs, bids=(bid.replace(units=units),)))


def marks_of(item) -> list[tuple[float, float, QPainterPath]]:
    """Every second spot is a mark; the one before it clears its place."""
    x, y = item.getData()
    return list(zip(x, y, item.data["symbol"], strict=True))[1::2]


def seen_of(widget: RulerPlot, value: float, y: float, picture: RulerPicture) -> QPointF:
    return widget.box.mapViewToScene(QPointF(picture.axis.position(value), y))


@pytest.mark.parametrize("key", ["volume_log", "volume", "share", "diameters", "mass"])
@pytest.mark.parametrize("palette", [PAPER, SLATE], ids=lambda one: one.name)
def test_every_trace_is_drawn(plot, sample_appraisal, key, palette):
    picture = ruler(sample_appraisal, Scale(key, sample_appraisal.jobs[0].resin))
    plot.show_picture(picture, palette)
    paths = mark_paths()
    place = picture.axis.position
    assert marks_of(plot.spots) == [
        (pytest.approx(place(mark.value)), mark.y, paths[mark.state]) for mark in picture.marks()
    ]
    drawn = [lane for barrel in picture.barrels for lane in barrel.lanes if lane.low is not None]
    stated = [lane for lane in drawn if lane.stated]
    assert plot.hard.opts["y"].tolist() == [lane.y for lane in stated]
    assert plot.hard.opts["x0"] == pytest.approx([place(lane.low) for lane in stated])
    assert plot.hard.opts["x1"] == pytest.approx([place(lane.high) for lane in stated])
    easy = [lane for lane in stated if lane.comfort_low is not None]
    assert plot.comfort.opts["x0"] == pytest.approx([place(lane.comfort_low) for lane in easy])
    assert plot.guessed.opts["y"].tolist() == [lane.y for lane in drawn if not lane.stated]
    ends = [place(barrel.full) for barrel in picture.barrels if barrel.full is not None]
    assert plot.ends.getData()[0].tolist() == pytest.approx(list(np.repeat(ends, 2)))
    assert plot.whiskers.opts["x"].tolist() == pytest.approx(ends)
    lines = [place(line.value) for line in picture.shots if line.end == "nominal"]
    assert (plot.nominal.getData()[0] if lines else np.array([])).tolist() == pytest.approx(
        list(np.repeat(lines, 2))
    )
    assert plot.tint.isVisible() is (picture.tint is not None)
    worded = [word.text for word in plot.words.words()]
    assert sorted(worded) == sorted(
        [mark.name for mark in picture.marks() if mark.name]
        + ["unsettled" for barrel in picture.barrels if barrel.unsettled and barrel.full]
    )


def test_names_stand_beside_their_rows(plot, sample_appraisal):
    picture = ruler(sample_appraisal, Scale())
    plot.show_picture(picture, PAPER)
    named = [f"{name.text} · {name.second}" for name in plot.names.names()]
    assert named == [barrel.label for barrel in picture.barrels]
    heights = [name.y for name in plot.names.names()]
    assert heights == sorted(heights)
    assert "general 20–80 %" in {name.second for name in plot.side.names()}
    assert plot.title.text() == "Shot volume, cm³, logarithmic"
    assert plot.accessibleName()
    assert f"{len(picture.barrels)} barrels" in plot.accessibleDescription()


def test_labels_of_twenty_jobs_do_not_overlap(plot, sample_evaluation):
    picture = ruler(many(sample_evaluation, 10, 20), Scale())
    plot.show_picture(picture, PAPER)
    labels = plot.head.flags()
    assert len(labels) == 20
    boxes = [box for _, box in labels]
    for place, box in enumerate(boxes):
        assert not any(box.intersects(other) for other in boxes[:place])
        assert 0 <= box.top() < box.bottom() <= plot.head.height()


def test_many_barrels_scroll_and_stay_readable(plot, sample_evaluation):
    picture = ruler(many(sample_evaluation, 50, 40), Scale("volume"))
    plot.show_picture(picture, PAPER)
    assert len(marks_of(plot.spots)) == 50 * len({mark.job for mark in picture.marks()})
    assert plot.pixel_y(1.0) - plot.pixel_y(0.0) >= RulerPlot.LEAST_ROW - 1e-6
    assert plot.rows.maximum() > 0
    before = plot.pixel_y(10.0)
    plot.rows.setValue(plot.rows.maximum())
    assert plot.pixel_y(10.0) < before
    assert plot.pixel_y(picture.height) == pytest.approx(plot.plot.viewport().height(), abs=2)


def test_pointing_and_clicking_at_a_mark_tell_its_cell(plot, qtbot, sample_appraisal):
    picture = ruler(sample_appraisal, Scale("share"))
    plot.show_picture(picture, PAPER)
    mark = picture.barrels[0].marks[0]
    point = seen_of(plot, mark.value, mark.y, picture)
    assert plot.mark_at(point) == mark
    heard: list[tuple[str, ...]] = []
    plot.opened.connect(heard.append)
    plot.cell_chosen.connect(lambda barrel, job: heard.append((barrel, job)))
    plot.open_at(point)
    assert heard == [mark.reference, (mark.barrel, mark.job)]
    with qtbot.waitSignal(plot.pointed) as told:
        plot.plot.scene().sigMouseMoved.emit(point)
    assert told.args == [mark.reference]
    assert plot.plot.toolTip() == tip(picture.tip(mark))


def test_clicking_beside_every_mark_opens_the_barrel(plot, qtbot, sample_appraisal):
    picture = ruler(sample_appraisal, Scale("share"))
    plot.show_picture(picture, PAPER)
    barrel = picture.barrels[0]
    point = seen_of(plot, picture.axis.high * 0.99, barrel.y, picture)
    assert plot.mark_at(point) is None
    with qtbot.waitSignal(plot.opened) as told:
        plot.open_at(point)
    assert told.args == [VolumeRef(barrel.id)]


def test_zoom_is_along_the_ruler_only_and_within_it(plot, qtbot, sample_appraisal):
    picture = ruler(sample_appraisal, Scale("volume"))
    plot.show_picture(picture, PAPER)
    whole, rows = plot.view(), plot.box.viewRange()[1]
    qtbot.keyClick(plot, Qt.Key.Key_Plus)
    closer = plot.view()
    assert closer.right - closer.left < whole.right - whole.left
    assert plot.box.viewRange()[1] == rows
    plot.show_picture(picture, SLATE)
    assert plot.view() == closer
    plot.zoom(1e6)
    least = (picture.axis.high - picture.axis.low) / 41
    assert plot.view().right - plot.view().left > least
    for _ in range(60):
        qtbot.keyClick(plot, Qt.Key.Key_Minus)
    assert (plot.view().left, plot.view().right) == pytest.approx((whole.left, whole.right))
    plot.zoom(3.0)
    qtbot.keyClick(plot, Qt.Key.Key_0)
    assert plot.view().right == pytest.approx(whole.right)


def turn(widget: RulerPlot, keys: Qt.KeyboardModifier, by: int) -> None:
    """Turn the wheel over the middle of the picture."""
    view = widget.plot.viewport()
    middle = QPointF(view.rect().center())
    event = QWheelEvent(
        middle,
        QPointF(view.mapToGlobal(middle.toPoint())),
        QPoint(),
        QPoint(0, by),
        Qt.MouseButton.NoButton,
        keys,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(view, event)


def test_the_wheel_zooms_and_with_shift_goes_down_the_rows(plot, qtbot, sample_appraisal):
    picture = ruler(sample_appraisal, Scale("volume"))
    plot.show_picture(picture, PAPER)
    whole, rows = plot.view(), plot.rows.value()
    turn(plot, Qt.KeyboardModifier.NoModifier, 120)
    closer = plot.view()
    assert closer.right - closer.left < whole.right - whole.left
    assert plot.rows.value() == rows
    turn(plot, Qt.KeyboardModifier.ShiftModifier, -120)
    assert plot.view() == closer
    assert plot.rows.value() > rows
    middle = plot.plot.viewport().rect().center()
    qtbot.mouseDClick(plot.plot.viewport(), Qt.MouseButton.LeftButton, pos=middle)
    assert plot.view().right == pytest.approx(whole.right)


def test_the_ruler_is_divided_anew_for_what_is_seen(plot, sample_appraisal):
    plot.show_picture(ruler(sample_appraisal, Scale("volume")), PAPER)
    whole = [d.text for d in plot.head.divisions() if d.text]
    plot.zoom(8.0)
    closer = [d.text for d in plot.head.divisions() if d.text]
    assert closer
    assert closer != whole


def test_an_empty_programme_draws_nothing(plot):
    plot.show_picture(ruler(appraise(Evaluation()), Scale()), PAPER)
    assert marks_of(plot.spots) == []
    assert plot.head.flags() == ()
    assert not plot.grab().isNull()


def test_hostile_names_are_cut_and_never_read_as_markup(plot, sample_evaluation):
    name = "<b>&amp; Łódź Ж 中文</b> " * 30
    jobs = tuple(job.replace(name=name) for job in sample_evaluation.jobs)
    bids = tuple(bid.replace(supplier=name) for bid in sample_evaluation.bids)
    picture = ruler(appraise(sample_evaluation.replace(jobs=jobs, bids=bids)), Scale())
    plot.show_picture(picture, PAPER)
    assert plot.names.width() <= 240
    # How much of a name fits hangs on the font; what is kept stands as it was typed.
    assert all(name.startswith(text.rstrip("…")) and len(text) > 8 for text, _ in plot.head.flags())
    assert all(text.endswith("…") for text, _ in plot.head.flags())
    assert plot.notes.textFormat() is Qt.TextFormat.PlainText
    assert not plot.grab().isNull()
    mark = picture.barrels[0].marks[0]
    plot.plot.scene().sigMouseMoved.emit(seen_of(plot, mark.value, mark.y, picture))
    assert "&lt;b&gt;&amp;amp; Łódź" in plot.plot.toolTip()


# The second picture


def test_every_lane_is_drawn(second, sample_appraisal):
    picture = lanes(sample_appraisal, sample_appraisal.barrels[0].id, sample_appraisal.jobs[0].id)
    second.show_picture(picture, PAPER)
    rows = (*picture.lanes, picture.foot)
    place = picture.axis.position
    hard = bars(rows, picture.axis, comfort=False)
    assert second.hard.opts["y"].tolist() == [bar.y for bar in hard]
    assert second.hard.opts["x0"] == pytest.approx([place(bar.low) for bar in hard])
    assert second.comfort.opts["y"].tolist() == [
        bar.y for bar in bars(picture.lanes, picture.axis, comfort=True)
    ]
    dotted = second.dotted.getData()[1]
    assert list(dotted[::2]) == [lane.y for lane in picture.lanes if not lane.stated]
    paths = mark_paths()
    assert [(y, symbol) for _, y, symbol in marks_of(second.spots)] == [
        (row.y, paths[row.state]) for row in rows if row.value is not None
    ]
    open_ends = [end for row in rows if row.stated for end in row.hard or () if end is None]
    assert len(second.arrows.getData()[0]) == len(open_ends)
    assert [name.text for name in second.names.names()] == [row.label for row in rows]
    assert [n.second for n in second.names.names() if n.second] == ["limiting"]
    assert second.notes.text() == f"{picture.title}: {picture.verdict}"


def test_clicking_a_lane_opens_its_criterion(second, qtbot, sample_appraisal):
    picture = lanes(sample_appraisal, sample_appraisal.barrels[0].id, sample_appraisal.jobs[0].id)
    second.show_picture(picture, SLATE)
    row = picture.lanes[2]
    middle = (picture.axis.low * picture.axis.high) ** 0.5
    point = second.box.mapViewToScene(QPointF(picture.axis.position(middle), row.y))
    with qtbot.waitSignal(second.opened) as told:
        second.open_at(point)
    assert told.args == [row.reference]
    assert not second.grab().isNull()


def test_the_marks_are_four_different_shapes():
    shapes = list(mark_paths().values())
    assert len(shapes) == 4
    for place, shape in enumerate(shapes):
        assert shape not in shapes[:place]
        assert shape.boundingRect().width() <= 1.01


def test_bars_are_painted_whatever_numbers_their_scale_has(qtbot, theme) -> None:
    """What goes wrong while Qt paints within `event` ends the program."""
    plot = BarsPlot(theme, "Bars")
    qtbot.addWidget(plot)
    plot.resize(700, 100)
    row, bar = BarRow(0.5, "Cap", "269 to 515"), Bar(0.5, 2.43, 2.71, "pale", "Cap")
    for ticks in ((), ((2.699, "500"),), ((2.3, "200"), (2.699, "500"))):
        plot.show_bars(Bars("Asked", "cm3", 2.3, 2.8, ticks, (row,), (bar,)))
        image = plot.grab().toImage()
        at = plot._box(bar).center().toPoint()
        assert image.pixelColor(at) != image.pixelColor(at.x(), image.height() - 1)
