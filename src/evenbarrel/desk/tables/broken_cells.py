"""Texts that go on in lines below, where their column gave way."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtGui import QFontMetrics

from evenbarrel.wording.sheets.sheet import Sheet

_MOST_LINES = 4
"""A text that needs more is cut, so that rows stay low: a tip tells it. It takes as many lines as
the others of its row."""

Lines = tuple[str, ...]


def broken_cells(
    sheet: Sheet, rooms: Mapping[int, int], beside_mark: int, metrics: QFontMetrics
) -> dict[tuple[int, int], Lines]:
    """Return the lines of each text that has no room on one, by its row and column.

    `rooms` holds how wide the columns that gave way are [px]; a state's mark takes `beside_mark`.
    """
    found = {}
    for row, cells in enumerate(sheet.rows):
        left = {
            column: room - beside_mark * (cells[column].state is not None)
            for column, room in rooms.items()
        }
        lines = {
            column: _broken(cells[column].text, room, metrics) for column, room in left.items()
        }
        high = max((len(one) for one in lines.values() if one is not None), default=1)
        for column, room in left.items():
            shown = lines[column] or _filled(cells[column].text, room, metrics, high)
            if len(shown) > 1:
                found[row, column] = shown
    return found


def _broken(text: str, room: int, metrics: QFontMetrics) -> Lines | None:
    """Return a text broken between its words, None where it needs too many lines.

    A word that is too long has a line to itself.
    """
    if "\n" in text or metrics.horizontalAdvance(text) <= room:
        return (text,)
    lines = _filled(text, room, metrics, _MOST_LINES + 1)
    return lines if len(lines) <= _MOST_LINES else None


def _filled(text: str, room: int, metrics: QFontMetrics, most: int) -> Lines:
    """Return the lines of a text; the last of `most` holds all that is left, and is cut."""
    first, *rest = text.split(" ")
    lines = [first]
    for place, word in enumerate(rest):
        longer = f"{lines[-1]} {word}"
        if metrics.horizontalAdvance(longer) <= room:
            lines[-1] = longer
        elif len(lines) < most:
            lines.append(word)
        else:
            lines[-1] = " ".join((lines[-1], *rest[place:]))
            break
    return tuple(lines)
