"""A claim in a sentence, with its two numbers, and the slip that would explain a failed one."""

from __future__ import annotations

from collections.abc import Mapping

from evenbarrel.appraisal.claims.agreement import UNLIKELY
from evenbarrel.appraisal.claims.checks.drive import COPIED_NOTE
from evenbarrel.appraisal.claims.checks.plasticising import (
    BESIDE_OTHERS,
    IN_LB_H,
    USUAL_OUTPUT_HIGH,
    USUAL_OUTPUT_LOW,
    is_usual_output,
)
from evenbarrel.appraisal.claims.slips import DECIMAL
from evenbarrel.appraisal.results import Cause, Claim
from evenbarrel.units import KINDS
from evenbarrel.wording.sentences.cells import listed, missing_words
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.numbers import (
    ABSENT,
    DisplayUnits,
    compared,
    percent,
    rounded,
    signed_percent,
)

_NUMBERS_WHERE: Mapping[tuple[str, str], str] = {
    ("injection_power", "injection_rate"): "Highest pressure × highest rate is {stated}; the "
    "drive has {derived}.",
    (
        "pressure_kind",
        "low_for_melt",
    ): "The printed pressure would be {stated} in the melt; the highest "
    "pressure there is seldom less than {derived} (common practice, no source).",
    (
        "pressure_kind",
        "impossible",
    ): "The printed pressure would be {stated} in the melt; the highest "
    "pressure there is never {side} than {derived} (common practice, no source).",
    ("pressure_kind", "high_for_oil"): "An oil pressure of {stated} is printed; no hydraulic "
    "circuit works at more than {derived} (common practice, no source).",
    ("common_stroke", UNLIKELY): "Stroke {stated}; no screw of this diameter has {side} than "
    "{derived} (common practice, no source).",
    ("injection_speed", UNLIKELY): "Rate / screw area would be a speed of {stated}; no forward "
    "stroke has {side} than {derived} (common practice, no source).",
    ("rated_mass_basis", UNLIKELY): "Rated mass / swept volume is {stated}; no resin gives {side} "
    "than {derived} (common practice, no source).",
    ("output_per_turn", UNLIKELY): "Whichever resin and screw speed apply, one revolution of the "
    "screw would deliver {stated} D³ of melt; {derived} D³ is the {end} (common practice, no "
    "source).",
    ("output_per_turn", BESIDE_OTHERS): "A rate of {stated} is printed; with what the unit's other "
    "screws deliver in a turn it would be {derived}. Screws of one unit seldom differ so much "
    "(common practice, no source).",
    ("output_per_turn", IN_LB_H): "One revolution of the screw would deliver {stated} D³ of melt, "
    "and as much with every screw of the unit; {usual} D³ is usual (common practice, no source).",
    ("length_ratio", "unusual_length"): "L/D {stated}; injection screws seldom have {side} than "
    "{derived} (common practice, no source).",
}
"""The same where a claim's subject or note says that it is about something else."""

_ALONE: Mapping[str, str] = {
    "pressure_kind": "The printed pressure is {stated} in the melt.",
    "output_per_turn": "One revolution of the screw delivers {stated} D³ of melt; {usual} D³ is "
    "usual (common practice, no source).",
    "length_ratio": "L/D {stated}.",
}
"""A claim that stands without a second number."""

_NOTES: Mapping[str, str] = {
    "pressure_cap": "Its force is lower because the pressure of the unit is capped.",
    COPIED_NOTE: "It has the pressure of a larger screw that bears the whole force: a limit, or "
    "the number of its neighbour?",
    "limited_stroke": "A unit may allow its smallest screw less of the stroke.",
    "method_does_not_apply": "The unit is not a single-stage reciprocating screw: the method "
    "does not apply.",
    "overload": "Electric drives and drives with an accumulator can give more than their rated "
    "power for the duration of a stroke (from memory): no question is asked.",
    "pressure_times_rate": "The two need not occur together: up to 3 times the power of a "
    "hydraulic drive, 6 times an electric one, 10 times one with an accumulator or of a kind not "
    "stated, counts as agreeing (common practice, no source).",
    "assumed": "The mass rate was divided by the reference factor: assumed.",
    "oil_pressure": "An oil pressure: the melt pressure is this times the intensification ratio.",
    "unusual_output": "Check the rate, its unit and the screw speed it applies at; a barrier "
    "screw may deliver more than usual.",
    "low_output": "Check the rate, its unit and the screw speed it applies at.",
    "above_drag_flow": "That is more than the drag flow of the metering zone.",
    "melt_density": "That is the melt density: leakage past the ring is not allowed for.",
    "solid_density": "That is the solid density: no stroke delivers that much.",
    "unexplained": "It fits neither output factor, melt density nor solid density.",
    "ends_first": "The offer expires before its own date.",
    "dated_later": "The offer is dated after the date of the evaluation.",
}

_COUNTS = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}

USUAL_OUTPUT = f"{rounded(USUAL_OUTPUT_LOW, 1)} to {rounded(USUAL_OUTPUT_HIGH, 2)}"


def claim_value(value: float | None, kind: str, units: DisplayUnits) -> str:
    """Return a claim's number as text in the display unit of its kind; – for None."""
    if value is None:
        return ABSENT
    return compared(value, kind, units) if kind in KINDS else rounded(value)


