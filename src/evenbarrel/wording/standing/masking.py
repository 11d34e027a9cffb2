"""What stands where something is masked."""

from __future__ import annotations

from string import ascii_uppercase

MASKED = "(masked)"
_WHAT = {
    "prices": "prices masked",
    "suppliers": "suppliers masked",
    "both": "prices and suppliers masked",
}


def masked_title(title: str, what: str) -> str:
    """Return a title that says what is masked."""
    return f"{title} ({_WHAT[what]})".lstrip()


def supplier(number: int) -> str:
    """Return what the supplier of an offer is called: "Supplier A"."""
    return f"Supplier {_letters(number)}"


def unit(place: int) -> str:
    """Return what a unit is called by its place in the offer."""
    return f"Unit {place + 1}"


def screw(place: int) -> str:
    """Return what a screw is called by its place in its unit."""
    return _letters(place)


def _letters(number: int) -> str:
    rest, last = divmod(number, len(ascii_uppercase))
    return (_letters(rest - 1) if rest else "") + ascii_uppercase[last]
