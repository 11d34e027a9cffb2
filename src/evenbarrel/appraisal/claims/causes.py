"""Which slips would explain a failed claim: what is left, what speaks for it, what against."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from math import log

from evenbarrel.appraisal.claims.checks.drive import ONE_PRESSURE_NOTE
from evenbarrel.appraisal.claims.checks.operation import MOST_OVERLOAD
from evenbarrel.appraisal.claims.checks.plasticising import is_usual_output
from evenbarrel.appraisal.claims.context import ClaimContext
from evenbarrel.appraisal.claims.doubt import is_asked
from evenbarrel.appraisal.claims.registry import KEYS, claims_for
from evenbarrel.appraisal.claims.slips import DATA, DECIMAL, OIL, SOLID, Slip, slips
from evenbarrel.appraisal.claims.verdict import within
from evenbarrel.appraisal.results import Cause, Claim

ONE_SIDED = frozenset(
    ("injection_power", "plasticising_energy", "output_per_turn", "peripheral_speed")
)
"""Claims that much besides the right number would meet: a slip needs more than to meet them."""

RANGES = frozenset(
    ("injection_power", "plasticising_energy", "output_per_turn", "pressure_kind", "length_ratio")
)
"""Claims that are met by a whole range: there is no gap that has to close."""

JUDGES = ("size_number", "injection_power")
"""Claims about numbers of the unit itself: a slip that moves them has to meet them."""

NEAR_ONE_GAP, OTHER_GAP = 0.01, 0.03
NEAR_ONE_TOLERANCES = 4.0
"""What is left of a gap, and how large it must be, before a slip is believed; common practice,
no source."""

UnitClaims = tuple[tuple[Claim, ...], ...]
"""The claims of each barrel of a unit, in the order of KEYS."""

_RANK = {"query": 1, "contradicts": 2}


def find_causes(case: ClaimContext, claims: UnitClaims) -> UnitClaims:
    """Return the claims of a unit's barrels with the slips that would explain the failed ones."""
    if not any(is_asked(claim) for own in claims for claim in own):
        return claims
    return tuple(
        tuple(_explained(case, claims, index, claim) if is_asked(claim) else claim for claim in own)
        for index, own in enumerate(claims)
    )


def _explained(case: ClaimContext, claims: UnitClaims, index: int, claim: Claim) -> Claim:
    if not is_asked(claim):
        return claim
    found: dict[tuple[str, str], Slip] = {}
    for slip in slips(case, index, claim.key):
        named, changed = (slip.code, slip.datum), replace(case, unit=slip.unit)
        if not slip.column and any(o.column and o.datum == slip.datum for o in found.values()):
            # Printed alike for all: what explains the column is not one screw's slip.
            continue
        if named not in found and _Trial(claims, index, claim, slip, case, changed).explains():
            found[named] = slip
    causes = (
        Cause(slip.code, slip.datum, slip.value, slip.column)
        for slip in found.values()
        if not _is_a_unit_slip_too(slip, found.values())
    )
    return replace(claim, causes=tuple(sorted(causes, key=lambda c: (c.code, c.datum))))


def _is_a_unit_slip_too(slip: Slip, found: Iterable[Slip]) -> bool:
    """MPa printed as bar also shifts the decimal point: one correction, named by its unit."""
    return slip.code == DECIMAL and any(
        _same_correction(slip, other) for other in found if other is not slip
    )


def _same_correction(one: Slip, other: Slip) -> bool:
    return one.datum == other.datum and abs(one.factor / other.factor - 1) < 1e-9


