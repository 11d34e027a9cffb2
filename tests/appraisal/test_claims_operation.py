"""Speed, power, heat and length: what one screw's numbers say of each other."""

from __future__ import annotations

from math import pi

import pytest

from evenbarrel.appraisal.claims.doubt import is_asked

# 200 cm3/s on a 50 mm screw is 101.859 mm/s, and 2000 bar with it 40 kW: own arithmetic.
SPEED_MM_S = 200.0 / (pi / 4 * 25.0) * 10
RATE = {"screw_diameter": "50.0000 mm", "injection_rate": "200.0000 cm3/s"}
PUSHING = {"injection_pressure": "2000.000 bar", "injection_rate": "200.0000 cm3/s"}
EDGES = [
    (0.00499, "agrees"),
    (0.00501, "query"),
    (0.0299, "query"),
    (0.0301, "contradicts"),
]


MOST = {None: 10.0, "hydraulic": 3.0, "electric": 6.0, "hybrid": 10.0, "accumulator": 10.0}
"""What a drive gives for a stroke, in times its power; by the rules."""


def mild(state: str) -> str:
    """The state of a claim that never goes beyond query."""
    return "query" if state == "contradicts" else state


@pytest.mark.parametrize(("gap", "state"), EDGES)
@pytest.mark.parametrize("sign", [1, -1])
def test_speed_against_rate(judge, gap, state, sign):
    speed = SPEED_MM_S * (1 + sign * gap)
    (claims,) = judge({**RATE, "injection_speed": f"{speed:.5f} mm/s"})
    assert claims["injection_speed"].state == state
    assert claims["injection_speed"].gap == pytest.approx(sign * gap, abs=1e-6)
    assert claims["injection_speed"].note is None


@pytest.mark.parametrize("absent", ["screw_diameter", "injection_rate", "injection_speed"])
def test_speed_names_what_it_lacks(judge, absent):
    (claims,) = judge({**RATE, "injection_speed": "101.9 mm/s", absent: None})
    assert claims["injection_speed"].state == "not_stated"
    assert claims["injection_speed"].missing == (absent,)


@pytest.mark.parametrize("factor", [{"reference_resin": "ps"}, {"reference_factor": "0.910 g/cm3"}])
def test_a_mass_rate_is_taken_in_the_reference_resin(judge, factor):
    rate = {"screw_diameter": "50 mm", "injection_rate": "182 g/s", "injection_speed": "102 mm/s"}
    (claims,) = judge({**rate, **factor})
    assert claims["injection_speed"].state == "agrees"
    assert claims["injection_speed"].note == "assumed"
    assert claims["injection_speed"].derived == pytest.approx(SPEED_MM_S / 1000, rel=1e-6)


def test_a_mass_rate_without_a_factor_is_not_converted(judge):
    rate = {"screw_diameter": "50 mm", "injection_rate": "182 g/s", "injection_speed": "102 mm/s"}
    (claims,) = judge(rate)
    assert claims["injection_speed"].missing == ("reference_resin",)


def test_quoted_injection_power_against_its_drive(for_each, judge):
    @for_each(
        (*case, kind)
        for case in [
            (0.5, "agrees"),
            (1.00499, "agrees"),
            (1.00501, "query"),
            (2.0, "query"),
            ("most", "query"),
            ("more", "contradicts"),
            (30.0, "contradicts"),
        ]
        for kind in list(MOST)
    )
    def _(ratio, state, kind):
        ratio = {"most": MOST[kind], "more": MOST[kind] * 1.0001}.get(ratio, ratio)
        power = {"drive_power": "40.0000 kW", "injection_power": f"{40 * ratio:.5f} kW"}
        (claims,) = judge({}, drive_kind=kind, **power)
        claim = claims["injection_power"]
        assert claim.state == state
        assert claim.subject == "injection_power"
        # Drives that are overloaded for a stroke, or may be: nobody is asked.
        unasked = kind != "hydraulic" and state == "query"
        assert is_asked(claim) is (state != "agrees" and not unasked)


