"""Calculated cells are formulas: another program's spreadsheet comes to what this program has.

LibreOffice Calc, without a window, calculates the workbooks anew; the program's own values are
taken out of them before, so that it can take nothing over.
"""

from __future__ import annotations

import csv
import re
import subprocess
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from itertools import cycle
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element, SubElement, fromstring, tostring
from zipfile import ZipFile

import pytest
from hypothesis import HealthCheck, given, seed, settings
from openpyxl import load_workbook
from openpyxl.utils import get_column_letter

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Quantity
from evenbarrel.report.workbook.book import render_workbook

from .test_random_programmes import evaluations

NAMES = ("sample", "changed", "random0", "random1", "random2")
HOSTILE = ("=1+1", "+1", "-1", "@SUM(A1)", '=HYPERLINK("x")', "\t=1+1", "[#oee]", '"&A1&"')

TYPED = {
    "B1 screw_diameter": 39.9,
    "B1 plasticising_rate": 19.5,
    "B1 rated_shot_mass": None,
    "O1 item1": 5150,
    "J1 part_mass": 1.11,
    "J1 cycle_time": 14.5,
    "J1 batches_per_year": 11,
    "J8 batches_per_year": 4,
    "rate USD": 0.905,
    "discount_rate": 0.064,
    "tariff": 0.181,
}
"""What a person types into the sample's workbook, by the key of the input."""

CHANGES = ("How to read this workbook", "A4")
"""How many inputs were changed: it is other in the sample changed than in its own workbook."""

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
BOOK, PAGE = "xl/workbook.xml", "xl/worksheets/sheet{}.xml"
ON_PAPER = re.compile(rb'<definedName name="_xlnm.Print_Titles".*?</definedName>')

Values = Mapping[tuple[str, str], Any]
"""What cells hold, by their worksheet and place; empty ones have no entry."""

TABLES = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,true,true,false,false,false,-1"
"""Every worksheet as a table, texts in quotes and numbers in full: Calc writes it the quickest."""


def _calculated(folder: Path, name: str) -> Values:
    """Return what the tables of a workbook hold, by the worksheets they were written from."""
    found: dict[tuple[str, str], Any] = {}
    for path in folder.glob(f"{name}-*.csv"):
        with path.open(encoding="utf-8", newline="") as table:
            for down, row in enumerate(csv.reader(table, quoting=csv.QUOTE_NONNUMERIC), 1):
                for across, value in enumerate(row, 1):
                    if value != "":
                        place = f"{get_column_letter(across)}{down}"
                        found[path.stem.removeprefix(f"{name}-"), place] = value
    return found


class Cells:
    """The cells of a workbook as they stand in its file, worksheet by worksheet."""

    def __init__(self, data: bytes) -> None:
        with ZipFile(BytesIO(data)) as archive:
            self._parts = {name: archive.read(name) for name in archive.namelist()}
        self.rows: dict[str, Element] = {}
        for number, sheet in enumerate(fromstring(self._parts[BOOK]).iter(f"{MAIN}sheet"), 1):
            page = fromstring(self._parts[PAGE.format(number)])
            self.rows[sheet.attrib["name"]] = next(page.iter(f"{MAIN}sheetData"))

    @property
    def formulas(self) -> Values:
        """The formulas."""
        told = ((place, cell.findtext(f"{MAIN}f")) for place, cell in self._places())
        return {place: formula for place, formula in told if formula}

    @property
    def values(self) -> Values:
        """Numbers and texts: what was calculated as well as what was entered."""
        told = ((place, _value(cell)) for place, cell in self._places())
        return {place: value for place, value in told if value not in (None, "")}

    def _places(self) -> Iterator[tuple[tuple[str, str], Element]]:
        for title, rows in self.rows.items():
            for cell in rows.iter(f"{MAIN}c"):
                yield (title, cell.attrib["r"]), cell

    def bare(self) -> bytes:
        """Return the workbook without values of formulas, nor looks: they take Calc the longest."""
        for _, cell in self._places():
            cell.attrib.pop("s", None)
            if cell.find(f"{MAIN}f") is not None:
                _put(cell, None)
        parts = self._parts | {BOOK: ON_PAPER.sub(b"", self._parts[BOOK])}
        for number, rows in enumerate(self.rows.values(), 1):
            page = Element(f"{MAIN}worksheet")
            page.append(rows)
            parts[PAGE.format(number)] = tostring(page)
        return _packed(parts)


