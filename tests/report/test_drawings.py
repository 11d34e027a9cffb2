"""The pictures on paper show every trace, split over pages, and print any name."""

from __future__ import annotations

from io import BytesIO
from itertools import combinations

import numpy as np
from pypdfium2 import PdfDocument
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.record.decision import Proposal
from evenbarrel.report.paper.fonts import MISSING, printable, register
from evenbarrel.report.paper.pictures.board import board_drawing, rows_that_fit
from evenbarrel.report.paper.pictures.board_key import key_drawing, legend_drawing
from evenbarrel.report.paper.pictures.drawings import lanes_drawing, mark_drawing
from evenbarrel.report.paper.pictures.strokes import (
    BADGE,
    Badge,
    Drawing,
    Hatched,
    Mark,
    OpenRing,
    Words,
    badge_width,
)
from evenbarrel.wording.pictures.board import LEGEND, LEGEND_MARKS, board
from evenbarrel.wording.pictures.criterion_lanes import lanes
from evenbarrel.wording.pictures.scales import Scale

WIDTH, HEIGHT = 760.0, 500.0
ROUND = 10
"""White round a drawing that is printed alone [pt]."""


def count(drawing: Drawing, kind: type) -> int:
    return sum(isinstance(shape, kind) for shape in drawing.shapes)


def texts(drawing: Drawing) -> list[str]:
    words = [shape.text for shape in drawing.shapes if isinstance(shape, Words)]
    return words + [str(shape.number) for shape in drawing.shapes if isinstance(shape, Badge)]


def drawn(appraisal, width=WIDTH, height=HEIGHT):
    return board_drawing(board(appraisal, Scale()), width, height)


def printed(drawing: Drawing) -> bytes:
    """Return a drawing as a page with white round it."""
    out = BytesIO()
    size = (drawing.width + 2 * ROUND, drawing.height + 2 * ROUND)
    canvas = Canvas(out, pagesize=size)
    drawing.drawOn(canvas, ROUND, ROUND)
    canvas.save()
    return out.getvalue()


def ink(drawing: Drawing, scale: int = 1) -> np.ndarray:
    """Return where a printed drawing has ink, whatever its colour: dots from the top down."""
    with PdfDocument(printed(drawing)) as document:
        return document[0].render(scale=scale, grayscale=True).to_numpy() < 250


def test_the_board_on_paper_has_every_mark_lane_and_cell(sample_appraisal):
    picture = board(sample_appraisal, Scale())
    drawing = board_drawing(picture, WIDTH, HEIGHT)
    on_rulers = sum(len(r.trace.marks) for r in picture.rows if r.trace.full is not None)
    cells = sum(len(row.cells) for row in picture.rows)
    assert count(drawing, Mark) == on_rulers + cells + len(picture.rows)
    lanes_of = [lane for row in picture.rows for lane in row.trace.lanes]
    assert count(drawing, Hatched) == sum(lane.stated and lane.low is not None for lane in lanes_of)
    assert count(drawing, OpenRing) == sum(
        cell.open > 0 for row in picture.rows for cell in row.cells
    )
    assert drawing.width == WIDTH
    assert drawing.height <= HEIGHT


def test_the_board_on_paper_names_what_the_screen_names(sample_appraisal):
    picture = board(sample_appraisal, Scale())
    shown = texts(board_drawing(picture, WIDTH, HEIGHT))
    for row in picture.rows:
        assert row.name in shown
        assert row.supplier in shown
    for job in picture.jobs:
        # Once over the ruler, once over its column of cells.
        assert shown.count(str(job.number)) == 2
    words = {cell.word for row in picture.rows for cell in row.cells if cell.word}
    assert words <= set(shown)
    doubts = [row for row in picture.rows if row.doubt and row.trace.full is not None]
    assert doubts
    assert sum(text.endswith("unsettled") for text in shown) == len(doubts)
    assert {"100", "500"} <= set(shown)


