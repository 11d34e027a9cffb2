"""Claims about plasticising: the heat of a rate, what one turn delivers, peripheral speed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from evenbarrel.appraisal.claims.agreement import (
    UNLIKELY,
    absent,
    at_most,
    compare,
    judged,
    not_stated,
    open_claim,
    tolerance_of,
)
from evenbarrel.appraisal.claims.context import ClaimContext
from evenbarrel.appraisal.inputs.barrel_inputs import (
    RATED_SPEEDS,
    rated_resin,
    rated_speed,
    rated_speed_field,
)
from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedNumber
from evenbarrel.appraisal.results import Claim, ResinResult
from evenbarrel.trade import geometry, recovery

PLASTICISING_ENERGY = open_claim("plasticising_energy", "plasticising_rate", "power")
OUTPUT_PER_TURN = open_claim("output_per_turn", "plasticising_rate", "ratio")
UNLIKELY_OUTPUT = open_claim("output_per_turn", "plasticising_rate", "ratio", UNLIKELY)
BESIDE_OTHERS = "beside_others"
"""Note of a rate that is held against those of the unit's other screws."""
RATE_BESIDE_OTHERS = open_claim("output_per_turn", "plasticising_rate", "mass_rate", BESIDE_OTHERS)
IN_LB_H = "perhaps_lb_h"
OUTPUT_IN_LB_H = open_claim("output_per_turn", "plasticising_rate", "ratio", IN_LB_H)
PERIPHERAL_SPEED = open_claim("peripheral_speed", "peripheral_speed", "peripheral_speed")

USUAL_OUTPUT_LOW, USUAL_OUTPUT_HIGH = 0.04, 0.075
OUTPUT_LOW, OUTPUT_HIGH = 0.027, 0.11
"""Volume of melt a turn delivers, in cubed diameters: usual, and what any screw reaches; a sound
barrier screw may reach 0.1. Common practice, no source."""

OUTPUT_LOW_AT_OTHER_SPEED = 0.018
"""The least where the only speed printed may be higher than the one the rate holds at; common
practice, no source."""

LIKE_OUTPUT = 1.7
"""Screws of one unit deliver at most so many times what another does in a turn, each in cubed
diameters; common practice, no source."""

LEAST_IN_LB_H = 0.085
"""Where every screw of a column in kg/h delivers more, it is read as one in lb/h; common practice,
no source."""

MELT_DENSITIES = 700.0, 1600.0
"""Of any moulding resin [kg/m3]."""

HIGHEST_PERIPHERAL_SPEED = 1.5
"""Of any screw [m/s]; common practice, no source."""

MOST_ABOVE_RATED = 3.0
"""A screw turns at most so many times as fast as at its rate; common practice, no source."""


def _resin(barrel: StatedBarrel, case: ClaimContext) -> tuple[str | None, ResinResult | None]:
    """Return the resin a rate holds in, the reference resin if not said: its id and its result."""
    named = rated_resin(barrel.barrel)
    return named, case.resin(named)


def _lacking(named: str | None, datum: str, value: float | None) -> tuple[str, ...]:
    if named is None:
        return ("plasticising_resin",)
    return () if value is not None else (datum,)


def plasticising_energy(barrel: StatedBarrel, case: ClaimContext) -> Claim:
    """Hold the heat that a plasticising rate needs against screw drive and barrel heaters."""
    rate = barrel.numbers.get("plasticising_rate")
    named, resin = _resin(barrel, case)
    enthalpy = None if resin is None else resin.enthalpy
    sources = [
        number
        for name in ("plasticising_drive_power", "heating_power")
        if (number := case.unit.numbers.get(name)) is not None
    ]
    lacking = absent(case.unit, "plasticising_drive_power", "heating_power")
    if rate is None or enthalpy is None or not sources:
        unknown = _lacking(named, "enthalpy", enthalpy)
        return not_stated(
            PLASTICISING_ENERGY, (*absent(barrel, "plasticising_rate"), *unknown, *lacking)
        )
    needed = recovery.melting_power(rate.value, enthalpy)
    available = sum(number.value for number in sources)
    precision = sum(number.precision for number in sources) / available
    tolerance = tolerance_of(rate.relative(), precision)
    claim = at_most(PLASTICISING_ENERGY, needed, available, tolerance, mild=True)
    # What one source gives alone suffices to agree, never to question.
    return claim if claim.state == "agrees" or not lacking else not_stated(claim, lacking)


