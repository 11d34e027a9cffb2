"""What the appraisal says: codes and SI numbers, never a sentence. Missing data is a state."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, fields
from functools import cached_property
from typing import Literal

from evenbarrel.appraisal.gate_results import GateState
from evenbarrel.model.limits import CRITERIA

State = Literal["inside", "near_edge", "outside", "not_stated"]
SEVERITY: tuple[State, ...] = ("outside", "near_edge", "not_stated", "inside")
"""Which state counts first wherever several meet."""

Basis = Literal["physical", "practice", "resin"]
ValueUnit = Literal["1", "D", "s", "m/s", ""]
"""The unit of a criterion's value: a share, screw diameters, s, m/s; "" shows no number."""
Reason = Literal[
    "comfort", "uncertainty", "soft", "beyond_unconfirmed", "unsettled", "readings", "disputed"
]
"""Why a criterion or a cell is near the edge, in the order in which it is said."""

ShotEnd = Literal["nominal", "smallest", "largest"]

ClaimState = Literal["agrees", "query", "contradicts", "not_stated"]
VolumeRoute = Literal["geometry", "quoted", "rated_mass"]
RatedBasis = Literal["output_factor", "melt_density", "solid_density", "unexplained", "not_stated"]


@dataclass(frozen=True, slots=True)
class Bound:
    """A nominal value with the interval its inputs' half-widths allow: a bound, no confidence."""

    nominal: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Cause:
    """One slip that would explain a failed claim: a single change of one datum.

    `code` is one of the closed list of slips, `datum` the field it changes and `value` what that
    field would then be [SI], None where the change does not give it. `column`: the slip runs
    through every screw of the unit.
    """

    code: str
    datum: str
    value: float | None = None
    column: bool = False


@dataclass(frozen=True, slots=True)
class Claim:
    """One stated number held against what the others, or physics, give.

    `subject` is the datum that is questioned; `stated` and `derived` are SI values of `kind` (a
    kind of units.KINDS, or "force" and the like); `tolerance` and `gap` are shares, gap =
    stated / derived - 1. `causes` are all slips that would explain a failed claim. `note` is a
    code for what was found without a slip, as "pressure_cap" or "one_pressure_for_all". `missing`
    names what would be needed. `of_each_screw` holds what every screw of the unit says [SI] where
    they share one number and no two agree on it.
    """

    key: str
    state: ClaimState
    subject: str
    kind: str = ""
    stated: float | None = None
    derived: float | None = None
    tolerance: float | None = None
    gap: float | None = None
    causes: tuple[Cause, ...] = ()
    note: str | None = None
    missing: tuple[str, ...] = ()
    of_each_screw: tuple[float, ...] = ()

    @property
    def sole_cause(self) -> Cause | None:
        """The one slip that would explain the claim; None where none or several would."""
        return self.causes[0] if len(self.causes) == 1 else None

    @property
    def cause(self) -> str | None:
        """The code of the sole cause, or None."""
        return None if self.sole_cause is None else self.sole_cause.code

    @property
    def cause_datum(self) -> str | None:
        """The datum that the sole cause changes, or None."""
        return None if self.sole_cause is None else self.sole_cause.datum


@dataclass(frozen=True, slots=True)
class FactorRouteResult:
    """One route to a resin's output factor, beside the others.

    `factor` in kg/m3 or None; `half_width` a share; `density` the melt density it rests on or is
    compared with; `leak_share` what it implies or takes; `notes` codes as "extrapolated".
    """

    route: str
    factor: float | None
    half_width: float
    leak_share: float | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ResinResult:
    """A resin with every route of its output factor and the one in use."""

    id: str
    route: str | None
    factor: float | None
    half_width: float
    routes: tuple[FactorRouteResult, ...]
    solid_density: float | None
    melt_density: float | None
    """At melt temperature and back pressure, compound [kg/m3]."""
    enthalpy: float | None = None
    density_notes: tuple[str, ...] = ()
    back_pressure: float | None = None
    """What the melt density is taken at [Pa]."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One consistent set of diameter [m], stroke [m] and swept volume [m3] of a barrel.

    `key` says which printed number it takes to be wrong: "as_printed" for none, "diameter" or
    "stroke" for one that the quoted volume implies, else the code of a slip. `route` is the number
    that gives its volume; a person who decides for it settles by that route and that key. Where
    no machine has that size it is not `plausible`: shown, but not in the interval.
    """

    key: str
    route: VolumeRoute | None
    diameter: Bound | None
    stroke: Bound | None
    volume: Bound | None
    plausible: bool = True


