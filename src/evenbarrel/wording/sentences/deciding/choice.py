"""What a choice needs, in sentences: order, cost, sets of machines, proposal, what is not known."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from evenbarrel.decision.amount import Amount
from evenbarrel.decision.cover.covers import MOST, Cover, Why
from evenbarrel.decision.decide import Decision, ProposalResult
from evenbarrel.decision.life_cost import LifeCost
from evenbarrel.decision.ranking import OrderLine
from evenbarrel.wording.sentences.cells import date_text
from evenbarrel.wording.sentences.deciding.steps import kept_apart
from evenbarrel.wording.standing_by.masking import prices_masked
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import full_name, job_name
from evenbarrel.wording.words.numbers import counted, currency_amount, percent

NOT_COUNTED = (
    "Not counted: when payments fall due, late delivery, adapting moulds and robots, faster "
    "motion, scrap, water, floor space."
)
ORDER = "Order of single barrels, by gate, then jobs known to run, then levelled cost:"
UNDECIDED = (
    "Undecided: whether a job fits is not stated, in doubt, or beyond a limit that nobody "
    "confirmed. It is counted in the cost, not for the rank."
)
UNKNOWN = "+ ?: a part is not stated and is not included."
NOT_CHECKED = (
    "Clamp force is only compared with what each job needs. Not checked: tie bars, mould "
    "height, ejection, and whether a job's mould fits any other machine than the one it was "
    "made for."
)
WHY: Mapping[Why, str] = {
    "outside": "outside on every barrel",
    "waits": "waits for an answer or a decision on every barrel that could run it",
    "clamp_force": "too little clamp force",
    "forbidden": "barred by a person",
    "pinned": "pinned where it cannot run",
    "moulds": "one mould cannot make the quantity in the hours of a year",
    "machines": "no machine of this set may run it",
    "incompatible": "must never share a machine with another job of the set",
    "hours": "no hours left",
}
_MISSING: Mapping[str, str] = {
    "machine": "machine price",
    "screw": "price difference of the screw",
    "tariff": "price of electricity",
    "machine_hour_rate": "machine hour rate",
    "energy_per_mass": "energy for 1 kg",
    "batches_per_year": "batches per year",
    "turnovers": "barrel fills purged at a changeover",
    "price_per_kg": "price of the resins",
    "change_time": "changeover time",
    "melt_inventory": "melt inventory",
    "hot_runner_volume": "volume of the hot runner",
    "recovery": "time to recover the shot",
    "annual_quantity": "parts or hours a year",
    "horizon_years": "horizon",
    "residual": "residual value",
    "residual_share": "residual share of the price",
    "owned_copies": "more machines than the plant owns",
    "as_of": "date of the evaluation",
    "out_of_range": "a number is implausibly large",
}
_MEASURES: Mapping[str, str] = {"present_cost": "cost over life"}


def missing_text(name: str) -> str:
    """Return what a name among the missing stands for: "an exchange rate for USD"."""
    code, _, of = name.partition(".")
    if code == "exchange_rate":
        return f"an exchange rate for {of}"
    if code == "negative":
        return f"{missing_text(of)} (negative as stated)"
    if code == "price" and of:
        return missing_text(of)
    if code == "changes":
        return "changeovers"
    if code in ("energy", "time_lost"):
        return code.replace("_", " ")
    return _MISSING.get(name, of if code == "lines" else name.replace("_", " "))


def measure_text(key: str) -> str:
    """Return what a measure that offers are weighed by is called."""
    return _MEASURES.get(key, key.replace("_", " "))


def choice_lines(decision: Decision) -> list[str]:
    """Return the lines that the summary prints of the decision; none without jobs or barrels."""
    appraisal = decision.appraisal
    if not appraisal.barrels or not appraisal.jobs:
        return []
    lines = [] if decision.proposal is None else list(_proposal(decision, decision.proposal))
    lines += [ORDER, basis_line(decision), UNKNOWN]
    if any(line.jobs_undecided for line in decision.order):
        lines.append(UNDECIDED)
    common = common_missing(decision)
    if common:
        lines.append(f"Common items, not stated for any of them: {_listed(common)}.")
    for line in decision.order:
        lines += _order(decision, line, common)
    lines += ["", "Sets of machines:", NOT_CHECKED]
    for cover in decision.cover:
        first = next(one for one in decision.cover if one.same_machines(cover))
        if first is cover:
            lines += _cover(decision, cover)
        else:
            lines.append(f"{_bought(cover)}: as for {_bought(first).lower()}.")
    lines.append(needed_line(decision))
    lines += [*_shares(decision), NOT_COUNTED]
    return lines


def basis_line(decision: Decision) -> str:
    """Return over which years, at which rate and growths costs are added up, or what lacks."""
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


def money_text(decision: Decision, amount: Amount | float | None) -> str:
    """Return an amount with its currency; "+ ?" where a part of it is not stated."""
    value = amount.value if isinstance(amount, Amount) else amount
    if value is None:
        return "not stated"
    unknown = " + ?" if isinstance(amount, Amount) and amount.missing else ""
    return f"{currency_amount(value, decision.appraisal.evaluation.currency)}{unknown}"


def common_missing(decision: Decision) -> tuple[str, ...]:
    """Return what is not stated of any barrel that may run a job."""
    costs = [decision.cost[line.barrel] for line in decision.order if any(line.work)]
    first = costs[0].missing if costs else ()
    return tuple(name for name in first if all(name in cost.missing for cost in costs))


def _listed(names: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(missing_text(name) for name in names))


def _order(decision: Decision, line: OrderLine, common: Sequence[str]) -> Iterator[str]:
    cost = decision.cost[line.barrel]
    name, gate = full_name(decision.appraisal, line.barrel), labels.GATES[line.gate]
    jobs = len(line.jobs_run) + len(line.jobs_undecided) + len(line.jobs_not_run)
    place = "Kept:" if line.rank is None else f"{line.rank}."
    text = f"{place} {name}: {gate}, {len(line.jobs_run)} of {counted(jobs, 'job')}"
    if not any(line.work):
        yield f"{text}."
        return
    undecided = f", {len(line.jobs_undecided)} undecided," if line.jobs_undecided else ""
    machines = "" if cost.copies == 1 else f" on {cost.copies} machines"
    yield f"{text}{undecided}{machines}".rstrip(",") + "."
    own = [name for name in cost.missing if name not in common]
    if own:
        yield f"    Not stated: {_listed(own)}."
    price = decision.offers[line.barrel].price
    each = " each" if cost.copies > 1 and price.value is not None else ""
    yield f"    Price {money_text(decision, price)}{each}, {over_life(decision, cost)}."
    if line.levelled is not None and sum(line.filled.values()) > 0:
        parts = _listed(part for part in line.filled if line.filled[part])
        levelled = money_text(decision, line.levelled)
        yield f"    Levelled cost {levelled}: {parts} as others state it."
    if line.may_grow is not None:
        room = money_text(decision, line.may_grow)
        yield f"    What is not levelled may add up to {room} before the order changes."


def known_and_undecided(decision: Decision, jobs_of: Iterable[tuple[str, Collection[str]]]) -> str:
    """Return how many jobs some barrels run, the undecided ones apart."""
    programme, column = decision.costs.programme, decision.appraisal.grid.column
    undecided = [
        bool(programme.undecided[programme.row_of(barrel), column(job)])
        for barrel, jobs in jobs_of
        for job in jobs
    ]
    return jobs_text(undecided.count(False), undecided.count(True))


def jobs_text(known: int, undecided: int) -> str:
    """Return how many jobs are known to run, as "5 + 3 ?" where three more are undecided."""
    return f"{known} + {undecided} ?" if undecided else str(known)


def over_life(decision: Decision, cost: LifeCost | Cover | ProposalResult) -> str:
    """Return a cost over life, today and a year, or that it is not stated or masked."""
    if prices_masked(decision.appraisal):
        return "cost over life masked"
    if cost.present.value is None:
        return "cost over life not stated"
    yearly = money_text(decision, cost.yearly)
    return f"cost over life {money_text(decision, cost.present)}, {yearly} a year"


def machines_text(decision: Decision, cover: Cover) -> str:
    """Return the machines of a set, each with how many of it."""
    names = (f"{n} × {full_name(decision.appraisal, barrel)}" for barrel, n in cover.barrels)
    return " and ".join(names) or "no machine"


def _bought(cover: Cover) -> str:
    return "Nothing bought" if cover.machines == 0 else f"At most {cover.machines} bought"


def _cover(decision: Decision, cover: Cover) -> Iterator[str]:
    jobs = len(decision.appraisal.jobs)
    job_counts = known_and_undecided(decision, ((cost.barrel, cost.jobs) for cost in cover.costs))
    run = f"{job_counts} of {counted(jobs, 'job')}"
    yield f"{_bought(cover)}: {machines_text(decision, cover)}; {run}, {labels.GATES[cover.gate]}."
    if cover.barrels:
        yield f"    {_capital(over_life(decision, cover))}."
    by_why: dict[Why, list[str]] = {}
    for job, why in cover.uncovered:
        by_why.setdefault(why, []).append(job_name(decision.appraisal, job))
    for why, names_of in by_why.items():
        yield f"    Not run, {WHY[why]}: {'; '.join(names_of)}."
    if cover.first_broken_year is not None:
        yield f"    First year in which a job is not run: {cover.first_broken_year}."
    gap = gap_line(cover)
    if gap:
        yield f"    {gap}"
    if cover.runner_up is not None:
        other = money_text(decision, cover.runner_up.present)
        yield f"    Runner-up: {machines_text(decision, cover.runner_up)}; {other}."


def gap_line(cover: Cover) -> str:
    """Return how much better a set may be that was not looked at; "" where all were."""
    if cover.gap == 0.0:
        return ""
    how = "by an unknown amount" if cover.gap is None else f"by at most {percent(cover.gap)}"
    return f"Not every set was searched: another may be better, {how}."


def needed_line(decision: Decision) -> str:
    """Return how many machines it takes to run every job."""
    needed = decision.needs_at_least
    if needed is None:
        return f"No set of up to {MOST} machines runs every job."
    return (
        f"Every job runs with {counted(needed, 'machine')} bought; with fewer, not every job runs."
    )


def copies_line(decision: Decision) -> str:
    """Return why barrels need more than one machine for their jobs, "" where none does."""
    several = [cost for cost in decision.cost.values() if cost.copies > 1]
    apart = [decision.costs.kept_apart(cost) for cost in several]
    why = []
    if any(apart):
        why.append(f"some of its jobs must never share one ({kept_apart(decision.appraisal)})")
    if not all(apart):
        why.append("its jobs need more hours than one machine has")
    return f"A barrel alone needs more than one machine where {' or '.join(why)}." if why else ""


def _shares(decision: Decision) -> Iterator[str]:
    shares = decision.shares
    if not shares.shares:
        return
    measures = ", ".join(map(measure_text, shares.measures))
    leads = "; ".join(
        f"{full_name(decision.appraisal, barrel)} {percent(share)}"
        for barrel, share in sorted(shares.shares.items(), key=lambda one: -one[1])
    )
    error = "" if shares.error == 0.0 else f" (sampled, ± {percent(2.0 * shares.error)})"
    yield f"Share of all weightings of {measures} under which each leads{error}: {leads}."


def _proposal(decision: Decision, result: ProposalResult) -> Iterator[str]:
    names = "; ".join(full_name(decision.appraisal, name) for name in result.proposal.barrels)
    who = result.proposal.person or "an unnamed person"
    day = result.proposal.date
    yield (
        f"Proposed by {who}{'' if day is None else f' on {date_text(day)}'}: {names or 'nothing'}; "
        f"{labels.GATES[result.gate.state]}."
    )
    if result.missing:
        yield f"    Not stated: {_listed(result.missing)}."
    yield f"    Price {money_text(decision, result.price)}, {over_life(decision, result)}."
    open_points = {
        "Not run": [job_name(decision.appraisal, job) for job in result.gate.uncovered],
        "Assigned to two barrels": [job_name(decision.appraisal, job) for job in result.twice],
        "No longer offered": [full_name(decision.appraisal, name) for name in result.replaced],
    }
    for what, things in open_points.items():
        if things:
            yield f"    {what}: {'; '.join(things)}."
    if result.proposal.reason:
        yield f"    {result.proposal.reason}"
    yield ""


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
