"""A person at random over the whole desk: nothing breaks, nothing is lost, nothing grows."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from evenbarrel.resources import read_sample
from evenbarrel.storage.files import write_evaluation

from .conftest import small_programme
from .person import Person
from .random_person import Found, RandomPerson

STEPS = int(os.environ.get("EVENBARREL_STEPS", "200"))
"""What each person does; the memory is looked at after each of four documents or more."""
A_DOCUMENT = min(100, STEPS // 4)
MOST_GROWTH = 20e6 if STEPS < 1000 else 40e6
"""Bytes; what is kept of painted words, of a limited number, fills up in a longer life."""
OFFER = "Screw\tA / B\nScrew diameter mm\t40 / 45\nStroke mm\t2.000\nSpare ring\t1\n"


def lay_out(folder: Path) -> Path:
    """Write what a person may open: the small programme, a bid, a broken file of each kind."""
    folder.mkdir()
    write_evaluation(small_programme(), folder / "small.evenbarrel.json")
    (folder / "offer.bid.json").write_bytes(read_sample("brastivel.bid.json"))
    (folder / "offer.txt").write_text(OFFER, encoding="utf-8")
    for name in ("broken.evenbarrel.json", "broken.bid.json"):
        (folder / name).write_text("{", encoding="utf-8")
    return folder


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return lay_out(tmp_path / "files")


@pytest.mark.parametrize("seed", [1, 2])
def test_nothing_a_person_does_breaks_loses_or_grows(
    person: Person, folder: Path, seed: int
) -> None:
    anyone = RandomPerson(person.session, person.window, folder, seed)
    # A small window is painted sooner.
    person.window.resize(1024, 700)
    with anyone.present():
        anyone.live(STEPS, A_DOCUMENT)
    assert anyone.edits > STEPS // 10
    # What is used for the first time in the first half is loaded there, and is no growth.
    warm = anyone.memory[len(anyone.memory) // 2 - 1]
    assert anyone.memory[-1] - warm < MOST_GROWTH


def test_the_same_seed_does_the_same_steps(open_desk: Callable[[], Person], tmp_path: Path) -> None:
    told = []
    for time in ("once", "again"):
        person = open_desk()
        folder = lay_out(tmp_path / time)
        anyone = RandomPerson(person.session, person.window, folder, 7)
        person.session.open(folder / "small.evenbarrel.json")
        with anyone.present():
            for _ in range(40):
                anyone.step()
        person.window.close()
        told.append(anyone.steps)
    assert told[0] == told[1]


def test_what_goes_wrong_is_found_with_the_steps_before_it(person: Person, folder: Path) -> None:
    def fail() -> None:
        raise ZeroDivisionError("planted")

    anyone = RandomPerson(person.session, person.window, folder, 3)
    person.window.page_list.currentRowChanged.connect(fail)
    with anyone.present(), pytest.raises(Found, match=r"seed 3, step(?s:.*)planted"):
        anyone.live(400)
