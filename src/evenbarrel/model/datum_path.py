"""Changing one thing deep inside an evaluation: a path of field names and ids."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from evenbarrel.model.base import Frozen

Path = tuple[str, ...]
"""As ("bids", "b1", "units", "u1", "barrels", "a", "stroke"): ids stand after tuple fields."""

Model = TypeVar("Model", bound=Frozen)


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
