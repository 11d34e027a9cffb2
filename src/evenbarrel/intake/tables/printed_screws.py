"""The screws that tables print: a column of each, those of one name in several tables joined."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from evenbarrel.entry.number import DIAMETER_MARKS
from evenbarrel.intake.extract import FoundAt
from evenbarrel.intake.keys import DESIGNATION, DIAMETER, LABEL, STROKE, DatumKey
from evenbarrel.intake.screws import SAME_DIAMETER, Column
from evenbarrel.intake.tables.cells import Cell
from evenbarrel.intake.tables.labels import (
    LONGEST_NAME,
    bare_name,
    is_like_a_name,
    names_a_screw,
    once,
    unit_named,
)
from evenbarrel.intake.tables.layout import Block, LabelledRow
from evenbarrel.intake.tables.several import label_and_rest
from evenbarrel.intake.tables.synonyms import squeezed, synonyms
from evenbarrel.model.datum_path import BarrelPath, ThingPath
from evenbarrel.model.quantity import Quantity

_NUMBER = re.compile(r"[0-9][0-9.,' ]*")
_SHORT_NAME = 3
"""Letters of a screw's name without a number, as A or III; what is longer may be any word."""
_STANDARD = frozenset({"standard", "standardschnecke", "serie", "visstandard", "estandar"})
_ONE_FOR_ALL = frozenset(
    {
        *("stroke", "ring_kind", "screw_speed", "screw_speed_max", "screw_torque"),
        *("injection_speed", "system_pressure", "barrel_package", "screw_package"),
    }
)
"""What a table often prints once for all the screws of a unit."""
_AMOUNT = re.compile(r"[€£$]|[0-9][.,' ][0-9]{3}[.,][0-9]{2}$|^[A-Z]{3} ?[0-9]")
_NOT_WHOLE = frozenset({"set_together", "cut_off"})
# What a worksheet is called that nobody named, and a table that is but counted, in five languages.
_NAMED_BY_NOBODY = re.compile(
    r"(?:sheet|table|tabelle|blatt|feuil|feuille|foglio|hoja) ?[0-9]+", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class PrintedScrew:
    """A column of a block: its place among the row's values, and what names it.

    One that `is_unit` holds data of an injection unit and none of a screw. One that `is_doubtful`
    may be another: more than its name stands where it is named, or names stand beside numbers.
    `printed` is what stands in it, by datum, and `stroke` its stroke [m]. It `names_unit` where its
    own table does; `unit_title` is the title that its unit is called by where nothing names it.
    """

    index: int
    column: Column
    label: Cell | None
    certain_name: bool
    is_unit: bool = False
    is_doubtful: bool = False
    printed: tuple[tuple[DatumKey, str], ...] = ()
    stroke: float | None = None
    sheet: str = ""
    names_unit: bool = False
    unit_title: Cell | None = None


Lengths = Callable[[DatumKey, LabelledRow, int], Quantity | None]
"""Reads a length in one cell of a row."""


def screws_of(blocks: Sequence[Block], length: Lengths) -> list[list[PrintedScrew]]:
    """Return the screws of each block; the only unit that is named is that of all of them.

    Of several units one named above, with data of its own alone, is that of the screws below it; so
    is the one whose name is the title that they stand under.
    """
    every = [_in_block(block, length) for block in blocks]
    named = {squeezed(name): name for screws in every for one in screws if (name := _unit(one))}
    for screws, block in zip(every, blocks, strict=True):
        title = title_of(block)
        name = "" if title is None else named.get(squeezed(title.text), "")
        if name and not any(map(_unit, screws)):
            screws[:] = [replace(_within(one, name, False), names_unit=True) for one in screws]
    only = next(iter(named.values())) if len(named) == 1 else ""
    carried, is_first = "", True
    for at, screws in enumerate(every):
        own = [_unit(one) for one in screws if _unit(one)]
        of_unit = bool(screws) and all(one.is_unit for one in screws)
        # Of several units any may be meant, but by the first screws below the one that is named.
        unsure = len(named) > 1 and (of_unit or not is_first)
        every[at] = [one if _unit(one) else _within(one, only or carried, unsure) for one in screws]
        if own:
            carried = own[0] if len({*own}) == 1 and of_unit else ""
        is_first = bool(own) and of_unit
    return every


def joined(every: Sequence[Sequence[PrintedScrew]]) -> list[list[int]]:
    """Return for each screw of each block its number; columns of one screw have one number.

    They are one where they are called the same in the same unit, in different blocks, and no two
    diameters contradict that; so are columns of data of one unit.
    """
    numbers: list[list[int]] = []
    known: list[tuple[PrintedScrew, int]] = []
    count = 0
    for screws in every:
        numbers.append([])
        before = list(known)
        for one in screws:
            same = next((number for other, number in before if are_one(one, other)), None)
            number = count if same is None else same
            count += same is None
            numbers[-1].append(number)
            known.append((one, number))
    return numbers


def columns_of(
    every: Sequence[Sequence[PrintedScrew]], numbers: Sequence[Sequence[int]]
) -> list[Column]:
    """Return the screws by their numbers, each with the diameter that any of its columns has."""
    columns: dict[int, Column] = {}
    for screws, own in zip(every, numbers, strict=True):
        for one, number in zip(screws, own, strict=True):
            kept = columns.setdefault(number, one.column)
            if kept.diameter is None:
                columns[number] = replace(kept, diameter=one.column.diameter)
    return [columns[number] for number in sorted(columns)]


def head_of(block: Block) -> LabelledRow | None:
    """Return the row that names the screws: one labelled so, else the last without a label above.

    None where nothing names them.
    """
    named = next((row for row in block if row.key == LABEL and row.reading.exact), None)
    if named is not None:
        return named
    head = None
    for row in block:
        if not row.is_name and row.key is not None and row.key.owner != "bid":
            break
        said = synonyms().columns["value"]
        words = [c.text for c in row.values if c.text and squeezed(c.text) not in said]
        is_name = row.key is None and not row.reading.beside and not any(map(_is_no_name, words))
        if is_name and words and max(map(len, words)) <= LONGEST_NAME:
            head = row
    return head


def _is_no_name(text: str) -> bool:
    """Say whether a text is an amount, or a label with what it labels, and so no screw's name."""
    return _AMOUNT.search(text) is not None or label_and_rest(text) is not None


def _in_block(block: Block, length: Lengths) -> list[PrintedScrew]:
    measured = [row for row in block if not row.is_name and row.key and row.key.owner != "bid"]
    width = len(block[0].values) if block else 0
    used = [i for i in range(width) if any(row.values[i].text for row in measured)]
    head = head_of(block)
    units = next((row for row in block if row.key == DESIGNATION and row.reading.exact), None)
    if not used and units is not None:
        used = [i for i, cell in enumerate(units.values) if cell.text]
    titled = "" if head is None else unit_named(head.label.text)
    of_screws = [row for row in measured if row.key and row.key.owner == "barrel"]
    is_unit = not of_screws and (head is None or head.key != LABEL)
    if head is not None and head.key != LABEL:
        # Words that nobody knows, over some of the columns alone, are names of none.
        head = head if all(head.values[index].text for index in used) else None
    head = None if is_unit else head
    read, forward = (_lengths(block, key, used, length) for key in (DIAMETER, STROKE))
    doubtful = head is not None and (
        _is_askew(head, used) or _are_numbers(head, read) or _are_words(head, used)
    )
    doubtful = doubtful or _is_uneven(units)
    return [
        PrintedScrew(
            index,
            Column(
                _carried(units, index) or titled,
                "" if head is None else bare_name(head.values[index].text),
                read[index],
            ),
            None if head is None else head.values[index],
            head is not None and head.key == LABEL,
            is_unit,
            doubtful
            or (head is not None and not _NOT_WHOLE.isdisjoint(head.values[index].noticed)),
            tuple((row.key, row.values[index].text) for row in of_screws if row.key),
            None if (stroke := forward[index]) is None else stroke.si("length"),
            block[0].label.place.sheet,
            bool(_carried(units, index) or titled),
        )
        for index in used
    ]


def _lengths(
    block: Block, key: DatumKey, used: Sequence[int], length: Lengths
) -> dict[int, Quantity | None]:
    """Return a length of each screw by its column; None where the block does not print it."""
    row = next((row for row in block if row.key == key), None)
    return {index: None if row is None else length(key, row, index) for index in used}


def _are_numbers(head: LabelledRow, read: Mapping[int, Quantity | None]) -> bool:
    """Say whether names are numbers of something that nobody knows, and not the diameters."""
    if head.key == LABEL:
        return False
    numbers = {
        index: _NUMBER.match(head.values[index].text.lstrip(DIAMETER_MARKS)) for index in read
    }
    sizes = {index: None if size is None else size.magnitude for index, size in read.items()}
    return any(
        found is not None and (sizes[index] is None or float(sizes[index] or 0) != _float(found[0]))
        for index, found in numbers.items()
    )


def _are_words(head: LabelledRow, used: Sequence[int]) -> bool:
    """Say whether names are words that nobody knows: `Required | Offered` are of one screw."""
    names = [head.values[index].text for index in used]
    return head.key != LABEL and len(names) > 1 and any(map(_is_any_word, names))


def _is_any_word(name: str) -> bool:
    """Say whether a name may be any word: it is none of a screw, and neither short nor a number."""
    word = squeezed(name)
    if word in synonyms().columns["value"]:
        return True
    is_known = word in _STANDARD or names_a_screw(name)
    return len(name) > _SHORT_NAME and not is_known and not any(c.isdigit() for c in name)


def _float(text: str) -> float | None:
    try:
        return float(text.strip(" '").replace(",", "."))
    except ValueError:
        return None


def _is_askew(head: LabelledRow, used: Sequence[int]) -> bool:
    """Say whether names stand over no numbers where numbers have no name: in other columns."""
    named = {index for index, cell in enumerate(head.values) if cell.text}
    elsewhere = bool(named - {*used}) or bool(head.others)
    return elsewhere and bool({*used} - named)


def _unit(one: PrintedScrew) -> str:
    return one.column.designation


def _within(one: PrintedScrew, unit: str, unsure: bool) -> PrintedScrew:
    column = replace(one.column, designation=unit)
    return replace(one, column=column, is_doubtful=one.is_doubtful or unsure)


def are_one(one: PrintedScrew, other: PrintedScrew) -> bool:
    """Say whether two columns of different tables are one screw, or of one unit."""
    if squeezed(_unit(one)) != squeezed(_unit(other)):
        return False
    if one.column.unit_number != other.column.unit_number:
        return False
    if one.is_unit or other.is_unit:
        return one.is_unit and other.is_unit
    names = {squeezed(part.column.label) for part in (one, other)}
    sizes = [part.column.diameter for part in (one, other)]
    alike = len(names) == 1 and "" not in names and not _contradict(sizes)
    return alike and not _say_otherwise(one, other)


def _say_otherwise(one: PrintedScrew, other: PrintedScrew) -> bool:
    """Say whether two columns print other numbers for one datum: those of screws of two units."""
    sizes = [part.column.diameter for part in (one, other)]
    if None not in sizes and len({size.unit for size in sizes if size is not None}) > 1:
        # Of one diameter in two units, so are the other numbers.
        return False
    known = dict(other.printed)
    numbers = (
        (_NUMBER.search(text), _NUMBER.search(known.get(key, ""))) for key, text in one.printed
    )
    return any(mine and theirs and mine[0] != theirs[0] for mine, theirs in numbers)


def _contradict(sizes: Sequence[Quantity | None]) -> bool:
    known = list(_in_metres(sizes))
    return len(known) > 1 and max(known) - min(known) > SAME_DIAMETER


def _in_metres(sizes: Sequence[Quantity | None]) -> Iterator[float]:
    for size in sizes:
        if size is not None:
            yield size.si("length")


def _carried(row: LabelledRow | None, index: int) -> str:
    """Return a unit's designation, carried on over the screws behind it that have none.

    The only one is that of every screw, wherever it is printed; of several that stand over as many
    screws each, as in the middle of them, each is that of its own.
    """
    if row is None:
        return ""
    filled = [at for at, cell in enumerate(row.values) if cell.text]
    if len(filled) == 1:
        return row.values[filled[0]].text
    each = _screws_each(row)
    if each:
        return row.values[filled[index // each]].text
    before = [row.values[at].text for at in filled if at <= index]
    return before[-1] if before else ""


def _screws_each(row: LabelledRow) -> int:
    """Return over how many screws each name of a unit stands, all alike; 0 where they do not."""
    filled = [at for at, cell in enumerate(row.values) if cell.text]
    each, rest = divmod(len(row.values), max(1, len(filled)))
    places = [divmod(at, each) for at in filled]
    is_even = [group for group, _ in places] == list(range(len(filled)))
    return each if places and not rest and is_even and len({at for _, at in places}) == 1 else 0


def _is_uneven(row: LabelledRow | None) -> bool:
    """Say whether it is not clear which screws names of units stand over.

    On a page a name may begin over the first of its screws, or stand in the middle of them.
    """
    if row is None or _screws_each(row):
        return False
    filled = [at for at, cell in enumerate(row.values) if cell.text]
    on_page = any(cell.place.box is not None for cell in row.values)
    has_blanks = len(filled) < len(row.values)
    return len(filled) > 1 and (filled[0] > 0 or (on_page and has_blanks))


def title_of(block: Block) -> Cell | None:
    """Return what stands above a table or on its worksheet and is like the name of a machine."""
    sheet = block[0].label.place.sheet if block else ""
    titles = [Cell(sheet, FoundAt(1, 0, sheet)), *_alone_above(block)]
    named = [
        cell
        for cell in titles
        if is_like_a_name(cell.text) and not _NAMED_BY_NOBODY.fullmatch(cell.text)
    ]
    return replace(named[-1], text=once(named[-1].text)) if named else None


def _alone_above(block: Block) -> Iterator[Cell]:
    """Yield what stands alone in its row above the data, the nearest last."""
    for row in block:
        if row.key is not None and not row.is_name and row.key.owner != "bid":
            return
        filled = {cell.place: cell for cell in (row.label, *row.values, *row.others) if cell.text}
        if len(filled) == 1 and row.key is None:
            yield from filled.values()


def only_value(
    row: LabelledRow,
    key: DatumKey,
    index: int,
    things: Sequence[tuple[int, ThingPath]],
) -> int | None:
    """Return where the one value stands that is printed once for all screws, or those of a unit."""
    if key.field not in _ONE_FOR_ALL:
        return None
    filled = [at for at, cell in enumerate(row.values) if cell.text]
    if len(filled) == 1:
        return filled[0]
    units = {at: (t.unit if isinstance(t, BarrelPath) else None) for at, t in things}
    own = [at for at in filled if at in units and units[at] == units[index]]
    # On a page it stands in the middle of those it is printed for, else over the first of them.
    on_page = bool(own) and row.values[own[0]].place.box is not None
    return own[0] if len(own) == 1 and (on_page or own[0] < index) else None
