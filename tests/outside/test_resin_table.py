"""The shipped resin table against figures that did not come from it."""

from __future__ import annotations

import json
import math
import re
from itertools import product
from typing import Any

import numpy as np
import pytest

from evenbarrel import resources

Entry = dict[str, Any]

TABLE: Entry = json.loads(resources.read_text("resins.json"))
RESINS: dict[str, Entry] = {row["resin"]["id"]: row["resin"] for row in TABLE["resins"]}
NOTES: dict[str, str] = {row["resin"]["id"]: row["notes"] for row in TABLE["resins"]}
ORIGINS = {"published", "common_practice", "from_memory"}


def number(quantity: Entry) -> float:
    return float(quantity["magnitude"])


def tait_density(resin: Entry, celsius: float, pascal: float) -> float:
    """Melt density in kg/m3 from the entry's own coefficients."""
    *isobar, b0, b1 = resin["tait"]["coefficients"]
    volume = {
        "polynomial": lambda: sum(a * celsius**power for power, a in enumerate(isobar)),
        "exponential": lambda: isobar[0] * math.exp(isobar[1] * celsius),
    }[resin["tait"]["form"]]()
    return 1 / (volume * (1 - 0.0894 * math.log1p(pascal / (b0 * math.exp(-b1 * celsius)))))


def melt_density(resin: Entry) -> float:
    """In g/cm3, at the melt temperature and the back pressure of 10 MPa where Tait serves."""
    if resin["melt_density"] is not None:
        return number(resin["melt_density"])
    return tait_density(resin, number(resin["melt_temperature"]), 10e6) / 1000


def quantities(value: Any) -> list[Entry]:
    """Every quantity found in a value, at any depth."""
    if isinstance(value, dict):
        if "magnitude" in value:
            return [value]
        return [found for inner in value.values() for found in quantities(inner)]
    if isinstance(value, list):
        return [found for inner in value for found in quantities(inner)]
    return []


OF_THE_BANK = (
    ("ps", "PS"),
    ("pp", "i-PP"),
    ("pe_hd", "HDPE"),
    ("pe_ld", "LDPE"),
    ("pe_lld", "LLDPE"),
    ("pmma", "PMMA"),
    ("pc", "PC"),
    ("pmp", "PMP"),
)


# The data bank is read with a pandas keyword on its way out; that is polykin's to change.
@pytest.mark.filterwarnings("ignore:The inplace keyword")
def test_tait_densities_are_those_of_the_polykin_data_bank(for_each: Any) -> None:
    # It takes seconds to load, and every worker loads this file.
    from polykin.properties.pvt import Tait

    @for_each(OF_THE_BANK)
    def _(resin: str, polymer: str) -> None:
        # polykin 0.8, parameters of the Handbook of Polymer Solution Thermodynamics.
        entry = RESINS[resin]
        low, high = number(entry["tait"]["t_low"]), number(entry["tait"]["t_high"])
        bank = Tait.from_database(polymer)
        assert bank is not None
        assert (low + 273.15, high + 273.15) == pytest.approx(bank.Trange)
        assert number(entry["tait"]["p_high"]) * 1e6 == pytest.approx(bank.Prange[1])
        for pascal, share_of_range in product((1e5, 10e6, 100e6), (0.05, 0.5, 0.95)):
            celsius = low + share_of_range * (high - low)
            assert tait_density(entry, celsius, pascal) == pytest.approx(
                1 / bank.eval(celsius + 273.15, pascal), rel=0.001
            ), (celsius, pascal)


