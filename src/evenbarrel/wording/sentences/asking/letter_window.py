"""What the window of a letter says and offers."""

from __future__ import annotations

from evenbarrel.wording.sentences.pages import counted

PERSON, DAY, ANSWER_BY = "Your name", "Date of the letter", "Answer wanted by"
ONLY_NEW = "&Only questions not yet asked"
WORDS, CLOSING, TABLE = "Text of the letter", "Closing text", "To be filled in"
CHANGED = "The questions have changed since you wrote this."
ANEW = "&New draft"
COPY, AS_PDF, AS_TEXT = "Cop&y as email", "Save as &PDF…", "Save as &text…"
AS_SHEET, SHEET = "&Data sheet to fill in…", "data sheet"
SHEET_TIP = "A workbook with the open questions only, to be filled in and read back by this program"
CLOSE, MARK, NOT_NOW = "Close", "Mark asked", "Not now"
COPIED = "The letter is on the clipboard."


def title(supplier: str) -> str:
    """Return what the window is called."""
    return f"Letter to {supplier}"


def mark_button(count: str) -> str:
    """Return what the button says that marks a whole letter: "Mark 12 questions asked"."""
    return f"&Mark {count} asked"


def offer_marking(done: str, count: str) -> str:
    """Return what is offered once a letter went out."""
    return f"{done} Mark its {count} as asked?"


def written(name: str) -> str:
    """Return that a file is there."""
    return f"{name} is written."


def marked(count: int) -> str:
    """Return what a marked letter is told as."""
    return f"{counted(count, 'question')} marked as asked; one Undo takes it back."


def sheet_name(letter: str) -> str:
    """Return what the data sheet beside a letter is called, without its ending."""
    return f"{letter}-data-sheet"
