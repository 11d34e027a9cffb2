"""Every claim of a unit's barrels, in one fixed order."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from evenbarrel.appraisal.claims.checks import drive, operation, plasticising, volume
from evenbarrel.appraisal.claims.context import ClaimContext
from evenbarrel.appraisal.results import Claim

ClaimFunction = Callable[[ClaimContext], tuple[Claim, ...]]

CLAIMS: Mapping[str, ClaimFunction] = {
    "volume_geometry": volume.volume_geometry,
    "rated_mass_basis": volume.rated_mass_basis,
    "common_stroke": volume.common_stroke,
    "drive_force": drive.drive_force,
    "size_number": drive.size_number,
    "injection_speed": operation.injection_speed,
    "injection_power": operation.injection_power,
    "pressure_kind": drive.pressure_kind,
    "plasticising_energy": plasticising.plasticising_energy,
    "output_per_turn": plasticising.output_per_turn,
    "peripheral_speed": plasticising.peripheral_speed,
    "length_ratio": operation.length_ratio,
    "reference_resin": volume.reference_resin,
}
"""Each gives one claim for each barrel of the unit."""

KEYS = tuple(CLAIMS)

OF_ANY_UNIT = frozenset(("volume_geometry", "rated_mass_basis", "common_stroke", "reference_resin"))
"""Claims that hold whatever the kind of injection unit."""


def applies(key: str, case: ClaimContext) -> bool:
    """Say whether a claim's method applies to the unit's kind."""
    return key in OF_ANY_UNIT or case.unit.is_reciprocating


def claims_for(key: str, case: ClaimContext) -> tuple[Claim, ...]:
    """Return one claim for each barrel, not stated where the method does not apply."""
    if applies(key, case):
        return CLAIMS[key](case)
    claim = Claim(key, "not_stated", "unit_kind", note="method_does_not_apply")
    return (claim,) * len(case.unit.barrels)


def claims_of(case: ClaimContext) -> tuple[tuple[Claim, ...], ...]:
    """Return the claims of each barrel in the order of KEYS, without their causes."""
    by_key = [claims_for(key, case) for key in KEYS]
    return tuple(zip(*by_key, strict=True))
