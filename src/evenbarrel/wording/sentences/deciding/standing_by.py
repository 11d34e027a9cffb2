"""What is said on the steps a proposal stands by: flips, ask, acceptance, signatures."""

from __future__ import annotations

from collections.abc import Sequence

from evenbarrel.units import from_si
from evenbarrel.wording.words.numbers import unit_text

FLIPS_INTRODUCTION = (
    "Which number, if it were different, would change the choice? Each number that the "
    "proposal and its runner-up depend on is varied on its own until one of their gates, or "
    "their order, changes. This takes some seconds."
)
FLIPS_EMPTY = (
    "Once jobs are planned and two offers can be compared, this shows which number would "
    "change the choice, the nearest first."
)
LOOKING = "Varying one number after another…"
FLIPS_STOPPED = "Stopped: nothing is shown, because the nearest may not have been found yet."
FLIPS_OF_BEFORE = (
    "What was found applied before the last change, and is no longer shown. Look again."
)
FLIPS_CUT_SHORT = "The evaluation changed during the search: look again."
NO_FLIP = "No number flips the choice within the range tried."
WHOLE_TABLE_COPIED = "Copied, with headings."
ASK_EMPTY = "Plan jobs on the Shots page first: this shows what they ask of a barrel."
ASK_INTRODUCTION = (
    "Choose some jobs in the table, by Ctrl or Shift, to see what just these ask of one barrel."
)
CHOSEN = "The chosen jobs together"
ACCEPTANCE_INTRODUCTION = (
    "How the installed machine performs: weighed shots against what was printed and what is "
    "guaranteed. Enter a series, or take the protocol to the machine first."
)
ACCEPTANCE_EMPTY = (
    "Nothing has been weighed yet. Each series is one test of one barrel: air shots, the "
    "mass plasticised in a measured time, or shots at one setting."
)
ACCEPTANCE_NO_BARREL = "A series belongs to a barrel: enter offers on the Bids page first."
SERIES_INTRODUCTION = (
    "Type or paste the masses in order, one to a line or side by side. What is not known may "
    "be left empty; the result says what it lacks."
)
MASSES_WANTED = "Enter the masses: type or paste what was weighed."
BARREL_WANTED = "Choose the barrel it was weighed on."
KIND_WANTED = "Choose which test it was."
SHARED = "Barrel, date, resolutions and tolerance apply to every series entered with this one."
NOTHING_TO_GUARANTEE = (
    "Nothing that this barrel states decides a fit: there is nothing to guarantee."
)
OWN_MACHINE = "This machine is the plant's own: no supplier guarantees it."
AGREEING = (
    "Records that the supplier guarantees this value, with the tolerance that the table shows. It "
    "is part of what is signed, and series are compared with it."
)
WHICH_METHOD = "How it is measured"
WHICH_REMEDY = "What happens if it is not met"


def mass_refused(line: int, cell: str, why: str) -> str:
    """Return why a mass was not read; nothing was taken then."""
    return f"Line {line}, “{cell}”: {why}"


def too_many_masses(most: int) -> str:
    """Return that a series is too long."""
    return f"A series has at most {most} masses."


def masses_read(masses: Sequence[float], unit: str) -> str:
    """Return what was read [kg]: how many, from which to which."""
    low, high = (f"{from_si(end, unit, 'mass'):.6g}" for end in (min(masses), max(masses)))
    count = f"{len(masses)} mass{'' if len(masses) == 1 else 'es'}"
    return f"Read as {count}, {low} to {high} {unit_text(unit)}."