@dataclass(frozen=True, slots=True)
class _Trial:
    """One slip tried on one failed claim: the unit's claims as printed and as they would be."""

    claims: UnitClaims
    index: int
    claim: Claim
    slip: Slip
    before: ClaimContext
    changed: ClaimContext

    def explains(self) -> bool:
        """Say whether the slip explains the claim, makes none worse and has enough for it."""
        if not self._may_be_tried():
            return False
        after = self._changed_claim(self.claim.key)
        if not self._meets(after):
            return False
        enough = self.slip.evident or not self.slip.needs_evidence()
        for old, new in self._others():
            if _worse(old, new) or (old.key in JUDGES and _moved(old, new) and is_asked(new)):
                return False
            enough = enough or _better(old, new)
        return enough and (self.claim.key not in ONE_SIDED or self._mends_more(after))

    def _may_be_tried(self) -> bool:
        slip, claim = self.slip, self.claim
        if claim.key in ONE_SIDED and slip.code == DECIMAL:
            return False
        one_pressure = self.before.drive.one_pressure and slip.datum == "injection_pressure"
        if (claim.note == ONE_PRESSURE_NOTE or one_pressure) and not slip.column:
            # One pressure printed for all is nobody's slip of one screw.
            return False
        return not slip.is_slight() or slip.code == SOLID or _far_enough(claim)

    def _meets(self, after: Claim) -> bool:
        """Say whether the claim would be met, by more than a group the slip itself has made."""
        if self.slip.code == OIL:
            return not is_asked(after)
        if after.state == "not_stated" or is_asked(after) or not self._group_stands():
            return False
        if after.key in RANGES or after.gap is None or self._is_capped():
            return True
        most = NEAR_ONE_GAP if self.slip.is_slight() else OTHER_GAP
        return within(abs(after.gap), min(after.tolerance or 0.0, most))

    def _group_stands(self) -> bool:
        changed = self.slip.changed_places(self.before.unit)
        if self.claim.key == "drive_force":
            return self.changed.drive.stands_without(changed)
        group = self.changed.stroke_group
        if self.claim.key != "common_stroke" or group is None:
            return True
        return group.stands_without(changed)

    def _is_capped(self) -> bool:
        """Say whether the screw would share a printed cap: its force says nothing then."""
        screw = self.changed.screws[self.index]
        return self.claim.key == "drive_force" and screw in self.changed.drive.capped

    def _others(self) -> Iterator[tuple[Claim, Claim]]:
        """Yield every other claim with what it would be, judged only as far as anybody asks."""
        for place, key in enumerate(KEYS):
            for own, new in zip(self.claims, claims_for(key, self.changed), strict=True):
                if own[place] is not self.claim:
                    yield own[place], new

    def _mends_more(self, after: Claim) -> bool:
        """Say whether more than a one-sided claim speaks for the slip.

        Either it mends a failed two-sided claim about its datum too, or there is none and a unit's
        factor makes the value usual.
        """
        own = self.claims[self.index]
        failed = [
            old.key
            for old in own
            if is_asked(old) and old.key not in ONE_SIDED and self.slip.datum in DATA[old.key]
        ]
        if not failed:
            return self.slip.is_of_unit() and self._is_usual(after)
        return any(not is_asked(self._changed_claim(key)) for key in failed)

    def _changed_claim(self, key: str) -> Claim:
        return claims_for(key, self.changed)[self.index]

    def _is_usual(self, after: Claim) -> bool:
        if after.key == "injection_power":
            return _ratio(after) >= 1 / MOST_OVERLOAD
        if after.key == "peripheral_speed":
            return after.gap is not None and within(abs(after.gap), OTHER_GAP)
        printed = self.claims[self.index][KEYS.index("output_per_turn")].stated
        output = self._changed_claim("output_per_turn").stated
        if printed is None or output is None or is_usual_output(printed):
            return False
        return is_usual_output(output)


def _far_enough(claim: Claim) -> bool:
    if claim.gap is None or claim.tolerance is None:
        return False
    return abs(claim.gap) > NEAR_ONE_TOLERANCES * claim.tolerance


def _ratio(claim: Claim) -> float:
    return claim.stated / claim.derived if claim.stated and claim.derived else 0.0


def _distance(claim: Claim) -> float | None:
    """Return how far apart a claim's two numbers are, whichever is the larger."""
    return abs(log(_ratio(claim))) if _ratio(claim) > 0 else None


def _rank(claim: Claim) -> int:
    """Return how grave a claim is; one that nobody is asked about is not grave."""
    return _RANK[claim.state] if is_asked(claim) else 0


def _worse(old: Claim, new: Claim) -> bool:
    if _rank(new) != _rank(old):
        return _rank(new) > _rank(old)
    before, after = _distance(old), _distance(new)
    if not is_asked(new) or before is None or after is None:
        return False
    return after > before + (old.tolerance or 0.0)


def _better(old: Claim, new: Claim) -> bool:
    return new.state != "not_stated" and _rank(new) < _rank(old)


def _moved(old: Claim, new: Claim) -> bool:
    return (old.stated, old.derived) != (new.stated, new.derived)
