"""Fits and their criteria in sentences: plain, with their numbers."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

from evenbarrel.wording.words import labels
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.numbers import (
    ABSENT,
    DisplayUnits,
    between,
    percent,
    rounded,
    with_unit,
)

if TYPE_CHECKING:
    from evenbarrel.appraisal.results import CriterionResult, Fit, Misfit, Reason, State

_DIGITS, _MOST_DIGITS = 2, 4
"""A criterion's number is told with so many digits; with more where it would read as its edge."""

LEAST_MINUTES = 120.0
"""From so many seconds on, times are told in minutes."""

_FEW = 3
"""So many of many things are named."""

_MISSING_WORDS: Mapping[str, str] = {
    "second_screw": "a second screw of the unit, or its size number",
    "as_of": "the evaluation's date",
    "output_factors": "the reference resin's output factor",
    "plasticising_speed": "the screw speed at which the plasticising rate was measured",
    "barrels": "any barrel",
}


def missing_words(names: tuple[str, ...]) -> str:
    """Return the labels of missing data as people list them."""
    words = [_MISSING_WORDS.get(name) or _lower(labels.datum(name)) for name in names]
    return _listed(words)


def _lower(label: str) -> str:
    """Return a label for the middle of a sentence; L/D and MFR stay as they are."""
    return label if label[1:2].isupper() or "/" in label[:3] else label[:1].lower() + label[1:]


_ASIDE = re.compile(r"“[^”]*”|\([^)]*\)")


def separated(words: Sequence[str]) -> str:
    """Return words side by side; a semicolon parts them where one has a comma of its own."""
    return _separator(words).join(words)


def _separator(words: Sequence[str]) -> str:
    return "; " if any("," in _ASIDE.sub("", word) for word in words) else ", "


def _listed(words: list[str]) -> str:
    if len(words) < 2:
        return "".join(words)
    mark = _separator(words)
    last = "; and" if mark == "; " else " and"
    return f"{mark.join(words[:-1])}{last} {words[-1]}"


def in_sentence(name: str) -> str:
    """Return a name for the middle of a sentence: in quotation marks where it has a comma."""
    return f"“{name}”" if "," in name else name


def ended(text: str) -> str:
    """Return a text with the full stop that it needs before anything follows it."""
    return text if text.endswith((".", "!", "?", "…")) else f"{text}."


def listed(words: list[str]) -> str:
    """Return words as people list them: a, b and c."""
    return _listed(words)


def few_of(words: Sequence[str]) -> str:
    """Return the first few of many, the rest counted: a, b, c and 37 more; a rest of one is named.

    Where a programme is large nobody reads on after some names.
    """
    more = len(words) - _FEW
    return _listed([*words[:_FEW], f"{more} more"] if more > 1 else list(words))


def value_text(
    result: CriterionResult, value: float | None, units: DisplayUnits, digits: int = _DIGITS
) -> str:
    """Return a criterion's number as people read it, with its unit."""
    if value is None:
        return ABSENT
    if result.unit == "1":
        return percent(value, digits)
    if result.unit == "D":
        return f"{rounded(value, digits)} D"
    if result.unit == "s":
        minutes = _minutes(result)
        return f"{rounded(value / (60.0 if minutes else 1.0), digits)} {'min' if minutes else 's'}"
    return with_unit(value, "peripheral_speed", units, digits)


def _digits(result: CriterionResult, units: DisplayUnits) -> int:
    """Return with how many digits what is beyond an edge does not read as the edge itself."""
    values = [result.value] if "comfort" in result.reasons else []
    if result.state == "outside":
        values = [result.value, result.low, result.high]
    edges = (result.allowed_low, result.allowed_high, result.comfort_low, result.comfort_high)
    apart = [
        (value, edge)
        for value in values
        for edge in edges
        if value is not None and edge is not None and value != edge
    ]
    for digits in range(_DIGITS, _MOST_DIGITS):
        parts = ((value_text(result, one, units, digits) for one in pair) for pair in apart)
        if all(value != edge for value, edge in parts):
            return digits
    return _MOST_DIGITS if apart else _DIGITS


