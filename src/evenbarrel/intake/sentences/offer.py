"""What is written of an offer itself: its number and dates, and the form that such words have."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache

from evenbarrel.intake.tables.synonyms import synonyms

_DATE = (
    r"(?P<date>[0-9]{4}-[0-9]{2}-[0-9]{2}|[0-9]{1,2}[./][0-9]{1,2}[./][0-9]{4}"
    r"|[0-9]{1,2}(?:\.|st|nd|rd|th)? (?:de )?[^\W\d_]{3,} (?:de )?[0-9]{4}"
    r"|[^\W\d_]{3,} [0-9]{1,2}, [0-9]{4})"
)
_NUMBER = r"(?P<number>(?=\S*[0-9])[A-Z0-9][\w./-]{2,30}(?: [0-9][\w/-]{1,12})?)(?![\w.]*[0-9])"

_OF_AN_OFFER = {
    "supplier": re.compile(r"(?=.*[^\W\d_]{2})[^:;]{2,60}"),
    "reference": re.compile(r"(?=.{1,40}$)(?=.*[0-9])\S+(?: \S+){0,3}"),
    # What goes on with another sentence says more than that.
    **dict.fromkeys(
        ("delivery", "payment", "warranty"), re.compile(r"(?=.*[0-9])(?!.*[.!] +[A-ZÄÖÜ]).{2,300}")
    ),
    **dict.fromkeys(("date", "valid_until"), re.compile(r".+")),
}
"""What is written of an offer, as it usually is: a number has a digit, a name is short."""


def is_of_an_offer(field: str) -> bool:
    """Say whether a field is of the head of an offer, or one of its terms in words."""
    return field in _OF_AN_OFFER


def has_usual_form(field: str, text: str) -> bool:
    """Say whether a text is written as such a datum of an offer usually is."""
    form = _OF_AN_OFFER.get(field)
    return form is not None and form.fullmatch(text) is not None


def offer_in(text: str) -> Iterator[tuple[str, str]]:
    """Yield the data of an offer that a text names, each with its own text.

    `Quotation Q-5520 of 8 October 2026` has a number and a date; a date of anything else is none.
    """
    patterns = _patterns()
    number = patterns["number"].search(text)
    if number is not None and re.fullmatch(_DATE, number["number"]) is None:
        yield "reference", number["number"].rstrip(".,")
        dated = patterns["dated"].match(text, number.end()) or patterns["alone"].search(text)
        if dated is not None:
            yield "date", dated["date"]
    else:
        alone = patterns["alone"].search(text)
        if alone is not None:
            yield "date", alone["date"]
    until = patterns["until"].search(text)
    if until is not None:
        yield "valid_until", until["date"]


@cache
def _patterns() -> dict[str, re.Pattern[str]]:
    words = synonyms().sentences
    offer, number, dated, date, until = (
        _any_of(words[name]) for name in ("offer", "number", "dated", "date", "until")
    )
    return {
        "number": re.compile(rf"(?<!\w)(?i:{offer})(?:[ -]?(?i:{number}))?[ :#]{{1,3}}{_NUMBER}"),
        "dated": re.compile(rf",? ?(?i:{dated})?:? ?{_DATE}"),
        "alone": re.compile(rf"(?<!\w)(?i:{date}) ?: ?{_DATE}"),
        "until": re.compile(rf"(?i:{until}) {_DATE}"),
    }


def _any_of(words: Iterable[str]) -> str:
    return "(?:" + "|".join(map(re.escape, sorted(words, key=len, reverse=True))) + ")"
