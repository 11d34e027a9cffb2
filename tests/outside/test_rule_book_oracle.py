"""The oracle itself, worked by hand: the examples that the rule book and its issues print."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import Any

import pytest

from . import rule_book_oracle
from .rule_book_oracle import results_of
from .rule_book_oracle.claims import claims_of
from .rule_book_oracle.criteria import channel_volume
from .rule_book_oracle.resins import melt_density, output_factor, residence_limit
from .rule_book_oracle.shots import cooling_time, recovery_window
from .rule_book_oracle.slips import with_causes

Filed = dict[str, Any]


def q(text: str, **more: Any) -> Filed:
    magnitude, unit = text.split()
    return {"magnitude": magnitude, "unit": unit, **more}


def resin(name: str, factor: str, **more: Any) -> Filed:
    return {
        "id": name,
        "resin_class": "general",
        "output_factor_route": "own",
        "output_factors": {"own": q(f"{factor} g/cm3", half_width=0.0)},
        **more,
    }


def exact_job(grams: str, of: str = "ps", **more: Any) -> Filed:
    return {"id": "j", "resin": of, "shot_mass": q(f"{grams} g", half_width=0.0), **more}


def appraised(barrel: Filed, job: Filed, *resins: Filed, **more: Any) -> tuple[Filed, Filed]:
    """Return the barrel and its criteria by key."""
    unit = {"id": "u", "barrels": [{"id": "b", **barrel}]}
    filed = {"resins": list(resins), "jobs": [job], "bids": [{"id": "o", "units": [unit]}], **more}
    results = results_of(filed)
    fit = results["fits"][0]
    return {**results["barrels"][0], "cell": fit}, {c["key"]: c for c in fit["criteria"]}


PS = resin("ps", "0.91")


def test_the_oracle_imports_nothing_of_the_program() -> None:
    sources = Path(rule_book_oracle.__file__).parent.glob("*.py")
    for source in sources:
        for node in ast.walk(ast.parse(source.read_text("utf-8"))):
            names = [each.name for each in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            assert not any(name.startswith("evenbarrel") for name in names), source.name


def test_150_g_ps_on_200_g_ps() -> None:
    """0.75 with 0.73-0.87: near edge; the factor cancels whatever its half-width."""
    wide = resin("ps", "0.91")
    wide["output_factors"]["own"]["half_width"] = 0.04
    _, found = appraised(
        {"rated_shot_mass": q("200 g"), "reference_resin": "ps"}, exact_job("150"), wide
    )
    share = found["utilisation"]
    assert share["value"] == pytest.approx(0.75)
    assert (share["value_low"], share["value_high"]) == pytest.approx((0.75 / 1.02, 0.75 / 0.86))
    assert (share["state"], share["because"]) == ("near_edge", ["uncertainty"])


RADIUS = {"screw_diameter": q("25 mm"), "stroke": q("200 mm"), "swept_volume": q("393 cm3")}
# 120 cm3 of PS.
SHOT = exact_job("109.2")


def test_a_radius_printed_as_diameter_is_unsettled() -> None:
    """As printed 122 %, outside; read as a radius 31 %, inside; no guess decides."""
    barrel, found = appraised(RADIUS, SHOT, PS)
    share = found["utilisation"]
    assert share["value"] == pytest.approx(1.22, abs=0.005)
    assert share["value_low"] == pytest.approx(0.305, abs=0.002)
    assert (share["state"], share["because"]) == ("near_edge", ["unsettled"])
    assert (barrel["gate"], barrel["gate_because"][0]["kind"]) == ("waits", "unsettled")
    claim = next(each for each in barrel["claims"] if each["key"] == "volume_geometry")
    assert claim["cause"] == "radius_as_diameter"


@pytest.mark.parametrize("reading", ["diameter", "radius_as_diameter"])
def test_settling_keeps_one_barrel(reading: str) -> None:
    """Share, capacity and stroke speak of the same screw."""
    settled = {"route": "quoted", "reading": reading}
    barrel, found = appraised({**RADIUS, "settled": settled}, SHOT, PS)
    assert found["utilisation"]["value"] == pytest.approx(0.3053, abs=1e-4)
    # 61.1 mm drawn, 3.06 mm cushion and 2.5 mm decompression of 200 mm.
    assert found["capacity"]["value"] == pytest.approx((61.1 + 3.06 + 2.5) / 200, abs=5e-4)
    assert found["capacity"]["state"] == found["utilisation"]["state"] == "inside"
    assert barrel["gate"] == "no_objection"


def test_settled_unknown_keeps_both_readings() -> None:
    """By the stroke, 801 mm, no screw could be: 1-8 D; the reading is shown, not spanned."""
    settled = {"route": "quoted", "reading": "unknown"}
    barrel, found = appraised({**RADIUS, "settled": settled}, SHOT, PS)
    assert [each["name"] for each in barrel["readings"]] == ["diameter"]
    assert found["utilisation"]["because"] == []


# Tait coefficients: Danner and High, as in the library polykin 0.8.
TAIT_PS = [9.3805e-4, 3.3086e-7, 6.6910e-10, 2.5001e8, 4.1815e-3]
TAIT_PP = [1.2033e-3, 4.8182e-7, 7.7589e-10, 1.4236e8, 4.0184e-3]


def test_500_g_of_ps_in_pp() -> None:
    """401 by the trade's factors, 380.4 by Tait at 0.1 MPa."""

    def melted(coefficients: list[float], celsius: int) -> float:
        tait = {"form": "polynomial", "coefficients": coefficients}
        at = {"melt_temperature": q(f"{celsius} degC"), "back_pressure": q("0.1 MPa")}
        density = melt_density({"tait": tait, **at})
        assert density is not None
        return density

    assert 500 * melted(TAIT_PP, 230) / melted(TAIT_PS, 200) == pytest.approx(380.4, abs=0.05)
    ps, pp = (output_factor({}, resin("", text)) for text in ("0.91", "0.73"))
    assert ps is not None
    assert pp is not None
    assert 500 * pp.value / ps.value == pytest.approx(401, abs=0.2)


