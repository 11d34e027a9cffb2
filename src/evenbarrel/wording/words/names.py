"""What people see a thing called: its name, or what it is and its place; never its id."""

from __future__ import annotations

from collections.abc import Mapping

from evenbarrel.model import datum_path as edits
from evenbarrel.model.base import Frozen

_NAMES: Mapping[str, tuple[str, str]] = {
    "units": ("designation", "Injection unit"),
    "barrels": ("label", "Screw"),
}


def name_at(whole: Frozen, path: edits.Path) -> str:
    """Return what the unit or barrel at `path` in `whole` is called.

    The second unit of a bid without a designation is "Injection unit 2".
    """
    field, what = _NAMES[path[-2]]
    thing, row = edits.get(whole, path), edits.get(whole, path[:-1])
    return getattr(thing, field) or f"{what} {row.index(thing) + 1}"
