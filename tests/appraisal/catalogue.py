"""Sound offers as catalogues print them, and single slips planted in them.

Sizes, ratios and habits of rounding are invented, within what is common practice: printed numbers
follow from each other and are rounded, drives give up to three times their power for a stroke,
small screws have a capped pressure, screws of a unit share one L/D or one length.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import pi
from random import Random
from typing import Any

from evenbarrel.units import KINDS as UNIT_KINDS
from evenbarrel.units import from_si, scale

Fields = dict[str, Any]
Change = Callable[[Fields], Fields]
"""The data of a screw that are printed otherwise, by name."""

DIAMETERS_MM = (18, 20, 22, 25, 28, 30, 32, 35, 38, 40, 42, 45, 48, 50, 55, 60, 65, 70, 80, 90, 100)
DIAMETERS_IN = (0.75, 0.875, 1.0, 1.125, 1.25, 1.375, 1.5, 1.75, 2.0, 2.25, 2.5, 2.75, 3.0, 3.5)

FACTORS = {"ps": 910.0, "pp": 730.0}
MELT_DENSITY = 970.0
SOLID_DENSITY = 1050.0
ENTHALPY = 370e3
"""Of polystyrene, but for the second factor, as tests/appraisal/conftest.py has them."""

UNITS: Mapping[str, tuple[str, str]] = {
    "screw_diameter": ("mm", "in"),
    "stroke": ("mm", "in"),
    "swept_volume": ("cm3", "in3"),
    "rated_shot_mass": ("g", "oz"),
    "injection_pressure": ("bar", "psi"),
    "injection_rate": ("cm3/s", "in3/s"),
    "injection_speed": ("mm/s", "in/s"),
    "plasticising_rate": ("g/s", "lb/h"),
    "peripheral_speed": ("m/s", "ft/min"),
}
KINDS: Mapping[str, str] = {
    "screw_diameter": "length",
    "stroke": "length",
    "swept_volume": "volume",
    "rated_shot_mass": "mass",
    "injection_pressure": "melt_pressure",
    "injection_rate": "volume_rate",
    "injection_speed": "injection_speed",
    "plasticising_rate": "mass_rate",
    "peripheral_speed": "peripheral_speed",
}


@dataclass(frozen=True)
class Offer:
    """One unit as printed: its screws' data and its own, each "number unit"."""

    screws: tuple[Fields, ...]
    unit: Fields


def to_digits(value: float, digits: int = 3, most_places: int = 3) -> str:
    """Return a number rounded to so many significant digits, whole ones kept, plainly written."""
    places = 0
    while places < most_places and abs(value) * 10**places < 10 ** (digits - 1):
        places += 1
    return f"{value:.{places}f}"


def printed(name: str, value: float, unit: str, digits: int = 3) -> str:
    """Return an SI value of a datum as printed in a unit."""
    return f"{to_digits(from_si(value, unit, KINDS[name]), digits)} {unit}"


def number(text: str) -> float:
    """Return the number of a printed text."""
    return float(text.rpartition(" ")[0])


def sound_offer(random: Random) -> Offer:
    """Return one unit with one to four screws whose printed numbers all follow from each other."""
    us = random.random() < 0.2
    units = {name: pair[us] for name, pair in UNITS.items()}
    if not us:
        units["injection_pressure"] = random.choice(("bar", "bar", "bar", "MPa"))
        units["plasticising_rate"] = random.choice(("g/s", "g/s", "kg/h"))
        units["rated_shot_mass"] = random.choice(("g", "g", "g", "kg"))
    sizes = DIAMETERS_IN if us else DIAMETERS_MM
    count = random.choice((1, 2, 3, 3, 3, 4))
    first = random.randrange(len(sizes) - count)
    return _Drive(random, us, units, sizes[first : first + count]).offer()


