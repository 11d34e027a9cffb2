"""What people see a thing called: its name, or what it is and its place; never its id."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from evenbarrel.model import datum_path as edits
from evenbarrel.model.base import Frozen
from evenbarrel.model.evaluation import Evaluation

_NAMES: Mapping[str, tuple[str, str]] = {
    "units": ("designation", "Injection unit"),
    "barrels": ("label", "Screw"),
}


def names_of_resins(evaluation: Evaluation) -> Mapping[str, str]:
    """Return what each resin is called, by its id; its id goes with a name that two share."""
    names = {resin.id: resin.name or resin.id for resin in evaluation.resins}
    counts = Counter(names.values())
    return {key: name if counts[name] == 1 else f"{name} ({key})" for key, name in names.items()}


def name_at(whole: Frozen, path: edits.Path) -> str:
    """Return what the unit or barrel at `path` in `whole` is called.

    The second unit of a bid without a designation is "Injection unit 2".
    """
    field, what = _NAMES[path[-2]]
    thing, row = edits.get(whole, path), edits.get(whole, path[:-1])
    return getattr(thing, field) or f"{what} {row.index(thing) + 1}"
