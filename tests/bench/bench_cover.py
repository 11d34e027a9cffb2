"""Time of the decision's parts on the sample, and of covers of many sizes; it asserts nothing.

Run as `python tests/bench/bench_cover.py`. Hours are scarce on purpose: three machines do not
cover all, which is the slowest case.
"""

from __future__ import annotations

import sys
from pathlib import Path
from time import monotonic, perf_counter

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "src"))

from evenbarrel.appraisal.appraise import appraise  # noqa: E402
from evenbarrel.decision.cover.problem import CoverProblem  # noqa: E402
from evenbarrel.decision.cover.search import CoverSearch  # noqa: E402
from evenbarrel.decision.decide import decide  # noqa: E402
from evenbarrel.resources import read_sample  # noqa: E402
from evenbarrel.storage.files import parse_evaluation  # noqa: E402

SAMPLE = "irrigation-parts.evenbarrel.json"
SIZES = ((14, 8), (30, 20), (60, 40))
SECONDS = 1.0
"""As long as the program gives each number of machines."""


def programme(barrels: int, jobs: int) -> CoverProblem:
    draw = np.random.default_rng(1)
    hours = draw.uniform(500.0, 5000.0, jobs)
    return CoverProblem(
        hours=hours * draw.uniform(1.0, 1.15, (barrels, jobs)),
        planned=hours,
        allowed=draw.random((barrels, jobs)) < 0.7,
        running=np.ones((10, jobs), dtype=np.bool_),
        limit=np.full(barrels, 6000.0),
        moulds=np.ones(jobs),
        price=draw.uniform(1.5e5, 2.5e5, barrels),
        unpriced=np.zeros(barrels, dtype=np.bool_),
        cost=draw.uniform(1e3, 9e4, (barrels, jobs)),
        unit=np.arange(barrels) // 2,
        bid=np.arange(barrels) // 4,
    )


def main() -> None:
    appraisal = appraise(parse_evaluation(read_sample(SAMPLE), SAMPLE))
    for _ in range(2):
        decision = decide(appraisal)
        for part in ("offers", "cost", "order", "shares", "cover"):
            start = perf_counter()
            getattr(decision, part)
            sys.stdout.write(f"sample, {part}: {1e3 * (perf_counter() - start):.0f} ms\n")
    for barrels, jobs in SIZES:
        problem, whole = programme(barrels, jobs), perf_counter()
        for most in (0, 1, 2, 3):
            start = perf_counter()
            best = CoverSearch(problem, monotonic() + SECONDS).best(most).best
            took = perf_counter() - start
            sys.stdout.write(
                f"{barrels} x {jobs}, at most {most}: {took:.3f} s, {best.covered} jobs, "
                f"gap {best.gap:.3f}\n"
            )
        sys.stdout.write(f"{barrels} x {jobs}: {perf_counter() - whole:.2f} s\n")


if __name__ == "__main__":
    main()
