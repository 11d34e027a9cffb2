"""The numbers that a choice hangs on: where each stands, how far it may be off, how it is moved."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from evenbarrel.appraisal.inputs.stated import printed_precision
from evenbarrel.appraisal.references import DatumRef, LimitRef
from evenbarrel.model.base import Frozen
from evenbarrel.model.cost import Cost
from evenbarrel.model.datum import Datum, data_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.limits import USUAL_HALF_WIDTHS, LimitEntry, Limits
from evenbarrel.model.offers.barrel import Barrel
from evenbarrel.model.offers.bid import Bid, InjectionUnit
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.model.resin import Resin
from evenbarrel.units import scale

Step = str | int
"""A field by its name, or an item of a tuple by its place."""

FARTHEST = 2.0
"""By what factor a number is moved at the most, up and down; ours."""
DIGITS = 8
"""Significant digits that a moved number is written with."""

_WHOLE = ("cavities", "annual_quantity", "batches_per_year", "moulds", "horizon_years")
_BY_DIGITS = ("screw_diameter", "stroke", "swept_volume", "rated_shot_mass")
"""Data whose interval is what their digits hide: moved, they keep it."""
_ROUTES: Mapping[str, tuple[str, str]] = {
    "plasticising_rate": ("plasticising_rate", "same_resin"),
    "cycle_time": ("cycle_time", "given"),
    "cooling_time": ("cooling_window", "given"),
    "required_pressure": ("required_pressure", "given"),
    "melt_inventory": ("melt_inventory", "quoted"),
}
"""By which entry of the evaluation's half-widths a datum without one of its own may be off."""
_MASSES = ("part_mass", "runner_mass", "shot_mass", "smallest_shot_mass", "largest_shot_mass")
_COSTS_ALONE = ("hours_per_year", "hours_available", "energy_per_mass")
_SHARES = ("discount_rate", "oee", "residual_share", "resolution")
_UP_TO_ONE = (*_SHARES, "leak_share")


@dataclass(frozen=True, slots=True)
class Number:
    """One number of an evaluation in the unit it was entered in.

    `of` names the job, resin, bid, unit or barrel that has it, or "limits", "uncertainty" or
    "cost"; `half_width` is the share by which it may be off, None where nobody says; `low` and
    `high` are how far it is moved. `costs_alone` where no verdict on a fit hangs on it.
    """

    of: str
    datum: str
    path: tuple[Step, ...]
    now: float
    unit: str
    half_width: float | None
    low: float
    high: float
    whole: bool = False
    costs_alone: bool = False


def place_of(number: Number, evaluation: Evaluation) -> DatumRef | LimitRef:
    """Return where a number is entered: its field, or the list that it stands in."""
    if number.of == "limits":
        return LimitRef(None, number.datum)
    path: list[str] = []
    thing: Any = evaluation
    for step in number.path:
        thing = _item(thing, step)
        if isinstance(step, str):
            path.append(step)
        elif hasattr(thing, "id"):
            path.append(thing.id)
        else:
            # A line of a list has no name of its own.
            break
    return DatumRef(tuple(path))


def _item(thing: Any, step: Step) -> Any:
    if isinstance(step, int):
        return thing[step]
    return thing.get(step) if isinstance(thing, Mapping) else getattr(thing, step, None)


def moved(evaluation: Evaluation, number: Number, value: float) -> Evaluation:
    """Return the evaluation with another value for one number, in its own unit.

    Raises pydantic.ValidationError where the evaluation cannot hold it, as crossed limits.
    """
    return _put(evaluation, number.path, value)  # type: ignore[no-any-return]


def _put(thing: Any, path: tuple[Step, ...], value: float) -> Any:
    if not path:
        return _as(thing, value)
    if thing is None:
        # Half-widths that nobody has entered yet.
        return {path[0]: value}
    step, rest = path[0], path[1:]
    if isinstance(step, int):
        return (*thing[:step], _put(thing[step], rest, value), *thing[step + 1 :])
    if isinstance(thing, Mapping):
        return {**thing, step: _put(thing.get(step), rest, value)}
    changed = _put(getattr(thing, step), rest, value)
    if (
        isinstance(thing, Barrel)
        and step in _BY_DIGITS
        and isinstance(changed, Quantity)
        and changed.half_width is None
    ):
        changed = changed.replace(half_width=_hidden(step, getattr(thing, step), value))
    return thing.replace(**{step: changed})


def _hidden(name: str, printed: Quantity, value: float) -> float:
    """Return what the digits of a printed number hide, as a share of another value."""
    kind = data_of(Barrel)[name].kind_of(printed.unit)
    hidden = printed_precision(name, printed, kind, printed.si(kind)) / scale(printed.unit, kind)
    return min(1.0, hidden / abs(value)) if value else 0.0


