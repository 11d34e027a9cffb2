"""Words written from right to left as a line sets them: turned round, their letters joined."""

from __future__ import annotations

import re
from collections.abc import Container, Mapping
from functools import cache
from unicodedata import combining, decomposition

_LETTER = "[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc]"
_BETWEEN = r"[^\w()\[\]{}«»]|[\d_]"
_WORDS = rf"{_LETTER}(?:(?:{_LETTER}|{_BETWEEN})*{_LETTER})?"
_IN_BRACKETS = rf"[(\[{{«](?:{_LETTER}|{_BETWEEN})*[)\]}}»]"
_RUN = re.compile(rf"{_WORDS}(?:(?:{_BETWEEN})*(?:{_WORDS}|{_IN_BRACKETS}))*")
"""From the first to the last such letter, with the spaces, signs and numbers between them."""
_UNIT = re.compile(r"\d+(?:[.,:/]\d+)*|.[\u0300-\u036f\u0591-\u05c7\u064b-\u065f\u0670]*", re.S)
"""What keeps its own order: a number, and a letter with its marks."""
_MIRRORED = str.maketrans("()[]{}<>«»", ")(][}{><»«")
_FORMS = range(0xFB50, 0xFEFD)
"""Where the joined forms of letters stand, each with the letters it is of."""
_PAIRS = frozenset("\u0644" + alef for alef in "\u0622\u0623\u0625\u0627")
"""Lam and alef, which are always written as one."""


def as_set(line: str, known: Container[int]) -> str:
    """Return a line as its characters are set from left to right by a font that has `known`.

    Whole lines of one direction with words of the other in them: no more of the rules of mixed
    writing is needed for names.
    """
    if line.isascii():
        return line
    return _RUN.sub(lambda run: _turned(_joined(run[0], known)), line)


def _turned(run: str) -> str:
    return "".join(reversed(_UNIT.findall(run.translate(_MIRRORED))))


def _joined(run: str, known: Container[int]) -> str:
    """Return letters in the forms they have beside each other, as far as the font has them."""
    forms, letters = _forms(), _letters(run)
    shaped = []
    for place, letter in enumerate(letters):
        own = forms.get(letter, {})
        before, after = (
            forms.get(_nearest(side), {}) for side in (letters[:place][::-1], letters[place + 1 :])
        )
        joins = "initial" in before and "final" in own, "initial" in own and "final" in after
        form = own.get(_NAMES[joins], "")
        shaped.append(form if form and ord(form) in known else letter)
    return "".join(shaped)


def _letters(run: str) -> list[str]:
    letters: list[str] = []
    for letter in run:
        if letters and letters[-1] + letter in _PAIRS:
            letters[-1] += letter
        else:
            letters.append(letter)
    return letters


def _nearest(letters: list[str]) -> str:
    """Return the first that is a letter, and not a mark on one; "" where none is."""
    return next((one for one in letters if not combining(one[0])), "")


_NAMES: Mapping[tuple[bool, bool], str] = {
    (False, False): "isolated",
    (False, True): "initial",
    (True, False): "final",
    (True, True): "medial",
}
"""The form of a letter that is joined to the one before, to the one after."""


@cache
def _forms() -> Mapping[str, Mapping[str, str]]:
    """Return by letter, or the pair that is written as one, its forms by their names."""
    found: dict[str, dict[str, str]] = {}
    for code in _FORMS:
        kind, *letters = decomposition(chr(code)).split() or [""]
        name, text = kind.strip("<>"), "".join(chr(int(one, 16)) for one in letters)
        # Other pairs are joined letter by letter.
        if name in _NAMES.values() and (len(text) == 1 or text in _PAIRS):
            found.setdefault(text, {}).setdefault(name, chr(code))
    return found
