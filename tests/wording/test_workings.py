"""Workings say what stood in where a datum was not stated, and never a false sentence of it."""

from __future__ import annotations

import json
from typing import Any

import pytest

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.appraisal.references import ClaimRef, CriterionRef, VolumeRef
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Quantity
from evenbarrel.wording.sentences.asking.questions import question_texts
from evenbarrel.wording.sentences.cells import fit_sentences
from evenbarrel.wording.workings.criterion import criterion_working
from evenbarrel.wording.workings.line import Working
from evenbarrel.wording.workings.working import working as any_working

RESIN = {
    "id": "r",
    "resin_class": "general",
    "output_factor_route": "own",
    "output_factors": {"own": "1 g/cm3"},
    "melt_temperature": "230 degC",
    "peripheral_speed_limit": "0.5 m/s",
    "diffusivity": "0.06 mm2/s",
    "diffusivity_literature": "0.117 mm2/s",
}
JOB = {"id": "j", "resin": "r", "shot_mass": "160 g", "cycle_time": "30 s", "cooling_time": "12 s"}
BARREL = {
    "id": "b",
    "screw_diameter": "50 mm",
    "stroke": "200 mm",
    "plasticising_rate": "20 g/s",
    "reference_resin": "r",
}


def filed(value: Any) -> Any:
    """Return a value as a file holds it: numbers with their unit as quantities."""
    if isinstance(value, dict):
        return {name: filed(part) for name, part in value.items() if part is not None}
    if isinstance(value, list):
        return [filed(part) for part in value]
    if isinstance(value, str) and value[0].isdigit() and " " in value:
        magnitude, unit = value.split()
        return {"magnitude": magnitude, "unit": unit}
    return value


def appraised(job: dict[str, Any], barrel: dict[str, Any], resin: dict[str, Any]) -> Any:
    bids = [{"id": "x", "units": [{"id": "u", "barrels": [{**BARREL, **barrel}]}]}]
    whole = {"resins": [{**RESIN, **resin}], "jobs": [{**JOB, **job}], "bids": bids}
    return appraise(Evaluation.model_validate_json(json.dumps(filed(whole))))


def working(key: str, **changes: dict[str, Any]) -> Working:
    parts = {part: changes.get(part, {}) for part in ("job", "barrel", "resin")}
    return criterion_working(appraised(**parts), CriterionRef("b", "j", key))


def line(found: Working, label: str) -> tuple[str, str]:
    return next((one.value, one.stated) for one in found.lines if one.label == label)


def labels_of(found: Working) -> set[str]:
    return {one.label for one in found.lines}


def test_a_volume_alone_has_its_own_formula_and_says_that_the_stroke_is_taken() -> None:
    alone = {"screw_diameter": None, "stroke": None, "swept_volume": "400 cm3"}
    found = working("capacity", barrel=alone)
    assert "1.05 × shot mass" in found.formula
    assert line(found, "Stroke taken") == ("4 D", "assumed: only the swept volume is stated")
    assert not labels_of(found) & {"Screw diameter", "Stroke", "Cushion", "Decompression"}
    assert not labels_of(working("capacity")) & {"Swept volume", "Stroke taken"}


@pytest.mark.parametrize(
    ("datum", "label", "value"),
    [("screw_diameter", "Screw diameter", "50.0"), ("stroke", "Stroke", "200")],
)
def test_an_implied_size_says_what_it_is_from(datum: str, label: str, value: str) -> None:
    found = working("capacity", barrel={datum: None, "swept_volume": "392.7 cm3"})
    shown, stated = line(found, label)
    assert shown.startswith(value.rstrip("0").rstrip("."))
    assert stated == "from the quoted volume and the other of diameter and stroke"


def test_a_hot_runner_is_shown_unknown_or_not_at_all() -> None:
    hot = working("capacity", job={"runner_kind": "hot"})
    assert line(hot, "Hot runner volume")[0] == "–"
    assert "its decompression is not included" in line(hot, "Hot-runner relief")[1]
    for kind in ("cold", "none"):
        found = working("capacity", job={"runner_kind": kind})
        assert not labels_of(found) & {"Hot runner volume", "Hot-runner relief"}
    known = working("capacity", job={"runner_kind": "hot", "hot_runner_volume": "100 cm3"})
    assert line(known, "Hot-runner relief")[0] == "2.04 mm"


