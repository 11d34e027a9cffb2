"""Each number moved up and down until a gate or the order changes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from math import floor, log

import numpy as np
from pydantic import ValidationError

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.claims.agreement import widest_query
from evenbarrel.appraisal.gate_results import Gate, GateKind, GateReason, GateState
from evenbarrel.appraisal.progress import Report, report_nothing
from evenbarrel.appraisal.results import Claim, CriterionResult
from evenbarrel.appraisal.verdicts.cell import criterion_result
from evenbarrel.decision.decide import Decision
from evenbarrel.decision.flips.choice import Choice, Compared, Precedence, choices_of, only_these
from evenbarrel.decision.flips.numbers import Number, moved, numbers_of
from evenbarrel.decision.ranking import place_of_gate

FINE = 0.001
"""A flip is found to this share of the number as it is."""

_OF_CLAIMS: frozenset[GateKind] = frozenset(("disputed", "unsettled"))
"""Kinds of reasons that come of a claim alone."""

_GUESSES = 2
"""Guesses in a row that may not halve the way before its middle is tried."""
_SHORTENED = 6
"""How often a way is halved whose end the evaluation cannot hold, as limits that cross."""


@dataclass(frozen=True, slots=True)
class GateFlip:
    """A barrel whose gate changes, and the reasons that come, or go where it opens."""

    barrel: str
    before: GateState | None
    after: GateState | None
    reasons: tuple[GateReason, ...]


@dataclass(frozen=True, slots=True)
class Flip:
    """A number with the value up to which all stays as it is, and the next at which it does not.

    `kept` and `value` are in the number's own unit and nearer to each other than FINE of it; both
    were appraised. `order` is what becomes of the order, None where it stays.
    """

    number: Number
    kept: float
    value: float
    gates: tuple[GateFlip, ...]
    order: tuple[Precedence | None, Precedence | None] | None

    @property
    def change(self) -> float:
        """The change of the number, as a share of its present value."""
        return self.value / self.number.now - 1.0 if self.number.now else 0.0

    @property
    def within(self) -> bool | None:
        """Whether the number's half-width reaches it; None where nobody says how far it may be."""
        width = self.number.half_width
        return None if width is None else abs(self.change) <= width * (1.0 + FINE)

    @property
    def contradicts(self) -> bool:
        """Whether the number would then no longer agree with what is printed beside it.

        Moved alone, a printed number leaves the others of its barrel behind: what it puts in doubt
        is a slip to look for, no other choice.
        """
        kinds = [
            {reason.kind for reason in gate.reasons}
            for gate in self.gates
            if place_of_gate(gate.after) > place_of_gate(gate.before)
        ]
        return bool(kinds) and all(bool(of_gate) and of_gate <= _OF_CLAIMS for of_gate in kinds)


@dataclass(frozen=True)
class Flips:
    """What would flip a choice, the nearest first, after it what only contradicts its neighbours.

    `steady` counts numbers that flip nothing.
    """

    choices: tuple[Choice, Choice]
    order: Precedence | None
    flips: tuple[Flip, ...]
    numbers: int
    steady: int


@dataclass(frozen=True)
class _Probe:
    """The number at one value, with the results, and whether these are the same as now."""

    value: float
    compared: Compared
    same: bool


