"""What the reader of tables makes of the invented ones: cells right, marked, missed and wrong.

Run as `python tests/bench/bench_intake.py [-v]`; it reports, never asserts. With `-v` it names each
cell that is missed or wrong.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from time import perf_counter

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "tests")]

from intake.catalogue import TABLES, Table  # noqa: E402
from intake.held_out import HELD_OUT  # noqa: E402
from intake.held_out_later import HELD_OUT_LATER  # noqa: E402
from intake.held_out_quotes import HELD_OUT_QUOTES  # noqa: E402
from intake.outcomes import OUTCOMES, RIGHT, Outcome, cells_of  # noqa: E402

from evenbarrel.model.evaluation import Evaluation  # noqa: E402
from evenbarrel.resources import read_sample  # noqa: E402
from evenbarrel.storage.files import parse_evaluation  # noqa: E402

SETS = {
    "catalogue": TABLES,
    "held out": HELD_OUT,
    "held out later": HELD_OUT_LATER,
    "quotes": HELD_OUT_QUOTES,
}
SAMPLE = "irrigation-parts.evenbarrel.json"


def resins_alone() -> Evaluation:
    """Return an evaluation with the sample's resins and no bid."""
    sample = parse_evaluation(read_sample(SAMPLE), SAMPLE)
    return Evaluation(resins=sample.resins)


def report(which: str, tables: Sequence[Table], every: bool) -> Iterator[str]:
    """Yield the lines of the report on some tables."""
    evaluation, total = resins_alone(), Counter[Outcome]()
    yield f"{which:72}" + "".join(f"{outcome:>17}" for outcome in OUTCOMES)
    begun = perf_counter()
    for table in tables:
        cells = cells_of(table, evaluation)
        counted = Counter(outcome for _, outcome in cells)
        total += counted
        yield f"{table.name:72}" + "".join(f"{counted[outcome]:17}" for outcome in OUTCOMES)
        if every:
            yield from (f"    {name}: {o}" for name, o in cells if o not in RIGHT)
    taken = perf_counter() - begun
    yield f"{'all':72}" + "".join(f"{total[outcome]:17}" for outcome in OUTCOMES)
    cells_in_all = total.total()
    right = sum(total[outcome] for outcome in RIGHT)
    yield f"right: {right} of {cells_in_all} cells, {right / cells_in_all:.1%}"
    yield f"sure without a mark: {total['sure'] / cells_in_all:.1%}"
    yield f"wrong without a mark: {total['wrong, unmarked']}"
    yield f"{len(tables)} tables in {taken:.2f} s"


if __name__ == "__main__":
    for name, tables in SETS.items():
        for line in report(name, tables, "-v" in sys.argv[1:]):
            sys.stdout.write(line + "\n")
        sys.stdout.write("\n")
