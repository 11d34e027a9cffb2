"""A data sheet that came back, made into an extract: its hidden keys find rows that moved."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from evenbarrel.entry.shapes import read
from evenbarrel.intake.accepting.taking import value_at
from evenbarrel.intake.cross_checks import cross_checked
from evenbarrel.intake.data_sheet.layout import (
    SCOPE_STATES,
    VERSION,
    WORDS_ALONE,
    label_of,
    read_marker,
)
from evenbarrel.intake.extract import Extract, Finding, Line
from evenbarrel.intake.keys import (
    DESIGNATION,
    DIAMETER,
    LABEL,
    REFERENCE,
    SUPPLIER,
    ZONES,
    DatumKey,
    read_key,
)
from evenbarrel.intake.screws import Column, ScrewMatch, match_screws
from evenbarrel.intake.sources import Source, context_of
from evenbarrel.intake.tables.cells import Cell, Grid, Row, TableRefused
from evenbarrel.intake.tables.labels import read_label
from evenbarrel.intake.tables.synonyms import squeezed
from evenbarrel.intake.tables.values import CellReading, read_value
from evenbarrel.model.changes import new_bid
from evenbarrel.model.datum_path import BidPath, ThingPath
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Bid
from evenbarrel.model.offers.terms import OWN_AMOUNT, ScopeLine
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.wording.sentences.asking.data_sheet import SHEET_WORDS

_LONGEST_NOTE = 2000
"""Characters of a remark or of a source that are kept."""


@dataclass(frozen=True, slots=True)
class DataSheet:
    """A grid with the row and the column that its marker stands in, and the bid it was sent for."""

    grid: Grid
    names: int
    keys: int
    bid: str

    @property
    def title(self) -> str:
        """The title of its worksheet."""
        return self.grid[self.names][self.keys].place.sheet


def find_sheet(sheets: Mapping[str, Grid]) -> DataSheet | None:
    """Return the data sheet among worksheets, None where there is none.

    Raises `TableRefused` for one of another version.
    """
    for grid in sheets.values():
        for row_number, row in enumerate(grid):
            for column, cell in enumerate(row):
                mark = read_marker(cell.text)
                if mark is None:
                    continue
                if mark[0] != VERSION:
                    raise TableRefused(SHEET_WORDS["version"].format(detail=mark[0][:20]))
                return DataSheet(grid, row_number, column, mark[1])
    return None


def extract_sheet(
    evaluation: Evaluation, sheet: DataSheet, source: Source, bid: str | None = None
) -> Extract:
    """Return what a data sheet holds as an extract for the bid of that id, for a new one with "".

    With None a sheet for a bid is for that one if it names its supplier and its offer number, a
    blank one for a new bid; so is one for a bid that the evaluation does not have, or has with
    other names, which a line tells. Raises `TableRefused`.
    """
    known = {one.id: one for one in evaluation.bids}
    chosen = sheet.bid if bid is None else bid
    doubt = None
    if bid is None and chosen:
        doubt = _doubt_of(sheet, known[chosen]) if chosen in known else Finding("sent_elsewhere")
    elif chosen and chosen not in known:
        raise TableRefused(SHEET_WORDS["unknown_bid"].format(detail=chosen[:64]))
    stays = chosen in known and (doubt is None or doubt.code == "id_alone")
    path = BidPath(chosen if stays else new_bid(evaluation).id)
    lines = list(_Reader(evaluation, path, sheet, source).lines())
    if doubt is not None and stays:
        lines = [replace(line, findings=(*line.findings, doubt)) for line in lines]
    elif doubt is not None:
        mark = sheet.grid[sheet.names][sheet.keys]
        lines.insert(0, Line(mark.place, "", chosen[:64], findings=(doubt,)))
    returned = bool(sheet.bid) and stays
    return Extract(path, cross_checked(lines), source.document, source.name, returned)


def _doubt_of(sheet: DataSheet, bid: Bid) -> Finding | None:
    """Return why a sheet may be of another offer than the one its hidden id names, or None.

    Every evaluation numbers its offers anew, so an id alone says little.
    """
    compared = 0
    for key in (SUPPLIER, REFERENCE):
        stands, said = getattr(bid, key.field), _said(sheet, key)
        if stands and said:
            compared += 1
            if squeezed(stands) != squeezed(said):
                return Finding("sent_for_another", f"{key.shape.datum.label}: {stands}"[:120])
    return None if compared else Finding("id_alone")


def _said(sheet: DataSheet, key: DatumKey) -> str:
    """Return what a sheet says for the whole offer, "" where it says nothing."""
    names = [cell.text for cell in sheet.grid[sheet.names]]
    for row in sheet.grid:
        if read_key(row[sheet.keys].text) == key:
            texts = (row[column].text for column, name in enumerate(names) if name == "screw")
            return next(filter(None, texts), "")
    return ""


@dataclass(frozen=True, slots=True)
class _KeyedRow:
    key: DatumKey
    row: Row
    findings: tuple[Finding, ...] = ()


class _Reader:
    def __init__(
        self, evaluation: Evaluation, bid: BidPath, sheet: DataSheet, source: Source
    ) -> None:
        self._evaluation, self._bid, self._sheet, self._source = evaluation, bid, sheet, source
        known = next((one for one in evaluation.bids if one.id == bid.bid), None)
        self._context = context_of(evaluation, known)
        names = [cell.text for cell in sheet.grid[sheet.names]]
        self._screws = [c for c, name in enumerate(names) if name == "screw"]
        if not self._screws:
            raise TableRefused(SHEET_WORDS["columns"])
        self._at = {name: names.index(name) for name in names if name and name != "screw"}
        known_columns = {*self._screws, *self._at.values(), sheet.keys}
        self._added = [c for c in range(len(names)) if c not in known_columns]
        keys = (read_key(row[sheet.keys].text) for row in sheet.grid)
        self._labels = {squeezed(label_of(key)) for key in keys if key is not None}

    def lines(self) -> Iterator[Line]:
        """Yield a line for every cell that holds something a person wrote."""
        rows: list[_KeyedRow] = []
        for number, row in enumerate(self._sheet.grid):
            if number == self._sheet.names:
                continue
            keyed = self._keyed(row)
            if isinstance(keyed, _KeyedRow):
                rows.append(keyed)
            else:
                yield from keyed
        columns = self._columns(rows)
        matches = match_screws(self._evaluation, self._bid, list(columns.values()))
        screws = dict(zip(columns, matches, strict=True))
        yield from self._joined(rows, screws)
        for keyed in rows:
            joined = keyed.key.field in ("zones", "scope")
            read = () if joined else tuple(self._row(keyed, screws))
            yield from read
            yield from self._others(keyed, read)

    def _keyed(self, row: Row) -> _KeyedRow | list[Line]:
        """Return a row with its key, told by its label where it lost it; else lines not read."""
        text = row[self._sheet.keys].text
        if text == WORDS_ALONE:
            return self._unread(row, "label_unknown", self._added)
        key = read_key(text)
        if key is not None:
            moved = self._is_of_another(key, self._text(row, "label"))
            return _KeyedRow(key, row, (Finding("label_of_another"),) if moved else ())
        label = self._text(row, "label")
        reading = read_label(label)
        if reading.exact:
            return _KeyedRow(reading.keys[0], row, (Finding("no_key"),))
        code = "key_unknown" if text else "label_unknown"
        at = [self._at["label"]] if "label" in self._at else []
        return self._unread(row, code, [*at, *self._screws, *self._added])

    def _is_of_another(self, key: DatumKey, label: str) -> bool:
        """Say whether a label is another row's: what is seen was moved without its key."""
        said = squeezed(label)
        if said == squeezed(label_of(key)):
            return False
        reading = read_label(label)
        return said in self._labels or (reading.exact and key not in reading.keys)

    def _unread(self, row: Row, code: str, columns: Sequence[int]) -> list[Line]:
        label = self._text(row, "label")
        cells = [row[column] for column in columns if row[column].text]
        return [Line(c.place, label, c.text, findings=(Finding(code),)) for c in cells]

    def _text(self, row: Row, name: str) -> str:
        return row[self._at[name]].text if name in self._at else ""

    def _columns(self, rows: Sequence[_KeyedRow]) -> dict[int, Column]:
        """Return the screws by their columns: each that holds anything of a barrel or a unit."""
        used = [
            column
            for column in self._screws
            if any(one.row[column].text for one in rows if one.key.owner != "bid")
        ]

        def of(key: DatumKey, column: int) -> _KeyedRow | None:
            return next((one for one in rows if one.key == key and one.row[column].text), None)

        made = {}
        for column in used:
            named, unit, size = (of(key, column) for key in (LABEL, DESIGNATION, DIAMETER))
            diameter = None if size is None else self._read(size, column).value
            made[column] = Column(
                "" if unit is None else unit.row[column].text,
                "" if named is None else named.row[column].text,
                diameter if isinstance(diameter, Quantity) else None,
            )
        return made

    def _read(self, one: _KeyedRow, column: int) -> CellReading:
        cell, unit = one.row[column], self._text(one.row, "unit")
        reading = read_value(one.key.shape, cell.text, unit, self._context)
        return reading.also(*one.findings, *(Finding(code) for code in cell.noticed))

    def _row(self, one: _KeyedRow, screws: Mapping[int, ScrewMatch]) -> Iterator[Line]:
        for column in self._screws:
            cell = one.row[column]
            if not cell.text and not cell.noticed:
                continue
            thing, doubts = self._thing(one.key, column, screws)
            reading = self._read(one, column).also(*doubts)
            yield _with_its_note(self._line(one, one.key.field, cell, thing, reading))

    def _thing(
        self, key: DatumKey, column: int, screws: Mapping[int, ScrewMatch]
    ) -> tuple[ThingPath, tuple[Finding, ...]]:
        if key.owner == "bid" or column not in screws:
            return self._bid, ()
        match = screws[column]
        return (match.unit if key.owner == "unit" else match.barrel), match.findings

    def _line(
        self,
        one: _KeyedRow,
        field: str,
        cell: Cell,
        thing: ThingPath,
        reading: CellReading,
        part: str = "",
    ) -> Line:
        printed_in, note = self._text(one.row, "place"), self._text(one.row, "remark")
        value = self._source.sourced(
            reading.value, cell.place, printed_in[:_LONGEST_NOTE], note[:_LONGEST_NOTE]
        )
        now = value_at(self._evaluation, thing, field, part)
        label, unit = self._text(one.row, "label"), self._text(one.row, "unit")
        return Line(
            cell.place, label, cell.text, thing, field, part, value, reading.findings, now, unit
        )

    def _others(self, one: _KeyedRow, read: Sequence[Line]) -> Iterator[Line]:
        """Yield what stands in columns that were added, and a remark that no number carries.

        A number that stands already is not taken again: what is remarked of it may be the answer.
        """
        yield from self._unread(one.row, "remark", self._added)
        note = self._text(one.row, "remark")[:_LONGEST_NOTE]
        if note and not any(_kept_note(line) == note for line in read):
            yield from self._unread(one.row, "remark", [self._at["remark"]])

    def _joined(
        self, rows: Sequence[_KeyedRow], screws: Mapping[int, ScrewMatch]
    ) -> Iterator[Line]:
        """Yield the data that stand in several rows: the zones of a screw, an item of the scope."""
        zones = {one.key.part: one for one in rows if one.key.field == "zones"}
        for column in self._screws:
            given = [zones[zone].row[column] for zone in ZONES if zone in zones]
            if any(cell.text for cell in given) and column in screws:
                yield self._zones(zones, column, screws[column])
        items: dict[str, dict[str, _KeyedRow]] = {}
        for one in rows:
            if one.key.field == "scope":
                item, _, what = one.key.part.rpartition(".")
                items.setdefault(item, {})[what] = one
        for item, of_item in items.items():
            yield from self._scope(item, of_item)

    def _zones(self, zones: Mapping[str, _KeyedRow], column: int, match: ScrewMatch) -> Line:
        first = next(iter(zones.values()))
        cells = {zone: one.row[column] for zone, one in zones.items()}
        texts = [
            cells[zone].text.removesuffix("%").strip() if zone in cells else "" for zone in ZONES
        ]
        percent = "%" in self._text(first.row, "unit") or any("%" in c.text for c in cells.values())
        shape = first.key.shape
        parsed = read(shape, " / ".join(texts) + (" %" if percent else ""), self._context)
        doubts = () if not parsed.problem else (Finding("not_read", parsed.problem),)
        also = (*match.findings, *(f for one in zones.values() for f in one.findings))
        noticed = {Finding(code) for cell in cells.values() for code in cell.noticed}
        reading = CellReading(parsed.value, (*doubts, *also, *noticed))
        line = self._line(first, "zones", cells[first.key.part], match.barrel, reading)
        return replace(line, text=" / ".join(texts))

    def _scope(self, item: str, rows: Mapping[str, _KeyedRow]) -> Iterator[Line]:
        state_cell, amount_cell = (self._filled(rows.get(what)) for what in ("state", "amount"))
        if state_cell is None and amount_cell is None:
            return
        findings: list[Finding] = []
        state = self._state(state_cell, findings)
        amount = self._amount(rows["amount"], amount_cell, findings) if amount_cell else None
        if state is None and amount is not None:
            state = "extra"
        value = None
        if state is not None and not any(one.code == "not_read" for one in findings):
            kept = None if item in OWN_AMOUNT or state != "extra" else amount
            stands = value_at(self._evaluation, self._bid, "scope", item)
            if state == "missing" and stands is not None and stands.state == state:
                # What a missing part costs us was never the supplier's to say.
                kept = stands.amount
            value = ScopeLine.model_validate({"item": item, "state": state, "amount": kept})
        one = rows["state"] if state_cell else rows["amount"]
        cell = state_cell or amount_cell
        assert cell is not None
        reading = CellReading(value, tuple(findings)).also(*one.findings)
        yield self._line(one, "scope", cell, self._bid, reading, item)

    def _filled(self, one: _KeyedRow | None) -> Cell | None:
        if one is None:
            return None
        return next((one.row[c] for c in self._screws if one.row[c].text), None)

    def _state(self, cell: Cell | None, findings: list[Finding]) -> str | None:
        if cell is None:
            return None
        wanted = squeezed(cell.text)
        for code, word in SCOPE_STATES.items():
            if wanted in (squeezed(code), squeezed(word)):
                return code
        findings.append(Finding("not_read", cell.text))
        return None

    def _amount(self, one: _KeyedRow, cell: Cell, findings: list[Finding]) -> Money | None:
        price = DatumKey("bid", "price").shape
        reading = read_value(price, cell.text, self._text(one.row, "unit"), self._context)
        findings += reading.findings
        if reading.value is None:
            findings.append(Finding("not_read", cell.text))
        value = self._source.sourced(reading.value, cell.place, self._text(one.row, "place"))
        return value if isinstance(value, Money) else None


def _kept_note(line: Line) -> str:
    """Return the note that stands with a number once its line is taken, where that changes it."""
    held = line.now if line.outcome == "same" else line.value
    return held.note if isinstance(held, Quantity) else ""


def _with_its_note(line: Line) -> Line:
    """Return a line that tells the remark which its number brings along."""
    note = "" if line.outcome == "same" else _kept_note(line)
    return replace(line, findings=(*line.findings, Finding("noted", note))) if note else line
