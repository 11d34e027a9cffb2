"""What changed between two states of an evaluation, in words: what it is of, old and new."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from pydantic import BaseModel

from evenbarrel.decision.standing_by.changed import Changed, Step
from evenbarrel.model.cost import Cost
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.offers.barrel import Barrel
from evenbarrel.model.offers.bid import Bid, InjectionUnit
from evenbarrel.model.resin import Resin
from evenbarrel.wording.sentences.deciding.decision import HALF_WIDTHS, limit_label
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import unnamed, unnamed_offer
from evenbarrel.wording.words.numbers import ABSENT, unit_text

MOST_LISTED = 8
"""Changes that are told; of more only their number."""

_NAMES = ("name", "supplier", "designation", "label")
_MODELS: Mapping[str, type[BaseModel]] = {
    "resins": Resin,
    "jobs": Job,
    "bids": Bid,
    "units": InjectionUnit,
    "barrels": Barrel,
    "cost": Cost,
}
_LONGEST = 60
_REFERS = frozenset(
    {"job", "jobs", "barrel", "barrels", "resin", "reference_resin", "plasticising_resin"}
) | {"common_resin"}
"""Fields that name another thing by its id: told by what that is called."""


def change_line(one: Changed, old: Mapping[str, Any], new: Mapping[str, Any]) -> str:
    """Return one change: "Clear sight bowl, part mass: 64 g → 71 g"; both states give the names."""
    where = _where(one.path, old, new)
    if one.noted_alone:
        return f"{where}: {value_words(one.new)}, source, standing or note changed"
    if one.old is None and isinstance(one.new, Mapping):
        return f"{where}: {_entry(one.new, 'new')}"
    if one.new is None and isinstance(one.old, Mapping):
        return f"{where}: {_entry(one.old, 'gone')}"
    values = [one.old, one.new]
    if any(step in _REFERS for step in one.path[-2:]):
        names = _names(old, new)
        values = [names.get(value, value) if isinstance(value, str) else value for value in values]
    return f"{where}: {value_words(values[0])} → {value_words(values[1])}"


def _names(old: Mapping[str, Any], new: Mapping[str, Any]) -> Mapping[str, str]:
    """Return what things of both states are called, by id; the newer counts."""
    names: dict[str, str] = {}
    for state in (old, new):
        for key, what in (("jobs", "Job"), ("resins", "Resin")):
            for place, one in enumerate(state.get(key, ()), 1):
                names[one["id"]] = one.get("name") or unnamed(what, place)
        for place, bid in enumerate(state.get("bids", ()), 1):
            by_place = unnamed_offer(bid.get("reference", ""), place)
            names[bid["id"]] = bid.get("supplier") or by_place
            for at, unit in enumerate(bid.get("units", ()), 1):
                of_unit = unit.get("designation") or f"Injection unit {at}"
                names[unit["id"]] = of_unit
                for nth, barrel in enumerate(unit.get("barrels", ()), 1):
                    screw = barrel.get("label") or f"Screw {nth}"
                    names[barrel["id"]] = f"{of_unit} {screw}"
    return names


def _entry(value: Mapping[str, Any], word: str) -> str:
    number = value_words(value)
    if number != "other entries":
        return f"{ABSENT} → {number}" if word == "new" else f"{number} → {ABSENT}"
    return word


def change_lines(
    changes: Sequence[Changed],
    old: Mapping[str, Any],
    new: Mapping[str, Any],
    most: int | None = MOST_LISTED,
) -> tuple[str, ...]:
    """Return the changes, one line each; beyond `most` only how many more there are."""
    lines = tuple(change_line(one, old, new) for one in changes[:most])
    rest = len(changes) - len(lines)
    return (*lines, f"and {rest} more") if rest else lines


def value_words(value: Any) -> str:
    """Return what stands in a field, short: numbers with their unit, texts cut."""
    if value in (None, "", [], {}):
        return ABSENT
    if isinstance(value, Mapping):
        if {"magnitude", "unit"} <= set(value):
            return f"{value['magnitude']} {unit_text(str(value['unit']))}".rstrip()
        if {"amount", "currency"} <= set(value):
            return f"{value['currency']} {value['amount']}"
        if set(value) <= {"value", "origin", "note"} and "value" in value:
            return value_words(value["value"])
        return "other entries"
    if isinstance(value, list):
        plain = all(isinstance(item, str | int | float) for item in value)
        return _cut(", ".join(map(str, value))) if plain else "other entries"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return _cut(str(value))


def _cut(text: str) -> str:
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"


def _where(path: tuple[Step, ...], old: Mapping[str, Any], new: Mapping[str, Any]) -> str:
    parts = [part for part in _parts(path, old, new) if part]
    return ", ".join(parts) or "evaluation"


def _parts(path: tuple[Step, ...], old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[str]:
    """Yield the names of things on the way, then the label of the field."""
    first = str(path[0])
    if first == "limits":
        yield f"limit: {limit_label(str(path[1])).lower()}" if len(path) > 1 else "limits"
        return
    if first == "uncertainty":
        name = str(path[1]) if len(path) > 1 else ""
        yield f"half-width: {HALF_WIDTHS.get(name, name).lower()}"
        yield from (labels.choice(str(step)) for step in path[2:])
        return
    model: type[BaseModel] = Evaluation
    before: Any = old
    after: Any = new
    within = ""
    for step in path:
        holder = after if _inside(after, step) is not None else before
        within = step if isinstance(step, str) and step in _UNNAMED else within
        before, after = _inside(before, step), _inside(after, step)
        thing = after if after is not None else before
        if isinstance(step, str) and step in _MODELS:
            model = _MODELS[step]
            if step != "cost":
                continue
            yield "cost"
        elif isinstance(step, int):
            yield f"no. {step + 1}"
        elif isinstance(thing, Mapping) and "id" in thing:
            named = (str(thing[name]) for name in _NAMES if thing.get(name))
            called = _names(old, new).get(thing["id"], "")
            yield next(named, None) or _unnamed(within, holder, thing) or called
        elif isinstance(step, str) and " " in step:
            # What tells an entry without an id of its own apart: a job and a barrel, say.
            names = _names(old, new)
            yield ", ".join(names.get(part, part.replace("_", " ")) for part in step.split(" "))
        else:
            yield _label(model, step)


_UNNAMED: Mapping[str, str] = {"units": "Injection unit", "barrels": "Screw"}
"""What a thing is called by its place that nobody gave a name, by the list it stands in."""


def _unnamed(within: str, holder: Sequence[Any], thing: Mapping[str, Any]) -> str:
    """Return what an unnamed thing of a unit is called within it; empty for any other."""
    called = _UNNAMED.get(within)
    return "" if called is None else f"{called} {holder.index(thing) + 1}"


def _inside(value: Any, step: Step) -> Any:
    if isinstance(value, Mapping):
        return value.get(step)
    if isinstance(value, list):
        if isinstance(step, int):
            return value[step] if step < len(value) else None
        named = (item for item in value if isinstance(item, Mapping) and item.get("id") == step)
        return next(named, None)
    return None


def _label(model: type[BaseModel], step: str) -> str:
    if step in model.model_fields:
        return labels.datum_of(model, step).lower()
    return step.replace("_", " ")
