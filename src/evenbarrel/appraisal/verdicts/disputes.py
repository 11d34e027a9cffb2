"""Which criteria hang on a datum that a claim puts in doubt, until somebody answers for it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

import numpy as np

from evenbarrel.appraisal.asked import Ended
from evenbarrel.appraisal.claims.agreement import UNLIKELY
from evenbarrel.appraisal.claims.doubt import datum_to_ask, is_disputing
from evenbarrel.appraisal.claims.unit_claims import failed_claims
from evenbarrel.appraisal.criteria.definition import Flags
from evenbarrel.appraisal.inputs.barrel_inputs import inventory_route
from evenbarrel.appraisal.results import BarrelResult, Claim
from evenbarrel.model.offers.bid import Barrel

DECIDES: Mapping[str, tuple[str, ...]] = {
    "drive_force": ("pressure",),
    "pressure_kind": ("pressure",),
    "injection_speed": ("rate",),
    "injection_power": ("power",),
    "output_per_turn": ("recovery", "screw_speed"),
    "plasticising_energy": ("recovery", "screw_speed"),
    "length_ratio": ("screw_geometry", "residence"),
    "rated_mass_basis": ("capacity", "utilisation"),
}
"""The criteria that the datum of each claim decides."""

OF_SIZE = ("capacity", "utilisation", "stroke")
"""The criteria that an unlikely stroke puts in doubt, whichever of a screw's sizes is wrong."""

WRONG: Mapping[str, str] = {"diameter": "screw_diameter", "stroke": "stroke"}
"""The datum that a decision for the quoted volume takes to be wrong."""

Disputes = Mapping[str, tuple[str, ...]]
"""The claims that dispute each criterion of one barrel."""


def claims_in_doubt(result: BarrelResult, barrel: Barrel, ended: Ended) -> Iterator[Claim]:
    """Yield the claims of a barrel that failed and still hold.

    A volume is settled or not: leaving it as it is ends nothing.
    """
    for claim in failed_claims(result.claims):
        if _is_settled(claim, result, barrel):
            continue
        if claim.key == "volume_geometry" or not ended(result.bid, datum_to_ask(claim), result.id):
            yield claim


def _is_settled(claim: Claim, result: BarrelResult, barrel: Barrel) -> bool:
    """Say whether a decision on the barrel's size ends a claim, or mends what explains it."""
    settled = barrel.settled
    sizes = (barrel.screw_diameter, barrel.stroke, barrel.swept_volume)
    if settled is None or result.swept.unsettled or None in sizes:
        # Without all three there was nothing to decide between.
        return False
    of_size = claim.key == "volume_geometry" or _is_unlikely_stroke(claim)
    if of_size or (claim.cause and claim.cause == settled.reading):
        return True
    wrong = "swept_volume" if settled.route == "geometry" else WRONG.get(settled.reading or "")
    return wrong is not None and claim.cause_datum == wrong


def _is_unlikely_stroke(claim: Claim) -> bool:
    return claim.key == "common_stroke" and claim.note == UNLIKELY


def disputes_of(result: BarrelResult, barrel: Barrel, in_doubt: Iterable[Claim]) -> Disputes:
    """Return those of a barrel's claims in doubt that dispute each criterion."""
    found: dict[str, tuple[str, ...]] = {}
    for claim in in_doubt:
        if is_disputing(claim):
            for criterion in _decided(claim, result, barrel):
                found[criterion] = (*found.get(criterion, ()), claim.key)
    return found


def _decided(claim: Claim, result: BarrelResult, barrel: Barrel) -> Iterator[str]:
    if claim.key == "rated_mass_basis" and result.swept.route != "rated_mass":
        return
    if _is_unlikely_stroke(claim) and not result.swept.unsettled:
        # Where the volume is unsettled its readings say what each size would give.
        yield from OF_SIZE
    for criterion in DECIDES.get(claim.key, ()):
        if criterion != "residence" or inventory_route(barrel) != "quoted":
            yield criterion


def disputed_flags(disputes: Sequence[Disputes]) -> Mapping[str, Flags]:
    """Return for each disputed criterion where it is, over (barrels, 1)."""
    criteria = {criterion for of_barrel in disputes for criterion in of_barrel}
    return {
        criterion: np.array([criterion in one for one in disputes], dtype=np.bool_)[:, None]
        for criterion in sorted(criteria)
    }