def _minutes(result: CriterionResult) -> bool:
    """Say whether a time and its limit are told in minutes: both in one unit."""
    times = (result.value, result.allowed_low, result.allowed_high)
    return max((time for time in times if time is not None), default=0.0) >= LEAST_MINUTES


def _edge_text(
    result: CriterionResult, low: float | None, high: float | None, units: DisplayUnits
) -> str:
    if low is not None and high is not None:
        return between(value_text(result, low, units), value_text(result, high, units))
    if high is not None:
        return f"up to {value_text(result, high, units)}"
    return f"from {value_text(result, low, units)}" if low is not None else ""


def limit_text(result: CriterionResult, units: DisplayUnits) -> str:
    """Return a criterion's hard edge, and its comfort where it has one."""
    allowed = _edge_text(result, result.allowed_low, result.allowed_high, units)
    comfort = _edge_text(result, result.comfort_low, result.comfort_high, units)
    return f"{allowed}; comfortable {comfort}" if comfort not in ("", allowed) else allowed


def interval_text(result: CriterionResult, units: DisplayUnits) -> str:
    """Return a criterion's value with the interval its inputs allow."""
    digits = _digits(result, units)
    value = value_text(result, result.value, units, digits)
    if result.value is None or result.low is None or result.low == result.high:
        return value
    low, high = (value_text(result, end, units, digits) for end in (result.low, result.high))
    if result.high is None:
        return f"{value} ({low} or more)"
    return value if low == high else f"{value} ({between(low, high)})"


def unconfirmed_text(result: CriterionResult, units: DisplayUnits) -> str:
    """Return the limit from memory that a value is beyond: "at most 9.0 min from memory".

    Empty where there is none.
    """
    limit = result.beyond_unconfirmed
    if limit is None:
        return ""
    end = "at most" if limit == result.allowed_high else "at least"
    return f"{end} {value_text(result, limit, units)} from memory"


def against_limit(result: CriterionResult, units: DisplayUnits) -> str:
    """Return a criterion's value and what it is held against, for one that has a number."""
    value = NO_WINDOW if result.value is None else interval_text(result, units)
    recalled = unconfirmed_text(result, units)
    if recalled:
        return f"{value} against {recalled}"
    if result.value is None:
        return value
    return f"{value}; allowed {limit_text(result, units)}"


NO_WINDOW = "no window left (the mould opens before the screw can turn)"

CAUTIONS: Mapping[str, str] = {
    "short_stay": "With a mean residence time under a minute, check that the resin is fully "
    "melted.",
    "overheated_acetal": "Overheated POM gives off formaldehyde and may burst out of the nozzle "
    "under pressure. Keep within the resin maker's limits, never block the nozzle, and leave "
    "purging to trained people (ISO 20430, the machine's manual, local codes).",
    "overheated_halogenated": "Overheated PVC gives off hydrogen chloride. Keep within the resin "
    "maker's limits, ventilate, leave purging to trained people (ISO 20430, manual, local "
    "codes).",
    "method_does_not_apply": "The method does not apply to this kind of injection unit.",
}


SUITED: Mapping[str, str] = {
    "wear": "the resin is not abrasive, or barrel and screw are suited to it",
    "corrosion": "the resin is not corrosive, or barrel and screw are suited to it",
    "screw_geometry": "L/D, compression ratio and check ring as the resin requires",
}
"""What a criterion without a number says where nothing is unsuited."""

_ATTACKS: Mapping[str, str] = {"wear": "abrasive", "corrosion": "corrosive"}
_PARTS: Mapping[str, str] = {"barrel_package": "barrel", "screw_package": "screw"}