def test_pressure_times_rate_alone_never_contradicts(for_each, judge):
    @for_each(
        (*case, kind)
        for case in [
            (0.5, "agrees"),
            (1.5, "agrees"),
            ("most", "agrees"),
            ("more", "query"),
            (30.0, "query"),
        ]
        for kind in list(MOST)
    )
    def _(ratio, state, kind):
        ratio = {"most": MOST[kind] * 0.9999, "more": MOST[kind] * 1.0001}.get(ratio, ratio)
        (claims,) = judge(PUSHING, drive_power=f"{40 / ratio:.8f} kW", drive_kind=kind)
        assert claims["injection_power"].state == state
        assert claims["injection_power"].stated == pytest.approx(40e3)
        assert claims["injection_power"].note == "pressure_times_rate"
        assert claims["injection_power"].causes == ()


def test_pressure_times_rate_is_asked_beside_a_sound_power(judge):
    (claims,) = judge(PUSHING, drive_power="3.9 kW", injection_power="3 kW")
    assert claims["injection_power"].state == "query"
    assert claims["injection_power"].subject == "injection_rate"


def test_pressure_times_rate_is_asked_beside_an_overloaded_drive(judge):
    given = {"drive_power": "6.5 kW", "injection_power": "20 kW", "drive_kind": "electric"}
    (claims,) = judge(PUSHING, **given)
    assert claims["injection_power"].subject == "injection_rate"


def test_injection_power_names_what_it_lacks(judge):
    (claims,) = judge(PUSHING)
    assert claims["injection_power"].missing == ("drive_power",)
    (claims,) = judge({}, drive_power="40 kW")
    assert claims["injection_power"].missing == ("injection_pressure", "injection_rate")


@pytest.mark.parametrize(("gap", "state"), [*EDGES, (-0.5, "agrees"), (1.0, "contradicts")])
def test_heat_of_plasticising_against_drive_and_heaters(judge, gap, state):
    # 20 g/s of polystyrene at 370 kJ/kg, from memory, take 7.4 kW.
    heaters = f"{7.4 / (1 + gap) / 2:.6f} kW"
    (claims,) = judge(
        {"plasticising_rate": "20.0000 g/s", "plasticising_resin": "ps", "reference_resin": "pp"},
        plasticising_drive_power=heaters,
        heating_power=heaters,
    )
    assert claims["plasticising_energy"].state == mild(state)
    assert claims["plasticising_energy"].stated == pytest.approx(7400)
    assert claims["plasticising_energy"].gap == pytest.approx(gap, abs=1e-5)


def test_one_source_of_heat_can_agree_but_not_question(judge):
    barrel = {"plasticising_rate": "20.0 g/s", "reference_resin": "ps"}
    (claims,) = judge(barrel, plasticising_drive_power="8.0 kW")
    assert claims["plasticising_energy"].state == "agrees"
    (claims,) = judge(barrel, plasticising_drive_power="7.0 kW")
    assert claims["plasticising_energy"].state == "not_stated"
    assert claims["plasticising_energy"].missing == ("heating_power",)


@pytest.mark.parametrize(
    ("barrel", "missing"),
    [
        ({"reference_resin": "ps"}, "plasticising_rate"),
        ({"plasticising_rate": "20 g/s"}, "plasticising_resin"),
    ],
)
def test_heat_of_plasticising_names_what_it_lacks(judge, barrel, missing):
    (claims,) = judge(barrel, plasticising_drive_power="8 kW", heating_power="8 kW")
    assert claims["plasticising_energy"].missing == (missing,)
    assert claims["plasticising_energy"].state == "not_stated"


def turning(output: float, diameter_mm: float = 40.0, **more: str) -> dict[str, str]:
    """A screw that delivers `output` cubed diameters of polystyrene a turn, at 240 rev/min."""
    # 0.97 g/cm3 in the melt, 4 turns a second.
    rate = output * 0.97 * 4 * (diameter_mm / 10) ** 3
    return {
        "screw_diameter": f"{diameter_mm:.4f} mm",
        "plasticising_rate": f"{rate:.8f} g/s",
        "plasticising_speed": "240 rev/min",
        "plasticising_resin": "ps",
        **more,
    }


