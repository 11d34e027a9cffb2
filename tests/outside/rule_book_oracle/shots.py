"""The planned shot: its mass at each end, its volume, and the time the screw has to turn."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from math import inf, log, pi

from .quantities import Filed, Span, si
from .resins import half_width, own_half_width

# "part and runner: measured 0.5, quoted 2, assumed 7"
MASS_HALF_WIDTHS = {"measured": 0.005, "confirmed": 0.02, "quoted": 0.02, "assumed": 0.07}


def mass(evaluation: Filed, datum: Filed | None) -> Span | None:
    value = si(datum)
    if datum is None or value is None:
        return None
    half = own_half_width(datum)
    if half is None:
        standing = datum.get("standing") or "quoted"
        half = half_width(evaluation, "part_mass", standing, MASS_HALF_WIDTHS[standing])
    return Span.around(value, half)


def nominal_shot(evaluation: Filed, job: Filed) -> Span | None:
    """m_shot = cavities x part + runner, or a given shot mass."""
    given = mass(evaluation, job.get("shot_mass"))
    if given is not None:
        return given
    part, cavities = mass(evaluation, job.get("part_mass")), job.get("cavities")
    if part is None or cavities is None:
        return None
    runner = mass(evaluation, job.get("runner_mass")) or Span.exact(0.0)
    return Span(
        cavities * part.value + runner.value,
        cavities * part.low + runner.low,
        cavities * part.high + runner.high,
    )


def shots(evaluation: Filed, job: Filed) -> dict[str, Span]:
    """Return the shot mass at each end; an end on the wrong side of the nominal is ignored."""
    nominal = nominal_shot(evaluation, job)
    if nominal is None:
        return {}
    ends = {"nominal": nominal}
    smallest = mass(evaluation, job.get("smallest_shot_mass"))
    largest = mass(evaluation, job.get("largest_shot_mass"))
    if smallest is not None and smallest.value <= nominal.value:
        ends["smallest"] = smallest
    if largest is not None and largest.value >= nominal.value:
        ends["largest"] = largest
    return ends


def missing_of_shot(job: Filed) -> list[str]:
    if job.get("shot_mass") is not None:
        return []
    return [key for key in ("part_mass", "cavities") if job.get(key) is None]


def hot_runner_volume(job: Filed) -> float | None:
    """Volume of the hot runner; 0 with a cold runner, none, or nothing said; None if asked for."""
    if job.get("runner_kind") in ("cold", "none"):
        return 0.0
    stated = si(job.get("hot_runner_volume"))
    if stated is None:
        return None if job.get("runner_kind") in ("hot", "mixed") else 0.0
    return stated


@dataclass(frozen=True)
class Window:
    """The time for recovery [s]; `only_cap`: no more is known than what the cycle leaves."""

    span: Span
    route: str
    only_cap: bool = False


PLATE = (4 / pi, 8 / pi**2, pi**2)
FIRST_ZERO = 2.404825557695773
BESSEL_J1 = 0.5191474972894669
CYLINDER = (2 / (FIRST_ZERO * BESSEL_J1), 4 / FIRST_ZERO**2, FIRST_ZERO**2)
WORST_FOURIER = 0.2


def cooling_time(
    job: Filed, resin: Filed, diffusivity: float, target: str
) -> tuple[float, float] | None:
    """Return plate or cylinder time [s] and its Fourier number; None where the formula fails.

    `t = h^2/(pi^2 a) ln[k (Tm-Tw)/(Te-Tw)]`, k 4/pi centre, 8/pi^2 mean; Tm > Te > Tw + 5 K.
    """
    wall, melt = si(job.get("wall_thickness")), si(resin.get("melt_temperature"))
    mould = si(job.get("mould_temperature") or resin.get("mould_temperature"))
    eject = si(job.get("ejection_temperature") or resin.get("ejection_temperature"))
    if wall is None or melt is None or mould is None or eject is None:
        return None
    if not melt > eject > mould + 5:
        return None
    plate = (job.get("cooling_shape") or "plate") == "plate"
    centre, mean, eigenvalue = PLATE if plate else CYLINDER
    k = centre if target == "centre" else mean
    half = wall / 2
    # Both shapes on the half wall: a slab's pi^2/4 to it is pi^2 to the whole wall.
    rate = eigenvalue / 4 if plate else eigenvalue
    fourier = log(k * (melt - mould) / (eject - mould)) / rate
    return fourier * half**2 / diffusivity, fourier


def formula_times(evaluation: Filed, job: Filed, resin: Filed) -> Span | None:
    """Span effective and literature diffusivity, centre and mean, instead of a half-width."""
    known = [
        value
        for value in (si(resin.get("diffusivity")), si(resin.get("diffusivity_literature")))
        if value is not None
    ]
    target = job.get("cooling_target") or "centre"
    if not known:
        return None
    nominal = cooling_time(job, resin, known[0], target)
    if nominal is None or nominal[1] < WORST_FOURIER:
        return None
    if len(known) == 1:
        half = half_width(evaluation, "cooling_window", "formula", 0.40)
        return Span.around(nominal[0], half)
    found = [
        cooling_time(job, resin, each, way) for each, way in product(known, ("centre", "mean"))
    ]
    times = [pair[0] for pair in found if pair is not None and pair[1] >= WORST_FOURIER]
    return Span(nominal[0], min(times), max(times))


def around(evaluation: Filed, datum: Filed | None, quantity: str, route: str, usual: float) -> Span:
    half = own_half_width(datum)
    if half is None:
        half = half_width(evaluation, quantity, route, usual)
    return Span.around(si(datum) or 0.0, half)


def recovery_window(evaluation: Filed, job: Filed, resin: Filed) -> Window | None:
    """Given, else cycle, else formula; capped by what the cycle leaves; None: nothing known."""
    fill, hold = si(job.get("fill_time")), si(job.get("hold_time"))
    cycle = motion = None
    if job.get("cycle_time") is not None:
        cycle = around(evaluation, job["cycle_time"], "cycle_time", "", 0.05)
    if job.get("mould_motion_time") is not None:
        motion = around(evaluation, job["mould_motion_time"], "cooling_window", "motion", 0.10)
    stated = cycle is not None and motion is not None and fill is not None and hold is not None
    times = formula_times(evaluation, job, resin)
    if job.get("cooling_time") is not None:
        route = "given"
        taken = around(evaluation, job["cooling_time"], "cooling_window", "given", 0.10)
    elif stated:
        route, taken = "cycle", None
    elif times is not None and hold is not None and times.value > hold:
        route = "formula"
        # With a cycle, the mould may stay shut for all that it leaves.
        longest = times.high - hold if cycle is None else inf
        taken = Span(times.value - hold, times.low - hold, longest)
    elif cycle is not None:
        route, taken = "cycle", None
    else:
        return None
    span = _left(job, cycle, motion, taken)
    return Window(span, route, only_cap=taken is None and not stated)


def _left(job: Filed, cycle: Span | None, motion: Span | None, taken: Span | None) -> Span:
    """The window at each corner: capped, less the delay, plus what opening gives, floored once."""
    busy = (si(job.get("fill_time")) or 0.0) + (si(job.get("hold_time")) or 0.0)
    delay, opening = si(job.get("screw_delay")) or 0.0, si(job.get("recovery_during_opening"))

    def window(whole: float | None, moving: float | None, long: float | None) -> float:
        left = long if long is not None else float("inf")
        if whole is not None:
            left = min(left, whole - busy - (moving or 0.0))
        left -= delay
        if opening is not None:
            left += opening if moving is None else min(opening, moving)
            if whole is not None:
                left = min(left, whole - busy - delay)
        return max(left, 0.0)

    def ends(span: Span | None) -> tuple[float | None, ...]:
        return (None,) if span is None else (span.low, span.high)

    points = [window(*point) for point in product(ends(cycle), ends(motion), ends(taken))]
    middle = window(*(None if span is None else span.value for span in (cycle, motion, taken)))
    return Span(middle, min(points), max(points))
