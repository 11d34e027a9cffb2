"""A data sheet sent, filled by another program in every way people fill sheets, and taken back."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from functools import cache, partial
from io import BytesIO
from itertools import pairwise
from typing import Any
from zipfile import ZipFile

import pytest
from openpyxl import Workbook

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.entry.answers import with_states
from evenbarrel.intake.accepting.taking import take
from evenbarrel.intake.data_sheet.answering import with_questions_answered
from evenbarrel.intake.data_sheet.layout import DATA, TERMS, sheet_rows
from evenbarrel.intake.data_sheet.writer import render_sheet
from evenbarrel.intake.extract import Extract
from evenbarrel.intake.files import extract_file
from evenbarrel.model import datum_path as edits
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.terms import ScopeLine
from evenbarrel.model.record.decision import QuestionState
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.workbooks import LINE_HEIGHT

from .conftest import codes, extract_of, lines_of, opened, saved

OPEN = ("open", "asked")

FILLED: Mapping[str, list[Any]] = {
    "bid.supplier": ["Nordhalm"],
    "bid.date": [date(2026, 9, 14)],
    "bid.freight": [4200],
    "unit.designation": ["Unit 610", "Unit 610"],
    "unit.drive_kind": ["electric", "electric"],
    "unit.price": ["148500", "148500"],
    "barrel.label": ["A", "B"],
    "barrel.screw_diameter": [40, 45],
    "barrel.stroke": ["172,5", "172,5"],
    "barrel.zones.feed": [50, 55],
    "barrel.zones.compression": [25, 25],
    "barrel.zones.metering": [25, 20],
    "barrel.swept_volume": [217, 274.5],
    "barrel.reference_resin": ["PS", "Polystyrene, general purpose"],
    "barrel.screw_package": ["nitrided", "bimetallic, iron-based"],
    "barrel.injection_pressure": ["34810 psi", 1896],
}


class Sheet:
    """The worksheet of data with its rows by key and its columns by name."""

    def __init__(self, book: Workbook) -> None:
        self.book = book
        self.page: Any = book[DATA]

    def row(self, key: str) -> int:
        return next(c.row for c in self.page["A"] if c.value == key)

    def columns(self, name: str) -> list[int]:
        return [c.column for c in self.page[1] if c.value == name]

    def put(self, key: str, name: str, value: Any, number: int = 0) -> None:
        self.page.cell(self.row(key), self.columns(name)[number]).value = value

    def fill(self, values: Mapping[str, list[Any]]) -> Sheet:
        for key, of_screws in values.items():
            for number, value in enumerate(of_screws):
                self.put(key, "screw", value, number)
        return self

    def texts(self) -> Iterator[str]:
        for page in self.book.worksheets:
            for row in page.iter_rows(values_only=True):
                yield from (str(value) for value in row if value is not None)


Sent = Callable[[str | None], Sheet]


@pytest.fixture(scope="module")
def sent(sample_appraisal: Appraisal) -> Sent:
    """Open the sheet for a bid of the sample, or a blank one: each is written once."""
    written = cache(partial(render_sheet, sample_appraisal))
    return lambda bid: Sheet(opened(written(bid)))


@pytest.fixture
def blank(sent: Sent) -> Sheet:
    return sent(None)


@pytest.fixture
def filled(blank: Sheet) -> Sheet:
    return blank.fill(FILLED)


def read(evaluation: Evaluation, sheet: Sheet) -> Extract:
    return extract_of(evaluation, sheet.book)


def extract_for(evaluation: Evaluation, sheet: Sheet, bid: str) -> Extract:
    return extract_file(evaluation, "offer.xlsx", saved(sheet.book), bid)


def seen(evaluation: Evaluation, sheet: Sheet) -> list[tuple[str, str]]:
    """Return what was read, without where it stood."""
    lines = read(evaluation, sheet).lines
    plain = []
    for line in lines:
        value = line.value
        if hasattr(value, "source"):
            value = value.replace(source="", place=None)
        plain.append((f"{line.thing}.{line.field}", str(value)))
    return sorted(plain)


def test_what_was_sent_comes_back_as_it_stands(sample_evaluation: Evaluation, sent: Sent) -> None:
    for bid in sample_evaluation.bids:
        extract = read(sample_evaluation, sent(bid.id))
        assert extract.bid.bid == bid.id
        assert {line.outcome for line in extract.lines} == {"same"}
        assert len(extract.lines) >= 2 + 5 * sum(len(unit.barrels) for unit in bid.units)


def test_a_blank_one_filled_becomes_a_bid(sample_evaluation: Evaluation, filled: Sheet) -> None:
    extract = read(sample_evaluation, filled)
    assert [codes(line) for line in extract.lines if not line.sure] == []
    taken = take(sample_evaluation, extract, extract.sure_lines())
    bid = taken.bids[-1]
    assert (bid.supplier, bid.date) == ("Nordhalm", date(2026, 9, 14))
    assert bid.freight is not None
    assert (bid.freight.amount, bid.freight.currency) == ("4200", "EUR")
    (unit,) = bid.units
    assert (unit.designation, unit.drive_kind) == ("Unit 610", "electric")
    first, second = unit.barrels
    assert first.stroke is not None
    assert (first.stroke.magnitude, first.stroke.unit) == ("172.5", "mm")
    assert first.injection_pressure is not None
    assert (first.injection_pressure.magnitude, first.injection_pressure.unit) == ("34810", "psi")
    assert (first.reference_resin, second.reference_resin) == ("ps", "ps")
    assert second.screw_package == "bimetallic_iron"
    assert second.zones is not None
    assert (second.zones.feed, second.zones.metering) == (0.55, 0.2)
    assert taken.replace(bids=sample_evaluation.bids) == sample_evaluation


def test_each_number_keeps_its_cell_and_document(
    sample_evaluation: Evaluation, filled: Sheet
) -> None:
    filled.put("barrel.swept_volume", "place", "offer p. 3")
    filled.put("barrel.swept_volume", "remark", "at 230 °C")
    extract = read(sample_evaluation, filled)
    taken = take(sample_evaluation, extract, extract.sure_lines())
    bid = taken.bids[-1]
    volume, pressure = (
        bid.units[0].barrels[1].swept_volume,
        bid.units[0].barrels[1].injection_pressure,
    )
    assert volume is not None
    assert (volume.source, volume.note) == ("offer p. 3", "at 230 °C")
    assert volume.place is not None
    assert volume.place.cell == f"Data!E{filled.row('barrel.swept_volume')}"
    assert [one.id for one in bid.documents] == [volume.place.document]
    assert pressure is not None
    assert pressure.source.startswith("offer.xlsx, Data!E")


def test_a_remark_is_told_with_the_number_that_brings_it(
    sample_evaluation: Evaluation, filled: Sheet
) -> None:
    filled.put("barrel.swept_volume", "remark", "at 230 °C")
    lines = lines_of(read(sample_evaluation, filled), "swept_volume")
    assert [line.sure for line in lines] == [True, True]
    told = [(one.code, one.detail) for line in lines for one in line.findings]
    assert told.count(("noted", "at 230 °C")) == 2


def test_a_remark_that_confirms_a_number_as_it_stands_is_a_line_of_its_own(
    sample_evaluation: Evaluation, sent: Sent
) -> None:
    """Nothing is taken of a number that stands: what is remarked of it would be lost with it."""
    bid = sample_evaluation.bids[0].id
    sheet = sent(bid)
    sheet.put("barrel.swept_volume", "remark", "Confirmed, an accumulator serves the stroke")
    extract = extract_for(sample_evaluation, sheet, bid)
    assert {line.outcome for line in lines_of(extract, "swept_volume")} == {"same"}
    (remark,) = (line for line in extract.lines if codes(line) == ["remark"])
    assert remark.text == "Confirmed, an accumulator serves the stroke"
    at = extract.lines.index(remark)
    assert remark.text in take(sample_evaluation, extract, (), [at]).bids[0].notes


def test_a_remark_that_is_noted_already_is_not_told_again(
    sample_evaluation: Evaluation, filled: Sheet
) -> None:
    filled.put("barrel.swept_volume", "remark", "at 230 °C")
    extract = read(sample_evaluation, filled)
    taken = take(sample_evaluation, extract, extract.sure_lines())
    again = extract_for(taken, filled, taken.bids[-1].id)
    assert {line.outcome for line in lines_of(again, "swept_volume")} == {"same"}
    assert not {"remark", "noted"} & {code for line in again.lines for code in codes(line)}


def test_rows_may_be_sorted_and_columns_moved_and_added(
    sample_evaluation: Evaluation, filled: Sheet
) -> None:
    before = seen(sample_evaluation, filled)
    page = filled.page
    rows = [[cell.value for cell in row] for row in page.iter_rows()]
    head, body = rows[0], sorted(rows[1:], key=lambda row: str(row[1]))
    # Remarks first, then the rest; a column of the supplier's own in between.
    order = [len(head) - 1, 0, *range(1, len(head) - 1)]
    book = Workbook()
    moved: Any = book.active
    moved.title = DATA
    for number, row in enumerate([head, *body]):
        texts = [row[column] for column in order]
        moved.append([*texts[:3], "our item" if number == 0 else None, *texts[3:]])
    moved["D1"] = None
    assert seen(sample_evaluation, Sheet(book)) == before


def test_labels_may_be_renamed_as_long_as_the_keys_stand(
    sample_evaluation: Evaluation, filled: Sheet
) -> None:
    before = seen(sample_evaluation, filled)
    for row in range(2, filled.page.max_row + 1):
        filled.page.cell(row, 2).value = f"Zeile {row}"
    assert seen(sample_evaluation, filled) == before


def test_a_row_without_its_key_is_told_by_its_label_and_unsure(
    sample_evaluation: Evaluation, filled: Sheet
) -> None:
    filled.page.cell(filled.row("barrel.stroke"), 1).value = None
    lines = lines_of(read(sample_evaluation, filled), "stroke")
    assert [line.value.magnitude for line in lines] == ["172.5", "172.5"]
    assert all("no_key" in codes(line) and not line.sure for line in lines)


def test_cells_moved_without_their_hidden_key_are_not_sure(
    sample_evaluation: Evaluation, filled: Sheet
) -> None:
    """As where what is seen is sorted: each value would go where another belongs."""
    page = filled.page
    moved = ("barrel.stroke", "barrel.screw_diameter", "bid.installation", "bid.training")
    rows = [filled.row(key) for key in moved]
    for one, other in (rows[:2], rows[2:]):
        for column in range(2, page.max_column + 1):
            cells = page.cell(one, column), page.cell(other, column)
            cells[0].value, cells[1].value = cells[1].value, cells[0].value
    extract = read(sample_evaluation, filled)
    lines = [line for key in moved for line in lines_of(extract, key.split(".")[1])]
    assert lines
    assert all("label_of_another" in codes(line) and not line.sure for line in lines)
    assert all("label_of_another" not in codes(one) for one in extract.lines if one not in lines)


def test_added_columns_and_rows_are_listed(sample_evaluation: Evaluation, filled: Sheet) -> None:
    page = filled.page
    page.cell(filled.row("barrel.stroke"), page.max_column + 1).value = "see drawing 7"
    page.cell(page.max_row + 1, 2).value = "Colour of the machine"
    page.cell(page.max_row, 4).value = "grey"
    texts = {line.text: codes(line) for line in read(sample_evaluation, filled).lines}
    assert texts["see drawing 7"] == ["remark"]
    assert texts["grey"] == ["label_unknown"]


@pytest.mark.parametrize(
    ("result", "value", "code"), [("217.5", "217.5", "formula"), ("", None, "formula_unknown")]
)
def test_a_formula_gives_its_last_result_and_says_so(
    sample_evaluation: Evaluation, filled: Sheet, result: str, value: str | None, code: str
) -> None:
    filled.put("barrel.swept_volume", "screw", "=200+17.5")
    out = BytesIO()
    # The writer of these files computes nothing; what a spreadsheet computed is put in here.
    with ZipFile(BytesIO(saved(filled.book))) as old, ZipFile(out, "w") as new:
        for name in old.namelist():
            part = old.read(name)
            done = f"</f><v>{result}</v>".encode() if result else b"</f>"
            new.writestr(name, re.sub(rb"</f><v ?/>|</f><v></v>", done, part))
    extract = extract_file(sample_evaluation, "offer.xlsx", out.getvalue())
    line = lines_of(extract, "swept_volume")[0]
    assert (line.value and line.value.magnitude, line.sure) == (value, value is not None)
    assert code in codes(line)


def test_a_merged_cell_counts_for_the_screws_it_covers(
    sample_evaluation: Evaluation, filled: Sheet
) -> None:
    row, (first, second, _) = filled.row("barrel.stroke"), filled.columns("screw")
    filled.page.cell(row, second).value = None
    filled.page.merge_cells(start_row=row, end_row=row, start_column=first, end_column=second)
    lines = lines_of(read(sample_evaluation, filled), "stroke")
    assert [line.value.magnitude for line in lines] == ["172.5", "172.5"]
    assert all(line.sure for line in lines)


def test_numbers_kept_as_texts_are_numbers(sample_evaluation: Evaluation, filled: Sheet) -> None:
    filled.put("barrel.swept_volume", "screw", "217.0")
    line = lines_of(read(sample_evaluation, filled), "swept_volume")[0]
    assert (line.value.magnitude, line.sure, codes(line)) == ("217.0", True, ["text_number"])


def test_a_format_shows_digits_and_units(sample_evaluation: Evaluation, filled: Sheet) -> None:
    row, column = filled.row("barrel.stroke"), filled.columns("screw")[0]
    filled.page.cell(row, column).value = 6.5
    filled.page.cell(row, column).number_format = '0.00" in"'
    line = lines_of(read(sample_evaluation, filled), "stroke")[0]
    assert (line.value.magnitude, line.value.unit) == ("6.50", "in")


def test_unlike_values_within_one_unit_are_a_conflict(
    sample_evaluation: Evaluation, filled: Sheet
) -> None:
    filled.put("unit.price", "screw", 151000, 1)
    lines = lines_of(read(sample_evaluation, filled), "price")
    assert [codes(line)[-1] for line in lines] == ["conflict", "conflict"]


def test_two_screws_with_one_name_are_not_taken(
    sample_evaluation: Evaluation, filled: Sheet
) -> None:
    filled.put("barrel.label", "screw", "A", 1)
    extract = read(sample_evaluation, filled)
    barrels = [extract.lines[index] for index in extract.sure_lines()]
    assert not [line for line in barrels if line.field in ("label", "stroke", "swept_volume")]


def test_confirmed_numbers_and_other_ones_are_left(
    sample_evaluation: Evaluation, sent: Sent
) -> None:
    barrel = sample_evaluation.bids[1].units[0].barrels[0]
    sheet = sent("b2")
    assert barrel.stroke is not None
    sheet.put("barrel.stroke", "screw", 205)
    sheet.put("barrel.melt_inventory", "screw", 310)
    extract = read(sample_evaluation, sheet)
    (stroke, _), (inventory,) = (lines_of(extract, n) for n in ("stroke", "melt_inventory"))
    assert (stroke.sure, stroke.outcome) == (True, "differs")
    assert [extract.lines[index] for index in extract.sure_lines()] == [inventory]
    path = (*stroke.thing.path, "stroke")  # type: ignore[union-attr]
    confirmed = edits.put(sample_evaluation, path, barrel.stroke.replace(standing="confirmed"))
    assert lines_of(read(confirmed, sheet), "stroke")[0].outcome == "differs_from_confirmed"


def test_items_of_the_scope_are_asked_and_taken(sample_evaluation: Evaluation) -> None:
    evaluation = sample_evaluation.replace(scope_items=("freight", "mould cooling"))
    sheet = Sheet(opened(render_sheet(appraise(evaluation), None)))
    sheet.fill({"bid.supplier": ["Nordhalm"]})
    sheet.put("bid.scope.mould cooling.state", "screw", "extra")
    sheet.put("bid.scope.mould cooling.amount", "screw", 1800)
    sheet.put("bid.scope.freight.state", "screw", "included")
    extract = read(evaluation, sheet)
    bid = take(evaluation, extract, extract.sure_lines()).bids[-1]
    states = {line.item: (line.state, line.amount and line.amount.amount) for line in bid.scope}
    assert states == {"mould cooling": ("extra", "1800"), "freight": ("included", None)}
    assert all(isinstance(line, ScopeLine) for line in bid.scope)


def test_only_open_questions_are_on_the_short_one(sample_appraisal: Appraisal, sent: Sent) -> None:
    whole = sent("b4")
    short = Sheet(opened(render_sheet(sample_appraisal, "b4", only_open=True)))
    asked = {q.datum for q in sample_appraisal.questions if q.bid == "b4" and q.state in OPEN}
    keys = [str(c.value).split(".") for c in short.page["A"] if "." in str(c.value)]
    named = {key[2] if key[1] == "scope" else key[1] for key in keys}
    assert named == asked | {"label", "designation", "supplier", "reference"}
    assert "spare parts" in asked
    assert short.page.max_row < whole.page.max_row
    question = short.columns("question")[0]
    assert all(
        short.page.cell(c.row, question).value
        for c in short.page["A"]
        if "." in str(c.value) and str(c.value).split(".")[1] in asked
    )


def test_nothing_of_others_and_nothing_of_ours_is_in_it(sample_evaluation: Evaluation) -> None:
    private = sample_evaluation.bids[1]
    barrel = (
        private.units[0]
        .barrels[0]
        .replace(
            melt_inventory=private.units[0]
            .barrels[0]
            .swept_volume.replace(  # type: ignore[union-attr]
                magnitude="777", standing="assumed"
            )
        )
    )
    unit = private.units[0].replace(barrels=(barrel, *private.units[0].barrels[1:]))
    bid = private.replace(units=(unit,), notes="we think they are desperate")
    bids = tuple(bid if one.id == bid.id else one for one in sample_evaluation.bids)
    evaluation = sample_evaluation.replace(bids=bids)
    appraisal = appraise(evaluation)
    for own in evaluation.bids:
        for only_open in (False, True):
            text = "\n".join(Sheet(opened(render_sheet(appraisal, own.id, only_open))).texts())
            others = [one for one in evaluation.bids if one.id != own.id]
            assert not [one.supplier for one in others if one.supplier in text]
            assert not [job.name for job in evaluation.jobs if job.name and job.name in text]
            assert "desperate" not in text
            assert "777" not in text.split()


def test_it_says_what_is_wanted_and_explains_its_terms(
    sample_evaluation: Evaluation, blank: Sheet
) -> None:
    text = " ".join(t for t in blank.texts() if t != "text")
    assert "Planned shots: 58.3 to 228 cm³" in text
    assert "PA66 + 30 % glass fibre (engineering)" in text
    assert TERMS in blank.book.sheetnames
    assert blank.page.row_dimensions[1].hidden
    assert blank.page.column_dimensions["A"].hidden
    assert blank.page.protection.sheet
    for name, locked in (("label", True), ("screw", False), ("question", True), ("remark", False)):
        cell = blank.page.cell(blank.row("barrel.stroke"), blank.columns(name)[0])
        assert cell.protection.locked == locked
    price = blank.row("bid.freight")
    of_bid = [blank.page.cell(price, column) for column in blank.columns("screw")]
    assert [cell.protection.locked for cell in of_bid] == [False, *[True] * (len(of_bid) - 1)]
    offered = {rule.formula1 for rule in blank.page.data_validations.dataValidation}
    assert len(offered) > 10


def test_a_group_is_one_block_as_on_the_bids_page() -> None:
    rows = list(sheet_rows((), None))
    headings = [
        (row.label, below.key.owner)
        for row, below in pairwise(rows)
        if row.key is None and below.key is not None
    ]
    assert len(headings) == len(set(headings)) == 11


def test_no_text_runs_into_the_row_below_or_off_the_page(sample_appraisal: Appraisal) -> None:
    """Not every program fits rows to their texts."""
    sheet = Sheet(opened(render_sheet(sample_appraisal, "b2")))
    row, (column,) = sheet.row("barrel.compression_ratio"), sheet.columns("question")
    asked = str(sheet.page.cell(row, column).value)
    assert len(asked) > 2 * sheet.page.column_dimensions["G"].width
    assert sheet.page.row_dimensions[row].height >= 3 * LINE_HEIGHT
    wanted = [str(sheet.page.cell(row, 2).value) for row in range(3, 10)]
    assert "Polycarbonate (bisphenol A) (engineering)." in " ".join(wanted)
    assert max(map(len, wanted)) < 180


def test_equal_evaluations_give_equal_bytes(sample_appraisal: Appraisal) -> None:
    assert render_sheet(sample_appraisal, "b1") == render_sheet(sample_appraisal, "b1")


def test_a_sheet_of_another_version_is_refused_in_a_sentence(
    sample_evaluation: Evaluation, filled: Sheet
) -> None:
    filled.page["A1"] = "evenbarrel data sheet 2 b1"
    with pytest.raises(FileRefused, match="version 2"):
        read(sample_evaluation, filled)


def test_a_sheet_for_an_offer_that_is_not_here_is_read_as_a_new_one_and_says_so(
    sample_evaluation: Evaluation, filled: Sheet
) -> None:
    as_blank = seen(sample_evaluation, filled)
    filled.page["A1"] = "evenbarrel data sheet 1 b77"
    extract = read(sample_evaluation, filled)
    assert extract.bid.bid not in {bid.id for bid in sample_evaluation.bids}
    assert codes(extract.lines[0]) == ["sent_elsewhere"]
    assert extract.lines[0].text == "b77"
    assert sorted(as_blank) == sorted(
        line for line in seen(sample_evaluation, filled) if line != ("None.", "None")
    )


@pytest.mark.parametrize(
    ("key", "printed", "other"),
    [
        ("bid.supplier", "Marvelline", "Supplier: Ondrupek"),
        ("bid.reference", "MV-2210", "Offer number: 2026/1183-B"),
    ],
)
def test_an_id_is_not_enough_where_the_offer_here_has_another_name(
    sample_appraisal: Appraisal, sent: Sent, key: str, printed: str, other: str
) -> None:
    """Every evaluation numbers its offers anew: b2 may be of anybody."""
    evaluation = sample_appraisal.evaluation
    sheet = sent("b2")
    sheet.put(key, "screw", printed)
    extract = read(evaluation, sheet)
    assert extract.bid.bid not in {bid.id for bid in evaluation.bids}
    assert [(f.code, f.detail) for f in extract.lines[0].findings] == [("sent_for_another", other)]
    assert not extract.is_returned
    # A person who says that it is for that one is believed.
    assert extract_for(evaluation, sheet, "b2").bid.bid == "b2"


def test_what_only_an_id_tells_is_for_its_offer_and_never_sure(
    sample_appraisal: Appraisal, sent: Sent
) -> None:
    sheet = sent("b2")
    for key in ("bid.supplier", "bid.reference"):
        for number in range(2):
            sheet.put(key, "screw", None, number)
    sheet.put("barrel.melt_inventory", "screw", 310)
    extract = read(sample_appraisal.evaluation, sheet)
    assert extract.bid.bid == "b2"
    assert codes(lines_of(extract, "melt_inventory")[0]) == ["id_alone"]
    assert extract.sure_lines() == ()


def test_questions_that_a_returned_sheet_answers_are_answered(
    sample_appraisal: Appraisal,
) -> None:
    before, today = sample_appraisal.evaluation, date(2026, 11, 3)
    asked = [q for q in sample_appraisal.questions if q.bid == "b2" and q.state in OPEN]
    volume = next(q for q in asked if q.datum == "rated_shot_mass")
    before = with_states(before, [volume], QuestionState(state="asked", date=date(2026, 10, 20)))
    sheet = Sheet(opened(render_sheet(appraise(before), "b2", only_open=True)))
    printed = before.bids[1].units[0].barrels[0].rated_shot_mass
    sheet.put("barrel.rated_shot_mass", "screw", 290)
    sheet.put("bid.scope.training.state", "screw", "included")
    extract = read(before, sheet)
    changed = [at for at, one in enumerate(extract.lines) if one.outcome in ("fills", "differs")]
    assert [extract.lines[at].field for at in changed] == ["scope", "rated_shot_mass"]
    taken = take(before, extract, changed)
    after = with_questions_answered(before, taken, extract, appraise(before).questions, today)
    (answer,) = (one for one in after.answers if one.question == volume.id)
    assert (answer.state, answer.date, answer.quantity) == ("answered", today, printed)
    assert answer.text == "In the data sheet offer.xlsx."
    assert [one.state for one in answer.earlier] == ["asked"]
    given = after.bids[1].units[0].barrels[0].rated_shot_mass
    assert given is not None
    assert (given.magnitude, given.standing) == ("290", "confirmed")
    training = next(q.id for q in asked if q.datum == "training")
    states = {one.question: one.state for one in after.answers}
    assert states.pop(training) == states.pop(volume.id) == "answered"
    stood = {one.question: one.state for one in before.answers if one.question != volume.id}
    assert states == stood


def test_a_sheet_without_its_names_is_refused(sample_evaluation: Evaluation, filled: Sheet) -> None:
    for column in filled.columns("screw"):
        filled.page.cell(1, column).value = None
    with pytest.raises(FileRefused, match="send the sheet out again"):
        read(sample_evaluation, filled)