def cause_clause(cause: Cause) -> str:
    """Return one slip as a clause: ... if psi was printed as bar for every screw."""
    text = labels.CAUSES[cause.code]
    if cause.code == DECIMAL:
        text = f"the decimal mark of the {missing_words((cause.datum,))} was shifted"
    return f"{text} for every screw" if cause.column else text


def cause_words(claim: Claim) -> str:
    """Return what would explain a failed claim; empty where nothing found does."""
    if claim.sole_cause is not None:
        return f"It would be explained if {cause_clause(claim.sole_cause)}."
    if claim.causes:
        options = " or ".join(cause_clause(cause) for cause in claim.causes)
        return f"Several slips would explain it: {options}."
    return ""


def _validity_words(claim: Claim) -> str:
    if claim.stated is None:
        return f"Not stated: {missing_words(claim.missing)}."
    days = round(claim.stated / 86400.0)
    if claim.note == "expired":
        return f"The offer had expired {-days} days before the date of the evaluation."
    return _NOTES.get(claim.note or "") or f"The offer is valid for another {days} days."


def _completeness_words(claim: Claim) -> str:
    if claim.state == "agrees":
        return "Everything the criteria need is stated."
    return f"Not stated for at least one barrel: {missing_words(claim.missing)}."


def of_each_screw(claim: Claim, units: DisplayUnits) -> str:
    """Return what the screws of a unit say where no two agree; empty elsewhere."""
    if not claim.of_each_screw:
        return ""
    values = listed([claim_value(value, claim.kind, units) for value in claim.of_each_screw])
    if claim.note == "one_pressure_for_all":
        return (
            f"One pressure is printed for all screws, which implies {values}: is it a common "
            "limit, and what force does the drive give?"
        )
    if claim.key == "common_stroke":
        return f"The screws of this unit have {values}; one unit has one stroke."
    count = len(claim.of_each_screw)
    if count == 1:
        return f"The screw implies {values}."
    return f"The {_COUNTS.get(count, count)} screws imply {values}; one drive has one force."


def _number(claim: Claim, value: float | None, units: DisplayUnits) -> str:
    # A rate is seldom known to more than a tenth.
    if claim.key != "output_per_turn" or claim.kind != "ratio" or value is None:
        return claim_value(value, claim.kind, units)
    digits = next(d for d in (2, 3, 4) if d == 4 or not _reads_as_usual(value, rounded(value, d)))
    return rounded(value, digits)


def _reads_as_usual(output: float, text: str) -> bool:
    """Say whether an output beyond the usual ones would read as the end of their range."""
    return not is_usual_output(output) and is_usual_output(float(text))


def _numbers_words(claim: Claim, units: DisplayUnits) -> str:
    numbers = {
        "stated": _number(claim, claim.stated, units),
        "derived": _number(claim, claim.derived, units),
        "usual": USUAL_OUTPUT,
        "side": "less" if (claim.gap or 0.0) < 0 else "more",
        "end": "least" if (claim.gap or 0.0) < 0 else "most",
    }
    if claim.of_each_screw:
        by_size = f" The size number gives {numbers['derived']}." if claim.derived else ""
        return of_each_screw(claim, units) + by_size
    if claim.derived is None:
        return _ALONE.get(claim.key, "").format(**numbers)
    special = (_NUMBERS_WHERE.get((claim.key, of or "")) for of in (claim.subject, claim.note))
    text = next((text for text in special if text is not None), CLAIM_WORDS[claim.key].numbers)
    return text.format(**numbers)


_ONE_SIDED = frozenset(("injection_power", "plasticising_energy"))
"""Claims that only exceeding what is there questions."""

_LEAST_GAP = 0.001


def _gap_words(claim: Claim, gap: float, tolerance: float) -> str:
    """Return how far apart two numbers are, and how far they may be."""
    if claim.key in _ONE_SIDED and claim.state == "agrees" and gap < 0.0:
        return "Only a higher value would be questioned."
    if 0.0 < abs(gap) < _LEAST_GAP:
        return f"Difference under {percent(_LEAST_GAP, 1)}, tolerance {percent(tolerance)}."
    return f"Difference {signed_percent(round(gap, 9))}, tolerance {percent(tolerance)}."


def claim_sentence(claim: Claim, units: DisplayUnits) -> str:
    """Return a claim with its two numbers, their difference and the probable cause."""
    parts = (claim_numbers(claim, units), cause_words(claim))
    return " ".join(part for part in parts if part) or "Nothing contradicts it."


def _is_plainly_less(claim: Claim) -> bool:
    """Say whether a drive has all that pressure and rate together could take of it."""
    if claim.note != "pressure_times_rate" or claim.stated is None or claim.derived is None:
        return False
    return claim.stated <= claim.derived


def claim_numbers(claim: Claim, units: DisplayUnits) -> str:
    """Return a claim with its two numbers and their difference, without a cause."""
    if claim.key == "validity":
        return _validity_words(claim)
    if claim.key == "completeness":
        return _completeness_words(claim)
    note = "" if _is_plainly_less(claim) else _NOTES.get(claim.note or "", "")
    if claim.state == "not_stated":
        needed = f"Not stated: {missing_words(claim.missing)}." if claim.missing else ""
        return f"{needed} {note}".strip()
    parts = [_numbers_words(claim, units)]
    if claim.gap is not None and claim.tolerance is not None and not claim.of_each_screw:
        parts.append(_gap_words(claim, claim.gap, claim.tolerance))
    return " ".join(part for part in (*parts, note) if part)
