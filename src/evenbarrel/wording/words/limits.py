"""What the notes of the usual limits say: a file keeps the shipped text, people read these words.

The shipped text is signed with the evaluation, so it never changes; how it is said may.
"""

from __future__ import annotations

from collections.abc import Mapping

NOTES: Mapping[str, str] = {
    "share of swept volume, general resins": "Shot volume / swept volume, without cushion.",
    "share of swept volume, engineering resins": "Shot volume / swept volume.",
    "diameters: check ring closing takes a large part below": "The ring takes much of a shorter "
    "stroke to close.",
    "diameters: many count less as out of bounds": "Many count a shorter stroke as out of bounds.",
    "diameters": "A longer stroke shortens the screw that melts.",
    "diameters: effective screw length falls beyond": "A longer one leaves too little "
    "screw to melt.",
    "check-ring travel as share of the shot stroke": "Closing travel of the ring / shot stroke.",
    "recovery as share of the cooling window": "Time to recover the shot / window for recovery.",
    "required as share of quoted pressure": "Required pressure / quoted melt pressure.",
    "required as share of quoted rate": "Required rate / quoted injection rate.",
    "agreement of an implied factor with a density": "How near a factor must be to a density.",
    "agreement of screw forces on one drive": "How near the forces must be to each other.",
}
"""The words for each shipped note."""

_SHIPPED = {words: note for note, words in NOTES.items()}


def limit_note(note: str) -> str:
    """Return a limit's note as people read it; one that a person typed is as typed."""
    return NOTES.get(note, note)


def shipped_note(words: str) -> str:
    """Return a note as a file keeps it: words read off the screen are the shipped note again."""
    return _SHIPPED.get(words, words)