class _Search:
    """Moves one number after the other; `now` is how the two choices stand."""

    def __init__(self, decision: Decision, choices: tuple[Choice, Choice]) -> None:
        self.evaluation = only_these(decision.appraisal.evaluation, choices)
        self.appraisal = appraise(self.evaluation)
        self.now = Compared(self.appraisal, choices)
        self.choices = choices

    @cached_property
    def numbers(self) -> tuple[Number, ...]:
        return numbers_of(self.evaluation, [b for choice in self.choices for b in choice.barrels])

    def flips_of(self, number: Number) -> Iterator[Flip]:
        """Yield the nearest flip up and the nearest down, where there is one."""
        start = _Probe(number.now, self.now, True)
        for bound in (number.low, number.high):
            if bound == number.now:
                continue
            end = self._end(number, bound)
            if end is not None and not end.same:
                yield self._flip(number, *self._narrowed(number, start, end))

    def _end(self, number: Number, bound: float) -> _Probe | None:
        """Return the number as far off as the evaluation can hold it, None where it holds none."""
        for _ in range(_SHORTENED):
            try:
                return self._probe(number, bound)
            except ValidationError:
                bound = 0.5 * (bound + number.now)
                if number.whole:
                    bound = float(int(bound))
        return None

    def _probe(self, number: Number, value: float) -> _Probe:
        evaluation = moved(self.evaluation, number, value)
        if number.costs_alone:
            # No fit hangs on it: the appraisal is as it was.
            appraisal = replace(self.appraisal, evaluation=evaluation)
        else:
            appraisal = appraise(evaluation, self.appraisal)
        compared = Compared(appraisal, self.choices)
        return _Probe(value, compared, self._same(number, compared))

    def _same(self, number: Number, compared: Compared) -> bool:
        if compared.states != self.now.states:
            return False
        if not number.costs_alone and _costs_alike(compared, self.now):
            # Nothing that the order goes by is another.
            return True
        return compared.order == self.now.order

    def _narrowed(self, number: Number, kept: _Probe, flipped: _Probe) -> tuple[_Probe, _Probe]:
        """Return two probes close to each other, between which all changes."""
        fine = max(abs(number.now) * FINE, 1.0 if number.whole else 0.0)
        side = 0.45 * fine if flipped.value > kept.value else -0.45 * fine
        tried, last = 0, abs(flipped.value - kept.value)
        while abs(flipped.value - kept.value) > fine * (1.0 + 1e-9):
            middle = 0.5 * (kept.value + flipped.value)
            guess = _crossing(kept, flipped) if tried < _GUESSES else None
            if guess is None:
                value, tried = middle, 0
            else:
                # First from beyond the edge, then from before it: two hits and it is found.
                far = abs(flipped.value - guess) > abs(guess - kept.value)
                value, tried = guess + side if far else guess - side, tried + 1
            kept, flipped = self._closer(number, kept, flipped, value)
            width = abs(flipped.value - kept.value)
            if width <= 0.5 * last:
                tried, last = 0, width
        return kept, flipped

    def _closer(
        self, number: Number, kept: _Probe, flipped: _Probe, value: float
    ) -> tuple[_Probe, _Probe]:
        value = float(floor(value)) if number.whole else value
        low, high = sorted((kept.value, flipped.value))
        if not low < value < high:
            return kept, flipped
        probe = self._probe(number, value)
        return (probe, flipped) if probe.same else (kept, probe)

    def _flip(self, number: Number, kept: _Probe, flipped: _Probe) -> Flip:
        after = flipped.compared
        gates = tuple(
            GateFlip(barrel, gate.state, after.gates[barrel].state, _new_reasons(gate, after))
            for barrel, gate in self.now.gates.items()
            if gate.state != after.gates[barrel].state
        )
        order = (self.now.order, after.order)
        return Flip(
            number, kept.value, flipped.value, gates, None if order[0] == order[1] else order
        )


def _new_reasons(before: Gate, after: Compared) -> tuple[GateReason, ...]:
    """Return the reasons that a gate has only then; where it opens, those that it had."""
    known, then = set(before.reasons), after.gates[before.barrel].reasons
    new = tuple(reason for reason in then if reason not in known)
    return new or tuple(reason for reason in before.reasons if reason not in set(then))


def _costs_alike(one: Compared, other: Compared) -> bool:
    """Say whether the appraisals of both leave the costs alike."""
    pairs = zip(one.cost_inputs, other.cost_inputs, strict=True)
    return all(np.array_equal(values, its, equal_nan=True) for values, its in pairs)


def _crossing(kept: _Probe, flipped: _Probe) -> float | None:
    """Return where between two probes the first edge is crossed, as far as two points tell.

    Money goes about straight with a number, what a criterion or a claim says about as a power of
    it.
    """
    before, after = kept.compared, flipped.compared
    found = [_at(share, kept, flipped) for share in _shares(_of_costs(before, after))]
    for barrel in before.gates:
        edges = [
            _at(share, kept, flipped, by_power=True)
            for share in _shares(_of_gate(barrel, before, after))
        ]
        if edges:
            # A gate shuts with the first reason that comes, and opens with the last that goes.
            opens = place_of_gate(before.states[barrel]) > place_of_gate(after.states[barrel])
            found.append((max if opens else min)(edges, key=lambda edge: abs(edge - kept.value)))
    return min(found, key=lambda value: abs(value - kept.value), default=None)


