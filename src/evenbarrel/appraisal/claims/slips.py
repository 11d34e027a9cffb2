"""The closed list of slips: single changes that print a sound offer as it stands.

A slip changes one datum of one screw, or that datum of every screw of a unit where all are
printed alike: a column. It is a suggestion; nothing is corrected by it.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from itertools import chain
from math import inf

from evenbarrel.appraisal.claims.agreement import within
from evenbarrel.appraisal.claims.context import ClaimContext
from evenbarrel.appraisal.claims.plausible import PRESSURE_HIGH, PRESSURE_LOW, is_plausible
from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedNumber, StatedUnit
from evenbarrel.units import scale

_SPEEDS = ("injection_speed", "peripheral_speed")

MISPRINTED_UNITS: Mapping[str, tuple[tuple[str, str, str], ...]] = {
    "in3_as_cm3": (("volume", "in3", "cm3"), ("volume_rate", "in3/s", "cm3/s")),
    "cm3_as_in3": (("volume", "cm3", "in3"), ("volume_rate", "cm3/s", "in3/s")),
    "oz_as_g": (("mass", "oz", "g"), ("mass_rate", "oz/s", "g/s")),
    "g_as_oz": (("mass", "g", "oz"), ("mass_rate", "g/s", "oz/s")),
    "fl_oz_as_cm3": (("volume", "fl_oz", "cm3"),),
    "psi_as_bar": (("melt_pressure", "psi", "bar"), ("oil_pressure", "psi", "bar")),
    "bar_as_psi": (("melt_pressure", "bar", "psi"), ("oil_pressure", "bar", "psi")),
    "MPa_as_bar": (("melt_pressure", "MPa", "bar"), ("oil_pressure", "MPa", "bar")),
    "bar_as_MPa": (("melt_pressure", "bar", "MPa"), ("oil_pressure", "bar", "MPa")),
    "in_as_mm": (("length", "in", "mm"), *((speed, "in/s", "mm/s") for speed in _SPEEDS)),
    "mm_as_in": (("length", "mm", "in"), *((speed, "mm/s", "in/s") for speed in _SPEEDS)),
    "kg_h_as_g_s": (("mass_rate", "kg/h", "g/s"),),
    "g_s_as_kg_h": (("mass_rate", "g/s", "kg/h"),),
    "lb_as_kg": (("mass", "lb", "kg"),),
    "lb_h_as_kg_h": (("mass_rate", "lb/h", "kg/h"),),
}
"""For each code: kind, the unit the number is in, the unit printed beside it."""

MISREAD_DIAMETER: Mapping[str, float] = {"radius_as_diameter": 2.0, "diameter_as_radius": 0.5}
DECIMAL = "decimal_shift"
DECIMAL_FACTORS = (10.0, 0.1)
NEIGHBOUR = "neighbour_barrel"
OIL = "oil_pressure"
SOLID = "solid_density"
OTHER_RESIN = "reference_resin"

AREA_POWER: Mapping[str, int] = {
    "swept_volume": 1,
    "rated_shot_mass": 1,
    "injection_rate": 1,
    "injection_pressure": -1,
}
"""How a datum goes with screw area on one drive and one stroke: what a neighbour's is worth."""

DATA: Mapping[str, tuple[str, ...]] = {
    "volume_geometry": ("swept_volume", "screw_diameter", "stroke"),
    "rated_mass_basis": ("rated_shot_mass", "swept_volume", "screw_diameter", "stroke"),
    "common_stroke": ("stroke", "swept_volume", "screw_diameter"),
    "drive_force": ("injection_pressure", "screw_diameter"),
    "size_number": ("injection_pressure", "screw_diameter", "stroke"),
    "injection_speed": ("injection_speed", "injection_rate", "screw_diameter"),
    "injection_power": ("injection_rate", "injection_pressure"),
    "pressure_kind": ("injection_pressure", "system_pressure"),
    "plasticising_energy": ("plasticising_rate",),
    "output_per_turn": (
        "plasticising_rate",
        "screw_diameter",
        "plasticising_speed",
        "screw_speed",
        "screw_speed_max",
    ),
    "peripheral_speed": ("peripheral_speed", "screw_diameter"),
    "length_ratio": ("length_ratio",),
    "reference_resin": ("reference_factor",),
}
"""The data of a barrel that a claim rests on."""

ON_OIL = frozenset(("pressure_kind", "drive_force", "size_number"))
ON_RATING = frozenset(("rated_mass_basis", "reference_resin"))

OIL_LOW, OIL_HIGH = 50e5, 350e5
"""What hydraulic circuits of injection units work with [Pa]; common practice, no source."""

NEAR_ONE_LOW, NEAR_ONE_HIGH = 0.67, 1.5
SOLID_AGREEMENT = 0.02


