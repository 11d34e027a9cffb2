"""What the evaluation tells, section by section; every word comes from the wording."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, PageBreak, Spacer

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.decision.decide import Decision, decide
from evenbarrel.model.bid import Bid
from evenbarrel.report.paper.appendix import appendix
from evenbarrel.report.paper.board import board_drawing, rows_that_fit
from evenbarrel.report.paper.cost_drawing import bars_drawing, bars_height
from evenbarrel.report.paper.drawings import lanes_drawing
from evenbarrel.report.paper.front import Front
from evenbarrel.report.paper.pages import DEPTH, ONE, ROOM, TWO, Outlined, columns
from evenbarrel.report.paper.tables import (
    banded_table,
    column_widths,
    grid_tables,
    pairs_table,
    sheet_table,
    side_by_side,
)
from evenbarrel.report.paper.text import Writer
from evenbarrel.report.sign_offs import results_digest_of
from evenbarrel.wording.paper import choice
from evenbarrel.wording.paper import sections as words
from evenbarrel.wording.pictures import cost_bars
from evenbarrel.wording.pictures.board import board
from evenbarrel.wording.pictures.criterion_lanes import lanes
from evenbarrel.wording.pictures.scales import Scale
from evenbarrel.wording.sentences.deciding.decision import incompatible_lines
from evenbarrel.wording.sheets.assumptions import (
    CAUTIONS,
    source_lines,
)
from evenbarrel.wording.sheets.barrels import masses_sheet
from evenbarrel.wording.sheets.decision.proposal import proposal_line
from evenbarrel.wording.sheets.document import (
    cells_sheet,
    failed_claims_sheet,
    missing_data_sheets,
    printed_barrels_sheet,
    printed_claims_sheet,
    printed_fit_sheet,
    printed_half_widths_sheet,
    printed_limits_sheet,
    printed_offers_sheet,
    printed_resins_sheet,
    printed_shots_sheet,
    questions_sheet,
    with_short_names,
)
from evenbarrel.wording.sheets.gates.deviations import deviations_sheet
from evenbarrel.wording.sheets.gates.pins import pins_sheet
from evenbarrel.wording.sheets.gates.waiting import confirmed_limits_sheet, waiting_limits_sheet
from evenbarrel.wording.sheets.sheet import Sheet
from evenbarrel.wording.sheets.summary import printed_gate_sheet
from evenbarrel.wording.standing.signatures import sign_offs_sheet
from evenbarrel.wording.words.visible import EXPLAINED

MOST_TIGHTEST = 6
"""Barrels whose tightest job is drawn."""

_JOB_COLUMN, _CLAIM_COLUMN, _MASS_COLUMN = (76.0, 92.0), (46.0, 62.0), (56.0, 76.0)
_COLUMNS, _MINOR = 3, "minor"
_LONG = 6
"""From so many rows on a narrow table is told in two halves."""
_NARROW = 1.25
"""So many times its half of the page a table may want, and be narrow enough for it."""
_START = 80.0
"""What must be left on a page for a table to begin there [pt]."""
_SECTION = DEPTH / 4
"""What must be left on a page for a section to begin there [pt]."""
_LANES = 190.0
_BESIDE = 16.0
"""Between pictures beside each other [pt]."""
_HALF_WIDTHS = 330.0
"""Width of the table of half-widths [pt]."""


class Story:
    """Lays the sections out one after the other."""

    def __init__(self, appraisal: Appraisal, writer: Writer, version: str, workings: bool) -> None:
        self._appraisal, self._writer = appraisal, writer
        self._version, self._workings = version, workings
        self._sections = 0

    def tell(self) -> list[Flowable]:
        """Return the first two pages, the evidence, and the appendix where it is wanted."""
        sections = (
            self._front(),
            self._gate(),
            self._choice(),
            self._shots(),
            self._barrels(),
            self._fit(),
            self._claims(),
            self._cautions(),
            self._assumptions(),
            self._sign_off(),
            self._appendix(),
            self._glyphs(),
        )
        return [flowable for section in sections for flowable in section]

    def _section(self, key: str, room: float = _SECTION) -> Iterator[Flowable]:
        """Begin a section: on a new page, unless `room` [pt] is left on this one."""
        self._sections += 1
        title = f"{self._sections} {words.SECTIONS[key]}"
        yield CondPageBreak(room)
        yield Outlined(key, title, 0)
        yield self._writer.paragraph(title, "section")
        if key in words.INTRODUCTIONS:
            yield self._writer.paragraph(words.INTRODUCTIONS[key])

    def _sheet(self, sheet: Sheet, title: str = "", style: str = "part") -> Iterator[Flowable]:
        if title:
            yield from self._part(title, style)
        if not sheet.rows:
            yield self._writer.paragraph(words.EMPTY.get(sheet.key, words.NOTHING))
            return
        # Above the table: below it a note could stand alone on a page.
        yield from self._notes(sheet.notes)
        yield sheet_table(self._writer, with_short_names(sheet), ROOM)

    def _notes(self, notes: Iterable[str]) -> Iterator[Flowable]:
        for note in notes:
            yield self._writer.paragraph(note, "note")

    def _part(self, title: str, style: str = "part") -> Iterator[Flowable]:
        # Not kept with what follows: that may be a table of many pages.
        yield CondPageBreak(_START)
        yield self._writer.paragraph(title, style)

    def _bullets(self, texts: Iterable[str]) -> Iterator[Flowable]:
        for text in texts:
            yield self._writer.bulleted(text)

    def _front(self) -> Iterator[Flowable]:
        self._first = Front(self._appraisal, self._writer, self._version)
        yield from self._first.tell()
        yield PageBreak()

    def _gate(self) -> Iterator[Flowable]:
        yield from self._section("gate")
        yield from self._sheet(printed_gate_sheet(self._appraisal))

    def _choice(self) -> Iterator[Flowable]:
        """Tell of offers, cost, order and sets, once something of it is stated."""
        decision = decide(self._appraisal)
        yield from self._section("choice")
        if not self._appraisal.barrels or not choice.is_costed(decision):
            yield self._writer.paragraph(words.EMPTY["choice"])
            return
        yield self._writer.paragraph(proposal_line(decision))
        for sheet in choice.printed_choice_sheets(decision):
            yield from self._sheet(sheet, sheet.title)
            if sheet.key == "life_cost":
                yield from self._bars(decision)

    def _bars(self, decision: Decision) -> Iterator[Flowable]:
        pictures, barrel = [cost_bars.side_by_side(decision)], choice.leader(decision)
        if barrel is not None:
            pictures.append(cost_bars.step_by_step(decision, barrel))
        for picture in pictures:
            # Beyond a page's depth the table tells.
            if picture.rows and bars_height(picture) < DEPTH - 40.0:
                yield KeepTogether([Spacer(0, 8), bars_drawing(picture, ROOM)])

    def _shots(self) -> Iterator[Flowable]:
        yield from self._section("shots")
        yield from self._sheet(printed_shots_sheet(self._appraisal))

    def _barrels(self) -> Iterator[Flowable]:
        appraisal = self._appraisal
        yield from self._section("barrels")
        yield from self._sheet(printed_barrels_sheet(appraisal))
        yield from self._notes(words.unsettled_lines(appraisal))
        settled = words.settled_texts(appraisal)
        if settled:
            yield from self._part(words.SETTLED)
            yield from self._bullets(settled)
        if appraisal.barrels:
            masses = with_short_names(masses_sheet(appraisal))
            yield from self._part(masses.title)
            yield from self._notes(masses.notes)
            for _, _, table in grid_tables(self._writer, masses, 2, ROOM, *_MASS_COLUMN):
                yield table

    def _fit(self) -> Iterator[Flowable]:
        appraisal, writer = self._appraisal, self._writer
        yield from self._section("fit")
        sheet = with_short_names(printed_fit_sheet(appraisal))
        if not appraisal.barrels or not appraisal.jobs:
            yield writer.paragraph(words.EMPTY["fit"])
            return
        yield writer.paragraph(" ".join(sheet.notes), "note")
        tables = grid_tables(writer, sheet, 2, ROOM, *_JOB_COLUMN)
        for first, last, table in tables:
            if len(tables) > 1:
                yield from self._part(words.part_of_jobs(first, last, len(appraisal.jobs)))
            yield table
        if not self._first.whole:
            yield from self._boards()
        yield from self._tightest()
        yield from self._not_inside()

    def _boards(self) -> Iterator[Flowable]:
        """Draw every barrel, where the second page had no room for all."""
        appraisal, left = self._appraisal, [barrel.id for barrel in self._appraisal.barrels]
        yield PageBreak()
        yield Outlined("whole_board", words.WHOLE_BOARD, 1)
        yield from self._part(words.WHOLE_BOARD)
        room = DEPTH - 40.0
        while left:
            units = appraisal.evaluation.display_units
            rest = board(appraisal, Scale(), units, left)
            fit = max(1, rows_that_fit(rest, ROOM, room))
            part = board(appraisal, Scale(), units, left[:fit])
            yield board_drawing(part, ROOM, room)
            yield Spacer(0, 12)
            left = left[fit:]

    def _tightest(self) -> Iterator[Flowable]:
        appraisal = self._appraisal
        cells = words.tightest_cells(appraisal, MOST_TIGHTEST)
        if not cells:
            return
        yield CondPageBreak(_LANES + _START / 2)
        yield Outlined("tightest", words.TIGHTEST, 1)
        yield from self._part(words.TIGHTEST)
        units, half = appraisal.evaluation.display_units, (ROOM - _BESIDE) / 2
        drawn = [
            lanes_drawing(lanes(appraisal, barrel, job, units), half, _LANES)
            for barrel, job in cells
        ]
        for place in range(0, len(drawn), 2):
            pair = [[one, Spacer(0, 10)] for one in drawn[place : place + 2]]
            yield from side_by_side(pair, [half + _BESIDE] * len(pair), DEPTH)

    def _not_inside(self) -> Iterator[Flowable]:
        cells = [cells_sheet(self._appraisal, barrel.id) for barrel in self._appraisal.barrels]
        yield CondPageBreak(_START)
        yield Outlined("not_inside", words.NOT_INSIDE, 1)
        yield from self._part(words.NOT_INSIDE)
        yield from self._notes((words.NAMED_ALONE,))
        told = [with_short_names(sheet) for sheet in cells if sheet.rows]
        if told:
            yield banded_table(self._writer, told, ROOM)
        else:
            yield self._writer.paragraph(words.ALL_INSIDE)

    def _claims(self) -> Iterator[Flowable]:
        appraisal, writer = self._appraisal, self._writer
        yield from self._section("claims")
        yield from self._sheet(printed_offers_sheet(appraisal))
        claims = with_short_names(printed_claims_sheet(appraisal))
        yield from self._part(words.CLAIMS)
        if claims.rows:
            for _, _, table in grid_tables(writer, claims, 2, ROOM, *_CLAIM_COLUMN):
                yield table
        else:
            yield writer.paragraph(words.EMPTY["claims"])
        for bid in appraisal.evaluation.standing_bids:
            yield from self._supplier(bid)
        yield Outlined("to_us", words.TO_US, 1)
        yield from self._questions(questions_sheet(appraisal, (None,)), words.TO_US)

    def _supplier(self, bid: Bid) -> Iterator[Flowable]:
        name, writer = words.supplier_name(bid), self._writer
        yield CondPageBreak(DEPTH / 5)
        yield Outlined(f"offer {bid.id}", writer.line(name), 1)
        yield writer.paragraph(name, "supplier")
        terms = words.offer_lines(bid)
        if terms:
            yield pairs_table(writer, terms, ROOM)
        failed = failed_claims_sheet(self._appraisal, bid)
        if failed.rows:
            yield from self._sheet(failed, words.FAILED_CLAIMS, _MINOR)
        else:
            yield writer.paragraph(words.STANDING_CLAIMS)
        missing = missing_data_sheets(self._appraisal, bid.id)
        asked = questions_sheet(self._appraisal, (bid.id,), in_full=False)
        if asked.rows:
            yield from self._questions(asked, words.QUESTIONS, _MINOR)
        for sheet in missing:
            yield from self._missing(sheet)

    def _missing(self, sheet: Sheet) -> Iterator[Flowable]:
        """Tell a long table in two halves beside each other, where it is narrow enough."""
        half, count = (ROOM - _BESIDE) / 2, len(sheet.rows)
        narrow = sum(column_widths(self._writer, sheet, ROOM)) <= _NARROW * half
        if not narrow or count < _LONG:
            yield from self._sheet(sheet, sheet.title, _MINOR)
            return
        rows = (sheet.rows[: -(-count // 2)], sheet.rows[-(-count // 2) :])
        parts = [[sheet_table(self._writer, replace(sheet, rows=some), half)] for some in rows]
        yield from self._part(sheet.title, _MINOR)
        yield from self._notes(sheet.notes)
        yield from side_by_side(parts, [half + _BESIDE] * 2, DEPTH)

    def _questions(self, sheet: Sheet, title: str, style: str = "part") -> Iterator[Flowable]:
        # The heading above names who is asked: that column need not be repeated.
        rows = tuple(row[1:] for row in sheet.rows)
        asked = Sheet(sheet.key, sheet.title, sheet.headings[1:], rows)
        yield from self._sheet(asked, title, style)

    def _assumptions(self) -> Iterator[Flowable]:
        writer, appraisal = self._writer, self._appraisal
        yield from self._section("assumptions")
        resins = printed_resins_sheet(appraisal)
        # In one paragraph: most resins have such a line.
        yield from self._sheet(replace(resins, notes=(" ".join(resins.notes),)), resins.title)
        made, widths = [], (ROOM - _HALF_WIDTHS, _HALF_WIDTHS)
        for sheet, width in zip(
            (printed_limits_sheet(appraisal), printed_half_widths_sheet(appraisal)),
            widths,
            strict=True,
        ):
            titles = [writer.paragraph(sheet.title, "part"), *self._notes(sheet.notes)]
            made.append([*titles, sheet_table(writer, sheet, width - 12.0)])
        yield from side_by_side(made, widths, DEPTH)
        lines = [writer.paragraph(line, "source") for line in source_lines()]
        each = -(-len(lines) // _COLUMNS)
        parts = [lines[each * n : each * (n + 1)] for n in range(_COLUMNS)]
        beside = side_by_side(parts, [ROOM / _COLUMNS] * _COLUMNS, DEPTH)
        yield KeepTogether([writer.paragraph(words.LITERATURE, "part"), *beside])

    def _cautions(self) -> Iterator[Flowable]:
        yield from self._section("cautions")
        raised = (*incompatible_lines(self._appraisal), *words.cell_cautions(self._appraisal))
        yield from self._bullets(dict.fromkeys((*CAUTIONS, *raised)))

    def _sign_off(self) -> Iterator[Flowable]:
        appraisal = self._appraisal
        yield from self._section("sign_off", _SECTION / 2)
        # Only a signature needs the digest of the results, which takes a while to make.
        results = results_digest_of(appraisal.unmasked) if appraisal.evaluation.sign_offs else ""
        pins = (pins_sheet(appraisal),) if appraisal.evaluation.assignment else ()
        sheets = (
            deviations_sheet(appraisal),
            waiting_limits_sheet(appraisal),
            confirmed_limits_sheet(appraisal),
            *pins,
            sign_offs_sheet(appraisal, results),
        )
        for sheet in sheets:
            if sheet.rows:
                yield from self._sheet(sheet, sheet.title)
        nothing = " ".join(words.EMPTY[sheet.key] for sheet in sheets if not sheet.rows)
        if nothing:
            yield Spacer(0, 4)
            yield self._writer.paragraph(nothing)

    def _appendix(self) -> Iterator[Flowable]:
        if self._workings:
            yield from columns(TWO)
            yield from self._section("workings", 0)
            yield from appendix(self._appraisal, self._writer)

    def _glyphs(self) -> Iterator[Flowable]:
        # Told last, when every word of the document has passed the writer.
        writer = self._writer
        if not writer.lacking and not writer.hidden:
            return
        if self._workings:
            yield from columns(ONE)
        yield from self._section("glyphs", _START)
        if writer.lacking:
            yield writer.paragraph(words.glyphs_text(writer.lacking))
        if writer.hidden:
            yield writer.paragraph(EXPLAINED)


def story(appraisal: Appraisal, writer: Writer, version: str, workings: bool) -> list[Flowable]:
    """Return everything the evaluation tells, in order; with `workings` an appendix of them."""
    return Story(appraisal, writer, version, workings).tell()
