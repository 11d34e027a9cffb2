"""Lines checked against each other: a datum stated twice, names without a number."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from evenbarrel.intake.extract import HARMLESS, Finding, Line, same_value
from evenbarrel.model.datum import data_of
from evenbarrel.model.datum_path import BarrelPath, UnitPath
from evenbarrel.model.offers.bid import Barrel, InjectionUnit
from evenbarrel.model.quantity import Quantity

_US = frozenset({"in", "in3", "psi", "in3/s", "lb", "lb/h", "in/s", "ft/min"})
"""Units that US offers alone print: a shot in ounces stands beside one in grams everywhere."""
_METRIC = frozenset({"mm", "cm", "cm3", "g", "bar", "MPa", "cm3/s"})
_US_WORDS = re.compile(r"(?<![^\W\d_])(?:psi|lbs?|cu\.? ?in|inch|in[³3]?)(?![^\W\d_])", re.I)
_NEARLY = 0.02
"""Two prints of one number in two units differ by no more than rounding [share]."""


def cross_checked(lines: Sequence[Line]) -> tuple[Line, ...]:
    """Return the lines, each datum once for a thing: repeats dropped, contradictions marked.

    A text that stands for several screws of one unit is one line of that unit. The name of a screw
    or a unit is as sure as the surest number below it. What a vague label or a sentence gives does
    not shake what is told explicitly. Tons among metric numbers alone are tonnes.
    """
    groups: dict[object, list[int]] = defaultdict(list)
    dropped: set[int] = set()
    changed = _with_tons(lines)
    for index, line in enumerate(lines):
        if line.thing is not None:
            groups[line.thing, line.field, line.part].append(index)
    for places in groups.values():
        if len(places) > 1:
            dropped |= _cross_check(changed, places)
    kept = [line for index, line in enumerate(changed) if index not in dropped]
    return tuple(_borne_out(kept))


def _with_tons(lines: Sequence[Line]) -> list[Line]:
    """Return the lines, `tons` as tonnes where nothing is printed in US units beside them."""
    if not any(_is_of_tons(line) for line in lines):
        return list(lines)
    others = [line for line in lines if isinstance(line.value, Quantity) and not _is_of_tons(line)]
    is_metric = any(line.value.unit in _METRIC for line in others) and not any(
        line.value.unit in _US or _US_WORDS.search(f"{line.text} {line.beside}") for line in others
    )
    return [
        replace(line, value=line.value.replace(unit="tf"))
        if is_metric and _is_of_tons(line) and line.value is not None
        else line
        for line in lines
    ]


def _is_of_tons(line: Line) -> bool:
    return any(one.code == "tons" for one in line.findings)


def _cross_check(lines: list[Line], places: list[int]) -> set[int]:
    """Mark what contradicts among lines of one datum; return the places of mere repeats."""
    stated = [index for index in places if lines[index].value is not None]
    dropped: set[int] = set()
    if not stated:
        first = lines[places[0]]
        return {i for i in places[1:] if lines[i].text == first.text}
    explicit = [index for index in stated if not _by_label_alone(lines[index])]
    stated = [*explicit, *(index for index in stated if index not in explicit)]
    first = lines[stated[0]]
    if all(_alike(first, lines[index]) for index in stated):
        for index in stated[1:]:
            if same_value(first.value, lines[index].value):
                dropped.add(index)
            else:
                lines[index] = _with(lines[index], Finding("stated_before", str(first.place)))
        return dropped
    agreed = bool(explicit) and all(_alike(first, lines[index]) for index in explicit)
    for index in stated[len(explicit) :] if agreed else stated:
        others = "; ".join(
            f"{lines[other].text} ({lines[other].place})" for other in stated if other != index
        )
        lines[index] = _with(lines[index], Finding("conflict", others[:300]))
    return dropped


def _by_label_alone(line: Line) -> bool:
    return any(one.code in ("label_alone", "in_a_sentence") for one in line.findings)


def _with(line: Line, finding: Finding) -> Line:
    return replace(line, findings=(*line.findings, finding))


def _alike(one: Line, other: Line) -> bool:
    if same_value(one.value, other.value):
        return True
    if not isinstance(one.value, Quantity) or not isinstance(other.value, Quantity):
        return False
    datum = data_of(InjectionUnit if isinstance(one.thing, UnitPath) else Barrel)[one.field]
    first, second = (q.si(datum.kind_of(q.unit)) for q in (one.value, other.value))
    different_units = one.value.unit != other.value.unit
    return different_units and abs(first - second) <= _NEARLY * abs(first)


def _borne_out(lines: Sequence[Line]) -> list[Line]:
    """Return the lines with names in doubt whose screw has no sure number."""
    sure = {line.thing for line in lines if line.sure and isinstance(line.value, Quantity)}
    units = {(thing.bid, thing.unit) for thing in sure if isinstance(thing, BarrelPath | UnitPath)}

    def stands(line: Line) -> bool:
        if isinstance(line.thing, UnitPath):
            return (line.thing.bid, line.thing.unit) in units
        return line.thing in sure

    return [
        _with(line, Finding("name_alone"))
        if line.field in ("label", "designation")
        and all(one.code in HARMLESS for one in line.findings)
        and not stands(line)
        else line
        for line in lines
    ]
