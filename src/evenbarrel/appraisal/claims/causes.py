"""Which slips would explain a failed claim: what is left, what speaks for it, what against."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from math import log

from evenbarrel.appraisal.claims.agreement import UNLIKELY, within
from evenbarrel.appraisal.claims.checks.drive import COPIED_NOTE, ONE_PRESSURE_NOTE
from evenbarrel.appraisal.claims.checks.plasticising import BESIDE_OTHERS, is_usual_output
from evenbarrel.appraisal.claims.context import ClaimContext
from evenbarrel.appraisal.claims.doubt import is_asked
from evenbarrel.appraisal.claims.registry import BY_ITSELF, KEYS, claim_by_itself, claims_for
from evenbarrel.appraisal.claims.slips import DATA, DECIMAL, NEIGHBOUR, OIL, SOLID, Slip, Slips
from evenbarrel.appraisal.results import Cause, Claim

ONE_SIDED = frozenset(
    ("injection_power", "plasticising_energy", "output_per_turn", "peripheral_speed")
)
"""Claims that much besides the right number would meet: a slip needs more than to meet them."""

RANGES = frozenset(
    ("injection_power", "plasticising_energy", "output_per_turn", "pressure_kind", "length_ratio")
)
"""Claims that are met by a whole range: there is no gap that has to close."""

IDENTITIES = ("volume_geometry", "common_stroke", "drive_force", "injection_speed")
"""Claims that hold exactly, but for rounding, however a supplier rates its machines."""

JUDGES = ("size_number", "injection_power")
"""Claims about numbers of the unit itself: a slip that moves them has to meet them."""

NEAR_ONE_GAP, OTHER_GAP = 0.01, 0.03
NEAR_ONE_TOLERANCES = 4.0
"""What is left of a gap, and how large it must be, before a slip is believed; common practice,
no source."""

NEAR_OTHERS = 1.3
"""How near to the other screws' a corrected rate must come; common practice, no source."""

LEAST_POWER = 1 / 3
"""Of the drive's power, what a corrected one must come to; common practice, no source."""

UnitClaims = tuple[tuple[Claim, ...], ...]
"""The claims of each barrel of a unit, in the order of KEYS."""

_RANK = {"query": 1, "contradicts": 2}


def find_causes(case: ClaimContext, claims: UnitClaims) -> UnitClaims:
    """Return the claims of a unit's barrels with the slips that would explain the failed ones."""
    if not any(is_asked(claim) for own in claims for claim in own):
        return claims
    tried = _Tried(case)
    return tuple(
        tuple(_explained(tried, claims, at, one) if is_asked(one) else one for one in own)
        for at, own in enumerate(claims)
    )


class _Changed:
    """A unit as it would be without a slip; its claims are judged as far as anybody asks."""

    def __init__(self, case: ClaimContext) -> None:
        self.case = case
        self._known: dict[tuple[str, int], Claim] = {}

    def claim(self, key: str, place: int) -> Claim:
        """Return a claim of the barrel in that place."""
        known = self._known.get((key, place))
        if known is not None:
            return known
        if key in BY_ITSELF:
            own = claim_by_itself(key, self.case.unit.barrels[place], self.case)
            return self._known.setdefault((key, place), own)
        self._known |= {(key, at): one for at, one in enumerate(claims_for(key, self.case))}
        return self._known[key, place]


class _Tried:
    """The slips of a unit that were tried so far: several of its claims may ask for one."""

    def __init__(self, case: ClaimContext) -> None:
        self.case = case
        self.slips = Slips(case)
        self._known: dict[int, _Changed] = {}

    def without(self, slip: Slip) -> _Changed:
        """Return the unit as it would be without a slip."""
        # By identity: what is kept keeps its unit.
        known = self._known.get(id(slip.unit))
        if known is None:
            known = _Changed(replace(self.case, unit=slip.unit))
            self._known[id(slip.unit)] = known
        return known