@pytest.mark.parametrize(
    ("output", "state", "note"),
    [
        (0.0269, "query", None),
        (0.0271, "agrees", "low_output"),
        (0.0399, "agrees", "low_output"),
        (0.0401, "agrees", None),
        (0.0749, "agrees", None),
        (0.0751, "agrees", "unusual_output"),
        (0.0950, "agrees", "unusual_output"),
        (0.1099, "agrees", "unusual_output"),
        (0.1101, "query", None),
        (0.5, "query", None),
    ],
)
def test_what_one_turn_delivers(judge, output, state, note):
    for diameter in (20.0, 40.0, 120.0):
        (claims,) = judge(turning(output, diameter))
        claim = claims["output_per_turn"]
        assert (claim.state, claim.note) == (state, note)
        assert claim.stated == pytest.approx(output)
        assert claim.subject == "plasticising_rate"


def test_of_three_rates_on_one_screw_only_one_agrees(judge):
    # 40 mm at 290 rev/min: 18 g/s are 0.060 cubed diameters a turn, 65 and 120 are not possible.
    speed = {"plasticising_speed": "290 rev/min"}
    rates = ("18 g/s", "65 g/s", "120 g/s")
    screws = [turning(0.06, **speed, plasticising_rate=rate) for rate in rates]
    states = [judge(screw)[0]["output_per_turn"].state for screw in screws]
    assert states == ["agrees", "query", "query"]


def test_more_than_the_metering_zone_drags_is_noted(judge):
    # pi2/2 D2 n h sin cos, at a pitch of one diameter and 2 mm: 0.0713 cubed diameters a turn; own
    # arithmetic.
    (shallow,) = judge(turning(0.073, metering_depth="2.0 mm"))
    (deep,) = judge(turning(0.073, metering_depth="2.1 mm"))
    assert shallow["output_per_turn"].note == "above_drag_flow"
    assert shallow["output_per_turn"].state == "agrees"
    assert deep["output_per_turn"].note is None


def test_a_rate_without_its_speed_is_taken_at_the_nearest_printed(judge):
    speeds = {"screw_speed": "240 rev/min", "screw_speed_max": "480 rev/min"}
    (claims,) = judge(turning(0.06, plasticising_speed=None, **speeds))
    assert claims["output_per_turn"].stated == pytest.approx(0.06)
    del speeds["screw_speed"]
    (claims,) = judge(turning(0.06, plasticising_speed=None, **speeds))
    assert claims["output_per_turn"].stated == pytest.approx(0.03)


@pytest.mark.parametrize(
    ("absent", "missing"),
    [
        ("plasticising_rate", "plasticising_rate"),
        ("screw_diameter", "screw_diameter"),
        ("plasticising_speed", "plasticising_speed"),
        ("plasticising_resin", "plasticising_resin"),
    ],
)
def test_output_per_turn_names_what_it_lacks(judge, absent, missing):
    (claims,) = judge(turning(0.06, **{absent: None}))
    assert claims["output_per_turn"].state == "not_stated"
    assert claims["output_per_turn"].missing == (missing,)


@pytest.mark.parametrize(("gap", "state"), EDGES)
@pytest.mark.parametrize("sign", [1, -1])
def test_peripheral_speed_never_goes_beyond_query(judge, gap, state, sign):
    # 50 mm at 200 rev/min is 0.5236 m/s: own arithmetic.
    barrel = {
        "screw_diameter": "50.0000 mm",
        "screw_speed_max": "200.000 rev/min",
        "peripheral_speed": f"{pi * 0.05 * 200 / 60 * (1 + sign * gap):.7f} m/s",
    }
    (claims,) = judge(barrel)
    assert claims["peripheral_speed"].state == mild(state)
    assert claims["peripheral_speed"].gap == pytest.approx(sign * gap, abs=1e-6)


def test_peripheral_speed_may_be_meant_at_any_printed_speed(judge):
    barrel = {"screw_diameter": "50 mm", "peripheral_speed": "0.524 m/s"}
    speeds = {"screw_speed_max": "300 rev/min", "plasticising_speed": "200 rev/min"}
    (claims,) = judge({**barrel, **speeds})
    assert claims["peripheral_speed"].state == "agrees"


@pytest.mark.parametrize("absent", ["screw_diameter", "peripheral_speed", "screw_speed_max"])
def test_peripheral_speed_names_what_it_lacks(judge, absent):
    barrel = {"screw_diameter": "50 mm", "peripheral_speed": "0.524 m/s"}
    (claims,) = judge({**barrel, "screw_speed_max": "200 rev/min", absent: None})
    assert claims["peripheral_speed"].missing == (absent,)