def _value(cell: Element) -> float | str | None:
    number = cell.findtext(f"{MAIN}v")
    return cell.findtext(f"{MAIN}is/{MAIN}t") if number is None else float(number)


def _put(cell: Element, value: float | None) -> None:
    """Put another number into a cell, or none."""
    for old in cell.findall(f"{MAIN}v"):
        cell.remove(old)
    if value is not None:
        SubElement(cell, f"{MAIN}v").text = repr(value)


def _packed(parts: Mapping[str, bytes]) -> bytes:
    out = BytesIO()
    with ZipFile(out, "w") as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return out.getvalue()


@dataclass(frozen=True)
class Written:
    """A workbook of the program's: its bytes, its formulas, its values."""

    data: bytes
    formulas: Values
    values: Values


def _written(evaluation: Evaluation) -> Written:
    data = render_workbook(appraise(evaluation))
    cells = Cells(data)
    return Written(data, cells.formulas, cells.values)


def _changed(sample: Evaluation) -> Evaluation:
    """Return the sample with one number changed of every kind that is calculated with."""

    def other(quantity: Quantity | None, magnitude: str) -> Quantity:
        assert quantity is not None
        return quantity.replace(magnitude=magnitude)

    first, *bids = sample.bids
    unit, *units = first.units
    barrel, *barrels = unit.barrels
    barrel = barrel.replace(
        screw_diameter=other(barrel.screw_diameter, "39.9"),
        plasticising_rate=other(barrel.plasticising_rate, "19.5"),
        rated_shot_mass=None,
    )
    assert first.freight is not None
    unit = unit.replace(barrels=(barrel, *barrels))
    first = first.replace(freight=first.freight.replace(amount="5150"), units=(unit, *units))
    # Of the last job it is not stated how often it is set up in a year: there a gap is filled.
    job, *jobs, last = sample.jobs
    assert last.batches_per_year is None
    job = job.replace(
        part_mass=other(job.part_mass, "1.11"),
        cycle_time=other(job.cycle_time, "14.5"),
        batches_per_year=11,
    )
    cost = sample.cost
    assert cost.tariff is not None
    rate = cost.exchange_rates[0].replace(rate=0.905)
    cost = cost.replace(
        discount_rate=0.064,
        tariff=cost.tariff.replace(amount="0.181"),
        exchange_rates=(rate, *cost.exchange_rates[1:]),
    )
    return sample.replace(
        bids=(first, *bids), jobs=(job, *jobs, last.replace(batches_per_year=4)), cost=cost
    )


def _without_values(one: Written) -> bytes:
    """Return the very workbook without the values that stand beside its formulas.

    Nor with the rows that head every page on paper: for those Calc lays out all pages.
    """
    parts, taken = {}, 0
    with ZipFile(BytesIO(one.data)) as whole:
        for name in whole.namelist():
            content = ON_PAPER.sub(b"", whole.read(name))
            parts[name], found = re.subn(rb"(</f>)<v>[^<]*</v>", rb"\1", content)
            taken += found
    assert taken >= len(one.formulas.keys() & one.values.keys())
    return _packed(parts)


def _typed(data: bytes) -> bytes:
    """Return the sample's workbook after a person changed inputs in it."""
    book, left = Cells(data), dict(TYPED)
    for title, rows in book.rows.items():
        for row in rows if title.startswith("Inputs") else ():
            key = _value(row[0])
            if key in left:
                _put(row[3], left.pop(str(key)))
    assert not left
    return book.bare()


SORTED = ("Inputs of barrels", "Inputs of jobs", "Inputs of cost", "Barrels", "Calculation")
"""Sheets whose rows a person turns upside down."""


