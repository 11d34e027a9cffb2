"""The readings of a barrel's size: which diameter, stroke and volume it may have."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

from .claims import Claim
from .quantities import Filed, Span, precision, si
from .resins import output_factor
from .slips import corrections


@dataclass(frozen=True)
class Size:
    """One reading. A rated mass alone gives a volume that depends on the resin it is asked in."""

    name: str
    route: str | None
    diameter: Span | None = None
    stroke: Span | None = None
    volume: Span | None = None
    rated_in: str | None = None
    volume_at_nominal_factor: Span | None = None

    def share(self, resin: str | None, factor: Span) -> tuple[Span, Span] | None:
        """Output factor and volume for a share of volume.

        "If the job's resin is the reference resin the factor's half-width is not counted twice":
        the factor cancels, so 150 g PS on 200 g PS is 0.75 with 0.73-0.87.
        """
        if self.volume is None:
            return None
        if self.volume_at_nominal_factor is not None and resin == self.rated_in:
            return Span.exact(factor.value), self.volume_at_nominal_factor
        return factor, self.volume


def disc(diameter: float) -> float:
    return pi * diameter**2 / 4


def _spans(barrel: Filed) -> tuple[Span | None, Span | None, Span | None]:
    """D, s and V as printed, each with its printed precision."""
    found = []
    for field in ("screw_diameter", "stroke", "swept_volume"):
        value = si(barrel.get(field))
        half = precision(barrel.get(field), field)
        found.append(None if value is None else Span.around(value, half))
    return found[0], found[1], found[2]


def half(span: Span) -> float:
    return span.high / span.value - 1


def by_geometry(d: Span, s: Span) -> Span:
    """V = A s; precision combined linearly."""
    return Span.around(disc(d.value) * s.value, 2 * half(d) + half(s))


def implied_diameter(s: Span, v: Span) -> Span:
    """Half-width (u_V + u_s)/2."""
    return Span.around(sqrt(4 * v.value / (pi * s.value)), (half(v) + half(s)) / 2)


def implied_stroke(d: Span, v: Span) -> Span:
    """Half-width u_V + 2 u_D."""
    return Span.around(v.value / disc(d.value), half(v) + 2 * half(d))


def plausible(size: Size) -> bool:
    """D 12-250 mm, s 1-8 D, V 2 cm3-100 l."""
    if size.diameter is None or size.stroke is None or size.volume is None:
        return True
    d, s, v = size.diameter.value, size.stroke.value, size.volume.value
    return 0.012 <= d <= 0.250 and d <= s <= 8 * d and 2e-6 <= v <= 0.1


def rated_volume(evaluation: Filed, barrel: Filed) -> Size:
    """From rated mass alone: factor quoted, its precision; not quoted, 0.86-1.02 of m/f."""
    mass, datum = si(barrel.get("rated_shot_mass")), barrel.get("reference_factor")
    resin = next(
        (each for each in evaluation["resins"] if each["id"] == barrel.get("reference_resin")), None
    )
    if mass is not None and datum is not None:
        around = precision(barrel.get("rated_shot_mass")) + precision(datum)
        volume = Span.around(mass / (si(datum) or 0.0), around)
        return Size("as_printed", "rated_mass", volume=volume)
    factor = None if resin is None else output_factor(evaluation, resin)
    if mass is None or resin is None or factor is None:
        return Size("as_printed", None)
    nominal = mass / factor.value
    return Size(
        "as_printed",
        "rated_mass",
        volume=Span(nominal, 0.86 * mass / factor.high, 1.02 * mass / factor.low),
        rated_in=resin["id"],
        volume_at_nominal_factor=Span(nominal, 0.86 * nominal, 1.02 * nominal),
    )


def as_printed(evaluation: Filed, barrel: Filed) -> Size:
    """Geometry if known, else quoted, else rated mass; any two of D, s, V give the third."""
    d, s, v = _spans(barrel)
    if d is not None and s is not None:
        return Size("as_printed", "geometry", d, s, by_geometry(d, s))
    if v is not None:
        if d is not None:
            return Size("as_printed", "quoted", d, implied_stroke(d, v), v)
        if s is not None:
            return Size("as_printed", "quoted", implied_diameter(s, v), s, v)
        return Size("as_printed", "quoted", volume=v)
    rated = rated_volume(evaluation, barrel)
    return Size(
        "as_printed",
        rated.route,
        d,
        s,
        rated.volume,
        rated.rated_in,
        rated.volume_at_nominal_factor,
    )


def slip_reading(barrel: Filed, unit: Filed, slip: str, subject: str) -> Size | None:
    """The reading of one slip of D or s, with the quoted V, where the three then meet."""
    for changed in corrections(unit, (barrel["id"],), subject, slip):
        fixed = next(each for each in changed["barrels"] if each["id"] == barrel["id"])
        d, s, v = _spans(fixed)
        if d is not None and s is not None and v is not None:
            size = Size(slip, "quoted", d, s, v)
            if _meets(size):
                return size
    return None


def settled_sizes(evaluation: Filed, barrel: Filed, unit: Filed) -> tuple[list[Size], str | None]:
    """A decision: `geometry` as printed; `quoted` with the datum that was wrong, or unknown."""
    decision, printed = barrel["settled"], as_printed(evaluation, barrel)
    d, s, v = _spans(barrel)
    if decision["route"] != "quoted" or d is None or s is None or v is None:
        return [printed], None
    by_d = Size("diameter", "quoted", implied_diameter(s, v), s, v)
    by_s = Size("stroke", "quoted", d, implied_stroke(d, v), v)
    reading = decision.get("reading")
    if reading == "diameter":
        return [by_d], None
    if reading == "stroke":
        return [by_s], None
    if reading in (None, "unknown"):
        return [by_d, *(each for each in (by_s,) if plausible(each))], "readings"
    for subject in ("screw_diameter", "stroke"):
        found = slip_reading(barrel, unit, reading, subject)
        if found is not None:
            return [found], None
    return [printed], None


def _meets(size: Size) -> bool:
    """Whether a slip's D and s give the quoted volume within 3 %."""
    if size.diameter is None or size.stroke is None or size.volume is None:
        return False
    geometry = disc(size.diameter.value) * size.stroke.value
    return abs(geometry / size.volume.value - 1) <= 0.03


def sizes_of(
    evaluation: Filed, barrel: Filed, unit: Filed, claim: Claim
) -> tuple[list[Size], str | None]:
    """Return the readings, the nominal first, and why there are several: unsettled or readings."""
    if barrel.get("settled") is not None:
        return settled_sizes(evaluation, barrel, unit)
    printed = as_printed(evaluation, barrel)
    d, s, v = _spans(barrel)
    if claim.state != "contradicts" or d is None or s is None or v is None:
        return [printed], None
    others = [
        Size("diameter", "quoted", implied_diameter(s, v), s, v),
        Size("stroke", "quoted", d, implied_stroke(d, v), v),
    ]
    if claim.cause is not None and claim.subject != "swept_volume":
        read = slip_reading(barrel, unit, claim.cause, claim.subject)
        others += [] if read is None else [read]
    return [printed, *(each for each in others if plausible(each))], "unsettled"
