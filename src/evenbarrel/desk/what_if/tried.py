"""What a what-if may change, by the names people look for, and what is tried of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from pydantic import BaseModel

from evenbarrel.entry import settings
from evenbarrel.entry.shapes import Context, Shape, shapes_of, written
from evenbarrel.model import datum_path as edits
from evenbarrel.model.cost import Cost
from evenbarrel.model.datum import Datum
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.offers.barrel import Barrel
from evenbarrel.model.offers.bid import Bid, InjectionUnit
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.model.resin import OutputFactors, Resin
from evenbarrel.model.settings import HalfWidthKey, LimitKey, SettingKey, put_settings, value_of
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.sentences.deciding.what_if import TriedLine
from evenbarrel.wording.words.names import bid_called, names_of_resins, screw_called, unit_called
from evenbarrel.wording.words.numbers import money

_COUNTED = frozenset({"quantity", "money", "choice", "integer", "share", "resin"})
_NOT_TRIED = frozenset({"turnovers"})
"""A plain number that a share's line would misread."""
_FIRST: Mapping[type[BaseModel], tuple[str, ...]] = {
    Job: ("cycle_time", "cavities", "part_mass", "runner_mass", "runner_kind", "resin"),
    Barrel: ("barrel_package", "screw_package", "price_difference"),
    InjectionUnit: ("price",),
}
"""What a buyer asks for first."""
_COST = (
    Shape("horizon_years", "integer", Datum("Horizon", "Years counted"), (), 1, 60),
    Shape("discount_rate", "share", Datum("Discount rate", "A year")),
    Shape("machine_hour_rate", "money", Datum("Machine hour rate", "Of an occupied hour")),
    Shape("tariff", "money", Datum("Tariff", "Of energy, per kWh")),
)
_OF_COST = "cost over life"
_OF_LIMIT, _OF_HALF_WIDTH = "limit", "half-width"


@dataclass(frozen=True)
class Tryable:
    """One datum that may be tried: where it stands, what it is called, and what it is of.

    `shape` is None for a limit or a half-width, which a line of its own reads.
    """

    path: edits.Path
    label: str
    of: str
    shape: Shape | None = None

    @property
    def name(self) -> str:
        """Return the datum and what it is of: "Cycle time, 3 Lid"."""
        return f"{self.label}, {self.of}"

    @property
    def setting(self) -> settings.Setting:
        """Return the limit or half-width that it is; raises KeyError for other data."""
        kinds: Mapping[str, type[LimitKey] | type[HalfWidthKey]]
        kinds = {"limits": LimitKey, "uncertainty": HalfWidthKey}
        return settings.Setting(kinds[self.path[0]](*self.path[1:]), self.label)


def tryables(
    evaluation: Evaluation, barrel: str | None = None, job: str | None = None
) -> tuple[Tryable, ...]:
    """Return every datum that counts, those of the barrel and the job that are chosen first."""
    near = _near(evaluation, barrel, job)

    def place(one: Tryable) -> int:
        # Of a thing with parts its own data alone: a unit is near, its other screws are not.
        owner = one.path[:-1]
        if owner in near:
            return near.index(owner)
        return len(near) + (one.path[0] not in ("jobs", "limits"))

    return tuple(sorted(_all(evaluation), key=place))


def _near(evaluation: Evaluation, barrel: str | None, job: str | None) -> list[edits.Path]:
    """Return where what is chosen stands: the job, its resin, the barrel, its unit, its bid."""
    near: list[edits.Path] = []
    if job is not None:
        resin = evaluation.job(job).resin or ""
        near += [("jobs", job), ("resins", resin), ("resins", resin, "output_factors")]
    if barrel is not None:
        bid, unit, _ = evaluation.place(barrel)
        of_unit = ("bids", bid.id, "units", unit.id)
        near += [(*of_unit, "barrels", barrel), of_unit, ("bids", bid.id)]
    return near


def _all(evaluation: Evaluation) -> Iterator[Tryable]:
    for number, job in enumerate(evaluation.jobs, start=1):
        yield from _data(Job, ("jobs", job.id), f"{number} {job.name}".strip())
    for called, offered in (
        (_OF_LIMIT, settings.limits()),
        (_OF_HALF_WIDTH, settings.half_widths()),
    ):
        for one in offered:
            yield Tryable(one.key.path, one.label, called)
    for bid in evaluation.counting_bids:
        supplier = bid_called(evaluation, bid)
        yield from _data(Bid, ("bids", bid.id), supplier)
        for unit in bid.units:
            path = ("bids", bid.id, "units", unit.id)
            called = f"{supplier}, {unit_called(bid, unit)}"
            yield from _data(InjectionUnit, path, called)
            for barrel in unit.barrels:
                screw = f"{called} {screw_called(unit, barrel)}"
                yield from _data(Barrel, (*path, "barrels", barrel.id), screw)
    for name, resin in names_of_resins(evaluation).items():
        yield from _data(Resin, ("resins", name), resin)
        yield from _data(OutputFactors, ("resins", name, "output_factors"), resin)
    yield from _data(Cost, ("cost",), _OF_COST)
    for shape in _COST:
        yield Tryable(("cost", shape.name), shape.datum.label, _OF_COST, shape)