def _sorted(data: bytes) -> bytes:
    """Return the sample's workbook sorted the other way round, as a spreadsheet program sorts it.

    A row's formulas go with it: what they name of their own row they name in the new one.
    """
    book = Cells(data)
    for title in SORTED:
        head, *rows = book.rows[title]
        for new, row in enumerate(reversed(rows), 2):
            old = row.attrib["r"]
            own_row = re.compile(rf"(?<![$A-Z'\"])([A-Z]{{1,2}}){old}(?!\d)")
            for part in (row, *row.iter(f"{MAIN}c")):
                part.attrib["r"] = part.attrib["r"].removesuffix(old) + str(new)
            for formula in row.iter(f"{MAIN}f"):
                formula.text = own_row.sub(rf"\g<1>{new}", str(formula.text))
        book.rows[title][:] = [head, *reversed(rows)]
    return book.bare()


def _random() -> list[Evaluation]:
    """Return three random programmes with several barrels and jobs."""
    rich = evaluations(least=1).filter(lambda one: len(list(one.barrels())) > 1)
    found: list[Evaluation] = []

    @seed(11)
    @settings(max_examples=4, database=None, deadline=None, suppress_health_check=list(HealthCheck))
    @given(rich)
    def draw(evaluation: Evaluation) -> None:
        found.append(evaluation)

    draw()
    return sorted(found, key=lambda one: -len(list(one.barrels())) * len(one.jobs))[:3]


@pytest.fixture(scope="module")
def written(sample_evaluation: Evaluation) -> Mapping[str, Written]:
    """The sample, the sample changed, and three random programmes costed as the sample is."""
    cost = sample_evaluation.cost
    lines = tuple(line.replace(bid=None, unit=None, barrel=None) for line in cost.lines)
    common = cost.replace(lines=lines, common_resin=None)
    drawn = (one.replace(cost=common, currency="EUR") for one in _random())
    programmes = (sample_evaluation, _changed(sample_evaluation), *drawn)
    return dict(zip(NAMES, map(_written, programmes), strict=True))


@pytest.fixture(scope="module")
def recalculated(
    written: Mapping[str, Written], tmp_path_factory: pytest.TempPathFactory
) -> Mapping[str, Values]:
    """What LibreOffice makes of each; of the changed sample it is given the sample, changed."""
    folder = tmp_path_factory.mktemp("live")
    sample = written["sample"].data
    books = {"sample": _without_values(written["sample"])}
    books |= {"changed": _typed(sample), "sorted": _sorted(sample)}
    books |= {name: Cells(written[name].data).bare() for name in NAMES[2:]}
    for name, book in books.items():
        (folder / f"{name}.xlsx").write_bytes(book)
    command = ["soffice", f"-env:UserInstallation={(folder / 'profile').as_uri()}", "--headless"]
    command += ["--convert-to", TABLES, "--outdir", str(folder / "out")]
    files = [str(folder / f"{name}.xlsx") for name in books]
    subprocess.run([*command, *files], check=True, capture_output=True, timeout=300)
    return {name: _calculated(folder / "out", name) for name in books}


@pytest.mark.parametrize("name", NAMES)
def test_another_program_calculates_what_this_one_does(
    name: str, written: Mapping[str, Written], recalculated: Mapping[str, Values]
) -> None:
    """Every calculated cell, to 1e-9; of `changed` the sample's workbook with inputs changed."""
    own, found = written[name].values, recalculated[name]
    formulas = [place for place in written[name].formulas if place != CHANGES]
    numbers = {place: own[place] for place in formulas if place in own}
    assert len(numbers) > (4000 if name in ("sample", "changed") else 90)
    for place, expected in numbers.items():
        assert found[place] == pytest.approx(expected, rel=1e-9, abs=1e-300), place
    # What the program has no number for is empty, never 0.
    others = {found.get(place) for place in formulas if place not in own}
    assert others <= {None, "no rate"}


def test_changed_inputs_move_all_that_hangs_on_them_by_the_same_formulas(
    written: Mapping[str, Written], recalculated: Mapping[str, Values]
) -> None:
    """So what was compared was calculated, and by the sample's own formulas."""
    assert written["changed"].formulas == written["sample"].formulas
    before, after = written["sample"].values, recalculated["changed"]
    moved = {place[0] for place, value in before.items() if after.get(place) != value}
    assert {"Barrels", "Jobs", "Fit", "Calculation", "Prices", "Cost over life"} <= moved
    assert {"Running cost", "Cost lines", "Full strokes in resins run"} <= moved


