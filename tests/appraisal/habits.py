"""What the habits of the trade make of a sound offer: it stays sound, and is printed otherwise.

Each habit takes an offer as `catalogue.sound_offer` draws it and returns it as a brochure would
print it; one that has nothing to change returns the offer as it is. From common practice, invented
numbers.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import floor, pi
from random import Random

from .catalogue import Fields, Offer, number, to_digits

Habit = Callable[[Offer, Random], Offer]


def _each(offer: Offer, change: Callable[[int, Fields], Fields]) -> Offer:
    screws = enumerate(offer.screws)
    return replace(offer, screws=tuple(screw | change(place, screw) for place, screw in screws))


def _times(screw: Fields, name: str, factor: float) -> Fields:
    text = screw[name]
    return {name: f"{to_digits(number(text) * factor, 3, 3)} {text.rpartition(' ')[2]}"}


def rated_a_little_otherwise(offer: Offer, random: Random) -> Offer:
    """Rate the mass on a factor of its own, some per cent off the usual one."""
    factor = random.choice((0.88, 0.90, 0.92, 0.93, 0.95)) / 0.91
    if offer.screws[0]["reference_resin"] == "pp":
        factor = random.choice((0.98, 1.02, 1.03))
    return _each(offer, lambda _, screw: _times(screw, "rated_shot_mass", factor))


def cut_off(offer: Offer, random: Random) -> Offer:
    """Cut volumes off instead of rounding them."""

    def cut(_: int, screw: Fields) -> Fields:
        text, _, unit = screw["swept_volume"].rpartition(" ")
        places = len(text.partition(".")[2])
        sizes = [number(screw[name]) for name in ("screw_diameter", "stroke")]
        scales = [25.4 if screw[n].endswith("in") else 1.0 for n in ("screw_diameter", "stroke")]
        diameter, stroke = (size * scale for size, scale in zip(sizes, scales, strict=True))
        volume = pi / 4 * diameter**2 * stroke / (16387.064 if unit == "in3" else 1000.0)
        return {"swept_volume": f"{floor(volume * 10**places) / 10**places:.{places}f} {unit}"}

    return _each(offer, cut)


def with_the_highest_speed_alone(offer: Offer, random: Random) -> Offer:
    """Print the highest screw speed, and the rate at a lower one that is not told."""
    times = random.uniform(1.0, 2.2)

    def told(_: int, screw: Fields) -> Fields:
        fastest = number(screw["plasticising_speed"]) * times
        told_of = {"plasticising_speed": None, "peripheral_speed": None}
        return told_of | {"screw_speed_max": f"{fastest:.0f} rev/min"}

    return _each(offer, told)


def called_by_a_round_number(offer: Offer, random: Random) -> Offer:
    """Call the unit by a number of two digits."""
    text = offer.unit.get("size_number")
    if text is None:
        return offer
    exact = number(text)
    step = 10 ** max(len(f"{exact:.0f}") - 2, 0)
    return replace(offer, unit=offer.unit | {"size_number": f"{round(exact / step) * step} 1"})


def limited_each_for_itself(offer: Offer, random: Random) -> Offer:
    """Let each barrel but the largest have a limit of its own below the drive's force."""
    if offer.unit["drive_kind"] != "electric" or len(offer.screws) < 2:
        return offer
    largest = offer.screws[-1]
    area = number(largest["screw_diameter"]) ** 2
    force = number(largest["injection_pressure"]) * area
    share, limits = 1.0, []
    for screw in reversed(offer.screws):
        limits.append(force * share / number(screw["screw_diameter"]) ** 2)
        # Less force than the next larger one has, yet more pressure.
        share *= random.uniform(0.93, 0.97)
    pressures = limits[::-1]

    def limited(place: int, screw: Fields) -> Fields:
        unit = screw["injection_pressure"].rpartition(" ")[2]
        alone: Fields = {"system_pressure": None, "intensification_ratio": None}
        return alone | {"injection_pressure": f"{to_digits(pressures[place], 4)} {unit}"}

    return replace(_each(offer, limited), unit={**offer.unit, "size_number": None})


def of_graded_lengths(offer: Offer, random: Random) -> Offer:
    """Give the smallest screw one diameter more than the others of one L/D."""

    def graded(place: int, screw: Fields) -> Fields:
        return {"length_ratio": "21 1" if place == 0 else "20 1"}

    return _each(offer, graded)


def with_a_small_drive(offer: Offer, random: Random) -> Offer:
    """Let a drive that stores energy, or whose kind is not told, give several times its power."""
    if offer.unit["drive_kind"] not in ("accumulator", None):
        return offer
    drive = number(offer.unit["drive_power"]) / random.uniform(1.0, 3.0)
    return replace(offer, unit=offer.unit | {"drive_power": f"{to_digits(drive)} kW"})


def with_half_of_it_left_out(offer: Offer, random: Random) -> Offer:
    """Leave out what a brochure has no room for: the same of every screw."""
    names = [name for name in offer.screws[0] if name != "screw_diameter"]
    kept = set(random.sample(names, len(names) // 2)) | {"screw_diameter"}
    screws = tuple({n: v for n, v in screw.items() if n in kept} for screw in offer.screws)
    unit = {n: v for n, v in offer.unit.items() if n == "drive_kind" or random.random() < 0.5}
    return Offer(screws, unit)


HABITS: tuple[Habit, ...] = (
    rated_a_little_otherwise,
    cut_off,
    with_the_highest_speed_alone,
    called_by_a_round_number,
    limited_each_for_itself,
    of_graded_lengths,
    with_a_small_drive,
)


def as_the_trade_prints_it(offer: Offer, random: Random) -> Offer:
    """Return an offer with some of the habits, and now and then with half of it left out."""
    for habit in HABITS:
        if random.random() < 0.4:
            offer = habit(offer, random)
    return with_half_of_it_left_out(offer, random) if random.random() < 0.4 else offer