def _as(entered: Any, value: float) -> Any:
    """Return a value in the shape of what was entered."""
    if isinstance(entered, Quantity):
        return entered.replace(magnitude=_text(value))
    if isinstance(entered, Money):
        return entered.replace(amount=_text(value))
    if isinstance(entered, LimitEntry):
        return entered.replace(value=value)
    return round(value) if isinstance(entered, int) else value


def _text(value: float) -> str:
    number = Decimal(f"{value:.{DIGITS}g}")
    return f"{number:f}"


def numbers_of(evaluation: Evaluation, barrels: Sequence[str]) -> tuple[Number, ...]:
    """Return the numbers that some barrels' gates and costs hang on, in the order of the file.

    Nothing hangs on a bid that was revised or withdrawn: of it there are none. Of resins those
    that are run or that a barrel is rated in; fitted coefficients are no numbers by themselves
    and stay.
    """
    found: list[Number] = []
    named = {job.resin for job in evaluation.jobs} | {evaluation.cost.common_resin}
    for name in barrels:
        barrel = evaluation.barrel(name)
        named |= {barrel.reference_resin, barrel.plasticising_resin}
    for place, resin in enumerate(evaluation.resins):
        if resin.id in named:
            found += _of_resin(evaluation, resin, ("resins", place))
    for place, job in enumerate(evaluation.jobs):
        found += _of_thing(evaluation, job, job.id, ("jobs", place))
    found += _of_bids(evaluation, set(barrels))
    found += _of_limits(evaluation)
    found += _of_half_widths(evaluation)
    found += _of_costs(evaluation)
    found += _of_lines(evaluation, barrels)
    return tuple(found)


def _of_bids(evaluation: Evaluation, barrels: set[str]) -> Iterator[Number]:
    counting = {bid.id for bid in evaluation.counting_bids}
    for b, bid in enumerate(evaluation.bids):
        units = [
            (u, unit)
            for u, unit in enumerate(bid.units)
            if bid.id in counting and any(barrel.id in barrels for barrel in unit.barrels)
        ]
        if not units:
            continue
        path: tuple[Step, ...] = ("bids", b)
        yield from _of_thing(evaluation, bid, bid.id, path)
        for s, line in enumerate(bid.scope):
            if line.amount is not None:
                where = (*path, "scope", s, "amount")
                yield _of_money(line.amount, bid.id, f"scope.{line.item}", where)
        for u, unit in units:
            yield from _of_thing(evaluation, unit, unit.id, (*path, "units", u))
            for s, barrel in enumerate(unit.barrels):
                if barrel.id in barrels:
                    where = (*path, "units", u, "barrels", s)
                    yield from _of_thing(evaluation, barrel, barrel.id, where)


def _of_thing(
    evaluation: Evaluation,
    thing: Job | Resin | Bid | InjectionUnit | Barrel | Cost,
    of: str,
    path: tuple[Step, ...],
) -> Iterator[Number]:
    """Yield the numbers that stand in the fields of one thing."""
    for name, datum in data_of(type(thing)).items():
        value = getattr(thing, name)
        where = (*path, name)
        if isinstance(value, Quantity):
            width = value.half_width
            if width is None:
                width = _usual_width(evaluation, thing, name, value)
            costs_alone = isinstance(thing, Cost) or name in _COSTS_ALONE
            yield _of_quantity(value, datum, of, name, where, width, costs_alone)
        elif isinstance(value, Money):
            yield _of_money(value, of, name, where)
        elif name in _WHOLE and value is not None:
            yield _whole(value, of, name, where)


def _of_quantity(
    value: Quantity,
    datum: Datum,
    of: str,
    name: str,
    path: tuple[Step, ...],
    width: float | None,
    costs_alone: bool = False,
) -> Number:
    now = float(value.magnitude)
    low, high = sorted((now / FARTHEST, now * FARTHEST))
    if "temperature" in datum.kinds:
        # A share of degrees says nothing: it is moved by 50 of them.
        low, high = now - 50.0, now + 50.0
    return Number(of, name, path, now, value.unit, width, low, high, False, costs_alone)


def _of_money(value: Money, of: str, name: str, path: tuple[Step, ...]) -> Number:
    low, high = sorted((value.value() / FARTHEST, value.value() * FARTHEST))
    return Number(of, name, path, value.value(), value.currency, None, low, high, False, True)