@pytest.mark.parametrize(
    ("ratio", "state"),
    [
        ("12.000", "agrees"),
        ("30.000", "agrees"),
        # One diameter more or less is said otherwise from maker to maker.
        ("31.400", "agrees"),
        ("31.600", "query"),
        ("11.500", "agrees"),
        ("11.300", "query"),
        ("60.000", "query"),
    ],
)
def test_length_ratio_alone_stands_against_what_is_usual(judge, ratio, state):
    (claims,) = judge({"length_ratio": f"{ratio} 1"})
    assert claims["length_ratio"].state == state


def ratios(judge, *printed: str) -> list[str]:
    sizes = ("30 mm", "35 mm", "40 mm", "45 mm")
    barrels = (
        {"screw_diameter": size, "length_ratio": f"{ratio} 1"}
        for size, ratio in zip(sizes, printed, strict=False)
    )
    return [own["length_ratio"].state for own in judge(*barrels)]


def test_one_ratio_and_one_length_are_both_sound(judge):
    assert ratios(judge, "20.0", "20.0", "20.0") == ["agrees"] * 3
    # 700 mm of screw each.
    assert ratios(judge, "23.3", "20.0", "17.5") == ["agrees"] * 3
    assert ratios(judge, "22.0", "18.0") == ["agrees"] * 2


def test_a_unit_may_have_some_screws_of_one_ratio_and_some_of_one_length(judge):
    # 20 D of 30 and of 35 mm; 35 and 40 mm with 700 mm of screw each.
    assert ratios(judge, "20.0", "20.0", "17.5") == ["agrees"] * 3
    assert ratios(judge, "20.0", "20.0", "17.5", "17.5") == ["agrees"] * 4


def test_a_ratio_that_fits_neither_pattern_is_queried(judge):
    assert ratios(judge, "20.0", "20.0", "26.0") == ["agrees", "agrees", "query"]


def test_length_ratio_names_itself_when_absent(judge):
    (claims,) = judge({})
    assert claims["length_ratio"].missing == ("length_ratio",)


@pytest.mark.parametrize(
    ("outputs", "more", "asked"),
    [
        # The second in lb/h.
        ((0.05, 0.108, 0.05), {}, [False, True, False]),
        # The same whichever resin it is, and of two screws nobody knows which.
        ((0.05, 0.108, 0.05), {"plasticising_resin": None}, [False, True, False]),
        ((0.05, 0.108), {}, [True, True]),
        # Within what screws of one unit may be, one of them with barriers.
        ((0.05, 0.08, 0.06), {}, [False, False, False]),
    ],
)
def test_a_rate_is_held_against_the_other_screws_of_its_unit(judge, outputs, more, asked):
    sizes = zip(outputs, (33.0, 35.0, 39.0), strict=False)
    found = judge(*(turning(output, diameter, **more) for output, diameter in sizes))
    claims = [own["output_per_turn"] for own in found]
    assert [is_asked(claim) for claim in claims] == asked
    assert [claim.note == "beside_others" for claim in claims] == asked


def test_a_screw_in_doubt_by_itself_puts_no_other_in_doubt(judge):
    """A speed of 24 rev/min for 240: ten times what any screw delivers in a turn."""
    slow = turning(0.05, 33.0) | {"plasticising_speed": "24 rev/min"}
    found = judge(slow, turning(0.05, 39.0))
    assert [own["output_per_turn"].state for own in found] == ["query", "agrees"]


@pytest.mark.parametrize(("unit", "factor", "asked"), [("kg/h", 3.6, True), ("g/s", 1.0, False)])
def test_a_column_in_kg_h_that_lb_h_would_make_usual_is_asked_about(judge, unit, factor, asked):
    screws = [turning(0.1, diameter) for diameter in (33.0, 35.0)]
    for screw in screws:
        grams = float(screw["plasticising_rate"].split()[0])
        screw["plasticising_rate"] = f"{grams * factor:.3f} {unit}"
    claims = [own["output_per_turn"] for own in judge(*screws)]
    assert [is_asked(claim) for claim in claims] == [asked, asked]
    causes = {(cause.code, cause.column) for claim in claims for cause in claim.causes}
    assert causes == ({("lb_h_as_kg_h", True)} if asked else set())
