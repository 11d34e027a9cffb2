"""Workbooks of several worksheets: all are read, each line names its own, none is left silently."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest
from openpyxl import Workbook

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.intake.accepting.taking import take
from evenbarrel.intake.data_sheet.writer import render_sheet
from evenbarrel.intake.extract import Extract
from evenbarrel.intake.files import extract_file
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.file_errors import FileRefused

from .conftest import codes, extract_of, lines_of, opened, saved

Sheets = Mapping[str, list[list[Any]]]
BookOf = Callable[[Sheets], Workbook]


def machine(stroke: int, *diameters: int) -> list[list[Any]]:
    """Return the rows of a worksheet with the screws A, B, ... of one machine."""
    return [
        ["Screw", "", *"ABC"[: len(diameters)]],
        ["Screw diameter", "mm", *diameters],
        ["Stroke", "mm", *[stroke] * len(diameters)],
        ["Screw speed", "rpm", *[300] * len(diameters)],
    ]


def units_taken(evaluation: Evaluation, extract: Extract) -> list[list[str]]:
    """Return the diameters of each unit that the sure lines make."""
    taken = take(evaluation, extract, extract.sure_lines()).bids[0]
    return [
        [b.screw_diameter.magnitude for b in u.barrels if b.screw_diameter] for u in taken.units
    ]


def test_a_worksheet_a_machine_makes_several_units(book_of: BookOf, no_bids: Evaluation) -> None:
    book = book_of({"QM 80": machine(150, 30, 35), "QM 130": machine(200, 40, 45)})
    extract = extract_of(no_bids, book)
    assert units_taken(no_bids, extract) == [["30", "35"], ["40", "45"]]
    assert [(line.value, codes(line)) for line in lines_of(extract, "designation")] == [
        ("QM 80", ["titled"]),
        ("QM 130", ["titled"]),
    ]
    assert [str(line.place) for line in lines_of(extract, "stroke")] == [
        *("QM 80!C3", "QM 80!D3"),
        *("QM 130!C3", "QM 130!D3"),
    ]
    assert lines_of(extract, "stroke")[2].value.source == "offer.xlsx, QM 130!C3"


def test_machines_of_one_stroke_are_told_apart_and_it_is_said_that_it_is_not_sure(
    book_of: BookOf, no_bids: Evaluation
) -> None:
    book = book_of({"QM 80": machine(150, 30, 35), "QM 80 HP": machine(150, 40, 45)})
    extract = extract_of(no_bids, book)
    assert units_taken(no_bids, extract) == [["30", "35"]]
    assert [codes(line) for line in lines_of(extract, "screw_diameter")] == [
        *([], []),
        *(["ambiguous_screw"], ["ambiguous_screw"]),
    ]


def test_worksheets_that_nobody_named_make_units_that_are_not_sure(
    book_of: BookOf, no_bids: Evaluation
) -> None:
    extract = extract_of(
        no_bids, book_of({"Tabelle1": machine(150, 30), "Tabelle2": machine(200, 40)})
    )
    assert extract.sure_lines() == ()
    screws = [line.thing for line in lines_of(extract, "stroke")]
    assert len({screw.path[:-1] for screw in screws if screw}) == 2


def test_data_and_prices_are_of_the_same_screws(book_of: BookOf, no_bids: Evaluation) -> None:
    prices = [["Screw", "A", "B"], ["Surcharge EUR", 0, 1250]]
    extract = extract_of(no_bids, book_of({"Prices": prices, "Data": machine(150, 30, 35)}))
    (unit,) = take(no_bids, extract, extract.sure_lines()).bids[0].units
    assert [
        (b.label, b.screw_diameter.magnitude, b.price_difference.amount, b.price_difference.source)
        for b in unit.barrels
        if b.screw_diameter and b.price_difference
    ] == [
        ("A", "30", "0", "offer.xlsx, Prices!B2"),
        ("B", "35", "1250", "offer.xlsx, Prices!C2"),
    ]


def test_a_worksheet_that_names_the_machines_names_those_of_the_others(
    book_of: BookOf, no_bids: Evaluation
) -> None:
    prices = [["Injection unit", "QM 130", "QM 80"], ["Machine price EUR", 131750, 98400]]
    sheets = {"QM 80": machine(150, 30), "QM 130": machine(150, 40), "Prices": prices}
    extract = extract_of(no_bids, book_of(sheets))
    taken = take(no_bids, extract, extract.sure_lines()).bids[0]
    assert [
        (one.designation, one.price.amount, [b.screw_diameter and b.screw_diameter.magnitude])
        for one in taken.units
        for b in one.barrels
        if one.price
    ] == [("QM 80", "98400", ["30"]), ("QM 130", "131750", ["40"])]


def test_a_cover_is_read_and_what_is_hidden_is_named(book_of: BookOf, no_bids: Evaluation) -> None:
    cover = [
        ["Brandwyk Plastics Machines"],
        ["Quotation BW-77 of 3 March 2026, valid until 30 April 2026."],
        ["Freight is included."],
    ]
    book = book_of(
        {"Cover": cover, "Data": machine(150, 30), "Margin": [["Cost", 50000]], "Blank": []}
    )
    for title in ("Margin", "Blank"):
        book[title].sheet_state = "hidden"
    extract = extract_of(no_bids, book)
    assert [(one.value, str(one.place)) for one in lines_of(extract, "reference")] == [
        ("BW-77", "Cover!A2")
    ]
    assert [one.value.state for one in lines_of(extract, "scope")] == ["included"]
    assert "Brandwyk Plastics Machines" in {line.text for line in extract.lines}
    left_out = [line for line in extract.lines if "sheet_hidden" in codes(line)]
    assert [(line.text, str(line.place)) for line in left_out] == [("Margin", "Margin")]
    assert "50000" not in {line.text for line in extract.lines}
    assert len(lines_of(extract, "stroke")) == 1


def test_a_title_over_each_table_of_a_worksheet_tells_machines_apart(
    book_of: BookOf, no_bids: Evaluation
) -> None:
    first, second = machine(150, 30, 35), machine(200, 35, 40)
    rows = [["QM 80 / unit 310"], *first, [], ["QM 130 / unit 520"], *second]
    book = book_of({"Offer": rows})
    book["Offer"].merge_cells("A7:D7")
    extract = extract_of(no_bids, book)
    assert units_taken(no_bids, extract) == [["30", "35"], ["35", "40"]]
    assert [(line.value, str(line.place)) for line in lines_of(extract, "designation")] == [
        ("QM 80 / unit 310", "Offer!A1"),
        ("QM 130 / unit 520", "Offer!A7"),
    ]
    # Each cell that a merged one covers shows its text: it is told once all the same.
    assert [line.text for line in extract.lines].count("QM 130 / unit 520") == 1


@pytest.mark.parametrize(
    ("first", "second", "units"), [("QM 80", "QM 130", 2), ("Table 1", "Table 2", 1), ("", "", 1)]
)
def test_tables_of_one_stroke_under_other_titles_may_be_of_other_machines(
    book_of: BookOf, no_bids: Evaluation, first: str, second: str, units: int
) -> None:
    one, other = machine(150, 30, 35), machine(150, 40, 45)
    other[0] = ["Screw", "", "C", "D"]
    extract = extract_of(no_bids, book_of({"Offer": [[first], *one, [], [second], *other]}))
    sizes = lines_of(extract, "screw_diameter")
    assert len({line.thing.path[:4] for line in sizes if line.thing}) == units
    assert [line.sure for line in sizes] == [True, True, units == 1, units == 1]


def test_two_machines_are_not_put_into_the_one_that_stands_unseen(
    book_of: BookOf, no_bids: Evaluation
) -> None:
    first = extract_of(no_bids, book_of({"Data": machine(150, 30)}))
    standing = take(no_bids, first, first.sure_lines())
    both = book_of({"QM 80": machine(150, 35), "QM 130": machine(200, 40)})
    extract = extract_file(standing, "offer.xlsx", saved(both), standing.bids[0].id)
    assert extract.sure_lines() == ()


def test_what_was_added_to_a_returned_data_sheet_is_read_and_never_sure(
    book_of: BookOf, sample_evaluation: Evaluation
) -> None:
    book = opened(render_sheet(appraise(sample_evaluation), "b2"))
    unit = sample_evaluation.bid("b2").units[0]
    screw = next(one for one in unit.barrels if one.label and one.screw_diameter)
    added = book.create_sheet("Our prices", 0)
    added.append(["Screw", "", screw.label])
    added.append(["Screw diameter", screw.screw_diameter.unit, screw.screw_diameter.magnitude])
    added.append(["Screw torque", "Nm", 731])
    added.append(["The price of the machine is EUR 98,412 ex works."])
    book.create_sheet("Thanks").append(["With kind regards"])
    book.create_sheet("Ours alone").append(["Margin", 12])
    book["Ours alone"].sheet_state = "hidden"
    extract = extract_of(sample_evaluation, book)
    assert extract.is_returned
    of_added = [line for line in extract.lines if line.place.sheet == "Our prices"]
    taken = {line.field: line for line in of_added if line.value is not None}
    assert (taken["screw_torque"].value.magnitude, taken["screw_torque"].sure) == ("731", False)
    assert taken["screw_torque"].thing.barrel == screw.id
    assert (taken["price"].value.amount, taken["price"].thing.unit) == ("98412", unit.id)
    # What the sheet says too is not told again.
    assert "screw_diameter" not in taken
    told = {line.text: codes(line) for line in extract.lines[-2:]}
    assert told == {"Thanks": ["sheet_beside"], "Ours alone": ["sheet_hidden"]}


def test_a_workbook_whose_worksheets_are_all_too_much_together_is_refused(
    book_of: BookOf, no_bids: Evaluation
) -> None:
    book = book_of({f"Part {number}": [] for number in range(5)})
    for page in book.worksheets:
        page.cell(9000, 5).value = 1
    with pytest.raises(FileRefused, match="cells in all"):
        extract_of(no_bids, book)


def test_a_column_headed_by_a_currency_holds_amounts_in_it(
    book_of: BookOf, no_bids: Evaluation
) -> None:
    prices = [
        ["Descrizione", "Prezzo CHF"],
        ["Pressa con vite A", 91500],
        ["Trasporto", "escluso"],
        ["Montaggio", 3200],
    ]
    extract = extract_of(no_bids, book_of({"PB 120": machine(150, 32), "Prezzi": prices}))
    (amount,) = lines_of(extract, "installation")
    assert (amount.value.amount, amount.value.currency) == ("3200", "CHF")
    assert [(o.part, o.value.state) for o in lines_of(extract, "scope")] == [("freight", "missing")]
    (price,) = lines_of(extract, "price")
    assert (price.value.amount, price.value.currency, price.sure) == ("91500", "CHF", False)


def test_a_list_of_prices_beside_the_data_is_a_table_of_its_own(
    book_of: BookOf, no_bids: Evaluation
) -> None:
    prices = [
        ["Position", "Price", "Currency"],
        ["Machine with B", 87500, "EUR"],
        ["Freight", 2400, "EUR"],
        ["Installation", "included", None],
    ]
    rows = [[*left, None, *right] for left, right in zip(machine(150, 30, 35), prices, strict=True)]
    extract = extract_of(no_bids, book_of({"Offer": rows}))
    (freight,) = lines_of(extract, "freight")
    assert (freight.value.amount, freight.value.currency, freight.sure) == ("2400", "EUR", True)
    assert [(one.part, one.value.state) for one in lines_of(extract, "scope")] == [
        ("installation", "included")
    ]
    assert units_taken(no_bids, extract) == [["30", "35"]]
    (price,) = lines_of(extract, "price")
    assert (price.value.amount, price.sure) == ("87500", False)


def test_a_worksheet_in_other_units_tells_the_same_of_the_same_screws(
    book_of: BookOf, no_bids: Evaluation
) -> None:
    us = [
        ["Screw", "", "A", "B"],
        ["Screw diameter", "in", 1.18, 1.38],
        ["Stroke", "in", 5.91, 5.91],
        ["Screw speed", "rpm", 300, 280],
    ]
    extract = extract_of(no_bids, book_of({"Metric": machine(150, 30, 35), "US": us}))
    assert units_taken(no_bids, extract) == [["30", "35"]]
    told = {
        str(one.place): codes(one)
        for field in ("stroke", "screw_speed")
        for one in lines_of(extract, field)
    }
    assert told == {
        **{"Metric!C3": [], "Metric!D3": [], "Metric!C4": []},
        **{"US!C3": ["stated_before"], "US!D3": ["stated_before"]},
        **{"Metric!D4": ["conflict"], "US!D4": ["conflict"]},
    }
