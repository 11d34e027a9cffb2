"""The results of the fit grid, in words: who fits, and how many cells are in which state."""

from __future__ import annotations

from collections import Counter

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.results import SEVERITY
from evenbarrel.model.limits import CRITERIA
from evenbarrel.wording.pictures.board import Filter, arranged
from evenbarrel.wording.sentences.cells import few_of
from evenbarrel.wording.sentences.deciding.gate import waiting_and_shut
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.criteria import criterion_label
from evenbarrel.wording.words.names import full_name
from evenbarrel.wording.words.numbers import counted

_MOST_NAMED = 3


def who_fits(appraisal: Appraisal) -> str:
    """Return which barrels have no objection, most room first, and what is not known of them."""
    states = appraisal.gates.states
    free = [b for b in arranged(appraisal, "margin", Filter()) if states[b] == "no_objection"]
    if not free:
        counts = Counter(states.values())
        return f"No barrel of {len(states)} is without an objection: {waiting_and_shut(counts)}."
    first = free if len(free) <= _MOST_NAMED else free[: _MOST_NAMED - 1]
    named = [_with_edges(appraisal, barrel) for barrel in first]
    if len(free) > len(first):
        named.append(f"{len(free) - len(first)} more")
    order = ", most room first" if len(free) > 1 else ""
    gates = [appraisal.gate(barrel) for barrel in free]
    keys = {key for gate in gates for key in gate.open_criteria}
    labels = [criterion_label(key).lower() for key in CRITERIA if key in keys]
    cells = counted(sum(gate.open_cells for gate in gates), "cell")
    unknown = f" Not assessed for them, in {cells}: {few_of(labels)}." if labels else ""
    text = f"No objection to {len(free)} of {counted(len(states), 'barrel')}{order}: "
    return f"{text}{'; '.join(named)}.{unknown}"


def _with_edges(appraisal: Appraisal, barrel: str) -> str:
    """Return a barrel's name with how many of its jobs are near an edge."""
    gate = appraisal.gate(barrel)
    near = appraisal.grid.states_of(barrel, gate.jobs).count("near_edge")
    edges = f" (near an edge in {near} of {counted(len(gate.jobs), 'job')})" if near else ""
    return f"{full_name(appraisal, barrel)}{edges}"


def fit_notes(appraisal: Appraisal) -> tuple[str, str]:
    """Return the grid in words first: outside by physics, by rule, near edge, inside, open."""
    grid = appraisal.grid
    of_state = {state: int((grid.state == code).sum()) for code, state in enumerate(SEVERITY)}
    rule, physical = int(grid.by_rule.sum()), int(grid.by_physics.sum())
    to_confirm = int(grid.to_confirm.sum())
    waits = f"Of those near edge, {to_confirm} by a limit {labels.TO_CONFIRM}. "
    words = [
        f"outside by physics {physical}",
        f"by resin limit {of_state['outside'] - rule - physical}",
        f"by rule {rule}",
        f"near edge {of_state['near_edge']}",
        f"inside {of_state['inside']}",
        f"not stated {of_state['not_stated']}",
    ]
    return (
        f"Of {counted(grid.state.size, 'cell')}: {', '.join(words)}.",
        f"{waits if to_confirm else ''}{int(grid.open.sum())} of all still have open criteria.",
    )
