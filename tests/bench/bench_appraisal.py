"""Time and memory of the appraisal; it reports and never asserts.

Run as `python tests/bench/bench_appraisal.py`. Every size runs in a process of its own, so that
its peak memory is its own.
"""

from __future__ import annotations

import gc
import resource
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "src"))

from evenbarrel.appraisal import appraise as whole  # noqa: E402
from evenbarrel.appraisal.criteria import ALL  # noqa: E402
from evenbarrel.appraisal.verdicts.assessment import assess  # noqa: E402
from evenbarrel.appraisal.verdicts.grid import Grid  # noqa: E402
from evenbarrel.model.evaluation import Evaluation  # noqa: E402
from evenbarrel.model.job import Job  # noqa: E402
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit  # noqa: E402
from evenbarrel.model.quantity import Quantity  # noqa: E402
from evenbarrel.model.resin import OutputFactors, ResidenceLimit, Resin  # noqa: E402

RUNS = 5
SCREWS_OF_A_UNIT, UNITS_OF_A_BID = 3, 2
BASIC = ("capacity", "utilisation", "stroke", "pressure")
SIZES = {"large": (10_000, 200), "middle": (50, 40), "sample": (12, 6)}


def q(magnitude: float, unit: str) -> Quantity:
    return Quantity(magnitude=f"{magnitude:.2f}", unit=unit)


def resin(number: int) -> Resin:
    factor = 0.7 + 0.05 * number
    return Resin(
        id=f"r{number}",
        resin_class="engineering" if number % 2 else "general",
        output_factor_route="trade_table",
        output_factors=OutputFactors(trade_table=q(factor, "g/cm3")),
        melt_density=q(factor * 1.05, "g/cm3"),
        enthalpy=q(350.0 + 40.0 * number, "kJ/kg"),
        melt_temperature=q(230.0, "degC"),
        peripheral_speed_limit=q(0.6, "m/s"),
        residence_limits=(ResidenceLimit(temperature=q(230.0, "degC"), time=q(8.0, "min")),),
        abrasive="slightly",
        corrosive="no",
        origins={"residence_limits": "from_memory"},
    )


def barrel(number: int) -> Barrel:
    """Make a sound barrel; of every fifty one prints its volume a tenth too large."""
    unit = number // SCREWS_OF_A_UNIT
    middle = 25.0 + unit % 60
    diameter = middle + 5.0 * (number % SCREWS_OF_A_UNIT)
    stroke = 4.0 * middle
    volume = 0.7853982e-3 * diameter**2 * stroke
    printed = volume * (1.1 if number % 50 == 49 else 1.0)
    return Barrel(
        id=f"b{number}",
        screw_diameter=q(diameter, "mm"),
        stroke=q(stroke, "mm"),
        swept_volume=q(printed, "cm3"),
        rated_shot_mass=q(0.70 * volume, "g"),
        reference_resin="r0",
        injection_pressure=q(1800.0 * (middle / diameter) ** 2, "bar"),
        injection_rate=q(0.6 * volume, "cm3/s"),
        plasticising_rate=q(0.05 * volume, "g/s"),
        plasticising_speed=q(200.0, "rev/min"),
        screw_speed_max=q(300.0, "rev/min"),
        length_ratio=q(22.0, "1"),
        ring_travel=q(3.0, "mm"),
        barrel_package="bimetallic_iron",
        screw_package="nitrided",
    )


def job(number: int) -> Job:
    mass = 4.0 + 3.0 * number
    return Job(
        id=f"j{number}",
        resin=f"r{number % 8}",
        part_mass=q(mass / 4.0, "g"),
        cavities=4,
        runner_mass=q(mass / 20.0, "g"),
        largest_shot_mass=q(mass * 1.2, "g") if number % 5 == 0 else None,
        cycle_time=q(25.0, "s"),
        cooling_time=q(12.0, "s"),
        fill_time=q(1.5, "s"),
        required_pressure=q(900.0, "bar"),
        shot_mass_tolerance=q(1.0, "%"),
    )


def evaluation(barrels: int, jobs: int) -> Evaluation:
    made = [barrel(number) for number in range(barrels)]
    units = [
        InjectionUnit(
            id=f"u{start}",
            injection_power=q(60.0, "kW"),
            position_scatter=q(0.05, "mm"),
            barrels=tuple(made[start : start + SCREWS_OF_A_UNIT]),
        )
        for start in range(0, barrels, SCREWS_OF_A_UNIT)
    ]
    bids = tuple(
        Bid(id=f"bid{start}", units=tuple(units[start : start + UNITS_OF_A_BID]))
        for start in range(0, len(units), UNITS_OF_A_BID)
    )
    return Evaluation(
        resins=tuple(resin(number) for number in range(8)),
        jobs=tuple(job(number) for number in range(jobs)),
        bids=bids,
    )


def timed(work: Callable[[], object]) -> float:
    """Return the median seconds of the runs, each from a clean heap."""
    seconds = []
    for _ in range(RUNS):
        gc.collect()
        start = perf_counter()
        kept = work()
        seconds.append(perf_counter() - start)
        del kept
    return median(seconds)


def states(given: Evaluation) -> Grid:
    """Appraise everything and combine the cells, as the grid's picture needs it."""
    appraisal = whole.appraise(given)
    _ = appraisal.grid.state, appraisal.grid.binding, appraisal.grid.by_rule
    _ = appraisal.gates.states
    return appraisal.grid


def every_cell(given: Evaluation) -> object:
    """Appraise, ask and read every cell in full, as the desk does after an edit."""
    appraisal = whole.appraise(given)
    _ = appraisal.questions
    return [appraisal.fit(b.id, j.id) for b in appraisal.barrels for j in appraisal.jobs]


def measure(name: str) -> None:
    barrels, jobs = SIZES[name]
    given = evaluation(barrels, jobs)
    states(evaluation(2, 2))
    lines = [("appraisal, states and binding", timed(lambda: states(given)))]
    # Before the array part, which is timed beside it, holds all criteria at once.
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0**2
    if name == "large":
        table = whole.appraise(given).grid.table
        basic = [criterion for criterion in ALL if criterion.key in BASIC]
        lines.append(
            ("four basic criteria on arrays", timed(lambda: [assess([c], table) for c in basic]))
        )
        lines.append(("all criteria on arrays", timed(lambda: [assess([c], table) for c in ALL])))
    else:
        lines.append(("with questions and every cell", timed(lambda: every_cell(given))))
    for what, seconds in lines:
        sys.stdout.write(f"{barrels:6} x {jobs:3}  {what:32} {seconds * 1e3:9.1f} ms\n")
    sys.stdout.write(f"{barrels:6} x {jobs:3}  {'peak memory':32} {peak:9.2f} GB\n")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        measure(sys.argv[1])
    else:
        for size in SIZES:
            subprocess.run([sys.executable, __file__, size], check=True)