def output_per_turn(case: ClaimContext) -> tuple[Claim, ...]:
    """Hold the melt that one turn of each screw delivers against what screws can deliver.

    What any screw could deliver is held against the other screws of the unit, too.
    """
    barrels = case.unit.barrels
    by_itself = [_output_of(barrel, case) for barrel in barrels]
    if _are_perhaps_lb_h(barrels, by_itself):
        return tuple(
            judged(OUTPUT_IN_LB_H, "query", one.stated, USUAL_OUTPUT_HIGH)
            if one.stated is not None
            else one
            for one in by_itself
        )
    # A screw in doubt by itself puts no other in doubt.
    sound = [b for b, one in zip(barrels, by_itself, strict=True) if one.state != "query"]
    return tuple(
        one if one.state == "query" else _beside_others(barrel, sound, case) or one
        for barrel, one in zip(barrels, by_itself, strict=True)
    )


def _are_perhaps_lb_h(barrels: Sequence[StatedBarrel], claims: Sequence[Claim]) -> bool:
    """Say whether a column in kg/h delivers as much in a turn as one in lb/h would."""
    stated = [
        (barrel, one.stated)
        for barrel, one in zip(barrels, claims, strict=True)
        if one.stated is not None and one.note != UNLIKELY
    ]
    return len(stated) > 1 and all(
        output > LEAST_IN_LB_H and barrel.numbers["plasticising_rate"].printed.endswith(" kg/h")
        for barrel, output in stated
    )


def _beside_others(
    barrel: StatedBarrel, screws: Sequence[StatedBarrel], case: ClaimContext
) -> Claim | None:
    """Query a rate that stands apart from those of all other screws it can be held against."""
    rate, diameter = barrel.value("plasticising_rate"), barrel.value("screw_diameter")
    if rate is None or diameter is None:
        return None
    others = sorted(_rates_by_others(barrel, diameter, screws, case), key=lambda other: other[1])
    if not others or any(low <= rate / derived <= high for derived, _, low, high in others):
        return None
    return judged(RATE_BESIDE_OTHERS, "query", rate, others[0][0])


def _rates_by_others(
    barrel: StatedBarrel, diameter: float, screws: Sequence[StatedBarrel], case: ClaimContext
) -> Iterator[tuple[float, float, float, float]]:
    """Yield for each other screw the rate it gives here, and within what share that is believed.

    Second is how far apart their sizes are. A smaller screw's highest speed is often more above the
    one of its rate than a larger screw's.
    """
    speed, resin = rated_speed_field(barrel), _resin(barrel, case)
    for other in screws:
        size, rate = other.value("screw_diameter"), other.value("plasticising_rate")
        turns, others_turns = barrel.value(speed), other.value(speed)
        if other is barrel or not (size and rate and turns and others_turns):
            continue
        share = _melt_share(resin, _resin(other, case))
        if share is None or rated_speed_field(other) != speed:
            continue
        ratio = diameter / size
        slack = 1.0 if speed == RATED_SPEEDS[0] else ratio
        low, high = min(1.0, 1 / slack) / LIKE_OUTPUT, LIKE_OUTPUT * max(1.0, 1 / slack)
        yield rate * share * turns / others_turns * ratio**3, abs(ratio - 1), low, high


def _melt_share(
    own: tuple[str | None, ResinResult | None], other: tuple[str | None, ResinResult | None]
) -> float | None:
    """Return the melt density of one rate's resin in that of another's; None if not known."""
    if own[0] == other[0]:
        return 1.0
    densities = [None if one is None else one.melt_density for _, one in (own, other)]
    if densities[0] is None or densities[1] is None:
        return None
    return densities[0] / densities[1]


