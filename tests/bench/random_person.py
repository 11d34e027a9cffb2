"""A person at random over the whole desk, for longer than the suite has time for.

    python tests/bench/random_person.py --steps 20000 --seed 1

Prints steps, edits, exceptions, warnings of Qt, growth of memory and seconds; ends with 1 and the
last steps where something went wrong. The same seed does the same steps.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).parents[1]))

WARM_UP = 4
"""Documents before memory is taken for the first time."""


def lay_out(folder: Path) -> None:
    """Write what a person may open: the sample, a bid, and a broken file of each kind."""
    from evenbarrel.resources import read_sample

    sample = read_sample("irrigation-parts.evenbarrel.json")
    (folder / "sample.evenbarrel.json").write_bytes(sample)
    (folder / "offer.bid.json").write_bytes(read_sample("brastivel.bid.json"))
    (folder / "offer.txt").write_text("Screw diameter mm\t40\nStroke mm\t200\n", encoding="utf-8")
    for name in ("broken.evenbarrel.json", "broken.bid.json"):
        (folder / name).write_text("{", encoding="utf-8")


def live(steps: int, seed: int, folder: Path) -> int:
    """Let a person act on the whole program, and print how it went; return the exit code."""
    from desk.random_person import Found, RandomPerson
    from PySide6.QtWidgets import QApplication

    from evenbarrel.app import begin, build

    application = QApplication([])
    session, theme, window = build(application)
    window.show()
    begin(session, theme, window)
    lay_out(folder)
    person = RandomPerson(session, window, folder, seed)
    start, told = time.perf_counter(), ""
    try:
        with person.present():
            person.live(steps)
    except Found as found:
        told = f"{found}\n"
    memory = person.memory
    grown = (memory[-1] - memory[min(WARM_UP, len(memory) - 1)]) / 1e6 if memory else 0.0
    sys.stdout.write(
        f"{told}seed {seed}: {len(person.steps)} acts, {person.edits} edits, undos and redos; "
        f"{len(person.watch.exceptions)} exceptions, {len(person.watch.warnings)} Qt warnings; "
        f"memory {grown:+.1f} MB; {time.perf_counter() - start:.0f} s\n"
    )
    return 1 if told else 0


def main() -> int:
    """Read the arguments and let one person live, in folders of its own."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--steps", type=int, default=20_000)
    arguments.add_argument("--seed", type=int, default=1)
    chosen = arguments.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        for kind in ("CONFIG", "STATE"):
            os.environ[f"XDG_{kind}_HOME"] = str(Path(folder) / "home")
        return live(chosen.steps, chosen.seed, Path(folder))


if __name__ == "__main__":
    raise SystemExit(main())
