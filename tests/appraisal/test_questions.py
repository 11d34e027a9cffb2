"""What is asked: one question for each bid and datum, of the supplier or of us."""

from __future__ import annotations

import pytest

from evenbarrel.appraisal.appraise import appraise


@pytest.fixture(scope="session")
def asked(planned):
    """Appraise with changes; the questions by id."""

    def of(**changes: object):
        questions = appraise(planned(**changes)).questions
        by_id = {question.id: question for question in questions}
        assert len(by_id) == len(questions)
        return by_id

    return of


DATED = {"as_of": "2026-03-02", "bid": {"date": "2026-03-01", "valid_until": "2026-06-30"}}


def test_nothing_is_asked_where_nothing_is_open(asked):
    assert set(asked(**DATED)) == set()


def test_one_question_for_a_bid_and_a_datum_with_its_barrels_joined(asked):
    barrels = [
        {"id": "one", "ring_travel": None, "melt_inventory": None, "screw_diameter": None},
        {"id": "two", "ring_travel": None},
    ]
    questions = asked(barrels=barrels, **DATED)
    ring = questions["bid.ring_travel"]
    assert (ring.to, ring.bid, ring.datum) == ("supplier", "bid", "ring_travel")
    assert ring.barrels == ("one", "two")
    assert ring.raised_by == ("ring_share",)
    diameter = questions["bid.screw_diameter"]
    assert diameter.barrels == ("one",)
    assert set(diameter.raised_by) >= {"capacity", "stroke", "ring_share", "screw_speed"}


def test_every_bid_is_asked_for_itself(asked):
    other = {
        "id": "second",
        "units": [{"id": "v", "barrels": [{"id": "c", "ring_travel": "2 mm"}]}],
    }
    questions = asked(barrel={"ring_travel": None}, more_bids=[other])
    assert questions["bid.ring_travel"].barrels == ("b",)
    assert "second.ring_travel" not in questions
    assert questions["second.screw_diameter"].barrels == ("c",)
    order = [question.bid for question in questions.values()]
    assert order == sorted(order, key=lambda bid: ["bid", "second", None].index(bid))


@pytest.mark.parametrize(
    ("changes", "name", "jobs"),
    [
        ({"job": {"cooling_time": None}}, "us.cooling_time", ("j",)),
        ({"job": {"cycle_time": None}}, "us.cycle_time", ("j",)),
        ({"job": {"shot_mass": None, "part_mass": "9 g"}}, "us.cavities", ("j",)),
        ({"resin": {"residence_limits": []}}, "us.residence_limits", ("j",)),
        ({"resin": {"melt_temperature": None}}, "us.melt_temperature", ("j",)),
        ({"resin": {"output_factors": {}}}, "us.output_factor", ("j",)),
        ({"resin": {"abrasive": None}}, "us.abrasive", ("j",)),
    ],
)
def test_what_our_own_side_misses_is_asked_of_us(asked, changes, name, jobs):
    question = asked(**changes, **DATED)[name]
    assert (question.to, question.bid, question.jobs) == ("us", None, jobs)
    assert question.barrels == ()


@pytest.mark.parametrize(
    ("job", "datum", "key"),
    [
        (
            {"shot_mass": None, "part_mass": "40 g", "cavities": 4},
            "runner_mass",
            "runner_not_stated",
        ),
        ({"smallest_shot_mass": "200 g"}, "smallest_shot_mass", "smallest_ignored"),
        ({"largest_shot_mass": "100 g"}, "largest_shot_mass", "largest_ignored"),
    ],
)
def test_what_was_left_out_of_a_shot_is_a_question_for_us(asked, job, datum, key):
    question = asked(job=job, **DATED)[f"us.{datum}"]
    assert (question.to, question.key, question.jobs) == ("us", key, ("j",))


def test_what_is_stated_is_not_asked_for(asked):
    """A shot without cavities has a fill time; a package is stated beside one that is not."""
    ours = asked(job={"shot_mass": None, "part_mass": "9 g", "runner_kind": "none"}, **DATED)
    assert set(ours) == {"us.cavities"}
    theirs = asked(barrel={"screw_package": "unknown"}, **DATED)
    assert set(theirs) == {"bid.screw_package"}


