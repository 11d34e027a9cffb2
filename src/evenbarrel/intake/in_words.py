"""An extract in words: what its screws are called, and each line as people read it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from evenbarrel.entry.shapes import SCOPE_LINE, Context, Shape, shapes_of, written
from evenbarrel.intake.extract import Extract, Line
from evenbarrel.intake.keys import MODELS, Owner
from evenbarrel.intake.sources import context_of
from evenbarrel.model import datum_path as edits
from evenbarrel.model.datum_path import BarrelPath, BidPath, UnitPath
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel, InjectionUnit
from evenbarrel.model.offers.terms import ScopeLine
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.model.resin import Resin
from evenbarrel.storage.file_errors import one_line
from evenbarrel.wording.sentences.asking import extracts as words
from evenbarrel.wording.words import labels

LONGEST = 60
"""Characters of one column."""


@dataclass(frozen=True, slots=True)
class WordedLine:
    """One line of an extract as people read it; `screw` is "" for what is of the offer itself.

    `findings` say why it is not sure, or what else was noticed; `now` is what stands there.
    """

    place: str
    found: str
    datum: str
    screw: str
    value: str
    now: str
    outcome: str
    findings: tuple[str, ...]

    @property
    def why(self) -> str:
        """What taking it would do, and what was noticed."""
        return "; ".join((self.outcome, *self.findings))


def context_for(evaluation: Evaluation, extract: Extract) -> Context:
    """Return what reading needs to know for an extract: the resins that it adds are known too."""
    bid = next((one for one in evaluation.bids if one.id == extract.bid.bid), None)
    added = (line.value for line in extract.lines if isinstance(line.value, Resin))
    context = context_of(evaluation, bid)
    known = dict(context.resins) | {
        one.id: one.name for one in added if one.id not in context.resins
    }
    table = {key: name for key, name in context.table.items() if key not in known}
    return replace(context, resins=known, table=table)


class ExtractNames:
    """What things are called, new ones by what the extract itself calls them."""

    def __init__(self, evaluation: Evaluation, extract: Extract) -> None:
        self._evaluation = evaluation
        self._context = context_for(evaluation, extract)
        self._said = {
            line.thing: str(line.value)
            for line in extract.lines
            if line.field in ("label", "designation") and line.value
        }
        things = (line.thing for line in extract.lines)
        barrels = dict.fromkeys(thing for thing in things if isinstance(thing, BarrelPath))
        self._order = {barrel: number for number, barrel in enumerate(barrels, 1)}
        self._by_id: Mapping[str, BarrelPath] = {barrel.barrel: barrel for barrel in barrels}

    def is_new(self, thing: Any) -> bool:
        """Say whether a thing is not in the evaluation yet."""
        try:
            edits.get(self._evaluation, thing.path)
        except KeyError:
            return True
        return False

    def of(self, thing: Any) -> str:
        """Return what a thing is called; "" for a bid, which the title names."""
        if isinstance(thing, BarrelPath):
            unit = self.of(UnitPath(thing.bid, thing.unit))
            label = self._own(thing) or words.numbered_screw(self._order.get(thing, 1))
            return f"{unit} {label}".strip()
        return self._own(thing) if isinstance(thing, UnitPath) else ""

    def worded(self, line: Line) -> WordedLine:
        """Return a line in words."""
        value, now = self._written(line, line.value), self._written(line, line.now)
        return WordedLine(
            str(line.place),
            one_line(line.text, LONGEST),
            _label(line),
            self.of(line.thing),
            value,
            now,
            words.outcome_text(line.outcome, now),
            tuple(words.finding_text(one.code, one_line(one.detail, 120)) for one in line.findings),
        )

    def _own(self, thing: BarrelPath | UnitPath) -> str:
        if not self.is_new(thing):
            found = edits.get(self._evaluation, thing.path)
            name = found.label if isinstance(found, Barrel) else _designation(found)
            if name:
                return one_line(name)
        return one_line(self._said.get(thing, ""))

    def _written(self, line: Line, value: Any) -> str:
        if value in (None, "", ()):
            return ""
        if isinstance(value, ScopeLine):
            amount = (
                "" if value.amount is None else f" {value.amount.amount} {value.amount.currency}"
            )
            return labels.choice(value.state) + amount
        if line.field in ("standard_barrel", "revises") and str(value) in self._by_id:
            return self.of(self._by_id[str(value)])
        shape = shape_of(line)
        return "" if shape is None else one_line(written(shape, value, self._context), LONGEST)


def owner_of(thing: Any) -> Owner | None:
    """Return what kind of thing a datum of it belongs to: bid, unit or barrel; None for others."""
    if isinstance(thing, BarrelPath):
        return "barrel"
    if isinstance(thing, UnitPath):
        return "unit"
    return "bid" if isinstance(thing, BidPath) else None


def shape_of(line: Line) -> Shape | None:
    """Return what can stand where a line goes; None where it goes nowhere, or has no shape."""
    if line.field == "scope":
        return SCOPE_LINE
    owner = owner_of(line.thing)
    return None if owner is None else shapes_of(MODELS[owner]).get(line.field)


def is_measured(line: Line) -> bool:
    """Say whether a line holds a number or an amount of money."""
    return isinstance(line.value, Quantity | Money)


def _designation(thing: Any) -> str:
    return thing.designation if isinstance(thing, InjectionUnit) else ""


def _label(line: Line) -> str:
    shape = shape_of(line)
    if line.part and line.field == "scope":
        return line.part
    return line.label or "?" if shape is None else shape.datum.label