def test_a_speed_that_is_only_taken_says_so() -> None:
    found = working("screw_speed", barrel={"screw_speed_max": "150 rev/min"})
    stated = line(found, "Screw speed at which the rate was measured")[1]
    assert stated == "assumed: 150 rev/min, quoted, taken as the speed of the rate"


def test_recovery_at_the_resins_limit_is_capped_by_the_screw() -> None:
    barrel = {"plasticising_speed": "120 rev/min", "screw_speed_max": "150 rev/min"}
    found = working("recovery", barrel=barrel)
    # 160 g at 20 g/s and 120 rev/min; 0.5 m/s are 191 rev/min, which the screw has not.
    at_limit = line(found, "Recovery at the resin's speed limit")
    assert at_limit == ("6.40 s", "150 rev/min, the screw's highest")


def test_the_routes_to_the_window_stand_side_by_side_with_what_the_cycle_leaves() -> None:
    job = {"fill_time": "1 s", "hold_time": "5 s", "mould_motion_time": "4 s"}
    found = working("recovery", job=job)
    assert line(found, "Window: cooling time as given")[1] == "used"
    assert line(found, "Window: what the cycle leaves")[1] == "beside"
    assert line(found, "The cycle leaves at most")[1] == (
        "cycle less fill time less hold time less mould motion time"
    )


def test_a_wall_that_cools_longer_than_the_cycle_is_asked_about_in_numbers() -> None:
    job = {
        "cycle_time": "8 s",
        "cooling_time": None,
        "fill_time": "1 s",
        "hold_time": "2 s",
        "wall_thickness": "2.5 mm",
        "mould_temperature": "35 degC",
        "ejection_temperature": "80 degC",
    }
    appraisal = appraised(job, {}, {"melt_temperature": "220 degC"})
    assert question_texts(appraisal)["us.cycle_time"] == (
        "The planned cycle of Job 1 (no name yet) leaves 5.0 s for cooling after hold; "
        "a wall of 2.5 mm needs about 4.5 to 15 s. Is the cycle long enough?"
    )


def test_a_density_out_of_range_or_at_another_pressure_says_so() -> None:
    entered = {"melt_density": "0.96 g/cm3", "melt_density_pressure": "0.1 MPa"}
    stated = line(working("residence", resin=entered), "Melt density")[1]
    assert stated.endswith("entered for another pressure than the back pressure")
    tait = {
        "form": "polynomial",
        # Polystyrene after Danner and High, as polykin 0.8 has it.
        "coefficients": [9.3805e-4, 3.3086e-7, 6.6910e-10, 2.5001e8, 4.1815e-3],
        "t_high": "196 degC",
    }
    stated = line(working("residence", resin={"tait": tait}), "Melt density")[1]
    assert stated.endswith("fitted to 196 °C")
    assert "Tait equation extrapolated: asked for " in stated


def test_a_screw_that_is_not_usual_for_the_resin_is_said_so() -> None:
    resin = {"compression_low": "2 1", "compression_high": "3 1"}
    found = working("screw_geometry", resin=resin, barrel={"compression_ratio": "4 1"})
    asked = "compression ratio 4 (the resin requires 2 to 3)"
    assert found.result == f"Screw geometry: {asked}: outside."
    recalled = ("compression_high", "length_ratio_low", "unsuited_rings")
    resin |= {"length_ratio_low": "20 1", "unsuited_rings": ["ball"]}
    resin["origins"] = dict.fromkeys(recalled, "from_memory")
    short = {"compression_ratio": "4 1", "length_ratio": "17.8 1", "ring_kind": "ball"}
    found = working("screw_geometry", resin=resin, barrel=short)
    assert found.result == (
        "Screw geometry: L/D 17.8 (usual for the resin: at least 20, from memory), compression "
        "ratio 4 (usual for the resin: 2 to 3, from memory) and ball check ring (unusual for the "
        "resin, from memory): near edge."
    )
    only_short = working("screw_geometry", resin=resin, barrel={"length_ratio": "17.8 1"})
    assert "compression" not in only_short.result
    assert "ring" not in only_short.result