def test_an_input_that_is_taken_away_leaves_its_dependants_empty(
    written: Mapping[str, Written], recalculated: Mapping[str, Values]
) -> None:
    """The rated mass of the first barrel: its price for a rated gram goes with it."""
    before = written["sample"].values
    place = next(at for at, value in before.items() if value == "Price of rated mass [EUR/g]")
    place = (place[0], place[1].replace("1", "2"))
    assert before[place] > 0
    assert place not in recalculated["changed"]


def test_sheets_may_be_sorted_and_nothing_changes(
    written: Mapping[str, Written], recalculated: Mapping[str, Values]
) -> None:
    before, after = written["sample"].values, recalculated["sorted"]
    assert after["Inputs of barrels", "A2"] != before["Inputs of barrels", "A2"]
    held = [place for place in written["sample"].formulas if place[0] not in SORTED]
    assert len(held) > 2000
    for place in held:
        expected = before.get(place)
        assert after.get(place) == (expected and pytest.approx(expected, rel=1e-9)), place


def test_it_is_told_how_many_inputs_are_other_than_as_they_were_written(
    written: Mapping[str, Written], recalculated: Mapping[str, Values]
) -> None:
    assert written["sample"].values[CHANGES] == recalculated["sample"][CHANGES] == 0
    assert recalculated["changed"][CHANGES] == len(TYPED)


def test_no_text_of_a_person_comes_into_a_formula(sample_evaluation: Evaluation) -> None:
    """Hostile suppliers, screws, jobs, resins, items and lines: the formulas are the same ones."""
    named = (render_workbook(appraise(_named(sample_evaluation, w))) for w in ("abcdefgh", HOSTILE))
    plain, hostile = named
    assert Cells(hostile).formulas == Cells(plain).formulas
    book = load_workbook(BytesIO(hostile))
    cells = [cell for page in book.worksheets for row in page.iter_rows() for cell in row]
    shown = {str(cell.value) for cell in cells if cell.data_type == "s"}
    assert all(any(words in one for one in shown) for words in HOSTILE)
    assert all(c.quotePrefix for c in cells if c.data_type == "s" and c.value and c.row > 1)


def _named(evaluation: Evaluation, words: Sequence[str]) -> Evaluation:
    """Return the sample with every name that people give made of these words."""
    name = cycle(words)
    bids = [
        bid.replace(
            supplier=next(name),
            units=tuple(
                unit.replace(
                    designation=next(name),
                    barrels=tuple(barrel.replace(label=next(name)) for barrel in unit.barrels),
                )
                for unit in bid.units
            ),
            scope=tuple(line.replace(item=f"{next(name)} {line.item}") for line in bid.scope),
        )
        for bid in evaluation.bids
    ]
    lines = tuple(line.replace(kind=next(name)) for line in evaluation.cost.lines)
    return evaluation.replace(
        bids=tuple(bids),
        resins=tuple(resin.replace(name=next(name)) for resin in evaluation.resins),
        jobs=tuple(job.replace(name=next(name)) for job in evaluation.jobs),
        cost=evaluation.cost.replace(lines=lines),
    )


def test_a_spreadsheet_calculates_all_anew_and_a_viewer_sees_the_values(
    written: Mapping[str, Written],
) -> None:
    one = written["sample"]
    assert load_workbook(BytesIO(one.data), read_only=True).calculation.fullCalcOnLoad
    assert sum(isinstance(one.values.get(place), float | int) for place in one.formulas) > 4000


def test_the_doubt_about_a_size_stands_before_its_volume(written: Mapping[str, Written]) -> None:
    values = written["sample"].values
    columns = {value: place[1] for place, value in values.items() if place[0] == "Barrels"}
    doubt = columns["Doubt about its size, by the program"]
    assert doubt < columns["Swept volume [cm³]"]
    unsettled = "◐ its readings differ and nobody has decided"
    assert columns[unsettled][0] == doubt[0]
