"""What the evaluation tells, section by section; every word comes from the wording."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, PageBreak, Spacer

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.decision.decide import Decision, decide
from evenbarrel.decision.flips.search import Flips
from evenbarrel.report.paper.appendix import appendix
from evenbarrel.report.paper.evidence.record import acceptance, assumptions, sign_off
from evenbarrel.report.paper.evidence.sections import BESIDE, START, Sections, headed
from evenbarrel.report.paper.evidence.suppliers import claims
from evenbarrel.report.paper.front import Front
from evenbarrel.report.paper.pages import DEPTH, ONE, ROOM, TWO, Outlined, columns
from evenbarrel.report.paper.pictures.board import board_drawing, rows_that_fit
from evenbarrel.report.paper.pictures.cost_drawing import bars_drawing, bars_height
from evenbarrel.report.paper.pictures.drawings import lanes_drawing
from evenbarrel.report.paper.tables import (
    banded_table,
    grid_tables,
    side_by_side,
)
from evenbarrel.report.paper.text import Writer
from evenbarrel.wording.paper import choice
from evenbarrel.wording.paper import sections as words
from evenbarrel.wording.paper.leaders import printed_flips
from evenbarrel.wording.pictures import cost_bars
from evenbarrel.wording.pictures.board import board
from evenbarrel.wording.pictures.criterion_lanes import lanes
from evenbarrel.wording.pictures.scales import Scale
from evenbarrel.wording.sentences.deciding.decision import incompatible_lines
from evenbarrel.wording.sheets.assumptions import (
    CAUTIONS,
)
from evenbarrel.wording.sheets.barrels import masses_sheet
from evenbarrel.wording.sheets.decision.proposal import proposal_line
from evenbarrel.wording.sheets.printed import (
    cells_sheet,
    printed_barrels_sheet,
    printed_fit_sheet,
    printed_shots_sheet,
    with_short_names,
)
from evenbarrel.wording.sheets.summary import printed_gate_sheet
from evenbarrel.wording.standing_by.masking import PRICES_MASKED, prices_masked
from evenbarrel.wording.words.names import full_name
from evenbarrel.wording.words.visible import EXPLAINED

MOST_TIGHTEST = 6
"""Barrels whose tightest job is drawn."""

_JOB_COLUMN, _MASS_COLUMN = (76.0, 92.0), (56.0, 76.0)
_LANES = 190.0


class Story(Sections):
    """Lays the sections out one after the other."""

    def __init__(
        self,
        appraisal: Appraisal,
        writer: Writer,
        version: str,
        workings: bool,
        flips: Flips | None,
    ) -> None:
        super().__init__(appraisal, writer)
        self._decision, self._flips, self._workings = decide(appraisal), flips, workings
        self._first = Front(appraisal, writer, version, self._decision, flips)

    def flowables(self) -> list[Flowable]:
        """Return the first two pages, the evidence, and the appendix where it is wanted."""
        sections = (
            self._front(),
            self._gate(),
            self._choice(),
            self._shots(),
            self._barrels(),
            self._fit(),
            claims(self),
            acceptance(self, self._decision),
            self._cautions(),
            assumptions(self),
            sign_off(self, self._first.results),
            self._appendix(),
            self._glyphs(),
        )
        return headed([flowable for section in sections for flowable in section])

    def _front(self) -> Iterator[Flowable]:
        yield from self._first.flowables()
        yield PageBreak()

    def _gate(self) -> Iterator[Flowable]:
        yield from self.section("gate")
        yield from self.sheet(printed_gate_sheet(self.appraisal))

    def _choice(self) -> Iterator[Flowable]:
        """Tell of offers, cost, order and sets, once something of it is stated."""
        decision = self._decision
        yield from self.section("choice")
        if not self.appraisal.barrels or not choice.is_costed(decision):
            yield self.writer.paragraph(words.EMPTY["choice"])
            if self._flips is not None:
                yield from self._would_flip(decision)
            return
        yield self.writer.paragraph(proposal_line(decision))
        if prices_masked(self.appraisal):
            yield self.writer.paragraph(PRICES_MASKED)
        sheets = choice.printed_choice_sheets(decision)
        proposed = [sheet for sheet in sheets if sheet.key == "proposal"]
        for sheet in proposed:
            yield from self.sheet(sheet, sheet.title)
        yield from self._would_flip(decision)
        for sheet in sheets[len(proposed) :]:
            yield from self.sheet(sheet, sheet.title)
            if sheet.key == "life_cost":
                yield from self._bars(decision)

    def _would_flip(self, decision: Decision) -> Iterator[Flowable]:
        yield from self.part(words.FLIPS)
        for part in printed_flips(decision, self._flips):
            yield self.writer.paragraph(part.sentence, "note")
            yield from (self.writer.paragraph(line, "working") for line in part.flips)

    def _bars(self, decision: Decision) -> Iterator[Flowable]:
        pictures, barrel = [cost_bars.side_by_side(decision)], choice.leader(decision)
        if barrel is not None:
            pictures.append(cost_bars.step_by_step(decision, barrel))
        # The lower one first: it may have room on the page of the table.
        for picture in sorted(pictures, key=bars_height):
            # Beyond a page's depth the table tells.
            if picture.rows and bars_height(picture) < DEPTH - 40.0:
                yield KeepTogether([Spacer(0, 8), bars_drawing(picture, ROOM)])

    def _shots(self) -> Iterator[Flowable]:
        yield from self.section("shots")
        yield from self.sheet(printed_shots_sheet(self.appraisal))

    def _barrels(self) -> Iterator[Flowable]:
        appraisal = self.appraisal
        yield from self.section("barrels")
        yield from self.sheet(printed_barrels_sheet(appraisal))
        yield from self.notes(words.unsettled_lines(appraisal))
        settled = words.settled_texts(appraisal)
        if settled:
            yield from self.part(words.SETTLED)
            yield from self.bullets(settled)
        if appraisal.barrels:
            masses = with_short_names(masses_sheet(appraisal))
            yield from self.part(masses.title)
            yield from self.notes(masses.notes)
            for _, _, table in grid_tables(self.writer, masses, 2, ROOM, *_MASS_COLUMN):
                yield table

    def _fit(self) -> Iterator[Flowable]:
        appraisal, writer = self.appraisal, self.writer
        yield from self.section("fit")
        sheet = with_short_names(printed_fit_sheet(appraisal))
        if not appraisal.barrels or not appraisal.jobs:
            yield writer.paragraph(words.EMPTY["fit"])
            return
        above = [writer.paragraph(" ".join(sheet.notes), "note")]
        tables = grid_tables(writer, sheet, 2, ROOM, *_JOB_COLUMN)
        for first, last, table in tables:
            if len(tables) > 1:
                title = words.part_of_jobs(first, last, len(appraisal.jobs))
                above.append(writer.paragraph(title, "part"))
            yield from self.begun(above, table)
            above = []
        if not self._first.whole:
            yield from self._boards()
        yield from self._tightest()
        yield from self._not_inside()

    def _boards(self) -> Iterator[Flowable]:
        """Draw every barrel, where the second page had no room for all."""
        appraisal, left = self.appraisal, [barrel.id for barrel in self.appraisal.barrels]
        yield PageBreak()
        yield Outlined("whole_board", words.WHOLE_BOARD, 1)
        yield from self.part(words.WHOLE_BOARD)
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
        appraisal = self.appraisal
        cells = words.tightest_cells(appraisal, MOST_TIGHTEST)
        if not cells:
            return
        yield CondPageBreak(_LANES + START / 2)
        yield Outlined("tightest", words.TIGHTEST, 1)
        yield from self.part(words.TIGHTEST)
        units, half = appraisal.evaluation.display_units, (ROOM - BESIDE) / 2
        drawn = [
            lanes_drawing(lanes(appraisal, barrel, job, units), half, _LANES)
            for barrel, job in cells
        ]
        for place in range(0, len(drawn), 2):
            pair = [[one, Spacer(0, 10)] for one in drawn[place : place + 2]]
            yield from side_by_side(pair, [half + BESIDE] * len(pair), DEPTH)

    def _not_inside(self) -> Iterator[Flowable]:
        appraisal = self.appraisal
        cells = {barrel.id: cells_sheet(appraisal, barrel.id) for barrel in appraisal.barrels}
        yield CondPageBreak(START)
        yield Outlined("not_inside", words.NOT_INSIDE, 1)
        yield from self.part(words.NOT_INSIDE)
        yield from self.notes((words.NAMED_ALONE,))
        sheets = [
            (full_name(appraisal, barrel), with_short_names(sheet))
            for barrel, sheet in cells.items()
            if sheet.rows
        ]
        if sheets:
            yield banded_table(self.writer, sheets, ROOM)
        else:
            yield self.writer.paragraph(words.ALL_INSIDE)

    def _cautions(self) -> Iterator[Flowable]:
        yield from self.section("cautions")
        raised = (*incompatible_lines(self.appraisal), *words.cell_cautions(self.appraisal))
        yield from self.bullets(dict.fromkeys((*CAUTIONS, *raised)))

    def _appendix(self) -> Iterator[Flowable]:
        if self._workings:
            yield from columns(TWO)
            yield from self.section("workings", 0)
            yield from appendix(self.appraisal, self.writer)

    def _glyphs(self) -> Iterator[Flowable]:
        # Told last, when every word of the document has passed the writer.
        writer = self.writer
        if not writer.lacking and not writer.hidden:
            return
        if self._workings:
            yield from columns(ONE)
        yield from self.section("glyphs", START)
        if writer.lacking:
            yield writer.paragraph(words.glyphs_text(writer.lacking))
        if writer.hidden:
            yield writer.paragraph(EXPLAINED)


def story(
    appraisal: Appraisal,
    writer: Writer,
    version: str,
    workings: bool,
    flips: Flips | None = None,
) -> list[Flowable]:
    """Return everything the evaluation tells, in order; with `workings` an appendix of them.

    Without `flips` it is said that nobody looked for them.
    """
    return Story(appraisal, writer, version, workings, flips).flowables()
