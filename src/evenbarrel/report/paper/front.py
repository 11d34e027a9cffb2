"""The two pages that come first: what is not known, what is proposed, the board, who signs."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache, cached_property, partial

from reportlab.platypus import Flowable, PageBreak, Spacer, Table

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.decision.decide import Decision, decide
from evenbarrel.decision.flips.search import Flips
from evenbarrel.report.paper.pages import FRAME, ROOM, Outlined
from evenbarrel.report.paper.palette import colour
from evenbarrel.report.paper.pictures.board import BoardRoom, board_drawing, rows_that_fit
from evenbarrel.report.paper.pictures.board_key import key_drawing, legend_drawing
from evenbarrel.report.paper.pictures.drawings import mark_drawing
from evenbarrel.report.paper.signing import signature_strip
from evenbarrel.report.paper.tables import sheet_table
from evenbarrel.report.paper.text import Writer
from evenbarrel.report.sign_offs import results_to_hold
from evenbarrel.wording.paper import choice, leaders
from evenbarrel.wording.paper import first_pages as summary
from evenbarrel.wording.paper import sections as words
from evenbarrel.wording.pictures.board import BoardPicture, Filter, arranged, board
from evenbarrel.wording.pictures.scales import Scale
from evenbarrel.wording.sentences.deciding.decision import NOT_JUDGED_HERE
from evenbarrel.wording.sheets.summary import GateGroup, gate_groups, gate_groups_sheet
from evenbarrel.wording.standing_by.signatures import signed_lines

_MOST_KEY_LINES = 4
_TILE_MARK, _NUMBER = 22.0, 12.0
_NOTE, _SLACK = 16.0, 2.0
_MOST_NAMES = 250.0
"""Width of the column of barrels [pt]."""
_TITLE = 100.0
_MOST_SIGNED = 3
_LEADERS = {1: 230.0, 2: 170.0}
_SHORTER = (
    *((4, 3, 420, 3), (3, 3, 420, 3), (2, 3, 420, 1), (2, 3, 150, 1)),
    *((2, 2, 150, 1), (2, 1, 150, 1), (2, 1, 0, 1), (1, 1, 0, 1)),
)
"""So many leaders and flips are told, and so many letters of the reason, where there is room left
for so many groups of barrels: a third leader is worth less than these."""


class Front:
    """Both pages; whatever has no room there is counted, and its section named."""

    def __init__(
        self,
        appraisal: Appraisal,
        writer: Writer,
        version: str,
        decision: Decision | None = None,
        flips: Flips | None = None,
    ) -> None:
        """Take what is told; without `flips` it is said that nobody looked for them."""
        self._appraisal, self._writer, self._version = appraisal, writer, version
        self._decision = decide(appraisal) if decision is None else decision
        self._flips = flips
        self._picture = _best_first(appraisal)
        self.whole = True
        """Whether the board that was told has every barrel and every job's cell."""

    @cached_property
    def results(self) -> str:
        """Digest of the results, "" where no signature is held against it."""
        return results_to_hold(self._appraisal.unmasked)

    @cached_property
    def _costed(self) -> bool:
        alone = not self._appraisal.barrels or not self._appraisal.jobs
        return not alone and choice.is_costed(self._decision)

    def flowables(self) -> list[Flowable]:
        """Return what stands on both pages."""
        signed = signed_lines(self._appraisal, self.results, _MOST_SIGNED)
        board_page, self.whole = _second_page(self._appraisal, self._writer, self._picture, signed)
        return [*self._first_page(), PageBreak(), *board_page]

    def _first_page(self) -> list[Flowable]:
        appraisal, writer = self._appraisal, self._writer
        notes = [
            [writer.paragraph(line, "note") for line in lines(appraisal)]
            for lines in (summary.accepted_lines, summary.meaning_lines)
        ]
        screening = writer.paragraph(f"{words.SCREENING} {NOT_JUDGED_HERE}", "note")
        head, stand = self._head(), self._standing()
        groups = gate_groups(appraisal)
        # The same ones are tried beside what is proposed in full and in short.
        table_of = cache(partial(_groups_table, appraisal, writer, groups))
        # What the criteria mean is said where every group of barrels has its row all the same.
        below = [*notes[0], *notes[1], screening]
        for chosen, fewest in self._chosen():
            above = [*head, *chosen, *stand]
            room = FRAME - height_of(above) - height_of(below) - _SLACK
            table, shown = _groups_that_fit(table_of, len(groups), room)
            if shown == len(groups):
                return [*above, *table, *below]
            below = [*notes[0], screening]
            room = FRAME - height_of(above) - height_of(below) - _SLACK
            table, shown = _groups_that_fit(table_of, len(groups), room)
            page = [*above, *table, *below]
            if height_of(page) <= FRAME - _SLACK and shown >= fewest:
                break
        return page

    def _head(self) -> list[Flowable]:
        """Return what it is about, and what is not known."""
        appraisal, writer = self._appraisal, self._writer
        compared, unknown = summary.compared_text(appraisal), summary.not_known_lines(appraisal)
        key = _key(writer, self._picture, shots=False)
        if self._costed:
            # The key would take the room of the proposal.
            compared, key = f"{compared} {summary.NUMBERED}", []
            costs = leaders.costs_not_known(self._decision)
            # The last is short, and so is what lacks of prices: one line holds both.
            *rest, asked = unknown
            proposed = leaders.proposal_not_known(self._decision)
            unknown = (*proposed, *rest, " ".join(filter(None, (asked, costs))))
        if appraisal.barrels and appraisal.jobs:
            unknown = (*unknown, leaders.flips_not_known(self._decision, self._flips))
        return [
            writer.paragraph(words.cut(appraisal.evaluation.title or words.UNTITLED, 110), "title"),
            *(writer.paragraph(line, "fact") for line in words.masthead(appraisal, self._version)),
            Spacer(0, 4),
            writer.paragraph(compared),
            *key,
            *_boxed(writer, summary.SAFETY, summary.safety_lines(appraisal), "outside"),
            *_boxed(writer, summary.NOT_KNOWN, unknown, "not_stated"),
        ]

    def _standing(self) -> list[Flowable]:
        """Return the gates with their counts."""
        appraisal, writer = self._appraisal, self._writer
        return [
            Outlined("standing", summary.STANDING, 0),
            writer.paragraph(summary.STANDING, "part"),
            _tiles(appraisal, writer),
            *(writer.paragraph(line, "strong") for line in summary.sole_stop_lines(appraisal)),
            Spacer(0, 4),
        ]

    def _chosen(self) -> Iterator[tuple[list[Flowable], int]]:
        """Yield what is proposed, what it costs and what flips it, ever shorter.

        What flips it alone where no price is stated. Beside it the fewest groups of barrels that
        are to stand below.
        """
        if not self._costed:
            for most in (3, 1, 0):
                yield self._nearest(most), 1
            return
        decision, writer = self._decision, self._writer
        offered, title = leaders.offers_lines(decision), leaders.proposed_title(decision)
        for most, flips, letters, fewest in _SHORTER:
            sheet = leaders.leaders_sheet(decision, most)
            lines = [*leaders.proposed_lines(decision, letters), *offered]
            made: list[Flowable] = [
                Outlined("proposed", title, 0),
                writer.paragraph(title, "part"),
                *(writer.paragraph(line, "boxed") for line in lines),
                Spacer(0, 3),
                *([sheet_table(writer, sheet, ROOM, _LEADERS)] if sheet.rows else []),
                *(writer.paragraph(note, "note") for note in leaders.marked_notes(decision)),
                *self._nearest(flips),
            ]
            yield made, fewest

    def _nearest(self, most: int) -> list[Flowable]:
        flips = leaders.nearest_flips(self._decision, self._flips, most) if most else ()
        more = leaders.more_flips(self._flips, most)
        return _boxed(self._writer, leaders.FLIPS, flips, "near_edge", more)


