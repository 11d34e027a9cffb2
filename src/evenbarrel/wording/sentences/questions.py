"""The questions in sentences: plain, polite, specific; to a supplier or to us."""

from __future__ import annotations

from collections.abc import Mapping

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.claims.doubt import is_asked
from evenbarrel.appraisal.claims.plasticising import USUAL_OUTPUT_HIGH, USUAL_OUTPUT_LOW
from evenbarrel.appraisal.references import ClaimRef
from evenbarrel.appraisal.results import Cause, Claim, Question
from evenbarrel.units import from_si
from evenbarrel.wording.sentences.cells import date_text, listed, missing_words
from evenbarrel.wording.sentences.claim_words import cause_clause, claim_value
from evenbarrel.wording.words.names import screw_called, unit_called
from evenbarrel.wording.words.numbers import printed, rounded, unit_text, with_unit

_PER_BARREL: Mapping[str, str] = {
    "volume_geometry": "{barrel}: {stated} quoted, {derived} from diameter and stroke",
    "rated_mass_basis": "{barrel}: {stated} rated, {derived} expected",
    "common_stroke": "{barrel}: {stated}, against {derived} for the unit",
    "drive_force": "{barrel}: {stated}, against {derived} for the drive",
    "size_number": "{barrel}: {stated} printed, {derived} from force and stroke",
    "injection_speed": "{barrel}: {stated} printed, {derived} from rate and area",
    "injection_power": "{barrel}: {stated}, against {derived} of drive power",
    "pressure_kind": "{barrel}: {stated}",
    "plasticising_energy": "{barrel}: {stated} needed to melt, {derived} installed",
    "output_per_turn": "{barrel}: {rate} printed, {usual} usual for its diameter and speed",
    "peripheral_speed": "{barrel}: {stated} printed, {derived} from diameter and speed",
    "length_ratio": "{barrel}: {stated}",
    "reference_resin": "{barrel}: {stated} quoted, {derived} usual",
}

_ASKED: Mapping[str, str] = {
    "volume_geometry": "The quoted swept volume does not follow from diameter and stroke ({each})."
    " Which of the numbers should we use?",
    "rated_mass_basis": "The rated shot mass divided by the swept volume does not give what one "
    "cm³ of swept volume delivers of the resin it is rated in ({each}). On which density is the "
    "mass rated, and what mass do you measure in an air shot?",
    "common_stroke": "The screws of one injection unit should share one stroke ({each}). Please "
    "confirm the stroke of each.",
    "drive_force": "Injection pressure × screw area is the force of the drive and should be the "
    "same for all its screws ({each}). Please confirm the highest injection pressure in the melt "
    "for each screw.",
    "size_number": "The size number of the unit does not follow from pressure and volume ({each})."
    " Please confirm it, and the pressure and volume it is made of.",
    "injection_speed": "The injection speed does not follow from injection rate and screw area "
    "({each}). Please confirm both.",
    "injection_power": "The injection power exceeds the power of the drive ({each}). Please "
    "confirm both, and whether an accumulator serves the forward stroke.",
    "pressure_kind": "Please say whether the injection pressure is that in the melt or in the oil, "
    "and in which unit it is printed ({each}); if it is in the oil, please add the intensification "
    "ratio (piston area / screw area).",
    "plasticising_energy": "The plasticising rate needs more heat than screw drive and heaters "
    "have ({each}). Please confirm the rate, its resin and the installed powers.",
    "output_per_turn": "The plasticising rate does not fit screw diameter and screw speed "
    "({each}). Please confirm the rate, its unit and the screw speed at which it was measured.",
    "peripheral_speed": "The peripheral speed does not follow from diameter and screw speed "
    "({each}). Please confirm both.",
    "length_ratio": "Please confirm the L/D of each screw ({each}).",
    "reference_resin": "The factor you rated with, in g per cm³ of swept volume, is not usual for "
    "the resin it is rated in ({each}). Please confirm the resin and the factor.",
}

_POWER_OF_RATE = (
    "Highest injection pressure × highest injection rate is more than three times the power of the "
    "drive ({each}). Please confirm both, and the power of the drive."
)

_MISSING_NAMED: Mapping[str, str] = {
    "reference_resin": "In which resin is the shot mass of {barrels} rated? Without it we cannot "
    "convert the mass, and we never take it to be polystyrene.",
    "swept_volume": "Please state the swept volume, or diameter and stroke, of {barrels}.",
    "valid_until": "Until when is your offer valid?",
}

