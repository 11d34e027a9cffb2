"""How an amount of money came about: its formula with the numbers in it, or its parts."""

from __future__ import annotations

from dataclasses import replace
from math import isfinite

from evenbarrel.appraisal.references import AmountRef
from evenbarrel.decision.amount import SUM, Amount
from evenbarrel.decision.decide import Decision
from evenbarrel.wording.sentences.deciding.choice import missing_text
from evenbarrel.wording.words import amounts as words
from evenbarrel.wording.words.names import full_name, job_name
from evenbarrel.wording.words.numbers import (
    currency_amount,
    display_unit,
    in_units,
    money,
    percent,
    rounded,
    unit_text,
    with_unit,
)
from evenbarrel.wording.workings.line import Line, Working, literature

NOTHING = "Nothing is counted for it."
MOST_PARTS = 60
"""Parts told one by one; what lies beyond is counted."""
_KINDS = {"volume": "volume", "mass": "mass", "density": "density", "time": "time"}


def amount_working(decision: Decision, reference: AmountRef) -> Working:
    """Return how an amount came about; raises KeyError where it is no longer there."""
    amount = decision.amount(reference)
    known = words.FORMULAS.get(amount.formula or "")
    lines = [] if known is None else _inputs(decision, amount, known)
    lines += _parts(decision, reference, amount)
    nothing = amount.value == 0.0 and not amount.parts and amount.formula in (None, SUM)
    notes = [NOTHING if nothing else f"{words.STANDINGS[amount.standing].capitalize()}."]
    if amount.missing:
        lacking = ", ".join(dict.fromkeys(missing_text(name) for name in amount.missing))
        notes.insert(0, f"Not stated, and not included: {lacking}.")
    summed = "the sum of its parts" if amount.parts else ""
    return Working(
        title=f"{_title(decision, reference)}: {_of(decision, reference)}",
        result=_result(decision, amount),
        formula=summed if known is None else known.formula,
        lines=tuple(lines),
        notes=tuple(notes),
        literature=() if known is None else (literature("definition"),),
    )


def _title(decision: Decision, reference: AmountRef) -> str:
    """Return what an amount is called, after what it is a part of: of each job there are many."""
    steps = reference.steps
    within = [replace(reference, steps=steps[:depth]) for depth in range(len(steps) + 1)]
    names = [amount_name(decision, decision.amount(one), one) for one in within[-2:]]
    return ", ".join(dict.fromkeys(names))


def amount_name(decision: Decision, amount: Amount, reference: AmountRef | None = None) -> str:
    """Return what an amount is called: a part, an item of the scope, a job or a machine."""
    if any(job.id == amount.of for job in decision.appraisal.evaluation.jobs):
        return job_name(decision.appraisal, amount.of)
    # A sum of machines holds what each costs, all called alike.
    name = amount.of if reference is None or reference.steps else reference.name
    return words.NAMES.get(name) or name.replace("_", " ").capitalize()


def _of(decision: Decision, reference: AmountRef) -> str:
    machines = []
    for machine in reference.machines:
        copies = "" if machine.copies in (None, 1) else f"{machine.copies} × "
        jobs = "" if machine.jobs is None else f" for {len(machine.jobs)} of the jobs"
        machines.append(f"{copies}{full_name(decision.appraisal, machine.barrel)}{jobs}")
    return " and ".join(machines)


def _result(decision: Decision, amount: Amount) -> str:
    if amount.value is None:
        return "not stated"
    evaluation = decision.appraisal.evaluation
    if amount.of in _BESIDE:
        return beside_text(decision, amount)
    text = money_text(amount.value, evaluation.currency)
    printed = amount.printed
    if printed is None or printed.currency == evaluation.currency:
        return text
    return f"{text}, printed as {money(printed)}"


_BESIDE = {
    "price_of_usable_volume": "volume",
    "price_of_rated_mass": "mass",
    "price_of_common_mass": "mass",
}


