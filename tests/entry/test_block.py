"""Blocks of cells: taken apart, laid out by place or by heading, nothing taken silently."""

from __future__ import annotations

import string
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenbarrel.entry.block import Anchor, Column, ReadBlock, joined, read_block, split
from evenbarrel.entry.shapes import Context, shapes_of
from evenbarrel.model.job import Job
from evenbarrel.model.offers.barrel import Barrel
from evenbarrel.model.quantity import Quantity

SHAPES = shapes_of(Job)
NAMES = ("name", "resin", "part_mass", "cavities", "runner_kind", "cycle_time")
COLUMNS = [
    *(Column(SHAPES[name].datum.label, SHAPES[name]) for name in NAMES[:5]),
    Column("Shot mass", None),
    Column(SHAPES["cycle_time"].datum.label, SHAPES["cycle_time"]),
]
CONTEXT = Context(resins={"pp": "Polypropylene"}, table={"pom": "Polyoxymethylene, copolymer"})


def quantity(magnitude: str, unit: str) -> Quantity:
    """A number of our own mould: assumed until somebody measured it."""
    return Quantity(magnitude=magnitude, unit=unit, standing="assumed")


def read(text: str, things: tuple[Job, ...] = (), **where: Any) -> ReadBlock:
    at = {"thing": 0, "datum": 0, "things": len(things), "most": 100} | where
    return read_block(split(text), COLUMNS, Anchor(**at), things, CONTEXT)


cell = st.text(st.characters(blacklist_categories=("Cs", "Cc")) | st.sampled_from('\t\n"'))


@given(st.lists(st.lists(cell, min_size=2, max_size=4), min_size=1, max_size=5))
def test_what_is_joined_is_taken_apart_again(rows: list[list[str]]) -> None:
    width = max(len(row) for row in rows)
    table = tuple(tuple(row + ["."] * (width - len(row))) for row in rows)
    assert split(joined(table)) == table


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ("a\tb\r\nc\td\r\n", (("a", "b"), ("c", "d"))),
        ("Cap; 12 g\nLid ;14 g", (("Cap", "12 g"), ("Lid", "14 g"))),
        ("| Cap | 12 g |\n| Lid | 14 g |", (("Cap", "12 g"), ("Lid", "14 g"))),
        ("Cap    12 g\nLid   14 g", (("Cap", "12 g"), ("Lid", "14 g"))),
        ("Cap, white\nLid", (("Cap, white",), ("Lid",))),
        ('1 3/4"\t2"', (('1 3/4"', '2"'),)),
        ('"unclosed\tx', (('"unclosed', "x"),)),
        ("a\n\nb", (("a",), ("",), ("b",))),
    ],
)
def test_a_block_of_a_spreadsheet_or_a_mail_is_taken_apart(
    text: str, rows: tuple[tuple[str, ...], ...]
) -> None:
    assert split(text) == rows


def test_units_and_decimal_marks_are_read_cell_by_cell() -> None:
    block = read("Cap\tpp\t12,5 g\t8\tcold\nLid\tPOM\t0.66 lb\t1,200\thot")
    assert block.values[0] == {
        "name": "Cap",
        "resin": "pp",
        "part_mass": quantity("12.5", "g"),
        "cavities": 8,
        "runner_kind": "cold",
    }
    # 1,200 cavities are more than a mould has.
    assert "cavities" not in block.values[1]
    assert block.values[1]["resin"] == "pom"
    assert [(one.what, one.line, one.text) for one in block.left_out] == [("Cavities", 2, "1,200")]


def test_a_number_that_may_be_thousands_is_taken_and_told() -> None:
    block = read("Cap\t\t1.234", datum=0)
    assert block.values[0]["part_mass"] == quantity("1.234", "g")
    (one,) = block.doubted
    assert (one.what, one.line, one.text) == ("Part mass", 1, "1.234")
    assert "1234 if thousands" in one.why


