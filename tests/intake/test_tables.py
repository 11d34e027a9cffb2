"""Invented tables in as many layouts as suppliers use, read cell by cell."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

import pytest

from evenbarrel.intake.accepting.taking import take
from evenbarrel.intake.extract import Extract
from evenbarrel.intake.files import extract_text
from evenbarrel.intake.tables.labels import read_label
from evenbarrel.model.evaluation import Evaluation

from .catalogue import TABLES, Table
from .conftest import codes, lines_of
from .held_out import HELD_OUT
from .held_out_later import HELD_OUT_LATER
from .held_out_quotes import HELD_OUT_QUOTES
from .outcomes import RIGHT, Outcome, cells_of, outcomes_of, text_of

PLAIN = """Data\tUnit\tScrew A\tScrew B
Screw diameter\tmm\t40\t45
Stroke\tmm\t200\t200
Swept volume\tcm³\t251\t318"""


def test_there_are_thirty_layouts_at_least() -> None:
    assert len({table.name for table in TABLES}) >= 30


def test_nothing_wrong_is_without_a_mark(for_each: Any, no_bids: Evaluation) -> None:
    @for_each([*TABLES, *HELD_OUT, *HELD_OUT_LATER, *HELD_OUT_QUOTES])
    def _(table: Table) -> None:
        assert [
            name for name, outcome in cells_of(table, no_bids) if outcome == "wrong, unmarked"
        ] == []


@pytest.mark.parametrize(
    "tables",
    [TABLES, HELD_OUT, HELD_OUT_LATER, HELD_OUT_QUOTES],
    ids=["catalogue", "held out", "later", "quotes"],
)
def test_of_all_cells_ninety_five_in_a_hundred_are_right(
    tables: Sequence[Table], no_bids: Evaluation
) -> None:
    total: Counter[Outcome] = sum((outcomes_of(table, no_bids) for table in tables), Counter())
    assert sum(total[outcome] for outcome in RIGHT) >= 0.95 * total.total()


def test_orientation_makes_no_difference(no_bids: Evaluation) -> None:
    rows = [line.split("\t") for line in PLAIN.splitlines()]
    turned = "\n".join("\t".join(column) for column in zip(*rows, strict=True))
    across, down = (extract_text(no_bids, text) for text in (PLAIN, turned))
    read = [
        sorted((str(line.thing), line.field, str(line.value)) for line in one.lines if line.sure)
        for one in (across, down)
    ]

    def values(lines: list[tuple[str, str, str]]) -> list[tuple[str, str]]:
        # What is told is where it stands: the source differs, number and unit do not.
        return [(thing + field, value.partition(" source=")[0]) for thing, field, value in lines]

    assert values(read[0]) == values(read[1])
    assert len(read[0]) == 8


def test_a_known_barrel_is_found_by_its_label_and_its_number_shown(
    sample_evaluation: Evaluation,
) -> None:
    text = "Injection unit\tUnit 572\t\nScrew\tA\tB\nStroke [mm]\t200\t210\nSchneckenhub\t\t"
    extract = extract_text(sample_evaluation, text, "b2")
    first, second = (line for line in lines_of(extract, "stroke") if line.value)
    assert (first.outcome, second.outcome) == ("same", "differs")
    assert second.now.magnitude == "200"
    assert second.thing is not None
    assert second.thing.path[-1] == "b2u1b"


def test_a_supplier_that_is_named_leads_to_its_bid(sample_evaluation: Evaluation) -> None:
    text = "Supplier: Ondrupek\nScrew diameter: 45 mm\nStroke: 200 mm"
    extract = extract_text(sample_evaluation, text)
    assert extract.bid.bid == "b2"
    # By its diameter, as no letter is printed.
    assert lines_of(extract, "stroke")[0].thing.path[-1] == "b2u1a"  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("printed", "elsewhere", "read", "code"),
    [
        ("1.155", "20,5", "1155", "mark_settled"),
        ("1,155", "20.5", "1155", "mark_settled"),
        ("1.155", "20", "1.155", "thousands"),
        ("1,155", "20", "1.155", "thousands"),
    ],
)
def test_a_mark_of_thousands_is_settled_by_the_decimals_of_other_numbers(
    no_bids: Evaluation, printed: str, elsewhere: str, read: str, code: str
) -> None:
    text = f"Screw\tA\nScrew diameter [mm]\t60\nSwept volume [cm³]\t{printed}\nL/D\t{elsewhere}"
    line = lines_of(extract_text(no_bids, text), "swept_volume")[0]
    assert line.value.magnitude == read
    assert codes(line) == [code]
    assert line.sure == (code == "mark_settled")


def test_a_label_alone_is_never_sure(no_bids: Evaluation) -> None:
    text = "Manufacturer: Nordhalm\nDate: 12.10.2026\nScrew diameter: 40\nStroke: 200 furlongs"
    extract = extract_text(no_bids, text)
    assert extract.sure_lines() == ()
    assert codes(lines_of(extract, "screw_diameter")[0]) == ["unit_missing"]
    assert codes(lines_of(extract, "supplier")[0]) == ["label_alone"]
    assert codes(lines_of(extract, "date")[0]) == ["label_alone"]
    assert take(no_bids, extract, extract.sure_lines()) == no_bids


@pytest.mark.parametrize(
    ("label", "text", "field", "read", "is_sure"),
    [
        ("Supplier", "Nordhalm", "supplier", "Nordhalm", True),
        ("Supplier", "see the foot: registered", "supplier", "see the foot: registered", False),
        ("Offer no.", "NH 26/118", "reference", "NH 26/118", True),
        ("Angebot", "NH 26/118", "reference", "NH 26/118", False),
        ("Offer date", "12 October 2026", "date", "2026-10-12", True),
        ("Angebotsdatum", "3. März 2026", "date", "2026-03-03", True),
        ("Date of offer", "Oct. 12, 2026", "date", "2026-10-12", True),
        ("Fecha de oferta", "1 de enero de 2026", "date", "2026-01-01", True),
        ("Offer date", "3/4/2026", "date", "2026-04-03", False),
        ("Valid until", "2026-12-31", "valid_until", "2026-12-31", True),
        ("Delivery", "as agreed", "delivery", "as agreed", False),
        ("Lieferzeit", "16 Wochen", "delivery", "16 Wochen", True),
        ("Delivery", "6 weeks. Payment 40/60", "delivery", "6 weeks. Payment 40/60", False),
        ("Payment terms", "30 days net", "payment", "30 days net", True),
        ("Garantie", "24 mois", "warranty", "24 mois", True),
    ],
)
def test_an_explicit_label_is_enough_for_the_head_of_an_offer_and_its_terms(
    no_bids: Evaluation, label: str, text: str, field: str, read: str, is_sure: bool
) -> None:
    (line,) = lines_of(extract_text(no_bids, f"{label}\t{text}\nStroke [mm]\t200"), field)
    assert (str(line.value), line.sure) == (read, is_sure)


def test_a_vague_label_does_not_shake_an_explicit_one(no_bids: Evaluation) -> None:
    text = "Offer: one machine\nDate: 2026-09-01\nOffer date: 2026-10-12\nOffer number: NH 26/118"
    extract = extract_text(no_bids, text)
    assert [(str(line.value), line.sure) for line in lines_of(extract, "date")] == [
        ("2026-09-01", False),
        ("2026-10-12", True),
    ]
    assert [line.value for line in lines_of(extract, "reference")] == ["NH 26/118"]


def test_names_are_as_sure_as_the_numbers_below_them(no_bids: Evaluation) -> None:
    bare = extract_text(no_bids, "Screw\tA\tB\nStroke\t200\t200")
    assert [codes(line) for line in lines_of(bare, "label")] == [["name_alone"]] * 2
    borne_out = extract_text(no_bids, "Screw\tA\tB\nStroke [mm]\t200\t200")
    assert all(line.sure for line in lines_of(borne_out, "label"))


def test_what_contradicts_within_a_unit_is_left_to_a_person(no_bids: Evaluation) -> None:
    text = "Screw\tA\tB\nScrew diameter [mm]\t40\t45\nHeating power [kW]\t9.8\t11.2"
    lines = lines_of(extract_text(no_bids, text), "heating_power")
    assert [line.value.magnitude for line in lines] == ["9.8", "11.2"]
    assert [codes(line) for line in lines] == [["conflict"]] * 2


def test_a_resin_that_nobody_knows_is_named_and_left(no_bids: Evaluation) -> None:
    text = "Screw\tA\nShot weight [g]\t230\nReference resin\tXylopren 4"
    line = lines_of(extract_text(no_bids, text), "reference_resin")[0]
    assert (line.value, codes(line)) == (None, ["unknown_resin"])


def test_a_resin_that_only_the_shipped_table_has_comes_with_its_line(no_bids: Evaluation) -> None:
    text = "Screw\tA\nScrew diameter [mm]\t40\nShot weight (ABS) [g]\t230"
    extract = extract_text(no_bids, text)
    (line,) = lines_of(extract, "reference_resin")
    assert line.sure
    assert "abs" not in {resin.id for resin in no_bids.resins}
    taken = take(no_bids, extract, extract.sure_lines())
    assert [b.reference_resin for _, _, b in taken.barrels()] == ["abs"]
    assert taken.resin("abs").name == "Acrylonitrile-butadiene-styrene"  # type: ignore[union-attr]
    without = take(no_bids, extract, [n for n, one in enumerate(extract.lines) if one != line])
    assert without.resins == no_bids.resins


def test_a_number_keeps_where_it_stood(no_bids: Evaluation) -> None:
    extract = extract_text(no_bids, PLAIN)
    stroke = lines_of(extract, "stroke")[1]
    assert (stroke.place.row, stroke.place.column) == (3, 4)
    assert stroke.value.source == "pasted, row 3, column 4"


def test_taking_makes_the_screws_and_nothing_else(no_bids: Evaluation) -> None:
    extract = extract_text(no_bids, PLAIN)
    taken = take(no_bids, extract, extract.sure_lines())
    (bid,) = taken.bids
    (unit,) = bid.units
    assert [barrel.label for barrel in unit.barrels] == ["A", "B"]
    assert [barrel.swept_volume.magnitude for barrel in unit.barrels if barrel.swept_volume] == [
        "251",
        "318",
    ]
    assert taken.replace(bids=()) == no_bids


def test_the_only_unit_is_that_of_every_screw_wherever_it_is_printed(
    no_bids: Evaluation,
) -> None:
    text = "Injection unit\t\tUnit 610\nScrew\tA\tB\nStroke [mm]\t200\t200\nDrive power [kW]\t\t55"
    taken = take(no_bids, (extract := extract_text(no_bids, text)), extract.sure_lines())
    (unit,) = taken.bids[0].units
    assert unit.designation == "Unit 610"
    assert [barrel.label for barrel in unit.barrels] == ["A", "B"]


def test_a_currency_is_read_with_its_price_and_with_nothing_else(no_bids: Evaluation) -> None:
    text = (
        "Machine\t\tUnit 610\nMachine price [USD]\t\t171900\nShot weight (ABS)\tg\t230\n"
        "Freight\tGBP\t4200\nStroke\tmm\t200"
    )
    extract = extract_text(no_bids, text)
    (price,), (freight,) = lines_of(extract, "price"), lines_of(extract, "freight")
    assert (price.value.currency, codes(price)) == ("USD", [])
    assert (freight.value.currency, codes(freight)) == ("GBP", [])
    assert "GBP" not in [line.text for line in extract.lines]
    assert codes(lines_of(extract, "reference_resin")[0]) == ["table_resin"]


def told(extract: Extract, field: str) -> list[tuple[str, bool]]:
    """Return the numbers of one datum as read, and whether each is sure."""
    lines = (line for line in lines_of(extract, field) if line.value is not None)
    return [(text_of(line.value), line.sure) for line in lines]


def test_the_stroke_of_a_clamp_or_an_ejector_is_no_stroke_of_a_screw(no_bids: Evaluation) -> None:
    text = (
        "Clamping unit\t\t\nStroke\tmm\t475\nClamping force\tkN\t1600\nInjection unit\t\t\n"
        "Screw diameter\tmm\t40\nStroke\tmm\t180\nEjector\t\t\nStroke\tmm\t100"
    )
    extract = extract_text(no_bids, text)
    assert told(extract, "stroke") == [("180 mm", True)]
    assert told(extract, "clamp_force") == [("1600 kN", True)]
    assert {"475", "100"} <= {line.text for line in extract.lines if line.value is None}
    # Without titles such a word below the data of a clamp may be of either.
    screw = "Screw diameter mm\t40\nL/D\t20\nInjection pressure bar\t2400\n"
    below = f"{screw}Clamping force kN\t1600\nDaylight mm\t900\n"
    assert told(extract_text(no_bids, f"{below}Stroke mm\t475"), "stroke") == [("475 mm", False)]
    named = f"{below}Screw stroke mm\t180"
    assert told(extract_text(no_bids, named), "stroke") == [("180 mm", True)]


def test_the_delivery_of_an_option_is_not_that_of_the_offer(no_bids: Evaluation) -> None:
    text = "Option\tPrice\tDelivery\nCore pull\t3400 EUR\t6 weeks"
    extract = extract_text(no_bids, text)
    assert told(extract, "delivery") == [("6 weeks", False)]
    assert told(extract, "price") == [("3400 EUR", False)]


def test_screws_of_one_name_that_print_other_numbers_are_not_one(no_bids: Evaluation) -> None:
    text = (
        "Screw\tA\tB\nStroke [mm]\t150\t150\nScrew diameter [mm]\t30\t35\n\n"
        "Screw\tA\tB\nStroke [mm]\t200\t200\nL/D\t22\t20"
    )
    extract = extract_text(no_bids, text)
    assert extract.sure_lines() == ()
    assert len({line.thing for line in lines_of(extract, "stroke")}) == 4


def test_a_second_unit_has_its_own_screws_and_what_names_none_may_be_of_either(
    no_bids: Evaluation,
) -> None:
    unit = "Injection unit\t{}\nHeating power [kW]\t{}\nScrew\tA\tB\nStroke [mm]\t{}\t{}\n"
    text = unit.format(430, 8, 150, 150) + unit.format(860, 12, 200, 200)
    extract = extract_text(no_bids, f"{text}Screw\tA\tB\nPrice difference [EUR]\t0\t500")
    taken = take(no_bids, extract, extract.sure_lines()).bids[0]
    assert [
        (one.designation, [(b.label, b.stroke and b.stroke.magnitude) for b in one.barrels])
        for one in taken.units
    ] == [("430", [("A", "150"), ("B", "150")]), ("860", [("A", "200"), ("B", "200")])]
    assert [sure for _, sure in told(extract, "price_difference")] == [False, False]


def test_screws_of_other_strokes_in_one_table_leave_it_open_of_which_unit_they_are(
    no_bids: Evaluation,
) -> None:
    text = "Screw\tA\tB\nScrew diameter [mm]\t40\t45\nStroke [mm]\t200\t220"
    assert extract_text(no_bids, text).sure_lines() == ()
    named = extract_text(no_bids, f"Injection unit\t350\t350\n{text}")
    assert told(named, "stroke") == [("200 mm", True), ("220 mm", True)]


def test_a_datum_that_is_printed_twice_makes_no_further_screw(no_bids: Evaluation) -> None:
    text = (
        "Screw\tA\nScrew diameter [mm]\t40\nStroke [mm]\t200\nInjection pressure [bar]\t160\n"
        "Holding pressure [bar]\t1800\nSpecific injection pressure [bar]\t2150"
    )
    extract = extract_text(no_bids, text)
    assert told(extract, "injection_pressure") == [("160 bar", False), ("2150 bar", False)]
    assert len({line.thing for line in lines_of(extract, "injection_pressure")}) == 1


@pytest.mark.parametrize(
    "heads",
    ["Required\tOffered", "Soll\tAngebot", "min\tmax", "Tolerance\tValue", "old offer\tnew"],
)
def test_what_was_asked_or_offered_before_is_no_screw(no_bids: Evaluation, heads: str) -> None:
    text = f"Data\tUnit\t{heads}\nScrew diameter\tmm\t45\t50\nSwept volume\tcm³\t300\t393"
    extract = extract_text(no_bids, text)
    assert told(extract, "screw_diameter") == [("50 mm", True)]
    assert told(extract, "swept_volume") == [("393 cm3", True)]
    assert {"45", "300"} <= {line.text for line in extract.lines if line.value is None}


@pytest.mark.parametrize(
    ("heads", "sure"),
    [
        ("Evaluated\tConfirmed", False),
        ("Standard\tmax", False),
        ("Standard\tOption 1", True),
        ("I\tIII", True),
        ("S32\tS36", True),
    ],
)
def test_words_that_nobody_knows_over_numbers_leave_it_open_which_screw_they_are(
    no_bids: Evaluation, heads: str, sure: bool
) -> None:
    text = f"Data\tUnit\t{heads}\nScrew diameter\tmm\t45\t50\nSwept volume\tcm³\t300\t393"
    extract = extract_text(no_bids, text)
    assert told(extract, "screw_diameter") == [("45 mm", sure), ("50 mm", sure)]


@pytest.mark.parametrize(
    ("strokes", "units", "sure"),
    [((130, 160, 200), 3, True), ((160, 160, 160), 1, True), ((160, 160, 200), 1, False)],
)
def test_columns_with_strokes_of_their_own_are_machines(
    no_bids: Evaluation, strokes: tuple[int, ...], units: int, sure: bool
) -> None:
    """One drive has one stroke."""
    told_of = "\t".join(map(str, strokes))
    text = (
        "Data\tUnit\tDuro 60\tDuro 90\tDuro 140\nScrew diameter\tmm\t30\t35\t45\n"
        f"Stroke\tmm\t{told_of}\nClamp force\tkN\t600\t900\t1400\n\n"
        "Data\tUnit\tDuro 60\tDuro 90\tDuro 140\nSwept volume\tcm³\t92\t154\t318"
    )
    extract = extract_text(no_bids, text)
    assert [one for _, one in told(extract, "screw_diameter")] == [sure] * 3
    screws = [line.thing for line in lines_of(extract, "screw_diameter")]
    assert [line.thing for line in lines_of(extract, "swept_volume")] == screws
    assert len({screw.path[:4] for screw in screws if screw}) == units
    assert [one for _, one in told(extract, "clamp_force")] == [units == 3] * 3


def test_a_title_that_may_belong_to_the_label_below_it_leaves_doubt(no_bids: Evaluation) -> None:
    text = "Screw diameter\tmm\t40\nStroke\tmm\t200\nScrew\t\t\nDrive power\tkW\t30"
    extract = extract_text(no_bids, text)
    assert told(extract, "drive_power") == [("30 kW", False)]
    assert codes(lines_of(extract, "drive_power")[0]) == ["ambiguous_label"]


def test_a_title_that_goes_on_is_of_the_same_unit(no_bids: Evaluation) -> None:
    text = (
        "Injection unit 1175{}\n\tUnit\t{}\t{}\nScrew diameter\tmm\t{}\t{}\nStroke\tmm\t260\t260\n"
    )
    pages = text.format("", "A", "B", 50, 55) + text.format(" (continued)", "D", "E", 65, 70)
    extract = extract_text(no_bids, pages)
    assert [one.value.magnitude for one in lines_of(extract, "screw_diameter")] == [
        *("50", "55", "65", "70")
    ]
    assert len({one.thing.unit for one in lines_of(extract, "screw_diameter") if one.thing}) == 1


def test_a_heading_of_one_line_may_stand_between_the_two_of_the_others(no_bids: Evaluation) -> None:
    text = (
        "\tScrew\tScrew\tShot\tPlasticizing\nVersion\t\t\t\t\n\tdia.\tL/D\tvolume\trate\n"
        "\tmm\t\tcm³\tg/s\nHK-A\t35\t23\t168\t11.5\nHK-B\t40\t20\t220\t15.2\n"
    )
    extract = extract_text(no_bids, text)
    assert [value for value, _ in told(extract, "plasticising_rate")] == ["11.5 g/s", "15.2 g/s"]
    assert [value for value, _ in told(extract, "swept_volume")] == ["168 cm3", "220 cm3"]
    assert lines_of(extract, "injection_rate") == []


@pytest.mark.parametrize("label", ["max. Drehzahl", "Screw rpm, max", "Giri vite (max)"])
def test_the_highest_of_a_screws_speeds_is_told_by_its_label(label: str) -> None:
    assert read_label(label).keys[0].field == "screw_speed_max"
