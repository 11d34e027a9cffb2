"""Slips: the closed list of single changes that would explain a failed claim.

A slip changes one datum: one printed number, or, where a unit or a basis is printed once for all
screws, that number of every screw at once. It is a suggestion; nothing is corrected by it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from math import inf

from evenbarrel.appraisal.claims.context import ClaimContext
from evenbarrel.appraisal.claims.registry import KEYS, claims_for
from evenbarrel.appraisal.claims.verdict import within
from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedNumber, StatedUnit
from evenbarrel.appraisal.results import Claim
from evenbarrel.model.bid import Barrel
from evenbarrel.model.datum import data_of
from evenbarrel.units import scale

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
    "kgf_cm2_as_bar": (("melt_pressure", "kgf/cm2", "bar"), ("oil_pressure", "kgf/cm2", "bar")),
    "in_as_mm": (("length", "in", "mm"), ("speed", "in/s", "mm/s")),
    "mm_as_in": (("length", "mm", "in"), ("speed", "mm/s", "in/s")),
    "kg_h_as_g_s": (("mass_rate", "kg/h", "g/s"),),
    "g_s_as_kg_h": (("mass_rate", "g/s", "kg/h"),),
    "lb_as_kg": (("mass", "lb", "kg"),),
    "lb_h_as_kg_h": (("mass_rate", "lb/h", "kg/h"),),
}
"""For each code: kind, the unit the number is in, the unit printed beside it."""

MISREAD: tuple[tuple[str, float, tuple[str, ...] | None], ...] = (
    ("radius_as_diameter", 2.0, ("screw_diameter",)),
    ("diameter_as_radius", 0.5, ("screw_diameter",)),
    ("decimal_shift", 10.0, None),
    ("decimal_shift", 0.1, None),
)
"""Code, factor and the data it applies to, None for any."""

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
    "peripheral_speed": ("peripheral_speed", "screw_diameter"),
    "length_ratio": ("length_ratio",),
    "reference_resin": ("reference_factor",),
}
"""The data of a barrel that a claim rests on."""

ON_OIL = frozenset(("pressure_kind", "drive_force", "size_number", "injection_power"))
ON_RATING = frozenset(("rated_mass_basis", "reference_resin"))
ONE_SIDED = frozenset(("injection_power", "plasticising_energy", "pressure_kind", "length_ratio"))
"""Claims that are met by a whole range: there is no gap that has to close."""

NEAR_ONE_LOW, NEAR_ONE_HIGH = 0.67, 1.5
NEAR_ONE_GAP, OTHER_GAP = 0.01, 0.03
NEAR_ONE_TOLERANCES = 4.0
"""What is left of a gap, and how large it must be, before a slip is believed; common practice,
no source."""

SOLID_AGREEMENT = 0.02
WATER = 1000.0
"""[kg/m3]"""

_FAILED = ("query", "contradicts")
_RANK = {"agrees": 0, "not_stated": 0, "query": 1, "contradicts": 2}


@dataclass(frozen=True, slots=True)
class Slip:
    """One slip applied: the unit as it would be, and the datum with what it would be [SI].

    `factor` is how far it moves the number, infinite where nobody can tell; `evident` where the
    number is printed identically for a neighbour.
    """

    code: str
    unit: StatedUnit
    datum: str
    value: float | None
    factor: float
    evident: bool = False

    def is_slight(self) -> bool:
        """Say whether the slip changes little, so that little of the gap may be left."""
        return NEAR_ONE_LOW <= self.factor <= NEAR_ONE_HIGH

    def needs_evidence(self) -> bool:
        """Say whether chance alone would find such a slip, so that more must speak for it."""
        return self.code == "neighbour_barrel" or self.is_slight()


def find_misprints(
    case: ClaimContext, claims: tuple[tuple[Claim, ...], ...]
) -> tuple[tuple[Claim, ...], ...]:
    """Return the claims of a unit's barrels with the slips that would explain the failed ones."""
    if not any(claim.state in _FAILED for own in claims for claim in own):
        return claims
    return tuple(
        tuple(
            _explained(case, claims, index, claim) if claim.state in _FAILED else claim
            for claim in own
        )
        for index, own in enumerate(claims)
    )