@pytest.mark.parametrize(
    # Channel depths: from memory. 20 D, zones 60/20/20 %, all of the feed zone full.
    ("diameter", "feed", "metering", "cm3"),
    [(40, "5.4", "2.6", 362), (60, "7.5", "3.4", 1133), (100, "10.7", "4.3", 4488)],
)
def test_screw_channel(diameter: int, feed: str, metering: str, cm3: int) -> None:
    barrel = {
        "zones": {"feed": 0.6, "compression": 0.2, "metering": 0.2},
        "feed_depth": q(f"{feed} mm"),
        "metering_depth": q(f"{metering} mm"),
        "feed_fill": 1.0,
    }
    volume = channel_volume(barrel, diameter / 1e3, 20.0)
    assert volume is not None
    assert volume * 1e6 == pytest.approx(cm3, abs=0.5)


WALL = {"wall_thickness": q("2.5 mm"), "cooling_target": "centre"}
COOLED = resin(
    "ps",
    "0.91",
    melt_temperature=q("220 degC"),
    mould_temperature=q("35 degC"),
    ejection_temperature=q("80 degC"),
    diffusivity=q("0.06 mm2/s"),
    diffusivity_literature=q("0.117 mm2/s"),
)


def test_a_wall_of_ps_asks_for_9_to_18_s() -> None:
    """The two diffusivities of the resin, the middle of the wall."""
    times = [cooling_time(WALL, COOLED, each, "centre") for each in (0.117e-6, 0.06e-6)]
    seconds = [pair[0] for pair in times if pair is not None]
    assert seconds == pytest.approx([9.0, 17.5], abs=0.1)


def test_the_cycle_caps_the_window() -> None:
    """PS, 2.5 mm wall, cycle 8 s, 1 s to fill, 3 s hold: 4 s are left, not 15."""
    evaluation: Filed = {"resins": [COOLED]}
    job = {**WALL, "cycle_time": q("8 s"), "fill_time": q("1 s"), "hold_time": q("3 s")}
    window = recovery_window(evaluation, job, COOLED)
    assert window is not None
    assert (window.route, window.span.value) == ("formula", 4.0)
    # The cap's own low end is 3.6 s; the formula's, of the mean temperature, 6.5 s less the hold.
    assert window.span.low == pytest.approx(3.51, abs=0.01)
    assert window.span.high == pytest.approx(4.4)


def test_a_measured_window_stays() -> None:
    job = {"cooling_time": q("1.8 s"), "cycle_time": q("4.0 s"), "fill_time": q("0.3 s")}
    window = recovery_window({"resins": []}, job, {})
    assert window is not None
    assert (window.span.value, window.only_cap) == (1.8, False)