_IN_PLAIN_WORDS: Mapping[str, str] = {
    "plasticising_speed": "screw speed at which the plasticising rate was measured",
    "plasticising_resin": "resin in which the plasticising rate was measured",
    "position_scatter": "scatter of the position at which the screw ends its forward stroke, "
    "from shot to shot (± mm)",
    "melt_inventory": "volume of melt that the screw channel holds",
    "ring_travel": "closing travel of the check ring (the non-return valve)",
    "ring_kind": "kind of check ring (sliding ring, ball, plain tip)",
    "barrel_package": "material or coating of the barrel (wear and corrosion)",
    "screw_package": "material or coating of the screw (wear and corrosion)",
    "injection_power": "injection power (the greatest power on the melt)",
    "intensification_ratio": "intensification ratio (piston area / screw area)",
    "length_ratio": "L/D (flighted screw length in diameters)",
    "compression_ratio": "compression ratio of the screw (feed depth to metering depth)",
    "metering_depth": "channel depth of the screw in its metering zone",
}
"""What our labels mean, in a letter to somebody who does not know them."""

_NEEDED_FOR: Mapping[str, str] = {
    "capacity": "whether the shots fit the stroke",
    "utilisation": "what share of the swept volume the shots use",
    "stroke": "how many diameters the shots' stroke takes",
    "ring_share": "what share of the stroke the check ring takes to close",
    "residence": "how long the melt stays in the barrel",
    "recovery": "whether the shots are plasticised in time",
    "screw_speed": "how fast the screw has to turn",
    "pressure": "whether the pressure fills the parts",
    "rate": "whether the injection rate fills the parts",
    "power": "whether the injection power fills the parts",
    "repeatability": "how evenly the shots repeat",
    "wear": "wear",
    "corrosion": "corrosion",
    "screw_geometry": "whether the screw suits our resins",
}
"""What a criterion is about, for somebody who does not know our names."""

_US: Mapping[str, str] = {
    "runner_not_stated": "What does the cold runner of {jobs} weigh? The shots were computed "
    "without it.",
    "smallest_ignored": "The smallest shot of {jobs} is larger than the nominal one and was left "
    "out. Which is right?",
    "largest_ignored": "The largest shot of {jobs} is smaller than the nominal one and was left "
    "out. Which is right?",
}


def barrel_name(appraisal: Appraisal, barrel: str) -> str:
    """Return a barrel as its supplier calls it: unit and screw designation."""
    return f"{unit_name(appraisal, barrel)} {screw_name(appraisal, barrel)}"


def unit_name(appraisal: Appraisal, barrel: str) -> str:
    """Return the injection unit of a barrel as its supplier calls it, else by its place."""
    bid, unit, _ = appraisal.evaluation.place(barrel)
    return unit_called(bid, unit)


def screw_name(appraisal: Appraisal, barrel: str) -> str:
    """Return the screw designation of a barrel, else its place in the unit."""
    _, unit, entered = appraisal.evaluation.place(barrel)
    return screw_called(unit, entered)


def full_name(appraisal: Appraisal, barrel: str) -> str:
    """Return a barrel with its supplier before it."""
    supplier = appraisal.barrel(barrel).supplier
    return ", ".join(part for part in (supplier, barrel_name(appraisal, barrel)) if part)


def job_name(appraisal: Appraisal, job: str) -> str:
    """Return what a job is called, its id where it has no name."""
    return appraisal.evaluation.job(job).name or job


def _claims_of(question: Question, key: str, appraisal: Appraisal) -> list[tuple[str, Claim]]:
    claims = ((barrel, appraisal.barrel(barrel).claim(key)) for barrel in question.barrels)
    return [(barrel, claim) for barrel, claim in claims if is_asked(claim)]


def _each(key: str, found: list[tuple[str, Claim]], appraisal: Appraisal) -> str:
    units = appraisal.evaluation.display_units
    listed_claims = []
    for barrel, claim in found:
        template = _PER_BARREL[key] if claim.derived is not None else "{barrel}: {stated}"
        rate, usual = _rates(barrel, claim, appraisal)
        listed_claims.append(
            template.format(
                barrel=barrel_name(appraisal, barrel),
                stated=claim_value(claim.stated, claim.kind, units),
                derived=claim_value(claim.derived, claim.kind, units),
                rate=rate,
                usual=usual,
            )
        )
    return "; ".join(listed_claims)


def _rates(barrel: str, claim: Claim, appraisal: Appraisal) -> tuple[str, str]:
    """Return a plasticising rate as printed and its usual range, both in the printed unit."""
    entered = appraisal.evaluation.barrel(barrel)
    rate = entered.plasticising_rate
    if claim.key != "output_per_turn" or rate is None or not claim.stated:
        return "", ""
    value = rate.si("mass_rate") / claim.stated
    low, high = (
        rounded(from_si(value * output, rate.unit, "mass_rate"), 2)
        for output in (USUAL_OUTPUT_LOW, USUAL_OUTPUT_HIGH)
    )
    return printed(rate), f"{low} to {high} {unit_text(rate.unit)}"


