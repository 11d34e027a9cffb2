"""What would flip the choice, in sentences: the nearest first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.gate_results import GateKind, GateReason, GateState
from evenbarrel.decision.flips.choice import Choice, Precedence
from evenbarrel.decision.flips.numbers import FARTHEST, Number, place_of
from evenbarrel.decision.flips.search import Flip, Flips, GateFlip
from evenbarrel.model.cost import Cost
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.offers.barrel import Barrel
from evenbarrel.model.offers.bid import Bid, InjectionUnit
from evenbarrel.model.resin import Resin
from evenbarrel.wording.sentences.deciding.decision import (
    HALF_WIDTHS,
    half_width_label,
    in_diameters,
    limit_label,
)
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import (
    barrel_name,
    bid_called,
    full_name,
    job_called,
    job_name,
    names_of_resins,
    unit_called,
)
from evenbarrel.wording.words.numbers import (
    ABSENT,
    percent,
    rounded,
    signed_percent,
    unit_text,
    whole_amount,
)

NOT_LOOKED_FOR = "What would flip the choice has not been searched for."
NO_TWO = "Nothing to flip: there are not two choices to compare."
_TITLE = "What would flip the choice"
_MOST_NAMED = 3
"""Machines of a choice that are named; the others are counted."""
_APART = 10_000.0
"""From here on thousands stand apart."""
MOST_BEYOND = 10
"""How many flips beyond their half-width are told; of the rest only the number."""
CONTRADICTING = "Printed numbers that, varied on their own, no longer agree with those beside them:"
MOST_CONTRADICTING = 5
"""How many of those are told; of the rest only the number."""

_WITHIN: Mapping[bool | None, str] = {
    True: "yes",
    None: "none given",
    False: "no",
}
_KINDS: Mapping[GateKind, str] = {
    "outside": "outside",
    "rule": "outside by rule",
    "open": "not assessed",
    "beyond_unconfirmed": "beyond a limit from memory, to be confirmed",
    "unsettled": "its size is no longer settled",
    "disputed": "in doubt",
    "incompatible": "two jobs that must never meet",
}
_ORDERS: Mapping[Precedence | None, str] = {
    "first": "{first} before {second}",
    "like": "{first} and {second} too close in cost to separate",
    "second": "{second} before {first}",
    None: "{first} and {second} not compared by cost",
}
_TURNS: Mapping[GateState | None, str] = {
    "no_objection": "free",
    "waits": "waits",
    "shut": "shut",
    None: "not judged",
}
_TURNED: Mapping[Precedence | None, str] = {
    "first": "runner-up costs more",
    "like": "too close to separate",
    "second": "runner-up costs less",
    None: "not compared",
}


def number_name(number: Number, evaluation: Evaluation) -> str:
    """Return what a number is called and whose it is: "Part mass of Clear sight bowl"."""
    label, owner = _label(number), _owner(number.of, evaluation)
    return f"{label} of {owner}" if owner else label


def _label(number: Number) -> str:
    name, _, rest = number.datum.partition(".")
    if number.of == "limits":
        return f"Limit: {limit_label(name)}"
    if number.of == "uncertainty":
        label = half_width_label(name, rest) if rest else HALF_WIDTHS[name]
        return f"Half-width: {label}"
    if name == "output_factors":
        return f"Output factor ({labels.ROUTES[rest].lower()})"
    if name == "residence_limits":
        return "Residence limit"
    if name in ("lines", "scope"):
        return rest[:1].upper() + rest[1:]
    if name == "exchange_rates":
        return f"Exchange rate of {rest}"
    models = (Job, Barrel, InjectionUnit, Bid, Resin, Cost)
    return next(
        (labels.datum_of(m, name) for m in models if name in m.model_fields), labels.datum(name)
    )


def _owner(of: str, evaluation: Evaluation) -> str:
    jobs = {job.id: job_called(evaluation, job) for job in evaluation.jobs}
    if of in jobs:
        return jobs[of]
    resins = names_of_resins(evaluation)
    if of in resins:
        return resins[of]
    for bid, unit, barrel in evaluation.barrels():
        if of == bid.id:
            return bid_called(evaluation, bid)
        if of in (unit.id, barrel.id):
            called = unit_called(bid, unit)
            return called if of == unit.id else f"{called} {barrel.label}".rstrip()
    return ""


def value_words(number: Number, value: float, digits: int = 3) -> str:
    """Return a value of a number with its unit, as it was entered."""
    if number.whole:
        return str(round(value))
    bare = number.unit == ""
    if bare and not (number.of == "limits" and in_diameters(number.datum)):
        shares = number.datum not in ("turnovers",) and not number.datum.startswith("exchange")
        return percent(value, digits) if shares else rounded(value, digits)
    unit = "diameters" if bare else unit_text(number.unit)
    large = abs(value) >= _APART
    return f"{whole_amount(value) if large else rounded(value, digits)} {unit}".rstrip()


def flip_line(flip: Flip, flips: Flips, appraisal: Appraisal) -> str:
    """Return one flip: "Part mass of Clear sight bowl above 71 g (+11 %): Unit 604 B waits, ..."""
    number = flip.number
    name = number_name(number, appraisal.evaluation)
    beyond = "above" if flip.value > number.now else "below"
    at = value_words(number, flip.kept, 4)
    if number.whole:
        beyond, at = "at", value_words(number, flip.value)
    what = "; ".join(_whats(flip, flips, appraisal))
    return f"{name} {beyond} {at} ({signed_percent(flip.change)}): {what}"