def _best_first(appraisal: Appraisal) -> BoardPicture:
    """Return the board of every barrel, best first."""
    units = appraisal.evaluation.display_units
    return board(appraisal, Scale(), units, arranged(appraisal, "gate", Filter()))


def height_of(flowables: Sequence[Flowable]) -> float:
    """Return the height flowables take one below the other [pt], air between them included."""
    height = after = 0.0
    for one in flowables:
        # Of the air after one and before the next the larger counts.
        height += max(after, one.getSpaceBefore()) + one.wrap(ROOM, 10 * FRAME)[1]
        after = one.getSpaceAfter()
    return height + after


def _groups_that_fit(
    table_of: Callable[[int], list[Flowable]], most: int, room: float
) -> tuple[list[Flowable], int]:
    """Return as many of `most` groups of barrels as `room` [pt] holds, one at least, and how many.

    `table_of` tells so many of them, and how many more there are.
    """
    count, made = most, table_of(most)
    while (over := height_of(made) - room) > 0 and count > 1:
        # Several at once where much is over, yet never one too many: few rows are so tall.
        tall = 3.0 * height_of(made[:1]) / count
        count = max(1, count - max(1, int(over / tall)))
        made = table_of(count)
    return made, count


def _groups_table(
    appraisal: Appraisal, writer: Writer, groups: tuple[GateGroup, ...], count: int
) -> list[Flowable]:
    if not groups:
        return [writer.paragraph(words.EMPTY["gate"])]
    sheet = gate_groups_sheet(appraisal, groups[:count])
    made: list[Flowable] = [sheet_table(writer, sheet, ROOM, {1: _MOST_NAMES}, whole_width=True)]
    rest = groups[count:]
    if rest:
        barrels = sum(len(group.gates) for group in rest)
        line = summary.left_out_line(len(rest), barrels, words.section_name("gate"))
        made.append(writer.paragraph(line, "note"))
    return made