class _Drive:
    """The one drive, stroke and heaters that the screws of an offer share."""

    def __init__(
        self, random: Random, us: bool, units: Mapping[str, str], sizes: tuple[float, ...]
    ) -> None:
        self.random, self.units, self.sizes = random, units, sizes
        scale = 0.0254 if us else 1e-3
        self.diameters = [size * scale for size in sizes]
        middle = self.diameters[len(sizes) // 2]
        ratio = random.uniform(3.2, 4.8)
        self.stroke = round(ratio * middle / scale, 1 if us else 0) * scale
        if not us and self.stroke > 0.1:
            self.stroke = round(self.stroke / 5e-3) * 5e-3
        pressure = random.uniform(1500e5, 2200e5)
        self.force = pressure * _area(middle)
        # A limit is a round number.
        step = {"bar": 50e5, "MPa": 5e6, "psi": 500 * 6894.757}[units["injection_pressure"]]
        cap = round(random.uniform(1.15, 1.4) * pressure / step) * step
        self.cap = cap if len(sizes) > 2 else 4000e5
        self.speed = round(random.uniform(80, 300)) * 1e-3
        self.kind = random.choice((None, "hydraulic", "hydraulic", "accumulator", "electric"))
        self.resin = random.choice(("ps", "ps", "ps", "ps", "pp", None))
        self.rated = random.choice(("ps", None)) if self.resin == "ps" else "ps"
        longest = 29.0 * self.diameters[0]
        length = min(random.uniform(19, 23) * middle, longest)
        self.length = length if random.random() < 0.4 else None
        self.ratio = random.choice((20, 20, 21, 22, 23, 24))
        self.output = random.uniform(0.042, 0.072)
        self.rates: list[float] = []
        self.prints = {
            name: random.random() < share
            for name, share in (
                ("injection_speed", 0.5),
                ("peripheral_speed", 0.2),
                ("size_number", 0.6),
                ("injection_power", 0.4),
                ("system_pressure", 0.3),
            )
        }

    def offer(self) -> Offer:
        screws = tuple(self._screw(diameter) for diameter in self.diameters)
        return Offer(screws, self._unit(screws))

    def _pressure(self, diameter: float) -> float:
        unit = self.units["injection_pressure"]
        step = {"bar": 10e5, "MPa": 1e6, "psi": 6894757.0 / 10}[unit]
        free = self.force / _area(diameter)
        return round(min(free, self.cap) / step) * step

    def _screw(self, diameter: float) -> Fields:
        random, area = self.random, _area(diameter)
        turns = round(random.uniform(0.35, 0.75) / (pi * diameter) * 60 / 5) * 5
        rate = self.output * random.uniform(0.96, 1.04) * MELT_DENSITY * turns / 60 * diameter**3
        self.rates.append(rate)
        values = {
            "screw_diameter": diameter,
            "stroke": self.stroke,
            "swept_volume": area * self.stroke,
            "rated_shot_mass": area * self.stroke * FACTORS[self.resin or "ps"],
            "injection_pressure": self._pressure(diameter),
            "injection_rate": area * self._forward(),
            "plasticising_rate": rate,
        }
        if self.prints["injection_speed"]:
            values["injection_speed"] = self._forward()
        if self.prints["peripheral_speed"]:
            values["peripheral_speed"] = pi * diameter * turns / 60
        printed_digits = {"screw_diameter": 4, "stroke": 4, "injection_pressure": 3}
        fields: Fields = {
            name: printed(name, value, self.units[name], printed_digits.get(name, 3))
            for name, value in values.items()
        }
        lengths = self.ratio if self.length is None else self.length / diameter
        fields |= {
            "plasticising_speed": f"{turns} rev/min",
            "length_ratio": f"{to_digits(lengths, 3)} 1",
            "reference_resin": self.resin,
            "plasticising_resin": self.rated,
            "pressure_kind": random.choice(("melt", None)),
        }
        return fields | self._oil(fields)

    def _forward(self) -> float:
        """The forward speed as it is printed: to whole mm/s, or to 0.1 in/s."""
        step = 0.00254 if self.units["injection_speed"] == "in/s" else 1e-3
        return round(self.speed / step) * step

    def _oil(self, fields: Fields) -> Fields:
        if not self.prints["system_pressure"] or self.kind in (None, "electric"):
            return {}
        bar = number(fields["injection_pressure"]) * _BAR[self.units["injection_pressure"]]
        return {"system_pressure": "175 bar", "intensification_ratio": f"{bar / 175:.2f} 1"}

    def _unit(self, screws: tuple[Fields, ...]) -> Fields:
        random, middle = self.random, len(self.sizes) // 2
        area, speed = _area(self.diameters[middle]), self._forward()
        power = max(self._pressure(d) * _area(d) * speed for d in self.diameters)
        # The drive gives up to three times its power for a stroke.
        drive = power / random.uniform(0.8, 2.9)
        heat = max(self.rates) * ENTHALPY * random.uniform(0.9, 2.0)
        unit: Fields = {
            "drive_kind": self.kind,
            "drive_power": f"{to_digits(drive / 1e3)} kW",
            "plasticising_drive_power": f"{to_digits(heat * 0.8 / 1e3)} kW",
            "heating_power": f"{to_digits(heat * 0.8 / 1e3)} kW",
        }
        if self.prints["size_number"]:
            number_of_size = self._pressure(self.diameters[middle]) * area * self.stroke / 100
            unit["size_number"] = f"{to_digits(number_of_size)} 1"
        if self.prints["injection_power"]:
            most = 2.9 if self.kind in ("electric", "accumulator") else 1.0
            unit["injection_power"] = f"{to_digits(drive * random.uniform(0.6, most) / 1e3)} kW"
        return unit


_BAR = {"bar": 1.0, "MPa": 10.0, "psi": 0.0689475729}


def _area(diameter: float) -> float:
    return pi / 4 * diameter**2


@dataclass(frozen=True)
class Planted:
    """A slip planted in a sound offer: its code and datum, and the offer as it is then printed."""

    code: str
    datum: str
    offer: Offer


MEANT: Mapping[str, tuple[str, str]] = {
    "in3_as_cm3": ("in3", "cm3"),
    "cm3_as_in3": ("cm3", "in3"),
    "oz_as_g": ("oz", "g"),
    "g_as_oz": ("g", "oz"),
    "fl_oz_as_cm3": ("fl_oz", "cm3"),
    "psi_as_bar": ("psi", "bar"),
    "bar_as_psi": ("bar", "psi"),
    "MPa_as_bar": ("MPa", "bar"),
    "bar_as_MPa": ("bar", "MPa"),
    "in_as_mm": ("in", "mm"),
    "mm_as_in": ("mm", "in"),
    "kg_h_as_g_s": ("kg/h", "g/s"),
    "g_s_as_kg_h": ("g/s", "kg/h"),
    "lb_as_kg": ("lb", "kg"),
    "lb_h_as_kg_h": ("lb/h", "kg/h"),
}
"""The unit a number is in, and the unit printed beside it."""

TIMES: Mapping[str, tuple[float, ...]] = {
    "radius_as_diameter": (0.5,),
    "diameter_as_radius": (2.0,),
    "decimal_shift": (10.0, 0.1),
}
"""What a sound number is multiplied by."""

COLUMNS = frozenset(
    ("psi_as_bar", "bar_as_psi", "MPa_as_bar", "bar_as_MPa", "radius_as_diameter", "lb_h_as_kg_h")
)
"""Slips that run through every screw in about half of the offers they are planted in."""

KINDS_OF_SLIP = (
    *MEANT,
    *TIMES,
    "neighbour_barrel",
    "solid_density",
    "oil_pressure",
    "reference_resin",
)
COPIED = ("swept_volume", "rated_shot_mass", "injection_rate", "injection_pressure")
SHIFTED = ("screw_diameter", "stroke", *COPIED, "injection_speed")


def planted(code: str, random: Random) -> Planted:
    """Return a sound offer with one slip of that kind, drawing offers until one can have it."""
    while True:
        offer = sound_offer(random)
        possible = list(_slips(code, offer, random))
        if possible:
            return random.choice(possible)


def _slips(code: str, offer: Offer, random: Random) -> Iterator[Planted]:
    if code in MEANT:
        yield from _in_another_unit(code, offer, random)
    elif code in TIMES:
        yield from _times(code, offer, random)
    elif code == "neighbour_barrel":
        yield from _copied(offer)
    elif code == "oil_pressure" and offer.unit["drive_kind"] in (None, "hydraulic", "accumulator"):
        printed_oil = offer.screws[0].get("system_pressure") or random.choice(
            ("160 bar", "210 bar")
        )
        oil: Fields = {"injection_pressure": printed_oil, "pressure_kind": None}
        yield Planted(code, "injection_pressure", _in_every_screw(offer, lambda _: oil))
    elif code in ("solid_density", "reference_resin") and _rated_in_ps(offer):
        named = SOLID_DENSITY if code == "solid_density" else FACTORS["pp"]
        datum = "rated_shot_mass" if code == "solid_density" else "reference_resin"
        times = named / FACTORS["ps"]
        yield Planted(
            code, datum, _in_every_screw(offer, lambda s: _multiplied(s, "rated_shot_mass", times))
        )


def _rated_in_ps(offer: Offer) -> bool:
    return offer.screws[0]["reference_resin"] == "ps"


def _in_another_unit(code: str, offer: Offer, random: Random) -> Iterator[Planted]:
    meant, shown = MEANT[code]
    for name, kind in KINDS.items():
        if not all(unit in _units_of(kind) for unit in (meant, shown)):
            continue

        def misprinted(screw: Fields, name: str = name, kind: str = kind) -> Fields:
            text = screw.get(name)
            if text is None or text.rpartition(" ")[2] != shown:
                return {}
            value = number(text) * scale(shown, kind)
            return {name: f"{to_digits(value / scale(meant, kind), 3)} {shown}"}

        yield from _one_or_all(code, name, offer, misprinted, random)


def _times(code: str, offer: Offer, random: Random) -> Iterator[Planted]:
    names = ("screw_diameter",) if code != "decimal_shift" else SHIFTED
    for name in names:
        for times in TIMES[code]:
            yield from _one_or_all(
                code, name, offer, lambda s, n=name, t=times: _multiplied(s, n, t), random
            )


def _multiplied(screw: Fields, name: str, times: float) -> Fields:
    text = screw.get(name)
    if text is None:
        return {}
    unit = text.rpartition(" ")[2]
    return {name: f"{to_digits(number(text) * times, 4, 4)} {unit}"}


def _one_or_all(
    code: str, name: str, offer: Offer, change: Change, random: Random
) -> Iterator[Planted]:
    if code in COLUMNS and random.random() < 0.5:
        if any(change(screw) for screw in offer.screws):
            yield Planted(code, name, _in_every_screw(offer, change))
        return
    for place, screw in enumerate(offer.screws):
        changed = change(screw)
        if changed:
            yield Planted(code, name, _in_one_screw(offer, place, changed))


def _copied(offer: Offer) -> Iterator[Planted]:
    for place, screw in enumerate(offer.screws):
        for other in offer.screws:
            for name in COPIED:
                if other[name] != screw[name]:
                    changed = _in_one_screw(offer, place, {name: other[name]})
                    yield Planted("neighbour_barrel", name, changed)


def _in_one_screw(offer: Offer, place: int, changed: Fields) -> Offer:
    screws = list(offer.screws)
    screws[place] = screws[place] | changed
    return Offer(tuple(screws), offer.unit)


def _in_every_screw(offer: Offer, change: Change) -> Offer:
    return Offer(tuple(screw | change(screw) for screw in offer.screws), offer.unit)


def _units_of(kind: str) -> tuple[str, ...]:
    return UNIT_KINDS[kind].units