def test_headings_say_which_column_is_which_and_in_what_unit() -> None:
    text = "Cycle time (s)\tMould\tColour\tPart mass, oz\n12\tCap\tred\t0.5\n14.5\tLid\tblue\t13 g"
    block = read(text, datum=3)
    assert block.values == {
        0: {"cycle_time": quantity("12", "s"), "name": "Cap", "part_mass": quantity("0.5", "oz")},
        1: {"cycle_time": quantity("14.5", "s"), "name": "Lid", "part_mass": quantity("13", "g")},
    }
    assert {one.what for one in block.left_out} == {"“Colour”"}
    assert len(block.left_out) == 2


def test_a_datum_may_be_called_as_suppliers_call_it() -> None:
    shapes = shapes_of(Barrel)
    names = ("label", "screw_diameter", "stroke", "swept_volume", "rated_shot_mass")
    columns = [Column(shapes[name].datum.label, shapes[name]) for name in names]
    text = "Screw\tA\nDiamètre de vis [mm]\t40\nScrew stroke, mm\t185\nShot capacity cm³\t232\n"
    rows = split(text + "Shot capacity g\t211\nStroke of the clamp mm\t400")
    block = read_block(rows, columns, Anchor(0, 0, 0, 9, across=True), (), CONTEXT)
    values = {name: getattr(v, "magnitude", v) for name, v in block.values[0].items()}
    assert values == dict(zip(names, ("A", "40", "185", "232", "211"), strict=True))
    assert [one.what for one in block.left_out] == ["“Stroke of the clamp mm”"]


def test_a_table_that_stands_the_other_way_round_is_turned() -> None:
    block = read("Mould\tCap\tLid\nCavities\t8\t16")
    assert block.values == {0: {"name": "Cap", "cavities": 8}, 1: {"name": "Lid", "cavities": 16}}


def test_a_heading_with_a_unit_where_none_belongs_is_no_such_heading() -> None:
    block = read("Mould kg\tCavities\nCap\t8")
    assert block.values == {0: {"cavities": 8}}
    assert [one.what for one in block.left_out] == ["“Mould kg”"]


def test_a_column_too_many_and_a_computed_one_are_told() -> None:
    block = read("1\tcold\t76 g\t12 s\textra", datum=3)
    assert block.values == {
        0: {"cavities": 1, "runner_kind": "cold", "cycle_time": quantity("12", "s")}
    }
    assert [(one.what, one.text) for one in block.left_out] == [
        ("Shot mass", "76 g"),
        ("column 5", "extra"),
    ]


def test_empty_cells_leave_what_stands_there_and_empty_lines_add_nothing() -> None:
    job = Job(id="a", name="Cap", cavities=4)
    block = read("\t\t9 g\n\n\nLid", (job,))
    assert block.values == {0: {"part_mass": quantity("9", "g")}, 1: {"name": "Lid"}}


def test_ten_thousand_lines_are_counted_and_told_once() -> None:
    block = read("\n".join(f"Mould {n}\tpp\t{n + 1} g" for n in range(10_000)))
    assert len(block.values) == 100
    (one,) = block.left_out
    assert "9900" in one.what
    assert "100" in one.why


@pytest.mark.parametrize("text", ["十二 g", "١٢ g", "двенадцать", "１２ g", "a" * 100_000])
def test_texts_in_other_alphabets_are_names_but_no_numbers(text: str) -> None:
    block = read(f"Крышка 盖 غطاء\t\t{text}")
    assert block.values == {0: {"name": "Крышка 盖 غطاء"}}
    assert (block.left_out[0].what, block.left_out[0].text) == ("Part mass", text)


def test_the_same_number_keeps_its_source_and_another_does_not_take_it_over() -> None:
    stated = quantity("9", "g").replace(source="drawing 4", standing="measured")
    job = Job(id="a", part_mass=stated)
    assert read("9 g", (job,), datum=2).values == {0: {"part_mass": stated}}
    assert read("10", (job,), datum=2).values == {0: {"part_mass": quantity("10", "g")}}


@given(st.text(string.printable, max_size=300))
def test_nothing_is_taken_silently_whatever_is_put_in(text: str) -> None:
    block = read(text)
    said = sum(1 for row in split(text) for one in row if one.strip())
    # A heading line is neither taken nor listed: it says what the others are.
    assert block.count + len(block.left_out) in (said, said - len(split(text)[0]))