def _whats(flip: Flip, flips: Flips, appraisal: Appraisal) -> Iterator[str]:
    for gate in flip.gates:
        yield f"{full_name(appraisal, gate.barrel)}: {_gate_words(gate, appraisal)}"
    if flip.order is not None:
        first, second = _own_names(flips, appraisal)
        yield _ORDERS[flip.order[1]].format(first=first, second=second)


def flip_short(flip: Flip, appraisal: Appraisal) -> str:
    """Return what becomes of it in a few words: "Unit 604 B waits"; where more does, the first."""
    if flip.gates:
        gate = flip.gates[0]
        text = f"{barrel_name(appraisal, gate.barrel)} {_TURNS[gate.after]}"
        return f"{text}, …" if flip.gates[1:] or flip.order is not None else text
    return "" if flip.order is None else _TURNED[flip.order[1]]


def _gate_words(flip: GateFlip, appraisal: Appraisal) -> str:
    reasons = list(dict.fromkeys(_reason_words(reason) for reason in flip.reasons))
    jobs = list(dict.fromkeys(r.job for r in flip.reasons if r.job is not None))
    words = labels.GATES[flip.after]
    if not reasons:
        return words
    where = job_name(appraisal, jobs[0]) if len(jobs) == 1 else f"{len(jobs)} jobs"
    text = ", ".join(reasons[:2]) + (" and more" if len(reasons) > 2 else "")
    return f"{words}, {text}{f' for {where}' if jobs else ''}"


def _reason_words(reason: GateReason) -> str:
    of = "" if reason.criterion is None else f", {CRITERION_WORDS[reason.criterion].short}"
    claim = "" if reason.claim is None else f" ({CLAIM_WORDS[reason.claim].label.lower()})"
    return f"{_KINDS[reason.kind]}{of}{claim}"


def _choice_name(choice: Choice, appraisal: Appraisal) -> str:
    names = [full_name(appraisal, barrel) for barrel in choice.barrels[:_MOST_NAMED]]
    if len(names) < len(choice.barrels):
        names.append(f"{len(choice.barrels) - len(names)} more")
    return " with ".join(names)


def _own_names(flips: Flips, appraisal: Appraisal) -> tuple[str, str]:
    """Return what both choices are called without the machines that both have."""
    one, other = flips.choices
    own = [
        Choice({name: jobs for name, jobs in of.jobs_of.items() if name not in beside.jobs_of})
        for of, beside in ((one, other), (other, one))
    ]
    if not all(choice.barrels for choice in own):
        own = [one, other]
    return _choice_name(own[0], appraisal), _choice_name(own[1], appraisal)


def flips_head(flips: Flips, appraisal: Appraisal) -> str:
    """Return which two choices are held against each other, and how."""
    first, second = (_choice_name(one, appraisal) for one in flips.choices)
    return (
        f"What would flip the choice: {first} against {second}. Each of {flips.numbers} "
        f"numbers is varied on its own, up to {FARTHEST:g} times and down to half, until one "
        "of their gates, or their order, changes; flips are found to within 0.1 %."
    )


def steady_line(flips: Flips) -> str:
    """Return how many numbers flip nothing."""
    return (
        f"{flips.steady} of {flips.numbers} numbers do not flip the choice within the range tried."
    )


def flips_sheet(flips: Flips, appraisal: Appraisal) -> Sheet:
    """Return every flip in the order of `Flips`; a row leads to where its number is entered."""
    headings = (
        Heading("Number"),
        Heading("Now", align="right"),
        Heading("Flips at", align="right"),
        Heading("Change", align="right"),
        Heading("Half-width", align="right", tip="How far it may be off, either way"),
        Heading("Within half-width?", tip="Whether the half-width reaches the flip"),
        Heading("What happens"),
    )
    evaluation = appraisal.evaluation
    return Sheet(
        "flips",
        _TITLE,
        headings,
        tuple(_flip_row(flip, flips, appraisal) for flip in flips.flips),
        notes=(steady_line(flips),),
        row_references=tuple(place_of(flip.number, evaluation) for flip in flips.flips),
    )


