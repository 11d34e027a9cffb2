"""Where a thing or a datum stands in an evaluation, and pure edits of what stands there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple, TypeVar

from evenbarrel.model.base import Frozen
from evenbarrel.model.quantity import Standing

Path = tuple[str, ...]
"""As ("bids", "b1", "units", "u1", "barrels", "a", "stroke"): ids stand after tuple fields."""

Model = TypeVar("Model", bound=Frozen)


@dataclass(frozen=True, slots=True)
class ProgrammePath:
    """The evaluation itself."""

    @property
    def path(self) -> Path:
        """Where it stands: nowhere below itself."""
        return ()


@dataclass(frozen=True, slots=True)
class JobPath:
    """A planned job."""

    job: str

    @property
    def path(self) -> Path:
        """Where it stands in the evaluation."""
        return ("jobs", self.job)


@dataclass(frozen=True, slots=True)
class ResinPath:
    """A resin, or with `part` one of its parts, as its output factors."""

    resin: str
    part: str = ""

    @property
    def path(self) -> Path:
        """Where it stands in the evaluation."""
        return ("resins", self.resin, self.part) if self.part else ("resins", self.resin)


@dataclass(frozen=True, slots=True)
class BidPath:
    """A supplier's bid."""

    bid: str

    @property
    def path(self) -> Path:
        """Where it stands in the evaluation."""
        return ("bids", self.bid)


@dataclass(frozen=True, slots=True)
class UnitPath:
    """An injection unit of a bid."""

    bid: str
    unit: str

    @property
    def path(self) -> Path:
        """Where it stands in the evaluation."""
        return ("bids", self.bid, "units", self.unit)


@dataclass(frozen=True, slots=True)
class BarrelPath:
    """A barrel of an injection unit."""

    bid: str
    unit: str
    barrel: str

    @property
    def path(self) -> Path:
        """Where it stands in the evaluation."""
        return ("bids", self.bid, "units", self.unit, "barrels", self.barrel)


@dataclass(frozen=True, slots=True)
class CostPath:
    """The basis for cost over life."""

    @property
    def path(self) -> Path:
        """Where it stands in the evaluation."""
        return ("cost",)


ThingPath = ProgrammePath | JobPath | ResinPath | BidPath | UnitPath | BarrelPath | CostPath
"""What a form shows, and what every edit made in it changes."""


class TypedText(NamedTuple):
    """A text that was typed for the datum at `path` and not taken.

    In a cell of a `table`, else in the field of a form, which has a `standing` beside a number.
    Where it is for no datum of the evaluation, as in an extract, `path` is empty and the text says
    what it is.
    """

    path: Path
    text: str
    table: bool = False
    standing: Standing | None = None


def thing_at(path: Path) -> ThingPath:
    """Return the typed place of what a form may show; raises ValueError for others."""
    match path:
        case ():
            return ProgrammePath()
        case ("cost",):
            return CostPath()
        case ("jobs", job):
            return JobPath(job)
        case ("resins", resin):
            return ResinPath(resin)
        case ("bids", bid):
            return BidPath(bid)
        case ("bids", bid, "units", unit):
            return UnitPath(bid, unit)
        case ("bids", bid, "units", unit, "barrels", barrel):
            return BarrelPath(bid, unit, barrel)
    raise ValueError(f"no thing stands at {path}")


def _index(items: tuple[Any, ...], name: str) -> int:
    for index, item in enumerate(items):
        if item.id == name:
            return index
    raise KeyError(name)


def get(thing: Any, path: Path) -> Any:
    """Return what stands at `path`; raises KeyError or AttributeError where there is nothing."""
    for name in path:
        thing = thing[_index(thing, name)] if isinstance(thing, tuple) else getattr(thing, name)
    return thing


def change(thing: Model, path: Path, how: Callable[[Any], Any]) -> Model:
    """Return a validated copy of `thing` in which `how` was applied to what stands at `path`."""
    return _changed(thing, path, how)  # type: ignore[no-any-return]


def _changed(thing: Any, path: Path, how: Callable[[Any], Any]) -> Any:
    if not path:
        return how(thing)
    name, rest = path[0], path[1:]
    if isinstance(thing, tuple):
        index = _index(thing, name)
        return (*thing[:index], _changed(thing[index], rest, how), *thing[index + 1 :])
    return thing.replace(**{name: _changed(getattr(thing, name), rest, how)})


def put(thing: Model, path: Path, value: Any) -> Model:
    """Return a validated copy with `value` at `path`."""
    return change(thing, path, lambda _: value)


def append(thing: Model, path: Path, item: Any) -> Model:
    """Return a validated copy with `item` at the end of the tuple at `path`."""
    return change(thing, path, lambda items: (*items, item))


def remove(thing: Model, path: Path) -> Model:
    """Return a validated copy without the item that `path` ends at."""
    *parent, name = path
    return change(thing, tuple(parent), lambda items: tuple(i for i in items if i.id != name))


def free_id(taken: set[str], stem: str) -> str:
    """Return `stem` followed by the first number that makes an id nobody has."""
    number = 1
    while f"{stem}{number}" in taken:
        number += 1
    return f"{stem}{number}"