@dataclass(frozen=True, slots=True)
class Slip:
    """A slip as if corrected: the unit with the corrected number, the datum and its value [SI].

    `factor` is how far it moves the number, infinite where nobody can tell; `evident` where the
    number is printed identically for a neighbour; `column` where it runs through every screw.
    """

    code: str
    unit: StatedUnit
    datum: str
    value: float | None
    factor: float
    evident: bool = False
    column: bool = False

    def is_slight(self) -> bool:
        """Say whether the slip changes little, so that little of the gap may be left."""
        return NEAR_ONE_LOW <= self.factor <= NEAR_ONE_HIGH

    def is_of_unit(self) -> bool:
        """Say whether the slip is a unit printed for another."""
        return self.code in MISPRINTED_UNITS

    def needs_evidence(self) -> bool:
        """Say whether such a slip is easily found by chance, so that more evidence is needed."""
        return self.code == NEIGHBOUR or (self.is_slight() and self.code != SOLID)

    def changed_places(self, unit: StatedUnit) -> Collection[int]:
        """Return the places of the barrels that the slip changes in a unit."""
        pairs = zip(unit.barrels, self.unit.barrels, strict=True)
        return {place for place, (old, new) in enumerate(pairs) if old is not new}


class Slips:
    """The slips of one unit; a change that several of its claims ask for is made once."""

    def __init__(self, case: ClaimContext) -> None:
        self.case = case
        self._made: dict[tuple[int | None, str, float], StatedUnit | None] = {}

    def of(self, index: int, key: str) -> Iterator[Slip]:
        """Yield every plausible slip in the data one barrel's claim rests on, columns first."""
        unit = self.case.unit
        named = [name for name in DATA[key] if name in unit.barrels[index].numbers]
        if key in ON_OIL:
            yield from _oil_pressure(unit, index)
        if key in ON_RATING:
            yield from chain(_solid_density(self.case, index), _other_resin(self.case, index))
        for name in named:
            for code, factor in _factors(name, unit.barrels[index].numbers[name]):
                if code != DECIMAL:
                    yield from self._column(code, index, name, factor)
        for name in named:
            for code, factor in _factors(name, unit.barrels[index].numbers[name]):
                yield from self._scaled(code, index, name, factor)
            if name in AREA_POWER:
                for factor, same in _neighbours(unit, index, name):
                    yield from self._scaled(NEIGHBOUR, index, name, factor, evident=same)

    def _scaled(
        self, code: str, index: int, name: str, factor: float, *, evident: bool = False
    ) -> Iterator[Slip]:
        changed = self._changed(index, name, factor)
        if changed is not None:
            value = changed.barrels[index].value(name)
            yield Slip(code, changed, name, value, factor, evident)

    def _column(self, code: str, index: int, name: str, factor: float) -> Iterator[Slip]:
        """The same slip in the number of every screw, where all print it in one unit."""
        changed = self._changed(None, name, factor)
        if changed is not None:
            value = changed.barrels[index].value(name)
            yield Slip(code, changed, name, value, factor, column=True)

    def _changed(self, index: int | None, name: str, factor: float) -> StatedUnit | None:
        """Return the unit with a number changed, of one barrel or, for None, of all.

        None where that is not plausible, or no column.
        """
        made = (index, name, factor)
        if made not in self._made:
            unit = self.case.unit
            self._made[made] = (
                _all_corrected(unit, name, factor)
                if index is None
                else _one_corrected(unit, index, name, factor)
            )
        return self._made[made]


def _factors(name: str, number: StatedNumber) -> Iterator[tuple[str, float]]:
    """Yield the code and the correcting factor of every slip of one number."""
    yield from _unit_factors(number.kind, _printed_unit(number))
    if name == "screw_diameter":
        yield from MISREAD_DIAMETER.items()
    yield from ((DECIMAL, factor) for factor in DECIMAL_FACTORS)


def _printed_unit(number: StatedNumber) -> str:
    return number.printed.rpartition(" ")[2]


@cache
def _unit_factors(kind: str, printed: str) -> tuple[tuple[str, float], ...]:
    return tuple(
        (code, scale(meant, kind) / scale(printed, kind))
        for code, cases in MISPRINTED_UNITS.items()
        for of_kind, meant, shown in cases
        if (of_kind, shown) == (kind, printed)
    )


def _corrected(barrel: StatedBarrel, name: str, factor: float) -> StatedBarrel | None:
    """Return a barrel with one number changed; None where that is not plausible."""
    changed = barrel.with_number(name, barrel.numbers[name].times(factor))
    return changed if is_plausible(changed, name) else None


def _one_corrected(unit: StatedUnit, index: int, name: str, factor: float) -> StatedUnit | None:
    barrel = _corrected(unit.barrels[index], name, factor)
    return None if barrel is None else unit.with_barrel(index, barrel)


def _all_corrected(unit: StatedUnit, name: str, factor: float) -> StatedUnit | None:
    stated = [barrel.numbers[name] for barrel in unit.barrels if name in barrel.numbers]
    if len(stated) < 2 or len({_printed_unit(number) for number in stated}) > 1:
        return None
    return _every_barrel(
        unit,
        lambda barrel: _corrected(barrel, name, factor) if name in barrel.numbers else barrel,
    )