def _output_of(barrel: StatedBarrel, case: ClaimContext) -> Claim:
    rate, diameter = barrel.value("plasticising_rate"), barrel.value("screw_diameter")
    turns = rated_speed(barrel)
    named, resin = _resin(barrel, case)
    density = None if resin is None else resin.melt_density
    if rate is None or diameter is None or turns is None or density is None:
        unlikely = _unlikely_output(rate, diameter, turns, density)
        if unlikely is not None:
            return unlikely
        lacking = (
            *absent(barrel, "plasticising_rate", "screw_diameter"),
            *(() if turns is not None else ("plasticising_speed",)),
            *_lacking(named, "melt_density", density),
        )
        return not_stated(OUTPUT_PER_TURN, lacking)
    output = recovery.output_per_turn(rate, density, turns, diameter)
    at_the_rate = "plasticising_speed" in barrel.numbers
    least = OUTPUT_LOW if at_the_rate else OUTPUT_LOW_AT_OTHER_SPEED
    possible = min(max(output, least), OUTPUT_HIGH)
    if output != possible:
        return judged(OUTPUT_PER_TURN, "query", output, possible)
    dragged = _dragged(barrel, diameter, turns)
    note = "above_drag_flow" if dragged is not None and rate / density > dragged else None
    if note is None and output > USUAL_OUTPUT_HIGH:
        note = "unusual_output"
    elif note is None and at_the_rate and output < USUAL_OUTPUT_LOW:
        # Beside a higher speed than its own any rate looks low.
        note = "low_output"
    return judged(replace(OUTPUT_PER_TURN, note=note), "agrees", output)


def _unlikely_output(
    rate: float | None, diameter: float | None, turns: float | None, density: float | None
) -> Claim | None:
    """Query a rate that no screw reaches or falls to, whatever of density and speed is unknown."""
    if rate is None or diameter is None:
        return None
    light, heavy = (density, density) if density else MELT_DENSITIES
    fastest = turns or geometry.rotational_speed(diameter, HIGHEST_PERIPHERAL_SPEED)
    least = recovery.output_per_turn(rate, heavy, fastest, diameter)
    high = OUTPUT_HIGH if turns else USUAL_OUTPUT_HIGH
    if least > high:
        return judged(UNLIKELY_OUTPUT, "query", least, high)
    most = recovery.output_per_turn(rate, light, fastest, diameter)
    if turns and most < OUTPUT_LOW_AT_OTHER_SPEED:
        return judged(UNLIKELY_OUTPUT, "query", most, OUTPUT_LOW_AT_OTHER_SPEED)
    return None


def is_usual_output(output: float) -> bool:
    """Say whether a screw usually delivers so much in a turn, in cubed diameters."""
    return USUAL_OUTPUT_LOW <= output <= USUAL_OUTPUT_HIGH


def _dragged(barrel: StatedBarrel, diameter: float, turns: float) -> float | None:
    """Return what the metering zone drags forward [m3/s]; None where its depth is not stated."""
    depth = barrel.value("metering_depth")
    if depth is None:
        return None
    angle = recovery.helix_angle(barrel.value("pitch") or diameter, diameter)
    return recovery.drag_flow(diameter, turns, depth, angle)


def peripheral_speed(barrel: StatedBarrel, case: ClaimContext) -> Claim:
    """Hold a printed peripheral speed against pi D n.

    Offers seldom say at which screw speed they mean it: the nearest of the printed ones counts.
    One above them is that of the highest screw speed, where that is not printed.
    """
    printed, diameter = barrel.numbers.get("peripheral_speed"), barrel.numbers.get("screw_diameter")
    turns = [barrel.numbers[name] for name in RATED_SPEEDS if name in barrel.numbers]
    if printed is None or diameter is None or not turns:
        lacking = absent(barrel, "peripheral_speed", "screw_diameter")
        return not_stated(PERIPHERAL_SPEED, (*lacking, *(() if turns else ("screw_speed_max",))))
    claims = (_against_turns(printed, diameter, turn) for turn in turns)
    nearest = min(claims, key=lambda claim: abs(claim.gap or 0.0))
    if nearest.state == "query" and _may_be_the_highest(nearest, barrel):
        return not_stated(PERIPHERAL_SPEED, ("screw_speed_max",))
    return nearest


def _may_be_the_highest(claim: Claim, barrel: StatedBarrel) -> bool:
    if "screw_speed_max" in barrel.numbers:
        return False
    return 0.0 < (claim.gap or 0.0) <= MOST_ABOVE_RATED - 1


def _against_turns(printed: StatedNumber, diameter: StatedNumber, turn: StatedNumber) -> Claim:
    derived = geometry.peripheral_speed(diameter.value, turn.value)
    tolerance = tolerance_of(printed.relative(), diameter.relative(), turn.relative())
    return compare(PERIPHERAL_SPEED, printed.value, derived, tolerance, mild=True)
