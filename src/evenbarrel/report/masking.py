"""An evaluation without prices, or without who offers: for people who are not to see them."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Any, Literal

from pydantic_core import to_json

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.entry.wordings import money_words
from evenbarrel.model.base import LONGEST_TEXT
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Bid
from evenbarrel.wording.standing_by import masking as words
from evenbarrel.wording.standing_by.signatures import STATEMENTS

Masked = Literal["prices", "suppliers", "both"]

_TEXTS = frozenset(
    {
        *("name", "title", "buyer", "site", "supplier", "reference", "revision", "delivery"),
        *("payment", "warranty", "notes", "note", "source", "text", "reason", "condition"),
        *("conditions", "statement", "person", "label", "designation", "method", "remedy", "kind"),
        *("item", "when", "energy_method", "family"),
    }
)
"""Fields that hold what somebody wrote; others hold words of closed lists, or ids."""
_CLOSED = frozenset({"kind"})
"""Of these, words of closed lists too: only a cost line's is text, which has an amount beside."""
_PROSE = frozenset(
    {
        *("delivery", "payment", "warranty", "notes", "note", "source", "text", "reason"),
        *("condition", "conditions", "statement"),
    }
)
"""Of these, what is written in sentences: each may speak of a price without an amount."""
_SENTENCE_END = re.compile(r"(?<=[.!?…])\s+|\n\s*\n")
_REPEATED = re.compile(rf"(?:{re.escape(words.MASKED)}\s+)+(?={re.escape(words.MASKED)})")
_SHORTEST = 3
"""A name of fewer letters is no name to look for inside other words."""
_NUMBER = r"\d[\d  .,'’]*"
_IDS = ("id", "bid", "unit", "barrel", "revises", "standard_barrel")


def masked(appraisal: Appraisal, what: Masked) -> Appraisal:
    """Return the appraisal of the same evaluation with prices, suppliers' names or both masked.

    No amount of money and no name is left in it, in texts neither, as far as they stand there as
    they were entered; with prices masked no sentence that speaks of money either, as far as its
    words tell. It remembers what it masks: the same digest is printed, and signatures are
    judged under what was signed.
    """
    data = appraisal.evaluation.model_dump(mode="json", by_alias=True)
    data["signed_states"] = []
    if what in ("prices", "both"):
        _drop_money(data)
        _each_text(data, _without_money(appraisal.evaluation), _PROSE)
        _each_text(data, _without_amounts(appraisal.evaluation))
    if what in ("suppliers", "both"):
        _rename(data, appraisal.evaluation)
        _each_text(data, _without_names(appraisal.evaluation))
    data["title"] = words.masked_title(data["title"], what)[:LONGEST_TEXT]
    evaluation = Evaluation.model_validate_json(to_json(data))
    return replace(appraise(evaluation), masks=appraisal)


def _each_text(
    value: Any, how: Callable[[str], str], fields: frozenset[str] = _TEXTS, name: str = ""
) -> Any:
    """Put every text that somebody wrote in one of `fields` through `how`, in place."""
    if isinstance(value, dict):
        for key, part in value.items():
            closed = key in _CLOSED and "amount" not in value
            value[key] = part if closed else _each_text(part, how, fields, key)
        return value
    if isinstance(value, list):
        return [_each_text(part, how, fields, name) for part in value]
    return how(value) if isinstance(value, str) and name in fields else value


# Prices ----------------------------------------------------------------------------------------


def _drop_money(value: Any) -> None:
    """Leave every amount out, in place, and what is nothing without one."""
    if isinstance(value, dict):
        if "exchange_rates" in value:
            value["exchange_rates"], value["lines"] = [], []
        for key, part in value.items():
            if isinstance(part, dict) and {"amount", "currency"} <= set(part):
                value[key] = None
            else:
                _drop_money(part)
    elif isinstance(value, list):
        for part in value:
            _drop_money(part)


def _without_amounts(evaluation: Evaluation) -> Callable[[str], str]:
    """Return how to take amounts out of a text: those entered, and any beside a currency."""
    beside = _beside_currency(evaluation)
    found = {amount for amount, _ in _amounts(evaluation)}
    digits = sorted({amount for amount in found if len(amount) >= _SHORTEST}, key=len)[::-1]
    grouped = [_grouped(amount) for amount in digits]
    entered = re.compile("|".join(rf"(?<!\d){text}(?!\d)" for text in grouped) or r"(?!)")
    return lambda text: entered.sub(words.MASKED, beside.sub(words.MASKED, text))


def _beside_currency(evaluation: Evaluation) -> re.Pattern[str]:
    codes = {currency for _, currency in _amounts(evaluation)}
    codes |= {evaluation.currency, "EUR", "USD", "GBP", "CHF"}
    signs = "|".join([*sorted(codes), "€", r"\$", "£"])
    return re.compile(rf"(?:{signs})\s*{_NUMBER}|{_NUMBER}\s*(?:{signs})", re.IGNORECASE)


def _without_money(evaluation: Evaluation) -> Callable[[str], str]:
    """Return how to mask each sentence of a text that names an amount or speaks of money.

    What a role answers for in the program's own words tells no price, and stays.
    """
    parts, whole = ("|".join(map(re.escape, wordings)) for wordings in money_words())
    speaks = re.compile(rf"{parts}|\b(?:{whole})\b|[€$£]", re.IGNORECASE)
    beside, own = _beside_currency(evaluation), frozenset(STATEMENTS.values())

    def without(text: str) -> str:
        if text in own:
            return text
        line = "".join(
            f"{words.MASKED}{sentence[len(sentence.rstrip()) :]}"
            if speaks.search(sentence) or beside.search(sentence)
            else sentence
            for sentence in _sentences(text)
        )
        return _REPEATED.sub("", line)

    return without


