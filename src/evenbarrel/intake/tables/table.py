"""A table of numbers, pasted or in a workbook, made into an extract."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from evenbarrel.entry.number import DIAMETER_MARKS
from evenbarrel.intake.accepting.taking import value_at
from evenbarrel.intake.cross_checks import cross_checked
from evenbarrel.intake.extract import Extract, Finding, Line
from evenbarrel.intake.keys import DESIGNATION, DIAMETER, LABEL, DatumKey
from evenbarrel.intake.screws import ScrewMatch, doubted, match_screws
from evenbarrel.intake.sentences.lines import with_sentences
from evenbarrel.intake.sentences.offer import has_usual_form, is_of_an_offer
from evenbarrel.intake.sources import Source, context_of
from evenbarrel.intake.tables.cells import Cell, Grid
from evenbarrel.intake.tables.labels import (
    is_measured,
    is_money,
    names_a_screw,
    unit_in,
    unit_named,
)
from evenbarrel.intake.tables.layout import Block, LabelledRow, is_title, read_layout, says_unit
from evenbarrel.intake.tables.parted import parted
from evenbarrel.intake.tables.printed_screws import (
    PrintedScrew,
    columns_of,
    head_of,
    joined,
    only_value,
    screws_of,
)
from evenbarrel.intake.tables.several import tables_in, with_offer_parted, with_pairs_stacked
from evenbarrel.intake.tables.synonyms import squeezed, synonyms
from evenbarrel.intake.tables.units_apart import units_apart
from evenbarrel.intake.tables.values import (
    CellReading,
    is_of_datum,
    mark_of_thousands,
    read_value,
    speaks_for_itself,
)
from evenbarrel.intake.tables.wrapped import with_heads_joined, with_systems_joined
from evenbarrel.model.changes import new_bid
from evenbarrel.model.datum_path import BidPath, ThingPath, UnitPath
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Quantity

_NAMES = frozenset({LABEL, DESIGNATION})
_HIGHEST_SPEED = DatumKey("barrel", "screw_speed_max")
_RATED_IN = {"rated_shot_mass": "reference_resin", "plasticising_rate": "plasticising_resin"}
"""The resin that a label may name beside these data."""


def extract_table(evaluation: Evaluation, grid: Grid, bid: str | None, source: Source) -> Extract:
    """Return what the tables below each other in a grid hold, as `extract_tables`."""
    return extract_tables(evaluation, tables_in(grid), bid, source)


def extract_tables(
    evaluation: Evaluation,
    grids: Sequence[Grid],
    bid: str | None,
    source: Source,
    beside: Callable[[], Sequence[Grid]] = tuple,
) -> Extract:
    """Return what some tables hold as an extract for the bid of that id, for a new one with "".

    With None it is for the bid of the supplier that they name, if the evaluation has one, else for
    a new one. Columns of several tables that are called the same are one screw. The tables that
    `beside` gives show which mark separates decimals, where they themselves do not.
    """
    grids = [one for grid in grids for one in with_pairs_stacked(_set_together(grid))]
    blocks = [block for grid in grids for block in read_layout(grid)]
    if bid is None:
        bid = _bid_named(evaluation, blocks)
    path = BidPath(bid or new_bid(evaluation).id)
    thousands = _thousands(blocks) or thousands_in(beside())
    lines = _Reader(evaluation, path, source, thousands).lines(blocks)
    lines += _left_over(grids, blocks, lines)
    extracts = with_sentences(evaluation, path, source, thousands, lines)
    return Extract(path, cross_checked(tuple(_once(extracts))), source.document, source.name)


def _set_together(grid: Grid) -> Grid:
    return with_heads_joined(with_systems_joined(parted(with_offer_parted(grid))))


def _once(lines: Iterable[Line]) -> Iterator[Line]:
    """Yield the lines; what is not read and is printed alike at one place is told once.

    So is a foot of every page, and what stands across several columns, as a merged cell does; a
    number of each page is one of its own.
    """
    seen = set()
    for line in lines:
        box = line.place.box
        if line.thing is None:
            page = None if any(map(str.isalpha, line.text)) else line.place.page
            at = line.place if box is None else (page, round(box[0]), round(box[1]))
            printed = (line.text, at)
            if printed in seen:
                continue
            seen.add(printed)
        yield line


def _left_over(
    grids: Sequence[Grid], blocks: Sequence[Block], lines: Sequence[Line]
) -> Iterator[Line]:
    """Yield a line for each cell that is in none yet, and no label and no unit of one."""
    known = [row for block in blocks for row in block]
    places = {line.place for line in lines}
    places |= {cell.place for row in known for cell in (row.label, *row.also)}
    # What is printed across several columns stands in each of them, at one place of the page.
    boxes = {(place.page, place.box) for place in places if place.box is not None}
    units = {unit for row in known if is_money(row.key) for unit in row.units}
    # What was taken for a unit may be a number.
    currencies = {unit for unit in units if unit and not any(map(str.isdigit, unit))}
    for cell in (cell for grid in grids for row in grid for cell in row):
        at = cell.place
        if not cell.text or at in places or (at.page, at.box) in boxes:
            continue
        if not says_unit(cell.text) and unit_in(cell.text) not in currencies:
            yield _unread(cell, "label_unknown")


def thousands_in(grids: Iterable[Grid]) -> str:
    """Return the mark for thousands that the decimal marks of tables leave, "" where none do."""
    return _thousands(block for grid in grids for block in read_layout(grid))


def _thousands(blocks: Iterable[Block]) -> str:
    measured = (row for block in blocks for row in block if row.key and is_measured(row.key))
    return mark_of_thousands(cell.text for row in measured for cell in row.values)


def _bid_named(evaluation: Evaluation, blocks: Sequence[Block]) -> str:
    """Return the id of the one bid whose supplier, and offer number if any, a table names."""
    said = {
        row.key.field: squeezed(next((c.text for c in row.values if c.text), ""))
        for block in blocks
        for row in block
        if row.key is not None and row.key.owner == "bid" and row.reading.exact
    }
    found = [
        bid.id
        for bid in evaluation.bids
        if said.get("supplier") and squeezed(bid.supplier) == said["supplier"]
    ]
    if len(found) > 1:
        found = [
            bid.id
            for bid in evaluation.bids
            if bid.id in found and squeezed(bid.reference) == said.get("reference", "")
        ]
    return found[0] if len(found) == 1 else ""


def _unread(cell: Cell, code: str, label: str = "") -> Line:
    return Line(cell.place, label, cell.text, findings=(Finding(code),))


class _Reader:
    def __init__(
        self, evaluation: Evaluation, bid: BidPath, source: Source, thousands: str
    ) -> None:
        self._evaluation, self._bid, self._source = evaluation, bid, source
        known = next((one for one in evaluation.bids if one.id == bid.bid), None)
        self._context = context_of(evaluation, known)
        self._thousands = thousands

    def lines(self, blocks: Sequence[Block]) -> list[Line]:
        """Return a line for every cell of the blocks that holds anything."""
        every = units_apart(screws_of(blocks, self._length), blocks)
        numbers = joined(every)
        matches = match_screws(self._evaluation, self._bid, columns_of(every, numbers))
        named: list[Line] = []
        lines: list[Line] = []
        for block, screws, own in zip(blocks, every, numbers, strict=True):
            matched = [
                (one, doubted(matches[number]) if one.is_doubtful else matches[number])
                for one, number in zip(screws, own, strict=True)
            ]
            titles = {one.unit_title: match.unit for one, match in matched if one.unit_title}
            named += [self._title(cell, unit) for cell, unit in titles.items()]
            head = head_of(block)
            for row in block:
                lines += self._row(row, matched, head)
            if head is not None and all(row.key != DIAMETER for row in block):
                lines += self._sizes(head, matched)
        places = {line.place for line in named}
        return [*named, *(one for one in lines if one.thing is not None or one.place not in places)]

    def _title(self, cell: Cell, unit: UnitPath) -> Line:
        """Return the line that names a unit as its title does."""
        return self._line(DESIGNATION, cell, "", unit, CellReading(cell.text, (Finding("titled"),)))

    def _length(self, key: DatumKey, row: LabelledRow, index: int) -> Quantity | None:
        reading = self._read(key, row, index)
        return reading.value if isinstance(reading.value, Quantity) else None

    def _read(self, key: DatumKey, row: LabelledRow, index: int) -> CellReading:
        cell = row.values[index]
        reading = read_value(key.shape, cell.text, row.units[index], self._context, self._thousands)
        whole = [code for code in row.label.noticed if code == "cut_off"]
        findings = [Finding(code) for code in dict.fromkeys((*cell.noticed, *whole))]
        if row.reading.likely:
            findings.append(Finding("nearly", row.label.text))
        if row.reading.bare:
            findings.append(Finding("bare_head", row.label.text))
        beside = row.reading.beside
        named = _RATED_IN.get(key.field)
        if beside and named and synonyms().is_resin(beside, self._context.resins):
            findings.append(Finding("resin_in_label", beside))
        elif beside:
            findings.append(Finding("beside", beside))
        if _rests_on_its_label(key, row, cell):
            findings.append(Finding("label_alone"))
        return reading.also(*findings)

    def _row(
        self,
        row: LabelledRow,
        screws: list[tuple[PrintedScrew, ScrewMatch]],
        head: LabelledRow | None,
    ) -> Iterator[Line]:
        if row is head:
            yield from (self._name(screw, match) for screw, match in screws if screw.label)
            unit = unit_named(row.label.text)
            if unit:
                units = dict.fromkeys(match.unit for _, match in screws)
                read = CellReading(unit)
                yield from (self._line(DESIGNATION, row.label, "", one, read) for one in units)
            elif row.key is None and row.label.text:
                yield _unread(row.label, "label_unknown")
        elif row.key is None or (row.key == LABEL and head is not None and head.key == LABEL):
            # Of two rows that may name the screws the first does; `Screw type` says their kind.
            cells = (row.label, *row.values)
            yield from (_unread(cell, "label_unknown") for cell in cells if cell.text)
        elif not any(cell.text for cell in row.values):
            yield _unread(row.label, "no_value")
        else:
            yield from self._known_row(row, screws)
        yield from (_unread(cell, "remark", row.label.text) for cell in row.others)

    def _sizes(
        self, head: LabelledRow, screws: list[tuple[PrintedScrew, ScrewMatch]]
    ) -> Iterator[Line]:
        """Yield the diameters that screws are named by: `Screw | mm | 28 | 32`, `Screw: 45 mm`."""
        for screw, match in screws:
            cell, reading = head.values[screw.index], self._read(DIAMETER, head, screw.index)
            has_unit = not any(one.code == "unit_missing" for one in reading.findings)
            is_size = has_unit or cell.text[:1] in DIAMETER_MARKS.strip()
            if isinstance(reading.value, Quantity) and is_size:
                reading = reading.also(Finding("label_alone"))
                line = self._line(DIAMETER, cell, head.label.text, match.barrel, reading)
                yield replace(line, beside=head.units[screw.index])

    def _name(self, screw: PrintedScrew, match: ScrewMatch) -> Line:
        cell = screw.label
        assert cell is not None
        certain = screw.certain_name or names_a_screw(cell.text) or len(cell.text) == 1
        cut = [Finding(code) for code in cell.noticed if code == "cut_off"]
        findings = (*(() if certain else (Finding("head_alone"),)), *cut)
        return self._line(
            LABEL, cell, "", match.barrel, CellReading(screw.column.label or None, findings)
        )

    def _known_row(
        self, row: LabelledRow, screws: list[tuple[PrintedScrew, ScrewMatch]]
    ) -> Iterator[Line]:
        key, tie = self._chosen(row)
        if is_title(key, row) or _is_list_of_prices(key, row, screws):
            yield from (_unread(cell, "label_unknown") for cell in row.values if cell.text)
            return
        also = (Finding("ambiguous_label"),) if tie else ()
        if key.owner == "bid" or not screws:
            things: list[tuple[int, ThingPath, tuple[Finding, ...]]] = [
                (i, self._bid, ()) for i, cell in enumerate(row.values) if cell.text
            ]
            if key.owner != "bid":
                filled = (cell for cell in row.values if cell.text)
                yield from (_unread(cell, "no_screw", row.label.text) for cell in filled)
                return
        else:
            things = [
                (screw.index, match.unit if key.owner == "unit" else match.barrel, match.findings)
                for screw, match in screws
            ]
        for index, thing, doubts in things:
            cell = row.values[index]
            findings = (*doubts, *also)
            one = (
                None
                if cell.text
                else only_value(row, key, index, [(at, thing) for at, thing, _ in things])
            )
            if one is not None:
                index, cell, findings = one, row.values[one], (*findings, Finding("for_all"))
            if cell.text:
                reading = self._read(key, row, index).also(*findings)
                if row.reading.bare and not speaks_for_itself(key.field, reading):
                    yield _unread(cell, "label_unknown", row.label.text)
                    continue
                if key == DESIGNATION and reading.value is not None:
                    reading = replace(reading, value=_bare_unit(reading.value))
                    # No word beside it says what it names.
                    reading = reading.also(*(() if row.label.text else (Finding("head_alone"),)))
                line = self._line(_highest(key, reading), cell, row.label.text, thing, reading)
                yield replace(line, beside=row.units[index])
                yield from self._resin_line(key, row, thing, doubts)

    def _chosen(self, row: LabelledRow) -> tuple[DatumKey, bool]:
        """Return the datum whose units and usual range a row fits best, and whether two do."""
        if len(row.reading.keys) == 1:
            return row.reading.keys[0], False
        filled = [i for i, cell in enumerate(row.values) if cell.text]
        doubts = {key: sum(self._doubts(key, row, i) for i in filled) for key in row.reading.keys}
        best = min(doubts.values())
        fitting = [key for key in row.reading.keys if doubts[key] == best]
        return fitting[0], len(fitting) > 1

    def _doubts(self, key: DatumKey, row: LabelledRow, index: int) -> int:
        reading = self._read(key, row, index)
        unit = row.units[index]
        is_other = (
            bool(unit) and key.shape.kind == "quantity" and not is_of_datum(key.shape.datum, unit)
        )
        return len(reading.findings) + 10 * (reading.value is None) + 10 * is_other

    def _resin_line(
        self, key: DatumKey, row: LabelledRow, thing: ThingPath, doubts: tuple[Finding, ...]
    ) -> Iterator[Line]:
        """Yield the resin that a label names in passing, as `Shot weight (PS)` does."""
        field, beside = _RATED_IN.get(key.field), row.reading.beside
        if field is None or not synonyms().is_resin(beside, self._context.resins):
            return
        named = DatumKey("barrel", field)
        bare = (Finding("bare_head", row.label.text),) if row.reading.bare else ()
        reading = read_value(named.shape, beside, "", self._context).also(*doubts, *bare)
        yield replace(self._line(named, row.label, row.label.text, thing, reading), text=beside)

    def _line(
        self, key: DatumKey, cell: Cell, label: str, thing: ThingPath, reading: CellReading
    ) -> Line:
        return Line(
            cell.place,
            label,
            cell.text,
            thing,
            key.field,
            value=self._source.sourced(reading.value, cell.place),
            findings=reading.findings,
            now=value_at(self._evaluation, thing, key.field),
        )


def _highest(key: DatumKey, reading: CellReading) -> DatumKey:
    """Return the datum that a range from nothing is the highest of: `0-320` of a screw's speed."""
    is_range = any(one.code == "from_zero" for one in reading.findings)
    return _HIGHEST_SPEED if is_range and key.field == "screw_speed" else key


