"""What the desk says: titles of steps, hints of empty pages, echoes and objections."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

from evenbarrel.units import from_si, kind_has, to_si
from evenbarrel.wording.sentences.cells import fit_word
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.hint import NO_HINT, Hint
from evenbarrel.wording.words.numbers import (
    DisplayUnits,
    counted,
    percent,
    rounded,
    unit_text,
    with_unit,
)
from evenbarrel.wording.words.visible import EXPLAINED, HIDDEN, MOST, marks_of

if TYPE_CHECKING:
    from evenbarrel.appraisal.gate_results import GateState
    from evenbarrel.appraisal.job_results import JobResult
    from evenbarrel.appraisal.results import Fit
    from evenbarrel.model.datum import Datum
    from evenbarrel.model.quantity import Quantity
    from evenbarrel.model.resin import AlternativeWindow

OF_UNIT = "Screws and data of the injection unit"
SHEET, OWN_DATA = "Screws side by side", "The unit's own data"
SHEET_EMPTY = (
    "No screw yet. Press “Add barrel”, or copy the supplier's table and paste it here "
    "(Ctrl+V): one column or one row for each screw, with or without headings."
)
BEHIND: Mapping[str, str] = {
    "source": "Source",
    "standing": "Standing",
    "half_width": "Half-width",
    "note": "Note",
}
"""What stands behind a number, as a step is called that changes it."""
NEEDED_FIRST = "needed first, for the shot"
NOT_COUNTED = "The offer was revised or withdrawn: its numbers are kept but not assessed."
NOTHING_IMPLIED = "The other numbers imply nothing here."
NOT_STATED = "not stated"
UNTITLED = "Untitled programme"

ADD_SUPPLIER = "Add supplier"
ADD_UNIT = "Add injection unit"
ADD_BARREL = "Add barrel"
ADD_JOB = "Add job"
ADD_RESIN = "Add resin"
RESIN_WITHOUT_DATA = "Nothing is known of it yet: enter its data with the resins on the Shots page."
DRAWERS = "&Questions and working beside the page"

SHOTS_EMPTY = (
    "Begin with the planned jobs, each a mould run in a resin. Press “Add job” or type into the "
    "table below: mould, resin, part mass, cavities, runner mass. Tab moves on, from the last "
    "cell to the next job, and the shot volume appears in its row. Or copy a list of them from "
    "a spreadsheet or an email and paste it into the table (Ctrl+V)."
)
BIDS_CHOOSE = (
    "Choose a supplier, an injection unit or a barrel at the left. A unit shows its screws side by "
    "side; choose barrels of several units together (Shift or Ctrl) to compare them likewise."
)
RESINS_NONE = "No resin yet. Add the resins you run, and those that suppliers use for ratings."
LETTER = "Letter…"
SOLID_DENSITY = "for comparison; never used for a shot"
RATED_FACTOR_NOTE = "mass delivered per volume swept"

METHOD = (
    "Evenbarrel brings every barrel to swept volume, checks each claim against the others "
    "and against physics, and compares every barrel with every planned shot.",
    "Each number keeps what was printed, its unit, where it was printed and its standing. It "
    "is converted once, when it is appraised. A number that is not stated is never taken as "
    "zero: it is reported as not stated, and becomes a question.",
    "Intervals are bounds: all uncertain inputs low, then all high. They are not confidence "
    "intervals.",
    "Limits marked “common practice, no source” or “from memory” are starting values; you "
    "can replace all of them.",
    EXPLAINED,
    "Only single-stage reciprocating screws are appraised in full. Gas injection, foaming, "
    "thermosets, rubber, clamp force, tie bars, mould height and nozzle fit are not assessed.",
    "The evaluation is a screening by calculation, not a guarantee. Work on hot machines follows "
    "ISO 20430, the machine's manual and local codes, and belongs to trained people.",
)


def left_as_it_was(fields: Sequence[str]) -> str:
    """Return what is said of fields whose typed text was not taken when their window closed."""
    return f"Not accepted, left as it was: {', '.join(fields)}."


def not_accepted(problem: str) -> str:
    """Return why a change was not made."""
    return f"Not changed: {problem}."


def not_kept(problem: str) -> str:
    """Return that unsaved work could not be kept aside."""
    return f"Unsaved work could not be kept aside: {problem}. Save it under another name."


APPRAISING = "Appraising…"
NOT_CURRENT = "Verdicts are not up to date."
NOT_CURRENT_TIP = "Appraise everything as entered now"
WAIT_FOR_VERDICTS = (
    "The verdicts are not up to date yet: wait for the appraisal below, or start it again, then "
    "try once more."
)
FIRST_VERDICTS = "The barrels are being appraised. What was entered is shown as soon as they are."


def gate_counts_line(gates: Collection[GateState | None]) -> str:
    """Return how the barrels stand: "12 barrels: 2 no objection, 4 wait, 6 shut"."""
    if not gates:
        return "No barrel entered yet"
    counts = Counter(gates)
    states: tuple[GateState | None, ...] = ("no_objection", "waits", "shut", None)
    many = {**labels.GATES, "waits": "wait"}
    parts = [
        counted(counts[gate], labels.GATES[gate], many[gate]) for gate in states if counts[gate]
    ]
    return f"{counted(len(gates), 'barrel')}: {', '.join(parts)}"


def hidden(text: str) -> str:
    """Return that a text which a person may edit holds what cannot be seen, or ""."""
    marks = marks_of(text)
    if not marks:
        return ""
    more = f" and {len(marks) - MOST} more" if len(marks) > MOST else ""
    return f"{HIDDEN}: {', '.join(marks[:MOST])}{more}; elsewhere each is shown as its code"


def unusual(datum: Datum, magnitude: str, unit: str) -> str:
    """Return a warning that a value is not usual, or "" where it is."""
    kind = datum.kind_of(unit)
    value = to_si(float(magnitude), unit, kind)
    # The usual range is given in the SI unit of the first kind only.
    if not kind_has(datum.kinds[0], unit) or datum.is_usual(value):
        return ""
    low, high = (
        rounded(from_si(edge, unit, kind), 2) if edge is not None else ""
        for edge in (datum.low, datum.high)
    )
    between = f"{low} to {high}" if low and high else (f"from {low}" if low else f"up to {high}")
    return f"unusual: {between} {unit_text(unit)}".rstrip() + " is usual; check the unit"


def objection(problem: str) -> str:
    """Return why a typed text was not taken."""
    return f"Not accepted: {problem[:1].lower()}{problem[1:]}"


def choice_wanted(words: Sequence[str]) -> str:
    """Return what a closed list takes."""
    return f"choose one of these: {', '.join(words)}."


def whole_number_wanted(low: int | None, high: int | None) -> str:
    """Return what a whole-number field takes."""
    if low is not None and high is not None:
        return f"enter a whole number from {low} to {high}."
    return "enter a whole number." if low is None else f"enter a whole number, {low} or more."


def shorter_wanted(longest: int) -> str:
    """Return what a text that is too long should be."""
    return f"enter a text of at most {longest:,} characters."


SHARE_WANTED = "enter a share from 0 to 1, or up to 100 %."
CHANGE_WANTED = "enter a rate a year, above −100 % and below 100 %."
DATE_WANTED = "enter a date such as 2026-03-02 or 2 Mar 2026."
DAY_OR_MONTH = "day and month could be swapped: write it as 2026-03-02 or 2 Mar 2026."
CURRENCY_WANTED = "enter three capital letters such as EUR."
CHOICE_WANTED = "choose one of the list."
RESIN_WANTED = "no resin here or in the table has that name; clear the cell to list them all."
NUMBER_WANTED = "a number is missing."
ZONES_WANTED = "enter three shares that add up to 100 %, such as 50 / 25 / 25 %."
STAYS_WANTED = "enter a temperature and a time, such as 230 °C: 12 min."
SCOPE_WANTED = "enter an item and what the offer says of it, such as freight: extra 3800 EUR."
FILLERS_WANTED = "enter name, share and density, such as glass 30 % at 2.55 g/cm³."
FILLERS_TOO_MUCH = "the fillers make up more than the whole compound"
AMOUNT_WANTED = "an amount has no unit; enter its currency in the next field."


def details_tip(half_width: float | None, note: str) -> str:
    """Return what stands behind a number besides its source."""
    parts = [] if half_width is None else [f"± {rounded(half_width * 100, 2)} %"]
    return "; ".join([*parts, *([note] if note else [])]) or "Half-width and note: none"


def spoken_quantity(quantity: Quantity | None) -> str:
    """Return a quantity as text that reads back into itself: "41.5 g"."""
    if quantity is None:
        return ""
    return f"{quantity.magnitude} {unit_text(quantity.unit)}".rstrip()


def changed_datum(label: str, of: str) -> str:
    """Return the name of a step that changes one datum."""
    return f"{label} of {of}" if of else label


def route_note(
    leak_share: float | None, notes: tuple[str, ...], *, is_shipped: bool = False
) -> str:
    """Return what a route of the output factor rests on or implies, and remarks.

    Where the factor itself is given the leak share follows from it; of a shipped one nobody says
    that a person entered it.
    """
    given = "entered" in notes
    parts = ["as entered"] if given and not is_shipped else []
    if leak_share is not None:
        share = percent(leak_share)
        parts.append(f"implies a leak share of {share}" if given else f"leak share {share}")
    others = (note for note in notes if note != "entered")
    return ", ".join([*parts, *(ROUTE_NOTES.get(note, note.replace("_", " ")) for note in others)])


ROUTE_NOTES: Mapping[str, str] = {
    "tait": "Tait equation",
    "extrapolated": "extrapolated",
    "other_pressure": "at a pressure other than the back pressure",
    "filled": "with its fillers",
    "mfr_mvr": "MFR / MVR",
    "no_density": "gives no density at that condition",
}


def would_change(then: Sequence[Fit]) -> str:
    """Return how many verdicts a choice would change, and to what; `then` are the changed ones."""
    if not then:
        return "would change no verdict"
    ways = Counter(fit_word(fit) for fit in then)
    verdicts = f"would change {counted(len(then), 'verdict')}"
    if len(ways) == 1:
        return f"{verdicts} to {next(iter(ways))}"
    return f"{verdicts}: {', '.join(f'{count} to {word}' for word, count in ways.most_common())}"


def window_line(window: AlternativeWindow) -> str:
    """Return a share-of-volume window in one line: its ends, for which resins, where it is from."""
    origin, source = labels.ORIGINS[window.origin], window.source
    where = origin if source in ("", origin) or source.startswith("from memory") else source
    ends = f"{rounded(window.low * 100, 2)} to {percent(window.high)}"
    return f"{ends}: {window.applies_to} ({where})"


def job_hints(job: JobResult, units: DisplayUnits) -> Mapping[str, Hint]:
    """Return the planned shot that the data give, beside each of them."""
    shot = job.nominal
    if shot is None:
        return {name: Hint(NEEDED_FIRST) for name in job.missing}
    whole = f"whole shot {with_unit(shot.mass.nominal, 'mass', units)}"
    factor = with_unit(job.factor, "density", units)
    of_volume = (
        "no output factor, so no volume"
        if shot.volume is None
        else f"{with_unit(shot.volume.nominal, 'volume', units)} at {factor}"
    )
    return {
        "part_mass": Hint(whole),
        "resin": Hint(of_volume),
        "runner_mass": Hint("left out of the shot" if "runner_not_stated" in job.notes else ""),
        "smallest_shot_mass": _ignored("smallest_ignored" in job.notes, "larger"),
        "largest_shot_mass": _ignored("largest_ignored" in job.notes, "smaller"),
    }


def _ignored(is_ignored: bool, than: str) -> Hint:
    if not is_ignored:
        return NO_HINT
    return Hint(f"ignored: {than} than the nominal shot", "near_edge")


FROM_TABLE = "  (from the table)"


def resin_offer(short: str, is_known: bool) -> str:
    """Return what stands behind a resin's name where it is offered: in short, and if it is new."""
    return (f"  ·  {short}" if short else "") + ("" if is_known else FROM_TABLE)