def test_the_part_that_a_resin_attacks_is_named() -> None:
    parts = {"barrel_package": "bimetallic_iron", "screw_package": "nitrided"}
    told = {
        attack: working("wear", resin={"abrasive": attack}, barrel=parts).result
        for attack in ("yes", "slightly")
    }
    assert told["yes"] == "Wear: screw (nitrided) not suited to this abrasive resin: outside."
    assert told["slightly"].startswith("Wear: the resin is not abrasive, or barrel and screw")
    resin = {"corrosive": "slightly"}
    assert working("corrosion", resin=resin, barrel={"screw_package": "chrome"} | parts).result == (
        "Corrosion: barrel (bimetallic, iron-based) and screw (nitrided) not fully resistant to "
        "this slightly corrosive resin: near edge."
    )
    recalled = {"abrasive": "yes", "origins": {"abrasive": "from_memory"}}
    assert working("wear", resin=recalled, barrel=parts).result == (
        "Wear: screw (nitrided) not suited to the resin if it is abrasive, as from memory: to be "
        "confirmed."
    )


def test_what_is_beyond_a_limit_from_memory_says_so_and_is_to_be_confirmed() -> None:
    limits = [{"temperature": "230 degC", "time": "2 min"}]
    resin = {
        "melt_density": "0.96 g/cm3",
        "residence_limits": limits,
        "melt_temperature": "230 degC",
    }
    job = {"cycle_time": "60 s"}
    barrel = {"melt_inventory": "500 cm3"}
    outside = working("residence", resin=resin, job=job, barrel=barrel).result
    assert outside.endswith("; allowed up to 2.0 min: outside.")
    resin["origins"] = {"residence_limits": "from_memory"}
    found = working("residence", resin=resin, job=job, barrel=barrel).result
    assert found == (
        outside.replace("; allowed up to", " against at most").replace(
            ": outside.", " from memory: to be confirmed."
        )
    )
    # A screw that is unusual for the resin stands back: the barrel waits for the limit.
    resin |= {"compression_low": "2 1", "compression_high": "3 1"}
    resin["origins"] |= {"compression_high": "from_memory"}
    fit = appraised(job, {**barrel, "compression_ratio": "4 1"}, resin).fit("b", "j")
    assert (fit.state, fit.binding) == ("near_edge", "residence")
    head, _, *told = fit_sentences(fit, "metric")
    assert head == "To be confirmed; limited by residence time."
    named = [text.partition(":")[0] for text in told]
    assert (named[0], named[-1]) == ("Residence time", "Screw geometry")


def test_a_value_beyond_an_edge_does_not_read_as_the_edge() -> None:
    # 50 mm: 3 D are 294.5 cm³; 0.4 % more are beyond it.
    near = working("stroke", job={"shot_mass": "295.6 g"}).result
    assert near.startswith("Stroke in diameters: 3.01 D (")
    assert "comfortable 1.0 to 3.0 D" in near


def test_what_is_computed_or_lacks_is_never_called_assumed() -> None:
    filled = working("rate", job={"fill_time": "2 s"}, barrel={"injection_rate": "100 cm3/s"})
    assert line(filled, "Required rate")[1] == "computed: shot volume / fill time"
    assert line(filled, "Fill time")[0] == "2 s"
    assert line(filled, "Shot volume")[0] == "160 cm³"
    assert line(working("rate"), "Required rate") == (
        "–",
        "not stated, nor everything needed for it: shot volume / fill time",
    )
    assert line(working("capacity"), "Cushion") == (
        "4.07 mm",
        "assumed: 5 % of the shot stroke, at least 3 mm",
    )


def test_digits_go_as_far_as_the_interval_supports() -> None:
    found = working("recovery")
    # 160 g ± 2 %, 12 s ± 10 %, 50 mm ± 0.1 mm.
    assert line(found, "Shot mass")[0] == "160 g (157 to 163 g)"
    assert line(found, "Window for recovery")[0] == "12 s (11 to 13 s)"
    assert line(working("capacity"), "Screw diameter")[0] == "50 mm (49.9 to 50.1 mm)"


