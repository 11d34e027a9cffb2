"""Typed text to an amount of money with its currency, and back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from evenbarrel.entry.bare_numbers import remark_of
from evenbarrel.entry.number import Refusal, read_number
from evenbarrel.entry.parsed import ParsedText
from evenbarrel.entry.printed import in_thousands, may_be_thousands
from evenbarrel.model.quantity import Money
from evenbarrel.wording.sentences import pages

CURRENCY_SIGNS: Mapping[str, str] = MappingProxyType({"€": "EUR", "£": "GBP", "$": "USD"})
_NO_CENTS = re.compile(r"[.,] ?[-–—]+(?=\D*$)")
_CURRENCY_LENGTH = 3

INCOTERMS = frozenset(("EXW", "FCA", "FAS", "FOB", "CFR", "CIF", "CPT", "CIP", "DAP", "DPU", "DDP"))
"""Who carries what, as three capitals."""
NO_CURRENCY = INCOTERMS | {"VAT", "TVA", "IVA", "UST", "NET"}
"""Three capitals beside an amount that say who carries what, or which tax is in it."""


def is_currency(text: str) -> bool:
    """Say whether a text is three capital letters."""
    return len(text) == _CURRENCY_LENGTH and text.isascii() and text.isalpha() and text.isupper()


def without_cents(text: str) -> str:
    """Return an amount without the stroke that stands for no cents: `186.400,-`."""
    return _NO_CENTS.sub("", text)


def read_money(text: str, currency: str, before: Money | None = None) -> ParsedText:
    """Return the amount in `text`; a currency typed beside the number is taken."""
    bare, currency = _beside_amount(without_cents(text), currency)
    entry = read_number(bare, ("1",), "1")
    if entry is None:
        return ParsedText()
    if isinstance(entry, Refusal):
        problem = pages.AMOUNT_WANTED if entry.code == "unit" else entry.text
        return ParsedText(problem=problem)
    # No amount of money has three places behind its mark.
    if may_be_thousands(entry) and (before is None or text != before.amount):
        entry = in_thousands(entry)
    if not is_currency(currency):
        return ParsedText(problem=pages.CURRENCY_WANTED)
    value = (
        Money(amount=entry.magnitude, currency=currency)
        if before is None
        else before.replace(amount=entry.magnitude, currency=currency)
    )
    return ParsedText(value, f"read as {currency} {entry.magnitude}", remark_of(entry))


def _beside_amount(text: str, currency: str) -> tuple[str, str]:
    """Return an amount without the currency typed beside it, and that one, else `currency`."""
    for sign, code in CURRENCY_SIGNS.items():
        if sign in text:
            # One sign stands for many dollars: what the offer is in goes first.
            same = sign == "$" and currency.endswith("D")
            return text.replace(sign, " ").strip(), currency if same else code
    words = text.split()
    named = [w for w in words if len(w) == _CURRENCY_LENGTH and w.isascii() and w.isalpha()]
    if named and len(words) > 1:
        words.remove(named[0])
        currency = named[0].upper()
    return " ".join(words), currency