def _whole(value: int, of: str, name: str, path: tuple[Step, ...]) -> Number:
    low, high = max(1.0, value // FARTHEST), max(value * FARTHEST, value + 1.0)
    costs_alone = name != "cavities"
    return Number(of, name, path, float(value), "", None, low, high, True, costs_alone)


def _bare(
    value: float,
    of: str,
    name: str,
    path: tuple[Step, ...],
    costs_alone: bool = False,
    most: float | None = None,
) -> Number:
    low, high = sorted((value / FARTHEST, value * FARTHEST))
    top = high if most is None else min(high, most)
    return Number(of, name, path, value, "", None, low, top, False, costs_alone)


def _usual_width(evaluation: Evaluation, thing: Frozen, name: str, value: Quantity) -> float | None:
    """Return the share by which a number without a half-width of its own is taken to be off."""
    if isinstance(thing, Job) and name in _MASSES:
        return evaluation.uncertainty.half_width("part_mass", value.standing)
    if name in _ROUTES:
        return evaluation.uncertainty.half_width(*_ROUTES[name])
    if name in _BY_DIGITS:
        return _hidden(name, value, float(value.magnitude))
    return None


def _of_resin(evaluation: Evaluation, resin: Resin, path: tuple[Step, ...]) -> Iterator[Number]:
    route = resin.output_factor_route
    factor = None if route is None else getattr(resin.output_factors, route, None)
    if route is not None and isinstance(factor, Quantity):
        width = factor.half_width
        if width is None:
            width = evaluation.uncertainty.half_width("output_factor", route)
        name = f"output_factors.{route}"
        datum = data_of(type(resin.output_factors))[route]
        yield _of_quantity(factor, datum, resin.id, name, (*path, "output_factors", route), width)
    yield from _of_thing(evaluation, resin, resin.id, path)
    if resin.leak_share is not None:
        yield _bare(resin.leak_share, resin.id, "leak_share", (*path, "leak_share"), most=1.0)
    for place, limit in enumerate(resin.residence_limits):
        datum = data_of(type(limit))["time"]
        where = (*path, "residence_limits", place, "time")
        name = f"residence_limits.{place}.time"
        yield _of_quantity(limit.time, datum, resin.id, name, where, limit.time.half_width)


def _of_limits(evaluation: Evaluation) -> Iterator[Number]:
    for name in Limits.model_fields:
        limit = getattr(evaluation.limits, name)
        if isinstance(limit, (LimitEntry, float)):
            value = limit.value if isinstance(limit, LimitEntry) else limit
            yield _bare(value, "limits", name, ("limits", name))


def _of_half_widths(evaluation: Evaluation) -> Iterator[Number]:
    """Yield the half-widths; one number for all routes of a quantity is moved for all of them."""
    for quantity, routes in USUAL_HALF_WIDTHS.items():
        entered = getattr(evaluation.uncertainty, quantity)
        path: tuple[Step, ...] = ("uncertainty", quantity)
        if isinstance(entered, float):
            yield _bare(entered, "uncertainty", quantity, path, most=1.0)
            continue
        for route in routes:
            now = evaluation.uncertainty.half_width(quantity, route)
            yield _bare(now, "uncertainty", f"{quantity}.{route}", (*path, route), most=1.0)


def _of_costs(evaluation: Evaluation) -> Iterator[Number]:
    cost = evaluation.cost
    yield from _of_thing(evaluation, cost, "cost", ("cost",))
    for name in ("machine_hour_rate", "tariff"):
        value = getattr(cost, name)
        if value is not None:
            yield _of_money(value, "cost", name, ("cost", name))
    if cost.horizon_years is not None:
        yield _whole(cost.horizon_years, "cost", "horizon_years", ("cost", "horizon_years"))
    for name in (*_SHARES, "turnovers", "tariff_growth", "rate_growth"):
        value = getattr(cost, name)
        if value:
            most = 1.0 if name in _UP_TO_ONE else None
            yield _bare(value, "cost", name, ("cost", name), True, most)
    for place, rate in enumerate(cost.exchange_rates):
        where = ("cost", "exchange_rates", place, "rate")
        yield _bare(rate.rate, "cost", f"exchange_rates.{rate.currency}", where, True)


def _of_lines(evaluation: Evaluation, barrels: Sequence[str]) -> Iterator[Number]:
    """Yield the cost lines that concern one of the barrels."""
    owners = [
        {bid.id, unit.id, barrel.id}
        for bid, unit, barrel in evaluation.counting_barrels()
        if barrel.id in barrels
    ]
    for place, line in enumerate(evaluation.cost.lines):
        named = {name for name in (line.bid, line.unit, line.barrel) if name is not None}
        if not any(named <= own for own in owners):
            continue
        of = line.barrel or line.unit or line.bid or "cost"
        yield _of_money(line.amount, of, f"lines.{line.kind}", ("cost", "lines", place, "amount"))
