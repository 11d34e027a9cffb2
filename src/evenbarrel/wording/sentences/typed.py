"""What was typed and is in no file, each text with what it was typed for and whose that is."""

from __future__ import annotations

from collections.abc import Sequence

from evenbarrel.model.datum_path import Path, TypedText, get
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.wording.sentences.asking import letter_window
from evenbarrel.wording.sentences.pages import UNTITLED
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import job_called, name_at

GO_TO, LATER = "&Go to the first", "&Later"
_BID = 2
"""Parts in the path of a bid."""
MOST, _LETTERS = 8, 60
"""Texts that are told one by one, and letters of each."""


def typed_lines(evaluation: Evaluation, typed: Sequence[TypedText]) -> tuple[str, ...]:
    """Return a line of each text: whose datum it was typed for, and the text, cut where long."""
    return tuple(
        f"{_called(evaluation, one.path)}: “{_short(one.text)}”" if one.path else one.text
        for one in typed
    )


def not_in_file(lines: Sequence[str], most: int = MOST) -> str:
    """Return that these were typed and not taken, so that no file has them; `most` are named."""
    listed = (f"• {line}" for line in _first(lines, most))
    return "\n".join(("Typed, and not in the file:", *listed))


def ask_leave(title: str) -> str:
    """Return that nothing but what could not be taken would be lost."""
    return (
        f"“{title or UNTITLED}” is as it was saved or begun. Discard what was typed and is "
        "not in the file?"
    )


def back_again(lines: Sequence[str]) -> str:
    """Return that what had been typed and not taken stands where it was typed again."""
    return f"Typed, not in the file, and back where it was typed: {'; '.join(_first(lines))}."


def to_be_read_again(lines: Sequence[str]) -> str:
    """Return what was done to extracts that were not taken: they end with the program."""
    return f"Not taken, and to be read again to be taken: {'; '.join(_first(lines))}."


def _first(lines: Sequence[str], most: int = MOST) -> Sequence[str]:
    more = [f"and {len(lines) - most} more"] if len(lines) > most else []
    return (*lines[:most], *more)


def _called(evaluation: Evaluation, path: Path) -> str:
    """Return whose datum stands at a path, and its label."""
    # Loaded with the first text that is told: it brings numpy along.
    from evenbarrel.wording.sentences.deciding import decision

    match path:
        case ("limits", name):
            return f"Limit, {decision.limit_label(name)}"
        case ("uncertainty", quantity, route):
            return f"Half-width, {decision.half_width_label(quantity, route)}"
        case ("jobs", job, _):
            whose = job_called(evaluation, evaluation.job(job))
        case ("bids", bid, "words" | "closing"):
            return letter_window.title(name_at(evaluation, ("bids", bid)))
        case ("bids", *_):
            ends = range(_BID, len(path), 2)
            whose = ", ".join(name_at(evaluation, path[:end]) for end in ends)
        case ("cost", _):
            whose = "Cost basis"
        case _:
            whose = "Programme"
    label = labels.datum_of(type(get(evaluation, path[:-1])), path[-1])
    return f"{whose}, {label}"


def _short(text: str) -> str:
    return text if len(text) <= _LETTERS else f"{text[:_LETTERS]}…"
