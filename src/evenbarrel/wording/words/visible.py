"""The door for texts from people, suppliers and files: what hides in them is shown as a mark.

A character that takes no room, turns the direction of what follows, or is obeyed by a terminal
may make two names look alike, or a sentence say what nobody wrote. It is shown by its code, as
⟨U+202E⟩. What is stored stays as it was typed.
"""

from __future__ import annotations

import re

_CONTROLS = "\x00-\x1f\x7f-\x9f"
_BLANK = (
    # Soft hyphen, joiners and fillers, which take no room or look like a space.
    "\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u2800\u3164\uffa0"
    # Zero width, directions, line and paragraph separators, invisible operators.
    "\u200b-\u200f\u2028-\u202e\u2060-\u206f"
    # Byte order mark, variation selectors, annotations, what stands for an object, no characters.
    "\ufeff\ufe00-\ufe0f\ufff0-\ufffc\ufdd0-\ufdef\ufffe\uffff"
    # Format characters of shorthand and of music.
    "\U0001bca0-\U0001bca3\U0001d173-\U0001d17a"
    # Tags, and variation selectors beyond those above.
    "\U000e0000-\U000e0fff"
    # Halves of a character, as names of files may hold them.
    "\ud800-\udfff"
)
_IN_LINES = re.compile(f"[{_BLANK}{_CONTROLS}]+")
_IN_TEXT = re.compile(f"[{_BLANK}\x00-\x08\x0b-\x1f\x7f-\x9f]+")
_CARRIED = re.compile("\r\n")
MOST = 4
"""Marks of one run, or of a list, that are written out; the rest is counted: none floods a page."""

HIDDEN = "contains characters that cannot be seen"
EXPLAINED = (
    "A character that cannot be seen, or that would reverse the text after it, is shown as "
    "its code, such as ⟨U+202E⟩; the file keeps the text as it was typed."
)


def visible(text: str) -> str:
    """Return a text of any number of lines with what cannot be seen in it shown by its code.

    Line ends and tabs stay. A text that was shown once comes back as it is.
    """
    # Most texts are plain, and this is asked for every cell of every table.
    if text.isprintable() and text.isascii():
        return text
    return _IN_TEXT.sub(_mark, _CARRIED.sub("\n", text))


def visible_line(text: str) -> str:
    """Return a text that stands on one line: as `visible`, and a line end or tab is a mark too."""
    if text.isprintable() and text.isascii():
        return text
    return _IN_LINES.sub(_mark, text)


def marks_of(text: str) -> tuple[str, ...]:
    """Return the marks that `visible` makes of the characters hidden in a text, each once."""
    hidden = "".join(_IN_TEXT.findall(_CARRIED.sub("\n", text)))
    return tuple(visible_line(sign) for sign in dict.fromkeys(hidden))


def _mark(found: re.Match[str]) -> str:
    run = found[0]
    codes = " ".join(f"U+{ord(sign):04X}" for sign in run[:MOST])
    more = f" and {len(run) - MOST} more" if len(run) > MOST else ""
    return f"⟨{codes}{more}⟩"


def file_stem(text: str, most: int = 40) -> str:
    """Return a name for a file without its ending: letters and digits of a text, parted by -."""
    return "-".join("".join(c if c.isalnum() else " " for c in text).split())[:most].rstrip("-")
