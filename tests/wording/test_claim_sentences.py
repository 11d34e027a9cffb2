"""Claims in words: what they hold against each other, and what would explain them."""

from __future__ import annotations

import pytest

from evenbarrel import resources
from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.claims import KEYS
from evenbarrel.appraisal.references import ClaimRef
from evenbarrel.appraisal.results import Cause, Claim, CriterionResult
from evenbarrel.model.datum_path import put
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Quantity
from evenbarrel.storage.files import parse_evaluation
from evenbarrel.wording.sentences.asking.questions import question_texts
from evenbarrel.wording.sentences.cells import (
    criterion_sentence,
    fit_sentences,
    in_sentence,
    listed,
)
from evenbarrel.wording.sentences.claim_sentences import claim_sentence
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.names import barrel_names
from evenbarrel.wording.workings.working import working

TWO_FORCES = Claim(
    "drive_force", "query", "injection_pressure", "force", 2778e3, of_each_screw=(2778e3, 191e3)
)


def test_two_screws_imply_two_forces() -> None:
    text = claim_sentence(TWO_FORCES, "metric")
    assert text == "The two screws imply 2778 kN and 191 kN; one drive has one force."


def test_one_pressure_for_all_is_a_question() -> None:
    claim = Claim(
        "drive_force",
        "query",
        "injection_pressure",
        "force",
        286e3,
        note="one_pressure_for_all",
        of_each_screw=(286e3, 353e3),
    )
    assert claim_sentence(claim, "metric") == (
        "One pressure is printed for all screws, which implies 286 kN and 353 kN: is it a "
        "common limit, and what force does the drive give?"
    )


def test_strokes_that_share_nothing_are_all_told() -> None:
    claim = Claim("common_stroke", "query", "stroke", "length", 0.15, of_each_screw=(0.15, 0.2))
    assert "150 mm and 200 mm; one unit has one stroke" in claim_sentence(claim, "metric")


def test_an_overloaded_drive_is_told_and_nobody_is_asked() -> None:
    claim = Claim(
        "injection_power",
        "query",
        "injection_power",
        "power",
        85e3,
        45e3,
        0.017,
        0.89,
        note="overload",
    )
    text = claim_sentence(claim, "metric")
    assert text.startswith("Injection power 85 kW; the drive has 45 kW.")
    assert text.endswith("no question is asked.")


@pytest.mark.parametrize(
    ("note", "words"),
    [
        (None, "One revolution of the screw delivers 0.060 D³ of melt; 0.04 to 0.075 D³ is usual"),
        ("unusual_output", "a barrier screw may deliver more than usual"),
        ("above_drag_flow", "more than the drag flow of the metering zone"),
    ],
)
def test_what_a_turn_delivers(note: str | None, words: str) -> None:
    claim = Claim("output_per_turn", "agrees", "plasticising_rate", "ratio", 0.06, note=note)
    assert words in claim_sentence(claim, "metric")


@pytest.mark.parametrize(
    ("output", "told"), [(0.0398, "0.0398"), (0.0402, "0.040"), (0.07504, "0.07504")]
)
def test_an_unusual_output_does_not_read_as_a_usual_one(output: float, told: str) -> None:
    claim = Claim("output_per_turn", "agrees", "plasticising_rate", "ratio", output)
    assert f"delivers {told} D³" in claim_sentence(claim, "metric")


@pytest.mark.parametrize(
    ("causes", "words"),
    [
        (
            (Cause("psi_as_bar", "injection_pressure", 1.75e8, column=True),),
            "It would be explained if psi was printed as bar for every screw.",
        ),
        (
            (Cause("decimal_shift", "stroke"), Cause("decimal_shift", "swept_volume")),
            "Several slips would explain it: the decimal mark of the stroke was shifted or the "
            "decimal mark of the swept volume was shifted.",
        ),
    ],
)
def test_a_cause_names_its_datum_and_its_column(causes: tuple[Cause, ...], words: str) -> None:
    claim = Claim(
        "volume_geometry", "contradicts", "swept_volume", "volume", 1e-4, 1e-3, 0.005, -0.9, causes
    )
    assert claim_sentence(claim, "metric").endswith(words)


def test_a_time_and_its_limit_are_told_in_one_unit() -> None:
    stay = CriterionResult(
        "residence", "inside", "resin", "s", value=100.0, low=80.0, high=120.0, allowed_high=292.0
    )
    text = criterion_sentence(stay, "metric")
    assert "1.7 min" in text
    assert "4.9 min" in text
    assert " s;" not in text


