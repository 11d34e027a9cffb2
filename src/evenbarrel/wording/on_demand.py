"""Rows that are made when somebody looks at them: of a thousand, thirty are on screen."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cached_property
from typing import Generic, TypeVar, overload

Item = TypeVar("Item")


class _Compared(Sequence[Item], Generic[Item]):
    """A sequence that equals any other with the same items."""

    def __eq__(self, other: object) -> bool:
        """Compare item by item, with any sequence."""
        if not isinstance(other, Sequence):
            return NotImplemented
        return len(self) == len(other) and all(a == b for a, b in zip(self, other, strict=True))

    def __hash__(self) -> int:
        """Return a hash that equal sequences share: how long they are."""
        return hash(len(self))


class OnDemand(_Compared[Item]):
    """A sequence of `count` items, each made by `make` from its place and then kept."""

    def __init__(self, count: int, make: Callable[[int], Item]) -> None:
        self._made: list[Item | None] = [None] * count
        self._make = make

    def __len__(self) -> int:
        """Return how many items there are, made or not."""
        return len(self._made)

    @overload
    def __getitem__(self, place: int) -> Item: ...

    @overload
    def __getitem__(self, place: slice) -> tuple[Item, ...]: ...

    def __getitem__(self, place: int | slice) -> Item | tuple[Item, ...]:
        """Return one item, or several; raises IndexError."""
        if isinstance(place, slice):
            return tuple(self[one] for one in range(*place.indices(len(self))))
        item = self._made[place]
        if item is None:
            item = self._make(range(len(self))[place])
            self._made[place] = item
        return item

    def __iter__(self) -> Iterator[Item]:
        """Yield every item in order."""
        return (self[place] for place in range(len(self)))


class Deferred(_Compared[Item]):
    """A sequence that `make` makes as a whole when somebody first looks at it."""

    def __init__(self, make: Callable[[], Iterable[Item]]) -> None:
        self._make = make

    @cached_property
    def _items(self) -> tuple[Item, ...]:
        return tuple(self._make())

    def __len__(self) -> int:
        """Return how many items there are."""
        return len(self._items)

    @overload
    def __getitem__(self, place: int) -> Item: ...

    @overload
    def __getitem__(self, place: slice) -> tuple[Item, ...]: ...

    def __getitem__(self, place: int | slice) -> Item | tuple[Item, ...]:
        """Return one item, or several; raises IndexError."""
        return self._items[place]

    def __iter__(self) -> Iterator[Item]:
        """Yield every item in order."""
        return iter(self._items)