def _every_barrel(
    unit: StatedUnit, change: Callable[[StatedBarrel], StatedBarrel | None]
) -> StatedUnit | None:
    barrels = tuple(change(barrel) for barrel in unit.barrels)
    whole = tuple(barrel for barrel in barrels if barrel is not None)
    return replace(unit, barrels=whole) if len(whole) == len(barrels) else None


def _neighbours(unit: StatedUnit, index: int, name: str) -> Iterator[tuple[float, bool]]:
    """Yield by how much a number that is another screw's would be wrong here.

    Brought to this screw's area it would be right; with it, whether both are printed alike.
    """
    own = unit.barrels[index]
    diameter = own.value("screw_diameter")
    for place, other in enumerate(unit.barrels):
        other_diameter = other.value("screw_diameter")
        if place == index or diameter is None or other_diameter in (None, diameter):
            continue
        factor = (diameter / other_diameter) ** (2 * AREA_POWER[name])
        other_number = other.numbers.get(name)
        same = other_number is not None and other_number.printed == own.numbers[name].printed
        yield factor, same


def _oil_pressure(unit: StatedUnit, index: int) -> Iterator[Slip]:
    """The pressures are the oil's: the melt's follow where intensification ratios are stated."""
    own = unit.barrels[index]
    pressures = [number for barrel in unit.barrels if (number := _printed_pressure(barrel))]
    if _printed_pressure(own) is None or unit.unit.drive_kind == "electric":
        return
    if not all(OIL_LOW <= pressure.value <= OIL_HIGH for pressure in pressures):
        return
    changed = _every_barrel(unit, _on_oil)
    if changed is None:
        return
    ratio = own.value("intensification_ratio")
    value = None if ratio is None else own.numbers["injection_pressure"].value * ratio
    factor = inf if ratio is None else ratio
    yield Slip(OIL, changed, "injection_pressure", value, factor, column=len(pressures) > 1)


def _printed_pressure(barrel: StatedBarrel) -> StatedNumber | None:
    """Return a pressure printed as melt pressure, or without saying which."""
    return (
        None if barrel.barrel.pressure_kind == "oil" else barrel.numbers.get("injection_pressure")
    )


def _on_oil(barrel: StatedBarrel) -> StatedBarrel | None:
    pressure, ratio = _printed_pressure(barrel), barrel.value("intensification_ratio")
    if pressure is None:
        return barrel
    if ratio is not None and not PRESSURE_LOW <= pressure.value * ratio <= PRESSURE_HIGH:
        return None
    return replace(barrel, barrel=barrel.barrel.replace(pressure_kind="oil"))


def _solid_density(case: ClaimContext, index: int) -> Iterator[Slip]:
    """The mass, and a factor quoted with it, were reckoned with the solid density."""
    own = case.unit.barrels[index]
    resin = case.resin(own.barrel.reference_resin)
    if resin is None or resin.factor is None or resin.solid_density is None:
        return
    solid, factor = resin.solid_density, resin.factor / resin.solid_density

    def rated_again(barrel: StatedBarrel) -> StatedBarrel:
        if barrel.barrel.reference_resin != own.barrel.reference_resin:
            return barrel
        for name in ("rated_shot_mass", "reference_factor"):
            number = barrel.numbers.get(name)
            is_mass = name == "rated_shot_mass"
            if number is not None and (is_mass or _is_solid(number, solid)):
                barrel = barrel.with_number(name, number.times(factor))
        return barrel

    for changed, column in _column_then_one(case.unit, index, rated_again):
        mass = changed.barrels[index].value("rated_shot_mass")
        if mass is not None:
            yield Slip(SOLID, changed, "rated_shot_mass", mass, factor, column=column)


def _is_solid(number: StatedNumber, solid: float) -> bool:
    return within(abs(number.value / solid - 1), SOLID_AGREEMENT)


def _column_then_one(
    unit: StatedUnit, index: int, change: Callable[[StatedBarrel], StatedBarrel]
) -> Iterator[tuple[StatedUnit, bool]]:
    column = replace(unit, barrels=tuple(change(barrel) for barrel in unit.barrels))
    if sum(old is not new for old, new in zip(unit.barrels, column.barrels, strict=True)) > 1:
        yield column, True
    yield unit.with_barrel(index, column.barrels[index]), False


def _other_resin(case: ClaimContext, index: int) -> Iterator[Slip]:
    """The mass was rated in another resin than the one named."""
    own = case.unit.barrels[index].barrel.reference_resin
    named = case.resin(own)
    if named is None or named.factor is None:
        return
    for resin in case.resins.values():
        if resin.id == own or resin.factor is None:
            continue

        def in_resin(barrel: StatedBarrel, name: str = resin.id) -> StatedBarrel:
            if barrel.barrel.reference_resin != own:
                return barrel
            return replace(barrel, barrel=barrel.barrel.replace(reference_resin=name))

        factor = resin.factor / named.factor
        for changed, column in _column_then_one(case.unit, index, in_resin):
            yield Slip(OTHER_RESIN, changed, "reference_resin", None, factor, column=column)
