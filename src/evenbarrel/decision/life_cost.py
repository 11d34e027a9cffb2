"""Cost over life of machines that run some jobs, each part with its working."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from evenbarrel.decision.amount import Amount, absent, computed, total
from evenbarrel.decision.basis import Basis, Candidate
from evenbarrel.decision.cover.copies import Load, copies_needed, pairs_among
from evenbarrel.decision.offers import ONCE, Offer, Offers
from evenbarrel.decision.programme import Programme
from evenbarrel.decision.running import Running

PARTS = ("price", "energy", "time_lost", "changes", "lines", "residual")

Work = tuple[tuple[str, ...], tuple[str, ...]]
"""Jobs that are known to run, and jobs of which that is undecided."""

Machines = tuple[int, tuple[int, ...], int | None]
"""Copies of a candidate that run some jobs: its row, their columns, how many where it is told."""


@dataclass(frozen=True)
class LifeCost:
    """What `copies` of a machine with this barrel cost while they run `jobs`.

    `parts` are present values and add up to `present`; `yearly` is the same as equal payments.
    `missing` names what is not stated: data, parts of the price, kinds of line that another
    machine has and this one lacks.
    """

    barrel: str
    copies: int
    jobs: tuple[str, ...]
    parts: Mapping[str, Amount]
    present: Amount
    yearly: Amount
    missing: tuple[str, ...]


class LifeCosts:
    """Cost over life on the evaluation's basis."""

    def __init__(
        self,
        basis: Basis,
        programme: Programme,
        offers: Offers,
        before: LifeCosts | None = None,
    ) -> None:
        """Take what the amounts are computed from; earlier results on the same basis are kept."""
        self.basis, self.programme, self.offers = basis, programme, offers
        known = None if before is None else before.running
        self.running: Running = Running(basis, programme, known)
        self._made: dict[Machines, LifeCost] = {}
        same = self.running.same
        if before is not None and same is not None and self._shares_as(before):
            # A copy: beside the window costs of before may still be computed.
            made = before._made.copy()
            self._made = {m: c for m, c in made.items() if same[m[0], list(m[1])].all()}

    def _shares_as(self, before: LifeCosts) -> bool:
        """Say whether jobs that are as before are shared out over copies, and told, as before."""
        return (
            self.basis.evaluation.assignment == before.basis.evaluation.assignment
            and self.programme.undated == before.programme.undated
        )

    @cached_property
    def alone(self) -> Mapping[str, LifeCost]:
        """Each barrel as the only one, for every job not outside on it and not pinned away.

        Jobs of which it is undecided whether they fit are among them: silence is not cheap. It is
        bought as often as these jobs need.
        """
        return {one.id: self.of_alone(one.id) for one in self.basis.candidates}

    def of_alone(self, barrel: str) -> LifeCost:
        """Return one barrel's cost as the only one; raises KeyError."""
        return self.of(barrel, self.jobs_alone(self.programme.row_of(barrel)))

    def jobs_alone(self, row: int) -> tuple[int, ...]:
        """Return the jobs that a candidate is bought for where it is the only one."""
        may = self.programme.not_outside[row] & self.programme.in_set[row]
        return tuple(np.flatnonzero(may & ~self.programme.beyond_moulds(row)).tolist())

    def work_alone(self, row: int) -> Work:
        """Return the same jobs, those that are known to run apart from those that are undecided."""
        undecided, jobs = self.programme.undecided[row], self.jobs_alone(row)
        run = tuple(self.programme.jobs[job].id for job in jobs if not undecided[job])
        return run, tuple(self.programme.jobs[job].id for job in jobs if undecided[job])

    def copies_for(self, row: int, jobs: Sequence[int]) -> int:
        """Return how many copies of a candidate some jobs need; 1 at least.

        As many as there are jobs where no number of copies would keep every pin.
        """
        found = copies_needed(self.load(row, jobs))
        return max(1, len(jobs) if found is None else found)

    def kept_apart(self, cost: LifeCost) -> bool:
        """Say whether its jobs need so many machines only as some must never meet on one."""
        row = self.programme.row_of(cost.barrel)
        column = self.basis.appraisal.grid.column
        load = self.load(row, [column(job) for job in cost.jobs])
        together = copies_needed(replace(load, pairs=())) if load.pairs else None
        return together is not None and together < cost.copies

    def load(self, row: int, jobs: Sequence[int]) -> Load:
        """Return some jobs as a load for copies of a candidate."""
        at, candidate = list(jobs), self.basis.candidates[row]
        limit = self.basis.hours_available(candidate.unit)
        column = self.basis.appraisal.grid.column
        pairs = [(column(a), column(b)) for a, b in self.basis.appraisal.incompatible_pairs]
        pins = {
            column(pin.job): pin.copy_number
            for pin in self.basis.evaluation.assignment
            if pin.barrel == candidate.id
        }
        return Load(
            np.nan_to_num(self.programme.hours[row, at]),
            self.programme.running[:, at],
            np.inf if limit is None else limit,
            self.programme.moulds[at],
            pairs_among(at, pairs),
            [pins.get(job, 0) for job in at],
        )

    def of(self, barrel: str, jobs: Sequence[int], copies: int | None = None) -> LifeCost:
        """Return the cost of a barrel that runs some jobs, on as many copies as they need."""
        row = self.programme.row_of(barrel)
        machines = row, tuple(jobs), copies
        if machines not in self._made:
            self._made[machines] = self._of(*machines)
        return self._made[machines]

    def _of(self, row: int, jobs: Sequence[int], copies: int | None) -> LifeCost:
        candidate = self.basis.candidates[row]
        offer = self.offers.one(candidate.id)
        number = self.copies_for(row, jobs) if copies is None else copies
        price = self.price(offer, number)
        running = {
            part: total(part, [self.running.cost(part, row, job) for job in jobs])
            for part in ("energy", "time_lost", "changes", "wear")
        }
        for part in ("energy", "time_lost", "changes"):
            # Not one job of which it is known: the part is not stated, rather than nothing.
            if jobs and all(one.value is None for one in running[part].parts):
                running[part] = total(part, running[part].parts, known=False)
        fixed = [self._times(line, number) for line in self.lines(candidate)]
        parts = {
            "price": price,
            **{part: running[part] for part in ("energy", "time_lost", "changes")},
            "lines": total("lines", [*fixed, *_by_kind(running["wear"])]),
            "residual": self._residual(candidate, offer, number),
        }
        present = total(
            "present_cost",
            tuple(parts.values()),
            known=price.value is not None
            and self.basis.dated
            and not any(
                name.startswith("exchange_rate.") for p in parts.values() for name in p.missing
            ),
        )
        missing = [*present.missing, *self.kinds_lacking(candidate), *self._said(row, jobs)]
        if candidate.owned and number > (candidate.unit.owned_copies or 0):
            missing.append("owned_copies")
        return LifeCost(
            candidate.id,
            number,
            tuple(self.programme.jobs[job].id for job in jobs),
            parts,
            present,
            self.yearly(present),
            tuple(dict.fromkeys(missing)),
        )

    def _said(self, row: int, jobs: Sequence[int]) -> Iterator[str]:
        """Yield what is not stated and changes what the jobs take."""
        if any(self.programme.unlimited[job] for job in jobs):
            yield "annual_quantity"
        if self.programme.undated:
            yield "as_of"
        if self.basis.hours_available(self.basis.candidates[row].unit) is None:
            yield "hours_available"

    def yearly(self, present: Amount) -> Amount:
        """Return a present cost as equal payments at each year's end."""
        years, rate = self.basis.years, self.basis.discount_rate
        if present.value is None or years is None or rate is None:
            return absent("yearly_cost", *present.missing)
        inputs = {"present_cost": present.value, "rate": rate, "years": float(years)}
        return computed("yearly_cost", "yearly_cost", inputs, present.standing, (present,))

    def price(self, offer: Offer, copies: int) -> Amount:
        """Return what several machines of an offer cost: what is paid once, once."""
        each = (*offer.items, *offer.filled_in)
        parts = [part for part in each for _ in range(1 if part.of in ONCE else copies)]
        return total("price", parts, known=offer.price.value is not None)

    def _times(self, amount: Amount, copies: int) -> Amount:
        return amount if copies == 1 else total(amount.of, [amount] * copies)

    def lines(self, candidate: Candidate) -> tuple[Amount, ...]:
        """Return the present value of each cost line of one machine that depends on no hours."""
        by_hours = {id(line) for line, _ in self.running.by_hours(candidate)}
        found = []
        for line in self.running.lines(candidate):
            if id(line) in by_hours:
                continue
            paid = self.basis.amount(line.kind, line.amount, lowest=None)
            years, rate = self.basis.years, self.basis.discount_rate
            if paid.value is None or years is None or rate is None:
                found.append(absent(line.kind, *paid.missing, *self.basis.undated))
                continue
            inputs = {"amount": paid.value, "growth": line.growth or 0.0, "rate": rate}
            if line.per_year:
                inputs |= {"first": float(line.year or 1), "last": float(years)}
                formula = "present_value_of_years"
            elif (line.year or 0) > years:
                continue
            else:
                inputs |= {"year": float(line.year or 0)}
                formula = "present_value_at"
            found.append(computed(line.kind, formula, inputs, paid.standing, (paid,)))
        return tuple(found)

    def kinds_lacking(self, candidate: Candidate) -> tuple[str, ...]:
        """Return the kinds of line that another machine on offer has and this one lacks."""
        if candidate.owned:
            return ()
        own = {line.kind for line in self.running.lines(candidate)}
        return tuple(kind for kind in self._kinds if kind not in own)

    @cached_property
    def _kinds(self) -> tuple[str, ...]:
        offered = [c for c in self.basis.candidates if not c.owned]
        kinds = (line.kind for c in offered for line in self.running.lines(c))
        return tuple(dict.fromkeys(kinds))

    def _residual(self, candidate: Candidate, offer: Offer, copies: int) -> Amount:
        share = self.basis.evaluation.cost.residual_share
        machine = offer.parts["machine"]
        if candidate.owned:
            return Amount("residual", 0.0)
        if share is None:
            return absent("residual", "residual_share")
        return self.residual(machine, share, copies)

    def residual(self, machine: Amount, share: float, copies: int) -> Amount:
        """Return what is left of machines at the end, as a negative cost."""
        years, rate = self.basis.years, self.basis.discount_rate
        if machine.value is None or years is None or rate is None:
            return absent("residual", *machine.missing, *self.basis.undated)
        inputs = {"price": -machine.value, "share": share, "rate": rate, "years": float(years)}
        one = computed("residual", "residual_worth", inputs, machine.standing, (machine,))
        return self._times(one, copies)


def _by_kind(wear: Amount) -> list[Amount]:
    """Return what is paid by the hour line by line, each over the jobs, instead of job by job."""
    lines = zip(*(of_job.parts for of_job in wear.parts), strict=True)
    jobs = [of_job.of for of_job in wear.parts]
    return [
        total(line[0].of, [replace(part, of=job) for part, job in zip(line, jobs, strict=True)])
        for line in lines
    ]
