"""What the desk says of documents: unsaved work, files that others hold, exports, faults."""

from __future__ import annotations

from evenbarrel.wording.sentences.pages import UNTITLED
from evenbarrel.wording.words.numbers import counted

EXPORT_STOPPED = "Stopped; nothing was written."


def found_unsaved(title: str, count: int = 1, typed: int = 0, is_open: bool = False) -> str:
    """Return that unsaved work was found, with what was typed and not taken, and that it waits.

    With `is_open` something that a supplier sent was still being looked through.
    """
    parts = [f"{counted(typed, 'text')} that no file has"] if typed else []
    parts += ["what was read and not taken yet"] if is_open else []
    also = f", with {' and '.join(parts)}" if parts else ""
    more = f" {count - 1} more will be offered after it." if count > 1 else ""
    return (
        f"Unsaved work on “{title or UNTITLED}” was found from a session that was cut off{also}. "
        f"It is kept until you restore or discard it.{more}"
    )


def fault(kind: str) -> str:
    """Return that the program met a fault of its own, and what was kept."""
    return (
        f"A fault of the program ({kind}) stopped the last step. What you typed is kept aside and "
        "the fault is in the log; please send its details to whoever maintains the program."
    )


def ask_replace(name: str) -> str:
    """Return the question asked before a file is replaced."""
    return f"“{name}” already exists. Replace it?"


def held_by(name: str, holder: str) -> str:
    """Return that another window works on a file, and what taking over means."""
    return (
        f"“{name}” is open elsewhere: {holder}. Open it read-only, open a copy of it, or take "
        "it over? If you take it over, whoever has it open is told before saving that the "
        "file has changed."
    )


def read_only(name: str) -> str:
    """Return that a file is open to be read."""
    return f"“{name}” is open read-only: saving asks for another name."


def changed_on_disk(name: str) -> str:
    """Return that something else has written a file since it was opened."""
    return f"“{name}” has been changed elsewhere since it was opened here. What differs:"


def ask_save(title: str) -> str:
    """Return the question asked before changes would be lost."""
    return f"“{title or UNTITLED}” has changes that are not saved. Save them?"


def export_running(what: str) -> str:
    """Return that a file is being made."""
    return f"Making the {what} …"


WITHOUT_FLIPS = (
    "The search for what would flip the choice is still running, so it is not included: "
    "export again when it has finished."
)


def export_done(name: str) -> str:
    """Return that a file was written."""
    return f"{name} is written."


def export_failed(problem: str) -> str:
    """Return that a file was not written, and that nothing else was touched."""
    return f"Not exported: {problem}. The evaluation is unchanged."


def export_broken(kind: str) -> str:
    """Return that an export met a fault of the program."""
    return (
        f"Not exported: the {kind} could not be made; this is a fault of the program. The "
        "evaluation is unchanged."
    )
