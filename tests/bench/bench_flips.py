"""Time of what would flip the choice, on the sample; it asserts nothing.

Run as `python tests/bench/bench_flips.py`. Seconds of the processor: another program beside it
counts for nothing. Without the proposal the first two of the order are held against each other.
"""

from __future__ import annotations

import sys
from pathlib import Path
from time import process_time

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "src"))

from evenbarrel.appraisal.appraise import appraise  # noqa: E402
from evenbarrel.decision.decide import decide  # noqa: E402
from evenbarrel.decision.flips.choice import choices_of  # noqa: E402
from evenbarrel.decision.flips.search import flips_of  # noqa: E402
from evenbarrel.resources import read_sample  # noqa: E402
from evenbarrel.storage.files import parse_evaluation  # noqa: E402

SAMPLE = "irrigation-parts.evenbarrel.json"


def main() -> None:
    evaluation = parse_evaluation(read_sample(SAMPLE), SAMPLE)
    for what, one in (
        ("as proposed", evaluation),
        ("without the proposal", evaluation.replace(proposal=None)),
    ):
        decision = decide(appraise(one))
        choices = choices_of(decision)
        start = process_time()
        flips = flips_of(decision, choices=choices)
        took = process_time() - start
        if flips is not None:
            sys.stdout.write(
                f"sample {what}: {took:.1f} s for {flips.numbers} numbers, "
                f"{len(flips.flips)} flips\n"
            )


if __name__ == "__main__":
    main()
