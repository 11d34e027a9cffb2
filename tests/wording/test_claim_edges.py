"""What a claim says is true on whichever side of its range a number lies."""

from __future__ import annotations

import pytest

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import Resin
from evenbarrel.wording.sentences.claim_sentences import claim_sentence


def sentence(key: str, kind: str | None = None, **printed: str) -> str:
    """Return what a claim of one 40 mm screw says; data as printed ("40 mm")."""
    numbers = {"screw_diameter": "40 mm"} | printed
    entered = {
        name: Quantity(magnitude=text.split()[0], unit=text.split()[1])
        for name, text in numbers.items()
    }
    density = Quantity(magnitude="0.97", unit="g/cm3")
    barrel = Barrel(id="b", pressure_kind=kind, plasticising_resin="ps", **entered)
    unit = InjectionUnit(id="u", barrels=(barrel,))
    resins = (Resin(id="ps", melt_density=density),)
    appraisal = appraise(Evaluation(resins=resins, bids=(Bid(id="bid", units=(unit,)),)))
    return claim_sentence(appraisal.barrel("b").claim(key), "metric")


@pytest.mark.parametrize(
    ("rate", "words"),
    [("120 g/s", "none more than 0.11 D³"), ("5 g/s", "none less than 0.027 D³")],
)
def test_what_a_turn_delivers_is_held_against_the_near_edge(rate: str, words: str) -> None:
    told = sentence("output_per_turn", plasticising_rate=rate, plasticising_speed="300 rev/min")
    assert words in told


@pytest.mark.parametrize(
    ("pressure", "kind", "words"),
    [
        ("33150 bar", "melt", "never more than 5000 bar"),
        ("20 bar", "melt", "never less than 50 bar"),
        ("300 bar", "melt", "seldom less than 400 bar"),
        (
            "600 bar",
            "oil",
            "An oil pressure of 600 bar is printed; no hydraulic circuit works at more",
        ),
    ],
)
def test_a_pressure_is_held_against_the_near_edge(pressure: str, kind: str, words: str) -> None:
    told = sentence("pressure_kind", kind, injection_pressure=pressure)
    assert words in told
    assert "intensification ratio gives" not in told


@pytest.mark.parametrize(
    ("ratio", "words"), [("33", "seldom have more than 30"), ("10", "seldom have less than 12")]
)
def test_an_unusual_length_alone_is_no_word_of_other_screws(ratio: str, words: str) -> None:
    told = sentence("length_ratio", length_ratio=f"{ratio} 1")
    assert words in told
    assert "other screws" not in told
