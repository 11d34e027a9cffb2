"""Edits of entered cells: a resin that only the shipped table has yet is added in the same step."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from evenbarrel.desk.forms.form import context_of
from evenbarrel.entry.shapes import RESIN_NAMES, Context
from evenbarrel.model import datum_path as edits
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.resin import Resin
from evenbarrel.storage.resin_table import names, with_resins_of_table


@dataclass(frozen=True)
class CellEdits:
    """Many cells changed in one step: new values by the thing's id and field, and new things.

    `resins` are names of resins that neither the evaluation nor the table has, by their new ids.
    """

    title: str
    values: Mapping[str, Mapping[str, Any]]
    added: tuple[Mapping[str, Any], ...] = ()
    resins: Mapping[str, str] = field(default_factory=dict)

    def with_their_resins(self, evaluation: Evaluation) -> Evaluation:
        """Return the evaluation with the resins that the cells name."""
        for key, name in self.resins.items():
            evaluation = edits.append(evaluation, ("resins",), Resin(id=key, name=name))
        return _with_resins(evaluation, (*self.values.values(), *self.added))


def grid_context(evaluation: Evaluation) -> Context:
    """Return what a grid's cells need to know: they offer the whole resin table too."""
    context = context_of(evaluation)
    more = {key: name for key, name in names().items() if key not in context.resins}
    return replace(context, table=more)


def with_datum(evaluation: Evaluation, path: edits.Path, value: object) -> Evaluation:
    """Return the evaluation with one datum changed; raises pydantic.ValidationError."""
    return edits.put(_with_resins(evaluation, ({path[-1]: value},)), path, value)


def _with_resins(evaluation: Evaluation, rows: Iterable[Mapping[str, Any]]) -> Evaluation:
    named = {value for row in rows for name, value in row.items() if name in RESIN_NAMES}
    return with_resins_of_table(evaluation, {name for name in named if isinstance(name, str)})


def places_that_differ(before: Sequence[object], after: Sequence[object]) -> list[int]:
    """Return the places at which two rows of the same length differ."""
    pairs = zip(before, after, strict=True)
    return [place for place, (one, other) in enumerate(pairs) if one != other]