@pytest.mark.parametrize(
    ("resin", "celsius", "at_rest", "at_10_mpa"),
    [
        # Recalled sets after J. Appl. Polym. Sci. 48 (1993) 1061, from memory.
        ("pom", 200, 1.167, 1.175),
        ("pet", 280, 1.172, 1.180),
        ("peek", 380, 1.084, 1.095),
        ("psu", 360, 1.078, 1.087),
        ("pvc_u", 180, 1.287, 1.297),
        ("san", 220, 0.990, 0.998),
        # Melt density used with ISO 1133 at 230 °C, from memory: 0.7386.
        ("pp", 230, 0.7386, 0.749),
    ],
)
def test_melt_densities_are_those_recalled(
    resin: str, celsius: float, at_rest: float, at_10_mpa: float
) -> None:
    entry = RESINS[resin]
    assert tait_density(entry, celsius, 1e5) / 1000 == pytest.approx(at_rest, rel=0.001)
    assert tait_density(entry, celsius, 10e6) / 1000 == pytest.approx(at_10_mpa, rel=0.001)


@pytest.mark.parametrize(("resin", "volume"), [("pe_hd", 1.33), ("ps", 1.05)])
def test_melt_densities_lie_near_a_second_pair(resin: str, volume: float) -> None:
    # Specific volumes at 200 °C [cm3/g]: common practice, no source. PS lies 1.9 % off.
    assert tait_density(RESINS[resin], 200, 1e5) / 1000 == pytest.approx(1 / volume, rel=0.02)


def test_a_trade_factor_is_the_melt_density_less_a_plausible_leak(for_each: Any) -> None:
    @for_each(RESINS.values())
    def _(resin: Entry) -> None:
        factor = resin["output_factors"]["trade_table"]
        assert (factor is None) == (resin["output_factor_route"] == "melt_density")
        if factor is not None:
            assert 0.86 <= number(factor) / melt_density(resin) <= 1.0


def test_melt_is_lighter_than_solid(for_each: Any) -> None:
    @for_each(RESINS.values())
    def _(resin: Entry) -> None:
        if resin["solid_density"] is not None:
            assert 0.75 < melt_density(resin) / number(resin["solid_density"]) < 0.95


def test_every_number_says_where_it_comes_from(for_each: Any) -> None:
    @for_each(RESINS.values())
    def _(resin: Entry) -> None:
        numbers = {name for name, value in resin.items() if quantities(value)}
        assert numbers <= set(resin["origins"])
        assert set(resin["origins"]) <= set(resin)
        assert set(resin["origins"].values()) <= ORIGINS
        for name in numbers:
            for quantity in quantities(resin[name]):
                assert quantity["source"]
                assert quantity["standing"] == "assumed"
                recalled = re.search("memory|recalled", quantity["source"]) is not None
                assert recalled == (resin["origins"][name] == "from_memory")
                unsourced = "common practice, no source" in quantity["source"]
                assert not unsourced or resin["origins"][name] == "common_practice"


def test_magnitudes_are_plain_decimals(for_each: Any) -> None:
    @for_each(RESINS.values())
    def _(resin: Entry) -> None:
        for quantity in quantities(resin):
            assert re.fullmatch(r"\d+(\.\d*[1-9])?", quantity["magnitude"]), quantity


def test_nobody_has_accepted_a_window_of_the_table(for_each: Any) -> None:
    @for_each(RESINS.values())
    def _(resin: Entry) -> None:
        assert resin["utilisation_low"] is None
        assert resin["utilisation_high"] is None


def test_cooling_has_room_between_melt_ejection_and_mould(for_each: Any) -> None:
    @for_each(RESINS.values())
    def _(resin: Entry) -> None:
        if resin["ejection_temperature"] is not None:
            mould, ejection, melt = (
                number(resin[f"{name}_temperature"]) for name in ("mould", "ejection", "melt")
            )
            assert mould + 5 < ejection < melt