def _flip_row(flip: Flip, flips: Flips, appraisal: Appraisal) -> tuple[Cell, ...]:
    number, width = flip.number, flip.number.half_width
    line, evaluation = flip_line(flip, flips, appraisal), appraisal.evaluation
    what = "; ".join(_whats(flip, flips, appraisal))
    return (
        Cell(number_name(number, evaluation), tip=line, reference=place_of(number, evaluation)),
        Cell(value_words(number, number.now, 4), number.now),
        Cell(value_words(number, flip.value, 4), flip.value),
        Cell(signed_percent(flip.change), flip.change),
        Cell(ABSENT if width is None else f"± {percent(width)}", width),
        Cell(within_words(flip), state="near_edge" if flip.within else None),
        Cell(what, tip=line),
    )


def calculating_flips_sheet(flips: Flips | None, appraisal: Appraisal, unknown: str) -> Sheet:
    """Return every flip with its numbers, each in the unit beside it.

    Without any `unknown` says why: nobody looked, there is nothing to flip, or it is masked.
    """
    titles = ("Unit", "Now", "Flips at")
    headings = (
        Heading("Number"),
        *map(Heading, titles),
        Heading("Change", "%"),
        Heading("Half-width", "%"),
        Heading("Within its half-width"),
        Heading("What happens"),
    )
    notes: tuple[str, ...] = (unknown,)
    if flips is not None:
        notes = (flips_head(flips, appraisal), steady_line(flips))
    found = () if flips is None else flips.flips
    rows = tuple(
        (
            Cell(number_name(flip.number, appraisal.evaluation)),
            Cell(unit_text(flip.number.unit) or ABSENT),
            *(_bare(value) for value in (flip.number.now, flip.value)),
            *(_bare(None if share is None else share * 100.0) for share in _shares(flip)),
            Cell(within_words(flip)),
            Cell("; ".join(_whats(flip, flips, appraisal))),
        )
        for flip in found
        if flips is not None
    )
    return Sheet("flips", "What would flip the choice", headings, rows, notes=notes)


def _bare(value: float | None) -> Cell:
    return Cell(rounded(value, 4), value)


def _shares(flip: Flip) -> tuple[float, float | None]:
    return flip.change, flip.number.half_width


def within_words(flip: Flip) -> str:
    """Return whether a flip lies within what is not known of its number."""
    return _WITHIN[flip.within]


def within_line(flip: Flip) -> str:
    """Return whether a flip lies within what is not known of its number, in a sentence."""
    if flip.within is None:
        return "No half-width is stated for it."
    width = percent(flip.number.half_width or 0.0)
    reach = "reaches" if flip.within else "does not reach"
    return f"Its half-width, {width}, {reach} that."


@dataclass(frozen=True)
class FlipsPart:
    """One sentence about the flips, with the flips that it heads."""

    sentence: str
    flips: tuple[str, ...] = ()


def flips_parts(flips: Flips, appraisal: Appraisal) -> tuple[FlipsPart, ...]:
    """Return what is told of the flips: within what is not known first, the rest counted.

    Last comes what would contradict the numbers printed beside it: a slip, no other choice.
    """
    parts = [FlipsPart(flips_head(flips, appraisal))]
    of_choice = [flip for flip in flips.flips if not flip.contradicts]
    within = [flip for flip in of_choice if flip.within]
    unknown = [flip for flip in of_choice if flip.within is None]
    beyond = [flip for flip in of_choice if flip.within is False]
    doubted = [flip for flip in flips.flips if flip.contradicts]
    for title, of_them, most in (
        ("Within the number's own half-width:", within, len(within)),
        ("Numbers without a stated half-width:", unknown, MOST_BEYOND),
        ("Beyond the number's own half-width:", beyond, MOST_BEYOND),
        (CONTRADICTING, doubted, MOST_CONTRADICTING),
    ):
        lines = [flip_line(flip, flips, appraisal) for flip in of_them[:most]]
        if len(of_them) > most:
            lines.append(f"and {len(of_them) - most} further away")
        if lines:
            parts.append(FlipsPart(title, tuple(lines)))
    return (*parts, FlipsPart(steady_line(flips)))


def flips_lines(flips: Flips | None, appraisal: Appraisal) -> list[str]:
    """Return what the summary prints of the flips, those that a sentence heads set in."""
    if flips is None:
        return [NO_TWO]
    return [
        line
        for part in flips_parts(flips, appraisal)
        for line in (part.sentence, *(f"    {flip}" for flip in part.flips))
    ]