def beside(decision: Decision, amount: Amount) -> float | None:
    """Return a price for one cm3 or one g, or in US units for one in3 or one oz."""
    kind, units = _BESIDE[amount.of], decision.appraisal.evaluation.display_units
    size = in_units(1.0, kind, units)
    return None if amount.value is None or not size else amount.value / size


def beside_unit(decision: Decision, of: str) -> str:
    """Return the unit of a price for a volume or a mass."""
    evaluation = decision.appraisal.evaluation
    unit = unit_text(display_unit(_BESIDE[of], evaluation.display_units))
    return f"{evaluation.currency}/{unit}"


def beside_text(decision: Decision, amount: Amount) -> str:
    """Return a price for a volume or a mass with its unit."""
    return f"{rounded(beside(decision, amount), 4)} {beside_unit(decision, amount.of)}"


def money_text(value: float, currency: str) -> str:
    """Return an amount: whole units where it is large, three digits where it is small."""
    if abs(value) >= 100.0 or value == 0.0 or not isfinite(value):
        return currency_amount(value, currency)
    return f"{currency} {rounded(value, 3)}"


def _inputs(decision: Decision, amount: Amount, known: words.FormulaWords) -> list[Line]:
    lines = []
    for name, (label, form) in known.inputs.items():
        value = amount.inputs.get(name)
        if value is None:
            continue
        path = () if amount.formula == "price_of_usable_volume" else words.PATHS.get(name, ())
        if amount.formula == "converted_amount":
            path = ()
        lines.append(Line(label, _written(decision, value, form), path=path))
    if amount.printed is not None:
        source = ", ".join(
            part for part in (amount.printed.source, amount.printed.standing) if part
        )
        lines = [replace(lines[0], value=money(amount.printed), stated=source), *lines[1:]]
        if amount.printed.currency == decision.appraisal.evaluation.currency:
            return lines[:1]
    return lines


def _written(decision: Decision, value: float, form: words.Form) -> str:
    evaluation = decision.appraisal.evaluation
    units = evaluation.display_units
    if form == "money":
        return money_text(value, evaluation.currency)
    if form == "share":
        return percent(value, 3)
    if form == "years":
        return f"{value:.0f}"
    if form == "hours":
        return f"{rounded(value / 3600.0, 3)} h"
    if form == "energy":
        return with_unit(value, "specific_energy", units)
    return with_unit(value, _KINDS[form], units) if form in _KINDS else rounded(value, 4)


def _parts(decision: Decision, reference: AmountRef, amount: Amount) -> list[Line]:
    lines = []
    parts = amount.parts[:MOST_PARTS]
    for place, part in enumerate(parts):
        if place and part is parts[place - 1]:
            continue
        inner = replace(reference, steps=(*reference.steps, place))
        opens = inner if part.formula or part.parts or part.missing else None
        said = "" if part.standing == "stated" else words.STANDINGS[part.standing]
        label = _machine(decision, reference, place) or amount_name(decision, part)
        alike = sum(other is part for other in parts)
        lines.append(_several(Line(label, _result(decision, part), said, opens), alike))
    beyond = len(amount.parts) - MOST_PARTS
    if beyond > 0:
        lines.append(Line(f"and {beyond} more", ""))
    return lines


def _several(line: Line, alike: int) -> Line:
    """Return the line of one of some parts that are one and the same, as a line of each."""
    if alike == 1:
        return line
    return replace(line, label=f"{line.label}, {alike} ×", value=f"{line.value} each")


def _machine(decision: Decision, reference: AmountRef, place: int) -> str:
    """Return which machine a part of a sum of machines is, "" where it is no machine."""
    if reference.name != "present" or reference.steps or len(reference.machines) < 2:
        return ""
    of_machine = [
        p for p, part in enumerate(_summed(decision, reference)) if part == "present_cost"
    ]
    if place not in of_machine:
        return ""
    return full_name(decision.appraisal, reference.machines[of_machine.index(place)].barrel)


def _summed(decision: Decision, reference: AmountRef) -> list[str]:
    return [part.of for part in decision.amount(replace(reference, steps=())).parts]
