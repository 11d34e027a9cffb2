"""What the desk says while bids are collected: ways in and out, an extract, revisions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from evenbarrel.wording.pictures.label_layout import fitted
from evenbarrel.wording.sentences.cells import listed
from evenbarrel.wording.words.numbers import counted

PASTED = "pasted"
"""The source of numbers that were pasted, where others name their file."""
_LETTERS = 60
"""Letters of a text that is told of."""


@dataclass(frozen=True, slots=True)
class WayWords:
    """A way in: its name, when it is the right one, and what its button and entry say."""

    title: str
    when: str
    button: str


WAYS: Mapping[str, WayWords] = {
    "data_sheet": WayWords(
        "Data sheet",
        "A workbook you send to the supplier. It asks for every number with its unit, and "
        "comes back with each in its place.",
        "Read a &data sheet…",
    ),
    "table": WayWords(
        "Table in a file",
        "The supplier’s own table, as a workbook (.xlsx) or text (.csv, .txt), in any "
        "layout, in five languages.",
        "Read a &table…",
    ),
    "quote": WayWords(
        "The quote itself",
        "The PDF it came in, shown beside your data. A click takes a number with its unit, a "
        "box takes a whole table, and all pages can be read at once.",
        "Open &quote pages…",
    ),
    "paste": WayWords(
        "Pasted table",
        "Rows from an email, a spreadsheet or a PDF: copy them there, then press this.",
        "&Paste a table",
    ),
    "bid_file": WayWords(
        "Bid file",
        "Offers written by this program, one or many (*.bid.json). One that you already have "
        "is recognised by supplier and offer number.",
        "Add bid file&s…",
    ),
    "typing": WayWords(
        "Typing",
        "With the printed offer beside you: supplier, injection unit, then each screw as a column.",
        "T&ype an offer",
    ),
}
"""Every way in."""

COLLECT_TITLE = "Collect an offer"
COLLECT_INTRODUCTION = (
    "Whichever way you choose, you first see what was read, with the place of each number; "
    "nothing is entered until you take it. Files can also be dropped on this window."
)
SEND_TITLE = "To a supplier first?"
SEND_INTRODUCTION = (
    "A blank data sheet asks for everything that is needed, and says what your jobs require."
)

SHEET_FOR, SHEET_OPEN, SHEET_BLANK = (
    "Data sheet fo&r",
    "Data sheet with &open questions only, for",
    "&Blank data sheet…",
)
BID_FILE_OF = "Bid &file of"
DATA_SHEET, BID_FILE = "data sheet", "bid file"
"""What is being made."""
NO_SUPPLIER = "No supplier yet"
COLLECT_MENU, COLLECT_BUTTON, OFFER_BUTTON = "&Collect", "Co&llect an offer", "Th&is offer"
SHEET_OF_IT, OPEN_OF_IT, FILE_OF_IT = (
    "&Data sheet for it…",
    "Data sheet with &open questions only…",
    "Bid &file of it…",
)
COMPARE_WITH_BEFORE = "&Compare with the earlier offer"
REVISES_MENU = "It &replaces"
COMPARE_REVISIONS = "&Compare with the earlier offer"
NONE_TO_REVISE = "No other offer"

KINDS = {
    "quote": "Quotes (*.pdf)",
    "data_sheet": "Data sheets (*.xlsx);;All files (*)",
    "table": "Tables (*.xlsx *.csv *.tsv *.txt);;All files (*)",
    "bid_file": "Bid files (*.bid.json);;All files (*)",
}
"""What a dialog offers to open."""

COLUMNS = ("Take", "Where", "Found", "Datum", "Screw", "Read as", "Current", "How sure")
OF_THE_OFFER = "the offer"
OWNERS: Mapping[str, str] = {"barrel": "Screw", "unit": "Injection unit", "bid": "Offer"}
"""Whose datum a line is."""
A_NEW_SCREW = "a new screw"
FILTERS: Mapping[str, str] = {
    "all": "every line",
    "ticked": "what is ticked",
    "differs": "what differs from what is there",
    "unsure": "what is not sure",
    "not_read": "what was not read",
}
FOR, STANDS_IN, SHOW = "For", "Replaces", "Show"
A_NEW_OFFER, NO_EARLIER = "a new offer", "no earlier offer"
TAKE, SET_ASIDE, LOOK = "&Take what is ticked", "&Discard", "Look at the &offers"
TICK_SHOWN, UNTICK_SHOWN = "Tick all &shown", "&Untick all shown"
BACK = "&Back to it"
NOTES_NAME = "Put what was not read into the notes of the offer"
ONE_AT_A_TIME = "Take or discard what was read before; then read more."
DATUM, SCREW, VALUE = "Is the datum", "Of the screw", "Value"
NO_DATUM = "not known"
CHOOSE_DATUM = "Choose which datum it is; then its value can be corrected."
NOT_PUT_RIGHT = "It is taken as it is or left; it can be corrected later on the Bids page."
NO_LINE = "Choose a line to see why it is sure or not, and to correct it."
NO_LINES = "Nothing was found in it."
NOTHING_TICKED = "No line is ticked: tick what is to be taken (Space), or discard what was read."
NOT_KEPT = "it holds something that cannot be kept aside"
LEFT_OPEN = "What was read and not taken yet"
DAMAGED = "the copy kept of it is damaged; read the file again"
READ_BROKEN = (
    "{name} could not be read because of a fault of this program, recorded in its log. Nothing "
    "changed."
)
STOPPED = "Stopped; nothing was read."
WHAT_CHANGED = "What changed between two offers"
REVISION_SHEETS: Mapping[str, str] = {
    "numbers": "Numbers that differ",
    "verdicts": "Verdicts that differ",
    "prices": "Landed price, before and now",
}
BACK_TO_OFFERS = "&Back to the offers"
TYPED = "typed on taking"
"""Where lines stand that no file holds."""
NO_NUMBERS = "What was copied holds no table: {why}."
MANY_DROPPED = "An evaluation is opened on its own: drop it by itself."


def reading_line(name: str) -> str:
    """Return that a file is being read."""
    return f"Reading {name} …"


def read_words(name: str, of_revision: bool = False) -> str:
    """Return what an extract holds: of a file, of what was pasted, or what an offer revises."""
    if of_revision:
        return f"what {name} replaces"
    return "what was pasted" if name == PASTED else f"what was read from {name}"


def typed_in(what: str, label: str, text: str) -> str:
    """Return what a person typed while looking through an extract, and what that holds."""
    return f"{label}: “{fitted(text, _LETTERS, len)}” ({what})"


def extract_heading(what: str, waiting: int) -> str:
    """Return what an extract holds, and how many more wait behind it."""
    more = f"  ({waiting} more to come)" if waiting else ""
    return f"{what[0].upper()}{what[1:]}: nothing is entered yet{more}"


def open_line(what: str) -> str:
    """Return that an extract is open behind what is looked at."""
    return f"{what[0].upper()}{what[1:]} is not taken yet."


def put_away(what: str) -> str:
    """Return that an extract went with the evaluation it was for."""
    return f"Another evaluation was opened: {what} was discarded."


def taking(what: str) -> str:
    """Return what the step that takes an extract is called."""
    return f"Take {what}"


def taken_line(lines: int, what: str) -> str:
    """Return that lines stand in the evaluation now."""
    return f"{counted(lines, 'line')} of {what} taken. One undo puts all of it back."


def known_supplier(supplier: str) -> str:
    """Return that a new offer is of a supplier who has one here."""
    return f"{supplier} already has an offer here. Does this one replace it?"


def chosen_line(ticked: int, lines: int, counts: Sequence[tuple[str, int]]) -> str:
    """Return how many lines are ticked, and what is with the others."""
    parts = [f"{count} {word}" for word, count in counts if count]
    rest = f"; not ticked: {listed(parts)}" if parts else ""
    return f"{ticked} of {counted(lines, 'line')} ticked{rest}."


def taken_without(data: Sequence[str]) -> str:
    """Return what an offer would not state, and that it may be typed; "" where it states all."""
    if not data:
        return ""
    return f"Not there yet: {listed([one.lower() for one in data])}. Type it here; Enter moves on."


def into_notes(lines: int) -> str:
    """Return what the box says that puts lines that were not read into the notes."""
    read = "was" if lines == 1 else "were"
    return f"Put the {counted(lines, 'line')} that {read} not read into the &notes of the offer"


def line_heading(place: str, text: str) -> str:
    """Return which line is looked at."""
    return f"{place}: “{text}”"


def does_not_fit(problem: str) -> str:
    """Return why what is ticked cannot be taken together."""
    return f"Nothing is taken: {problem}. Untick or correct what contradicts."


def row_name(datum: str, screw: str, value: str) -> str:
    """Return how a line is read aloud."""
    return ", ".join(part for part in (datum, screw, value) if part)
