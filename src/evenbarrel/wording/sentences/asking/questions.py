"""The questions in sentences: plain, polite, specific; to a supplier or to us."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.claims.agreement import UNLIKELY
from evenbarrel.appraisal.claims.checks.plasticising import (
    BESIDE_OTHERS,
    USUAL_OUTPUT_HIGH,
    USUAL_OUTPUT_LOW,
)
from evenbarrel.appraisal.claims.doubt import is_asked
from evenbarrel.appraisal.references import ClaimRef
from evenbarrel.appraisal.results import Cause, Claim, Question
from evenbarrel.appraisal.unpriced import BASIS, RATE, SCOPE
from evenbarrel.model.quantity import Quantity
from evenbarrel.units import from_si
from evenbarrel.wording.sentences.cells import (
    date_text,
    few_of,
    in_sentence,
    listed,
    missing_words,
)
from evenbarrel.wording.sentences.claim_sentences import cause_clause, claim_value
from evenbarrel.wording.words.claims import ASKED_OF, CLAIM_WORDS
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import barrel_names, job_name
from evenbarrel.wording.words.numbers import (
    DisplayUnits,
    between,
    counted,
    printed,
    rounded,
    system_of,
    unit_text,
    with_unit,
)

WrittenDate = Callable[[date | None], str]

_MOST_WINDOWS = 3

_POWER_OF_RATE = (
    "Highest injection pressure × highest injection rate is far more than the power of the drive "
    "({each}). Please confirm both, and the kind and power of the drive."
)

_ONE_SCREW = (
    "Injection pressure × screw area does not agree with the size number of the unit ({each}). "
    "Please confirm the highest injection pressure in the melt, and the size number.",
    "{barrel}: {stated}, against {derived} by size number and stroke",
)
"""What is asked about the force of a unit with one screw, and of that screw."""

_MISSING_NAMED: Mapping[str, str] = {
    "reference_resin": "In which resin is the shot mass of {barrels} rated? Without it we cannot "
    "convert the mass, and we do not assume polystyrene.",
    "swept_volume": "Please state the swept volume, or diameter and stroke, of {barrels}.",
    "valid_until": "How long is your offer valid?",
    "price_difference": "How much more or less than with its standard screw does the machine cost "
    "with {barrels}, and which is the standard screw?",
}

_IN_PLAIN_WORDS: Mapping[str, str] = {
    "plasticising_speed": "screw speed at which the plasticising rate was measured",
    "plasticising_resin": "resin in which the plasticising rate was measured",
    "position_scatter": "shot-to-shot scatter of the screw's position at the end of the forward "
    "stroke (± mm)",
    "melt_inventory": "volume of melt that the screw channel holds",
    "ring_travel": "closing travel of the check ring (the non-return valve)",
    "ring_kind": "kind of check ring (sliding ring, ball, plain tip)",
    "barrel_package": "material or coating of the barrel (wear and corrosion)",
    "screw_package": "material or coating of the screw (wear and corrosion)",
    "injection_power": "injection power (the maximum power delivered to the melt)",
    "intensification_ratio": "intensification ratio (piston area / screw area)",
    "energy_per_mass": "energy that the machine takes for 1 kg, and the method it was measured by,",
    "length_ratio": "L/D (flighted screw length in diameters)",
    "compression_ratio": "compression ratio of the screw (feed depth to metering depth)",
    "metering_depth": "channel depth of the screw in its metering zone",
}
"""What our labels mean, in a letter to somebody who does not know them."""

_US: Mapping[str, str] = {
    "runner_not_stated": "What does the cold runner of {jobs} weigh? The shots were computed "
    "without it.",
    "smallest_ignored": "The smallest shot of {jobs} is larger than the nominal one and was left "
    "out. Which is right?",
    "largest_ignored": "The largest shot of {jobs} is smaller than the nominal one and was left "
    "out. Which is right?",
}


def _barrels(appraisal: Appraisal, barrels: Iterable[str]) -> str:
    return listed([in_sentence(name) for name in barrel_names(appraisal, barrels)])


def _job(appraisal: Appraisal, job: str) -> str:
    return in_sentence(job_name(appraisal, job))


def _claims_of(question: Question, key: str, appraisal: Appraisal) -> list[tuple[str, Claim]]:
    claims = ((barrel, appraisal.barrel(barrel).claim(key)) for barrel in question.barrels)
    return [(barrel, claim) for barrel, claim in claims if is_asked(claim)]


def _each(key: str, found: list[tuple[str, Claim]], appraisal: Appraisal) -> str:
    """Return the numbers of each screw; screws of the same numbers stand together."""
    alike: dict[tuple[str, ...], list[str]] = {}
    for barrel, claim in found:
        units = _as_printed(barrel, claim, appraisal)
        stated, derived = (
            claim_value(value, claim.kind, units) for value in (claim.stated, claim.derived)
        )
        numbers = (_each_of(key, claim), stated, derived, *_rates(barrel, claim, appraisal))
        alike.setdefault(numbers, []).append(barrel)
    return "; ".join(
        template.format(
            barrel=_barrels(appraisal, barrels),
            stated=stated,
            derived=derived,
            rate=rate,
            usual=usual,
        )
        for (template, stated, derived, rate, usual), barrels in alike.items()
    )


def _as_printed(barrel: str, claim: Claim, appraisal: Appraisal) -> DisplayUnits:
    """Return the units that a supplier prints a claim's datum in, else those of the evaluation."""
    _, unit, screw = appraisal.evaluation.place(barrel)
    entered = getattr(screw, claim.subject, None) or getattr(unit, claim.subject, None)
    if not isinstance(entered, Quantity):
        return appraisal.evaluation.display_units
    return system_of(entered.unit)


