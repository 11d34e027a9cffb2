"""Numbers without a unit: counts, shares, changes in a year."""

from __future__ import annotations

from decimal import Decimal

from evenbarrel.entry.number import Entry, Refusal, as_share, read_number
from evenbarrel.entry.parsed import ParsedText
from evenbarrel.wording.sentences import pages

_WHOLE = Decimal(100)


def remark_of(entry: Entry) -> str:
    """Return what is to be said of how a number was typed."""
    return "" if entry.note is None else entry.note.text


def read_whole(text: str, low: int | None, high: int | None) -> ParsedText:
    """Return the count in `text`, from `low` to `high`."""
    entry = read_number(text, ("1",), "1")
    if entry is None:
        return ParsedText()
    wanted = pages.whole_number_wanted(low, high)
    if isinstance(entry, Refusal) or not entry.magnitude.lstrip("-").isdigit():
        # 12,000 parts a year is a count; a count has no decimals.
        grouped = text.replace(",", "").replace(".", "").replace(" ", "")
        note = None if isinstance(entry, Refusal) else entry.note
        if note is None or note.code != "thousands" or not grouped.isdigit():
            return ParsedText(problem=wanted)
        entry = read_number(grouped, ("1",), "1")
        if entry is None or isinstance(entry, Refusal):
            return ParsedText(problem=wanted)
    value = int(entry.magnitude)
    if (low is not None and value < low) or (high is not None and value > high):
        return ParsedText(problem=wanted)
    return ParsedText(value)


def read_share(text: str) -> ParsedText:
    """Return a share from 0 to 1, typed as such or in per cent."""
    entry = read_number(text, ("%", "1"), "%")
    if entry is None:
        return ParsedText()
    if isinstance(entry, Refusal):
        return ParsedText(problem=entry.text)
    entry = as_share(entry)
    per_cent = Decimal(entry.magnitude)
    if not 0 <= per_cent <= _WHOLE:
        return ParsedText(problem=pages.SHARE_WANTED)
    return _of_per_cent(per_cent, entry)


def _of_per_cent(per_cent: Decimal, entry: Entry) -> ParsedText:
    echo = f"read as {format(per_cent.normalize(), 'f')} %".replace("-", "−")
    return ParsedText(float(per_cent.scaleb(-2)), echo, remark_of(entry))


def read_change(text: str) -> ParsedText:
    """Return the share by which something changes in a year, as 3 % or -2 %."""
    falls = text[:1] in ("-", "−")
    entry = read_number(text[1:] if falls else text, ("%", "1"), "%")
    if entry is None and not falls:
        return ParsedText()
    wanted = ParsedText(problem=pages.CHANGE_WANTED)
    if entry is None or isinstance(entry, Refusal):
        return wanted
    entry = as_share(entry)
    per_cent = Decimal(entry.magnitude)
    return _of_per_cent(-per_cent if falls else per_cent, entry) if per_cent < _WHOLE else wanted


def read_bare(text: str) -> ParsedText:
    """Return a plain number."""
    entry = read_number(text, ("1",), "1")
    if entry is None:
        return ParsedText()
    if isinstance(entry, Refusal):
        return ParsedText(problem=entry.text)
    return ParsedText(float(entry.magnitude), remark=remark_of(entry))
