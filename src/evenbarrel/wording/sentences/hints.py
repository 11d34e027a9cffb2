"""What the other numbers of a barrel imply for each of its data, said beside the form's rows."""

from __future__ import annotations

from collections.abc import Mapping

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.results import BarrelResult, Claim
from evenbarrel.model.datum import si_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.trade import geometry
from evenbarrel.wording.sentences.claim_sentences import cause_words
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.hint import NO_HINT, Hint
from evenbarrel.wording.words.numbers import DisplayUnits, compared, rounded, with_unit

_DERIVED: Mapping[str, tuple[str, str]] = {
    "volume_geometry": ("swept_volume", "diameter and stroke give {}"),
    "common_stroke": ("stroke", "the unit's screws share {}"),
    "injection_speed": ("injection_speed", "rate / area gives {}"),
    "peripheral_speed": ("peripheral_speed", "diameter and speed give {}"),
}


def _marked(claim: Claim, text: str) -> Hint:
    """Return what a claim says of a datum, under the mark of its state."""
    state = labels.STATE_OF_CLAIM[claim.state]
    return Hint(f"{labels.MARKS[state]} {text}", state)


def _with_cause(claim: Claim, text: str) -> Hint:
    return _marked(claim, f"{text}. {cause_words(claim)}".rstrip(". ") + ".")


def _claim_hint(claim: Claim, text: str, units: DisplayUnits) -> Hint:
    if claim.derived is None:
        return NO_HINT
    return _with_cause(claim, text.format(compared(claim.derived, claim.kind, units)))


def _force_hint(claim: Claim, diameter: float | None, units: DisplayUnits) -> Hint:
    if claim.derived is None or diameter is None:
        return NO_HINT
    pressure = geometry.pressure_from_force(claim.derived, geometry.screw_area(diameter))
    text = f"the drive gives {compared(pressure, 'melt_pressure', units)} here"
    return _with_cause(claim, text)


def _pressure_hint(barrel: BarrelResult, diameter: float | None, units: DisplayUnits) -> Hint:
    force, kind = barrel.claim("drive_force"), barrel.claim("pressure_kind")
    if force.state == "agrees" and kind.state != "agrees" and cause_words(kind):
        # The screws agree with each other and are all wrong: one slip explains them together.
        return _marked(kind, cause_words(kind))
    return _force_hint(force, diameter, units)


def _mass_hint(barrel: BarrelResult, units: DisplayUnits) -> Hint:
    if barrel.implied_factor is None:
        return NO_HINT
    factor = with_unit(barrel.implied_factor, "density", units)
    basis = labels.RATED_BASES[barrel.rated_basis]
    return _marked(barrel.claim("rated_mass_basis"), f"implies {factor}: {basis}.")


def _of_causes(barrel: BarrelResult) -> Mapping[str, Hint]:
    """Return a hint for each datum in which one slip would explain a failed claim of another.

    Else the number that is wrong alone would look sound, and those that are right would not.
    """
    failed = [one for one in barrel.claims if one.sole_cause is not None]
    hints: dict[str, Hint] = {}
    # The gravest claim is the one that is told.
    for claim in sorted(failed, key=lambda one: one.state != "contradicts"):
        text = f"{CLAIM_WORDS[claim.key].label} does not agree. {cause_words(claim)}"
        hints.setdefault(claim.cause_datum or "", _marked(claim, text))
    return hints


def barrel_hints(appraisal: Appraisal, barrel: str) -> Mapping[str, Hint]:
    """Return a hint for each field of a barrel that other numbers say something about.

    None for a barrel of a bid that was revised or withdrawn: nothing is judged of it.
    """
    evaluation: Evaluation = appraisal.evaluation
    if not evaluation.counts(barrel):
        return {}
    units = evaluation.display_units
    result = appraisal.barrel(barrel)
    entered = evaluation.barrel(barrel)
    hints = {
        field: _claim_hint(result.claim(key), text, units)
        for key, (field, text) in _DERIVED.items()
    }
    diameter, stroke = si_of(entered, "screw_diameter"), si_of(entered, "stroke")
    if diameter and stroke:
        ratio = rounded(geometry.stroke_in_diameters(stroke, diameter), 2)
        shared = hints["stroke"]
        hints["stroke"] = Hint(f"{ratio} diameters. {shared.text}".strip(), shared.state)
    if entered.swept_volume is None and result.swept.bound is not None:
        volume = compared(result.swept.bound.nominal, "volume", units)
        route = labels.ROUTES[result.swept.route or "quoted"]
        hints["swept_volume"] = Hint(f"{volume} {route}.")
    hints["rated_shot_mass"] = _mass_hint(result, units)
    hints["injection_pressure"] = _pressure_hint(result, diameter, units)
    for datum, blamed in _of_causes(result).items():
        known = hints.get(datum, NO_HINT)
        if known.state in (None, "inside"):
            hints[datum] = Hint(f"{known.text} {blamed.text}".strip(), blamed.state)
    return {name: hint for name, hint in hints.items() if hint.text}
