"""What is said of a block of cells that was put in, filled or cleared: what was taken, what not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from evenbarrel.wording.words.numbers import counted

COPY, PASTE, CLEAR = "Copy", "Paste", "Clear"
FILL_DOWN, FILL_RIGHT = "Fill down", "Fill right"

COMPUTED = "is worked out from the others, not entered."
NOT_TYPED = "is not entered here."
ONE_FOR_ALL = "is one for the whole unit; it is entered in the first column."
NO_COLUMN = "there is no place for it here."
PICTURE = "The clipboard holds a picture and no text: nothing was taken. Copy the cells themselves."
WEB_PAGE = (
    "The clipboard holds a web page without plain text: nothing was taken. Copy its table into a "
    "spreadsheet first."
)
NO_TEXT = "The clipboard holds no text: nothing was taken."
TOO_LONG = "The clipboard holds more text than any table of screws or jobs: nothing was taken."
NOTHING_TO_FILL = "Select the cell to copy together with those to fill."

_MOST_LINES = 12
_LONGEST = 40


@dataclass(frozen=True)
class CellRemark:
    """A cell that was not taken, or is in doubt: what and in which line of the block, and why.

    `across`: the lines of the block are its columns.
    """

    what: str
    text: str
    why: str
    line: int = 0
    across: bool = False


def column(number: int, title: str, across: bool) -> str:
    """Return which column of a block, or line where things stand across, has no place."""
    return f"“{_short(title)}”" if title else f"{'line' if across else 'column'} {number}"


def lines(count: int, across: bool) -> str:
    """Return how many lines of a block were left out."""
    return f"{'the last ' if count > 1 else ''}{counted(count, 'column' if across else 'line')}"


def too_many(most: int) -> str:
    """Return that no more things fit."""
    return f"no more than {most} fit here."


def taken(
    cells: int, added: str, left_out: Sequence[CellRemark] = (), doubted: Sequence[CellRemark] = ()
) -> str:
    """Return what was taken in the first line, then each thing that was not, or is in doubt."""
    parts = [f"{counted(cells, 'cell')} taken" if cells else "Nothing was taken"]
    if added:
        parts.append(f"{added} added")
    if left_out:
        parts.append(f"{counted(len(left_out), 'entry', 'entries')} not taken")
    head = f"{', '.join(parts)}{'; one undo takes all of it back' if cells else ''}."
    return "\n".join((head, *_listed(left_out), *_listed(doubted, "please check: ")))


def cleared(cells: int) -> str:
    """Return the sentence that cells were cleared, or filled."""
    return f"{counted(cells, 'cell')} changed in one step."


def _listed(cells: Sequence[CellRemark], before: str = "") -> Iterator[str]:
    """Yield a line for each datum and reason; what is alike is told once."""
    groups: dict[tuple[str, str], list[CellRemark]] = {}
    for one in cells:
        groups.setdefault((one.what, one.why), []).append(one)
    for alike in list(groups.values())[:_MOST_LINES]:
        first = alike[0]
        where = f", {'column' if first.across else 'line'} {first.line}" if first.line else ""
        quoted = f" “{_short(first.text)}”" if first.text else ""
        more = f" and {len(alike) - 1} more" if len(alike) > 1 else ""
        why = f"{first.why[:1].lower()}{first.why[1:]}"
        yield f"  {before}{first.what}{where}{quoted}{more}: {why}"
    if len(groups) > _MOST_LINES:
        yield f"  and {len(groups) - _MOST_LINES} more kinds."


def _short(text: str) -> str:
    plain = " ".join(text.split())
    return plain if len(plain) <= _LONGEST else f"{plain[: _LONGEST - 1]}…"
