"""Names of files: the ending a kind of file has, and characters that no name may hide."""

from __future__ import annotations

import unicodedata
from pathlib import Path

from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.wording.words.visible import HIDDEN

EVALUATION = ".evenbarrel.json"

_HIDDEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
"""Control and format characters, direction marks and zero-width ones among them."""


def with_ending(path: Path, ending: str) -> Path:
    """Return `path` with `ending` where it lacks it: what is asked about is what is written.

    Raises `FileRefused` where the name hides a character.
    """
    refuse_hidden(path)
    if path.name.casefold().endswith(ending.casefold()):
        return path
    # A part of the ending may be typed already, as in press.json.
    last = ending[ending.rindex(".") :]
    return path if path.name.casefold().endswith(last) else path.with_name(path.name + ending)


def refuse_hidden(path: Path) -> None:
    """Raise `FileRefused` where a name holds a character that nobody would see."""
    if any(unicodedata.category(character) in _HIDDEN for character in path.name):
        raise FileRefused(path.name, "", f"its name {HIDDEN}")