def _cause(causes: tuple[Cause, ...]) -> str:
    if not causes:
        return ""
    options = " or ".join(cause_clause(cause) for cause in causes)
    return f" Could it be that {options}?"


def _validity(question: Question, appraisal: Appraisal) -> str:
    bid = appraisal.evaluation.bid(question.bid or "")
    claim = appraisal.claim(ClaimRef(bid.id, "validity"))
    if claim.note == "expired":
        return (
            f"Your offer was valid until {date_text(bid.valid_until)}, which had passed on "
            f"{date_text(appraisal.evaluation.as_of)}. Does it still hold, prices included?"
        )
    return (
        f"Your offer is dated {date_text(bid.date)} and valid until "
        f"{date_text(bid.valid_until)}. Please confirm both dates."
    )


def _claim_text(question: Question, key: str, appraisal: Appraisal) -> str:
    if key == "validity":
        return _validity(question, appraisal)
    found = _claims_of(question, key, appraisal)
    if key == "drive_force" and any(c.note == "one_pressure_for_all" for _, c in found):
        return _one_pressure([barrel for barrel, _ in found], appraisal) + _cause(question.causes)
    of_rate = key == "injection_power" and question.datum != "injection_power"
    asked = _POWER_OF_RATE if of_rate else _ASKED[key]
    return asked.format(each=_each(key, found, appraisal)) + _cause(question.causes)


def _one_pressure(barrels: list[str], appraisal: Appraisal) -> str:
    """Ask, without blame, what a capped drive may print as well as a careless hand."""
    names = listed([barrel_name(appraisal, barrel) for barrel in barrels])
    entered = appraisal.evaluation.barrel(barrels[0])
    return (
        f"One injection pressure, {printed(entered.injection_pressure)}, is printed for {names}. "
        "Is it a common cap, and which force does the drive give?"
    )


def _reasons(question: Question) -> str:
    criteria = [_NEEDED_FOR[key] for key in question.raised_by if key in _NEEDED_FOR]
    return f" We need it to judge {listed(criteria)}." if criteria else ""


def _window_beyond_cycle(job: str, appraisal: Appraisal) -> str:
    """Say how much the planned cycle of a job leaves for cooling, and how much is asked for."""
    window, units = appraisal.job(job).window, appraisal.evaluation.display_units
    if window is None or window.cap is None:
        return ""
    left = with_unit(max(0.0, window.cap.nominal), "time", units, 2)
    asked = []
    if "given" in window.beyond_cycle:
        asked.append(f"{with_unit(window.routes['given'].nominal, 'time', units, 2)} is planned")
    if "formula" in window.beyond_cycle and window.cooling is not None:
        entered = appraisal.evaluation.job(job)
        wall = "the wall" if entered.wall_thickness is None else printed(entered.wall_thickness)
        hold = 0.0 if entered.hold_time is None else entered.hold_time.si("time")
        low, high = (
            with_unit(max(0.0, t - hold), "time", units, 2)
            for t in (window.cooling.low, window.cooling.high)
        )
        asked.append(f"a wall of {wall} asks for about {low} to {high}")
    return (
        f"The planned cycle of {job_name(appraisal, job)} leaves {left} for cooling, "
        f"{listed(asked)}. Which is right?"
    )


def question_text(question: Question, appraisal: Appraisal) -> str:
    """Return a question as it is sent."""
    if question.claim is not None:
        return _claim_text(question, question.claim, appraisal)
    jobs = listed([job_name(appraisal, job) for job in question.jobs])
    if question.key == "window_beyond_cycle":
        return " ".join(_window_beyond_cycle(job, appraisal) for job in question.jobs)
    if question.key in _US:
        return _US[question.key].format(jobs=jobs)
    if question.to == "us":
        return f"Not stated for {jobs}: {missing_words((question.datum,))}.{_reasons(question)}"
    barrels = listed([barrel_name(appraisal, barrel) for barrel in question.barrels])
    named = _MISSING_NAMED.get(question.datum)
    if named is not None:
        return named.format(barrels=barrels)
    words = _IN_PLAIN_WORDS.get(question.datum) or missing_words((question.datum,))
    of = f" for {barrels}" if barrels else ""
    return f"Please state the {words}{of}.{_reasons(question)}"


def question_texts(appraisal: Appraisal) -> Mapping[str, str]:
    """Return every question's sentence by its id."""
    return {question.id: question_text(question, appraisal) for question in appraisal.questions}


def open_counts(appraisal: Appraisal) -> tuple[int, int]:
    """Return how many questions are still open for suppliers and for us."""
    still = [q for q in appraisal.questions if q.state in ("open", "asked")]
    suppliers = sum(question.to == "supplier" for question in still)
    return suppliers, len(still) - suppliers