def misfit_names(result: CriterionResult) -> str:
    """Return what of a barrel is not as the resin asks: "L/D 17.8", "barrel (nitrided)"."""
    parts: dict[str, list[str]] = {}
    for misfit in result.misfits:
        if misfit.datum in _PARTS:
            parts.setdefault(labels.choice(misfit.choice or "unknown"), []).append(misfit.datum)
    names = [f"{_listed([_PARTS[part] for part in of])} ({made})" for made, of in parts.items()]
    others = [_misfit_name(misfit) for misfit in result.misfits if misfit.datum not in _PARTS]
    return _listed([*names, *others])


def _misfit_name(misfit: Misfit) -> str:
    if misfit.value is None:
        return f"{labels.choice(misfit.choice or 'unknown')} check ring"
    return f"{_lower(labels.datum(misfit.datum))} {misfit.value:.4g}"


def wish_text(misfit: Misfit) -> str:
    """Return what the resin asks instead: "usual for the resin: at least 18, from memory"."""
    ends = [end for end in (misfit.low, misfit.high) if end is not None]
    window = " to ".join(f"{end:.4g}" for end in ends)
    if len(ends) == 1:
        window = f"{'at least' if misfit.high is None else 'at most'} {window}"
    if misfit.recalled:
        usual = f"usual for the resin: {window}" if window else "unusual for the resin"
        return f"{usual}, from memory"
    return f"the resin requires {window}" if window else "not suited to the resin"


def _suitability(result: CriterionResult) -> str:
    """Return what is unsuited of a barrel, by a criterion that has no number."""
    if not result.misfits:
        return SUITED[result.key]
    attack = _ATTACKS.get(result.key)
    if attack is None:
        return _listed([f"{_misfit_name(one)} ({wish_text(one)})" for one in result.misfits])
    if "beyond_unconfirmed" in result.reasons:
        return f"{misfit_names(result)} not suited to the resin if it is {attack}, as from memory"
    if result.state == "outside":
        return f"{misfit_names(result)} not suited to this {attack} resin"
    return f"{misfit_names(result)} not fully resistant to this slightly {attack} resin"


def state_word(state: State, by_rule: bool = False, to_confirm: bool = False) -> str:
    """Return a state's word.

    Outside by practice alone is outside by rule; near an edge only because a limit that is
    exceeded is from memory is to be confirmed.
    """
    if by_rule and state == "outside":
        return "outside by rule"
    return labels.TO_CONFIRM if to_confirm and state == "near_edge" else labels.STATES[state]


def fit_word(fit: Fit) -> str:
    """Return the word for a cell's state."""
    return state_word(fit.state, fit.by_rule, fit.to_confirm)


def _shown_only(result: CriterionResult, units: DisplayUnits) -> str:
    """Return the value that is shown without a verdict, and what lacks for one."""
    missing = f" (missing: {missing_words(result.missing)})" if result.missing else ""
    if result.value is None:
        return missing
    value = interval_text(result, units)
    return (
        f"; {value}, shown without a verdict{missing}"
        if missing
        else f"; at least {value}, a lower bound"
    )


_MEANT: Mapping[tuple[str, Reason], str] = {
    ("pressure", "soft"): "beyond it, but the demand is only estimated",
    ("power", "soft"): "beyond it, but the demand is only estimated",
}
"""What is meant by a reason where a criterion knows one thing only."""

_SAID_OF_PARTS: frozenset[Reason] = frozenset(("comfort", "soft", "beyond_unconfirmed"))
"""Reasons that the words of a criterion without a number give already."""


def _reasons(result: CriterionResult) -> list[str]:
    """Return why a criterion is near its edge, as far as its sentence has not said so."""
    said: frozenset[Reason] = frozenset()
    if not result.unit:
        said = _SAID_OF_PARTS
    elif result.beyond_unconfirmed is not None:
        said = frozenset(("beyond_unconfirmed",))
    left = (reason for reason in result.reasons if reason not in said)
    return [_MEANT.get((result.key, reason)) or labels.REASONS[reason] for reason in left]