def _each_of(key: str, claim: Claim) -> str:
    noted = ASKED_OF.get((key, claim.note or ""))
    if noted is not None:
        return noted[1]
    if claim.key == "drive_force" and len(claim.of_each_screw) == 1:
        return _ONE_SCREW[1]
    if claim.note == "unusual_length":
        end = "least" if (claim.gap or 0.0) < 0.0 else "most"
        return f"{{barrel}}: {{stated}} printed, at {end} {{derived}} usual"
    return CLAIM_WORDS[key].each if claim.derived is not None else "{barrel}: {stated}"


def _rates(barrel: str, claim: Claim, appraisal: Appraisal) -> tuple[str, str]:
    """Return a plasticising rate as printed and its usual range, both in the printed unit."""
    entered = appraisal.evaluation.barrel(barrel)
    rate = entered.plasticising_rate
    if claim.key != "output_per_turn" or rate is None or not claim.stated:
        return "", ""
    if claim.note == BESIDE_OTHERS:
        by_others = from_si(claim.derived or 0.0, rate.unit, "mass_rate")
        return printed(rate), f"{rounded(by_others, 2)} {unit_text(rate.unit)}"
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


def _validity(question: Question, appraisal: Appraisal, written: WrittenDate) -> str:
    bid = appraisal.evaluation.bid(question.bid or "")
    claim = appraisal.claim(ClaimRef(bid.id, "validity"))
    if claim.note == "expired":
        return (
            f"Your offer was valid until {written(bid.valid_until)}, which had passed on "
            f"{written(appraisal.evaluation.as_of)}. Does it still hold, prices included?"
        )
    return (
        f"Your offer is dated {written(bid.date)} and valid until "
        f"{written(bid.valid_until)}. Please confirm both dates."
    )


def _claim_text(question: Question, key: str, appraisal: Appraisal, written: WrittenDate) -> str:
    if key == "validity":
        return _validity(question, appraisal, written)
    found = _claims_of(question, key, appraisal)
    if key == "drive_force" and any(c.note == "one_pressure_for_all" for _, c in found):
        return _one_pressure([barrel for barrel, _ in found], appraisal) + _cause(question.causes)
    of_rate = key == "injection_power" and question.datum != "injection_power"
    asked = _POWER_OF_RATE if of_rate else CLAIM_WORDS[key].asked
    notes = {claim.note or "" for _, claim in found}
    if key == "drive_force" and all(len(claim.of_each_screw) == 1 for _, claim in found):
        asked = _ONE_SCREW[0]
    elif UNLIKELY in notes or len(notes) == 1:
        note = UNLIKELY if UNLIKELY in notes else notes.pop()
        asked = ASKED_OF.get((key, note), (asked, ""))[0]
    return asked.format(each=_each(key, found, appraisal)) + _cause(question.causes)


def screws_without(question: Question, appraisal: Appraisal) -> tuple[str, ...]:
    """Return the barrels of a question that do not state its datum, in the offer's order."""
    return tuple(
        barrel
        for barrel in _ordered(question, appraisal).barrels
        if getattr(appraisal.evaluation.barrel(barrel), question.datum, "") is None
    )


def _not_stated_beside(question: Question, appraisal: Appraisal) -> str:
    """Ask for the datum of the barrels that do not state it, where others' is in doubt."""
    lacking = _barrels(appraisal, screws_without(question, appraisal))
    if not lacking:
        return ""
    return f" Please also state the {missing_words((question.datum,))} of {lacking}."


