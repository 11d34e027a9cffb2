"""How offers print numbers and days, beyond what `number` reads: typing and intake read alike.

`30,200 psi` is thirty thousand where thirty is unusual; `22:1` is 22; `12.11.2026` and
`Nov 12, 2026` are one day.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date

from evenbarrel.entry.number import Entry, Note
from evenbarrel.entry.wordings import month_named
from evenbarrel.model.datum import Datum
from evenbarrel.wording.sentences import pages

_TO_ONE = re.compile(r"(?P<number>[0-9][0-9.,]*) ?: ?1|1 ?: ?(?P<other>[0-9][0-9.,]*)")
_DIAMETERS = re.compile(r"(?<=[0-9]) ?[xX×]? ?[dD]$")
_IN_DIGITS = re.compile(r"([0-9]{1,2}) ?([./-]) ?([0-9]{1,2}) ?\2 ?([0-9]{4})")
_NTH = r"(?:st|nd|rd|th|er|º)?"
_IN_WORDS = re.compile(
    rf"(?:(?P<day>[0-9]{{1,2}}){_NTH}\.?[ -]?(?:de )?(?P<month>[^\W\d_]{{3,}})"
    rf"|(?P<first>[^\W\d_]{{3,}})\.? (?P<then>[0-9]{{1,2}}){_NTH})"
    r"\.?,?[ -]?(?:de )?(?P<year>[0-9]{4})"
)


@dataclass(frozen=True)
class Day:
    """A day as it was read; `either` where its first two numbers may be exchanged."""

    value: date
    either: bool = False


def may_be_thousands(entry: Entry) -> bool:
    """Say whether the one mark of a number may part thousands as well as decimals."""
    return entry.note is not None and entry.note.code == "thousands"


def in_thousands(entry: Entry) -> Entry:
    """Return the other reading of a number whose mark may part thousands."""
    many = entry.magnitude.replace(".", "")
    text = f"its mark separates thousands; write {entry.magnitude}0 if decimals are meant"
    return replace(entry, magnitude=many, note=Note("thousands", text))


def likelier(datum: Datum, entry: Entry) -> Entry:
    """Return the reading that is usual for a datum, where the other one is not."""
    if not may_be_thousands(entry):
        return entry
    both = (entry, in_thousands(entry))
    usual = [one for one in both if not pages.unusual(datum, one.magnitude, one.unit)]
    return usual[0] if len(usual) == 1 else entry


def plain_ratio(text: str) -> str:
    """Return a bare number that is printed as `22:1` or `22 D`, any other text as it is."""
    found = _TO_ONE.fullmatch(text)
    text = text if found is None else found["number"] or found["other"]
    return _DIAMETERS.sub("", text)


def read_day(text: str) -> Day | None:
    """Return the day in `text`: ISO, day first, month first where it can be no other, in words."""
    try:
        return Day(date.fromisoformat(text)) if text[:4].isdigit() else _printed_day(text)
    except ValueError:
        return None


def _printed_day(text: str) -> Day | None:
    parts = _IN_DIGITS.fullmatch(text)
    if parts is not None:
        first, second, year = int(parts[1]), int(parts[3]), int(parts[4])
        # Full stops print the day first everywhere; other marks are used for both.
        if parts[2] == "." or second <= 12:
            either = parts[2] != "." and first <= 12 and first != second
            return Day(date(year, second, first), either)
        return Day(date(year, first, second))
    words = _IN_WORDS.fullmatch(text)
    if words is None:
        return None
    month = month_named(words["month"] or words["first"])
    day = int(words["day"] or words["then"])
    return None if month is None else Day(date(int(words["year"]), month, day))
