"""What the evaluation tells, section by section; every word comes from the wording."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, Spacer

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.model.bid import Bid
from evenbarrel.report.drawings import lanes_drawing, ruler_drawings
from evenbarrel.report.pages import COLUMN, DEPTH, ONE, ROOM, TWO, Outlined, columns
from evenbarrel.report.sign_offs import results_digest_of
from evenbarrel.report.signing import signature_block
from evenbarrel.report.tables import grid_tables, lines_table, sheet_table
from evenbarrel.report.text import Writer
from evenbarrel.wording.pictures.criterion_lanes import lanes
from evenbarrel.wording.pictures.ruler import ruler
from evenbarrel.wording.pictures.scales import Scale
from evenbarrel.wording.sentences import document as words
from evenbarrel.wording.sentences.decision import incompatible_lines, sign_offs_sheet
from evenbarrel.wording.sentences.questions import full_name
from evenbarrel.wording.sentences.summary import counts_text
from evenbarrel.wording.sheets.assumptions import (
    CAUTIONS,
    limits_sheet,
    resins_sheet,
    source_lines,
    uncertainty_sheet,
)
from evenbarrel.wording.sheets.deviations import deviations_sheet
from evenbarrel.wording.sheets.document import (
    cells_sheet,
    failed_claims_sheet,
    printed_fit_sheet,
    questions_sheet,
)
from evenbarrel.wording.sheets.pins import pins_sheet
from evenbarrel.wording.sheets.programme import (
    barrels_sheet,
    claims_sheet,
    gate_sheet,
    masses_sheet,
    offers_sheet,
    shots_sheet,
)
from evenbarrel.wording.sheets.sheet import Reference, Sheet
from evenbarrel.wording.sheets.waiting import confirmed_limits_sheet, waiting_limits_sheet
from evenbarrel.wording.workings.working import working

MOST_WORKINGS = 120
"""Cells whose working is printed; a larger evaluation says what was left out."""

MOST_TIGHTEST = 6
"""Barrels whose tightest job is drawn."""

_JOB_COLUMN, _CLAIM_COLUMN = (76.0, 92.0), (48.0, 62.0)
_LABEL, _INPUT = 190.0, 120.0
_PICTURE_HEAD = 60.0
_START = 80.0
"""What must be left on a page for a table to begin there [pt]."""


class Story:
    """Lays the sections out one after the other."""

    def __init__(self, appraisal: Appraisal, writer: Writer, version: str) -> None:
        self._appraisal, self._writer, self._version = appraisal, writer, version
        self._sections = 0

    def tell(self) -> list[Flowable]:
        """Return all the sections."""
        sections = (
            self._summary(),
            self._shots(),
            self._barrels(),
            self._picture(),
            self._fit(),
            self._claims(),
            self._assumptions(),
            self._cautions(),
            self._sign_off(),
            self._workings(),
            self._glyphs(),
        )
        return [flowable for section in sections for flowable in section]

    def _section(self, key: str, room: float = DEPTH / 2) -> Iterator[Flowable]:
        """Begin a section: on a new page, unless `room` [pt] is left on this one."""
        self._sections += 1
        title = f"{self._sections} {words.SECTIONS[key]}"
        yield CondPageBreak(room)
        yield Outlined(key, title, 0)
        yield self._writer.paragraph(title, "section")
        if key in words.INTRODUCTIONS:
            yield self._writer.paragraph(words.INTRODUCTIONS[key])

    def _sheet(self, sheet: Sheet, title: str = "") -> Iterator[Flowable]:
        if title:
            yield from self._part(title)
        if not sheet.rows:
            yield self._writer.paragraph(words.EMPTY.get(sheet.key, words.NOTHING))
            return
        yield sheet_table(self._writer, sheet, ROOM)
        yield from self._notes(sheet.notes)

    def _notes(self, notes: Iterable[str]) -> Iterator[Flowable]:
        for note in notes:
            yield self._writer.paragraph(note, "note")

    def _part(self, title: str) -> Iterator[Flowable]:
        # Not kept with what follows: that may be a table of many pages.
        yield CondPageBreak(_START)
        yield self._writer.paragraph(title, "part")

    def _bullets(self, texts: Iterable[str]) -> Iterator[Flowable]:
        for text in texts:
            yield self._writer.bulleted(text)

    def _summary(self) -> Iterator[Flowable]:
        appraisal, writer = self._appraisal, self._writer
        yield writer.paragraph(appraisal.evaluation.title or words.UNTITLED, "title")
        yield writer.paragraph(words.KIND, "subtitle")
        yield lines_table(writer, words.facts(appraisal, self._version), _LABEL, ROOM)
        yield Spacer(0, 10)
        yield from self._section("summary")
        yield writer.paragraph(words.SCREENING)
        yield writer.paragraph(words.sentence(counts_text(appraisal)))
        yield writer.paragraph(words.planned_range_text(appraisal))
        yield writer.paragraph(words.open_questions_text(appraisal))
        yield from self._bullets(incompatible_lines(appraisal))
        yield Spacer(0, 4)
        verdicts = [(word, words.names_text(names)) for word, names in words.verdicts(appraisal)]
        yield lines_table(writer, verdicts, _LABEL, ROOM)
        yield from self._sheet(gate_sheet(appraisal), words.GATE)

    def _shots(self) -> Iterator[Flowable]:
        yield from self._section("shots")
        yield from self._sheet(shots_sheet(self._appraisal))

    def _barrels(self) -> Iterator[Flowable]:
        appraisal = self._appraisal
        yield from self._section("barrels")
        yield from self._sheet(barrels_sheet(appraisal))
        unsettled = words.unsettled_texts(appraisal)
        if unsettled:
            yield from self._part(words.UNSETTLED)
            yield from self._bullets(unsettled)
        settled = words.settled_texts(appraisal)
        if settled:
            yield from self._part(words.SETTLED)
            yield from self._bullets(settled)
        if appraisal.barrels:
            masses = masses_sheet(appraisal)
            yield from self._sheet(masses, masses.title)

    def _picture(self) -> Iterator[Flowable]:
        yield from self._section("picture", DEPTH)
        if not self._appraisal.barrels:
            yield self._writer.paragraph(words.EMPTY["barrels"])
            return
        picture = ruler(self._appraisal, Scale(), self._appraisal.evaluation.display_units)
        yield from ruler_drawings(picture, ROOM, DEPTH - _PICTURE_HEAD)

    def _fit(self) -> Iterator[Flowable]:
        appraisal, writer = self._appraisal, self._writer
        yield from self._section("fit")
        sheet = printed_fit_sheet(appraisal)
        if not appraisal.barrels or not appraisal.jobs:
            yield writer.paragraph(words.EMPTY["fit"])
            return
        yield from self._notes(sheet.notes)
        tables = grid_tables(writer, sheet, 2, ROOM, *_JOB_COLUMN)
        for first, last, table in tables:
            if len(tables) > 1:
                yield from self._part(words.part_of_jobs(first, last, len(appraisal.jobs)))
            yield table
        yield from self._tightest()
        yield from self._not_inside()

    def _tightest(self) -> Iterator[Flowable]:
        appraisal = self._appraisal
        cells = words.tightest_cells(appraisal, MOST_TIGHTEST)
        if not cells:
            return
        yield CondPageBreak(DEPTH / 2)
        yield Outlined("tightest", words.TIGHTEST, 1)
        yield from self._part(words.TIGHTEST)
        for barrel, job in cells:
            picture = lanes(appraisal, barrel, job, appraisal.evaluation.display_units)
            yield KeepTogether([lanes_drawing(picture, ROOM, DEPTH - _PICTURE_HEAD), Spacer(0, 12)])

    def _not_inside(self) -> Iterator[Flowable]:
        cells = [cells_sheet(self._appraisal, barrel.id) for barrel in self._appraisal.barrels]
        yield CondPageBreak(DEPTH / 2)
        yield Outlined("not_inside", words.NOT_INSIDE, 1)
        yield from self._part(words.NOT_INSIDE)
        if not any(sheet.rows for sheet in cells):
            yield self._writer.paragraph(words.ALL_INSIDE)
        for sheet in cells:
            if sheet.rows:
                yield from self._sheet(sheet, sheet.title)

    def _claims(self) -> Iterator[Flowable]:
        appraisal, writer = self._appraisal, self._writer
        yield from self._section("claims")
        claims = claims_sheet(appraisal)
        if claims.rows:
            for _, _, table in grid_tables(writer, claims, 2, ROOM, *_CLAIM_COLUMN):
                yield table
        else:
            yield writer.paragraph(words.EMPTY["claims"])
        offers = offers_sheet(appraisal)
        yield from self._sheet(offers, offers.title)
        for bid in appraisal.evaluation.bids:
            yield from self._supplier(bid)
        yield Outlined("to_us", words.TO_US, 1)
        yield from self._questions(questions_sheet(appraisal, (None,)), words.TO_US)

    def _supplier(self, bid: Bid) -> Iterator[Flowable]:
        name, writer = words.supplier_name(bid), self._writer
        yield CondPageBreak(DEPTH / 3)
        yield Outlined(f"offer {bid.id}", writer.line(name), 1)
        yield writer.paragraph(name, "supplier")
        terms = words.offer_lines(bid)
        if terms:
            yield lines_table(writer, terms, _LABEL, ROOM)
        failed = failed_claims_sheet(self._appraisal, bid)
        if failed.rows:
            yield from self._sheet(failed, words.FAILED_CLAIMS)
        else:
            yield from self._part(words.FAILED_CLAIMS)
            yield writer.paragraph(words.STANDING_CLAIMS)
        yield from self._questions(questions_sheet(self._appraisal, (bid.id,)), words.QUESTIONS)

    def _questions(self, sheet: Sheet, title: str) -> Iterator[Flowable]:
        # The heading above names who is asked: that column need not be repeated.
        rows = tuple(row[1:] for row in sheet.rows)
        asked = Sheet(sheet.key, sheet.title, sheet.headings[1:], rows)
        yield from self._sheet(asked, title)

    def _assumptions(self) -> Iterator[Flowable]:
        yield from self._section("assumptions")
        for make in (resins_sheet, limits_sheet, uncertainty_sheet):
            sheet = make(self._appraisal)
            yield from self._sheet(sheet, sheet.title)
        yield from self._part(words.LITERATURE)
        for line in source_lines():
            yield self._writer.paragraph(line, "source")

    def _cautions(self) -> Iterator[Flowable]:
        yield from self._section("cautions")
        raised = (*incompatible_lines(self._appraisal), *words.cell_cautions(self._appraisal))
        yield from self._bullets(dict.fromkeys((*CAUTIONS, *raised)))

    def _sign_off(self) -> Iterator[Flowable]:
        appraisal = self._appraisal
        yield from self._section("sign_off", DEPTH)
        for make in (deviations_sheet, waiting_limits_sheet, confirmed_limits_sheet):
            sheet = make(appraisal)
            yield from self._sheet(sheet, sheet.title)
        if appraisal.evaluation.assignment:
            pins = pins_sheet(appraisal)
            yield from self._sheet(pins, pins.title)
        if appraisal.evaluation.sign_offs:
            yield from self._sheet(
                sign_offs_sheet(appraisal, results_digest_of(appraisal)), words.SIGNED
            )
        yield from self._part(words.SIGN_HERE)
        yield KeepTogether(signature_block(self._writer, words.SIGNATURES))

    def _workings(self) -> Iterator[Flowable]:
        appraisal, writer = self._appraisal, self._writer
        yield from columns(TWO)
        yield from self._section("workings", 0)
        references, cells = words.binding_references(appraisal, MOST_WORKINGS)
        if not cells:
            yield writer.paragraph(words.NO_WORKINGS)
            return
        yield writer.paragraph(words.workings_text(len(references), cells))
        barrel = ""
        for reference in references:
            head = []
            if reference[1] != barrel:
                barrel = reference[1]
                head.append(writer.paragraph(full_name(appraisal, barrel), "part"))
            yield KeepTogether([*head, *self._working(reference)])

    def _working(self, reference: Reference) -> Iterator[Flowable]:
        shown, writer = working(self._appraisal, reference), self._writer
        yield writer.paragraph(shown.title, "minor")
        yield writer.paragraph(shown.result, "working")
        yield writer.paragraph(shown.formula, "formula")
        yield lines_table(writer, words.working_lines(shown), _INPUT, COLUMN, small=True)
        yield writer.paragraph(words.working_foot(shown), "working")

    def _glyphs(self) -> Iterator[Flowable]:
        # Told last, when every word of the document has passed the writer.
        if self._writer.lacking:
            yield from columns(ONE)
            yield from self._section("glyphs", 0)
            yield self._writer.paragraph(words.glyphs_text(self._writer.lacking))


def story(appraisal: Appraisal, writer: Writer, version: str) -> list[Flowable]:
    """Return everything the evaluation tells, in order."""
    return Story(appraisal, writer, version).tell()
