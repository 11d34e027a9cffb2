"""An extract as it is printed: a line for each thing that was found."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from evenbarrel.intake.extract import Extract, Line
from evenbarrel.intake.in_words import LONGEST, ExtractNames
from evenbarrel.model.datum_path import BarrelPath, UnitPath
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.file_errors import one_line
from evenbarrel.wording.sentences.asking import extracts as words
from evenbarrel.wording.words.names import bid_called


def listing(evaluation: Evaluation, extract: Extract, source: str) -> str:
    """Return an extract as lines of text, and what may be taken of it unseen."""
    return "\n".join(_lines(evaluation, extract, source)) + "\n"


def _lines(evaluation: Evaluation, extract: Extract, source: str) -> Iterator[str]:
    names = ExtractNames(evaluation, extract)
    bid = next((one for one in evaluation.bids if one.id == extract.bid.bid), None)
    title = "" if bid is None else bid_called(evaluation, bid)
    yield words.extract_title(source, title, bid is None)
    rows = [_row(names, line) for line in extract.lines]
    widths = [max((len(row[i]) for row in rows), default=0) for i in range(4)]
    for row in rows:
        fixed = (text.ljust(width) for text, width in zip(row, widths, strict=False))
        yield "  ".join([*fixed, row[4]]).rstrip()
    yield _summary(extract, names)


def _summary(extract: Extract, names: ExtractNames) -> str:
    sure = extract.sure_lines()
    left = Counter(
        "unsure" if line.outcome == "fills" else line.outcome
        for index, line in enumerate(extract.lines)
        if index not in set(sure)
    )
    counts = [(words.LEFT[code], left[code]) for code in words.LEFT]
    taken = [extract.lines[index].thing for index in sure]
    new = [
        ("unit", len({unit for unit in map(_unit_of, taken) if unit and names.is_new(unit)})),
        ("screw", len({t for t in taken if isinstance(t, BarrelPath) and names.is_new(t)})),
    ]
    return words.taken_line(len(sure), counts, new)


def _row(names: ExtractNames, line: Line) -> tuple[str, str, str, str, str]:
    """Return mark, place, what it is, what was found, and what is to be said of it."""
    one = names.worded(line)
    named = f"{one.screw}: {one.datum}" if one.screw else one.datum
    shown = one.found if one.value in ("", one.found) else f"{one.found} → {one.value}"
    return words.MARKS[line.sure], one.place, one_line(named, LONGEST), shown, one.why


def _unit_of(thing: Any) -> UnitPath | None:
    return UnitPath(thing.bid, thing.unit) if isinstance(thing, UnitPath | BarrelPath) else None
