"""How long: the first duration in a text of an offer, as "22 weeks from order"."""

from __future__ import annotations

import re

DAYS = {"day": 1.0, "week": 7.0, "month": 365.25 / 12, "year": 365.25}
_DURATION = re.compile(
    r"(?<![\d.,/-])(?P<number>\d{1,4})(?P<open>\s*(?:-|–|to)\s*\d+)?[\s-]*"
    r"(?P<unit>day|week|month|year)s?\b",
    re.IGNORECASE,
)


def first_duration(text: str) -> float | None:
    """Return the first duration that a text names [day]; None where it names none, or a range."""
    found = _DURATION.search(text)
    if found is None or found["open"] is not None:
        return None
    return float(found["number"]) * DAYS[found["unit"].lower()]