def _is_list_of_prices(
    key: DatumKey, row: LabelledRow, screws: Sequence[tuple[PrintedScrew, ScrewMatch]]
) -> bool:
    """Say whether prices are those of options one below the other, and of no one machine."""
    filled = [cell for cell in row.values if cell.text]
    units = {match.unit for _, match in screws}
    is_down = len({cell.place.row for cell in filled}) == len(filled) > 1
    return is_money(key) and key.owner == "unit" and len(units) == 1 and is_down


def _rests_on_its_label(key: DatumKey, row: LabelledRow, cell: Cell) -> bool:
    """Say whether nothing but its label shows what a text is.

    Of the head of an offer and its terms an explicit label beside it is enough, as `Offer no.`, and
    `Date` or `Offer` is not; the text must look like it, too. The head of a column is not: what it
    is of stands in the column of names, as with the delivery of an option.
    """
    if key in _NAMES:
        return False
    if key.owner == "bid" and is_of_an_offer(key.field):
        is_vague = squeezed(row.label.text) in synonyms().vague
        is_beside = cell.place.row == row.label.place.row
        alone = sum(bool(one.text) for one in row.values) == 1
        looks_so = row.reading.exact and has_usual_form(key.field, cell.text)
        return is_vague or not (is_beside and alone and looks_so)
    return key.shape.kind in ("text", "integer", "share", "marks", "nested")


def _bare_unit(text: str) -> str:
    return " ".join(text.split())
