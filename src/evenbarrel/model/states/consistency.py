"""Whether what names each other is there: one pass each, however large an evaluation is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Set

from evenbarrel.model.base import refusal


def refuse_duplicates(things: str, names: Iterable[str], have: str = "have the id") -> None:
    """Raise PydanticCustomError where two `things` have one name."""
    for name, count in Counter(names).items():
        if count > 1:
            raise refusal(
                "duplicate_id", "two {things} {have} '{name}'", things=things, have=have, name=name
            )


def refuse_unknown(
    where: str, thing: str, name: str | None, known: Set[str], among: str = "in the evaluation"
) -> None:
    """Raise PydanticCustomError where `name` is given and not among the `known` ones."""
    if name is not None and name not in known:
        raise refusal(
            "dangling",
            "{where} names the {thing} '{name}', which is not {among}",
            where=where,
            thing=thing,
            name=name,
            among=among,
        )


def refuse_broken_chains(things: str, thing: str, revises: Mapping[str, str | None]) -> None:
    """Raise PydanticCustomError unless revisions make chains that begin somewhere.

    `revises` gives for each id the id it stands in for, None where it stands in for none. Each has
    one successor at most, so what no beginning leads to goes round in a circle.
    """
    successor: dict[str, str] = {}
    for name, earlier in revises.items():
        if earlier is None:
            continue
        refuse_unknown(f"{thing} '{name}', revises", thing, earlier, revises.keys())
        if earlier in successor:
            raise refusal(
                "two_successors",
                "the {things} '{one}' and '{other}' both revise '{earlier}'",
                things=things,
                one=successor[earlier],
                other=name,
                earlier=earlier,
            )
        successor[earlier] = name
    left = set(revises)
    for name, earlier in revises.items():
        if earlier is None:
            reached: str | None = name
            while reached is not None:
                left.discard(reached)
                reached = successor.get(reached)
    if left:
        raise refusal(
            "circle", "the {thing} '{name}' would revise itself", thing=thing, name=min(left)
        )