@dataclass(frozen=True, slots=True)
class SweptVolume:
    """A barrel's swept volume, with every way its size may be read.

    `bound` is [m3], `route` which way it came, `precision` a share. The first of `readings` gives
    the nominal value. There are several while geometry and quoted volume contradict and nobody
    has decided (`doubt` "unsettled"), or where a person took the quoted volume without knowing
    whether diameter or stroke is wrong ("readings").
    """

    route: VolumeRoute | None
    bound: Bound | None
    readings: tuple[Reading, ...]
    precision: float | None = None
    doubt: Literal["unsettled", "readings"] | None = None

    @property
    def unsettled(self) -> bool:
        """Whether two routes contradict and nobody has decided."""
        return self.doubt == "unsettled"


@dataclass(frozen=True, slots=True)
class ReadingResult:
    """What one reading of a barrel's size makes of a criterion: its state and value, SI."""

    key: str
    plausible: bool
    state: State
    value: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class ReadingVerdict:
    """What one reading of a barrel's size makes of a whole cell."""

    key: str
    plausible: bool
    state: State
    binding: str | None


@dataclass(frozen=True, slots=True)
class Misfit:
    """One datum of a barrel that is not what the resin asks for.

    `value` is a number [-] that should lie within `low` to `high`, None where that end is open;
    `choice` is what the barrel has where that is no number. `recalled`: what the resin asks for is
    from memory and nobody confirmed it.
    """

    datum: str
    value: float | None = None
    low: float | None = None
    high: float | None = None
    choice: str | None = None
    recalled: bool = False


@dataclass(frozen=True, slots=True)
class CriterionResult:
    """One criterion of one cell. Numbers are SI; shot volumes [m3]; None where not to be had.

    Of a barrel that may be read in several ways `readings` holds what each makes of it; `value`
    is that of the first, `low` to `high` spans the plausible ones, `margin` and `at` are those of
    the worst. A criterion without a number names in `misfits` what is not as the resin asks.
    """

    key: str
    state: State
    basis: Basis
    unit: ValueUnit
    value: float | None = None
    low: float | None = None
    high: float | None = None
    allowed_low: float | None = None
    allowed_high: float | None = None
    comfort_low: float | None = None
    comfort_high: float | None = None
    margin: float | None = None
    comfort_margin: float | None = None
    shot_volume_low: float | None = None
    shot_volume_high: float | None = None
    comfort_volume_low: float | None = None
    comfort_volume_high: float | None = None
    shot_volume_empty: bool = False
    at: ShotEnd = "nominal"
    unconfirmed: bool = False
    """The limit is recalled or the demand estimated: no worse than near the edge."""
    reasons: tuple[Reason, ...] = ()
    missing: tuple[str, ...] = ()
    caution: str | None = None
    readings: tuple[ReadingResult, ...] = ()
    misfits: tuple[Misfit, ...] = ()

    @property
    def beyond_unconfirmed(self) -> float | None:
        """The limit from memory that the whole interval is beyond [SI]; None where there is none.

        Of several readings of a barrel one may be within it: then there is none.
        """
        if "beyond_unconfirmed" not in self.reasons:
            return None
        if self.allowed_high is not None and (self.low is None or self.low > self.allowed_high):
            return self.allowed_high
        low, high = self.allowed_low, self.high
        return low if low is not None and high is not None and high < low else None