def _data(model: type[BaseModel], path: edits.Path, of: str) -> Iterator[Tryable]:
    first = _FIRST.get(model, ())
    shapes = shapes_of(model)
    for name in dict.fromkeys((*first, *shapes)):
        shape = shapes[name]
        if shape.kind in _COUNTED and name not in _NOT_TRIED:
            yield Tryable((*path, name), shape.datum.label, of, shape)


def found(text: str, offered: Sequence[Tryable]) -> list[Tryable]:
    """Return what is called so: every word that is typed stands in its name, best first.

    A label that is what was typed goes before one that begins so, and that before the rest.
    """
    said = " ".join(text.split()).casefold()
    words = said.split()
    fits = [one for one in offered if all(word in one.name.casefold() for word in words)]

    def fit(one: Tryable) -> int:
        label = one.label.casefold()
        if label == said:
            return 0
        return 1 if label.startswith(said) else 2 if words and words[0] in label else 3

    return sorted(fits, key=fit)


def value_at(evaluation: Evaluation, one: Tryable) -> Any:
    """Return what stands entered; raises KeyError where it is gone."""
    if one.shape is None:
        return value_of(evaluation, one.setting.key)
    return edits.get(evaluation, one.path)


def text_at(one: Tryable, value: Any, context: Context) -> str:
    """Return a value in words."""
    if one.shape is None:
        return settings.text_of(one.setting.key, value)
    if isinstance(value, Money):
        return money(value)
    return written(one.shape, value, context) or pages.NOT_STATED


def as_tried(value: Any, entered: Any) -> Any:
    """Return a number that nobody quoted: it does not take over the source of what is entered.

    A source that the person typed with it stays.
    """
    if not isinstance(value, Quantity | Money) or value == entered:
        return value
    if isinstance(entered, Quantity | Money) and value.source == entered.source:
        value = value.replace(source="", place=None)
    return value if value.source else value.replace(standing="assumed", place=None)


@dataclass
class Trial:
    """What is tried, each datum by its place, what was tried last at the end.

    What is once gone from the evaluation is not tried again: another thing may get its id.
    """

    values: dict[edits.Path, tuple[Tryable, Any]] = field(default_factory=dict)
    gone: set[edits.Path] = field(default_factory=set)

    def put(self, one: Tryable, value: Any, evaluation: Evaluation) -> None:
        """Try a value; what is entered already is not tried. A datum that was gone begins anew."""
        self.take_back(one.path)
        if value != value_at(evaluation, one):
            self.values[one.path] = one, value

    def take_back(self, path: edits.Path) -> None:
        """Try a datum no longer."""
        self.values.pop(path, None)
        self.gone.discard(path)

    def clear(self) -> None:
        """Try nothing."""
        self.values.clear()
        self.gone.clear()

    def present(self, one: Tryable, evaluation: Evaluation) -> Any:
        """Return what is tried of a datum, or else what is entered."""
        if one.path in self.values and one.path not in self.gone:
            return self.values[one.path][1]
        return value_at(evaluation, one)

    @property
    def tried(self) -> tuple[tuple[Tryable, Any], ...]:
        """What is tried and there, each with its value."""
        return tuple(pair for path, pair in self.values.items() if path not in self.gone)

    def follow(self, evaluation: Evaluation, known: Mapping[edits.Path, Tryable]) -> None:
        """Notice what is gone or called otherwise, and drop what is entered as it was tried."""
        for one, value in self.tried:
            if one.path not in known:
                self.gone.add(one.path)
            elif value_at(evaluation, one) == value:
                self.take_back(one.path)
            else:
                self.values[one.path] = known[one.path], value

    def applied(self, evaluation: Evaluation) -> Evaluation:
        """Return the copy with everything tried; raises pydantic.ValidationError."""
        judged_by: dict[SettingKey, Any] = {}
        for one, value in self.tried:
            if one.shape is None:
                judged_by[one.setting.key] = value
            else:
                evaluation = edits.put(evaluation, one.path, value)
        # At once: two limits may fit each other that do not fit what stands there now.
        return put_settings(evaluation, judged_by, {}) if judged_by else evaluation

    def lines(self, evaluation: Evaluation, context: Context) -> tuple[TriedLine, ...]:
        """Return each thing tried in words, in the order it was tried."""
        return tuple(
            TriedLine(one.name, "", "", gone=True)
            if one.path in self.gone
            else TriedLine(
                one.name,
                text_at(one, value_at(evaluation, one), context),
                text_at(one, value, context),
            )
            for one, value in self.values.values()
        )


def with_routes(one: Tryable, routes: Sequence[str]) -> Shape | None:
    """Return the shape of a datum; a route is one of those that give the resin a factor."""
    if one.shape is None or one.path[-1] != "output_factor_route":
        return one.shape
    return replace(one.shape, choices=tuple(routes))