def _judged(result: CriterionResult, units: DisplayUnits) -> str:
    """Return a criterion's value or what is unsuited, its limit and its state."""
    words = against_limit(result, units) if result.unit else _suitability(result)
    to_confirm = "beyond_unconfirmed" in result.reasons
    if result.unit:
        to_confirm = result.beyond_unconfirmed is not None
    return f"{words}: {state_word(result.state, result.basis == 'practice', to_confirm)}"


def criterion_sentence(
    result: CriterionResult, units: DisplayUnits, *, cautioned: bool = True
) -> str:
    """Return one criterion of one cell in words, with its caution unless that stands apart."""
    name = CRITERION_WORDS[result.key].label
    if result.state == "not_stated":
        text = f"{name}: not stated{_shown_only(result, units)}"
    else:
        text = f"{name}: {_judged(result, units)}"
    reasons = _reasons(result)
    text = f"{text}, {_listed(reasons)}." if reasons else f"{text}."
    if result.at != "nominal":
        text += f" The {labels.ENDS[result.at]} decides."
    caution = CAUTIONS.get(result.caution or "") if cautioned else None
    return f"{text} {caution}" if caution else text


def binding_words(name: str, state: State) -> str:
    """Return what decides a cell: its limiting criterion; where nothing is known it is open."""
    return f"{name} open" if state == "not_stated" else f"limited by {name}"


def fit_sentences(
    fit: Fit, units: DisplayUnits, *, alone: bool = True, besides: bool = True
) -> tuple[str, ...]:
    """Return a cell in words: the verdict, what is open, what binds, the others not inside.

    Where a cell is not told `alone`, cautions and open criteria are left to be said for many.
    Without `besides`, what is only near an edge in a cell that is outside is named alone: it
    decides nothing there.
    """
    if all(criterion.caution == "method_does_not_apply" for criterion in fit.criteria):
        return (f"Not stated. {CAUTIONS['method_does_not_apply']}",)
    head = fit_word(fit).capitalize()
    if fit.binding is not None:
        head += f"; {binding_words(_lower(CRITERION_WORDS[fit.binding].label), fit.state)}"
    sentences = [head + "."]
    if fit.open and alone:
        names = _listed([_lower(CRITERION_WORDS[key].label) for key in fit.open])
        sentences.append(f"Open: {names}.")
    by_key = {criterion.key: criterion for criterion in fit.criteria}
    order = [fit.binding] if fit.binding is not None else []
    named = [] if besides or fit.state != "outside" else _near(fit)
    order += [c.key for c in fit.criteria if c.state in ("outside", "near_edge")]
    # What can hurt somebody is said although nothing else is known.
    order += [c.key for c in fit.criteria if alone and (c.caution or "").startswith("overheated")]
    for key in dict.fromkeys(key for key in order if key not in named):
        sentences.append(criterion_sentence(by_key[key], units, cautioned=alone))
    if named:
        names = _listed([_lower(CRITERION_WORDS[key].label) for key in named])
        sentences.append(f"Also near edge: {names}.")
    if fit.accepted:
        names = _listed([_lower(CRITERION_WORDS[key].label) for key in fit.accepted])
        sentences.append(f"Accepted by a named person: {names}; it stays outside.")
    return tuple(sentences)


def _near(fit: Fit) -> list[str]:
    """Return what is near an edge and decides nothing; the barrel waits for what is unconfirmed."""
    return [
        one.key
        for one in fit.criteria
        if one.state == "near_edge"
        and one.key != fit.binding
        and "beyond_unconfirmed" not in one.reasons
    ]


_MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July", "August", "September"),
    *("October", "November", "December"),
)


def written_date(day: date | None) -> str:
    """Return a date as a letter has it, read alike everywhere: 5 October 2026; – for none."""
    return ABSENT if day is None else f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def date_text(day: date | None) -> str:
    """Return a date as ISO prints it; – where there is none."""
    return ABSENT if day is None else day.isoformat()
