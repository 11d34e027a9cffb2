"""What differs between two states of an evaluation, given as plain data, field by field."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

Step = str | int
_SAYS_WHO = ("job", "barrel", "criterion", "question", "resin", "field", "currency", "item", "role")
"""Members that tell apart the entries of a list whose entries have no id."""
_WORTH = (("magnitude", "unit"), ("amount", "currency"))
"""Members of what is one number: it is told whole."""


@dataclass(frozen=True, slots=True)
class Changed:
    """A field with what stood there and what stands there now; None where there was nothing.

    `path` names fields, ids of list entries, or their places where they have none.
    """

    path: tuple[Step, ...]
    old: Any
    new: Any

    @property
    def noted_alone(self) -> bool:
        """Whether a number stayed what it was: only its source, standing or note is another."""
        both = (self.old, self.new)
        return any(
            all(isinstance(one, Mapping) and set(names) <= set(one) for one in both)
            and all(self.old[name] == self.new[name] for name in names)
            for names in _WORTH
        )


def changed_fields(old: Mapping[str, Any], new: Mapping[str, Any]) -> tuple[Changed, ...]:
    """Return every field that differs, in the order of the newer state."""
    return tuple(_of_members(old, new, ()))


def _of_members(
    old: Mapping[str, Any], new: Mapping[str, Any], path: tuple[Step, ...]
) -> Iterator[Changed]:
    for name in dict.fromkeys((*new, *old)):
        before, after = old.get(name), new.get(name)
        # What has fields of its own is told field by field, even where all of it is new or gone.
        if before is None and _has_fields(after):
            before = {}
        elif after is None and _has_fields(before):
            after = {}
        yield from _of_value(before, after, (*path, name))


def _of_value(old: Any, new: Any, path: tuple[Step, ...]) -> Iterator[Changed]:
    if old == new:
        return
    both = (old, new)
    if all(map(_has_fields, both)):
        yield from _of_members(old, new, path)
    elif all(one is None or isinstance(one, list) for one in both):
        yield from _of_entries(old or [], new or [], path)
    else:
        yield Changed(path, old, new)


def _has_fields(value: Any) -> bool:
    is_number = isinstance(value, Mapping) and any(set(names) <= set(value) for names in _WORTH)
    return isinstance(value, Mapping) and not is_number


def _of_entries(
    old: Sequence[Any], new: Sequence[Any], path: tuple[Step, ...]
) -> Iterator[Changed]:
    earlier, later = _named(old), _named(new)
    for name in dict.fromkeys((*later, *earlier)):
        yield from _of_value(earlier.get(name), later.get(name), (*path, name))
    shared = [name for name in later if name in earlier]
    if shared != [name for name in earlier if name in later]:
        yield Changed((*path, "order"), list(earlier), list(later))


def _named(entries: Sequence[Any]) -> dict[Step, Any]:
    """Return entries by their id, else by what tells them apart, else by their place."""
    names: list[Step] = []
    for place, entry in enumerate(entries):
        said = entry if isinstance(entry, Mapping) else {}
        parts = [str(said[name]) for name in _SAYS_WHO if said.get(name) is not None]
        names.append(said.get("id") or (" ".join(parts) if parts else place))
    # Entries that nothing tells apart are told by their places.
    if len(set(names)) < len(names):
        return dict(enumerate(entries))
    return dict(zip(names, entries, strict=True))
