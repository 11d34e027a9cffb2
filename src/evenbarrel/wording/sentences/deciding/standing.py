"""What is said on the steps a proposal stands by: flips, ask, acceptance, signatures."""

from __future__ import annotations

from collections.abc import Sequence

from evenbarrel.units import from_si
from evenbarrel.wording.words.numbers import unit_text

FLIPS_TOLD = (
    "Which number, if it were another, would change the choice? Each number that the proposal and "
    "its runner-up hang on is moved alone until a gate of theirs or their order changes. It takes "
    "some seconds."
)
FLIPS_EMPTY = (
    "Once jobs are planned and two offers can be compared, this tells which number would change "
    "the choice, the nearest first."
)
LOOKING = "Moving one number after the other…"
FLIPS_STOPPED = "Stopped: nothing is shown, for the nearest may not have been found yet."
FLIPS_OF_BEFORE = (
    "What was found is of the state before the last change, and is no longer shown. Look again."
)
FLIPS_CUT_SHORT = "The evaluation changed while it was looked at: look again."
NO_FLIP = "No number flips the choice, as far as each is moved."
WHOLE_TABLE_COPIED = "Copied, with headings."
ASK_EMPTY = "Plan jobs on the Shots page first: this tells what they ask of a barrel."
ASK_TOLD = (
    "Choose some jobs in the table, by Ctrl or Shift, to see what they alone ask of one barrel."
)
CHOSEN = "The chosen jobs together"
ACCEPTANCE_TOLD = (
    "What the machine does when it stands there: weighed shots against what was printed and what "
    "is guaranteed. Enter a series, or carry the protocol to the machine first."
)
ACCEPTANCE_EMPTY = (
    "Nothing is weighed yet. Each series stands for one test of one barrel: shots into air, what "
    "was plasticised in a time, or shots of one setting."
)
ACCEPTANCE_NO_BARREL = "A series is of a barrel: enter offers on the Bids page first."
SERIES_TOLD = (
    "Type or paste the masses in their order, one a line or side by side. What is not known may "
    "stay empty; the result says what it lacks."
)
MASSES_WANTED = "Masses are wanted: type or paste what was weighed."
BARREL_WANTED = "Choose the barrel it was weighed on."
KIND_WANTED = "Choose which test it was."
SHARED = (
    "Barrel, date, resolutions and tolerance hold for every series that was entered with this one."
)
NOTHING_TO_GUARANTEE = (
    "Nothing that this barrel states decides a fit: there is nothing to have guaranteed."
)
OWN_MACHINE = "A machine of the plant's own: nobody sells it, so nobody guarantees it."
AGREEING = (
    "Records that the supplier guarantees this value, with the tolerance that the table shows. It "
    "is part of what is signed, and series are held against it."
)
WHICH_METHOD = "How it is measured"
WHICH_REMEDY = "What follows where it is not kept"


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