@dataclass(frozen=True, eq=False)
class Fit:
    """One barrel against one job; its criteria are read when first asked for."""

    barrel: str
    job: str
    state: State
    binding: str | None
    open: tuple[str, ...]
    unconfirmed: bool
    reasons: tuple[Reason, ...]
    by_rule: bool
    """Outside by practice alone."""
    outside: tuple[str, ...]
    """Criteria that are outside, accepted or not."""
    accepted: tuple[str, ...]
    """Criteria that are outside and accepted by a named person."""
    refused: tuple[str, ...]
    """Rules that are outside and that a named person will not waive."""
    acceptable: tuple[str, ...]
    """Criteria that are outside and that a named person may still accept."""
    gate: GateState | None
    """The gate of this job alone; None where the method does not apply."""
    readings: tuple[ReadingVerdict, ...]
    """What each reading of the barrel's size makes of the cell; empty where there is but one."""
    criterion: Callable[[str], CriterionResult] = field(repr=False)
    """Returns the criterion of that key in full; raises KeyError."""

    def __eq__(self, other: object) -> bool:
        """Compare everything that is said of the cell, its criteria included."""
        if not isinstance(other, Fit):
            return NotImplemented
        return self._said() == other._said()

    def __hash__(self) -> int:
        """Return the hash of which cell it is."""
        return hash((self.barrel, self.job))

    def _said(self) -> tuple[object, ...]:
        own = (getattr(self, part.name) for part in fields(self) if part.name != "criterion")
        return (*own, self.criteria)

    @property
    def to_confirm(self) -> bool:
        """Whether a limit from memory is exceeded, which alone keeps the cell near its edge."""
        return "beyond_unconfirmed" in self.reasons

    @property
    def unaccepted(self) -> tuple[str, ...]:
        """Criteria that are outside and that nobody accepted."""
        return tuple(key for key in self.outside if key not in self.accepted)

    @cached_property
    def criteria(self) -> tuple[CriterionResult, ...]:
        """Every criterion, in the order of the rules' table."""
        return tuple(map(self.criterion, CRITERIA))

    @property
    def bound_by(self) -> CriterionResult | None:
        """What binds, in full; None where nothing does."""
        return None if self.binding is None else self.criterion(self.binding)


@dataclass(frozen=True, slots=True)
class BarrelResult:
    """A barrel on the common basis, with its claims."""

    id: str
    bid: str
    supplier: str
    unit: str
    label: str
    applies: bool
    """False where the unit is no single-stage reciprocating screw: only volume claims hold."""
    swept: SweptVolume
    implied_factor: float | None
    rated_basis: RatedBasis
    shot_masses: tuple[tuple[str, float | None], ...]
    """For each resin of the evaluation, the mass of one full swept volume [kg]."""
    claims: Sequence[Claim]

    def claim(self, key: str) -> Claim:
        """Return the claim of that key; raises KeyError."""
        return _claim_in(self.claims, key)


def _claim_in(claims: Sequence[Claim], key: str) -> Claim:
    for claim in claims:
        if claim.key == key:
            return claim
    raise KeyError(key)


@dataclass(frozen=True, slots=True)
class BidResult:
    """What is said of an offer as a whole: completeness and validity."""

    id: str
    claims: tuple[Claim, ...]

    def claim(self, key: str) -> Claim:
        """Return the claim of that key; raises KeyError."""
        return _claim_in(self.claims, key)


@dataclass(frozen=True, slots=True)
class Question:
    """One thing to ask: of the supplier, or of us.

    `key` is the code of its sentence, `claim` the claim it is about, if any; `raised_by` names the
    claims and criteria that need it; `changed` says why it is open again: its number, or `more`.
    """

    id: str
    to: Literal["supplier", "us"]
    bid: str | None
    barrels: tuple[str, ...]
    jobs: tuple[str, ...]
    datum: str
    key: str
    raised_by: tuple[str, ...]
    causes: tuple[Cause, ...] = ()
    state: Literal["open", "asked", "answered", "accepted_as_is"] = "open"
    claim: str | None = None
    changed: Literal["number", "more"] | None = None