def _sentences(text: str) -> Iterator[str]:
    """Yield the sentences of a text, each with the white space behind it.

    Before a small letter or a digit none ends: "approx. 5 %".
    """
    begun = 0
    for end in _SENTENCE_END.finditer(text):
        after = text[end.end() : end.end() + 1]
        if not (after.islower() or after.isdigit()):
            yield text[begun : end.end()]
            begun = end.end()
    yield text[begun:]


def _grouped(amount: str) -> str:
    """Return an amount as a pattern that takes it with its thousands apart, too."""
    whole, _, cents = amount.partition(".")
    body = r"[  .,'’]?".join(re.escape(digit) for digit in whole)
    return body + (rf"[.,]{re.escape(cents)}" if cents else "")


def _amounts(evaluation: Evaluation) -> Iterator[tuple[str, str]]:
    """Yield every amount that is entered, without its sign, and its currency."""
    return _amounts_in(evaluation.model_dump(mode="json", by_alias=True))


def _amounts_in(value: Any) -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        if {"amount", "currency"} <= set(value) and isinstance(value["amount"], str):
            yield value["amount"].lstrip("-"), value["currency"]
        for part in value.values():
            yield from _amounts_in(part)
    elif isinstance(value, list):
        for part in value:
            yield from _amounts_in(part)


# Suppliers -------------------------------------------------------------------------------------


def _rename(data: dict[str, Any], evaluation: Evaluation) -> None:
    """Give offers, units and screws other names and ids, in place; the plant's own keep theirs."""
    ids: dict[str, str] = {}
    for number, bid in enumerate(data["bids"]):
        own = _is_own(bid)
        ids[bid["id"]] = f"offer{number + 1}"
        bid["documents"] = []
        if not own:
            bid["supplier"] = words.supplier(number)
            bid["reference"] = bid["revision"] = ""
        for place, unit in enumerate(bid["units"]):
            ids[unit["id"]] = f"offer{number + 1}_unit{place + 1}"
            for at, barrel in enumerate(unit["barrels"]):
                ids[barrel["id"]] = f"offer{number + 1}_unit{place + 1}_screw{at + 1}"
                if not own:
                    barrel["label"] = words.screw(at)
            if not own:
                unit["designation"] = words.unit(place)
    known = {bid.id for bid in evaluation.bids}
    for answer in data["answers"]:
        owner, _, datum = answer["question"].rpartition(".")
        if owner in known:
            answer["question"] = f"{ids[owner]}.{datum}"
    for name, part in data.items():
        if name not in ("resins", "jobs", "answers"):
            _with_ids(part, ids)


def _with_ids(value: Any, ids: Mapping[str, str]) -> None:
    if isinstance(value, dict):
        for key, part in value.items():
            if key in _IDS and isinstance(part, str) and "magnitude" not in value:
                value[key] = ids.get(part, part)
            elif key == "barrels" and part and isinstance(part[0], str):
                value[key] = [ids.get(one, one) for one in part]
            else:
                _with_ids(part, ids)
    elif isinstance(value, list):
        for part in value:
            _with_ids(part, ids)


def _is_own(bid: dict[str, Any]) -> bool:
    return bool(bid["units"]) and all(unit["owned_copies"] for unit in bid["units"])


def _without_names(evaluation: Evaluation) -> Callable[[str], str]:
    """Return how to take suppliers' names, offer numbers and designations out of a text.

    A screw behind its unit's designation is called as in the tables, with its supplier.
    """
    names: dict[str, str] = {}
    screws: dict[str, str] = {}
    for number, bid in enumerate(evaluation.bids):
        if _is_own(bid.model_dump()):
            continue
        called = {bid.supplier: words.supplier(number), bid.reference: words.MASKED}
        first = bid.supplier.split(" ")[0]
        called |= {first: words.supplier(number)} if len(first) > _SHORTEST else {}
        called |= {unit.designation: words.unit(at) for at, unit in enumerate(bid.units)}
        called |= {document.name: words.MASKED for document in bid.documents}
        names |= {name.casefold(): new for name, new in called.items() if len(name) >= _SHORTEST}
        screws |= _screws_called(bid, number)
    longest_first = sorted(names, key=len)[::-1]
    # Written as it is and whole: `Unit 604 a` and `Unit 604 Brass` are no screws.
    parts = [rf"(?-i:{re.escape(name)})(?!\w)" for name in sorted(screws, key=len)[::-1]]
    pattern = re.compile("|".join([*parts, *map(re.escape, longest_first)]) or r"(?!)", re.I)

    def called_now(met: re.Match[str]) -> str:
        return screws.get(met[0]) or names.get(met[0].casefold(), words.MASKED)

    return lambda text: pattern.sub(called_now, text)


def _screws_called(bid: Bid, number: int) -> dict[str, str]:
    """Return what each screw of an offer is called instead, with its supplier before it or not."""
    called: dict[str, str] = {}
    for place, unit in enumerate(bid.units):
        for at, barrel in enumerate(unit.barrels):
            if not unit.designation or not barrel.label:
                continue
            name = f"{unit.designation} {barrel.label}"
            new = f"{words.supplier(number)}, {words.unit(place)} {words.screw(at)}"
            before = ("", f"{bid.supplier} ", f"{bid.supplier}, ") if bid.supplier else ("",)
            called |= {f"{one}{name}": new for one in before}
    return called
