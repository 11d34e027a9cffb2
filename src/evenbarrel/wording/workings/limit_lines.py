"""The limits that a criterion is judged by, and the parts it is held against, as lines."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import isnan
from typing import Literal

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.inputs.confirmed import holds
from evenbarrel.appraisal.results import CriterionResult
from evenbarrel.model.base import Frozen
from evenbarrel.model.limits import limit_origin, limit_value
from evenbarrel.model.quantity import Quantity
from evenbarrel.trade.wear_corrosion import Attack, attack_beyond_proof, degree_of, proof_of
from evenbarrel.wording.sentences.cells import (
    date_text,
    limit_text,
    listed,
)
from evenbarrel.wording.sentences.deciding.decision import in_diameters, limit_label
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.numbers import (
    ABSENT,
    percent,
    printed,
    rounded,
)
from evenbarrel.wording.workings.cell import Cell, path_of
from evenbarrel.wording.workings.line import (
    Line,
    where_stated,
)


def limit_given(appraisal: Appraisal, field: str) -> str:
    """Return a limit of the evaluation with where it is from."""
    limit = getattr(appraisal.evaluation.limits, field)
    value = limit_value(limit)
    shown = f"{rounded(value)} D" if in_diameters(field) else percent(value)
    return f"{shown}: {labels.ORIGINS[limit_origin(limit)]}"


def edge_lines(cell: Cell, result: CriterionResult) -> list[Line]:
    """Return the edges of a criterion, and each limit they come from with its origin."""
    lines = []
    if result.unit:
        lines.append(Line("Limit", limit_text(result, cell.units)))
    limits = list(CRITERION_WORDS[result.key].limits)
    if result.key == "utilisation" and cell.resin is not None:
        own = [f for f in ("utilisation_low", "utilisation_high") if getattr(cell.resin, f)]
        lines += [_resin_limit(cell, f) for f in own]
        if len(own) < 2 and cell.resin.resin_class is not None:
            limits += [f"{cell.resin.resin_class}_{end}" for end in ("low", "high")]
    for field in limits:
        lines.append(Line(limit_label(field), "", limit_given(cell.appraisal, field)))
    if result.unit and cell.resin is not None:
        lines += [_resin_limit(cell, field) for field in CRITERION_WORDS[result.key].of_resin]
    return lines


def _confirmed(cell: Cell, field: str) -> str:
    """Return who stands by a resin's limit, when and why; empty where nobody does."""
    evaluation = cell.appraisal.evaluation
    for one in evaluation.confirmed_limits:
        is_it = cell.resin is not None and (one.resin, one.field) == (cell.resin.id, field)
        if is_it and holds(evaluation, one):
            day = f" on {date_text(one.date)}" if one.date else ""
            reason = f": {one.reason}" if one.reason else ""
            return f"confirmed by {one.person or 'an unnamed person'}{day}{reason}"
    return ""


def is_recalled(cell: Cell, key: str) -> bool:
    """Say whether a limit of the resin that a criterion uses is from memory, unconfirmed."""
    if cell.resin is None:
        return False
    origins = cell.resin.origins
    fields = (f for f in CRITERION_WORDS[key].of_resin if origins.get(f) == "from_memory")
    return any(not _confirmed(cell, field) for field in fields)


def _resin_limit(cell: Cell, field: str) -> Line:
    """Return the line of a resin's datum that a criterion is judged by, with its origin."""
    said = _limit_said(cell, field)
    entered = None if cell.resin is None else getattr(cell.resin, field)
    value = printed(entered) if isinstance(entered, Quantity) else ""
    return Line(labels.datum(field), value, said, path=path_of(cell, "resin", field))


def _limit_said(cell: Cell, field: str) -> str:
    """Return where a resin's limit is from, or who stands by it."""
    if cell.resin is None or not getattr(cell.resin, field):
        return ""
    origin = labels.ORIGINS[cell.resin.origins.get(field)]
    return _confirmed(cell, field) or where_stated(cell.resin, field) or origin


def fitting_lines(cell: Cell, key: str) -> list[Line]:
    """Return what the resin asks of a part, and what the parts are."""
    return [
        *(
            replace(_entered_word(cell, "resin", field), stated=_limit_said(cell, field))
            for field in CRITERION_WORDS[key].of_resin
        ),
        *(
            replace(_entered_word(cell, "barrel", field), stated=_proof_said(cell, key, field))
            for field in CRITERION_WORDS[key].of_barrel
        ),
    ]


def _proof_said(cell: Cell, key: str, field: str) -> str:
    """Return whether a package is proof against the resin's attack; empty where that is open."""
    attacks: Mapping[str, tuple[Attack, str]] = {
        "wear": ("wear", "abrasive"),
        "corrosion": ("corrosion", "corrosive"),
    }
    if key not in attacks or cell.resin is None:
        return ""
    attack, datum = attacks[key]
    degree = degree_of(getattr(cell.resin, datum))
    beyond = attack_beyond_proof(degree, proof_of(getattr(cell.barrel, field), attack))
    if degree == 0.0 or isnan(beyond):
        return ""
    return "not resistant to it" if beyond > 0.0 else "resistant to it"


def _entered_word(cell: Cell, owner: Literal["resin", "barrel"], field: str) -> Line:
    """Return a line with a datum as entered: a number as printed, a choice in words."""
    thing: Frozen | None = cell.resin if owner == "resin" else cell.barrel
    entered = None if thing is None else getattr(thing, field)
    if isinstance(entered, Quantity):
        value = printed(entered)
    elif isinstance(entered, tuple):
        value = listed([labels.choice(code) for code in entered]) or ABSENT
    else:
        value = labels.choice(entered) if entered else ABSENT
    path = path_of(cell, owner, field)
    return Line(labels.datum(field), value, path=path, is_entered=bool(entered))
