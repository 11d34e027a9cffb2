"""Every code has its word, and what the sample comes to is said in whole cells."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable
from typing import get_args

import pytest

from evenbarrel.appraisal import results
from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.claims import KEYS
from evenbarrel.appraisal.references import (
    ClaimRef,
    CriterionRef,
    FactorRef,
    Reference,
    ShotRef,
    VolumeRef,
)
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.limits import CRITERIA, LIMITS, USUAL_HALF_WIDTHS
from evenbarrel.wording.sentences import cells, claim_sentences
from evenbarrel.wording.sentences.asking.questions import question_texts
from evenbarrel.wording.sentences.deciding.decision import half_width_label
from evenbarrel.wording.sentences.fit import fit_notes, who_fits
from evenbarrel.wording.sentences.hints import barrel_hints
from evenbarrel.wording.sentences.summary import counts_text, summary_text
from evenbarrel.wording.sheets.assumptions import (
    CAUTIONS,
    limits_sheet,
    resins_sheet,
    source_lines,
    uncertainty_sheet,
)
from evenbarrel.wording.sheets.barrels import barrels_sheet, masses_sheet
from evenbarrel.wording.sheets.claims import claims_sheet, offers_sheet
from evenbarrel.wording.sheets.gates.gate import gate_sheet
from evenbarrel.wording.sheets.printed import printed_fit_sheet
from evenbarrel.wording.sheets.sheet import Sheet
from evenbarrel.wording.sheets.shots import shots_sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.hint import Hint
from evenbarrel.wording.words.limits import NOTES, limit_note, shipped_note
from evenbarrel.wording.workings.working import working

SLIPS = [
    "in3_as_cm3",
    "cm3_as_in3",
    "oz_as_g",
    "g_as_oz",
    "fl_oz_as_cm3",
    "psi_as_bar",
    "bar_as_psi",
    "MPa_as_bar",
    "bar_as_MPa",
    "radius_as_diameter",
    "diameter_as_radius",
    "in_as_mm",
    "mm_as_in",
    "neighbour_barrel",
    "solid_density",
    "oil_pressure",
    "reference_resin",
    "decimal_shift",
    "kg_h_as_g_s",
    "g_s_as_kg_h",
    "lb_as_kg",
    "lb_h_as_kg_h",
]

SHEETS = (
    barrels_sheet,
    claims_sheet,
    printed_fit_sheet,
    gate_sheet,
    masses_sheet,
    offers_sheet,
    shots_sheet,
    limits_sheet,
    resins_sheet,
    uncertainty_sheet,
)


def test_every_code_has_its_word() -> None:
    assert set(labels.STATES) == set(labels.MARKS) == set(get_args(results.State))
    assert set(labels.CLAIM_STATES) == set(labels.STATE_OF_CLAIM)
    assert set(labels.CLAIM_STATES) == set(get_args(results.ClaimState))
    assert tuple(CRITERION_WORDS) == CRITERIA
    assert all(w.short and w.meaning and w.formula for w in CRITERION_WORDS.values())
    assert set(labels.REASONS) == set(get_args(results.Reason))
    assert set(labels.BASES) == set(get_args(results.Basis))
    assert {*KEYS, "completeness", "validity"} == set(CLAIM_WORDS)
    assert set(SLIPS) == set(labels.CAUSES)
    for routes in USUAL_HALF_WIDTHS.values():
        assert all(route in labels.ROUTES or route in labels.STANDINGS for route in routes)


def test_every_claim_of_the_sample_is_a_sentence(sample_appraisal: Appraisal) -> None:
    claims = [c for b in sample_appraisal.barrels for c in b.claims]
    claims += [c for b in sample_appraisal.bids for c in b.claims]
    for claim in claims:
        text = claim_sentences.claim_sentence(claim, "metric")
        assert text[-1] in ".?", (claim.key, text)
        assert "{" not in text
        assert "_" not in text
        assert "None" not in text


def test_every_question_is_polite_whole_and_specific(sample_appraisal: Appraisal) -> None:
    texts = question_texts(sample_appraisal)
    assert set(texts) == {question.id for question in sample_appraisal.questions}
    for text in texts.values():
        assert re.search(r"[?.]$", text)
        assert text[0].isupper()
        assert not re.search(r"[_{}]|None|nan", text)


def test_the_in3_question_names_barrel_both_volumes_and_cause(
    sample_appraisal: Appraisal,
) -> None:
    text = question_texts(sample_appraisal)["b4.swept_volume"]
    assert "20.4 cm³ quoted" in text
    assert "334.8 cm³ from diameter and stroke" in text
    assert "Could it be that in³ was printed as cm³?" in text


def test_cells_are_told_in_words(sample_appraisal: Appraisal) -> None:
    for barrel in sample_appraisal.barrels:
        for job in sample_appraisal.jobs:
            fit = sample_appraisal.fit(barrel.id, job.id)
            told = cells.fit_sentences(fit, "metric")
            state = labels.STATES[fit.state].split()[0]
            assert told[0].lower().startswith(state)
            if fit.binding is not None:
                assert CRITERION_WORDS[fit.binding].label.lower() in told[0].lower()
            assert not any(re.search(r"[_{}]|None|nan", text) for text in told)


@pytest.mark.parametrize("make", SHEETS, ids=lambda make: make.__name__)
def test_every_row_has_a_cell_under_every_heading(
    make: Callable[[Appraisal], Sheet], sample_appraisal: Appraisal
) -> None:
    sheet = make(sample_appraisal)
    assert sheet.rows
    for row in sheet.rows:
        assert len(row) == len(sheet.headings)
        assert all(cell.text for cell in row)


def test_every_reference_of_every_sheet_opens(sample_appraisal: Appraisal) -> None:
    opened = 0
    for make in SHEETS:
        for row in make(sample_appraisal).rows:
            for cell in row:
                if cell.reference is not None:
                    shown = working(sample_appraisal, cell.reference)
                    assert shown.title
                    assert shown.result
                    opened += 1
    assert opened > 100


def test_every_criterion_opens_to_formula_inputs_and_literature(
    sample_appraisal: Appraisal,
) -> None:
    for key in CRITERIA:
        shown = working(sample_appraisal, CriterionRef("b1u1b", "j3", key))
        assert CRITERION_WORDS[key].label in shown.formula
        assert shown.lines
        assert shown.literature
        for line in shown.lines:
            if line.reference is not None:
                assert working(sample_appraisal, line.reference).lines


@pytest.mark.parametrize(
    "gone",
    [
        CriterionRef("gone", "j3", "stroke"),
        CriterionRef("b1u1b", "gone", "stroke"),
        CriterionRef("b1u1b", "j3", "gone"),
        ClaimRef("gone", "size_number"),
        ClaimRef("b1u1b", "gone"),
        ShotRef("gone"),
        FactorRef("gone"),
        VolumeRef("gone"),
    ],
)
def test_what_is_gone_is_a_key_error(sample_appraisal: Appraisal, gone: Reference) -> None:
    with pytest.raises(KeyError):
        working(sample_appraisal, gone)


def test_a_working_names_where_its_inputs_were_printed(sample_appraisal: Appraisal) -> None:
    shown = working(sample_appraisal, CriterionRef("b1u1b", "j3", "stroke"))
    diameter = next(line for line in shown.lines if line.label == "Screw diameter")
    assert diameter.value == "45 mm (44.9 to 45.1 mm)"
    assert "offer p. 3" in diameter.stated


def test_a_working_tells_a_converted_rate_and_an_estimated_pressure(
    sample_appraisal: Appraisal,
) -> None:
    recovery = working(sample_appraisal, CriterionRef("b1u1b", "j6", "recovery"))
    told = {line.label: line.value for line in recovery.lines}
    assert told["Rate as quoted, in Polystyrene, general purpose"] == "24.0 g/s"
    # 370 kJ/kg of PS over 470 kJ/kg of PC.
    assert told["Converted by"] == "0.787"
    pressure = working(sample_appraisal, CriterionRef("b1u1b", "j1", "pressure"))
    given = {line.label: line.stated for line in pressure.lines}
    assert "mould 101" in given["Flow length"]
    assert given["Power law"].endswith("; published")


def test_a_working_calls_a_limit_what_the_page_of_limits_calls_it(
    sample_appraisal: Appraisal,
) -> None:
    shown = working(sample_appraisal, CriterionRef("b1u1b", "j3", "stroke"))
    told = {line.label: line.stated for line in shown.lines}
    assert told["Shot stroke, largest"] == "4.00 D: common practice, no source"
    shown = working(sample_appraisal, CriterionRef("b1u1b", "j3", "utilisation"))
    told = {line.label: line.stated for line in shown.lines}
    assert told["Engineering resins, largest share of volume"].startswith("50 %: ")


def test_an_output_factor_opens_to_where_each_route_came_from(
    sample_appraisal: Appraisal,
) -> None:
    told = {line.label: line for line in working(sample_appraisal, FactorRef("pc")).lines}
    assert "output factors of the trade" in told["trade table"].stated
    assert "Tait equation" in told["melt density less leakage"].stated
    assert told["Melt temperature"].value == "300 °C"


def test_the_counts_add_up(sample_appraisal: Appraisal) -> None:
    text = counts_text(sample_appraisal)
    assert text.startswith("14 barrels: ")
    numbers = [int(number) for number in re.findall(r"(\d+) (?:inside|near|outside|not)", text)]
    assert sum(numbers) == 14
    assert text in summary_text(sample_appraisal)


def test_it_is_said_when_no_barrel_is_without_an_objection(sample_appraisal: Appraisal) -> None:
    free = {
        barrel: state
        for barrel, state in sample_appraisal.gates.states.items()
        if state == "no_objection"
    }
    kept = sample_appraisal.evaluation
    bids = tuple(
        bid.replace(
            units=tuple(
                unit.replace(
                    barrels=tuple(one for one in unit.barrels if one.id not in free),
                    standard_barrel=None,
                )
                for unit in bid.units
            )
        )
        for bid in kept.bids
    )
    left = appraise(Evaluation(resins=kept.resins, jobs=kept.jobs, bids=bids, as_of=kept.as_of))
    counts = Counter(left.gates.states.values())
    assert not counts["no_objection"]
    assert who_fits(left) == (
        f"No barrel of {len(left.barrels)} is without an objection: {counts['waits']} wait, "
        f"{counts['shut']} are shut."
    )
    assert who_fits(sample_appraisal).startswith(f"No objection to {len(free)} of 14 barrels")


def test_the_grid_tells_physics_from_rule_first(sample_appraisal: Appraisal) -> None:
    words = fit_notes(sample_appraisal)[0]
    numbers = [int(number) for number in re.findall(r"(\d+)(?=[,.])", words)]
    assert sum(numbers) == 14 * 8
    assert "outside by physics" in words
    assert "by rule" in words


def test_hints_say_what_the_other_numbers_imply(sample_appraisal: Appraisal) -> None:
    hints = barrel_hints(sample_appraisal, "b4u1b")
    assert "334.8 cm³" in hints["swept_volume"].text
    assert "in³ was printed as cm³" in hints["swept_volume"].text
    assert hints["swept_volume"].state == "outside"
    assert "diameters" in hints["stroke"].text
    # Both of its screws print psi as bar, so they agree with each other: that is no comfort.
    assert hints["injection_pressure"].text == (
        "⊗ It would be explained if psi was printed as bar for every screw."
    )


def test_the_number_that_a_slip_is_in_is_marked_itself(sample_evaluation: Evaluation) -> None:
    """4.5 for 45 mm: volume, mass and pressure are right, and are not to look wrong alone."""
    bid = sample_evaluation.bids[0]
    (unit,) = bid.units
    barrels = list(unit.barrels)
    size = barrels[1].screw_diameter
    assert size is not None
    barrels[1] = barrels[1].replace(screw_diameter=size.replace(magnitude="4.50"))
    changed = bid.replace(units=(unit.replace(barrels=tuple(barrels)),))
    others = sample_evaluation.bids[1:]
    appraisal = appraise(sample_evaluation.replace(bids=(changed, *others)))
    hints = barrel_hints(appraisal, barrels[1].id)
    assert hints["screw_diameter"] == Hint(
        "⊗ Volume against geometry does not agree. It would be explained if the decimal mark of "
        "the screw diameter was shifted.",
        "outside",
    )
    assert "screw_diameter" not in barrel_hints(appraisal, barrels[0].id)


def test_cautions_name_the_standard_and_defer_to_people() -> None:
    text = " ".join(CAUTIONS)
    for words in ("ISO 20430", "local", "trained people", "not a guarantee", "PVC", "POM"):
        assert words in text


def test_the_bibliography_names_what_the_rules_and_the_resins_of_an_evaluation_rest_on(
    sample_evaluation: Evaluation,
) -> None:
    rules, listed = source_lines(Evaluation()), source_lines(sample_evaluation)
    # Numbers of polycarbonate and polyamide come from a table, those of the rules do not.
    assert "Crawford" in str(listed)
    assert "Crawford" not in str(rules)
    assert set(rules) < set(listed)
    assert "ISO 294-1" not in str(listed)


def test_the_bibliography_is_honest_about_what_was_seen(sample_evaluation: Evaluation) -> None:
    lines = source_lines(sample_evaluation)
    assert any("from memory" in line for line in lines)
    assert not any(re.search(r"www|http|\.com", line) for line in lines)


def test_the_gate_lists_what_nothing_stands_against_first(sample_appraisal: Appraisal) -> None:
    gates = [re.split("[:;]| as ", row[-1].text)[0] for row in gate_sheet(sample_appraisal).rows]
    best_first = ["no objection", "waits", "shut"]
    assert gates == sorted(gates, key=best_first.index)
    assert set(gates) == set(best_first)


def test_what_a_screw_holds_is_not_said_to_come_from_diameter_and_stroke() -> None:
    assert half_width_label("melt_inventory", "geometry") == "Melt inventory, from screw geometry"
    assert half_width_label("melt_inventory", "quoted") == "Melt inventory, as quoted"
    assert half_width_label("part_mass", "measured") == "Part and runner mass, measured"


def test_the_notes_of_usual_limits_are_kept_as_shipped_and_said_in_our_words() -> None:
    usual = Evaluation().limits
    shipped = {getattr(usual, name).note for name in LIMITS}
    assert shipped == set(NOTES)
    for note in shipped:
        assert limit_note(note) != note
        assert shipped_note(limit_note(note)) == note
    assert limit_note("agreed in October") == shipped_note("agreed in October")
    told = {row[-1].text for row in limits_sheet(appraise(Evaluation())).rows}
    assert told == set(NOTES.values())