def new_resin(name: str) -> str:
    """Return the choice that adds a resin which neither the evaluation nor the table has."""
    return f"New resin “{name}”"


def side_by_side(count: int) -> str:
    """Return what is shown where barrels of several units are chosen together."""
    return f"{counted(count, 'barrel')} side by side"


def folded(count: int, stated: int, is_open: bool) -> str:
    """Return what the button says that folds the data which suppliers rarely print."""
    if is_open:
        return f"Hide the {count} rarely printed"
    return f"Show {count} more ({stated} stated)"


def programme_line(title: str, buyer: str, site: str, as_of: date | None) -> str:
    """Return what the evaluation is about, in one line, and what of it is still to be entered."""
    dated = "" if as_of is None else f"as of {as_of.isoformat()}"
    wanted = [
        word for word, said in (("title", title), ("buyer", buyer), ("site", site)) if not said
    ]
    asked = f"enter {', '.join(wanted)}…" if wanted else ""
    return " · ".join(part for part in (title, buyer, site, dated, asked) if part)


def refused_entries(fields: Sequence[str]) -> str:
    """Return which fields hold something typed that was not taken."""
    return f"Typed but not accepted, so not in the file: {', '.join(fields)}."


DOES_NOT_FIT = "Not accepted: it does not fit what else is entered."
TYPED_BEFORE = "Typed earlier but not accepted: leave the field again to have it read."