def test_a_rate_is_asked_about_in_its_own_unit(sample_evaluation: Evaluation) -> None:
    path = ("bids", "b1", "units", "b1u1", "barrels", "b1u1a", "plasticising_rate")
    changed = put(sample_evaluation, path, Quantity(magnitude="64.8", unit="g/s"))
    text = question_texts(appraise(changed))["b1.plasticising_rate"]
    # 40 mm at 290 rev/min and the melt density of polystyrene at 10 MPa.
    assert "Unit 604 A: 64.8 g/s printed, 12 to 22 g/s usual for its diameter and speed" in text
    assert text.endswith("Could it be that kg/h was printed as g/s?")


@pytest.mark.parametrize(
    ("barrels", "told"),
    [
        (("b1u1a", "b1u1b", "b1u1c"), "Unit 604 A, B and C"),
        (("b3u1a", "b3u1b", "b3u1c"), "Model 18 1.50, 1.75 and 2.00"),
        (("b1u1a", "b2u1a", "b2u1b"), "Unit 604 A, Unit 572 A and B"),
        (("b1u1a", "b2u1a", "b1u1b"), "Unit 604 A, Unit 572 A and Unit 604 B"),
        (("b1u1c",), "Unit 604 C"),
        ((), ""),
    ],
)
def test_a_unit_is_named_once_before_its_screws(
    sample_appraisal: Appraisal, barrels: tuple[str, ...], told: str
) -> None:
    assert listed(barrel_names(sample_appraisal, barrels)) == told


def test_one_pressure_is_asked_about_without_blame(sample_appraisal: Appraisal) -> None:
    text = question_texts(sample_appraisal)["b2.injection_pressure"]
    assert text == (
        "One injection pressure, 1800 bar, is printed for Unit 572 A and B. Is it a "
        "common limit, and what force does the drive give?"
    )


@pytest.mark.parametrize(
    "term",
    ["position scatter", "melt inventory", "plasticising speed", "barrel package", "share of vol"],
)
def test_a_letter_holds_none_of_our_own_terms(sample_appraisal: Appraisal, term: str) -> None:
    texts = question_texts(sample_appraisal)
    sent = [
        texts[question.id] for question in sample_appraisal.questions if question.to == "supplier"
    ]
    assert not [text for text in sent if term in text.lower()]


def test_the_speed_of_a_rate_is_asked_for_plainly(sample_appraisal: Appraisal) -> None:
    text = question_texts(sample_appraisal)["b2.plasticising_speed"]
    assert "the screw speed at which the plasticising rate was measured" in text


def _sample_appraisal() -> Appraisal:
    name = "irrigation-parts.evenbarrel.json"
    return appraise(parse_evaluation(resources.read_sample(name), name))


def test_a_claim_shows_its_formula_and_every_datum_behind_it() -> None:
    appraisal = _sample_appraisal()
    found = working(appraisal, ClaimRef("b1u1a", "plasticising_energy"))
    assert (
        found.formula == "plasticising rate × enthalpy against the power of screw drive and heaters"
    )
    values = {line.label: line.value for line in found.lines}
    # 18 g/s of polystyrene at 370 kJ/kg are 6.66 kW, against 30 kW and 18 kW.
    assert values["Screw drive power"] == "30 kW"
    assert values["Heating power"] == "18 kW"
    assert values["Plasticising resin"] == "Polystyrene, general purpose"
    assert "6.66 kW; screw drive and heaters supply 48 kW. Only a higher" in found.result
    assert "Difference" not in found.result


def test_every_datum_of_a_claim_exists_and_every_claim_of_a_barrel_has_its_words() -> None:
    for key, words in CLAIM_WORDS.items():
        assert set(words.of_barrel) <= set(Barrel.model_fields), key
        assert set(words.of_unit) <= set(InjectionUnit.model_fields), key
        assert words.formula, key
    for key in KEYS:
        assert "{each}" in CLAIM_WORDS[key].asked
        assert "{stated}" in CLAIM_WORDS[key].numbers


def test_a_question_on_some_screws_asks_for_the_datum_of_those_that_lack_it() -> None:
    appraisal = _sample_appraisal()
    texts = question_texts(appraisal)
    end = " Please also state the {} of “Unit 586 C, on request”."
    assert texts["b4.injection_pressure"].endswith(end.format("injection pressure"))
    assert texts["b4.swept_volume"].endswith(end.format("swept volume"))
    assert "Please also" not in texts["b2.rated_shot_mass"]
    assert "measured for Unit 586 A, B and “C, on request”" in texts["b4.plasticising_speed"]


def test_a_supplier_is_asked_in_the_units_of_the_offer() -> None:
    evaluation = _sample_appraisal().evaluation.replace(display_units="us")
    asked = question_texts(appraise(evaluation))["b4.swept_volume"]
    assert "Unit 586 B: 20.4 cm³ quoted, 334.8 cm³ from diameter and stroke" in asked


