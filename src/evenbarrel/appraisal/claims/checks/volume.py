"""Claims about volume, rated mass and stroke: they hold for any kind of injection unit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from evenbarrel.appraisal.claims.agreement import (
    UNLIKELY,
    absent,
    compare,
    judged,
    not_stated,
    open_claim,
    tolerance_of,
    within,
)
from evenbarrel.appraisal.claims.context import ClaimContext
from evenbarrel.appraisal.inputs.implied import ImpliedNumber
from evenbarrel.appraisal.inputs.plausible import (
    STROKE_HIGH,
    STROKE_LOW,
    is_plausible_stroke,
)
from evenbarrel.appraisal.inputs.stated import StatedBarrel
from evenbarrel.appraisal.inputs.swept_volume import RoutedVolume, nominal_volume, volume_by
from evenbarrel.appraisal.results import Claim, ClaimState, RatedBasis, ResinResult
from evenbarrel.model.limits import limit_value
from evenbarrel.trade.filling import implied_factor

VOLUME_GEOMETRY = open_claim("volume_geometry", "swept_volume", "volume")
RATED_MASS_BASIS = open_claim("rated_mass_basis", "rated_shot_mass", "density")
COMMON_STROKE = open_claim("common_stroke", "stroke", "length")
UNLIKELY_STROKE = open_claim("common_stroke", "stroke", "length", UNLIKELY)
LIMITED_STROKE = open_claim("common_stroke", "stroke", "length", "limited_stroke")
REFERENCE_RESIN = open_claim("reference_resin", "reference_resin", "density")

LEAST_VOLUME_TOLERANCE = 0.01
"""A share: large volumes are rounded to tens; common practice, no source."""

LEAST_OF_LIMITED_STROKE = 0.7
"""What the smallest screw of a unit is let have of the stroke, a share; common practice, no
source."""

UNLIKELY_MASS = open_claim("rated_mass_basis", "rated_shot_mass", "density", UNLIKELY)

LIGHTEST, HEAVIEST = 500.0, 2500.0
"""What a swept volume delivers of any resin [kg/m3]; common practice, no source."""

_BASIS_STATES: dict[RatedBasis, ClaimState] = {
    "output_factor": "agrees",
    "melt_density": "query",
    "solid_density": "contradicts",
    "unexplained": "query",
}


def volume_geometry(barrel: StatedBarrel, case: ClaimContext) -> Claim:
    """Hold a quoted swept volume against that of diameter and stroke."""
    geometry = volume_by("geometry", barrel, case.resins)
    quoted = volume_by("quoted", barrel, case.resins)
    if geometry is None or quoted is None:
        lacking = absent(barrel, "screw_diameter", "stroke", "swept_volume")
        return not_stated(VOLUME_GEOMETRY, lacking)
    # Half of the last digit was rounded away, or all of it cut off.
    tolerance = tolerance_of(geometry.precision, 2 * quoted.precision, least=LEAST_VOLUME_TOLERANCE)
    return compare(VOLUME_GEOMETRY, quoted.bound.nominal, geometry.bound.nominal, tolerance)


@dataclass(frozen=True, slots=True)
class Rating:
    """What a rated mass implies: factor [kg/m3], basis, and what it was matched within (share).

    `as_quoted` is the factor that the supplier says it rated with, where the mass was [kg/m3].
    """

    factor: float
    basis: RatedBasis
    tolerance: float
    as_quoted: float | None = None


def rated_basis(barrel: StatedBarrel, case: ClaimContext) -> tuple[float | None, RatedBasis]:
    """Return a rated mass's implied factor [kg/m3] and the density it was rated on.

    (None, "not_stated") where the swept volume comes from the rated mass alone.
    """
    rating = _rating(barrel, case)
    return (None, "not_stated") if rating is None else (rating.factor, rating.basis)


def _rating(barrel: StatedBarrel, case: ClaimContext) -> Rating | None:
    mass = barrel.numbers.get("rated_shot_mass")
    volume = _volume_beside_mass(barrel, case)
    if mass is None or volume is None:
        return None
    factor = implied_factor(mass.value, volume.bound.nominal)
    precision = mass.relative() + volume.precision
    tolerance = limit_value(case.limits.rated_basis) + precision
    resin = case.resin(barrel.barrel.reference_resin)
    # The output factor itself is no better known than its half-width.
    own = tolerance if resin is None else max(tolerance, resin.half_width + precision)
    basis, quoted = _basis(factor, resin, tolerance, own), barrel.numbers.get("reference_factor")
    if basis != "not_stated" and quoted is not None and _is_of_resin(barrel, case):
        allowed = tolerance + quoted.relative()
        if within(_ratio_from(factor, quoted.value), allowed):
            return Rating(factor, "output_factor", allowed, quoted.value)
    return Rating(factor, basis, own if basis == "output_factor" else tolerance)


def _is_of_resin(barrel: StatedBarrel, case: ClaimContext) -> bool:
    """Say whether the factor quoted may be the resin's: one that it contradicts, as its solid
    density or that of another resin, vouches for no mass."""
    return reference_resin(barrel, case).state != "contradicts"


def _volume_beside_mass(barrel: StatedBarrel, case: ClaimContext) -> RoutedVolume | None:
    volume = nominal_volume(barrel, case.resins)
    return None if volume is None or volume.route == "rated_mass" else volume


def _basis(factor: float, resin: ResinResult | None, tolerance: float, own: float) -> RatedBasis:
    densities = {} if resin is None else _densities(resin)
    if not densities:
        return "not_stated"
    distances = {basis: _ratio_from(factor, value) for basis, value in densities.items()}
    allowed = {basis: own if basis == "output_factor" else tolerance for basis in distances}
    near = [basis for basis in distances if within(distances[basis], allowed[basis])]
    if not near:
        return _between(factor, distances, densities)
    # One that cannot be told from the output factor is taken as it was meant to be.
    return "output_factor" if "output_factor" in near else min(near, key=lambda b: distances[b])


def _between(
    factor: float, distances: Mapping[RatedBasis, float], densities: Mapping[RatedBasis, float]
) -> RatedBasis:
    """Return the nearer of output factor and melt density where the factor lies between them.

    Nothing else lies there: the two differ by the leakage that a supplier allows for.
    """
    ends: tuple[RatedBasis, RatedBasis] = ("output_factor", "melt_density")
    known = [densities[end] for end in ends if end in densities]
    if len(known) < 2 or not min(known) < factor < max(known):
        return "unexplained"
    return min(ends, key=lambda end: distances[end])


def _densities(resin: ResinResult) -> dict[RatedBasis, float]:
    by_basis: dict[RatedBasis, float | None] = {
        "output_factor": resin.factor,
        "melt_density": resin.melt_density,
        "solid_density": resin.solid_density,
    }
    return {basis: value for basis, value in by_basis.items() if value is not None}


def _ratio_from(value: float, other: float) -> float:
    return max(value / other, other / value) - 1


def rated_mass_basis(barrel: StatedBarrel, case: ClaimContext) -> Claim:
    """Hold a rated mass / volume against the reference resin's factor and densities.

    The factor the supplier says it rated with is compared first, and alone where no reference
    resin is named. The derived value is that factor where the mass meets it, else the output
    factor, what a fair rating would use.
    """
    rating = _rating(barrel, case)
    if rating is None:
        return not_stated(RATED_MASS_BASIS, _missing_for_rating(barrel, case))
    if rating.basis != "not_stated":
        state = _BASIS_STATES[rating.basis]
        fair = rating.as_quoted or _fair_factor(
            rating, case.resins[barrel.barrel.reference_resin or ""]
        )
        note = None if rating.basis == "output_factor" else rating.basis
        claim = open_claim(
            RATED_MASS_BASIS.key, RATED_MASS_BASIS.subject, RATED_MASS_BASIS.kind, note
        )
        return judged(claim, state, rating.factor, fair, rating.tolerance)
    quoted = barrel.numbers.get("reference_factor")
    possible = min(max(rating.factor, LIGHTEST), HEAVIEST)
    if rating.factor != possible:
        return judged(UNLIKELY_MASS, "query", rating.factor, possible)
    if quoted is None:
        named = barrel.barrel.reference_resin is not None
        return not_stated(RATED_MASS_BASIS, ("output_factors" if named else "reference_resin",))
    tolerance = rating.tolerance + quoted.relative()
    return compare(RATED_MASS_BASIS, rating.factor, quoted.value, tolerance, mild=True)


def _fair_factor(rating: Rating, resin: ResinResult) -> float:
    if resin.factor is not None:
        return resin.factor
    return min(_densities(resin).values(), key=lambda value: _ratio_from(rating.factor, value))


def _missing_for_rating(barrel: StatedBarrel, case: ClaimContext) -> tuple[str, ...]:
    lacking = list(absent(barrel, "rated_shot_mass"))
    if _volume_beside_mass(barrel, case) is None:
        lacking.append("swept_volume")
    if barrel.barrel.reference_resin is None and "reference_factor" not in barrel.numbers:
        lacking.append("reference_resin")
    return tuple(lacking)


def reference_resin(barrel: StatedBarrel, case: ClaimContext) -> Claim:
    """Hold the factor a supplier says it rated with against the reference resin's.

    A mass that is rated in a resin nobody names is not judged, and never taken as polystyrene.
    """
    if "rated_shot_mass" not in barrel.numbers:
        return not_stated(REFERENCE_RESIN, ("rated_shot_mass",))
    resin = case.resin(barrel.barrel.reference_resin)
    if resin is None:
        return not_stated(REFERENCE_RESIN, ("reference_resin",))
    quoted = barrel.numbers.get("reference_factor")
    if quoted is None or resin.factor is None:
        return Claim(REFERENCE_RESIN.key, "agrees", REFERENCE_RESIN.subject, REFERENCE_RESIN.kind)
    claim = open_claim(REFERENCE_RESIN.key, "reference_factor", "density")
    tolerance = tolerance_of(quoted.relative(), resin.half_width)
    return compare(claim, quoted.value, resin.factor, tolerance)


def common_stroke(case: ClaimContext) -> tuple[Claim, ...]:
    """Hold each screw's stroke against the one stroke its unit has.

    That stroke is the most finely printed of the largest agreeing group, ties to the group, and
    then to the member, with the largest screw. Where no two agree nobody can say which is wrong:
    all are queried. A unit may let its smallest screw have less of its stroke: that agrees where
    the screw's own volume says the same, and is queried where nothing does. One that no screw of
    its diameter has contradicts, alone as well.
    """
    strokes = tuple(zip(case.unit.barrels, case.strokes, strict=True))
    stated = tuple(
        stroke.value
        for barrel, stroke in strokes
        if stroke is not None and not _is_unlikely(barrel, stroke, case)
    )
    return tuple(_common_stroke(barrel, stroke, stated, case) for barrel, stroke in strokes)


def _is_unlikely(barrel: StatedBarrel, stroke: ImpliedNumber, case: ClaimContext) -> bool:
    diameter = barrel.value("screw_diameter")
    return case.unit.is_reciprocating and not is_plausible_stroke(diameter, stroke.value)


def _common_stroke(
    barrel: StatedBarrel,
    stroke: ImpliedNumber | None,
    stated: tuple[float, ...],
    case: ClaimContext,
) -> Claim:
    common = case.stroke
    if stroke is None:
        return not_stated(COMMON_STROKE, absent(barrel, "stroke"))
    diameter = barrel.value("screw_diameter")
    if diameter is not None and _is_unlikely(barrel, stroke, case):
        possible = min(max(stroke.value, STROKE_LOW * diameter), STROKE_HIGH * diameter)
        return judged(UNLIKELY_STROKE, "contradicts", stroke.value, possible)
    if len(stated) < 2:
        return not_stated(COMMON_STROKE, ("second_screw",))
    if common is None:
        return replace(judged(COMMON_STROKE, "query", stroke.value), of_each_screw=stated)
    tolerance = tolerance_of(stroke.precision, common.precision)
    claim = compare(COMMON_STROKE, stroke.value, common.value, tolerance)
    if claim.state == "agrees" or not _may_be_limited(barrel, stroke, case):
        return claim
    vouched = volume_geometry(barrel, case).state == "agrees"
    return judged(
        LIMITED_STROKE, "agrees" if vouched else "query", stroke.value, common.value, tolerance
    )


def _may_be_limited(barrel: StatedBarrel, stroke: ImpliedNumber, case: ClaimContext) -> bool:
    """Say whether a screw, smaller than all that share the stroke, has a little less of it."""
    group, diameter = case.stroke_group, barrel.value("screw_diameter")
    if group is None or diameter is None:
        return False
    if not LEAST_OF_LIMITED_STROKE <= stroke.value / group.stroke.value < 1:
        return False
    sharing = (case.unit.barrels[place].value("screw_diameter") for place in group.places)
    return all(other is not None and diameter < other for other in sharing)
