"""One cell and its unit, read as a datum: the number, and every reason to look at it again."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from evenbarrel.entry.shapes import Context, shapes_of
from evenbarrel.intake.extract import HARMLESS
from evenbarrel.intake.keys import MODELS, DatumKey, read_key
from evenbarrel.intake.tables.values import LONGEST_NUMBER, CellReading, read_value

from .outcomes import text_of

CONTEXT = Context(resins={"ps": "Polystyrene, general purpose", "pp": "Polypropylene"})
KEYS = [DatumKey(owner, name) for owner, model in MODELS.items() for name in shapes_of(model)]


def read(key: str, text: str, unit: str = "") -> CellReading:
    found = read_key(key)
    assert found is not None
    return read_value(found.shape, text, unit, CONTEXT)


def test_sure_values(for_each: Any) -> None:
    @for_each(
        [
            ("barrel.stroke", "172,5", "mm", "172.5 mm"),
            ("barrel.stroke", "1 5/8", "in", "1.625 in"),
            ("barrel.stroke", "1 5/8 in", "mm", "1.625 in"),
            ("barrel.swept_volume", "1'155", "cm³", "1155 cm3"),
            ("barrel.swept_volume", "1.234,5", "ccm", "1234.5 cm3"),
            ("barrel.swept_volume", "15.6", "cu.in.", "15.6 in3"),
            ("barrel.screw_speed", "300 1/min", "", "300 rev/min"),
            ("barrel.screw_speed", "300", "U/min", "300 rev/min"),
            ("barrel.injection_pressure", "210", "N/mm²", "210 MPa"),
            ("barrel.injection_pressure", "2400 bar (34810 psi)", "", "2400 bar"),
            ("barrel.length_ratio", "22:1", "", "22 1"),
            ("barrel.length_ratio", "22 D", "", "22 1"),
            ("unit.position_scatter", "± 0,05", "mm", "0.05 mm"),
            ("unit.price", "148.500,00", "EUR", "148500.00 EUR"),
            ("unit.price", "CHF 2300.-", "", "2300 CHF"),
            ("bid.date", "14.09.2026", "", "2026-09-14"),
            ("bid.date", "2026-09-14", "", "2026-09-14"),
            ("unit.drive_kind", "Vollelektrisch", "", "electric"),
            ("barrel.screw_package", "bimetallic, with carbides", "", "bimetallic_carbide"),
            ("barrel.reference_resin", "PS", "", "ps"),
            ("unit.clamp_force", "160", "t", "160 tf"),
            ("unit.clamp_force", "165 US tons", "", "165 tonf"),
            ("unit.drive_power", "45", "PS", "45 PS"),
            ("unit.heating_power", "14500 W", "", "14500 W"),
            ("barrel.screw_torque", "64", "daN·m", "64 daNm"),
            ("barrel.screw_torque", "480 lb-ft", "", "480 lbf.ft"),
            ("barrel.screw_speed", "5 1/s", "", "5 rev/s"),
            ("barrel.reference_resin", "Polypropylene", "", "pp"),
        ]
    )
    def _(key: str, text: str, unit: str, value: str) -> None:
        reading = read(key, text, unit)
        assert text_of(reading.value) == value
        assert {one.code for one in reading.findings} <= HARMLESS


def test_values_to_look_at(for_each: Any) -> None:
    @for_each(
        [
            ("barrel.swept_volume", "1,234", "cm3", "1.234 cm3", "thousands"),
            ("barrel.injection_pressure", "2,400", "bar", "2400 bar", "thousands"),
            ("barrel.stroke", "approx. 240", "mm", "240 mm", "approximate"),
            ("barrel.stroke", "ca. 240", "mm", "240 mm", "approximate"),
            ("barrel.stroke", "max. 240", "mm", "240 mm", "limit"),
            ("barrel.stroke", "jusqu'à 240", "mm", "240 mm", "limit"),
            ("barrel.stroke", "240 ¹⁾", "mm", "240 mm", "footnote"),
            ("barrel.stroke", "240 1)", "mm", "240 mm", "footnote"),
            ("barrel.stroke", "240*", "mm", "240 mm", "footnote"),
            ("barrel.stroke", "240 ± 2", "mm", "240 mm", "tolerance"),
            ("barrel.stroke", "240", "", "240 mm", "unit_missing"),
            ("barrel.stroke", "24000", "mm", "24000 mm", "unusual"),
            ("barrel.injection_pressure", "2400 bar (2400 psi)", "", "2400 bar", "two_numbers"),
            ("unit.price", "148 500", "", "148500 EUR", "currency_missing"),
            ("unit.price", "$ 148500", "", "148500 USD", "currency_sign"),
            ("bid.date", "09/10/2026", "", "2026-10-09", "day_or_month"),
            ("barrel.rated_shot_mass", "326 g in PS", "", "326 g", "more_beside"),
            ("barrel.injection_pressure", "2060 bar (melt)", "", "2060 bar", "more_beside"),
            ("barrel.plasticising_rate", "38 g/s at 300 rpm", "", "38 g/s", "more_beside"),
            ("unit.price", "98.400,- EUR netto", "", "98400 EUR", "more_beside"),
            ("barrel.screw_speed", "0-320", "rpm", "320 rev/min", "from_zero"),
            ("unit.max_back_pressure", "0 bis 250 bar", "", "250 bar", "from_zero"),
            # It may be either ton.
            ("unit.clamp_force", "160 tons", "", "160 tonf", "tons"),
            ("unit.clamp_force", "160", "Ton", "160 tonf", "tons"),
            # Who carries what is no currency.
            ("unit.price", "98500 EXW", "EUR", "98500 EUR", "more_beside"),
            ("unit.price", "98500 FOB", "", "98500 EUR", "currency_missing"),
        ]
    )
    def _(key: str, text: str, unit: str, value: str, code: str) -> None:
        reading = read(key, text, unit)
        assert text_of(reading.value) == value
        assert code in [one.code for one in reading.findings]
        assert code not in HARMLESS


def test_what_is_not_taken_says_why(for_each: Any) -> None:
    @for_each(
        [
            ("barrel.stroke", "240/260", "mm", "range"),
            ("barrel.stroke", "240 - 260", "mm", "range"),
            ("barrel.stroke", "240…260", "mm", "range"),
            ("barrel.screw_speed", "15-320", "rpm", "range"),
            ("barrel.screw_speed", "-320", "rpm", "impossible"),
            ("barrel.stroke", "240 to 260 mm", "", "range"),
            ("barrel.stroke", "on request", "mm", "not_stated"),
            ("barrel.stroke", "auf Anfrage", "mm", "not_stated"),
            ("barrel.stroke", "sur demande", "mm", "not_stated"),
            ("barrel.stroke", "su richiesta", "mm", "not_stated"),
            ("barrel.stroke", "a consultar", "mm", "not_stated"),
            ("barrel.stroke", "–", "mm", "not_stated"),
            ("barrel.stroke", "n/a", "mm", "not_stated"),
            ("barrel.stroke", "0", "mm", "impossible"),
            ("barrel.stroke", "240", "bar", "unit_unknown"),
            ("unit.clamp_force", "160", "kg", "unit_unknown"),
            ("barrel.stroke", "see page 4", "mm", "not_read"),
            ("barrel.stroke", "150 mm usable, 160 mm by design", "", "range"),
            ("barrel.injection_pressure", "30000 psig", "", "gauge"),
            ("bid.date", "31.02.2026", "", "not_read"),
            ("barrel.ring_kind", "the usual", "", "not_read"),
            ("barrel.reference_resin", "unobtainium", "", "unknown_resin"),
            ("barrel.stroke", "9" * (LONGEST_NUMBER + 1), "mm", "not_read"),
        ]
    )
    def _(key: str, text: str, unit: str, code: str) -> None:
        reading = read(key, text, unit)
        assert reading.value is None
        assert [one.code for one in reading.findings] == [code]


def test_a_tolerance_becomes_the_half_width() -> None:
    assert read("barrel.injection_pressure", "2400 ± 5 %", "bar").value.half_width == 0.05
    assert read("barrel.stroke", "200 ± 2", "mm").value.half_width == 0.01


TEXTS = st.one_of(
    st.text(max_size=60),
    st.text("0123456789.,'/ ±()-–…~≈<>*¹²³ⁿ%:xDmcinbarpskgEURo\u202f", max_size=40),
)


@given(st.sampled_from(KEYS), TEXTS, st.one_of(st.just(""), st.text(max_size=8)))
def test_whatever_a_cell_holds_it_is_read_or_said(key: DatumKey, text: str, unit: str) -> None:
    reading = read_value(key.shape, text, unit, CONTEXT)
    assert reading.value is not None or reading.findings


@given(st.integers(1, 10**6), st.sampled_from(["mm", "cm", "in"]))
def test_a_plain_number_with_its_unit_is_that_number(number: int, unit: str) -> None:
    for text, beside in ((str(number), unit), (f"{number} {unit}", "")):
        value = read("barrel.stroke", text, beside).value
        assert (value.magnitude, value.unit) == (str(number), unit)