def test_an_estimate_has_two_digits() -> None:
    entered = {"melt_density": "0.96 g/cm3"}
    limits = [{"temperature": "230 degC", "time": "8 min"}]
    found = working("residence", resin={**entered, "residence_limits": limits})
    # 4.4 D³ at 50 mm is 550 cm³, and no better known than to a third.
    assert line(found, "Melt inventory")[0] == "550 cm³ (360 to 740 cm³)"
    minutes = line(found, "By the factor method")[0]
    assert minutes.endswith(" min")
    assert "min" in found.result


def test_a_confirmed_limit_names_who_stands_by_it() -> None:
    resin = {
        "peripheral_speed_limit": "0.5 m/s",
        "origins": {"peripheral_speed_limit": "from_memory"},
    }
    barrel = {"plasticising_speed": "120 rev/min", "screw_speed_max": "300 rev/min"}
    recalled = working("screw_speed", resin=resin, barrel=barrel)
    assert line(recalled, "Peripheral speed limit")[1].endswith("from memory, not looked up")
    note = "The limit is from memory: no worse than near edge until a named person "
    assert any(text.startswith(note) for text in recalled.notes)
    confirmed = {
        "resin": "r",
        "field": "peripheral_speed_limit",
        "value": "0.5 m/s",
        "person": "A. Moulder",
        "date": "2026-10-12",
        "reason": "held for years",
    }
    evaluation = appraised({}, barrel, resin).evaluation
    one = type(evaluation).model_validate_json(
        json.dumps(
            {**json.loads(evaluation.model_dump_json()), "confirmed_limits": [filed(confirmed)]}
        )
    )
    found = criterion_working(appraise(one), CriterionRef("b", "j", "screw_speed"))
    assert line(found, "Peripheral speed limit") == (
        "0.5 m/s",
        "confirmed by A. Moulder on 2026-10-12: held for years",
    )
    assert not any("recalled" in text for text in found.notes)


def test_what_was_shipped_is_not_said_twice_nor_called_assumed() -> None:
    shipped = {"magnitude": "18", "unit": "1", "source": "from memory", "standing": "assumed"}
    resin = {"length_ratio_low": shipped, "origins": {"length_ratio_low": "from_memory"}}
    found = working("screw_geometry", resin=resin, barrel={"length_ratio": "20 1"})
    assert [(one.value, one.stated) for one in found.lines if one.label == "Least L/D"] == [
        ("18", "from memory")
    ]
    assert line(working("recovery"), "Window for recovery")[1] == "12 s, quoted"


def test_several_readings_are_each_told_and_the_margin_says_whose_it_is() -> None:
    found = working("capacity", barrel={"swept_volume": "550 cm3"})
    read = {one.label: one for one in found.lines if one.label.startswith("Read ")}
    assert read["Read as printed"].stated == "inside"
    assert len(read) == 3
    assert any(text.endswith("in the worst reading of the barrel's size.") for text in found.notes)
    alone = working("capacity")
    assert not any(one.label.startswith("Read ") for one in alone.lines)
    assert not any("worst reading" in text for text in alone.notes)


def test_a_value_beyond_its_edge_has_no_margin_left() -> None:
    found = working("capacity", job={"shot_mass": "500 g"})
    assert any(text.startswith("Beyond the hard edge: the value would ") for text in found.notes)
    assert not any(text.startswith("Margin") for text in found.notes)


def test_a_lower_bound_says_that_it_is_one() -> None:
    job = {"shot_mass_tolerance": "0.5 %"}
    bids = appraised(job, {}, {}).evaluation.bids
    unit = bids[0].units[0].replace(position_scatter=Quantity(magnitude="0.05", unit="mm"))
    evaluation = appraised(job, {}, {}).evaluation
    evaluation = evaluation.replace(bids=(bids[0].replace(units=(unit,)),))
    found = criterion_working(appraise(evaluation), CriterionRef("b", "j", "repeatability"))
    assert "not stated; at least 0.061 % (" in found.result
    assert found.result.endswith(", a lower bound.")
    assert "shot stroke = shot mass / output factor / screw area" in found.formula