def test_a_stripe_stands_before_each_proposed_barrel(sample_evaluation):
    proposed = sample_evaluation.replace(proposal=Proposal(barrels=("b1u1b",)))

    def begins(evaluation: Evaluation, barrel: str) -> bool:
        """Say whether a row of its own has ink at its left edge, well below the line above it."""
        picture = board(appraise(evaluation), Scale(), barrels=[barrel])
        return bool(ink(board_drawing(picture, WIDTH, HEIGHT))[-(ROUND + 6), ROUND])

    assert begins(proposed, "b1u1b")
    assert not begins(proposed, "b1u1a")
    assert not begins(sample_evaluation.replace(proposal=None), "b1u1b")


def test_as_many_rows_as_are_said_to_fit_do_fit(sample_appraisal):
    picture = board(sample_appraisal, Scale())
    names = [row.barrel for row in picture.rows]
    for height in (100.0, 160.0, 260.0):
        fit = rows_that_fit(picture, WIDTH, height)
        assert 0 < fit < len(names)
        part = board(sample_appraisal, Scale(), barrels=names[:fit])
        assert board_drawing(part, WIDTH, height).height <= height + 1e-6
    assert rows_that_fit(picture, WIDTH, 3000.0) == len(names)


def test_the_key_names_each_number_and_says_how_many_it_holds(sample_appraisal):
    jobs = board(sample_appraisal, Scale()).jobs
    drawing, stand = key_drawing(jobs, WIDTH, 4)
    assert stand == len(jobs)
    shown = texts(drawing)
    for job in jobs:
        assert f"{job.name} ({job.shot})" in shown
        assert str(job.number) in shown
    few, stand = key_drawing(jobs, 300.0, 1)
    assert 0 < stand < len(jobs)
    assert jobs[stand].name not in " ".join(texts(few))


def test_the_legend_has_every_mark_and_bar(sample_appraisal):
    drawing = legend_drawing(WIDTH)
    shown = texts(drawing)
    assert {words for _, _, words in LEGEND_MARKS} <= set(shown)
    assert set(LEGEND.values()) <= set(shown)
    assert count(drawing, Mark) == len(LEGEND_MARKS) + 3
    told = board(sample_appraisal, Scale()).lane_names
    assert told not in shown
    assert told in texts(legend_drawing(WIDTH, told))


def test_nothing_lies_outside_the_drawing(sample_appraisal):
    barrel, job = sample_appraisal.barrels[0].id, sample_appraisal.jobs[0].id
    jobs = board(sample_appraisal, Scale()).jobs
    for drawing in (
        drawn(sample_appraisal),
        lanes_drawing(lanes(sample_appraisal, barrel, job), WIDTH, HEIGHT),
        key_drawing(jobs, WIDTH, 4)[0],
        legend_drawing(WIDTH),
        legend_drawing(WIDTH, board(sample_appraisal, Scale()).lane_names),
    ):
        printed_at = ink(drawing)
        inside = printed_at[ROUND - 3 : -(ROUND - 3), ROUND - 1 : -(ROUND - 1)]
        assert inside.any()
        assert printed_at.sum() == inside.sum()


def test_numbers_above_the_ruler_do_not_overlap(sample_appraisal):
    badges = [shape for shape in drawn(sample_appraisal).shapes if isinstance(shape, Badge)]
    assert len(badges) == 2 * len(sample_appraisal.jobs)
    for one, other in combinations(badges, 2):
        beside = (badge_width(one.number) + badge_width(other.number)) / 2
        assert abs(one.x - other.x) >= beside or abs(one.y - other.y) >= BADGE


def test_the_second_picture_shows_every_criterion(sample_appraisal):
    barrel, job = sample_appraisal.barrels[0].id, sample_appraisal.jobs[0].id
    picture = lanes(sample_appraisal, barrel, job)
    drawing = lanes_drawing(picture, WIDTH, 400.0)
    shown = texts(drawing)
    for lane in picture.lanes:
        assert (f"{lane.label}, limiting" if lane.binding else lane.label) in shown
    assert "All stated together" in shown
    rows = (*picture.lanes, picture.foot)
    assert count(drawing, Mark) == sum(row.value is not None for row in rows)
    assert count(drawing, Hatched) == sum(row.stated and row.hard is not None for row in rows)
    assert drawing.height <= 400.0


