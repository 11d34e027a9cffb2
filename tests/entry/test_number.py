"""Typed numbers: worked readings, refusals, and what holds for every text."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from evenbarrel.entry.number import Entry, Refusal, as_share, echo, read_number
from evenbarrel.units import KINDS, Kind

LENGTH = KINDS["length"].units


def read(text: str, kind: str = "length") -> Entry | Refusal | None:
    units = KINDS[kind].units
    return read_number(text, units, units[0])


def entry(text: str, kind: str = "length") -> Entry:
    found = read(text, kind)
    assert isinstance(found, Entry), f"{text!r} gave {found}"
    return found


def refusal(text: str, kind: str = "length") -> Refusal:
    found = read(text, kind)
    assert isinstance(found, Refusal), f"{text!r} gave {found}"
    return found


def test_numbers(for_each: Any) -> None:
    @for_each(
        [
            ("50", "50"),
            ("2.0", "2.0"),
            ("2.00", "2.00"),
            ("007.50", "7.50"),
            ("0", "0"),
            ("0,00", "0.00"),
            ("-0.0", "0.0"),
            (".5", "0.5"),
            (",5", "0.5"),
            ("+5", "5"),
            ("-5", "-5"),
            ("\u22125", "-5"),
            ("\u20135,5", "-5.5"),
            ("1,5", "1.5"),
            ("1234.5", "1234.5"),
            ("1234,567", "1234.567"),
            ("0.985", "0.985"),
            ("1.234,5", "1234.5"),
            ("1,234.5", "1234.5"),
            ("1,234.567", "1234.567"),
            ("1 234.5", "1234.5"),
            ("1 234,5", "1234.5"),
            ("1\u2009234,5", "1234.5"),
            ("1\u202f234,5", "1234.5"),
            ("1\u00a0234,5", "1234.5"),
            ("1'234.5", "1234.5"),
            ("1\u2019234,567", "1234.567"),
            ("1 234", "1234"),
            ("12\u202f345\u202f678", "12345678"),
            ("1,234,567", "1234567"),
            ("1.234.567", "1234567"),
            ("1.234.567,80", "1234567.80"),
            ("1e3", "1000"),
            ("1.5E-3", "0.0015"),
            ("1,50e1", "15.0"),
            ("2.0e0", "2.0"),
            ("0e5", "0"),
            ("1e29", "1" + "0" * 29),
            ("1e-30", "0." + "0" * 29 + "1"),
            ("Ø50", "50"),
            ("ø 50,5", "50.5"),
            ("  50  ", "50"),
            ("123456789012345", "123456789012345"),
        ]
    )
    def _(text: str, magnitude: str) -> None:
        assert entry(text) == Entry(magnitude, "mm")


def test_fractions_that_end(for_each: Any) -> None:
    @for_each(
        [
            ("1 1/2 in", "1.5"),
            ("3/4 in", "0.75"),
            ("½ in", "0.5"),
            ("1½ in", "1.5"),
            ("1 ½ in", "1.5"),
            ('2⅝"', "2.625"),
            ("-1 1/2 in", "-1.5"),
            ("-½ in", "-0.5"),
            ("1\u20442 in", "0.5"),
            ("1 63/64 in", "1.984375"),
            ("4/2 in", "2"),
            ("1/1024 in", "0.0009765625"),
        ]
    )
    def _(text: str, magnitude: str) -> None:
        assert entry(text) == Entry(magnitude, "in")


def test_fraction_that_does_not_end_is_rounded_and_says_so() -> None:
    found = entry("2/3 in")
    assert found.magnitude == "0.666666666667"
    assert found.note is not None
    assert found.note.code == "rounded"
    assert found.note.text == "read as 0.666666666667, rounded to 12 digits"
    assert entry("1 1/3").magnitude == "1.33333333333"


@pytest.mark.parametrize("text", ["1.234", "1,234", "1,234 mm", "-12.345", "999.000", "1.050"])
def test_one_separator_and_three_digits_is_read_as_decimal_with_a_note(text: str) -> None:
    found = entry(text)
    assert Decimal(found.magnitude) == Decimal(text.removesuffix(" mm").replace(",", "."))
    assert found.note is not None
    assert found.note.code == "thousands"


def test_note_is_written_with_the_decimal_mark_of_the_reader() -> None:
    found = read_number("1.234", LENGTH, "mm", decimal_mark=",")
    assert isinstance(found, Entry)
    assert found.magnitude == "1.234"
    assert found.note is not None
    assert found.note.text == "read as 1,234; write 1234 if thousands are meant"
    assert echo(found, ",") == "read as 1,234 mm"


@pytest.mark.parametrize("text", ["0.234", "1234.567", "1.2345", "1.23", "1 234", "1.234e0"])
def test_no_note_where_thousands_cannot_be_meant(text: str) -> None:
    assert entry(text).note is None


@pytest.mark.parametrize("text", ["", " ", "\t", "\u00a0", "\n "])
def test_empty_is_neither_zero_nor_wrong(text: str) -> None:
    assert read(text) is None


def test_unit_behind_the_number(for_each: Any) -> None:
    @for_each(
        [
            ("12 cm³", "volume", "12", "cm3"),
            ("12ccm", "volume", "12", "cm3"),
            ("12 cc", "volume", "12", "cm3"),
            ("12 cm^3", "volume", "12", "cm3"),
            ("12 in³", "volume", "12", "in3"),
            ("12 cu in", "volume", "12", "in3"),
            ("12 cu. in.", "volume", "12", "in3"),
            ("1,5 L", "volume", "1.5", "l"),
            ("1 litre", "volume", "1", "l"),
            ("12 fl oz", "volume", "12", "fl_oz"),
            ("12 fl. oz.", "volume", "12", "fl_oz"),
            ('2"', "length", "2", "in"),
            ("2 in.", "length", "2", "in"),
            ("2 inch", "length", "2", "in"),
            ("2.5 inches", "length", "2.5", "in"),
            ("12 oz", "mass", "12", "oz"),
            ("1 ounce", "mass", "1", "oz"),
            ("3 lbs.", "mass", "3", "lb"),
            ("1,05 g/cm³", "density", "1.05", "g/cm3"),
            ("150 mpa", "melt_pressure", "150", "MPa"),
            ("150 N/mm²", "melt_pressure", "150", "MPa"),
            ("20 000 psi", "melt_pressure", "20000", "psi"),
            ("1500 kg/cm²", "oil_pressure", "1500", "kgf/cm2"),
            ("1500 kp/cm2", "oil_pressure", "1500", "kgf/cm2"),
            ("0bar", "oil_pressure", "0", "bar"),
            ("120 ccm/s", "volume_rate", "120", "cm3/s"),
            ("120 cm³/s", "volume_rate", "120", "cm3/s"),
            ("0oz/s", "mass_rate", "0", "oz/s"),
            ("60 rpm", "rotational_speed", "60", "rev/min"),
            ("60 U/min", "rotational_speed", "60", "rev/min"),
            ("60 1/min", "rotational_speed", "60", "rev/min"),
            ("60/min", "rotational_speed", "60", "rev/min"),
            ("61/min", "rotational_speed", "61", "rev/min"),
            ("60 min-1", "rotational_speed", "60", "rev/min"),
            ("60 min⁻¹", "rotational_speed", "60", "rev/min"),
            ("60 min^-1", "rotational_speed", "60", "rev/min"),
            ("5 min", "time", "5", "min"),
            ("230 °C", "temperature", "230", "degC"),
            ("230 C", "temperature", "230", "degC"),
            ("450°F", "temperature", "450", "degF"),
            ("5 °C", "temperature_difference", "5", "K"),
            ("9 F", "temperature_difference", "9", "delta_degF"),
            ("40 hp", "power", "40", "hp"),
            ("500 N·m", "torque", "500", "Nm"),
            ("5 Nm", "torque", "5", "Nm"),
            ("20 %", "share", "20", "%"),
            ("0.2", "share", "0.2", "%"),
            ("5 g/10 min", "melt_mass_flow", "5", "g/10min"),
            ("620 J/g", "enthalpy", "620", "kJ/kg"),
            ("0,1 mm²/s", "diffusivity", "0.1", "mm2/s"),
        ]
    )
    def _(text: str, kind: str, magnitude: str, unit: str) -> None:
        assert entry(text, kind) == Entry(magnitude, unit)


def test_every_unit_text_selects_itself(for_each: Any) -> None:
    @for_each((unit, kind) for kind in KINDS.values() for unit in kind.units if unit != "1")
    def _(unit: str, kind: Kind) -> None:
        for space in ("", " ", "\u202f"):
            for selected in kind.units:
                found = read_number(f"1,50{space}{unit}", kind.units, selected)
                assert found == Entry("1.50", unit), (selected, space)


def test_without_a_unit_the_selected_one_stands() -> None:
    assert read_number("2", LENGTH, "in") == Entry("2", "in")


def test_unit_the_field_does_not_take(for_each: Any) -> None:
    @for_each(
        [
            ("12 oz", "volume", '"oz" is not a unit of this field; it takes cm3, in3, l or fl_oz.'),
            ("12 fl oz", "mass", '"fl oz" is not a unit of this field; it takes g, kg, oz or lb.'),
            ("5 m", "length", '"m" is not a unit of this field; it takes mm, cm or in.'),
            ("150 mPa", "melt_pressure", None),
            ("5 MIN", "time", '"MIN" is not a unit of this field; it takes s, min or h.'),
            ("5 K", "temperature", '"K" is not a unit of this field; it takes degC or degF.'),
            ("20 D", "ratio", '"D" is not a unit of this field; it takes a plain number.'),
            ("20 %", "ratio", '"%" is not a unit of this field; it takes a plain number.'),
            ("1O5", "length", '"O5" is not a unit of this field; it takes mm, cm or in.'),
            ("5^1", "ratio", None),
            ("5³", "length", None),
            ("1 t", "mass", None),
        ]
    )
    def _(text: str, kind: str, sentence: str | None) -> None:
        found = refusal(text, kind)
        assert found.code in ("unit", "two_numbers")
        if sentence is not None:
            assert found == Refusal("unit", sentence)


@pytest.mark.parametrize("text", ["20000 psig", "20000 psia", "1500 bar(g)", "1500 bar g"])
def test_gauge_pressure_is_refused_with_its_reason(text: str) -> None:
    assert refusal(text, "melt_pressure").code == "gauge"


def test_refused(for_each: Any) -> None:
    @for_each(
        [
            ("not_finite", ["nan", "NaN mm", "inf", "-inf", "Infinity", "∞"]),
            ("hexadecimal", ["0x10", "0b1", "-0X1f"]),
            ("underscore", ["1_000"]),
            ("range", ["10-20", "10–20", "10 - 20", "10—20", "10…20", "10...20", "10 to 20"]),
            ("range", ["10 mm - 20 mm", "10 mm to 20 mm", "10 bis 20", "-5--3"]),
            ("tolerance", ["10 ± 1", "±5", "10 +/- 1", "10 +- 1"]),
            ("approximate", ["~10", "ca. 10", "ca 10", "<10", "> 10", "≤10", "≈ 10", "about 10"]),
            ("approximate", ["approx. 10 mm", "10 approx.", "max. 200", "up to 20"]),
            ("two_numbers", ["12 34", "1 2", "10 x 20", "10; 20", "1.5 2.5", "12\n345", "12\t345"]),
            ("two_numbers", ["½5", "½½", "1/2/3", "1.5 × 10^3"]),
            (
                "grouping",
                ["12,34,567", "1.234.5", "1,234.567,8", "1'23", "0,123,456", "1,,5", "5'"],
            ),
            ("places", ["12.", "12, mm"]),
            ("fraction", ["1/0", "1 3/2", "1,5/2", "1 /2", "1-1/2", "1.5½", ".½", "1/1234567"]),
            (
                "huge",
                ["1e31", "1e30", "1e-31", "1e999999999", "1234567890123456", "1.000000000000000"],
            ),
            ("letters", ["abc", "mm", "e5", ".", "-", "Ø", "١٢", "１２", "$5", "(5)"]),
            ("too_long", ["1" * 81]),
        ]
    )
    def _(code: str, texts: list[str]) -> None:
        for text in texts:
            assert refusal(text).code == code, text


# Texts that libraries for numbers and units read silently wrong, or never finish reading.
@pytest.mark.parametrize("text", ["9**9**9**9 mm", "nan mm", "1e400", "1,5 m", "__import__('os')"])
def test_traps_are_refused(text: str) -> None:
    refusal(text)


def test_echo() -> None:
    assert echo(entry("1 1/2 in")) == "read as 1.5 in"
    assert echo(entry("20 %", "share")) == "read as 20 %"
    assert echo(entry("1,1", "ratio")) == "read as 1.1"


TYPED = st.text(st.sampled_from("0123456789.,' \u202f-–/½eE+Ømincx%°³\"~±_…"), max_size=12)


@given(text=st.text() | TYPED, kind=st.sampled_from(list(KINDS)))
@example(text="1" * 100_000, kind="length")
@example(text="1e" + "9" * 70, kind="length")
@example(text="\ud800", kind="length")
@example(text="0:\n:", kind="length")
@example(text="1 furl\u2028ong", kind="length")
def test_any_text_gives_a_canonical_entry_a_sentence_or_nothing(text: str, kind: str) -> None:
    units = KINDS[kind].units
    found = read_number(text, units, units[-1])
    if isinstance(found, Entry):
        assert re.fullmatch(r"-?(0|[1-9][0-9]{0,29})(\.[0-9]{1,30})?", found.magnitude)
        assert found.unit in units
        again = read_number(found.magnitude, units, found.unit)
        assert isinstance(again, Entry)
        assert (again.magnitude, again.unit) == (found.magnitude, found.unit)
    elif isinstance(found, Refusal):
        assert found.text.endswith(".")
        assert "\n" not in found.text
    else:
        assert not text.strip()


@given(
    number=st.decimals(-(10**9), 10**9, places=3) | st.decimals(-(10**9), 10**9, places=2),
    style=st.sampled_from([(",", "."), (".", ","), ("\u202f", ","), (" ", "."), ("’", ".")]),
)
def test_a_number_printed_in_any_style_is_read_back(
    number: Decimal, style: tuple[str, str]
) -> None:
    group, mark = style
    text = f"{number:,f}".replace(",", "G").replace(".", mark).replace("G", group)
    found = entry(text)
    assert Decimal(found.magnitude) == number
    assert found.magnitude.partition(".")[2] == f"{number:f}".partition(".")[2]


@given(number=st.integers(0, 10**12), group=st.sampled_from(",. \u202f\u00a0'"))
def test_grouped_whole_number_is_read_back_or_noted(number: int, group: str) -> None:
    found = entry(f"{number:,}".replace(",", group))
    if group in ",." and 1000 <= number < 10**6:
        assert Decimal(found.magnitude) * 1000 == number
        assert found.note is not None
        assert found.note.code == "thousands"
    else:
        assert found == Entry(str(number), "mm")


@given(whole=st.integers(0, 99), numerator=st.integers(1, 63))
def test_inch_fractions_are_exact(whole: int, numerator: int) -> None:
    exact = whole + Decimal(numerator) / 64
    assert Decimal(entry(f"{whole} {numerator}/64 in").magnitude) == exact


@pytest.mark.parametrize(
    ("typed", "read", "told"),
    [
        ("15", "15", False),
        ("15 %", "15", False),
        ("0.15", "15", True),
        ("0,150", "15.0", True),
        ("0.5 %", "0.5", False),
        ("1", "1", False),
        ("0", "0", False),
    ],
)
def test_a_share_is_read_by_one_rule_and_what_it_was_read_as_is_told(
    typed: str, read: str, told: bool
) -> None:
    entry = read_number(typed, ("%", "1"), "%")
    assert isinstance(entry, Entry)
    share = as_share(entry)
    assert (share.magnitude, share.unit) == (read, "%")
    assert (share.note is not None) == told