def test_only_the_cap_known() -> None:
    """Recovery outside where even the whole cap is too short, else not stated."""
    barrel = {
        "plasticising_rate": q("10 g/s"),
        "plasticising_resin": "ps",
        "screw_diameter": q("40 mm"),
        "stroke": q("200 mm"),
    }
    short, long = (exact_job("150", cycle_time=q(f"{s} s")) for s in (10, 30))
    _, found = appraised(barrel, short, PS)
    assert found["recovery"]["state"] == "outside"
    _, found = appraised(barrel, long, PS)
    assert found["recovery"]["state"] == "not_stated"
    assert found["recovery"]["value"] == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("attack", "screw", "barrel", "state"),
    [
        ("yes", "nitrided", None, "outside"),
        ("yes", None, "bimetallic_nickel", "not_stated"),
        ("yes", "stainless", "bimetallic_nickel", "inside"),
        ("slightly", "bimetallic_iron", "bimetallic_iron", "near_edge"),
        ("slightly", "bimetallic_carbide", "unknown", "not_stated"),
        ("no", None, None, "inside"),
        (None, "stainless", "stainless", "not_stated"),
    ],
)
def test_corrosion(attack: str | None, screw: str | None, barrel: str | None, state: str) -> None:
    packages = {"screw_package": screw, "barrel_package": barrel}
    _, found = appraised(packages, exact_job("50"), resin("ps", "0.91", corrosive=attack))
    assert found["corrosion"]["state"] == state


@pytest.mark.parametrize(
    ("kelvin", "minutes"), [(460.0, 15.0), (478.15, 12.247), (498.0, 6.0), (499.0, None)]
)
def test_residence_limit_between_its_points(kelvin: float, minutes: float | None) -> None:
    """15 min at 200 C, 10 at 210, 6 at 220: log-linear between, 5 K above, then nothing."""
    points = [("200 degC", "15 min"), ("210 degC", "10 min"), ("220 degC", "6 min")]
    limits = [{"temperature": q(at), "time": q(time)} for at, time in points]
    found = residence_limit({"residence_limits": limits}, kelvin)
    assert found == (None if minutes is None else pytest.approx(minutes * 60, rel=1e-4))


def unit_of(*pressures: str, **more: Any) -> Filed:
    """Screws of 40, 45 and 50 mm on one stroke of 190 mm."""
    return {
        "id": "u",
        "barrels": [
            {
                "id": "abc"[at],
                "screw_diameter": q(f"{40 + 5 * at} mm"),
                "stroke": q("190 mm"),
                "injection_pressure": q(text),
                "pressure_kind": "melt",
            }
            for at, text in enumerate(pressures)
        ],
        **more,
    }


def drive_states(unit: Filed) -> list[tuple[str, str | None]]:
    found = with_causes({"resins": []}, unit)
    return [(claims["drive_force"].state, claims["drive_force"].cause) for claims in found.values()]


def test_screws_of_one_drive() -> None:
    """318 kN over three screws; 2530 bar twice is a cap; once 1900 for 1620 contradicts."""
    assert drive_states(unit_of("2530 bar", "2000 bar", "1620 bar")) == [("agrees", None)] * 3
    assert drive_states(unit_of("2000 bar", "2000 bar", "1620 bar")) == [("agrees", None)] * 3
    found = drive_states(unit_of("2530 bar", "2000 bar", "1900 bar"))
    assert found == [("agrees", None), ("agrees", None), ("contradicts", None)]


def test_one_pressure_for_all_names_no_screw() -> None:
    assert drive_states(unit_of("1800 bar", "1800 bar", "1800 bar")) == [("query", None)] * 3


def test_oil_pressure_of_a_column() -> None:
    oil = unit_of("175 bar", "175 bar", drive_kind="hydraulic")
    assert drive_states(oil) == [("query", "oil_pressure")] * 2
    electric = unit_of("175 bar", "175 bar", drive_kind="electric")
    assert drive_states(electric) == [("query", None)] * 2


def test_size_number_of_euromap_1() -> None:
    """2530 bar x 238.8 cm3 / 1000 = 604."""
    unit = unit_of("2530 bar", "2000 bar", "1620 bar", size_number=q("604 1"))
    claims = claims_of({"resins": []}, unit)
    assert all(each["size_number"].state == "agrees" for each in claims.values())
    assert abs(claims["a"]["size_number"].gap or 1.0) < 1e-3


