"""Data of several parts, written in one line: zones, residence limits, fillers, the scope."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType

from pydantic import BaseModel

from evenbarrel.entry.amount import read_money
from evenbarrel.entry.number import Refusal, read_number
from evenbarrel.model.datum import Datum, data_of
from evenbarrel.model.offers.bid import Barrel, Zones
from evenbarrel.model.offers.terms import ScopeLine
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import Filler, ResidenceLimit, Resin
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.words import labels

NESTED: Mapping[type[BaseModel], Mapping[str, Datum]] = MappingProxyType(
    {
        Barrel: {
            "zones": Datum(
                "Screw zones", "Feed / compression / metering, such as 50 / 25 / 25 %", "geometry"
            )
        },
        Resin: {
            "residence_limits": Datum(
                "Residence limits",
                "Longest residence time, such as 230 °C: 12 min; 250 °C: 6 min",
                "process",
            ),
            "fillers": Datum(
                "Fillers",
                "Share of mass and solid density, such as glass 30 % at 2.55 g/cm³",
                "density",
            ),
        },
    }
)
"""Described here: these data have no single kind, so the model does not describe them."""

Nested = Zones | tuple[ResidenceLimit, ...] | tuple[Filler, ...]

_SHARE = Datum("Share", kinds=("share",), sign="non_negative")
# A share never begins inside a row of digits: a long one would else be tried from each of them.
_FILLER = re.compile(r"(?P<name>.*?)(?<![0-9])(?P<share>[0-9][0-9.,]* ?%) +at +(?P<density>.+)")
_ZONES = 3


_STATES = ("included", "extra", "missing", "not_stated")
_WITH_AMOUNT = ("extra", "missing")


class NotRead(Exception):
    """The text is no such data; the message is one sentence."""


def read_nested(name: str, text: str, before: object) -> Nested | None:
    """Return what `text` means for that datum, None for no zones; raises NotRead.

    A number that stood there before keeps its source and standing.
    """
    if name == "zones":
        return _zones(text)
    parts = [part.strip() for part in text.split(";") if part.strip()]
    known = before if isinstance(before, tuple) else ()
    if name == "fillers":
        return _fillers(parts, known)
    return tuple(_limit(part, known) for part in parts)


def written_nested(value: object) -> str:
    """Return the data as text that reads back into itself."""
    if isinstance(value, Zones):
        shares = (value.feed, value.compression, value.metering)
        return " / ".join(_percent(share) for share in shares) + " %"
    return "; ".join(_written(one) for one in value) if isinstance(value, tuple) else ""


def read_scope(text: str, currency: str, before: object) -> ScopeLine | None:
    """Return a line of the scope, as `freight: extra 3800 EUR`, None for an empty text.

    Where no item is typed it is that of the line before. Raises NotRead.
    """
    if not text:
        return None
    known = before if isinstance(before, ScopeLine) else None
    item, _, said = (part.strip() for part in text.rpartition(":"))
    item = item or ("" if known is None else known.item)
    found = next((state for state in _STATES if said.casefold().startswith(_word_of(state))), None)
    if not item or found is None:
        raise NotRead(pages.SCOPE_WANTED)
    stood = None if known is None else known.amount
    amount = read_money(said[len(_word_of(found)) :].strip(" ,;"), currency, stood)
    if amount.problem or (amount.value is not None and found not in _WITH_AMOUNT):
        raise NotRead(pages.SCOPE_WANTED)
    return ScopeLine.model_validate({"item": item, "state": found, "amount": amount.value})


def written_scope(line: ScopeLine) -> str:
    """Return a line of the scope as text that reads back into itself."""
    amount = "" if line.amount is None else f" {line.amount.amount} {line.amount.currency}"
    return f"{line.item}: {labels.choice(line.state)}{amount}"


def _word_of(state: str) -> str:
    return labels.choice(state).casefold()


def _written(one: object) -> str:
    spoken = pages.spoken_quantity
    if isinstance(one, ResidenceLimit):
        return f"{spoken(one.temperature)}: {spoken(one.time)}"
    if isinstance(one, Filler):
        return f"{one.name} {_percent(one.mass_share)} % at {spoken(one.density)}"
    return ""


def _percent(share: float) -> str:
    return f"{share * 100:.12g}"


def _zones(text: str) -> Zones | None:
    if not text:
        return None
    parts = text.removesuffix("%").split("/")
    if len(parts) != _ZONES:
        raise NotRead(pages.ZONES_WANTED)
    feed, compression, metering = (_share(part) for part in parts)
    if abs(feed + compression + metering - 1.0) > 0.01:
        raise NotRead(pages.ZONES_WANTED)
    return Zones(feed=feed, compression=compression, metering=metering)


def _share(text: str) -> float:
    share = _number(text, _SHARE, "%", ())
    value = float(share.magnitude) / (100.0 if share.unit == "%" else 1.0)
    if value > 1.0:
        raise NotRead(pages.SHARE_WANTED)
    return value


def _limit(text: str, known: Iterable[object]) -> ResidenceLimit:
    temperature, colon, time = text.partition(":")
    if not colon:
        raise NotRead(pages.STAYS_WANTED)
    data = data_of(ResidenceLimit)
    before = [one for one in known if isinstance(one, ResidenceLimit)]
    return ResidenceLimit(
        temperature=_number(
            temperature, data["temperature"], "degC", (one.temperature for one in before)
        ),
        time=_number(time, data["time"], "min", (one.time for one in before)),
    )


def _fillers(parts: Iterable[str], known: tuple[object, ...]) -> tuple[Filler, ...]:
    fillers = tuple(_filler(part, known) for part in parts)
    if sum(filler.mass_share for filler in fillers) > 1.0:
        raise NotRead(pages.FILLERS_TOO_MUCH)
    return fillers


def _filler(text: str, known: Iterable[object]) -> Filler:
    parts = _FILLER.fullmatch(text)
    if parts is None:
        raise NotRead(pages.FILLERS_WANTED)
    densities = (one.density for one in known if isinstance(one, Filler))
    return Filler(
        name=parts["name"].rstrip(" ,"),
        mass_share=_share(parts["share"]),
        density=_number(parts["density"], data_of(Filler)["density"], "g/cm3", densities),
    )


def _number(text: str, datum: Datum, unit: str, known: Iterable[Quantity]) -> Quantity:
    entry = read_number(text, datum.units, unit)
    if entry is None:
        raise NotRead(pages.NUMBER_WANTED)
    if isinstance(entry, Refusal):
        raise NotRead(entry.text)
    problem = datum.problem(entry.magnitude, entry.unit)
    if problem is not None:
        raise NotRead(problem)
    same = (one for one in known if (one.magnitude, one.unit) == (entry.magnitude, entry.unit))
    return next(same, Quantity(magnitude=entry.magnitude, unit=entry.unit))
