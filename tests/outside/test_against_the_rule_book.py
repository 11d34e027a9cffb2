"""The program against a second implementation of its rule book, over random programmes."""

from __future__ import annotations

import json
import os
from functools import cache
from typing import Any

import pytest

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.report.results_file import results_of as program_results
from evenbarrel.report.results_file import to_json
from evenbarrel.storage.files import parse_evaluation
from evenbarrel.wording.sentences.asking.questions import question_texts

from .rule_book_oracle import results_of
from .rule_book_oracle.differences import Difference, differences
from .rule_book_oracle.programmes import programme

BATCHES = 10
PROGRAMMES = int(os.environ.get("EVENBARREL_PROGRAMMES", "40"))
SHOWN = 40


@cache
def by_the_rule_book(seed: int) -> dict[str, Any]:
    return results_of(programme(seed))


def by_the_program(filed: dict[str, Any]) -> dict[str, Any]:
    """The results file that the program writes for an evaluation as filed."""
    data = json.dumps(filed).encode()
    appraisal = appraise(parse_evaluation(data, filed["title"]))
    results: dict[str, Any] = json.loads(
        to_json(program_results(appraisal, question_texts(appraisal)))
    )
    return results


def listing(found: list[tuple[int, Difference]]) -> str:
    lines = [f"{len(found)} differences, the first of them:"]
    lines += [
        f"programme {seed}: {place}: {name}: rule book {ours!r}, program {theirs!r}"
        for seed, (place, name, ours, theirs) in found[:SHOWN]
    ]
    return "\n".join(lines)


READ_TWO_WAYS = {
    # Cap and opening at one end of the motion, or each at the end that encloses more.
    ("recovery", "value_high"),
    ("screw_speed", "value_high"),
    # The comfort edge of a screw that cannot turn too fast, once sizes are in doubt.
    ("screw_speed", "comfort_high"),
    # A plain tip has no ring; what else would be asked for its share is of no matter.
    ("ring_share", "missing"),
}
"""What the rules let two careful readers read in two ways; values and states beside it are held."""

CLAIMS_ALIKE = 0.997
"""Of all claims; the slips that explain the rest are searched by other steps in the two."""


def barrel_of(place: str) -> str:
    return place.split()[0]


@cache
def compared(seed: int) -> tuple[tuple[Difference, ...], int]:
    """Differences of a programme, and how many claims it has."""
    ours = by_the_rule_book(seed)
    claims = sum(len(barrel["claims"]) for barrel in ours["barrels"])
    return tuple(differences(ours, by_the_program(programme(seed)))), claims


def of_claims(found: tuple[Difference, ...]) -> list[Difference]:
    """Return what differs in claims."""
    return [one for one in found if one[1].startswith("claim") or one[1] == "rated_basis"]


@pytest.mark.parametrize("batch", range(BATCHES))
def test_the_program_follows_its_rule_book(batch: int) -> None:
    """Every number to 1e-9, every state, reason and gate, of each programme of the batch.

    Where a barrel's claims are explained otherwise, what is disputed differs with them: its cells
    are left to the comparison of claims.
    """
    found = []
    for seed in range(batch, PROGRAMMES, BATCHES):
        differing, _ = compared(seed)
        doubted = {barrel_of(place) for place, *_ in of_claims(differing)}
        found += [
            (seed, one)
            for one in differing
            if barrel_of(one[0]) not in doubted
            and (one[0].split()[-1], one[1]) not in READ_TWO_WAYS
        ]
    assert not found, listing(found)


def test_claims_are_judged_alike() -> None:
    """State, gap and cause of nearly every claim, by two searches that share no line."""
    alike = differing = 0
    for seed in range(PROGRAMMES):
        found, claims = compared(seed)
        places = {place for place, *_ in of_claims(found)}
        differing += len(places)
        alike += claims - len(places)
    assert alike / (alike + differing) >= CLAIMS_ALIKE, (alike, differing)


def test_a_difference_is_found() -> None:
    """A number moved by a millionth, a state and a gate: each is found, with its place."""
    ours, moved = by_the_rule_book(3), results_of(programme(3))
    assert not list(differences(ours, moved))
    place = next(
        fit for fit in moved["fits"] if any(c["value"] is not None for c in fit["criteria"])
    )
    criterion = next(c for c in place["criteria"] if c["value"] is not None)
    criterion["value"] *= 1 + 1e-6
    place["state"] = "elsewhere"
    moved["barrels"][0]["gate"] = "ajar"
    names = [name for _, name, _, _ in differences(ours, moved)]
    assert sorted(names) == ["cell state", "gate", "value"]


def test_programmes_are_drawn_from_their_seed_alone() -> None:
    assert programme(7) == programme(7)
    assert programme(7) != programme(8)


def test_programmes_reach_every_state_reason_and_gate() -> None:
    """What the programmes never reach is not compared."""
    states, because, gates, claims, readings = set(), set(), set(), set(), set()
    for seed in range(100):
        found = by_the_rule_book(seed)
        for fit in found["fits"]:
            states |= {(c["key"], c["state"]) for c in fit["criteria"]}
            because |= {reason for c in fit["criteria"] for reason in c["because"]}
        for barrel in found["barrels"]:
            gates.add(barrel["gate"])
            readings.add(len(barrel["readings"]))
            claims |= {(claim["key"], claim["state"]) for claim in barrel["claims"]}
    numbers = ("capacity", "utilisation", "stroke", "ring_share", "residence", "recovery")
    others = ("screw_speed", "pressure", "rate", "power", "wear", "corrosion", "screw_geometry")
    every = ("inside", "near_edge", "outside", "not_stated")
    assert states >= {(key, state) for key in numbers + others for state in every}
    assert {("repeatability", "outside"), ("repeatability", "not_stated")} <= states
    assert because >= {
        *("comfort", "uncertainty", "soft", "beyond_unconfirmed"),
        *("unsettled", "readings", "disputed"),
    }
    assert gates == {"no_objection", "waits", "shut", None}
    assert readings == {1, 2, 3}
    for key in ("volume_geometry", "drive_force", "injection_speed", "pressure_kind"):
        assert claims >= {(key, state) for state in ("agrees", "query", "contradicts")}