def _explained(tried: _Tried, claims: UnitClaims, index: int, claim: Claim) -> Claim:
    found: dict[tuple[str, str], Slip] = {}
    for slip in tried.slips.of(index, claim.key):
        named = (slip.code, slip.datum)
        if not slip.column and any(o.column and o.datum == slip.datum for o in found.values()):
            # Printed alike for all: what explains the column is not one screw's slip.
            continue
        if named in found:
            continue
        if _Trial(claims, index, claim, slip, tried.case, tried.without(slip)).explains():
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
    changed: _Changed

    def explains(self) -> bool:
        """Say whether the slip explains the claim, makes none worse and has enough for it."""
        if not self._may_be_tried():
            return False
        after = self._changed_claim(self.claim.key)
        if not self._meets(after):
            return False
        if self._is_loose() and not self._leaves_no_identity():
            return False
        enough = self.slip.evident or not self.slip.needs_evidence()
        for old, new in self._others():
            if _worse(old, new) or (old.key in JUDGES and _moved(old, new) and is_asked(new)):
                return False
            enough = enough or _better(old, new)
        return enough and (not _is_one_sided(self.claim) or self._mends_more(after))

    def _may_be_tried(self) -> bool:
        slip, claim = self.slip, self.claim
        if (_is_one_sided(claim) and slip.code == DECIMAL) or claim.note == COPIED_NOTE:
            # A limit may be what a screw next to it has: nobody is told that it is a slip.
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
        if self.slip.code == NEIGHBOUR and self._is_between_caps():
            # A copy makes the forces equal: where no two are, there was none.
            return False
        if self.claim.note == UNLIKELY:
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
            return self.changed.case.drive.stands_without(changed)
        group = self.changed.case.stroke_group
        if self.claim.key != "common_stroke" or group is None:
            return True
        return group.stands_without(changed)

    def _is_loose(self) -> bool:
        """Say whether many a number would meet the claim: what is likely, and between own caps."""
        return self.claim.note == UNLIKELY or self._is_between_caps()

    def _is_between_caps(self) -> bool:
        return self.claim.key == "drive_force" and self.changed.case.drive.own_caps

    def _leaves_no_identity(self) -> bool:
        """Say whether no identity about the datum fails of the barrel as it would be.

        One without anything to be held against, as a force that no two screws share, says nothing.
        """
        about = (key for key in IDENTITIES if self.slip.datum in DATA[key])
        left = (claim for claim in map(self._changed_claim, about) if is_asked(claim))
        return all(claim.derived is None for claim in left)

    def _is_capped(self) -> bool:
        """Say whether the screw would share a printed cap: its force says nothing then."""
        case = self.changed.case
        return self.claim.key == "drive_force" and case.screws[self.index] in case.drive.capped

    def _others(self) -> Iterator[tuple[Claim, Claim]]:
        """Yield every other claim that may move with what it would be, as far as anybody asks."""
        changed = self.slip.changed_places(self.before.unit)
        for place, key in enumerate(KEYS):
            for at in changed if key in BY_ITSELF else range(len(self.claims)):
                own = self.claims[at][place]
                if own is not self.claim:
                    yield own, self.changed.claim(key, at)

    def _mends_more(self, after: Claim) -> bool:
        """Say whether more than a one-sided claim speaks for the slip.

        Either it mends a failed two-sided claim about its datum too and leaves no identity failed,
        or there is none and a unit's factor makes the value usual.
        """
        own = self.claims[self.index]
        failed = [
            old.key
            for old in own
            if is_asked(old) and old.key not in ONE_SIDED and self.slip.datum in DATA[old.key]
        ]
        if not failed:
            return self.slip.is_of_unit() and self._is_usual(after)
        mended = any(not is_asked(self._changed_claim(key)) for key in failed)
        return mended and self._leaves_no_identity()

    def _changed_claim(self, key: str) -> Claim:
        return self.changed.claim(key, self.index)

    def _is_usual(self, after: Claim) -> bool:
        if after.key == "injection_power":
            return _ratio(after) >= LEAST_POWER
        if after.key == "peripheral_speed":
            return after.gap is not None and within(abs(after.gap), OTHER_GAP)
        if self.claim.note == BESIDE_OTHERS:
            return self._is_like_the_others()
        printed = self.claims[self.index][KEYS.index("output_per_turn")].stated
        output = self._changed_claim("output_per_turn").stated
        if printed is None or output is None or is_usual_output(printed):
            return False
        return is_usual_output(output)

    def _is_like_the_others(self) -> bool:
        """Say whether a rate beside other screws' comes near to what they deliver."""
        rate = self.changed.case.unit.barrels[self.index].value("plasticising_rate")
        if rate is None or not self.claim.derived or self.slip.datum != "plasticising_rate":
            return False
        return abs(log(rate / self.claim.derived)) <= log(NEAR_OTHERS)


def _is_one_sided(claim: Claim) -> bool:
    return claim.key in ONE_SIDED and claim.note != UNLIKELY


def _far_enough(claim: Claim) -> bool:
    if claim.gap is None or claim.tolerance is None:
        return False
    return abs(claim.gap) > NEAR_ONE_TOLERANCES * claim.tolerance


def _ratio(claim: Claim) -> float:
    return claim.stated / claim.derived if claim.stated and claim.derived else 0.0


def _distance(claim: Claim) -> float | None:
    """Return how far apart a claim's two numbers are, whichever is the larger."""
    ratio = _ratio(claim)
    return abs(log(ratio)) if ratio > 0 else None


def _rank(claim: Claim) -> int:
    """Return how grave a claim is; one that nobody is asked about is not grave."""
    return _RANK[claim.state] if is_asked(claim) else 0


def _worse(old: Claim, new: Claim) -> bool:
    rank = _rank(new)
    if rank != _rank(old):
        return rank > _rank(old)
    if not is_asked(new):
        return False
    before, after = _distance(old), _distance(new)
    if before is None or after is None:
        return False
    return after > before + (old.tolerance or 0.0)


def _better(old: Claim, new: Claim) -> bool:
    return new.state != "not_stated" and _rank(new) < _rank(old)


def _moved(old: Claim, new: Claim) -> bool:
    return (old.stated, old.derived) != (new.stated, new.derived)
