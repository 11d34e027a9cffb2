"""A proposal as it is printed: a line for each thing that was found."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from evenbarrel.entry.shapes import Context, Shape, shapes_of, written
from evenbarrel.intake.keys import MODELS, Owner
from evenbarrel.intake.proposal import Line, Proposal
from evenbarrel.intake.sources import context_of
from evenbarrel.model import datum_path as edits
from evenbarrel.model.bid import Barrel, InjectionUnit
from evenbarrel.model.datum_path import BarrelPath, BidPath, UnitPath
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.terms import ScopeLine
from evenbarrel.storage.file_errors import one_line
from evenbarrel.wording.sentences.asking import collecting as words
from evenbarrel.wording.words import labels

_LONGEST = 60
"""Characters of one column."""


def proposal_text(evaluation: Evaluation, proposal: Proposal, source: str) -> str:
    """Return a proposal as lines of text, and what may be taken of it unseen."""
    return "\n".join(_lines(evaluation, proposal, source)) + "\n"


def _lines(evaluation: Evaluation, proposal: Proposal, source: str) -> Iterator[str]:
    names = _Names(evaluation, proposal)
    bid = next((one for one in evaluation.bids if one.id == proposal.bid.bid), None)
    title = "" if bid is None else bid.supplier or bid.id
    yield words.proposal_title(source, title, bid is None)
    rows = [names.row(line) for line in proposal.lines]
    widths = [max((len(row[i]) for row in rows), default=0) for i in range(4)]
    for row in rows:
        fixed = (text.ljust(width) for text, width in zip(row, widths, strict=False))
        yield "  ".join([*fixed, row[4]]).rstrip()
    yield _summary(proposal, names)


def _summary(proposal: Proposal, names: _Names) -> str:
    sure = proposal.sure_lines()
    left = Counter(
        "unsure" if line.outcome == "fills" else line.outcome
        for index, line in enumerate(proposal.lines)
        if index not in set(sure)
    )
    counts = [(words.LEFT[code], left[code]) for code in words.LEFT]
    taken = [proposal.lines[index].thing for index in sure]
    new = [
        ("unit", len({unit for unit in map(_unit_of, taken) if unit and names.is_new(unit)})),
        ("screw", len({t for t in taken if isinstance(t, BarrelPath) and names.is_new(t)})),
    ]
    return words.taken_line(len(sure), counts, new)


class _Names:
    """What things are called, new ones by what the proposal itself calls them."""

    def __init__(self, evaluation: Evaluation, proposal: Proposal) -> None:
        self._evaluation = evaluation
        self._context: Context = context_of(evaluation)
        self._said = {
            line.thing: str(line.value)
            for line in proposal.lines
            if line.field in ("label", "designation") and line.value
        }
        things = (line.thing for line in proposal.lines)
        barrels = dict.fromkeys(thing for thing in things if isinstance(thing, BarrelPath))
        self._order = {barrel: number for number, barrel in enumerate(barrels, 1)}

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

    def _own(self, thing: BarrelPath | UnitPath) -> str:
        if not self.is_new(thing):
            found = edits.get(self._evaluation, thing.path)
            name = found.label if isinstance(found, Barrel) else _designation(found)
            if name:
                return one_line(name)
        return one_line(self._said.get(thing, ""))

    def row(self, line: Line) -> tuple[str, str, str, str, str]:
        """Return mark, place, what it is, what was found, and what is to be said of it."""
        of = self.of(line.thing)
        what = _label(line)
        named = f"{of}: {what}" if of else what
        found = one_line(line.text, _LONGEST)
        value = self._written(line, line.value)
        shown = found if value in ("", found) else f"{found} → {value}"
        outcome = words.outcome_text(line.outcome, self._written(line, line.now))
        findings = [
            words.finding_text(one.code, one_line(one.detail, 120)) for one in line.findings
        ]
        mark = words.MARKS[line.sure]
        return (
            mark,
            str(line.place),
            one_line(named, _LONGEST),
            shown,
            "; ".join([outcome, *findings]),
        )

    def _written(self, line: Line, value: Any) -> str:
        if value in (None, "", ()):
            return ""
        if isinstance(value, ScopeLine):
            amount = (
                "" if value.amount is None else f" {value.amount.amount} {value.amount.currency}"
            )
            return labels.choice(value.state) + amount
        shape = _shape(line)
        text = str(value) if shape is None else written(shape, value, self._context)
        return one_line(text, _LONGEST) if shape is not None else ""


def _unit_of(thing: Any) -> UnitPath | None:
    return UnitPath(thing.bid, thing.unit) if isinstance(thing, UnitPath | BarrelPath) else None


def _designation(thing: Any) -> str:
    return thing.designation if isinstance(thing, InjectionUnit) else ""


def _owner(line: Line) -> Owner | None:
    if isinstance(line.thing, BarrelPath):
        return "barrel"
    if isinstance(line.thing, UnitPath):
        return "unit"
    return "bid" if isinstance(line.thing, BidPath) else None


def _shape(line: Line) -> Shape | None:
    owner = _owner(line)
    return None if owner is None else shapes_of(MODELS[owner]).get(line.field)


def _label(line: Line) -> str:
    shape = _shape(line)
    if line.part:
        return line.part
    return line.label or "?" if shape is None else shape.datum.label
