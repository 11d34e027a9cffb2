"""Costs as bars on one scale: every barrel side by side, and one of them step by step."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenbarrel.decision.decide import Decision
from evenbarrel.decision.life_cost import LifeCost
from evenbarrel.wording.pictures.bars import Bar, BarRow, Bars, Filling, round_ticks
from evenbarrel.wording.sentences.deciding.choice import known_and_undecided
from evenbarrel.wording.sheets.decision.cells import amount_text
from evenbarrel.wording.sheets.decision.cost import of_cost
from evenbarrel.wording.words import amounts as words
from evenbarrel.wording.words.names import full_name
from evenbarrel.wording.words.numbers import currency_amount

FILLINGS: dict[str, Filling] = {
    "price": "dark",
    "energy": "light",
    "time_lost": "middle",
    "changes": "pale",
    "lines": "hatched",
    "residual": "open",
    "present": "dark",
}
"""How a part is filled, so that neighbours are told apart in grey too."""
SIDE_BY_SIDE = "Cost over life of every barrel on one scale"
STEP_BY_STEP = "Cost over life step by step"
EMPTY = (
    "No cost over life yet: enter horizon and discount rate under Basis, and prices with the "
    "offers on the Bids page."
)


def side_by_side(decision: Decision) -> Bars:
    """Return every barrel that has a cost over life, in their order, on one scale."""
    shown = [
        cost
        for line in decision.order
        if (cost := decision.cost[line.barrel]).jobs and cost.present.value is not None
    ]
    rows, bars = [], []
    for place, cost in enumerate(shown):
        y = place + 0.5
        count = known_and_undecided(decision, [(cost.barrel, cost.jobs)])
        jobs = "job" if count == "1" else "jobs"
        text = f"{amount_text(cost.present)}, {count} {jobs} on {cost.copies}"
        rows.append(BarRow(y, full_name(decision.appraisal, cost.barrel), text))
        bars += [
            _bar(decision, cost, part, y, low, high)
            for part, low, high in _laid(cost)
            if low < high
        ]
    key = tuple((FILLINGS[part], title) for part, title in words.PARTS.items())
    return _picture(decision, SIDE_BY_SIDE, rows, bars, (), key)


def step_by_step(decision: Decision, barrel: str) -> Bars:
    """Return the parts of one barrel's cost over life, each from where the one before ends."""
    cost = decision.cost[barrel]
    name = full_name(decision.appraisal, barrel)
    title = f"{STEP_BY_STEP}: {name}"
    if cost.present.value is None:
        return _picture(decision, title, [], [], ())
    rows, bars, joints = [], [], []
    for place, (part, low, high) in enumerate(_laid(cost)):
        y = place + 0.5
        rows.append(BarRow(y, words.PARTS[part], amount_text(cost.parts[part])))
        bars.append(_bar(decision, cost, part, y, low, high))
        joints.append((y, low if cost.parts[part].counted < 0 else high))
    y = len(rows) + 0.5
    rows.append(BarRow(y, "Cost over life", amount_text(cost.present), strong=True))
    ends = sorted((0.0, cost.present.value))
    bars.append(_bar(decision, cost, "present", y, *ends))
    return _picture(decision, title, rows, bars, tuple(joints))


def _laid(cost: LifeCost) -> Iterator[tuple[str, float, float]]:
    """Yield each part from where the one before ends, the lower end first."""
    at = 0.0
    for part in words.PARTS:
        after = at + cost.parts[part].counted
        yield part, min(at, after), max(at, after)
        at = after


def _bar(decision: Decision, cost: LifeCost, part: str, y: float, low: float, high: float) -> Bar:
    amount = cost.present if part == "present" else cost.parts[part]
    name = full_name(decision.appraisal, cost.barrel)
    tip = f"{name}\n{words.NAMES[part]}: {amount_text(amount)}"
    return Bar(y, low, high, FILLINGS[part], tip, of_cost(cost.barrel, part))


def _picture(
    decision: Decision,
    title: str,
    rows: Sequence[BarRow],
    bars: Sequence[Bar],
    joints: tuple[tuple[float, float], ...],
    key: tuple[tuple[Filling, str], ...] = (),
) -> Bars:
    low = min((bar.low for bar in bars), default=0.0)
    high = max((bar.high for bar in bars), default=0.0)
    ticks = round_ticks(min(low, 0.0), max(high, 1.0))
    currency = decision.appraisal.evaluation.currency
    return Bars(
        title,
        currency,
        min(low, ticks[0]),
        max(high, ticks[-1]),
        tuple((value, currency_amount(value, "").strip()) for value in ticks),
        tuple(rows),
        tuple(bars),
        joints,
        key,
    )
