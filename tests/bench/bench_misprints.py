"""What the search for slips finds: planted slips by kind, and false alarms on sound offers.

Run as `python tests/bench/bench_misprints.py [slips] [seed]`; it reports, never asserts. A slip is
found where a failed claim of its unit names it, alone or among several; a sole cause is wrong
where it names another change. A false alarm is a sound offer that a supplier would be asked about.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from random import Random

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "tests")]

from appraisal.catalogue import KINDS_OF_SLIP, Offer, planted, sound_offer  # noqa: E402
from appraisal.habits import as_the_trade_prints_it  # noqa: E402
from appraisal.outcomes import OUTCOMES, asked_about, outcome_of  # noqa: E402

SLIPS, SOUND_OFFERS, SEED = 500, 3000, 1


def table(slips: int, seed: int) -> Iterator[str]:
    """Yield the lines of the report."""
    random = Random(seed)
    counted: dict[str, Counter[str]] = {code: Counter() for code in KINDS_OF_SLIP}
    for number in range(slips):
        code = KINDS_OF_SLIP[number % len(KINDS_OF_SLIP)]
        counted[code][outcome_of(planted(code, random))] += 1
    yield f"{'planted slip':22}" + "".join(f"{outcome:>16}" for outcome in OUTCOMES)
    for code, found in counted.items():
        yield f"{code:22}" + "".join(f"{found[outcome]:16}" for outcome in OUTCOMES)
    total = sum(counted.values(), Counter())
    yield f"{'all':22}" + "".join(f"{total[outcome]:16}" for outcome in OUTCOMES)
    shares = {outcome: total[outcome] / slips for outcome in OUTCOMES}
    yield f"found alone or among several: {shares['alone'] + shares['among several']:.1%}"
    yield f"wrong sole cause: {shares['wrong sole']:.2%}"
    yield from _alarms("sound", (sound_offer(random) for _ in range(SOUND_OFFERS)))
    ordinary = (as_the_trade_prints_it(sound_offer(random), random) for _ in range(SOUND_OFFERS))
    yield from _alarms("ordinary", ordinary)


def _alarms(kind: str, offers: Iterator[Offer]) -> Iterator[str]:
    asked = [keys for offer in offers if (keys := asked_about(offer))]
    yield f"false alarms: {len(asked) / SOUND_OFFERS:.2%} of {SOUND_OFFERS} {kind} offers"
    for key, count in Counter(key for keys in asked for key in keys).most_common():
        yield f"    {key}: {count}"


if __name__ == "__main__":
    numbers = [int(text) for text in sys.argv[1:]]
    for line in table(*(numbers + [SLIPS, SEED][len(numbers) :])):
        sys.stdout.write(line + "\n")