def _one_pressure(barrels: list[str], appraisal: Appraisal) -> str:
    """Ask, without blame, what a capped drive may print as well as a careless hand."""
    names = _barrels(appraisal, barrels)
    entered = appraisal.evaluation.barrel(barrels[0])
    return (
        f"One injection pressure, {printed(entered.injection_pressure)}, is printed for {names}. "
        "Is it a common limit, and what force does the drive give?"
    )


def _reasons(question: Question) -> str:
    criteria = [
        CRITERION_WORDS[key].asked_for for key in question.raised_by if key in CRITERION_WORDS
    ]
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
        asked.append(f"a wall of {wall} needs about {between(low, high)}")
    after = "" if appraisal.evaluation.job(job).hold_time is None else " after hold"
    which = "Which is right?" if "given" in window.beyond_cycle else "Is the cycle long enough?"
    return (
        f"The planned cycle of {_job(appraisal, job)} leaves {left} for cooling{after}; "
        f"{listed(asked)}. {which}"
    )


def _cost_text(question: Question, jobs: str, appraisal: Appraisal) -> str:
    """Return a question about what costs are computed from."""
    if question.key == SCOPE:
        return _SCOPE.format(item=question.datum)
    if question.key == RATE:
        currency = question.datum.partition(".")[2]
        return _RATE.format(currency=currency, own=appraisal.evaluation.currency)
    of = jobs or "the cost basis"
    return f"Not stated for {of}: {missing_words((question.datum,))}. Cost over life depends on it."


_OF_COST = (SCOPE, RATE, BASIS)
_SCOPE = "Does your offer include {item}? If not, please state what it costs."
_RATE = (
    "What is one {currency} worth in {own}, and on what date? Offers in {currency} have no price "
    "here without it."
)


def _windows_beyond_cycle(jobs: Sequence[str], appraisal: Appraisal) -> str:
    """Say it of the first few jobs, and count the rest."""
    more = max(0, len(jobs) - _MOST_WINDOWS)
    sentences = [_window_beyond_cycle(job, appraisal) for job in jobs[:_MOST_WINDOWS]]
    if more:
        sentences.append(
            f"{counted(more, 'more job needs', 'more jobs need')} more than the cycle leaves."
        )
    return " ".join(sentences)


def question_text(question: Question, appraisal: Appraisal) -> str:
    """Return a question in full, with what it also asks for of other screws."""
    question = _ordered(question, appraisal)
    if question.claim is not None:
        return doubt_text(question, appraisal) + _not_stated_beside(question, appraisal)
    jobs = few_of([_job(appraisal, job) for job in question.jobs])
    if question.key == "window_beyond_cycle":
        return _windows_beyond_cycle(question.jobs, appraisal)
    if question.key in _OF_COST:
        return _cost_text(question, jobs, appraisal)
    if question.key in _US:
        return _US[question.key].format(jobs=jobs)
    if question.to == "us" and question.jobs:
        return f"Not stated for {jobs}: {missing_words((question.datum,))}.{_reasons(question)}"
    barrels = _barrels(appraisal, question.barrels)
    if question.to == "us" and question.datum not in _MISSING_NAMED:
        of = barrels or "our own machines"
        return f"Not stated for {of}: {missing_words((question.datum,))}.{_reasons(question)}"
    named = _MISSING_NAMED.get(question.datum)
    if named is not None:
        return named.format(barrels=barrels)
    words = _IN_PLAIN_WORDS.get(question.datum) or missing_words((question.datum,))
    of = f" for {barrels}" if barrels else ""
    return f"Please state the {words}{of}.{_reasons(question)}"


def doubt_text(question: Question, appraisal: Appraisal, written: WrittenDate = date_text) -> str:
    """Return what a question holds against the numbers of a claim; it must be about one.

    Dates are `written` as the others of the paper that it stands on.
    """
    return _claim_text(_ordered(question, appraisal), question.claim or "", appraisal, written)


def _ordered(question: Question, appraisal: Appraisal) -> Question:
    """Return a question with its barrels in the order of the offer, whatever raised it first."""
    if question.bid is None or len(question.barrels) < 2:
        return question
    asked, units = set(question.barrels), appraisal.evaluation.bid(question.bid).units
    ordered = (b.id for unit in units for b in unit.barrels if b.id in asked)
    return replace(question, barrels=tuple(ordered))


def question_texts(appraisal: Appraisal) -> Mapping[str, str]:
    """Return every question's sentence by its id."""
    return {question.id: question_text(question, appraisal) for question in appraisal.questions}


def open_counts(appraisal: Appraisal) -> tuple[int, int]:
    """Return how many questions are to suppliers and to us are not answered yet."""
    still = [q for q in appraisal.questions if q.state in ("open", "asked")]
    suppliers = sum(question.to == "supplier" for question in still)
    return suppliers, len(still) - suppliers
