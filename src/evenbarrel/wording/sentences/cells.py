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
    percent,
    rounded,
    with_unit,
)

if TYPE_CHECKING:
    from evenbarrel.appraisal.results import CriterionResult, Fit, Reason, State

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


_QUOTED = re.compile("“[^”]*”")


def separated(words: Sequence[str]) -> str:
    """Return words side by side; a semicolon parts them where one has a comma of its own."""
    return _separator(words).join(words)


def _separator(words: Sequence[str]) -> str:
    return "; " if any("," in _QUOTED.sub("", word) for word in words) else ", "


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


def value_text(result: CriterionResult, value: float | None, units: DisplayUnits) -> str:
    """Return a criterion's number as people read it, with its unit."""
    if value is None:
        return ABSENT
    if result.unit == "1":
        return percent(value)
    if result.unit == "D":
        return f"{rounded(value, 2)} D"
    if result.unit == "s":
        return f"{rounded(value / 60.0, 2)} min" if _minutes(result) else f"{rounded(value, 2)} s"
    return with_unit(value, "peripheral_speed", units, 2)


def _minutes(result: CriterionResult) -> bool:
    """Say whether a time and its limit are told in minutes: both in one unit."""
    times = (result.value, result.allowed_low, result.allowed_high)
    return max((time for time in times if time is not None), default=0.0) >= LEAST_MINUTES


def _edge_text(
    result: CriterionResult, low: float | None, high: float | None, units: DisplayUnits
) -> str:
    if low is not None and high is not None:
        return f"{value_text(result, low, units)} to {value_text(result, high, units)}"
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
    value = value_text(result, result.value, units)
    if result.low is None or result.high is None or result.low == result.high:
        return value
    low, high = (value_text(result, end, units) for end in (result.low, result.high))
    return value if low == high else f"{value} ({low} to {high})"


CAUTIONS: Mapping[str, str] = {
    "no_window_left": "No window is left: the mould opens before the screw can turn.",
    "short_stay": "The mean residence time is under a minute: check that the resin is fully "
    "melted.",
    "overheated_acetal": "Overheated POM gives off formaldehyde and may burst out of the nozzle "
    "under pressure. Keep within the resin maker's limits, never block the nozzle, and leave "
    "purging to trained people (ISO 20430, the machine's manual, local codes).",
    "overheated_halogenated": "Overheated PVC gives off hydrogen chloride. Keep within the resin "
    "maker's limits, ventilate, leave purging to trained people (ISO 20430, manual, local "
    "codes).",
    "method_does_not_apply": "The method does not apply to this kind of injection unit.",
}


_ATTACKED: Mapping[State, str] = {
    "inside": "the resin does not attack, or barrel and screw package are suited to it",
    "near_edge": "barrel or screw package not fully resistant to it",
    "outside": "barrel or screw package not suited",
}
SUITED: Mapping[str, Mapping[State, str]] = {
    "wear": _ATTACKED,
    "corrosion": _ATTACKED,
    "screw_geometry": {
        "inside": "L/D, compression ratio and check ring as the resin requires",
        "near_edge": "L/D, compression ratio or check ring unusual for the resin",
        "outside": "L/D, compression ratio or check ring not as the resin requires",
    },
}
"""What a criterion without a number says in each state."""


def state_word(state: State, by_rule: bool = False) -> str:
    """Return a state's word; outside by practice alone is outside by rule."""
    return "outside by rule" if by_rule and state == "outside" else labels.STATES[state]


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
    ("capacity", "soft"): "an input is assumed",
    ("pressure", "soft"): "the demand is estimated",
    ("power", "soft"): "the demand is estimated",
    ("screw_geometry", "soft"): "limit is from memory",
    ("wear", "comfort"): "the attack is slight",
    ("corrosion", "comfort"): "the attack is slight",
}
"""What is meant by a reason where a criterion knows one thing only."""


def _reason(result: CriterionResult, reason: Reason) -> str:
    return _MEANT.get((result.key, reason)) or labels.REASONS[reason]


def criterion_sentence(
    result: CriterionResult, units: DisplayUnits, *, cautioned: bool = True
) -> str:
    """Return one criterion of one cell in words, with its caution unless that stands apart."""
    name = CRITERION_WORDS[result.key].label
    by_rule = result.basis == "practice"
    if result.state == "not_stated":
        text = f"{name}: not stated{_shown_only(result, units)}."
    elif result.unit:
        text = f"{name}: {interval_text(result, units)}; {limit_text(result, units)}: "
        text += f"{state_word(result.state, by_rule)}."
    else:
        text = f"{name}: {SUITED[result.key][result.state]}: {state_word(result.state)}."
    if result.reasons:
        text = f"{text[:-1]}, {_listed([_reason(result, r) for r in result.reasons])}."
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
    head = f"{state_word(fit.state, fit.by_rule).capitalize()}"
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
    return [c.key for c in fit.criteria if c.state == "near_edge" and c.key != fit.binding]


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