# Matrix melt densities [g/cm3] at 0.1 MPa: PP as used with ISO 1133, the others from memory.
@pytest.mark.parametrize(
    ("resin", "matrix"),
    [
        ("pp_t20", 0.7386),
        ("pp_t40", 0.7386),
        ("pp_gf30", 0.7386),
        ("pa66_gf30", 0.97),
        ("pbt_gf30", 1.12),
        ("pps_gf40", 1.16),
    ],
)
def test_filled_melts_obey_the_reciprocal_mass_rule(resin: str, matrix: float) -> None:
    (filler,) = RESINS[resin]["fillers"]
    share = filler["mass_share"]
    mixed = 1 / ((1 - share) / matrix + share / number(filler["density"]))
    assert number(RESINS[resin]["melt_density"]) == pytest.approx(mixed, rel=0.01)


def test_filled_resins_are_just_those() -> None:
    filled = {name for name, resin in RESINS.items() if resin["fillers"]}
    assert filled == {"pp_t20", "pp_t40", "pp_gf30", "pa66_gf30", "pbt_gf30", "pps_gf40"}


def test_acetal_works_well_below_its_ceiling_of_stability() -> None:
    # 60, 30 and 10 min at 200, 210 and 230 °C: common practice, no source; no working limit.
    ceiling = np.array([[200.0, 210.0, 230.0], np.log([60.0, 30.0, 10.0])])
    limits = RESINS["pom"]["residence_limits"]
    assert len(limits) == 3
    for limit in limits:
        most = math.exp(np.interp(number(limit["temperature"]), *ceiling))
        assert 0.2 * most < number(limit["time"]) < 0.5 * most
    assert RESINS["pom"]["origins"]["residence_limits"] == "from_memory"
    assert "60, 30 and 10 min" in NOTES["pom"]
    assert "ceiling of stability" in NOTES["pom"]


def usual_range(resin: Entry) -> tuple[float, float] | None:
    """The usual range of melt temperatures that the source of the default one prints [°C]."""
    found = re.search(r"usual range (\d+)–(\d+) °C", resin["melt_temperature"]["source"])
    return None if found is None else (float(found[1]), float(found[2]))


def test_the_default_melt_temperature_is_usual_and_the_one_the_enthalpy_is_for(
    for_each: Any,
) -> None:
    @for_each(RESINS.values())
    def _(resin: Entry) -> None:
        default, usual = number(resin["melt_temperature"]), usual_range(resin)
        assert usual is not None or resin["id"] == "pmp"
        if usual is not None:
            assert usual[0] <= default <= usual[1]
        if resin["enthalpy"] is not None:
            (to,) = re.findall(r"20 °C to (\d+) °C", resin["enthalpy"]["source"])
            assert float(to) == default
        if resin["melt_density_temperature"] is not None:
            assert number(resin["melt_density_temperature"]) == default


def test_longest_stays_reach_the_top_of_the_range_or_say_so(for_each: Any) -> None:
    @for_each(RESINS.values())
    def _(resin: Entry) -> None:
        """A limit holds to 5 K above its highest point."""
        reach = [number(point["temperature"]) + 5 for point in resin["residence_limits"]]
        usual = usual_range(resin)
        if not reach:
            assert "No longest stay is known" in NOTES[resin["id"]]
        elif usual is not None and max(reach) < usual[1]:
            assert f"above {max(reach):.0f} °C nothing is said" in NOTES[resin["id"]]


def test_what_a_screw_should_be_is_recalled_and_plausible(for_each: Any) -> None:
    @for_each(RESINS.values())
    def _(resin: Entry) -> None:
        # Most injection screws: L/D 18-24, compression 1.5-4.5; common practice, no source.
        assert 18 <= number(resin["length_ratio_low"]) <= 24
        low, high = number(resin["compression_low"]), number(resin["compression_high"])
        assert 1.5 <= low < high <= 4.5
        recalled = {"length_ratio_low", "compression_low", "compression_high"}
        recalled |= {"unsuited_rings"} if resin["unsuited_rings"] else set()
        assert {resin["origins"][name] for name in recalled} == {"from_memory"}


def test_rigid_pvc_wants_a_plain_tip() -> None:
    assert set(RESINS["pvc_u"]["unsuited_rings"]) == {"sliding", "ball"}