@pytest.mark.parametrize("attack", ["no", "yes"])
def test_a_package_is_not_praised_where_nothing_attacks(attack: str) -> None:
    packages = {"barrel_package": "bimetallic_carbide", "screw_package": "bimetallic_carbide"}
    found = working("wear", resin={"abrasive": attack}, barrel=packages)
    assert "the resin is not abrasive, or barrel and screw are suited to it" in found.result
    assert not any("interval" in text for text in found.notes)
    assert [one.label for one in found.lines].count("Abrasive") == 1


def test_readings_that_change_nothing_and_shots_beyond_the_barrel_are_not_told() -> None:
    barrel = {"swept_volume": "550 cm3", "injection_pressure": "2000 bar"}
    found = working("pressure", job={"required_pressure": "1000 bar"}, barrel=barrel)
    assert not any(one.label.startswith("Read ") for one in found.lines)
    assert not any("worst reading" in text for text in found.notes)
    barrel = {"injection_rate": "1000 cm3/s"}
    found = working("rate", job={"fill_time": "2 s"}, barrel=barrel)
    # 1000 cm³/s for 2 s are 2000 cm³; 50 mm × 200 mm sweep 393 cm³.
    assert (
        "Shot volumes it allows on this barrel: from 0 cm³ to more than its swept volume."
        in found.notes
    )
    found = working("rate", job={"fill_time": "2 s"}, barrel={"injection_rate": "100 cm3/s"})
    assert "Shot volumes it allows on this barrel: from 0 cm³ to 200 cm³." in found.notes


def volume_working(**barrel: Any) -> Working:
    return any_working(appraised({}, barrel, {}), VolumeRef("b"))


def test_a_volume_tells_its_readings_where_there_are_several() -> None:
    radius = volume_working(screw_diameter="25 mm", swept_volume="393 cm3")
    read = {one.label: (one.value, one.stated) for one in radius.lines if "Read" in one.label}
    assert list(read) == [
        "Read as printed",
        "Read if the radius was printed as the diameter",
        "Read with the diameter that the volume implies",
        "Read with the stroke that the volume implies",
    ]
    assert read["Read if the radius was printed as the diameter"][1] == "50.0 mm × 200 mm"
    # 393 cm3 behind 25 mm are 801 mm, 32 diameters.
    assert read["Read with the stroke that the volume implies"][1].endswith("not included")
    assert not any("Read" in one.label for one in volume_working().lines)


def test_a_volume_that_is_not_known_is_said_so_once() -> None:
    assert volume_working(screw_diameter=None).result == "Not stated"
    alone = volume_working()
    assert "Not checked against a second number: swept volume not stated." in alone.notes
    # No size is told to be taken where there is none.
    nothing = working("capacity", barrel={"screw_diameter": None, "stroke": None})
    assert not any("4 D" in one.value for one in nothing.lines)


def test_a_claim_that_is_not_stated_is_said_so_once() -> None:
    found = any_working(appraised({}, {}, {}), ClaimRef("b", "size_number"))
    assert found.result == "Not stated: size number."


def test_what_is_taken_for_an_input_stands_in_its_place() -> None:
    labels = [one.label for one in working("capacity").lines]
    assert labels.count("Cushion") == labels.count("Decompression") == 1
    (cushion,) = (one for one in working("capacity").lines if one.label == "Cushion")
    assert cushion.path == ("jobs", "j", "cushion")
    assert not cushion.is_entered


def test_a_package_says_whether_it_is_proof() -> None:
    packages = {"barrel_package": "bimetallic_carbide", "screw_package": "nitrided"}
    found = working("wear", barrel=packages, resin={"abrasive": "yes"})
    assert line(found, "Barrel package")[1] == "resistant to it"
    assert line(found, "Screw package")[1] == "not resistant to it"


def test_nothing_is_said_of_a_margin_where_no_verdict_is_given() -> None:
    assumed = working("ring_share")
    assert not any("Margin" in note or "Shot volumes" in note for note in assumed.notes)
    assert any("assumed ring travel" in note for note in assumed.notes)
    stated = working("ring_share", barrel={"ring_travel": "3 mm"})
    assert any("Margin" in note for note in stated.notes)
    assert not any("assumed ring travel" in note for note in stated.notes)