def _with_offer(screw: dict[str, str], **of_unit: Quantity) -> Appraisal:
    """The sample with one more offer, of one unit with one screw."""
    fields = {
        name: Quantity(magnitude=text.split()[0], unit=text.split()[1]) if " " in text else text
        for name, text in screw.items()
    }
    sample = _sample_appraisal().evaluation
    barrel = Barrel.model_validate({"id": "newb", **fields})
    unit = InjectionUnit(id="newu", barrels=(barrel,), **of_unit)
    bids = (*sample.bids, Bid(id="new", units=(unit,)))
    return appraise(sample.replace(bids=bids, proposal=None))


def test_a_unit_of_one_screw_is_asked_about_its_size_number() -> None:
    screw = {"screw_diameter": "80 mm", "stroke": "400 mm", "injection_pressure": "1850 bar"}
    number = Quantity(magnitude="600", unit="1")
    asked = question_texts(_with_offer(screw, size_number=number))["new.injection_pressure"]
    assert asked.startswith(
        "Injection pressure × screw area does not agree with the size number of the unit ("
    )
    assert "929.9 kN, against 150 kN by size number and stroke)" in asked


def test_a_difference_that_is_none_has_no_digits() -> None:
    claim = Claim(
        "size_number", "agrees", "size_number", "ratio", 604, 604.3, 0.03, 604 / 604.3 - 1
    )
    assert claim_sentence(claim, "metric").endswith("Difference under 0.1 %, tolerance 3.0 %.")


def test_a_cell_that_nothing_is_known_of_is_open_and_nothing_binds() -> None:
    fit = _sample_appraisal().fit("b4u1c", "j1")
    assert fit_sentences(fit, "metric")[0] == "Not stated; capacity open."


def test_what_is_not_known_is_told_before_what_is() -> None:
    appraisal = _sample_appraisal()
    fits = [appraisal.fit(b.id, job.id) for b in appraisal.barrels for job in appraisal.jobs]
    told = [fit_sentences(fit, "metric") for fit in fits if fit.open]
    assert len(told) > 10
    assert all(sentences[1].startswith("Open: ") for sentences in told)


@pytest.mark.parametrize(
    ("screw", "sentence", "question"),
    [
        (
            {"screw_diameter": "25 mm", "swept_volume": "392.7 cm3"},
            "Stroke 800 mm; no screw of this diameter has more than 200 mm (common practice, no "
            "source).",
            "The stroke, or the one that swept volume and diameter give, is none that a screw of "
            "its diameter has (",
        ),
        (
            {"screw_diameter": "50 mm", "stroke": "200 mm", "rated_shot_mass": "12.6 g"},
            "Rated mass / swept volume is 0.03209 g/cm³; no resin gives less than 0.5 g/cm³ "
            "(common practice, no source).",
            "The rated shot mass does not fit the swept volume: no resin weighs so much or so "
            "little (",
        ),
        (
            {"screw_diameter": "50 mm", "injection_rate": "12.0 cm3/s"},
            "Rate / screw area would be a speed of 6.112 mm/s; no forward stroke has less than "
            "15 mm/s (common practice, no source).",
            "The injection rate does not fit the screw diameter: it takes a forward speed that no "
            "screw has (",
        ),
        (
            {
                "screw_diameter": "50 mm",
                "plasticising_rate": "90 g/s",
                "plasticising_resin": "ps",
            },
            "Whichever resin and screw speed apply, one revolution of the screw would deliver "
            "0.078 D³ of melt; 0.075 D³ is the most (common practice, no source).",
            "The plasticising rate is none that a screw of its diameter gives (",
        ),
    ],
)
def test_a_number_of_no_machine_is_told_and_asked(
    screw: dict[str, str], sentence: str, question: str
) -> None:
    appraisal = _with_offer(screw)
    (claim,) = [c for c in appraisal.barrel("newb").claims if c.note == "unlikely"]
    assert claim_sentence(claim, "metric").startswith(sentence)
    assert any(text.startswith(question) for text in question_texts(appraisal).values())


def test_names_with_a_comma_are_told_apart() -> None:
    assert listed(["a", "b", "c"]) == "a, b and c"
    assert listed(["a, large", "b"]) == "a, large; and b"
    assert listed(["“a, large”", "b"]) == "“a, large” and b"
    assert listed(["a (large, wide)", "b"]) == "a (large, wide) and b"
    assert in_sentence("Dripper, 32 cavities") == "“Dripper, 32 cavities”"
    assert in_sentence("Dripper") == "Dripper"