def _explained(
    case: ClaimContext, claims: tuple[tuple[Claim, ...], ...], index: int, claim: Claim
) -> Claim:
    found: dict[tuple[str, str], Slip] = {}
    for slip in _slips(case, index, claim.key):
        named = (slip.code, slip.datum)
        if named not in found and _explains(slip, case, claims, index, claim):
            found[named] = slip
    slips = [slip for slip in found.values() if not _is_a_unit_slip_too(slip, found.values())]
    causes = tuple(sorted({slip.code for slip in slips}))
    if len(slips) != 1:
        return replace(claim, causes=causes)
    only = slips[0]
    return replace(
        claim, cause=only.code, cause_datum=only.datum, cause_value=only.value, causes=causes
    )


def _is_a_unit_slip_too(slip: Slip, found: Iterable[Slip]) -> bool:
    """MPa printed as bar also shifts the decimal point: one correction, named by its unit."""
    return slip.code == "decimal_shift" and any(
        _same_correction(slip, other) for other in found if other is not slip
    )


def _same_correction(one: Slip, other: Slip) -> bool:
    return one.datum == other.datum and abs(one.factor / other.factor - 1) < 1e-9


def _explains(
    slip: Slip,
    case: ClaimContext,
    claims: tuple[tuple[Claim, ...], ...],
    index: int,
    claim: Claim,
) -> bool:
    if slip.needs_evidence() and not _far_enough(claim):
        return False
    changed = replace(case, unit=slip.unit)
    after = claims_for(claim.key, changed)[index]
    if not _closes(slip, after):
        return False
    enough = slip.evident or not slip.needs_evidence()
    for old, new in _before_and_after(claims, changed):
        if old is claim:
            continue
        if _worse(old, new):
            return False
        enough = enough or _better(old, new)
    return enough


def _before_and_after(
    claims: tuple[tuple[Claim, ...], ...], changed: ClaimContext
) -> Iterator[tuple[Claim, Claim]]:
    """Yield every claim with what it would be, judged only as far as anybody asks."""
    for place, key in enumerate(KEYS):
        for own, new in zip(claims, claims_for(key, changed), strict=True):
            yield own[place], new


def _far_enough(claim: Claim) -> bool:
    if claim.gap is None or claim.tolerance is None:
        return False
    return abs(claim.gap) > NEAR_ONE_TOLERANCES * claim.tolerance


def _closes(slip: Slip, after: Claim) -> bool:
    """Say whether what is left of the gap is no more than was rounded away in print."""
    if after.key == "pressure_kind" and slip.code == "oil_pressure":
        return after.state not in _FAILED
    if after.state != "agrees":
        return False
    if after.key in ONE_SIDED or after.gap is None or after.tolerance is None:
        return True
    most = NEAR_ONE_GAP if slip.is_slight() else OTHER_GAP
    return within(abs(after.gap), min(after.tolerance, most))


def _worse(old: Claim, new: Claim) -> bool:
    if _RANK[new.state] != _RANK[old.state]:
        return _RANK[new.state] > _RANK[old.state]
    if new.state not in _FAILED or new.gap is None or old.gap is None:
        return False
    return abs(new.gap) > abs(old.gap) + (old.tolerance or 0.0)


def _better(old: Claim, new: Claim) -> bool:
    return new.state != "not_stated" and _RANK[new.state] < _RANK[old.state]


def _slips(case: ClaimContext, index: int, key: str) -> Iterator[Slip]:
    """Yield every plausible slip in the data that one barrel's claim rests on."""
    barrel = case.unit.barrels[index]
    for name in DATA[key]:
        number = barrel.numbers.get(name)
        if number is not None:
            yield from _of_number(case.unit, index, name, number)
    if key in ON_OIL:
        yield from _oil_pressure(case.unit, index)
    if key in ON_RATING:
        yield from _solid_density(case, index)
        yield from _other_resin(case, index)


def _of_number(unit: StatedUnit, index: int, name: str, number: StatedNumber) -> Iterator[Slip]:
    printed_unit = number.printed.rpartition(" ")[2]
    for code, factor in _unit_slips(number.kind, printed_unit):
        yield from _scaled(code, unit, index, name, factor)
        yield from _column(code, unit, index, name, factor)
    for code, factor, data in MISREAD:
        if data is None or name in data:
            yield from _scaled(code, unit, index, name, factor)
    if name in AREA_POWER:
        yield from _neighbour(unit, index, name)


@cache
def _unit_slips(kind: str, printed: str) -> tuple[tuple[str, float], ...]:
    return tuple(
        (code, scale(meant, kind) / scale(printed, kind))
        for code, cases in MISPRINTED_UNITS.items()
        for of_kind, meant, shown in cases
        if (of_kind, shown) == (kind, printed)
    )


