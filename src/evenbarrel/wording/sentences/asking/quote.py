"""What is said of the pages of a quote: why a document is not shown, and what a click did."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from evenbarrel.model.quantity import Place

REFUSED: Mapping[str, str] = {
    "password": "it asks for a password: save a copy without one and attach that",
    "broken": "it is not a PDF, or it is broken or incomplete",
    "large": "it is larger than {detail} MB",
    "pages": "it has more than {detail} pages",
    "empty": "it has no page",
    "page": "page {detail} cannot be read",
}
"""Why a document or a page of it is not shown, a part of a sentence."""

NOTHING_IN_BOX = "there is no text in the box"
NO_TEXT_AT_ALL = (
    "its pages hold no text, like those of a scan: open them and type the numbers beside them"
)
TOO_MANY_TO_READ = "only a quote of up to {pages} pages is read as a whole: open it and draw boxes"

PANEL = "Quote pages"
FIND = "Find in the quote"
ATTACH, REMOVE, FIND_AGAIN, KEEP_CHANGED = (
    "Attach…",
    "Remove",
    "Find the file…",
    "It is the right one",
)
FILES = "Quotes (*.pdf);;All files (*)"
READ_ALL = "Read all pages"
READ_ALL_TIP = "Read the tables on all pages; nothing is taken yet (Ctrl+Shift+E)"
ALL_ROOM = "Give the quote's page the whole window"
LARGER, LARGER_TIP = "⤢", "Give the page the whole window, or its share again (Shift+F7)"
READ_TABLE, MARK_PLACE = "Read a table", "Mark the place"
READ_TABLE_TIP = "Draw a box round a table to read it; nothing is taken yet"
MARK_PLACE_TIP = "Draw a box round the number that is in the field, so that it can be found again"

NO_DOCUMENT = "Nothing is attached to this offer. Attach the PDF that it came in, or drop it here."
NO_BID = "Choose a supplier, a unit or a screw: its quote is shown here."
LOADING = "Opening…"
SCANNED = (
    "This page is a picture without text. Type the number beside it; then press “Mark the "
    "place” and draw a box round it to record where it is printed."
)
NOTHING_WAITS = "Choose a field first: a click on a number then enters it there."
NO_DATUM_WAITS = "Choose which datum the line is: a click on a number then enters it in the line."
NO_NUMBER_YET = "There is no number in that field yet: type it, then mark its place."
NOT_A_WORD = "No word is printed there."
READ_TABLE_NOW = "Draw a box round the table."
MARK_PLACE_NOW = "Draw a box round the number."
TYPED_BY_HAND = "That field is chosen or typed; it is not read from a page."


def printed_on(name: str, page: int) -> str:
    """Return what people call the table on a page of a document."""
    return f"{name}, p. {page}"


def goes_to(field: str) -> str:
    """Return where a click on a number puts it."""
    return f"A click goes to: {field}"


def read_as(field: str, value: str, text: str, noticed: Sequence[str]) -> str:
    """Return what a click entered, with what makes it less sure."""
    words = f"{field}: {value}" + (f", read from “{text}”" if text != value else "")
    return f"{words}. " + "; ".join(noticed) if noticed else f"{words}."


def not_read(field: str, text: str, noticed: Sequence[str]) -> str:
    """Return why what was clicked is no value of the field."""
    why = "; ".join(noticed) or "it was not understood"
    return f"“{text}” was not accepted for {field}: {why}"


def marked(field: str, page: int) -> str:
    """Return that the place of a number was kept."""
    return f"{field}: its place on p. {page} has been recorded."


def missing(problem: str) -> str:
    """Return that a document's file is not where it was."""
    return f"{problem}. What was read from it is kept."


def changed_since(name: str) -> str:
    """Return that a document is another than was attached."""
    return (
        f"{name} is not the file that was attached: it has changed since. Numbers may have "
        "moved in it."
    )


def not_pages(name: str) -> str:
    """Return that a document is no PDF."""
    return (
        f"{name} is attached; only the pages of a PDF are shown here. Open it with its own program."
    )


def not_on_page(cell: str, name: str) -> str:
    """Return where a number stands in a document without pages."""
    return f"It is in {cell} of {name}."


NO_PLACE = "No place is recorded for this number."
PLACE_GONE = "The document that it was read from is no longer attached."


def attach_step(name: str) -> str:
    """Return the name of the step that attaches a document."""
    return f"Attach {name}"


def remove_step(name: str) -> str:
    """Return the name of the step that removes a document."""
    return f"Remove {name}"


def read_step(field: str) -> str:
    """Return the name of the step that takes a number from a page."""
    return f"{field} from the quote"


def page_of(number: int, count: int) -> str:
    """Return which page is shown."""
    return f"{number} of {count}"


def hits(place: int, count: int, most: int) -> str:
    """Return which of the places found is shown."""
    if not count:
        return "not found"
    number = f"{count}" if count < most else f"{most} or more"
    return f"{place} of {number}"


def already(name: str) -> str:
    """Return that a document is attached already."""
    return f"{name} is already attached to this offer."


def place_label(place: Place | None) -> str:
    """Return the words of a button that shows where a number is printed."""
    if place is None:
        return ""
    return f"p. {place.page}" if place.page is not None else (place.cell or "")


PLACE_TIP = "Show where it is printed"