def _at(share: float, kept: _Probe, flipped: _Probe, *, by_power: bool = False) -> float:
    """Return the number that far on the way from one probe to the other."""
    if by_power and min(kept.value, flipped.value) > 0.0:
        return float(kept.value * (flipped.value / kept.value) ** share)
    return kept.value + share * (flipped.value - kept.value)


def _shares(distances: Iterable[tuple[float, float]]) -> Iterator[float]:
    """Yield how far on the way each edge lies that is crossed on it."""
    for before, after in distances:
        if before * after < 0.0:
            yield before / (before - after)


def _of_costs(kept: Compared, flipped: Compared) -> Iterator[tuple[float, float]]:
    """Yield how far the costs of both probes stand from where they are told apart.

    Where a gate changes, that is looked for first: costs are dear to compute.
    """
    if kept.states != flipped.states:
        return
    if kept.ratio is not None and flipped.ratio is not None:
        for edge in (kept.resolution, -kept.resolution):
            yield kept.ratio - edge, flipped.ratio - edge


def _of_gate(barrel: str, kept: Compared, flipped: Compared) -> Iterator[tuple[float, float]]:
    """Yield how far both probes stand from the edges of what has changed a barrel's gate."""
    gate, then = kept.gates[barrel], flipped.gates[barrel]
    if gate.state == then.state:
        return
    if place_of_gate(then.state) > place_of_gate(gate.state):
        changed = [reason for reason in then.reasons if reason not in set(gate.reasons)]
    else:
        changed = [reason for reason in gate.reasons if reason not in set(then.reasons)]
    both = (kept.appraisal, flipped.appraisal)
    for cell in dict.fromkeys((reason.criterion, reason.job) for reason in changed):
        yield from _to_edges(*(_result(one, barrel, *cell) for one in both))
    for key in dict.fromkeys(reason.claim for reason in changed):
        yield from _to_tolerance(*(_claim(one, barrel, key) for one in both))


def _result(
    appraisal: Appraisal, barrel: str, key: str | None, job: str | None
) -> CriterionResult | None:
    if key is None or job is None:
        return None
    grid = appraisal.grid
    in_full = grid.assessments.of_barrel(grid.row(barrel))
    return criterion_result(in_full.of(key), in_full.row, grid.column(job))


def _claim(appraisal: Appraisal, barrel: str, key: str | None) -> Claim | None:
    return None if key is None else appraisal.barrel(barrel).claim(key)


def _to_edges(
    before: CriterionResult | None, after: CriterionResult | None
) -> Iterator[tuple[float, float]]:
    """Yield the distances of both ends of a criterion's interval from its hard edges."""
    for end, edge in (("low", "allowed_high"), ("high", "allowed_low")):
        ends = [_log(getattr(one, end, None), getattr(one, edge, None)) for one in (before, after)]
        if ends[0] is not None and ends[1] is not None:
            yield ends[0], ends[1]


def _log(value: float | None, edge: float | None) -> float | None:
    return log(value / edge) if value and edge and value > 0 and edge > 0 else None


def _to_tolerance(before: Claim | None, after: Claim | None) -> Iterator[tuple[float, float]]:
    """Yield the distances of a claim's gap from where its state changes."""
    if before is None or after is None or before.tolerance is None:
        return
    for edge in (before.tolerance, widest_query(before.tolerance)):
        for bound in (1.0 + edge, 1.0 - edge):
            ends = [_log(1.0 + (one.gap or 0.0), bound) for one in (before, after)]
            if ends[0] is not None and ends[1] is not None:
                yield ends[0], ends[1]


def flips_of(
    decision: Decision,
    report: Report = report_nothing,
    choices: tuple[Choice, Choice] | None = None,
) -> Flips | None:
    """Return what would flip the proposal against its runner-up, in the order of `Flips`.

    Without a proposal the first two of the order, or the `choices` given; None where there are no
    two. Every number is moved alone, up to FARTHEST times as large and as small; only the barrels
    of the two choices are appraised, and what others state fills in nothing. `report` is told the
    share done after each number; what it raises stops the work.
    """
    chosen = choices or choices_of(decision)
    if chosen is None:
        return None
    search = _Search(decision, chosen)
    found: list[Flip] = []
    steady = 0
    for place, number in enumerate(search.numbers):
        report(place / len(search.numbers))
        of_number = list(search.flips_of(number))
        steady += not of_number
        found += of_number
    found.sort(key=lambda flip: (flip.contradicts, abs(flip.change)))
    return Flips(chosen, search.now.order, tuple(found), len(search.numbers), steady)