def _scaled(
    code: str, unit: StatedUnit, index: int, name: str, factor: float, evident: bool = False
) -> Iterator[Slip]:
    number = unit.barrels[index].numbers[name].times(factor)
    if is_usual(name, number):
        changed = unit.with_barrel(index, unit.barrels[index].with_number(name, number))
        yield Slip(code, changed, name, number.value, factor, evident)


def is_usual(name: str, number: StatedNumber) -> bool:
    """Say whether a corrected number lies in the datum's usual range.

    A range is in the datum's first kind: a mass rate is held against that of a volume rate as if
    the melt had the density of water.
    """
    datum = data_of(Barrel)[name]
    by_volume = number.kind == "mass_rate" and datum.kinds[0] == "volume_rate"
    return datum.is_usual(number.value / WATER if by_volume else number.value)


def _column(code: str, unit: StatedUnit, index: int, name: str, factor: float) -> Iterator[Slip]:
    """The same slip in every screw's number that is printed in the same unit."""
    printed = unit.barrels[index].numbers[name].printed.rpartition(" ")[2]

    def corrected(barrel: StatedBarrel) -> StatedBarrel | None:
        number = barrel.numbers.get(name)
        if number is None or number.printed.rpartition(" ")[2] != printed:
            return barrel
        other = number.times(factor)
        return barrel.with_number(name, other) if is_usual(name, other) else None

    changed = _every_barrel(unit, corrected)
    if changed is not None:
        value = changed.barrels[index].numbers[name].value
        yield Slip(code, changed, name, value, factor)


def _every_barrel(
    unit: StatedUnit, change: Callable[[StatedBarrel], StatedBarrel | None]
) -> StatedUnit | None:
    barrels = tuple(change(barrel) for barrel in unit.barrels)
    whole = tuple(barrel for barrel in barrels if barrel is not None)
    return replace(unit, barrels=whole) if len(whole) == len(barrels) > 1 else None


def _neighbour(unit: StatedUnit, index: int, name: str) -> Iterator[Slip]:
    """The number is another screw's: brought to this screw's area it would be right."""
    own = unit.barrels[index]
    diameter = own.value("screw_diameter")
    for place, other in enumerate(unit.barrels):
        other_diameter = other.value("screw_diameter")
        if place == index or diameter is None or other_diameter in (None, diameter):
            continue
        factor = (diameter / other_diameter) ** (2 * AREA_POWER[name])
        other_number = other.numbers.get(name)
        same = other_number is not None and other_number.printed == own.numbers[name].printed
        yield from _scaled("neighbour_barrel", unit, index, name, factor, evident=same)


def _oil_pressure(unit: StatedUnit, index: int) -> Iterator[Slip]:
    """The pressure is the oil's: the melt's follows where an intensification ratio is stated."""
    own = unit.barrels[index]
    pressure, ratio = (
        own.numbers.get("injection_pressure"),
        own.numbers.get("intensification_ratio"),
    )
    if pressure is None or own.barrel.pressure_kind == "oil":
        return
    if unit.unit.drive_kind == "electric" or not is_usual("system_pressure", pressure):
        return
    factor = inf if ratio is None else ratio.value
    if ratio is not None and not is_usual("injection_pressure", pressure.times(factor)):
        return
    value = None if ratio is None else pressure.value * factor
    single = unit.with_barrel(index, _on_oil(own))
    for changed in (single, _every_barrel(unit, _on_oil)):
        if changed is not None:
            yield Slip("oil_pressure", changed, "injection_pressure", value, factor)


def _on_oil(barrel: StatedBarrel) -> StatedBarrel:
    if "injection_pressure" not in barrel.numbers or barrel.barrel.pressure_kind == "oil":
        return barrel
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

    single = case.unit.with_barrel(index, rated_again(own))
    for changed in (single, _every_barrel(case.unit, rated_again)):
        mass = None if changed is None else changed.barrels[index].numbers.get("rated_shot_mass")
        if changed is not None and mass is not None:
            yield Slip("solid_density", changed, "rated_shot_mass", mass.value, factor)


def _is_solid(number: StatedNumber, solid: float) -> bool:
    return within(abs(number.value / solid - 1), SOLID_AGREEMENT)


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

        single = case.unit.with_barrel(index, in_resin(case.unit.barrels[index]))
        for changed in (single, _every_barrel(case.unit, in_resin)):
            if changed is not None:
                factor = resin.factor / named.factor
                yield Slip("reference_resin", changed, "reference_resin", None, factor)
