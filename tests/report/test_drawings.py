"""The pictures on paper show every trace, split over pages, and print any name."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO

import pytest
from pypdf import PdfReader
from reportlab.graphics import renderPDF
from reportlab.graphics.shapes import Circle, Drawing, Group, Path, Shape, String, Wedge
from reportlab.pdfbase import pdfmetrics

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.report.drawings import lanes_drawing, ruler_drawing, ruler_drawings
from evenbarrel.report.fonts import MISSING, missing_characters, printable, register
from evenbarrel.report.strokes import mark
from evenbarrel.wording.pictures.criterion_lanes import lanes
from evenbarrel.wording.pictures.ruler import ruler
from evenbarrel.wording.pictures.scales import Scale

WIDTH, HEIGHT = 760.0, 500.0


def every(shape: Drawing | Group) -> Iterator[Shape]:
    for one in shape.contents:
        yield one
        if isinstance(one, Group):
            yield from every(one)


def texts(drawing: Drawing) -> list[str]:
    return [shape.text for shape in every(drawing) if isinstance(shape, String)]


def marks(drawing: Drawing) -> int:
    """A mark is a group that begins with the disc that clears its place."""
    groups = [shape for shape in every(drawing) if isinstance(shape, Group)]
    return sum(isinstance(group.contents[0], Circle) for group in groups)


def hatched(drawing: Drawing) -> int:
    return sum(isinstance(shape, Path) for shape in every(drawing))


@pytest.mark.parametrize("key", ["volume_log", "volume", "share", "diameters", "mass"])
def test_every_mark_and_lane_is_drawn(sample_appraisal, key):
    picture = ruler(sample_appraisal, Scale(key, sample_appraisal.jobs[0].resin))
    drawing = ruler_drawing(picture, WIDTH, HEIGHT)
    assert marks(drawing) == len(picture.marks())
    lanes_of = [lane for barrel in picture.barrels for lane in barrel.lanes]
    assert hatched(drawing) == sum(lane.stated and lane.low is not None for lane in lanes_of)
    shown = texts(drawing)
    for barrel in picture.barrels:
        assert barrel.supplier in shown
    assert shown.count("unsettled") == sum(
        b.unsettled and b.full is not None for b in picture.barrels
    )
    names = {mark.name for mark in picture.marks() if mark.name}
    assert names <= {word for text in shown for word in text.split(", ")}
    assert {tick.text for tick in picture.axis.ticks(most=12) if tick.text} <= set(shown)
    assert drawing.width == WIDTH
    assert drawing.height <= HEIGHT


def test_pages_share_the_barrels_and_repeat_the_ruler(sample_appraisal):
    picture = ruler(sample_appraisal, Scale())
    pages = ruler_drawings(picture, WIDTH, 260.0)
    assert len(pages) > 1
    assert sum(marks(page) for page in pages) == len(picture.marks())
    label = next(line.label for line in picture.shots if line.label)
    for page in pages:
        assert page.height <= 260.0
        assert label in texts(page)
        assert "Shot volume" in texts(page)
    (whole,) = ruler_drawings(picture, WIDTH, 3000.0)
    assert marks(whole) == len(picture.marks())


def test_nothing_lies_outside_the_drawing(sample_appraisal):
    picture = ruler(sample_appraisal, Scale())
    for drawing in (
        *ruler_drawings(picture, WIDTH, HEIGHT),
        lanes_drawing(
            lanes(sample_appraisal, sample_appraisal.barrels[0].id, sample_appraisal.jobs[0].id),
            WIDTH,
            HEIGHT,
        ),
    ):
        for shape in every(drawing):
            left, bottom, right, top = shape.getBounds()
            assert left >= -0.5
            assert right <= drawing.width + 0.5
            assert bottom >= -3.0
            assert top <= drawing.height + 3.0


def test_labels_above_do_not_overlap(sample_appraisal):
    picture = ruler(sample_appraisal, Scale("volume"))
    labels = {line.label for line in picture.shots if line.label}
    drawing = ruler_drawing(picture, WIDTH, HEIGHT)
    boxes = [
        shape.getBounds()
        for shape in every(drawing)
        if isinstance(shape, String) and any(label[:8] == shape.text[:8] for label in labels)
    ]
    assert len(boxes) == len(labels)
    for place, (left, bottom, right, top) in enumerate(boxes):
        for other in boxes[:place]:
            apart = right <= other[0] or other[2] <= left or top <= other[1] or other[3] <= bottom
            assert apart


def test_the_second_picture_shows_every_criterion(sample_appraisal):
    barrel, job = sample_appraisal.barrels[0].id, sample_appraisal.jobs[0].id
    picture = lanes(sample_appraisal, barrel, job)
    drawing = lanes_drawing(picture, WIDTH, 400.0)
    shown = texts(drawing)
    for lane in picture.lanes:
        assert (f"{lane.label}, binds" if lane.binding else lane.label) in shown
    assert "All stated together" in shown
    rows = (*picture.lanes, picture.foot)
    assert marks(drawing) == sum(row.value is not None for row in rows)
    assert hatched(drawing) == sum(row.stated and row.hard is not None for row in rows)
    assert drawing.height <= 400.0


def test_marks_differ_without_colour():
    made = {
        state: [type(shape) for shape in every(mark(0, 0, state))]
        for state in ("inside", "near_edge", "outside", "not_stated")
    }
    assert Wedge in made["near_edge"]
    assert len(made["outside"]) == 4
    filled = [shape.fillColor for shape in every(mark(0, 0, "inside"))]
    ring = [shape.fillColor for shape in every(mark(0, 0, "not_stated"))]
    assert filled[-1] is not None
    assert ring[-1] is None


def test_an_empty_programme_is_a_ruler_alone():
    picture = ruler(appraise(Evaluation()), Scale())
    (drawing,) = ruler_drawings(picture, WIDTH, HEIGHT)
    assert marks(drawing) == 0
    assert "Shot volume" in texts(drawing)


def test_any_name_is_printed_and_what_the_font_lacks_is_seen(sample_evaluation):
    name = "<b>&amp; Łódź Ж 中文</b> " * 30
    jobs = tuple(job.replace(name=f"{job.id} {name}") for job in sample_evaluation.jobs)
    bids = tuple(bid.replace(supplier=name) for bid in sample_evaluation.bids)
    picture = ruler(appraise(sample_evaluation.replace(jobs=jobs, bids=bids)), Scale())
    drawing = ruler_drawing(picture, WIDTH, HEIGHT)
    cut = [text for text in texts(drawing) if text.startswith("<b>&amp; Łódź Ж")]
    assert len(cut) == len(picture.barrels)
    read = PdfReader(BytesIO(renderPDF.drawToString(drawing))).pages[0].extract_text()
    assert "<b>&amp; Łódź Ж" in read
    assert MISSING in read
    assert "中" not in read


def test_ten_barrels_and_twenty_jobs_fit(sample_evaluation):
    base = sample_evaluation.replace(deviations=(), assignment=(), answers=())
    jobs = tuple(
        base.jobs[n % len(base.jobs)].replace(id=f"job{n}", name=f"Mould {n}") for n in range(20)
    )
    appraisal = appraise(base.replace(jobs=jobs))
    picture = ruler(appraisal, Scale(), barrels=[b.id for b in appraisal.barrels[:10]])
    pages = ruler_drawings(picture, WIDTH, HEIGHT)
    assert sum(marks(page) for page in pages) == len(picture.marks())
    for page in pages:
        assert page.height <= HEIGHT
        labels = {line.label for line in picture.shots if line.label}
        assert labels <= set(texts(page))


def test_fonts_are_registered_once_and_tell_what_they_lack():
    register()
    register()
    assert pdfmetrics.getFont("DejaVuSans").fontName == "DejaVuSans"
    assert printable("Ł Ж ≤ 中\n x") == f"Ł Ж ≤ {MISSING} x"
    assert missing_characters("中a文 中") == ("中", "文")