def test_a_rate_that_cannot_be_converted_asks_for_what_its_resins_lack(asked):
    barrels = [{}, {"id": "c", "plasticising_resin": "ps"}]
    for lacking, name in (("enthalpy", "us.enthalpy"), ("melt_density", "us.melt_density")):
        full = {"id": "ps", "melt_density": "0.96 g/cm3", "enthalpy": "370 kJ/kg"}
        questions = asked(barrels=barrels, more_resins=[{**full, lacking: None}], **DATED)
        assert set(questions) == {name}
        assert set(questions[name].raised_by) == {"recovery", "screw_speed"}


def test_a_speed_that_is_only_assumed_is_asked_for(asked):
    """screw_speed, printed without saying which, serves as assumed, with a question."""
    barrel = {"plasticising_speed": None, "screw_speed": "120 rev/min"}
    question = asked(barrel=barrel, **DATED)["bid.plasticising_speed"]
    assert (question.to, question.raised_by) == ("supplier", ("screw_speed",))


def test_an_oil_pressure_without_its_ratio_asks_for_the_ratio(asked):
    questions = asked(barrel={"pressure_kind": "oil"}, **DATED)
    assert "bid.intensification_ratio" in questions


def test_a_rated_mass_alone_asks_for_the_volume(asked):
    barrel = {"screw_diameter": None, "stroke": None, "rated_shot_mass": "300 g"}
    question = asked(barrel=barrel, **DATED)["bid.swept_volume"]
    assert (question.to, question.barrels) == ("supplier", ("b",))


def test_a_barrel_without_volume_is_asked_beside_one_with_a_rated_mass(asked):
    bare = {"screw_diameter": None, "stroke": None}
    barrels = [{**bare, "rated_shot_mass": "300 g"}, {**bare, "id": "c"}]
    assert asked(barrels=barrels, **DATED)["bid.swept_volume"].barrels == ("b", "c")


def test_a_unit_of_another_kind_is_asked_nothing_of_fit(asked):
    barrel = {"ring_travel": None, "melt_inventory": None}
    unit = {"unit_kind": "plunger", "injection_power": None}
    assert set(asked(barrel=barrel, unit=unit, **DATED)) == set()


def test_of_a_job_that_no_unit_can_be_judged_by_nothing_is_asked(asked):
    job = {"required_pressure": None, "fill_time": None, "cooling_time": None}
    assert set(asked(unit={"unit_kind": "vented"}, job=job, **DATED)) == set()


def test_a_rate_in_passing_is_asked_for_its_speed_and_its_resin_each_by_itself(asked):
    """The letter and the data sheet have a place for each."""
    barrel = {"plasticising_speed": None, "plasticising_resin": None}
    questions = asked(barrel=barrel, **DATED)
    assert set(questions) == {"bid.plasticising_speed", "bid.plasticising_resin"}
    assert set(asked(barrel={"plasticising_resin": None}, **DATED)) == set()


def test_without_a_diameter_it_alone_is_asked_for(asked):
    """With it the screw's melt is estimated: nobody need know what the channel holds."""
    bare = {"screw_diameter": None, "melt_inventory": None}
    assert "bid.melt_inventory" not in asked(barrel=bare, **DATED)


def test_a_failed_claim_is_a_question_and_the_gravest_reason_gives_its_words(asked):
    questions = asked(barrel={"swept_volume": "450.0 cm3"}, **DATED)
    volume = questions["bid.swept_volume"]
    assert volume.key == "claim.volume_geometry"
    assert volume.raised_by[0] == "volume_geometry"
    assert volume.barrels == ("b",)


def test_ids_are_stable_while_anything_else_changes(asked):
    before = asked(barrel={"ring_travel": None}, job={"cooling_time": None}, **DATED)
    after = asked(
        barrel={"ring_travel": None, "label": "B"},
        job={"cooling_time": None, "shot_mass": "90 g"},
        title="again",
        **DATED,
    )
    assert set(before) == set(after) == {"bid.ring_travel", "us.cooling_time"}


@pytest.mark.parametrize("state", ["open", "asked", "answered", "accepted_as_is"])
def test_a_question_keeps_what_became_of_it(asked, state):
    answers = [{"question": "bid.ring_travel", "state": state}]
    question = asked(barrel={"ring_travel": None}, answers=answers, **DATED)["bid.ring_travel"]
    assert question.state == state
