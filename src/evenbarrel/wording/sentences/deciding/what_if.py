"""What is said of a what-if: what is tried, that nothing is decided, what would be other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from evenbarrel.wording.words.numbers import counted

if TYPE_CHECKING:
    from evenbarrel.decision.trials import Tried

TITLE = "What if"
NOTHING_DECIDED = " – on a copy, nothing is decided"
INTRODUCTION = (
    "This works on a copy: nothing here is decided. Pages, letters and exports keep to what "
    "is entered. Choose a datum by its name and type another value, for as many data as you "
    "like."
)
NOTHING_TRIED = "Nothing is tried yet."
WHAT_TO_CHANGE = "What would be different?"
SEARCH_HINT = "Type part of a name; Down and Enter choose"
NOTHING_FOUND = "No datum has that name."
KEEP_TIP = "Enter all that is tried into the evaluation, as one step that can be undone"
DROP_TIP = "Discard all that is tried; the evaluation stays as it is"
DROPPED = (
    "Another evaluation was opened: what was tried belonged to the previous one and was discarded."
)
GONE = "no longer there, not tried"
WAITING = "What is entered is being appraised; what is tried follows."
STOPPED = "Stopped: what would change is not known."
BESIDE = "A what-if is open beside these pages. They show what is entered; nothing is decided."
MOST_NAMED = 3


@dataclass(frozen=True, slots=True)
class TriedLine:
    """One thing that is tried, in words: what it is, as entered and as tried."""

    name: str
    before: str
    after: str
    gone: bool = False

    def text(self) -> str:
        """Return "Cycle time, 3 Lid: 20 s → 18 s", or that it is no longer there."""
        return f"{self.name}: {GONE if self.gone else f'{self.before} → {self.after}'}"


def strip_line(lines: Sequence[TriedLine]) -> str:
    """Return what stands above every page while something is tried."""
    if not lines:
        return BESIDE
    return f"What if: {_named(lines)}. These pages show what is entered; nothing is decided."


def step_name(lines: Sequence[TriedLine]) -> str:
    """Return what keeping is called where it can be undone."""
    return f"What-if: {_named([line for line in lines if not line.gone])}"


def _named(lines: Sequence[TriedLine]) -> str:
    texts = [line.text() for line in lines[:MOST_NAMED]]
    more = len(lines) - MOST_NAMED
    return "; ".join([*texts, f"and {more} more"] if more > 0 else texts)


def more_found(count: int) -> str:
    """Return that more data fit than are listed."""
    return f"and {count} more: type more of the name"


def entered_line(text: str) -> str:
    """Return what stands in the evaluation."""
    return f"as entered: {text}"


def outcome_line(tried: Tried, worths: int) -> str:
    """Return how many gates and verdicts would be other, and rank or cost of how many barrels."""
    gates = sum(one.before != one.after for one in tried.barrels)
    verdicts = sum(len(one.jobs) for one in tried.barrels)
    cells = len(tried.before.barrels) * len(tried.before.jobs)
    worth = "ranks and levelled costs stay the same"
    if worths:
        worth = f"rank or levelled cost of {counted(worths, 'barrel')} would be different"
    text = (
        f"{_share(gates, len(tried.barrels), 'gate')} and {_share(verdicts, cells, 'verdict')} "
        f"would be different; {worth}."
    )
    return text[0].upper() + text[1:]


def _share(count: int, total: int, thing: str) -> str:
    return f"{count or 'none'} of {counted(total, thing)}"
