"""What a choice needs, in sentences: order, cost, sets of machines, proposal, what is not known."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from evenbarrel.decision.amount import Amount
from evenbarrel.decision.cover.covers import MOST, Cover, Why
from evenbarrel.decision.decide import Decision, ProposalResult
from evenbarrel.decision.life_cost import LifeCost
from evenbarrel.decision.ranking import OrderLine
from evenbarrel.wording.sentences.cells import date_text
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import full_name, job_name
from evenbarrel.wording.words.numbers import currency_amount, percent

NOT_COUNTED = (
    "Not counted: when payments fall due, late delivery, adapting moulds and robots, faster "
    "motion, scrap, water, floor space."
)
ORDER = "Order of single barrels, by gate, then jobs run, then levelled cost:"
NOT_CHECKED = (
    "Clamp force is compared plainly. Not checked: tie bars, mould height, ejection, and whether a "
    "job's mould fits any other machine than the one it was made for."
)
_WHY: Mapping[Why, str] = {
    "outside": "outside on every barrel",
    "waits": "waits on every barrel that it is not outside on",
    "clamp_force": "too little clamp force",
    "forbidden": "a person forbids it",
    "pinned": "pinned where it cannot run",
    "moulds": "one mould cannot make it in a year's hours",
    "machines": "no machine of this set may run it",
    "hours": "no hours left",
}
_MISSING: Mapping[str, str] = {
    "machine": "machine price",
    "screw": "price difference of the screw",
    "tariff": "price of electricity",
    "machine_hour_rate": "rate of a machine hour",
    "energy_per_mass": "energy for a kilogram",
    "batches_per_year": "batches a year",
    "turnovers": "how often a change fills the barrel anew",
    "price_per_kg": "price of the resins",
    "change_time": "time a change takes",
    "melt_inventory": "melt held in the screw",
    "hot_runner_volume": "volume of the hot runner",
    "recovery": "time to recover the shot",
    "annual_quantity": "parts or hours a year",
    "horizon_years": "horizon",
    "residual_share": "what is left of the price at the end",
    "owned_copies": "more machines than the plant has",
    "as_of": "date of the evaluation",
    "out_of_range": "a number out of all proportion",
}


def missing_text(name: str) -> str:
    """Return what a name among the missing stands for: "rate of exchange of USD"."""
    code, _, of = name.partition(".")
    if code == "exchange_rate":
        return f"one rate of exchange of {of}"
    if code == "negative":
        return f"{missing_text(of)} (negative as it stands)"
    if code == "price" and of:
        return missing_text(of)
    if code in ("energy", "time_lost", "changes"):
        return code.replace("_", " ")
    return _MISSING.get(name, of if code == "lines" else name.replace("_", " "))


def choice_lines(decision: Decision) -> list[str]:
    """Return the lines that the summary prints of the decision; none without jobs or barrels."""
    appraisal = decision.appraisal
    if not appraisal.barrels or not appraisal.jobs:
        return []
    lines = [] if decision.proposal is None else list(_proposal(decision, decision.proposal))
    lines += [ORDER, _basis(decision)]
    common = _common(decision)
    if common:
        lines.append(f"Not stated for any of them: {_listed(common)}.")
    for line in decision.order:
        lines += _order(decision, line, common)
    lines += ["", "Sets of machines:", NOT_CHECKED]
    for cover in decision.cover:
        lines += _cover(decision, cover)
    lines.append(_needed(decision))
    lines += [*_shares(decision), NOT_COUNTED]
    return lines


def _basis(decision: Decision) -> str:
    cost = decision.appraisal.evaluation.cost
    if decision.basis.undated:
        names = " and ".join(missing_text(name) for name in decision.basis.undated)
        return f"No cost over life: {names} not stated."
    kind = "real" if cost.real else "nominal"
    growth = [
        f"the {name} grows by {percent(share or 0.0)} a year"
        for name, share in (("tariff", cost.tariff_growth), ("hour rate", cost.rate_growth))
    ]
    return (
        f"Cost over {cost.horizon_years} years at {percent(cost.discount_rate)} {kind}, before "
        f"tax, paid at year end; {', '.join(growth)}."
    )


def _money(decision: Decision, amount: Amount | float | None) -> str:
    value = amount.value if isinstance(amount, Amount) else amount
    if value is None:
        return "not stated"
    return currency_amount(value, decision.appraisal.evaluation.currency)


def _common(decision: Decision) -> tuple[str, ...]:
    """Return what is not stated of any barrel that runs a job."""
    costs = [decision.cost[line.barrel] for line in decision.order if line.jobs_run]
    first = costs[0].missing if costs else ()
    return tuple(name for name in first if all(name in cost.missing for cost in costs))


def _listed(names: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(missing_text(name) for name in names))


def _order(decision: Decision, line: OrderLine, common: Sequence[str]) -> Iterator[str]:
    cost = decision.cost[line.barrel]
    name, gate = full_name(decision.appraisal, line.barrel), labels.GATES[line.gate]
    jobs = len(line.jobs_run) + len(line.jobs_not_run)
    place = "Kept:" if line.rank is None else f"{line.rank}."
    text = f"{place} {name}: {gate}, {len(line.jobs_run)} of {_count(jobs, 'job')}"
    if not line.jobs_run:
        yield f"{text}."
        return
    machines = "" if cost.copies == 1 else f" on {cost.copies} machines"
    price = decision.offers[line.barrel].price
    yield f"{text}{machines}; price {_money(decision, price)}, {_over_life(decision, cost)}."
    if line.levelled is not None and sum(line.filled.values()) > 0:
        parts = _listed(part for part in line.filled if line.filled[part])
        yield f"    Levelled cost {_money(decision, line.levelled)}: {parts} as others state it."
    own = [name for name in cost.missing if name not in common]
    if own:
        yield f"    Not stated: {_listed(own)}."
    if line.may_grow is not None:
        room = _money(decision, line.may_grow)
        yield f"    What nobody states may add up to {room} before the order changes."


def _over_life(decision: Decision, cost: LifeCost | Cover | ProposalResult) -> str:
    if cost.present.value is None:
        return "cost over life not stated"
    yearly = _money(decision, cost.yearly)
    return f"cost over life {_money(decision, cost.present)}, {yearly} a year"


def _machines(decision: Decision, cover: Cover) -> str:
    names = (f"{n} × {full_name(decision.appraisal, barrel)}" for barrel, n in cover.barrels)
    return " and ".join(names) or "no machine"


def _cover(decision: Decision, cover: Cover) -> Iterator[str]:
    head = "Nothing bought" if cover.machines == 0 else f"At most {cover.machines} bought"
    jobs = len(decision.appraisal.jobs)
    run = f"{jobs - len(cover.uncovered)} of {_count(jobs, 'job')}"
    yield f"{head}: {_machines(decision, cover)}; {run}, {labels.GATES[cover.gate]}."
    if cover.barrels:
        yield f"    {_capital(_over_life(decision, cover))}."
    by_why: dict[Why, list[str]] = {}
    for job, why in cover.uncovered:
        by_why.setdefault(why, []).append(job_name(decision.appraisal, job))
    for why, names_of in by_why.items():
        yield f"    Not run, {_WHY[why]}: {'; '.join(names_of)}."
    if cover.first_broken_year is not None:
        yield f"    First year with a job not run: {cover.first_broken_year}."
    if cover.gap is None or cover.gap > 0.0:
        how = "how much is not known" if cover.gap is None else f"by {percent(cover.gap)} at most"
        yield f"    Not every set was looked at: another may be better, {how}."
    if cover.runner_up is not None:
        other = _money(decision, cover.runner_up.present)
        yield f"    Runner-up: {_machines(decision, cover.runner_up)}; {other}."


def _needed(decision: Decision) -> str:
    needed = decision.needs_at_least
    if needed is None:
        return f"No set of up to {MOST} machines runs every job."
    return f"Every job runs with {_count(needed, 'machine')} bought, and with none fewer."


def _shares(decision: Decision) -> Iterator[str]:
    shares = decision.shares
    if not shares.shares:
        return
    measures = ", ".join(name.replace("_", " ") for name in shares.measures)
    leads = "; ".join(
        f"{full_name(decision.appraisal, barrel)} {percent(share)}"
        for barrel, share in sorted(shares.shares.items(), key=lambda one: -one[1])
    )
    error = "" if shares.error == 0.0 else f" (sampled, ± {percent(2.0 * shares.error)})"
    yield f"Share of all weightings of {measures} under which each leads{error}: {leads}."


def _proposal(decision: Decision, result: ProposalResult) -> Iterator[str]:
    names = "; ".join(full_name(decision.appraisal, name) for name in result.proposal.barrels)
    who = result.proposal.person or "a person not named"
    day = result.proposal.date
    yield (
        f"Proposed by {who}{'' if day is None else f' on {date_text(day)}'}: {names or 'nothing'}; "
        f"{labels.GATES[result.gate.state]}."
    )
    yield f"    {_capital(_over_life(decision, result))}."
    told = {
        "Not run": [job_name(decision.appraisal, job) for job in result.gate.uncovered],
        "Given to two barrels": [job_name(decision.appraisal, job) for job in result.twice],
        "No longer offered": [full_name(decision.appraisal, name) for name in result.replaced],
    }
    for what, things in told.items():
        if things:
            yield f"    {what}: {'; '.join(things)}."
    if result.proposal.reason:
        yield f"    {result.proposal.reason}"
    yield ""


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}{'' if number == 1 else 's'}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
