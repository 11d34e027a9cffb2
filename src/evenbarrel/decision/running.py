"""What running each job on each barrel costs: energy, time lost, changes, wear by the hour."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cached_property

import numpy as np

from evenbarrel.decision.amount import Amount, Standing, absent, computed, total
from evenbarrel.decision.basis import HOUR, Basis, Candidate
from evenbarrel.decision.programme import Flags, Programme
from evenbarrel.model.cost import CostLine
from evenbarrel.model.datum import si_of
from evenbarrel.trade.formula import Array

RUNNING = ("energy", "time_lost", "changes", "wear")
"""What grows with the work: wear is the lines that are paid by the hour."""


class Running:
    """Present values of running costs, each with its working."""

    def __init__(self, basis: Basis, programme: Programme, before: Running | None = None) -> None:
        """Take what amounts and hours depend on; earlier results on the same basis are kept."""
        self.basis = basis
        self.programme = programme
        cost = basis.evaluation.cost
        self.tariff = basis.amount("tariff", cost.tariff)
        self.hour_rate = basis.amount("machine_hour_rate", cost.machine_hour_rate)
        self._known: dict[tuple[str, int, int], Amount] = {}
        self._lines: dict[str, tuple[CostLine, ...]] = {}
        self._by_hours: dict[str, tuple[tuple[CostLine, float], ...]] = {}
        self.same: Flags | None = None
        """The cells that are as before, where anything of before is known."""
        if before is not None:
            self._lines, self._by_hours = dict(before._lines), dict(before._by_hours)
            if before._known and len(programme.jobs) == len(before.programme.jobs):
                self.same = programme.same_cells(before.programme)
                kept = self.same.tolist()
                self._known = {
                    place: amount
                    for place, amount in before._known.copy().items()
                    if kept[place[1]][place[2]]
                }

    def cost(self, part: str, row: int, column: int) -> Amount:
        """Return the present value of one part of a job's running cost on a candidate.

        Missing where one datum is, or where the years cannot be brought to today.
        """
        place = (part, row, column)
        if place not in self._known:
            make = {
                "energy": self._energy,
                "time_lost": self._time_lost,
                "changes": self._changes,
                "wear": self._wear,
            }[part]
            self._known[place] = make(self.basis.candidates[row], row, column)
        return self._known[place]

    @cached_property
    def present(self) -> Array:
        """Present value of all running costs, over (candidates, jobs); what is missing adds 0."""
        jobs = range(len(self.programme.jobs))
        rows = range(len(self.basis.candidates))
        return np.array(
            [[sum(self.cost(p, r, j).counted for p in RUNNING) for j in jobs] for r in rows],
            dtype=np.float64,
        ).reshape(len(rows), len(jobs))

    def _dated(self, yearly: Amount, growth: float | None, column: int) -> Amount:
        """Return the present value of a yearly amount over the years in which a job runs."""
        job = self.programme.jobs[column].id
        if yearly.value is None:
            return absent(job, *yearly.missing)
        years, rate = self.basis.years, self.basis.discount_rate
        if years is None or rate is None:
            return absent(job, *self.basis.undated)
        inputs = {
            "amount": yearly.value,
            "growth": growth or 0.0,
            "rate": rate,
            "first": float(self.programme.first[column]),
            "last": float(self.programme.last[column]),
        }
        return computed(job, "present_value_of_years", inputs, yearly.standing, (yearly,))

    def energy_per_mass(self, candidate: Candidate) -> tuple[float | None, Standing]:
        """Return the energy for one kilogram shot [J/kg] and how far it is stated.

        A supplier's number counts with the method it was measured by; else the evaluation's own
        is assumed for all.
        """
        own = si_of(candidate.unit, "energy_per_mass")
        if own is not None and candidate.unit.energy_method:
            return own, "stated"
        return si_of(self.basis.evaluation.cost, "energy_per_mass"), "assumed"

    def _energy(self, candidate: Candidate, row: int, column: int) -> Amount:
        energy, standing = self.energy_per_mass(candidate)
        named = {
            **self._shots_missing(column),
            "shot_mass": float(self.programme.shot_mass[column]),
            "energy_per_mass": np.nan if energy is None else energy,
        }
        return self._yearly_and_dated(
            ("energy_cost", standing, self.basis.evaluation.cost.tariff_growth),
            column,
            named,
            {"tariff": self.tariff},
        )

    def _time_lost(self, candidate: Candidate, row: int, column: int) -> Amount:
        lost = float(self.programme.seconds_lost[row, column])
        if np.isnan(self.programme.stated_seconds_lost[row, column]) and lost == 0.0:
            nothing = Amount(self.programme.jobs[column].id, 0.0, "ours", missing=("recovery",))
            return nothing
        if lost == 0.0:
            return Amount(self.programme.jobs[column].id, 0.0)
        ours = bool(self.programme.lost_is_ours[row, column])
        named = {
            **self._shots_missing(column),
            "seconds_lost": lost,
            "oee": self.basis.oee,
        }
        amount = self._yearly_and_dated(
            (
                "time_lost_cost",
                "ours" if ours else "stated",
                self.basis.evaluation.cost.rate_growth,
            ),
            column,
            named,
            {"hour_rate": self.hour_rate},
        )
        return amount

    def _changes(self, candidate: Candidate, row: int, column: int) -> Amount:
        job, cost = self.programme.jobs[column], self.basis.evaluation.cost
        if job.batches_per_year == 0:
            return Amount(job.id, 0.0)
        wasted = self._wasted(row, column)
        held_up = self._yearly_and_dated(
            ("change_time_cost", "stated", cost.rate_growth),
            column,
            {
                "batches": float(self.programme.batches[column]),
                "change_time": self.programme.change_time,
            },
            {"hour_rate": self.hour_rate},
        )
        both = (replace(wasted, of="resin_wasted"), replace(held_up, of="changeover_time"))
        return total(job.id, both, known=all(part.value is not None for part in both))

    def _wasted(self, row: int, column: int) -> Amount:
        """Return the resin that changes waste."""
        job, cost = self.programme.jobs[column], self.basis.evaluation.cost
        held, hot = self.programme.melt_held[row], self.programme.hot_runner[column]
        entered = self.basis.evaluation.resin(job.resin)
        result = self.basis.appraisal.resins.get(job.resin or "")
        density = None if result is None else result.melt_density
        named = {
            "batches": float(self.programme.batches[column]),
            "turnovers": np.nan if cost.turnovers is None else cost.turnovers,
            "volume": float(held + hot),
            "density": np.nan if density is None else density,
        }
        lacking = {"volume": "melt_inventory" if np.isnan(held) else "hot_runner_volume"}
        price = self.basis.amount("price_per_kg", None if entered is None else entered.price_per_kg)
        return self._yearly_and_dated(
            ("change_resin_cost", "stated", None), column, named, {"price_per_kg": price}, lacking
        )

    def _wear(self, candidate: Candidate, row: int, column: int) -> Amount:
        """Return the lines that are paid by the hours a job runs."""
        parts = []
        for line, hours in self.by_hours(candidate):
            yearly = self.basis.amount(line.kind, line.amount, lowest=None)
            run = self.programme.hours[row, column]
            if yearly.value is None:
                parts.append(absent(line.kind, *yearly.missing))
            elif np.isnan(run):
                parts.append(absent(line.kind, "annual_quantity"))
            else:
                inputs = {"amount": yearly.value, "per_hours": hours, "hours": float(run)}
                paid = computed(line.kind, "cost_of_hours", inputs, yearly.standing, (yearly,))
                parts.append(replace(self._dated(paid, line.growth, column), of=line.kind))
        return total(self.programme.jobs[column].id, parts)

    def by_hours(self, candidate: Candidate) -> tuple[tuple[CostLine, float], ...]:
        """Return the lines of a candidate that are paid by the hour, with how many hours each."""
        if candidate.id not in self._by_hours:
            paid = ((line, si_of(line, "per_hours")) for line in self.lines(candidate))
            self._by_hours[candidate.id] = tuple(
                (line, seconds / HOUR) for line, seconds in paid if seconds is not None
            )
        return self._by_hours[candidate.id]

    def lines(self, candidate: Candidate) -> tuple[CostLine, ...]:
        """Return the cost lines that concern a candidate.

        One that names no bid, unit or barrel counts for every machine that is bought.
        """
        if candidate.id not in self._lines:
            self._lines[candidate.id] = tuple(self._concerning(candidate))
        return self._lines[candidate.id]

    def _concerning(self, candidate: Candidate) -> Iterator[CostLine]:
        for line in self.basis.evaluation.cost.lines:
            named = (line.bid, line.unit, line.barrel)
            own = (candidate.bid.id, candidate.unit.id, candidate.id)
            if all(name is None for name in named):
                if not candidate.owned:
                    yield line
            elif all(name in (None, its) for name, its in zip(named, own, strict=True)):
                yield line

    def _shots_missing(self, column: int) -> dict[str, float]:
        return {"shots": float(self.programme.shots[column])}

    def _yearly_and_dated(
        self,
        how: tuple[str, Standing, float | None],
        column: int,
        named: dict[str, float],
        prices: dict[str, Amount],
        lacking: dict[str, str] | None = None,
    ) -> Amount:
        """Return the present value of what a formula gives a year, or what it lacks."""
        formula, standing, growth = how
        names = {
            "shots": self._shots_lack(column),
            "batches": "batches_per_year",
            **(lacking or {}),
        }
        missing = [names.get(name, name) for name, value in named.items() if np.isnan(value)]
        missing += [name for price in prices.values() for name in price.missing]
        job = self.programme.jobs[column].id
        if missing:
            return absent(job, *missing)
        inputs = named | {name: price.counted for name, price in prices.items()}
        assumed = standing == "stated" and any(p.standing == "assumed" for p in prices.values())
        yearly = computed(
            formula, formula, inputs, "assumed" if assumed else standing, tuple(prices.values())
        )
        return self._dated(yearly, growth, column)

    def _shots_lack(self, column: int) -> str:
        """Return the first datum that the shots of a job lack."""
        job = self.programme.jobs[column]
        if job.annual_quantity is not None:
            return "cavities"
        return "annual_quantity" if job.hours_per_year is None else "cycle_time"
