"""Texts that go on in lines below, where their column gave way."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtGui import QFontMetrics

from evenbarrel.wording.sheets.sheet import Sheet

_MOST_LINES = 4
"""A text that needs more stays on one line, cut: a tip tells it, and rows stay low."""

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
            lines = _broken(cell.text, room - beside_mark * (cell.state is not None), metrics)
            if len(lines) > 1:
                found[row, column] = lines
    return found


def _broken(text: str, room: int, metrics: QFontMetrics) -> Lines:
    """Return a text broken between its words; a word that is too long has a line to itself."""
    if "\n" in text or metrics.horizontalAdvance(text) <= room:
        return (text,)
    first, *rest = text.split(" ")
    lines = [first]
    for word in rest:
        longer = f"{lines[-1]} {word}"
        if metrics.horizontalAdvance(longer) <= room:
            lines[-1] = longer
        elif len(lines) < _MOST_LINES:
            lines.append(word)
        else:
            return (text,)
    return tuple(lines)