def _key(writer: Writer, picture: BoardPicture, *, shots: bool) -> list[Flowable]:
    if not picture.jobs:
        return [writer.paragraph(words.EMPTY["shots"])]
    drawing, stand = key_drawing(picture.jobs, ROOM, _MOST_KEY_LINES, shots=shots)
    made: list[Flowable] = [drawing]
    if stand < len(picture.jobs):
        line = summary.key_part_line(stand, len(picture.jobs), words.section_name("shots"))
        made.append(writer.paragraph(line, "note"))
    return made


def _boxed(
    writer: Writer, title: str, lines: Sequence[str], look: str, note: str = ""
) -> list[Flowable]:
    """Return lines in a box with a strong edge, so that nobody reads past them.

    A note stands small below the title.
    """
    if not lines:
        return []
    paragraphs = [writer.paragraph(line, "boxed") for line in lines]
    head = [writer.paragraph(title, "minor"), *([writer.paragraph(note, "note")] if note else [])]
    table = Table([[head, paragraphs]], [_TITLE, ROOM - _TITLE], hAlign="LEFT")
    table.setStyle(
        [
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("BACKGROUND", (0, 0), (-1, -1), colour("raised")),
            ("LINEBEFORE", (0, 0), (0, -1), 3, colour(look)),
            ("TOPPADDING", (0, 0), (-1, -1), 4),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
            ("LEFTPADDING", (0, 0), (0, -1), 9),
            ("RIGHTPADDING", (0, 0), (-1, -1), 6),
        ]
    )
    table.spaceBefore = table.spaceAfter = 3
    return [table]


def _tiles(appraisal: Appraisal, writer: Writer) -> Table:
    """Return the gates with their counts, large enough to be read first."""
    cells: list[object] = []
    widths = []
    found = summary.tiles(appraisal)
    each = ROOM / len(found)
    for tile in found:
        cells += [
            mark_drawing(tile.mark, 2.2),
            writer.paragraph(str(tile.count), "count"),
            writer.paragraph(tile.words, "boxed"),
        ]
        wide = writer.width(str(tile.count), "count") + _NUMBER
        widths += [_TILE_MARK, wide, each - _TILE_MARK - wide]
    table = Table([cells], widths, hAlign="LEFT")
    table.setStyle(
        [
            ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
            ("LEFTPADDING", (0, 0), (-1, -1), 2),
            ("RIGHTPADDING", (0, 0), (-1, -1), 8),
            ("TOPPADDING", (0, 0), (-1, -1), 2),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
            ("BOX", (0, 0), (-1, -1), 0.5, colour("line")),
            *(("LINEBEFORE", (n, 0), (n, 0), 0.5, colour("line")) for n in range(3, len(cells), 3)),
        ]
    )
    return table


def _around_board(
    writer: Writer, picture: BoardPicture, signed: Sequence[str]
) -> tuple[list[Flowable], list[Flowable]]:
    above: list[Flowable] = [
        Outlined("board", summary.BOARD, 0),
        writer.paragraph(summary.BOARD, "headline"),
        *_key(writer, picture, shots=True),
        Spacer(0, 4),
    ]
    below: list[Flowable] = [
        Spacer(0, 3),
        legend_drawing(ROOM, picture.lane_names),
        writer.paragraph(summary.SIGN_HERE, "part"),
        writer.paragraph(
            " ".join([f"{summary.SIGNED}.", *signed] if signed else [summary.NOBODY_SIGNED]), "note"
        ),
        signature_strip(writer, summary.SIGNATURES, ROOM),
    ]
    return above, below


def _second_page(
    appraisal: Appraisal, writer: Writer, picture: BoardPicture, signed: Sequence[str]
) -> tuple[list[Flowable], bool]:
    """Return the second page, and whether its board is whole."""
    above, below = _around_board(writer, picture, signed)
    if not picture.rows:
        return [*above, writer.paragraph(words.EMPTY["barrels"]), *below], True
    room = FRAME - height_of(above) - height_of(below) - _NOTE
    names = [row.barrel for row in picture.rows]
    fit = max(1, rows_that_fit(picture, ROOM, room))
    left_out, section = [], words.section_name("fit")
    jobs, shown = len(picture.jobs), BoardRoom(ROOM, len(picture.jobs)).shown
    if fit < len(names):
        left_out.append(summary.board_part_line(fit, len(names), section))
        picture = board(appraisal, Scale(), picture.units, names[:fit])
    if shown < jobs:
        left_out.append(summary.jobs_part_line(shown, jobs, section))
    middle = [writer.paragraph(" ".join(left_out), "note")] if left_out else []
    return [*above, board_drawing(picture, ROOM, room), *middle, *below], not left_out