@pytest.mark.parametrize(
    ("rate", "state", "cause"),
    [
        ("18 g/s", "agrees", None),
        # A sound barrier screw.
        ("24.3 g/s", "agrees", None),
        ("65 g/s", "query", "kg_h_as_g_s"),
        ("120 g/s", "query", None),
        ("18 kg/h", "query", "g_s_as_kg_h"),
    ],
)
def test_output_per_turn(rate: str, state: str, cause: str | None) -> None:
    """A 40 mm screw at 240 rev/min, 1 g/cm3 of melt: 0.0039 of a g/s."""
    barrel = {
        "id": "b",
        "screw_diameter": q("40 mm"),
        "plasticising_rate": q(rate),
        "plasticising_resin": "ps",
        "plasticising_speed": q("240 rev/min"),
    }
    evaluation = {"resins": [resin("ps", "0.91", melt_density=q("1.0 g/cm3"))]}
    claim = with_causes(evaluation, {"id": "u", "barrels": [barrel]})["b"]["output_per_turn"]
    assert (claim.state, claim.cause) == (state, cause)


SMALL = {"screw_diameter": q("40 mm"), "stroke": q("200 mm"), "swept_volume": q("251 cm3")}


def decided(**more: Any) -> list[Filed]:
    """What a person says of the stroke and the share of one small shot."""
    return [
        {"barrel": "b", "job": "j", "criterion": key, **more} for key in ("utilisation", "stroke")
    ]


@pytest.mark.parametrize(
    ("deviations", "as_of", "gate"),
    [
        ([], None, "waits"),
        (decided(), None, "no_objection"),
        (decided(refused=True), None, "shut"),
        (decided(until="2026-12-31"), "2026-11-02", "no_objection"),
        (decided(until="2026-10-31"), "2026-11-02", "waits"),
        (decided(until="2026-12-31"), None, "waits"),
    ],
)
def test_a_rule_of_thumb_waits_for_the_engineer(
    deviations: list[Filed], as_of: str | None, gate: str
) -> None:
    barrel, found = appraised(
        SMALL, exact_job("15"), PS, deviations=deviations, as_of=as_of, confirmed_limits=[]
    )
    assert found["utilisation"]["state"] == found["stroke"]["state"] == "outside"
    assert barrel["gate"] == gate


def test_physics_is_never_accepted() -> None:
    accepted = [{"barrel": "b", "criterion": key} for key in ("capacity", "utilisation", "stroke")]
    barrel, found = appraised(SMALL, exact_job("260"), PS, deviations=accepted)
    assert found["capacity"]["state"] == "outside"
    assert [each["criterion"] for each in barrel["gate_because"]] == ["capacity"]
    assert barrel["gate"] == "shut"


def test_a_limit_nobody_confirmed_waits_until_it_is() -> None:
    """PVC held for 575 s against 240 s from memory."""
    limits = [{"temperature": q("190 degC"), "time": q("4 min")}]
    pvc = resin(
        "ps",
        "1.1",
        melt_density=q("1.3 g/cm3"),
        melt_temperature=q("190 degC"),
        residence_limits=limits,
        origins={"residence_limits": "from_memory"},
    )
    job = exact_job("110", cycle_time=q("180 s"), runner_kind="none")
    barrel, found = appraised({**SMALL, "melt_inventory": q("300 cm3")}, job, pvc)
    assert (found["residence"]["state"], found["residence"]["because"]) == (
        "near_edge",
        ["beyond_unconfirmed"],
    )
    assert (barrel["gate"], barrel["gate_because"][0]["kind"]) == ("waits", "beyond_unconfirmed")
    entry = {"resin": "ps", "field": "residence_limits", "value": limits}
    barrel, found = appraised(
        {**SMALL, "melt_inventory": q("300 cm3")}, job, pvc, confirmed_limits=[entry]
    )
    assert (found["residence"]["state"], barrel["gate"]) == ("outside", "shut")


def test_more_data_never_makes_a_state_worse() -> None:
    """A hot runner of unknown volume: a lower bound, asked for, never 0 and inside."""
    limits = [{"temperature": q("230 degC"), "time": q("12 min")}]
    ps = resin(
        "ps",
        "0.91",
        melt_density=q("0.95 g/cm3"),
        melt_temperature=q("230 degC"),
        residence_limits=limits,
    )
    job = exact_job("110", cycle_time=q("30 s"), runner_kind="hot")
    barrel, found = appraised({**SMALL, "melt_inventory": q("300 cm3")}, job, ps)
    residence = found["residence"]
    assert (residence["state"], residence["missing"]) == ("not_stated", ["hot_runner_volume"])
    assert residence["value"] is not None
    assert "residence" in barrel["cell"]["open"]
    known = {**job, "hot_runner_volume": q("60 cm3")}
    _, found = appraised({**SMALL, "melt_inventory": q("300 cm3")}, known, ps)
    assert found["residence"]["state"] == "inside"