def test_a_narrow_second_picture_says_what_limits_and_its_values_in_full(sample_appraisal):
    for barrel in sample_appraisal.barrels:
        for job in sample_appraisal.jobs:
            picture = lanes(sample_appraisal, barrel.id, job.id)
            shown = texts(lanes_drawing(picture, WIDTH / 2, 160.0))
            assert picture.verdict in shown
            assert picture.title in shown
            assert not [text for text in shown if text.startswith("0.") and text.endswith("…")]


def test_marks_differ_without_colour():
    """Each has its own shape where all ink is black, and another share of ink."""
    made = {
        state: ink(mark_drawing(state, 4.0), 4)
        for state in ("inside", "near_edge", "outside", "not_stated")
    }
    dots = {state: int(shape.sum()) for state, shape in made.items()}
    assert dots["not_stated"] < dots["outside"] < dots["near_edge"] < 0.8 * dots["inside"]
    for one, other in combinations(made.values(), 2):
        assert (one ^ other).sum() > 0.1 * dots["inside"]
    half = made["near_edge"].shape[1] // 2
    assert made["near_edge"][:, :half].sum() > 2 * made["near_edge"][:, half:].sum()


def test_outside_by_rule_is_struck_through_once():
    size = 30.0
    crossed, struck = (
        ink(Drawing(size, size, Mark(size / 2, size / 2, "outside", rule, 4.0)), 4)
        for rule in (False, True)
    )
    # The one stroke is one of both of the cross, whose mirror image is the other.
    assert not (struck & ~crossed).any()
    assert (crossed & ~struck).any()
    assert (crossed == crossed[:, ::-1]).mean() > 0.99 > (struck == struck[:, ::-1]).mean()


def test_an_empty_programme_is_a_ruler_alone():
    drawing = drawn(appraise(Evaluation()))
    assert count(drawing, Mark) == 0
    assert any(text.startswith("Shot volume") for text in texts(drawing))


def test_any_name_is_printed_and_what_the_font_lacks_is_seen(sample_evaluation):
    name = "<b>&amp; Łódź Ж 中文</b> " * 30
    jobs = tuple(job.replace(name=f"{job.id} {name}") for job in sample_evaluation.jobs)
    bids = tuple(bid.replace(supplier=name) for bid in sample_evaluation.bids)
    appraisal = appraise(sample_evaluation.replace(jobs=jobs, bids=bids))
    drawing = drawn(appraisal)
    cut = [text for text in texts(drawing) if text.startswith("<b>&amp; Łódź Ж")]
    # The same supplier's name stands once above its barrels.
    assert len(cut) == 1
    key, _ = key_drawing(board(appraisal, Scale()).jobs, WIDTH, 9)
    for one in (drawing, key):
        with PdfDocument(printed(one)) as document:
            read = document[0].get_textpage().get_text_bounded()
        assert "<b>&amp; Łódź Ж" in read
        assert MISSING in read
        assert "中" not in read


def test_twenty_jobs_have_their_number_and_cell(sample_evaluation):
    base = sample_evaluation.replace(
        deviations=(), assignment=(), answers=(), proposal=None, acceptance=()
    )
    jobs = tuple(
        base.jobs[n % len(base.jobs)].replace(id=f"job{n}", name=f"Mould {n}") for n in range(20)
    )
    appraisal = appraise(base.replace(jobs=jobs))
    drawing = drawn(appraisal)
    assert drawing.height <= HEIGHT
    shown = texts(drawing)
    for number in range(1, 21):
        assert shown.count(str(number)) >= 2


def test_fonts_are_registered_once_and_tell_what_they_lack():
    register()
    register()
    assert pdfmetrics.getFont("DejaVuSans").fontName == "DejaVuSans"
    assert printable("Ł Ж ≤ 中\n x") == f"Ł Ж ≤ {MISSING} x"
