"""Every claim of a unit's barrels, in one fixed order."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from evenbarrel.appraisal.claims.checks import drive, operation, plasticising, volume
from evenbarrel.appraisal.claims.context import ClaimContext
from evenbarrel.appraisal.inputs.stated import StatedBarrel
from evenbarrel.appraisal.results import Claim

OfBarrel = Callable[[StatedBarrel, ClaimContext], Claim]
OfUnit = Callable[[ClaimContext], tuple[Claim, ...]]

BY_ITSELF: Mapping[str, OfBarrel] = {
    "volume_geometry": volume.volume_geometry,
    "rated_mass_basis": volume.rated_mass_basis,
    "injection_speed": operation.injection_speed,
    "injection_power": operation.injection_power,
    "pressure_kind": drive.pressure_kind,
    "plasticising_energy": plasticising.plasticising_energy,
    "peripheral_speed": plasticising.peripheral_speed,
    "reference_resin": volume.reference_resin,
}
"""What a barrel's own data say, with its unit's and its resins': no other screw moves them."""

BESIDE_OTHERS: Mapping[str, OfUnit] = {
    "common_stroke": volume.common_stroke,
    "drive_force": drive.drive_force,
    "size_number": drive.size_number,
    "output_per_turn": plasticising.output_per_turn,
    "length_ratio": operation.length_ratio,
}
"""Each gives one claim for each barrel of the unit, held against what its screws share."""

KEYS = (
    *("volume_geometry", "rated_mass_basis", "common_stroke", "drive_force", "size_number"),
    *("injection_speed", "injection_power", "pressure_kind", "plasticising_energy"),
    *("output_per_turn", "peripheral_speed", "length_ratio", "reference_resin"),
)

OF_ANY_UNIT = frozenset(("volume_geometry", "rated_mass_basis", "common_stroke", "reference_resin"))
"""Claims that hold whatever the kind of injection unit."""


def applies(key: str, case: ClaimContext) -> bool:
    """Say whether a claim's method applies to the unit's kind."""
    return key in OF_ANY_UNIT or case.unit.is_reciprocating


def claims_for(key: str, case: ClaimContext) -> tuple[Claim, ...]:
    """Return one claim for each barrel, not stated where the method does not apply."""
    if key in BY_ITSELF:
        return tuple(claim_by_itself(key, barrel, case) for barrel in case.unit.barrels)
    if applies(key, case):
        return BESIDE_OTHERS[key](case)
    return (_inapplicable(key),) * len(case.unit.barrels)


def claim_by_itself(key: str, barrel: StatedBarrel, case: ClaimContext) -> Claim:
    """Return a claim of BY_ITSELF, not stated where the method does not apply."""
    return BY_ITSELF[key](barrel, case) if applies(key, case) else _inapplicable(key)


def _inapplicable(key: str) -> Claim:
    return Claim(key, "not_stated", "unit_kind", note="method_does_not_apply")


def claims_of(case: ClaimContext) -> tuple[tuple[Claim, ...], ...]:
    """Return the claims of each barrel in the order of KEYS, without their causes."""
    by_key = [claims_for(key, case) for key in KEYS]
    return tuple(zip(*by_key, strict=True))
