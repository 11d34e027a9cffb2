"""Texts that go on in lines below, where their column gave way."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtGui import QFontMetrics

from evenbarrel.desk.style.plain import cut_short
from evenbarrel.wording.sheets.sheet import Sheet
from evenbarrel.wording.words.lines import NO_BREAK, with_units_kept, with_whole_parts

_MOST_LINES, _SHORT = 4, 8
"""A text that needs more lines is cut, a tip tells it: in the last of them in a table of so few
rows, else on one line, as rows are to stay low."""

Lines = tuple[str, ...]


def broken_cells(
    sheet: Sheet, rooms: Mapping[int, int], beside_mark: int, metrics: QFontMetrics
) -> dict[tuple[int, int], Lines]:
    """Return the lines of each text that has no room on one, by its row and column.

    `rooms` holds how wide the columns that gave way are [px]; a state's mark takes `beside_mark`.
    """
    found: dict[tuple[int, int], Lines] = {}
    if not rooms:
        # Rows that nobody looked at yet are not made for it.
        return found
    for row, cells in enumerate(sheet.rows):
        for column, room in rooms.items():
            cell = cells[column]
            free = room - beside_mark * (cell.state is not None)
            lines = _broken(cell.text, free, metrics, cut=len(sheet.rows) <= _SHORT)
            if len(lines) > 1:
                found[row, column] = lines
    return found


def _broken(text: str, room: int, metrics: QFontMetrics, *, cut: bool) -> Lines:
    """Return a text broken between its words; a word that is too long has a line to itself."""
    if "\n" in text or metrics.horizontalAdvance(text) <= room:
        return (text,)
    whole = with_whole_parts(with_units_kept(text), room, metrics.horizontalAdvance)
    first, *rest = whole.split(" ")
    lines = [first]
    for place, word in enumerate(rest):
        longer = f"{lines[-1]} {word}"
        if metrics.horizontalAdvance(longer) <= room:
            lines[-1] = longer
        elif len(lines) < _MOST_LINES:
            lines.append(word)
        elif cut:
            rest_of_it = " ".join((lines[-1], *rest[place:]))
            lines[-1] = cut_short(metrics, rest_of_it, room)
            break
        else:
            return (text,)
    return tuple(line.replace(NO_BREAK, " ") for line in lines)