def test_talc_wears_less_than_glass() -> None:
    abrasive = {
        name: {resin["abrasive"] for resin in RESINS.values() if named(resin, name)}
        for name in ("talc", "glass fibre")
    }
    assert abrasive == {"talc": {"slightly"}, "glass fibre": {"yes"}}


def named(resin: Entry, filler: str) -> bool:
    return any(part["name"] == filler for part in resin["fillers"])


# Diffusivities [mm2/s] that print two families of values: Plastics Engineering, 3rd ed. 1998,
# Table 1.8, beside k/(ρ cp) of a library's table of building materials.
@pytest.mark.parametrize(
    ("resin", "effective", "literature"),
    [
        ("abs", 0.09, 0.17),
        ("ps", 0.06, 0.117),
        ("pp", 0.065, 0.134),
        ("pc", 0.147, 0.139),
        ("pom", 0.072, 0.152),
        ("pe_hd", 0.157, 0.283),
    ],
)
def test_two_diffusivities_stand_side_by_side(
    resin: str, effective: float, literature: float
) -> None:
    entry = RESINS[resin]
    assert number(entry["diffusivity"]) == pytest.approx(effective)
    assert number(entry["diffusivity_literature"]) == pytest.approx(literature)


def test_what_is_printed_for_abs_is_told_beside_what_is_shipped() -> None:
    assert "0.17 mm2/s is printed" in NOTES["abs"]
    assert "0.09 mm2/s is shipped" in NOTES["abs"]


def test_a_source_names_only_what_it_says() -> None:
    for quantity in quantities(TABLE):
        assert "taken as" not in quantity["source"]


def test_a_density_at_another_pressure_than_the_back_pressure_says_so(for_each: Any) -> None:
    @for_each(RESINS.values())
    def _(resin: Entry) -> None:
        if resin["melt_density"] is not None:
            assert number(resin["melt_density_pressure"]) == pytest.approx(0.1)
            assert "The melt density is that at 0.1 MPa" in NOTES[resin["id"]]


def test_a_tait_set_that_ends_below_the_default_says_so(for_each: Any) -> None:
    @for_each(RESINS.values())
    def _(resin: Entry) -> None:
        tait = resin["tait"]
        if tait is not None and number(resin["melt_temperature"]) > number(tait["t_high"]):
            assert f"Tait set ends at {number(tait['t_high']):.0f} °C" in NOTES[resin["id"]]


def test_pvc_and_acetal_are_told_apart() -> None:
    groups = {name: resin["hazard_groups"] for name, resin in RESINS.items()}
    assert {name for name, found in groups.items() if found == ["halogenated"]} == {
        "pvc_u",
        "pvc_p",
    }
    assert {name for name, found in groups.items() if found == ["acetal"]} == {"pom"}


def test_low_density_polyethylene_flows_as_the_printed_example() -> None:
    # Design Formulas for Plastics Engineers, 2nd ed. 2004, section 1.3.7.2: 373.1 Pa s at 500 1/s.
    law = RESINS["pe_ld"]["power_law"]
    assert number(law["temperature"]) == 200
    assert law["k"] * 500 ** (law["n"] - 1) == pytest.approx(373.1, rel=0.001)


def test_windows_leave_room_and_say_for_what() -> None:
    windows = [*TABLE["windows"], *(w for row in TABLE["resins"] for w in row["windows"])]
    for window in windows:
        assert 0 < window["low"] < window["high"] < 1
        assert window["origin"] in ORIGINS
        assert window["applies_to"]
        assert window["source"]


def test_the_table_names_no_addresses() -> None:
    assert re.search(r"www|http|\.com\b", json.dumps(TABLE)) is None


def test_ids_are_unique_and_lower_case() -> None:
    assert len(RESINS) == len(TABLE["resins"])
    assert all(re.fullmatch(r"[a-z][a-z0-9_]*", name) for name in RESINS)
